//! Parts with their prices, sums in each currency, a year of energy. Not for: reading what was typed.

use super::fuel::{carbon_kg, fuel_heat_j, fuel_volume_m3};
use super::money::Money;
use crate::spread::Interval;

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
    let all = parts.iter().filter_map(|part| Some(&part.priced.as_ref()?.each.currency));
    for currency in all.chain(labour.map(|labour| &labour.currency)) {
        if !currencies.contains(currency) {
            currencies.push(currency.clone());
        }
    }
    let hours: u64 = parts.iter().filter_map(|part| Some(part.priced.as_ref()?.hours_hundredths)).sum();
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
    /// Out of the bank \[J\].
    pub bank_j: Interval,
    /// Out of the plug \[J\].
    pub plug_j: Interval,
    /// Diesel that the old engine would burn \[m3\].
    pub fuel_m3: Interval,
    /// Heat in that diesel \[J\].
    pub heat_j: Interval,
    /// Carbon dioxide from it \[kg\].
    pub carbon_kg: Interval,
    /// Money for the fuel, in words with its band.
    pub fuel_cost: Option<String>,
    /// Money for the shore's energy.
    pub plug_cost: Option<String>,
}

impl Year {
    /// Of what was asked.
    #[must_use]
    pub fn of(asked: YearAsked) -> Self {
        let bank_j = asked.bank_w.scaled(asked.time_s);
        let inverse = Interval { value: 1.0 / CHARGER.value, p10: 1.0 / CHARGER.p90, p90: 1.0 / CHARGER.p10 };
        let plug_j = product(bank_j, inverse);
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
        let money = |price: &Option<Money>, of: Interval| {
            let cost = |amount: f64| {
                price.as_ref().map(|price| price.times((amount.max(0.0) * 1000.0).round() as u64))
            };
            let (value, p10, p90) = (cost(of.value)?, cost(of.p10)?, cost(of.p90)?);
            Some(format!("{value} ({p10} to {p90})"))
        };
        Self {
            fuel_cost: money(&asked.fuel, fuel_m3.scaled(1000.0)),
            plug_cost: money(&asked.shore, plug_j.scaled(1.0 / 3.6e6)),
            heat_j: each(fuel_m3, fuel_heat_j),
            carbon_kg: each(fuel_m3, carbon_kg),
            bank_j,
            plug_j,
            fuel_m3,
            asked,
        }
    }
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

/// Everything that an offer says in figures.
#[derive(Debug, Clone, PartialEq)]
pub struct OfferStudy {
    /// Parts.
    pub parts: Vec<Part>,
    /// Sums.
    pub sums: Vec<Sum>,
    /// A year, where hours were told.
    pub year: Option<Year>,
}
