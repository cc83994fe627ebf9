//! The sun of a month on a passage: what the panels give in each hour of a day like those of the month,
//! and how far a bank carries a steady load beneath it. Not for: the state that the load comes from.

use super::HOUR_S;
use super::plan::EnergyPlan;
use super::store::Store;
use super::study::{SUN_SPREAD, house_factor, round_trip};
use super::sunshine::{Sunshine, local_midnight};
use crate::boat::Boat;
use crate::solar::SolarError;
use crate::solar::weather::{DailyClearness, normal_share};
use crate::spread::{Draws, name_number};

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
    house_day_j: f64,
    standing_w: f64,
}

impl DaySun {
    /// Of a month (1 to 12) of `plan`, the boat's standing load being `standing_w`.
    /// # Errors
    /// [`SolarError`] for a place or time without sun's position.
    pub fn of_month(plan: &EnergyPlan, month: u32, standing_w: f64) -> Result<Self, SolarError> {
        let month = month.clamp(1, 12);
        let index = (month - 1) as usize;
        let midnight = local_midnight(plan, plan.year, month, MIDDLE_DAY);
        Ok(Self {
            month,
            leaves_at: plan.week.leaves_at.min(23),
            clearness: plan.clearness[index],
            days: DailyClearness::around(plan.clearness[index]),
            sunshine: Sunshine::of_day(plan, midnight, index)?,
            house_day_j: plan.house_w.iter().sum::<f64>() * HOUR_S,
            standing_w,
        })
    }

    /// Power of all panels by hour on a day of the month's mean clearness \[W\].
    #[must_use]
    pub fn usual_w(&self) -> [f64; 24] {
        self.sunshine.power_by_hour_w(0, self.clearness)
    }

    /// Loads aboard over a day, as stated \[J\].
    #[must_use]
    pub fn house_day_j(&self) -> f64 {
        self.house_day_j
    }

    /// The same for a drawn boat, whose standing load is `drawn_w`.
    #[must_use]
    pub fn drawn_house_day_j(&self, drawn_w: f64, draws: Draws, sample: u64) -> f64 {
        let deviate = draws.deviate(name_number("house.power"), sample);
        self.house_day_j * house_factor(self.standing_w, drawn_w, deviate)
    }

    /// Power of all panels by hour on a day drawn from those of the month, with the panels' own uncertainty.
    #[must_use]
    pub fn drawn_w(&self, draws: Draws, sample: u64) -> [f64; 24] {
        let deviate = |name: &str| draws.deviate(name_number(name), sample);
        let factor = SUN_SPREAD.at_deviate(deviate("model.sun"));
        let clearness = self.days.at_share(normal_share(deviate("weather.passage")));
        self.sunshine.power_by_hour_w(0, clearness).map(|power_w| factor * power_w)
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

/// Distance that the sun of a day carries her with as much left in the bank at its end as at its beginning
/// \[m\]: what is left of the sun after the loads aboard, less what is lost in passing through the bank, over
/// the drive's energy for each metre; never more than the day is long.
#[must_use]
pub fn sun_alone_day_m(
    boat: &Boat,
    sun_w: &[f64; 24],
    house_day_j: f64,
    speed_m_s: f64,
    drive_w: f64,
) -> f64 {
    let spare_j = sun_w.iter().sum::<f64>() * HOUR_S - house_day_j;
    let moving_s = round_trip(boat) * spare_j.max(0.0) / drive_w.max(1e-9);
    moving_s.min(24.0 * HOUR_S) * speed_m_s
}
