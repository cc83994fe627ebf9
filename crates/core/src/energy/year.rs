//! A year hour by hour: 8,760 steps of the bank under one weather, lived as planned, or motoring on what the
//! sun brings. Not for: drawing weathers (`study`).

use super::HOUR_S;
use super::hour::{AT_RESERVE, Asked, Served, serve};
use super::plan::{EnergyPlan, Shore};
use super::row::Store;
use super::sunshine::SunOfYear;
use crate::solar::weather::MONTH_DAYS;

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
    /// Asked for by the drive and not served: the bank was at its reserve.
    pub missing_drive_j: f64,
    /// Asked for by the loads and not served: the packs had cut out.
    pub missing_house_j: f64,
    /// Lost in the bank.
    pub lost_j: f64,
    /// Hours on shore power.
    pub shore_hours: f64,
    /// Hours of motoring that fell away because the bank was at its reserve.
    pub motoring_lost_hours: f64,
    /// Hours that ended with the bank at its reserve or below.
    pub reserve_hours: f64,
    /// Hours in which loads were not served because the packs had cut out.
    pub cut_out_hours: f64,
    /// Sum of the state of charge over hours.
    pub charge_hours: f64,
    /// Hours.
    pub hours: f64,
    /// Lowest state of charge.
    pub lowest: f64,
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
            all.missing_drive_j += m.missing_drive_j;
            all.missing_house_j += m.missing_house_j;
            all.lost_j += m.lost_j;
            all.shore_hours += m.shore_hours;
            all.motoring_lost_hours += m.motoring_lost_hours;
            all.reserve_hours += m.reserve_hours;
            all.cut_out_hours += m.cut_out_hours;
            all.charge_hours += m.charge_hours;
            all.hours += m.hours;
            all.lowest = all.lowest.min(m.lowest);
        }
        all
    }
}

/// Motoring on what the sun brings, weeks counted to the month in which they end.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SunAlone {
    /// Drive, by month \[J\].
    pub drive_j: [f64; 12],
    /// Weeks, by month.
    pub weeks: [f64; 12],
}

impl SunAlone {
    /// Drive in a week of one month \[J\].
    #[must_use]
    pub fn week_of_month_j(&self, month: usize) -> f64 {
        self.drive_j[month] / self.weeks[month].max(1.0)
    }

    /// Drive in a week, mean of the year \[J\].
    #[must_use]
    pub fn week_of_year_j(&self) -> f64 {
        self.drive_j.iter().sum::<f64>() / self.weeks.iter().sum::<f64>().max(1.0)
    }
}

/// Shore power that is never taken.
pub(super) const NO_SHORE: Shore = Shore { charge_w: 0.0, plug_in_at: -1.0, until: -1.0 };

/// A boat lived on for a year.
#[derive(Debug, Clone, Copy)]
pub struct Lived<'a> {
    /// Week, shore and reserve.
    pub plan: &'a EnergyPlan,
    /// Her bank.
    pub store: &'a Store,
    /// Loads aboard by local hour \[W\].
    pub house_w: [f64; 24],
    /// What motoring takes and sailing gives.
    pub under_way: UnderWay,
    /// State of charge on 1 January.
    pub start: f64,
}

impl Lived<'_> {
    /// The year as planned, each hour as in `hour::serve`.
    /// # Accuracy
    /// Charge and energy close to 1e-9 of what went through; the weather's and the loads' own uncertainty is
    /// the study's business.
    #[must_use]
    pub fn year(&self, sun: &SunOfYear) -> YearSums {
        let (plan, store) = (self.plan, self.store);
        let shares = plan.week.shares();
        let mut months = [MonthSums { lowest: 1.0, ..MonthSums::default() }; 12];
        // Whoever had to stop for want of charge plugs in when back, whatever the sun has brought since.
        let (mut charge, mut plugged, mut had_to_stop) = (self.start, false, false);
        let reserve = store.reserve(plan.reserve);
        let (mut in_coulomb, mut out_coulomb, mut lost_coulomb) = (0.0, 0.0, 0.0);
        let mut weeks = Vec::with_capacity(52);
        let fresh_week = WeekCharge { lowest: 1.0, mean: 0.0, highest: 0.0 };
        let mut week = fresh_week;
        for (day, month) in months_of_days().enumerate() {
            let sums = &mut months[month];
            let is_under_way = plan.week.is_under_way(day);
            for (hour, &planned) in shares.iter().enumerate() {
                let (motoring, sailing) = if is_under_way { planned } else { (0.0, 0.0) };
                let asked = Asked {
                    sun_w: sun.all_w[day][hour],
                    regeneration_w: sailing * self.under_way.regeneration_w,
                    house_w: self.house_w[hour],
                    drive_w: motoring * self.under_way.motoring_w,
                    is_away: motoring + sailing > 0.0,
                };
                let served = serve(store, (&plan.shore, reserve), charge, plugged || had_to_stop, &asked);
                let passed = &served.passed;
                plugged = served.is_plugged;
                had_to_stop = asked.drive_w - served.drive_w > ROUNDING_W || (had_to_stop && asked.is_away);
                charge = passed.state_of_charge;
                sums.add(&asked, &served, motoring, reserve);
                week.lowest = week.lowest.min(charge);
                week.highest = week.highest.max(charge);
                week.mean += charge / WEEK_HOURS;
                *(if passed.terminal_coulomb >= 0.0 { &mut in_coulomb } else { &mut out_coulomb }) +=
                    passed.terminal_coulomb.abs();
                lost_coulomb += passed.lost_coulomb;
            }
            if day % 7 == 6 {
                weeks.push(week);
                week = fresh_week;
            }
        }
        YearSums {
            months,
            weeks,
            state_of_charge: (self.start, charge),
            charge_coulomb: (in_coulomb, out_coulomb),
            lost_coulomb,
        }
    }

    /// How much she motors on the sun alone: without shore and sails, on each of her days under way from the hour
    /// of leaving until the bank is at its reserve or the day ends; from the reserve on 1 January.
    ///
    /// So the figure counts what the bank takes and holds, what it loses, and how often she goes out. A week
    /// that leaves nothing above the reserve counts as zero and leaves no hole to the next: the year is a row of
    /// weeks, not a boat left alone in winter.
    #[must_use]
    pub fn on_sun_alone(&self, sun: &SunOfYear) -> SunAlone {
        let plan = self.plan;
        let mut found = SunAlone::default();
        let reserve = self.store.reserve(plan.reserve);
        let (mut charge, mut at_week_start, mut of_week_j) = (reserve, reserve, 0.0);
        for (day, month) in months_of_days().enumerate() {
            let is_under_way = plan.week.is_under_way(day);
            for hour in 0..24 {
                let is_out = is_under_way && hour >= plan.week.leaves_at as usize;
                let asked = Asked {
                    sun_w: sun.all_w[day][hour],
                    regeneration_w: 0.0,
                    house_w: self.house_w[hour],
                    drive_w: if is_out { self.under_way.motoring_w } else { 0.0 },
                    is_away: is_out,
                };
                let served = serve(self.store, (&NO_SHORE, reserve), charge, false, &asked);
                charge = served.passed.state_of_charge;
                of_week_j += served.drive_w * HOUR_S;
            }
            if day % 7 == 6 {
                found.weeks[month] += 1.0;
                found.drive_j[month] += of_week_j;
                if of_week_j == 0.0 {
                    charge = charge.max(at_week_start);
                }
                at_week_start = charge;
                of_week_j = 0.0;
            }
        }
        found
    }
}

/// Above the rounding of what was asked for, and of nothing \[W\].
const ROUNDING_W: f64 = 1e-3;

/// Month of each day of the year, 0 to 11.
fn months_of_days() -> impl Iterator<Item = usize> {
    MONTH_DAYS.iter().enumerate().flat_map(|(month, &days)| (0..days).map(move |_| month))
}

impl MonthSums {
    fn add(&mut self, asked: &Asked, served: &Served, motoring: f64, reserve: f64) {
        let charge = served.passed.state_of_charge;
        let missing_drive_w = asked.drive_w - served.drive_w;
        let missing_house_w = asked.house_w - served.house_w;
        self.sun_j += asked.sun_w * HOUR_S;
        self.regeneration_j += asked.regeneration_w * HOUR_S;
        self.house_j += served.house_w * HOUR_S;
        self.motoring_j += served.drive_w * HOUR_S;
        self.shore_j += served.shore_w * HOUR_S;
        self.surplus_j += served.surplus_w * HOUR_S;
        self.missing_drive_j += missing_drive_w * HOUR_S;
        self.missing_house_j += missing_house_w * HOUR_S;
        self.lost_j += served.passed.lost_j;
        self.shore_hours += f64::from(u8::from(served.is_plugged));
        if missing_drive_w > 1e-6 * asked.drive_w + ROUNDING_W {
            self.motoring_lost_hours += motoring * missing_drive_w / asked.drive_w;
        }
        self.reserve_hours += f64::from(u8::from(charge <= reserve + AT_RESERVE));
        self.cut_out_hours += f64::from(u8::from(missing_house_w > 1e-6 * asked.house_w + ROUNDING_W));
        self.charge_hours += charge;
        self.hours += 1.0;
        self.lowest = self.lowest.min(charge);
    }
}
