//! One day hour by hour: the sun's height, what the panels give under a clear, a usual and a dark sky, and
//! how full the bank is. Not for: motoring and sailing on that day.

use super::HOUR_S;
use super::plan::EnergyPlan;
use super::store::Store;
use super::sunshine::{Sunshine, local_midnight};
use crate::solar::SolarError;
use crate::solar::clear_sky::clear_sky_ineichen2002;
use crate::solar::position::Sun;
use crate::solar::weather::DailyClearness;

/// Haze of a clear day at sea: Linke turbidity. From memory, the middle of 2.5 to 3.5.
pub const USUAL_TURBIDITY: f64 = 3.0;
/// Share of days that are darker than the dark day told.
pub const DARK_SHARE: f64 = 0.1;

/// An hour of the day.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DayHour {
    /// Height of the sun in its middle \[rad\], 0 when down.
    pub height_rad: f64,
    /// Power of all panels into the bank's terminals: clear sky \[W\].
    pub clear_w: f64,
    /// On a day of the month's mean clearness \[W\].
    pub usual_w: f64,
    /// On a day that one in ten is darker than \[W\].
    pub dark_w: f64,
    /// Loads \[W\].
    pub house_w: f64,
    /// State of charge at its end, usual sky.
    pub state_of_charge: f64,
}

/// A day.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// Year, month, day.
    pub date: (i64, u32, u32),
    /// Rising and setting in hours of local mean time; `None` when it does not.
    pub rise_h: Option<f64>,
    /// Setting.
    pub set_h: Option<f64>,
    /// Hour by hour.
    pub hours: [DayHour; 24],
    /// Mean clearness of the month.
    pub clearness: f64,
    /// State of charge at the start.
    pub start: f64,
}

impl Day {
    /// Energy of one kind over the day \[J\].
    #[must_use]
    pub fn sum_j(&self, of: impl Fn(&DayHour) -> f64) -> f64 {
        self.hours.iter().map(|hour| of(hour) * HOUR_S).sum()
    }
}

/// The day `date` (year, month, day) of `plan`, the bank beginning at `start`.
/// # Errors
/// [`SolarError`] for a place or time without sun's position.
pub fn day(plan: &EnergyPlan, store: &Store, date: (i64, u32, u32), start: f64) -> Result<Day, SolarError> {
    let (year, month, number) = date;
    let midnight = local_midnight(plan, year, month, number);
    let index = (month.clamp(1, 12) - 1) as usize;
    let sunshine = Sunshine::of_day(plan, midnight, index)?;
    let clearness = plan.clearness[index];
    let dark = DailyClearness::around(clearness).at_share(DARK_SHARE);
    let (usual_w, dark_w) = (sunshine.power_by_hour_w(0, clearness), sunshine.power_by_hour_w(0, dark));
    let mut hours = [DayHour::default(); 24];
    for hour in sunshine.hours(0) {
        let height_rad = hour.height_sine().asin();
        let sun = Sun {
            zenith_rad: std::f64::consts::FRAC_PI_2 - height_rad,
            apparent_zenith_rad: std::f64::consts::FRAC_PI_2 - height_rad,
            azimuth_rad: 0.0,
            extraterrestrial_w_m2: hour.strength_w_m2(),
        };
        hours[hour.hour].height_rad = height_rad;
        hours[hour.hour].clear_w = sunshine.power_w(hour, &clear_sky_ineichen2002(&sun, USUAL_TURBIDITY));
    }
    let mut charge = start;
    for (i, hour) in hours.iter_mut().enumerate() {
        hour.usual_w = usual_w[i];
        hour.dark_w = dark_w[i];
        hour.house_w = plan.house_w[i];
        charge = store.step(charge, usual_w[i] - plan.house_w[i], HOUR_S).state_of_charge;
        hour.state_of_charge = charge;
    }
    let (rise, set) = plan.place.rise_and_set(midnight);
    let local = |unix: Option<f64>| unix.map(|unix| (unix - midnight) / HOUR_S);
    Ok(Day { date, rise_h: local(rise), set_h: local(set), hours, clearness, start })
}
