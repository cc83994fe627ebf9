//! A year hour by hour: 8,760 steps of the bank under one weather. Not for: drawing weathers (`study`).

use super::HOUR_S;
use super::hour::{Asked, serve};
use super::plan::EnergyPlan;
use super::store::Store;
use super::sunshine::Sunshine;
use crate::solar::weather::WeatherYear;

/// What motoring and sailing do to the bank.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct UnderWay {
    /// Out of the terminals while motoring, for the drive alone \[W\].
    pub motoring_w: f64,
    /// Into the terminals while sailing \[W\].
    pub regeneration_w: f64,
}

/// Sums of a month or a year. Energies at the bank's terminals \[J\].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MonthSums {
    /// What the panels could give.
    pub sun_j: f64,
    /// What of sun and regeneration the bank did not take.
    pub surplus_j: f64,
    /// What came back under sail.
    pub regeneration_j: f64,
    /// From the shore.
    pub shore_j: f64,
    /// Loads aboard, served.
    pub house_j: f64,
    /// Drive, served.
    pub motoring_j: f64,
    /// Asked for with the bank empty.
    pub missing_j: f64,
    /// Lost in the bank.
    pub lost_j: f64,
    /// Hours on shore power.
    pub shore_hours: f64,
    /// Hours in which the bank was empty.
    pub empty_hours: f64,
    /// Sum of the state of charge over hours.
    pub charge_hours: f64,
    /// Hours.
    pub hours: f64,
    /// Lowest state of charge.
    pub lowest: f64,
    /// Energy left over each week for motoring on sun alone, summed \[J\].
    pub spare_j: f64,
    /// Weeks that end in it.
    pub weeks: f64,
}

/// State of charge in one week of seven days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekCharge {
    /// Lowest at the end of an hour.
    pub lowest: f64,
    /// Mean over its hours.
    pub mean: f64,
    /// Highest.
    pub highest: f64,
}

/// Hours of a week.
const WEEK_HOURS: f64 = 168.0;

/// A year under one weather.
#[derive(Debug, Clone, PartialEq)]
pub struct YearSums {
    /// January to December.
    pub months: [MonthSums; 12],
    /// The 52 whole weeks from 1 January.
    pub weeks: Vec<WeekCharge>,
    /// State of charge at beginning and end.
    pub state_of_charge: (f64, f64),
    /// Charge through the terminals, in and out \[C\].
    pub charge_coulomb: (f64, f64),
    /// Charge lost \[C\].
    pub lost_coulomb: f64,
}

impl YearSums {
    /// All months together.
    #[must_use]
    pub fn total(&self) -> MonthSums {
        let mut all = MonthSums { lowest: 1.0, ..MonthSums::default() };
        for m in &self.months {
            all.sun_j += m.sun_j;
            all.surplus_j += m.surplus_j;
            all.regeneration_j += m.regeneration_j;
            all.shore_j += m.shore_j;
            all.house_j += m.house_j;
            all.motoring_j += m.motoring_j;
            all.missing_j += m.missing_j;
            all.lost_j += m.lost_j;
            all.shore_hours += m.shore_hours;
            all.empty_hours += m.empty_hours;
            all.charge_hours += m.charge_hours;
            all.hours += m.hours;
            all.lowest = all.lowest.min(m.lowest);
            all.spare_j += m.spare_j;
            all.weeks += m.weeks;
        }
        all
    }
}

/// Runs a year. `sun_factor` multiplies all sun, `house_factor` all loads aboard.
///
/// Each hour as in `hour::serve`.
/// # Accuracy
/// Charge and energy close to 1e-9 of what went through; the weather's and the loads' own uncertainty is
/// the study's business.
#[must_use]
pub fn simulate_year(
    plan: &EnergyPlan,
    sunshine: &Sunshine,
    store: &Store,
    weather: &WeatherYear,
    under_way: &UnderWay,
    start: f64,
    sun_factor: f64,
    house_factor: f64,
) -> YearSums {
    let shares = plan.week.shares();
    let shore = &plan.shore;
    let mut months = [MonthSums { lowest: 1.0, ..MonthSums::default() }; 12];
    let (mut charge, mut plugged) = (start, false);
    let (mut in_coulomb, mut out_coulomb, mut lost_coulomb) = (0.0, 0.0, 0.0);
    let mut spare_of_week_j = 0.0;
    let mut weeks = Vec::with_capacity(52);
    let fresh_week = WeekCharge { lowest: 1.0, mean: 0.0, highest: 0.0 };
    let mut week = fresh_week;
    for day in 0..weather.clearness.len() {
        let sun_w = sunshine.power_by_hour_w(day, weather.clearness[day]);
        let sums = &mut months[sunshine.months[day]];
        let is_under_way = (day % 7) as u32 >= 7 - plan.week.days.min(7);
        for hour in 0..24 {
            let (motoring, sailing) = if is_under_way { shares[hour] } else { (0.0, 0.0) };
            let asked = Asked {
                sun_w: sun_factor * sun_w[hour],
                regeneration_w: sailing * under_way.regeneration_w,
                house_w: house_factor * plan.house_w[hour],
                drive_w: motoring * under_way.motoring_w,
                is_away: motoring + sailing > 0.0,
            };
            let served = serve(store, shore, charge, plugged, &asked);
            let (missing_drive_w, missing_house_w) = served.missing_of(&asked);
            let passed = &served.passed;
            plugged = served.is_plugged;
            sums.sun_j += asked.sun_w * HOUR_S;
            sums.regeneration_j += asked.regeneration_w * HOUR_S;
            sums.house_j += (asked.house_w - missing_house_w) * HOUR_S;
            sums.motoring_j += (asked.drive_w - missing_drive_w) * HOUR_S;
            sums.shore_j += served.shore_w * HOUR_S;
            sums.surplus_j += served.surplus_w * HOUR_S;
            sums.missing_j += served.missing_w * HOUR_S;
            sums.lost_j += passed.lost_j;
            sums.shore_hours += f64::from(u8::from(plugged));
            // Above the rounding of what was asked for, and of nothing.
            let is_empty = served.missing_w > 1e-6 * (asked.house_w + asked.drive_w) + 1e-3;
            sums.empty_hours += f64::from(u8::from(is_empty));
            charge = passed.state_of_charge;
            sums.charge_hours += charge;
            sums.hours += 1.0;
            sums.lowest = sums.lowest.min(charge);
            week.lowest = week.lowest.min(charge);
            week.highest = week.highest.max(charge);
            week.mean += charge / WEEK_HOURS;
            *(if passed.terminal_coulomb >= 0.0 { &mut in_coulomb } else { &mut out_coulomb }) +=
                passed.terminal_coulomb.abs();
            lost_coulomb += passed.lost_coulomb;
            spare_of_week_j += (asked.sun_w - asked.house_w) * HOUR_S;
        }
        // A week counts to the month in which it ends.
        if day % 7 == 6 {
            sums.weeks += 1.0;
            sums.spare_j += spare_of_week_j.max(0.0);
            spare_of_week_j = 0.0;
            weeks.push(week);
            week = fresh_week;
        }
    }
    YearSums {
        months,
        weeks,
        state_of_charge: (start, charge),
        charge_coulomb: (in_coulomb, out_coulomb),
        lost_coulomb,
    }
}
