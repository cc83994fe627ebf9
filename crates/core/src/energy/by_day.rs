//! The sun of a month on a passage: what the panels give in each hour of a day like those of the month,
//! and how far a bank carries a steady load beneath it. Not for: the state that the load comes from.

use super::HOUR_S;
use super::hour::{Asked, serve};
use super::plan::EnergyPlan;
use super::row::Store;
use super::study::SUN_SPREAD;
use super::sunshine::{Sunshine, local_midnight};
use super::year::NO_SHORE;
use crate::field;
use crate::numeric::solve_bracketed;
use crate::solar::SolarError;
use crate::solar::weather::{DailyClearness, normal_share};
use crate::spread::{Sampler, name_number};

/// Middle day of each month, near enough: the sun of the sixteenth.
const MIDDLE_DAY: u32 = 16;
/// A passage that lasts so long has no end that matters \[s\].
pub const LONGEST_S: f64 = 30.0 * 86_400.0;

/// A day like those of one month, on these panels.
#[derive(Debug, Clone, PartialEq)]
pub struct DaySun {
    /// Month, 1 to 12.
    pub month: u32,
    /// Hour of leaving, 0 to 23.
    pub leaves_at: u32,
    clearness: f64,
    days: DailyClearness,
    sunshine: Sunshine,
    plan: EnergyPlan,
}

impl DaySun {
    /// Of a month (1 to 12) of `plan`.
    /// # Errors
    /// [`SolarError`] for a place or time without sun's position.
    pub fn of_month(plan: &EnergyPlan, month: u32) -> Result<Self, SolarError> {
        let month = month.clamp(1, 12);
        let index = (month - 1) as usize;
        let midnight = local_midnight(plan, plan.year, month, MIDDLE_DAY)?;
        Ok(Self {
            month,
            leaves_at: plan.week.leaves_at.min(23),
            clearness: plan.clearness[index],
            days: DailyClearness::around(plan.clearness[index]),
            sunshine: Sunshine::of_day(plan, midnight, index)?,
            plan: plan.clone(),
        })
    }

    /// Power of all panels by hour on a day of the month's mean clearness \[W\].
    #[must_use]
    pub fn usual_w(&self) -> [f64; 24] {
        self.sunshine.power_by_hour_w(&self.plan.panels, 0, self.clearness)
    }

    /// Loads aboard by hour, as stated \[W\].
    #[must_use]
    pub fn house_w(&self) -> [f64; 24] {
        self.plan.house_w()
    }

    /// The same of sample number `sample` \[W\].
    #[must_use]
    pub fn sampled_house_w(&self, sampler: Sampler, sample: u64) -> [f64; 24] {
        self.plan.sampled_house_w(sampler, sample)
    }

    /// Power of all panels by hour on a day sampled from those of the month, with the panels' own uncertainty.
    #[must_use]
    pub fn sampled_w(&self, sampler: Sampler, sample: u64) -> [f64; 24] {
        let deviate = |name: &str| sampler.deviate(name_number(name), sample);
        let factor = SUN_SPREAD.at_deviate(deviate(field::model::SUN));
        let clearness = self.days.at_share(normal_share(deviate("weather.passage")));
        let panels = self.plan.sampled_panels(sampler, sample);
        self.sunshine.power_by_hour_w(&panels, 0, clearness).map(|power_w| factor * power_w)
    }
}

/// Time from the boat's state of charge to `floor` under a steady `load_w`, the sun of the day given back
/// each day from the hour of leaving \[s\]; [`LONGEST_S`] when it never gets there.
///
/// Hour by hour on the bank's own curve; the last hour in shorter steps.
/// # Accuracy
/// Without sun it agrees with the discharge at constant power to half a per cent.
#[must_use]
pub fn time_with_sun_s(
    store: &Store,
    start: f64,
    floor: f64,
    load_w: f64,
    sun_w: &[f64; 24],
    leaves_at: u32,
) -> f64 {
    // The bank's resistance stands still within a step: no more than a tenth of the charge in one.
    let pieces = (load_w * HOUR_S / (0.1 * store.held_j(1.0))).ceil().clamp(1.0, 12.0) as u32;
    let mut charge = start;
    let mut at_last_leaving = start;
    for hour in 0..(LONGEST_S / HOUR_S) as usize {
        // A whole day that leaves no less than the day before goes on for ever.
        if hour > 0 && hour % 24 == 0 {
            if charge >= at_last_leaving {
                return LONGEST_S;
            }
            at_last_leaving = charge;
        }
        let net_w = sun_w[(hour + leaves_at as usize) % 24] - load_w;
        let after = (0..pieces)
            .fold(charge, |at, _| store.step(at, net_w, HOUR_S / f64::from(pieces)).state_of_charge);
        if after <= floor {
            return hour as f64 * HOUR_S + last_of_it_s(store, charge, floor, net_w);
        }
        charge = after;
    }
    LONGEST_S
}

/// Time from `charge` to `floor` within one hour \[s\], in steps short enough to be straight.
fn last_of_it_s(store: &Store, mut charge: f64, floor: f64, net_w: f64) -> f64 {
    const STEPS: u32 = 12;
    let step_s = HOUR_S / f64::from(STEPS);
    for step in 0..STEPS {
        let after = store.step(charge, net_w, step_s).state_of_charge;
        if after <= floor {
            let part = if charge > after { (charge - floor) / (charge - after) } else { 0.0 };
            return (f64::from(step) + part) * step_s;
        }
        charge = after;
    }
    HOUR_S
}

/// A day that is to leave the bank as it was.
#[derive(Debug, Clone, Copy)]
pub struct SunDayAsked<'a> {
    /// The bank.
    pub store: &'a Store,
    /// State of charge at which the drive stops.
    pub reserve: f64,
    /// Panels by local hour \[W\].
    pub sun_w: &'a [f64; 24],
    /// Loads aboard by local hour \[W\].
    pub house_w: &'a [f64; 24],
    /// Hour of leaving, 0 to 23.
    pub leaves_at: u32,
}

/// Distance that the sun of a day carries her at `speed_m_s` for `drive_w`, with as much left in the bank a day
/// after leaving as at the start \[m\]; never more than the day is long.
///
/// The hours of motoring from the hour of leaving are found with the bank followed hour by hour from half way
/// between reserve and full, so that its own losses and limits count.
#[must_use]
pub fn sun_alone_day_m(day: &SunDayAsked<'_>, speed_m_s: f64, drive_w: f64) -> f64 {
    let start = 0.5 * (day.reserve + 1.0);
    let run = |hours: f64| {
        let (mut charge, mut driven_j) = (start, 0.0);
        for i in 0..24 {
            let hour = (i + day.leaves_at as usize) % 24;
            let asked = Asked {
                sun_w: day.sun_w[hour],
                house_w: day.house_w[hour],
                drive_w: drive_w * (hours - i as f64).clamp(0.0, 1.0),
                is_away: true,
                ..Asked::default()
            };
            let served = serve(day.store, (&NO_SHORE, day.reserve), charge, false, &asked);
            charge = served.passed.state_of_charge;
            driven_j += served.drive_w * HOUR_S;
        }
        (charge - start, driven_j)
    };
    /// Closer than a minute.
    const WITHIN_H: f64 = 0.01;
    /// What the sun leaves over, spent without further loss, gives the hours to within such a share of them.
    const GUESS_WITHIN: f64 = 0.06;
    let left = |hours: f64| run(hours).0;
    let still = left(0.0);
    let hours = if still <= 0.0 {
        0.0
    } else {
        let guess =
            (day.store.held_j(start + still) - day.store.held_j(start)) / (drive_w.max(1e-9) * HOUR_S);
        let (sooner, later) = ((1.0 - GUESS_WITHIN) * guess, (1.0 + GUESS_WITHIN) * guess);
        let (low, high) = match () {
            () if later < 24.0 && left(later) < 0.0 => (if left(sooner) > 0.0 { sooner } else { 0.0 }, later),
            () if later < 24.0 => (later, 24.0),
            () => (0.0, 24.0),
        };
        if high == 24.0 && left(24.0) >= 0.0 {
            24.0
        } else {
            solve_bracketed(left, low, high, WITHIN_H).unwrap_or(0.0)
        }
    };
    run(hours).1 / drive_w.max(1e-9) * speed_m_s
}
