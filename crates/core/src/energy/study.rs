//! Years under many weathers, with every uncertain input sampled as well, and what one more panel or pack
//! would change under the same samples. Not for: sampling in parallel (the app does that).

use super::plan::{EnergyPlan, WEATHER};
use super::row::Store;
use super::sunshine::{SunOfYear, Sunshine};
use super::year::{Lived, MonthSums, SunAlone, UnderWay, WeekCharge, YearSums};
use crate::boat::{Boat, BoatSpec};
use crate::field;
use crate::notice::{Notice, push_once};
use crate::sail::UnderSail;
use crate::solar::weather::{DailyClearness, WeatherYear};
use crate::spread::Interval;
use crate::spread::{Sampler, Spread, name_number, quantile_of_sorted};
use crate::steady::{Ask, BoatError, PreparedBoat, Taken};

/// How well climate table, panel plate and losses together tell the sun of many years. Judgement: yearly
/// sums of such models lie within some 5 to 8 % of measured ones.
pub(super) const SUN_SPREAD: Spread = Spread { p10: 0.90, median: 1.0, p90: 1.08, is_logarithmic: true };
/// One thing more aboard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Alternative {
    /// A panel of this power, mounted and shaded as the first row of those aboard \[W\].
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

    /// Days of sample number `sample`.
    #[must_use]
    pub fn weather(&self, sampler: Sampler, sample: u64) -> WeatherYear {
        WeatherYear::sample(&self.months, sampler, sample)
    }
}

/// A year, and the same year on sun alone.
#[derive(Debug, Clone, PartialEq)]
pub struct BothYears {
    /// As planned.
    pub lived: YearSums,
    /// Motoring on what the sun brings.
    pub sun_alone: SunAlone,
}

/// One sample.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergySample {
    /// As she is.
    pub years: BothYears,
    /// With each alternative, under the same weather and inputs.
    pub alternatives: Vec<BothYears>,
    /// What motoring takes and sailing gives.
    pub under_way: UnderWay,
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
/// motoring speed, with the four-quadrant estimate of that sample.
#[must_use]
pub fn under_way(
    boat: &Boat,
    plan: &EnergyPlan,
    (sampler, sample): (Sampler, u64),
) -> (UnderWay, Option<f64>, bool) {
    let week = &plan.week;
    let motoring = motoring(boat, week.motoring_m_s);
    let regeneration_w = match week.regeneration_loss_m_s {
        Some(loss) if week.sailing_s > 0.0 && week.days > 0 => {
            // A full bank today says nothing of the year: the store itself turns away what it can't take.
            let mut with_room = boat.clone();
            with_room.bank.state_of_charge = with_room.bank.state_of_charge.min(0.5);
            let harvest = UnderSail::sampled(&with_room, sampler, sample)
                .ok()
                .and_then(|s| s.value.harvest(week.sailing_m_s, loss).ok());
            harvest.map_or(0.0, |h| -h.within_loss.bank_w)
        }
        _ => 0.0,
    };
    let per_metre = motoring.as_ref().map(|found| found.power_w / found.speed_m_s);
    let motoring_w = motoring.as_ref().map_or(0.0, |found| found.power_w);
    (UnderWay { motoring_w, regeneration_w }, per_metre, motoring.is_some_and(|found| found.is_reached))
}

/// The year of sample number `sample`; `None` when that sample contradicts itself.
#[must_use]
pub fn sample_energy(
    spec: &BoatSpec,
    request: &EnergyRequest,
    sampler: Sampler,
    sample: u64,
) -> Option<EnergySample> {
    let boat = spec.sample(sampler, sample);
    let plan = &request.plan;
    let (under_way, energy_per_metre_j, reaches) = under_way(&boat, plan, (sampler, sample));
    let panels = plan.sampled_panels(sampler, sample);
    let sun_factor = SUN_SPREAD.at_deviate(sampler.deviate(name_number(field::model::SUN), sample));
    let sun = request.sunshine.of_year(&panels, &request.weather(sampler, sample).clearness, sun_factor);
    let house_w = plan.sampled_house_w(sampler, sample);
    // As she is stated to begin, not as the sample has her.
    let start = match spec.boat.further.is_empty() {
        true => spec.boat.bank.state_of_charge,
        false => Store::of(&spec.boat).ok()?.start,
    };
    let run = |boat: &Boat, sun: &SunOfYear| {
        let store = Store::of(boat).ok()?;
        let lived = Lived { plan, store: &store, house_w, under_way, start };
        Some(BothYears { lived: lived.year(sun), sun_alone: lived.on_sun_alone(sun) })
    };
    let alternatives: Option<Vec<BothYears>> = request
        .alternatives
        .iter()
        .map(|alternative| match alternative {
            Alternative::MorePanel(more_w) => match plan.panels.first() {
                Some(first) if first.rated_w > 0.0 => run(&boat, &sun.with_more(more_w / first.rated_w)),
                _ => run(&boat, &sun),
            },
            Alternative::MorePack => {
                let mut more = boat.clone();
                more.bank.groups.first_mut()?.packs_in_parallel += 1;
                run(&more, &sun)
            }
        })
        .collect();
    Some(EnergySample {
        years: run(&boat, &sun)?,
        alternatives: alternatives?,
        under_way,
        energy_per_metre_j,
        reaches,
    })
}

/// A month over all samples.
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
    /// Motoring a week when she never plugs in, the bank run down to the reserve on each day under way \[m\];
    /// `None` when she never goes out or makes no way.
    pub miles_week_m: Option<Interval>,
}

/// The state of charge in one week, over all samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekIntervals {
    /// In nine weathers of ten it is never lower.
    pub lowest: f64,
    /// Median of the mean.
    pub mean: f64,
    /// In nine weathers of ten it is never higher.
    pub highest: f64,
}

/// A year over all samples, energies \[J\].
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
    /// Hours of motoring that fall away because the bank is at its reserve.
    pub motoring_lost_hours: Interval,
    /// Hours at the reserve or below.
    pub reserve_hours: Interval,
    /// Hours in which the packs have cut out and loads are not served.
    pub cut_out_hours: Interval,
    /// Motoring a week on sun alone \[m\].
    pub miles_week_m: Option<Interval>,
}

/// What an alternative changes, under common samples.
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
    /// More hours of motoring that fall away at the reserve.
    pub motoring_lost_hours: Interval,
    /// More miles a week on sun alone \[m\].
    pub miles_week_m: Option<Interval>,
}

/// What motoring takes and sailing gives, over all samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnderWayBands {
    /// Out of the terminals while motoring, for the drive alone \[W\].
    pub motoring_w: Interval,
    /// Into the terminals while sailing \[W\].
    pub regeneration_w: Interval,
}

impl UnderWayBands {
    /// Of samples.
    #[must_use]
    pub fn of(samples: impl IntoIterator<Item = UnderWay>) -> Self {
        let samples: Vec<UnderWay> = samples.into_iter().collect();
        let over = |of: fn(&UnderWay) -> f64| band(samples.iter().map(of));
        Self { motoring_w: over(|s| s.motoring_w), regeneration_w: over(|s| s.regeneration_w) }
    }

    /// The medians.
    #[must_use]
    pub fn middle(&self) -> UnderWay {
        UnderWay { motoring_w: self.motoring_w.value, regeneration_w: self.regeneration_w.value }
    }
}

/// Everything found about the year.
#[derive(Debug, Clone)]
pub struct EnergyStudy {
    /// January to December.
    pub months: Vec<MonthIntervals>,
    /// Week by week from 1 January; empty when every sample contradicted itself.
    pub weeks: Vec<WeekIntervals>,
    /// All together.
    pub year: YearIntervals,
    /// What motoring takes and sailing gives.
    pub under_way: UnderWayBands,
    /// Share of samples in which she reaches the motoring speed; in the others she motors as fast as she
    /// can, for the same hours.
    pub reaches_in: f64,
    /// Share of all that her banks hold at which the drive stops.
    pub reserve: f64,
    /// What else was tried.
    pub changes: Vec<Change>,
    /// Weathers sampled, and samples without an answer.
    pub samples: Taken,
    /// What to read first.
    pub notices: Vec<Notice>,
}

/// Median and 80 % band; `None` of no values.
fn band_of_some(values: impl Iterator<Item = f64>) -> Option<Interval> {
    let mut sorted: Vec<f64> = values.collect();
    if sorted.is_empty() {
        return None;
    }
    sorted.sort_unstable_by(f64::total_cmp);
    let at = |share: f64| quantile_of_sorted(&sorted, share);
    Some(Interval { value: at(0.5), p10: at(0.1), p90: at(0.9) })
}

/// Of what every sample with an answer has; noughts when none has one, which [`EnergyStudy::samples`] says.
fn band(values: impl Iterator<Item = f64>) -> Interval {
    band_of_some(values).unwrap_or(Interval::exact(0.0))
}

/// Miles of the drive's energy in one sample; `None` when she makes no way \[m\].
fn miles_m(drive_j: f64, sample: &EnergySample) -> Option<f64> {
    sample.energy_per_metre_j.map(|per_metre| drive_j / per_metre)
}

/// Puts the years of all samples together.
/// # Errors
/// [`BoatError`] when the bank cannot be computed.
pub fn summarise_energy(
    spec: &BoatSpec,
    request: &EnergyRequest,
    sampler: Sampler,
    samples: &[Option<EnergySample>],
) -> Result<EnergyStudy, BoatError> {
    let reserve = Store::of(&spec.boat)?.reserve(request.plan.reserve);
    let plan = &request.plan;
    let good: Vec<&EnergySample> = samples.iter().flatten().collect();
    let goes_out = plan.week.days > 0 && good.iter().any(|sample| sample.energy_per_metre_j.is_some());
    let miles = |drive_j: &dyn Fn(&SunAlone) -> f64| {
        let of_samples = good.iter().filter_map(|s| miles_m(drive_j(&s.years.sun_alone), s));
        goes_out.then(|| band_of_some(of_samples)).flatten()
    };
    let month = |i: usize| {
        let over = |of: &dyn Fn(&MonthSums) -> f64| band(good.iter().map(|s| of(&s.years.lived.months[i])));
        let day = |of: fn(&MonthSums) -> f64| over(&move |m| of(m) * 24.0 / m.hours);
        MonthIntervals {
            sun_day_j: day(|m| m.sun_j),
            house_day_j: day(|m| m.house_j),
            surplus_day_j: day(|m| m.surplus_j),
            shore_hours: over(&|m| m.shore_hours),
            charge: over(&|m| m.charge_hours / m.hours),
            lowest: over(&|m| m.lowest),
            miles_week_m: miles(&|alone| alone.week_of_month_j(i)),
        }
    };
    let weeks = (0..good.first().map_or(0, |sample| sample.years.lived.weeks.len())).map(|i| {
        let over =
            |of: fn(&WeekCharge) -> f64| band(good.iter().map(|sample| of(&sample.years.lived.weeks[i])));
        WeekIntervals {
            lowest: over(|week| week.lowest).p10,
            mean: over(|week| week.mean).value,
            highest: over(|week| week.highest).p90,
        }
    });
    let weeks = weeks.collect();
    let totals: Vec<MonthSums> = good.iter().map(|sample| sample.years.lived.total()).collect();
    let total = |of: fn(&MonthSums) -> f64| band(totals.iter().map(of));
    let changes = request.alternatives.iter().enumerate().map(|(i, &alternative)| {
        let others: Vec<MonthSums> = good.iter().map(|sample| sample.alternatives[i].lived.total()).collect();
        let more = |of: fn(&MonthSums) -> f64| {
            band(totals.iter().zip(&others).map(|(before, after)| of(after) - of(before)))
        };
        let week_j = |years: &BothYears| years.sun_alone.week_of_year_j();
        let more_miles =
            good.iter().filter_map(|s| miles_m(week_j(&s.alternatives[i]) - week_j(&s.years), s));
        Change {
            alternative,
            shore_hours: more(|m| m.shore_hours),
            shore_j: more(|m| m.shore_j),
            surplus_j: more(|m| m.surplus_j),
            motoring_lost_hours: more(|m| m.motoring_lost_hours),
            miles_week_m: goes_out.then(|| band_of_some(more_miles)).flatten(),
        }
    });
    let mut notices = Vec::new();
    for notice in spec
        .boat
        .drive_cautions()
        .into_iter()
        .chain(spec.boat.charging_cautions())
        .chain(spec.boat.bank.charging_notices())
        .chain(plan.notices.iter().cloned())
    {
        push_once(&mut notices, notice);
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
            motoring_lost_hours: total(|m| m.motoring_lost_hours),
            reserve_hours: total(|m| m.reserve_hours),
            cut_out_hours: total(|m| m.cut_out_hours),
            miles_week_m: miles(&SunAlone::week_of_year_j),
        },
        under_way: UnderWayBands::of(good.iter().map(|sample| sample.under_way)),
        reaches_in: good.iter().filter(|sample| sample.reaches).count() as f64 / good.len().max(1) as f64,
        reserve,
        changes: changes.collect(),
        samples: Taken::of(samples, |i| spec.sample(sampler, i)),
        notices,
    })
}
