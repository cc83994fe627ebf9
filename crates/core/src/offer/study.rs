//! Parts with their prices, sums in each currency, a year of energy, alternatives with what each gives.
//! Not for: reading what was typed, laying alternatives beside her (`options`).

use super::fuel::{carbon_kg, fuel_heat_j, fuel_volume_m3};
use super::money::Money;
use crate::options::{Comparison, MASS_CHANGE};
use crate::sheet::{Better, Figure};
use crate::spread::Interval;
use crate::steady::Limit;
use crate::study::{RANGE, STATE, StateFigure};

/// Consumption of a small diesel at the shaft, 80 % band \[kg/J\]: 220 to 350 g/kWh (from memory).
const CONSUMPTION_KG_J: Interval = Interval { value: 0.28 / 3.6e6, p10: 0.22 / 3.6e6, p90: 0.35 / 3.6e6 };

/// What a small diesel burns in a second for turning its gear, pumps and itself, beside that, 80 % band \[kg/s\]: 0.2 to 0.6 L an hour
/// (from memory).
const IDLING_KG_S: Interval = Interval { value: 0.29 / 3600.0, p10: 0.17 / 3600.0, p90: 0.50 / 3600.0 };

/// Share of what a charger takes that it gives, 80 % band (from memory).
const CHARGER: Interval = Interval { value: 0.90, p10: 0.85, p90: 0.95 };

/// A part of the offer.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name, by which it is priced.
    pub name: String,
    /// What it is: rating, size, class.
    pub rating: String,
    /// How many; of a run of cable its metres, in thousandths.
    pub thousandths: u64,
    /// Whether it is counted in metres.
    pub in_metres: bool,
    /// Mass of one \[kg\].
    pub mass_kg: Option<f64>,
    /// What it costs, where that was typed.
    pub priced: Option<Priced>,
}

/// A price as typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Priced {
    /// Of one, or of a metre.
    pub each: Money,
    /// Its day.
    pub day: String,
    /// Hours of work, in hundredths.
    pub hours_hundredths: u64,
}

impl Part {
    /// What all of it costs.
    #[must_use]
    pub fn cost(&self) -> Option<Money> {
        Some(self.priced.as_ref()?.each.times(self.thousandths))
    }
}

/// A sum in one currency.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sum {
    /// Parts.
    pub parts: Money,
    /// Work.
    pub labour: Money,
    /// For what nobody foresees.
    pub contingency: Money,
    /// All of it.
    pub total: Money,
}

/// Sums, one for each currency that was typed, never one of several.
///
/// `labour` is the price of an hour, `contingency_thousandths` a share of parts and work.
#[must_use]
pub fn sums(parts: &[Part], labour: Option<&Money>, contingency_thousandths: u64) -> Vec<Sum> {
    let mut currencies: Vec<String> = Vec::new();
    let hours: u64 = parts.iter().filter_map(|part| Some(part.priced.as_ref()?.hours_hundredths)).sum();
    let labour = labour.filter(|_| hours > 0);
    let all = parts.iter().filter_map(|part| Some(&part.priced.as_ref()?.each.currency));
    for currency in all.chain(labour.map(|labour| &labour.currency)) {
        if !currencies.contains(currency) {
            currencies.push(currency.clone());
        }
    }
    let sum = |currency: String| {
        let of = |cents: i64| Money { cents, currency: currency.clone() };
        let costs = parts.iter().filter_map(Part::cost).filter(|cost| cost.currency == currency);
        let parts = of(costs.map(|cost| cost.cents).fold(0, i64::saturating_add));
        let labour = labour.filter(|labour| labour.currency == currency);
        let labour = labour.map_or_else(|| of(0), |labour| labour.times(hours * 10));
        let before = of(parts.cents.saturating_add(labour.cents));
        let contingency = before.times(contingency_thousandths);
        let total = of(before.cents.saturating_add(contingency.cents));
        Sum { parts, labour, contingency, total }
    };
    currencies.into_iter().map(sum).collect()
}

/// What is asked of a year.
#[derive(Debug, Clone, PartialEq)]
pub struct YearAsked {
    /// Hours under way \[s\].
    pub time_s: f64,
    /// Speed \[m/s\].
    pub speed_m_s: f64,
    /// Power at the propeller there \[W\].
    pub delivered_w: Interval,
    /// Power out of the bank \[W\].
    pub bank_w: Interval,
    /// Price of a litre of fuel.
    pub fuel: Option<Money>,
    /// Price of a kilowatt-hour from the shore.
    pub shore: Option<Money>,
}

/// A year of energy and money.
#[derive(Debug, Clone, PartialEq)]
pub struct Year {
    /// What was asked.
    pub asked: YearAsked,
    /// Out of bank and plug.
    pub drawn: Drawn,
    /// Diesel that the old engine would burn \[m3\].
    pub fuel_m3: Interval,
    /// Heat in that diesel \[J\].
    pub heat_j: Interval,
    /// Carbon dioxide from it \[kg\].
    pub carbon_kg: Interval,
    /// Money for the fuel, in words with its band.
    pub fuel_cost: Option<String>,
}

/// Energy of some hours at a speed, with what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// Out of the bank \[J\].
    pub bank_j: Interval,
    /// Out of the plug \[J\].
    pub plug_j: Interval,
    /// Money for it, in words with its band.
    pub cost: Option<String>,
}

impl Drawn {
    /// Of so much power out of the bank \[W\] for so long \[s\], a kilowatt-hour from the shore at that price.
    #[must_use]
    pub fn of(bank_w: Interval, time_s: f64, shore: Option<&Money>) -> Self {
        let bank_j = bank_w.scaled(time_s);
        let inverse = Interval { value: 1.0 / CHARGER.value, p10: 1.0 / CHARGER.p90, p90: 1.0 / CHARGER.p10 };
        let plug_j = product(bank_j, inverse);
        Self { bank_j, plug_j, cost: money(shore, plug_j.scaled(1.0 / 3.6e6)) }
    }
}

impl Year {
    /// Of what was asked.
    #[must_use]
    pub fn of(asked: YearAsked) -> Self {
        let (work_kg, idling_kg) = (
            product(asked.delivered_w.scaled(asked.time_s), CONSUMPTION_KG_J),
            IDLING_KG_S.scaled(asked.time_s),
        );
        // Two spreads that have nothing to do with each other.
        let apart =
            |of: fn(&Interval) -> f64| (of(&work_kg) - work_kg.value).hypot(of(&idling_kg) - idling_kg.value);
        let value = work_kg.value + idling_kg.value;
        let burnt_kg = Interval { value, p10: value - apart(|kg| kg.p10), p90: value + apart(|kg| kg.p90) };
        let fuel_m3 = each(burnt_kg, |kg| fuel_volume_m3(kg, 1.0));
        Self {
            fuel_cost: money(asked.fuel.as_ref(), fuel_m3.scaled(1000.0)),
            drawn: Drawn::of(asked.bank_w, asked.time_s, asked.shore.as_ref()),
            heat_j: each(fuel_m3, fuel_heat_j),
            carbon_kg: each(fuel_m3, carbon_kg),
            fuel_m3,
            asked,
        }
    }
}

fn money(price: Option<&Money>, of: Interval) -> Option<String> {
    let cost = |amount: f64| Some(price?.times((amount.max(0.0) * 1000.0).round() as u64));
    Some(format!("{} ({} to {})", cost(of.value)?, cost(of.p10)?, cost(of.p90)?))
}

fn each(interval: Interval, of: impl Fn(f64) -> f64) -> Interval {
    Interval { value: of(interval.value), p10: of(interval.p10), p90: of(interval.p90) }
}

/// Product of two that know nothing of each other: on each side the logarithms of their bands add by their squares.
fn product(one: Interval, other: Interval) -> Interval {
    let value = one.value * other.value;
    let side = |a: f64, b: f64| {
        let (a, b) = ((a / one.value).ln(), (b / other.value).ln());
        a.hypot(b)
    };
    if !(one.p10 > 0.0 && other.p10 > 0.0) {
        return Interval { value, p10: one.p10 * other.p10, p90: one.p90 * other.p90 };
    }
    Interval {
        value,
        p10: value * (-side(one.p10, other.p10)).exp(),
        p90: value * side(one.p90, other.p90).exp(),
    }
}

/// The boat as she is, or an alternative, with what it gives and how sure.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Its name.
    pub name: String,
    /// Speed at full throttle \[m/s\].
    pub speed_m_s: Option<Interval>,
    /// Share of the samples in which that is more than as she is.
    pub faster_in: Option<f64>,
    /// Range at the speed that is told of \[m\].
    pub range_m: Option<Interval>,
    /// Share of the samples in which that is more than as she is.
    pub further_in: Option<f64>,
    /// What stops her at full throttle.
    pub limit: Limit,
    /// Share of the samples in which it does.
    pub limit_in: Option<f64>,
    /// Mass gained \[kg\].
    pub mass_kg: Option<Interval>,
    /// What it costs, in words.
    pub price: Option<String>,
    /// Energy of the year, where hours were told.
    pub drawn: Option<Drawn>,
}

impl Choice {
    /// Column `number` of what was laid side by side at one speed, for that price, with the energy of `time_s` at that speed.
    ///
    /// Figures and shares are those of the comparison: sample by sample, in the same sea with the same hull.
    #[must_use]
    pub fn of(
        found: &Comparison,
        number: usize,
        (time_s, shore): (Option<f64>, Option<&Money>),
        price: Option<String>,
    ) -> Self {
        let laid = &found.columns[number];
        let state = |figure: StateFigure| &STATE[figure as usize];
        let value = |figure: &Figure, speed| laid.values[found.index_of(figure, speed)?];
        let better_in = |figure: &Figure, speed| {
            let difference = (*laid.differences.get(found.index_of(figure, speed)?)?)?;
            Some(difference.better_in(Better::More))
        };
        let limit = laid.full.held.limit;
        Self {
            name: laid.name.clone(),
            speed_m_s: value(state(StateFigure::Speed), None),
            faster_in: better_in(state(StateFigure::Speed), None),
            range_m: value(&RANGE, Some(0)),
            further_in: better_in(&RANGE, Some(0)),
            limit,
            limit_in: laid.binds_in.iter().find(|(one, _)| *one == limit).map(|(_, share)| *share),
            mass_kg: value(&MASS_CHANGE, None).filter(|_| number > 0),
            price,
            drawn: time_s
                .zip(value(state(StateFigure::BankPower), Some(0)))
                .map(|(time_s, bank_w)| Drawn::of(bank_w, time_s, shore)),
        }
    }
}

/// Everything that an offer says in figures.
#[derive(Debug, Clone)]
pub struct OfferStudy {
    /// Parts.
    pub parts: Vec<Part>,
    /// Sums.
    pub sums: Vec<Sum>,
    /// A year, where hours were told.
    pub year: Option<Year>,
    /// The boat as she is and her alternatives, where there are any, or why they cannot be laid beside her.
    pub beside: Option<Result<Comparison, String>>,
    /// Of each of them what the offer tells.
    pub choices: Vec<Choice>,
}
