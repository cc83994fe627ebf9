//! Years under many weathers, with every uncertain input drawn as well, and what one more panel or pack
//! would change under the same draws. Not for: drawing in parallel (the app does that).

use super::plan::{EnergyPlan, WEATHER};
use super::store::Store;
use super::sunshine::Sunshine;
use super::year::{MonthSums, UnderWay, WeekCharge, YearSums, simulate_year};
use crate::battery::Bank;
use crate::boat::{Boat, BoatError, BoatSpec};
use crate::notice::{Notice, Severity, push_once};
use crate::sail::UnderSail;
use crate::solar::weather::{DailyClearness, WeatherYear};
use crate::spread::{Draws, Spread, name_number, quantile_of_sorted};
use crate::steady::{Ask, PreparedBoat};
use crate::study::Interval;

/// How well climate table, panel plate and losses together tell the sun of many years. Judgement: yearly
/// sums of such models lie within some 5 to 8 % of measured ones.
pub(super) const SUN_SPREAD: Spread = Spread { p10: 0.90, median: 1.0, p90: 1.08, is_logarithmic: true };
/// How well the loads by hour are known, when the document's own standing load does not say. Judgement.
const HOUSE_FRACTION: f64 = 0.2;

/// By how much all loads aboard of one draw exceed those stated: as the document's own standing load, where
/// it has one that is drawn, else at the standard normal `deviate`.
pub(super) fn house_factor(stated_w: f64, drawn_w: f64, deviate: f64) -> f64 {
    if stated_w > 0.0 {
        drawn_w / stated_w
    } else {
        Spread::relative(1.0, HOUSE_FRACTION).at_deviate(deviate)
    }
}

/// One thing more aboard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Alternative {
    /// A panel of this power, mounted as those aboard \[W\].
    MorePanel(f64),
    /// A pack like the first.
    MorePack,
}

/// What is asked.
#[derive(Debug, Clone)]
pub struct EnergyRequest {
    /// Place, panels, loads, use.
    pub plan: EnergyPlan,
    /// The year of sun on these panels.
    pub sunshine: Sunshine,
    /// What else to try.
    pub alternatives: Vec<Alternative>,
    months: [DailyClearness; 12],
}

impl EnergyRequest {
    /// Of a plan, its sun worked out.
    /// # Errors
    /// [`crate::solar::SolarError`] for a place or year without sun's position.
    pub fn new(plan: EnergyPlan, alternatives: Vec<Alternative>) -> Result<Self, crate::solar::SolarError> {
        let sunshine = Sunshine::new(&plan)?;
        let months = plan.clearness.map(DailyClearness::around);
        Ok(Self { plan, sunshine, alternatives, months })
    }

    /// The same request for a plan with the same sun ([`EnergyPlan::has_same_sun_as`]).
    #[must_use]
    pub fn for_plan(self, plan: EnergyPlan) -> Self {
        debug_assert!(self.plan.has_same_sun_as(&plan), "the sun of another place");
        Self { plan, ..self }
    }

    /// Days of draw number `sample`.
    #[must_use]
    pub fn weather(&self, draws: Draws, sample: u64) -> WeatherYear {
        WeatherYear::draw(&self.months, draws, sample)
    }
}

/// One draw.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergySample {
    /// As she is.
    pub year: YearSums,
    /// With each alternative, under the same weather and inputs.
    pub alternatives: Vec<YearSums>,
    /// Drive energy for each metre \[J/m\]; `None` when she makes no way.
    pub energy_per_metre_j: Option<f64>,
    /// She reaches the motoring speed.
    pub reaches: bool,
}

/// Motoring at the speed of her week, or, where that is out of reach, at the fastest that she can hold,
/// for the same hours.
struct Motoring {
    power_w: f64,
    speed_m_s: f64,
    is_reached: bool,
}

fn motoring(boat: &Boat, speed_m_s: f64) -> Option<Motoring> {
    let prepared = PreparedBoat::new(boat).ok()?.value;
    let asked = prepared.solve(Ask::Speed(speed_m_s)).ok();
    let within = asked.filter(|state| state.usage.iter().all(|&share| share <= 1.0 + 1e-9));
    let is_reached = within.is_some();
    let state = match within {
        Some(state) => state,
        None => prepared.full_throttle().ok()?.held,
    };
    Some(Motoring { power_w: state.state.drive_power_w, speed_m_s: state.state.speed_m_s, is_reached })
}

/// What motoring takes and sailing gives, the drive's energy for each metre, and whether she reaches the
/// motoring speed; `factors` draws the four-quadrant estimate as well.
#[must_use]
pub fn under_way(
    boat: &Boat,
    plan: &EnergyPlan,
    factors: Option<(Draws, u64)>,
) -> (UnderWay, Option<f64>, bool) {
    let week = &plan.week;
    let motoring = motoring(boat, week.motoring_m_s);
    let regeneration_w = match week.regeneration_loss_m_s {
        Some(loss) if week.sailing_s > 0.0 && week.days > 0 => {
            // A full bank today says nothing of the year: the store itself turns away what it can't take.
            let mut with_room = boat.clone();
            with_room.bank.state_of_charge = with_room.bank.state_of_charge.min(0.5);
            let sailing = match factors {
                Some((draws, sample)) => UnderSail::drawn(&with_room, draws, sample),
                None => UnderSail::new(&with_room),
            };
            let harvest = sailing.ok().and_then(|s| s.value.harvest(week.sailing_m_s, loss).ok());
            harvest.map_or(0.0, |h| -h.within_loss.bank_w)
        }
        _ => 0.0,
    };
    let per_metre = motoring.as_ref().map(|found| found.power_w / found.speed_m_s);
    let motoring_w = motoring.as_ref().map_or(0.0, |found| found.power_w);
    (UnderWay { motoring_w, regeneration_w }, per_metre, motoring.is_some_and(|found| found.is_reached))
}

/// The year of draw number `sample`; `None` when that draw contradicts itself.
#[must_use]
pub fn sample_energy(
    spec: &BoatSpec,
    request: &EnergyRequest,
    draws: Draws,
    sample: u64,
) -> Option<EnergySample> {
    let boat = spec.sample(draws, sample);
    let plan = &request.plan;
    let (use_of_bank, energy_per_metre_j, reaches) = under_way(&boat, plan, Some((draws, sample)));
    let weather = request.weather(draws, sample);
    let deviate = |name: &str| draws.deviate(name_number(name), sample);
    let sun_factor = SUN_SPREAD.at_deviate(deviate("model.sun"));
    let house_factor = house_factor(spec.boat.house_power_w, boat.house_power_w, deviate("house.power"));
    let run = |bank: &Bank, sun_factor: f64| {
        let store = Store::new(bank).ok()?;
        let start = spec.boat.bank.state_of_charge;
        Some(simulate_year(
            plan,
            &request.sunshine,
            &store,
            &weather,
            &use_of_bank,
            start,
            sun_factor,
            house_factor,
        ))
    };
    let rated_w = plan.rated_w();
    let alternatives: Option<Vec<YearSums>> = request
        .alternatives
        .iter()
        .map(|alternative| match alternative {
            Alternative::MorePanel(more_w) if rated_w > 0.0 => {
                run(&boat.bank, sun_factor * (1.0 + more_w / rated_w))
            }
            Alternative::MorePanel(_) => run(&boat.bank, sun_factor),
            Alternative::MorePack => {
                let mut bank = boat.bank.clone();
                bank.groups.first_mut()?.packs_in_parallel += 1;
                run(&bank, sun_factor)
            }
        })
        .collect();
    Some(EnergySample {
        year: run(&boat.bank, sun_factor)?,
        alternatives: alternatives?,
        energy_per_metre_j,
        reaches,
    })
}

/// A month over all draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthIntervals {
    /// Sun in a day \[J\].
    pub sun_day_j: Interval,
    /// Loads aboard in a day \[J\].
    pub house_day_j: Interval,
    /// Thrown away in a day \[J\].
    pub surplus_day_j: Interval,
    /// Hours on shore power in the month.
    pub shore_hours: Interval,
    /// Mean state of charge.
    pub charge: Interval,
    /// Lowest state of charge.
    pub lowest: Interval,
    /// Motoring a week that the sun alone would carry, beyond the loads \[m\].
    pub miles_week_m: Option<Interval>,
}

/// The state of charge in one week, over all draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekIntervals {
    /// In nine weathers of ten it is never lower.
    pub lowest: f64,
    /// Median of the mean.
    pub mean: f64,
    /// In nine weathers of ten it is never higher.
    pub highest: f64,
}

/// A year over all draws, energies \[J\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct YearIntervals {
    /// What the panels could give.
    pub sun_j: Interval,
    /// Not taken by the bank.
    pub surplus_j: Interval,
    /// Back under sail.
    pub regeneration_j: Interval,
    /// From the shore.
    pub shore_j: Interval,
    /// Hours there.
    pub shore_hours: Interval,
    /// Loads aboard.
    pub house_j: Interval,
    /// Drive.
    pub motoring_j: Interval,
    /// Lost in the bank.
    pub lost_j: Interval,
    /// Hours with an empty bank.
    pub empty_hours: Interval,
    /// Motoring a week on sun alone \[m\].
    pub miles_week_m: Option<Interval>,
}

/// What an alternative changes, under common draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Which.
    pub alternative: Alternative,
    /// More (or less) hours on shore power in the year.
    pub shore_hours: Interval,
    /// More energy from the shore in the year \[J\].
    pub shore_j: Interval,
    /// More thrown away in the year \[J\].
    pub surplus_j: Interval,
    /// More miles a week on sun alone \[m\].
    pub miles_week_m: Option<Interval>,
}

/// Everything found about the year.
#[derive(Debug, Clone)]
pub struct EnergyStudy {
    /// January to December.
    pub months: Vec<MonthIntervals>,
    /// Week by week from 1 January; empty when every draw contradicted itself.
    pub weeks: Vec<WeekIntervals>,
    /// All together.
    pub year: YearIntervals,
    /// With the inputs at their medians: what motoring takes and sailing gives.
    pub under_way: UnderWay,
    /// Share of draws in which she reaches the motoring speed; in the others she motors as fast as she
    /// can, for the same hours.
    pub reaches_in: f64,
    /// What else was tried.
    pub changes: Vec<Change>,
    /// Weathers drawn, and draws that contradicted themselves.
    pub samples: (usize, usize),
    /// What to read first.
    pub notices: Vec<Notice>,
}

const COLD_BANK: Notice = Notice::Remark {
    severity: Severity::Caution,
    text: "The bank is taken as cold as stated all year: lithium cells below 0 °C take no charge, from sun, shore or \
           propeller, and must not be made to.",
    source: "lfpcharge2024",
};

/// Median and 80 % band.
fn band(values: impl Iterator<Item = f64>) -> Interval {
    let mut sorted: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    if sorted.is_empty() {
        return Interval::exact(0.0);
    }
    sorted.sort_unstable_by(f64::total_cmp);
    let at = |share: f64| quantile_of_sorted(&sorted, share);
    Interval { value: at(0.5), p10: at(0.1), p90: at(0.9) }
}

/// Share of what the sun gives that comes out of the bank again. Judgement inside the ranges told:
/// lithium 0.95, lead 0.75.
pub(super) fn round_trip(boat: &Boat) -> f64 {
    if boat.bank.groups.first().is_some_and(|group| group.chemistry.is_lead()) { 0.75 } else { 0.95 }
}

fn miles_week_m(sums: &MonthSums, sample: &EnergySample, round_trip: f64) -> f64 {
    match sample.energy_per_metre_j {
        Some(per_metre) if sums.weeks > 0.0 => round_trip * sums.spare_j / sums.weeks / per_metre,
        _ => f64::NAN,
    }
}

/// Puts the years of all draws together.
/// # Errors
/// [`BoatError`] when the bank cannot be computed.
pub fn summarise_energy(
    spec: &BoatSpec,
    request: &EnergyRequest,
    samples: &[Option<EnergySample>],
) -> Result<EnergyStudy, BoatError> {
    Store::new(&spec.boat.bank)?;
    let plan = &request.plan;
    let good: Vec<&EnergySample> = samples.iter().flatten().collect();
    let (central, per_metre, _) = under_way(&spec.boat, plan, None);
    let kept = round_trip(&spec.boat);
    let miles = |of: &dyn Fn(&EnergySample) -> f64| per_metre.map(|_| band(good.iter().map(|s| of(s))));
    let month = |i: usize| {
        let over = |of: &dyn Fn(&MonthSums) -> f64| band(good.iter().map(|s| of(&s.year.months[i])));
        let day = |of: fn(&MonthSums) -> f64| over(&move |m| of(m) * 24.0 / m.hours);
        MonthIntervals {
            sun_day_j: day(|m| m.sun_j),
            house_day_j: day(|m| m.house_j),
            surplus_day_j: day(|m| m.surplus_j),
            shore_hours: over(&|m| m.shore_hours),
            charge: over(&|m| m.charge_hours / m.hours),
            lowest: over(&|m| m.lowest),
            miles_week_m: miles(&|s| miles_week_m(&s.year.months[i], s, kept)),
        }
    };
    let weeks = (0..good.first().map_or(0, |sample| sample.year.weeks.len())).map(|i| {
        let over = |of: fn(&WeekCharge) -> f64| band(good.iter().map(|sample| of(&sample.year.weeks[i])));
        WeekIntervals {
            lowest: over(|week| week.lowest).p10,
            mean: over(|week| week.mean).value,
            highest: over(|week| week.highest).p90,
        }
    });
    let weeks = weeks.collect();
    let totals: Vec<MonthSums> = good.iter().map(|sample| sample.year.total()).collect();
    let total = |of: fn(&MonthSums) -> f64| band(totals.iter().map(of));
    let changes = request.alternatives.iter().enumerate().map(|(i, &alternative)| {
        let others: Vec<MonthSums> = good.iter().map(|sample| sample.alternatives[i].total()).collect();
        let more = |of: fn(&MonthSums) -> f64| {
            band(totals.iter().zip(&others).map(|(before, after)| of(after) - of(before)))
        };
        let more_miles = good.iter().zip(totals.iter().zip(&others)).map(|(sample, (before, after))| {
            miles_week_m(after, sample, kept) - miles_week_m(before, sample, kept)
        });
        Change {
            alternative,
            shore_hours: more(|m| m.shore_hours),
            shore_j: more(|m| m.shore_j),
            surplus_j: more(|m| m.surplus_j),
            miles_week_m: per_metre.map(|_| band(more_miles)),
        }
    });
    let mut notices = Vec::new();
    for notice in crate::caution::of_drive(&spec.boat)
        .into_iter()
        .chain(crate::caution::of_charging(&spec.boat))
        .chain(plan.notices.iter().cloned())
    {
        push_once(&mut notices, notice);
    }
    let is_cold = spec.boat.bank.groups.iter().any(|group| {
        !group.chemistry.is_lead()
            && spec.boat.bank.temperature_k < group.chemistry.temperatures().charge_low_k
    });
    if is_cold {
        push_once(&mut notices, COLD_BANK);
    }
    push_once(&mut notices, WEATHER);
    Ok(EnergyStudy {
        months: (0..12).map(month).collect(),
        weeks,
        year: YearIntervals {
            sun_j: total(|m| m.sun_j),
            surplus_j: total(|m| m.surplus_j),
            regeneration_j: total(|m| m.regeneration_j),
            shore_j: total(|m| m.shore_j),
            shore_hours: total(|m| m.shore_hours),
            house_j: total(|m| m.house_j),
            motoring_j: total(|m| m.motoring_j),
            lost_j: total(|m| m.lost_j),
            empty_hours: total(|m| m.empty_hours),
            miles_week_m: miles(&|s| miles_week_m(&s.year.total(), s, kept)),
        },
        under_way: central,
        reaches_in: good.iter().filter(|sample| sample.reaches).count() as f64 / good.len().max(1) as f64,
        changes: changes.collect(),
        samples: (samples.len(), samples.len() - good.len()),
        notices,
    })
}
