//! One day hour by hour: the sun's height, what the panels give under a clear, a usual and a dark sky, and
//! how full the bank is; lying still, or under way as in the plan's week. Not for: the year.

use super::HOUR_S;
use super::hour::{Asked, serve};
use super::plan::EnergyPlan;
use super::row::Store;
use super::sunshine::{Sunshine, local_midnight};
use super::year::UnderWay;
use crate::solar::SolarError;
use crate::solar::weather::DailyClearness;

/// Share of days that are darker than the dark day given.
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
    /// Loads as served \[W\].
    pub house_w: f64,
    /// Part of the hour spent motoring, as far as the bank carries it.
    pub motoring: f64,
    /// Part of it spent sailing.
    pub sailing: f64,
    /// Drive as served, mean of the hour \[W\].
    pub drive_w: f64,
    /// Asked for by the drive with the bank at its reserve \[W\].
    pub missing_drive_w: f64,
    /// From the propeller \[W\].
    pub regeneration_w: f64,
    /// From the shore \[W\].
    pub shore_w: f64,
    /// Of sun and propeller, what the bank did not take, usual sky \[W\].
    pub surplus_w: f64,
    /// Asked for by the loads with the packs cut out \[W\].
    pub missing_house_w: f64,
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
    /// Share of all that her banks hold at which the drive stops.
    pub reserve: f64,
    /// She goes out on it.
    pub is_under_way: bool,
}

impl Day {
    /// Energy of one kind over the day \[J\].
    #[must_use]
    pub fn sum_j(&self, of: impl Fn(&DayHour) -> f64) -> f64 {
        self.hours.iter().map(|hour| of(hour) * HOUR_S).sum()
    }
}

/// The day `date` (year, month, day) of `plan`, the bank beginning at `start`; a day under way when
/// `under_way` says what that takes and gives, else she lies still.
/// # Errors
/// [`SolarError`] for a place or time without sun's position.
pub fn day(
    plan: &EnergyPlan,
    store: &Store,
    date: (i64, u32, u32),
    start: f64,
    under_way: Option<&UnderWay>,
) -> Result<Day, SolarError> {
    let (year, month, number) = date;
    let midnight = local_midnight(plan, year, month, number)?;
    let index = (month.clamp(1, 12) - 1) as usize;
    let sunshine = Sunshine::of_day(plan, midnight, index)?;
    let clearness = plan.clearness[index];
    let dark = DailyClearness::around(clearness).at_share(DARK_SHARE);
    let by_hour_w = |clearness| sunshine.power_by_hour_w(&plan.panels, 0, clearness);
    let (usual_w, dark_w, house_w) = (by_hour_w(clearness), by_hour_w(dark), plan.house_w());
    let mut hours = [DayHour::default(); 24];
    for (hour, clear_w) in sunshine.clear_hours_w(&plan.panels, 0) {
        hours[hour.hour].height_rad = hour.height_sine().asin();
        hours[hour.hour].clear_w = clear_w;
    }
    let shares = under_way.map_or([(0.0, 0.0); 24], |_| plan.week.shares());
    let powers = under_way.copied().unwrap_or_default();
    let (mut charge, mut was_plugged, reserve) = (start, false, store.reserve(plan.reserve));
    for (i, hour) in hours.iter_mut().enumerate() {
        hour.usual_w = usual_w[i];
        hour.dark_w = dark_w[i];
        (hour.motoring, hour.sailing) = shares[i];
        hour.regeneration_w = hour.sailing * powers.regeneration_w;
        let asked = Asked {
            sun_w: hour.usual_w,
            regeneration_w: hour.regeneration_w,
            house_w: house_w[i],
            drive_w: hour.motoring * powers.motoring_w,
            is_away: hour.motoring + hour.sailing > 0.0,
        };
        let served = serve(store, (&plan.shore, reserve), charge, was_plugged, &asked);
        was_plugged = served.is_plugged;
        hour.house_w = served.house_w;
        hour.drive_w = served.drive_w;
        hour.shore_w = served.shore_w;
        hour.surplus_w = served.surplus_w;
        if asked.drive_w > 0.0 {
            hour.motoring *= served.drive_w / asked.drive_w;
        }
        hour.missing_house_w = asked.house_w - served.house_w;
        hour.missing_drive_w = asked.drive_w - served.drive_w;
        charge = served.passed.state_of_charge;
        hour.state_of_charge = charge;
    }
    let (rise, set) = plan.place.rise_and_set(midnight);
    let local = |unix: Option<f64>| unix.map(|unix| (unix - midnight) / HOUR_S);
    Ok(Day {
        date,
        rise_h: local(rise),
        set_h: local(set),
        hours,
        clearness,
        start,
        reserve,
        is_under_way: under_way.is_some(),
    })
}
