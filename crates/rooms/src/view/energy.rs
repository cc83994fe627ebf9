//! `energy` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::energy::{Alternative, Day, EnergyPlan, EnergyStudy};
use wakewright_core::study::Interval;
use wakewright_units::factors::{NAUTICAL_MILE_M, WATT_HOUR_J};

use super::{Band, Envelope, FORMAT_VERSION, NoticeView};
use crate::text::{day_finding, energy_finding};

/// A day and a year of the bank.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct EnergyView {
    /// Rated power of all panels.
    pub panels_w: f64,
    /// Key of the climate's source, or `as stated`.
    pub climate_source: &'static str,
    /// The day, when one was asked for.
    pub day: Option<DayView>,
    /// The year, when it was asked for.
    pub year: Option<EnergyYearView>,
}

/// A day.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DayView {
    /// `2026-06-21`.
    pub date: String,
    /// Rising, in hours of local mean time.
    pub sunrise_h: Option<f64>,
    /// Setting.
    pub sunset_h: Option<f64>,
    /// Mean clearness of the month.
    pub clearness_share: f64,
    /// State of charge at the start.
    pub start_share: f64,
    /// She goes out on it.
    pub is_under_way: bool,
    /// Hours 0 to 23, local mean time.
    pub hours: Vec<DayHourView>,
}

/// An hour of the day.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DayHourView {
    /// Height of the sun.
    pub sun_height_deg: f64,
    /// Panels under a clear sky.
    pub clear_w: f64,
    /// Under the month's mean clearness.
    pub usual_w: f64,
    /// On a day that one in ten is darker than.
    pub dark_w: f64,
    /// Loads, as served.
    pub loads_w: f64,
    /// Asked for by the loads and not served: the packs have cut out.
    pub loads_missing_w: f64,
    /// Drive, as served.
    pub drive_w: f64,
    /// Asked for by the drive and not served: the bank is at its reserve.
    pub drive_missing_w: f64,
    /// From the propeller.
    pub regeneration_w: f64,
    /// From the shore.
    pub shore_w: f64,
    /// Of sun and propeller, what the bank did not take, usual sky.
    pub wasted_w: f64,
    /// State of charge at the end of the hour, usual sky.
    pub state_of_charge_share: f64,
}

/// The year.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct EnergyYearView {
    /// Weathers sampled.
    pub weathers: usize,
    /// Drive's power while motoring.
    pub motoring_w: f64,
    /// Power into the bank while sailing.
    pub regeneration_w: f64,
    /// January to December.
    pub months: Vec<MonthView>,
    /// Week by week from 1 January.
    pub weeks: Vec<WeekView>,
    /// Sun at the bank, whole year.
    pub sun_wh: Band,
    /// Not taken by the bank.
    pub wasted_wh: Band,
    /// From the propeller.
    pub regeneration_wh: Band,
    /// From the shore, into the bank.
    pub shore_wh: Band,
    /// Hours on shore power.
    pub shore_hours_h: Band,
    /// Loads aboard.
    pub loads_wh: Band,
    /// Motoring.
    pub motoring_wh: Band,
    /// Lost in the bank.
    pub lost_wh: Band,
    /// State of charge at which the drive stops.
    pub reserve_share: f64,
    /// Hours of motoring that fall away because the bank is at its reserve.
    pub motoring_lost_h: Band,
    /// Hours at the reserve or below.
    pub at_reserve_h: Band,
    /// Hours in which the packs have cut out and loads are not served.
    pub cut_out_h: Band,
    /// Motoring a week when she never plugs in; absent when she never goes out.
    pub miles_per_week_nmi: Option<Band>,
    /// What one thing more would change.
    pub changes: Vec<ChangeView>,
}

/// A month.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct MonthView {
    /// 1 to 12.
    pub month: usize,
    /// Sun in a day.
    pub sun_wh_per_day: Band,
    /// Loads in a day.
    pub loads_wh_per_day: Band,
    /// Not taken, in a day.
    pub wasted_wh_per_day: Band,
    /// Hours on shore power in the month.
    pub shore_hours_h: Band,
    /// Mean state of charge.
    pub mean_charge_share: Band,
    /// Lowest state of charge.
    pub lowest_charge_share: Band,
    /// Motoring a week on sun alone.
    pub miles_per_week_nmi: Option<Band>,
}

/// A week of the year, from 1 January.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct WeekView {
    /// In nine weathers of ten the charge is never lower.
    pub lowest_charge_share: f64,
    /// Median of its mean.
    pub mean_charge_share: f64,
    /// In nine weathers of ten it is never higher.
    pub highest_charge_share: f64,
}

/// A change.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ChangeView {
    /// `panel` or `pack`.
    pub one_more: &'static str,
    /// Power of the panel.
    pub panel_w: Option<f64>,
    /// More hours on shore power in the year.
    pub shore_hours_h: Band,
    /// More energy from the shore, into the bank.
    pub shore_wh: Band,
    /// More thrown away.
    pub wasted_wh: Band,
    /// More hours of motoring that fall away at the reserve.
    pub motoring_lost_h: Band,
    /// More miles a week on sun alone.
    pub miles_per_week_nmi: Option<Band>,
}

fn energy(interval: Interval) -> Band {
    Band::of(interval, WATT_HOUR_J)
}

fn miles(interval: Option<Interval>) -> Option<Band> {
    interval.map(|i| Band::of(i, NAUTICAL_MILE_M))
}

fn day_view(day: &Day) -> DayView {
    let (year, month, number) = day.date;
    DayView {
        date: format!("{year:04}-{month:02}-{number:02}"),
        sunrise_h: day.rise_h,
        sunset_h: day.set_h,
        clearness_share: day.clearness,
        start_share: day.start,
        is_under_way: day.is_under_way,
        hours: day
            .hours
            .iter()
            .map(|hour| DayHourView {
                sun_height_deg: hour.height_rad.to_degrees(),
                clear_w: hour.clear_w,
                usual_w: hour.usual_w,
                dark_w: hour.dark_w,
                loads_w: hour.house_w,
                loads_missing_w: hour.missing_house_w,
                drive_w: hour.drive_w,
                drive_missing_w: hour.missing_drive_w,
                regeneration_w: hour.regeneration_w,
                shore_w: hour.shore_w,
                wasted_w: hour.surplus_w,
                state_of_charge_share: hour.state_of_charge,
            })
            .collect(),
    }
}

fn year_view(plan: &EnergyPlan, study: &EnergyStudy) -> EnergyYearView {
    let year = &study.year;
    EnergyYearView {
        weathers: study.samples.0,
        motoring_w: study.under_way.motoring_w,
        regeneration_w: study.under_way.regeneration_w,
        months: study
            .months
            .iter()
            .enumerate()
            .map(|(i, month)| MonthView {
                month: i + 1,
                sun_wh_per_day: energy(month.sun_day_j),
                loads_wh_per_day: energy(month.house_day_j),
                wasted_wh_per_day: energy(month.surplus_day_j),
                shore_hours_h: Band::of(month.shore_hours, 1.0),
                mean_charge_share: Band::of(month.charge, 1.0),
                lowest_charge_share: Band::of(month.lowest, 1.0),
                miles_per_week_nmi: miles(month.miles_week_m),
            })
            .collect(),
        weeks: study
            .weeks
            .iter()
            .map(|week| WeekView {
                lowest_charge_share: week.lowest,
                mean_charge_share: week.mean,
                highest_charge_share: week.highest,
            })
            .collect(),
        sun_wh: energy(year.sun_j),
        wasted_wh: energy(year.surplus_j),
        regeneration_wh: energy(year.regeneration_j),
        shore_wh: energy(year.shore_j),
        shore_hours_h: Band::of(year.shore_hours, 1.0),
        loads_wh: energy(year.house_j),
        motoring_wh: energy(year.motoring_j),
        lost_wh: energy(year.lost_j),
        reserve_share: plan.reserve,
        motoring_lost_h: Band::of(year.motoring_lost_hours, 1.0),
        at_reserve_h: Band::of(year.reserve_hours, 1.0),
        cut_out_h: Band::of(year.cut_out_hours, 1.0),
        miles_per_week_nmi: miles(year.miles_week_m),
        changes: study
            .changes
            .iter()
            .map(|change| ChangeView {
                one_more: match change.alternative {
                    Alternative::MorePanel(_) => "panel",
                    Alternative::MorePack => "pack",
                },
                panel_w: match change.alternative {
                    Alternative::MorePanel(power_w) => Some(power_w),
                    Alternative::MorePack => None,
                },
                shore_hours_h: Band::of(change.shore_hours, 1.0),
                shore_wh: energy(change.shore_j),
                wasted_wh: energy(change.surplus_j),
                motoring_lost_h: Band::of(change.motoring_lost_hours, 1.0),
                miles_per_week_nmi: miles(change.miles_week_m),
            })
            .collect(),
    }
}

/// The view of a day, a year or both.
#[must_use]
pub fn energy_view(
    name: &str,
    plan: &EnergyPlan,
    day: Option<&Day>,
    study: Option<&EnergyStudy>,
) -> Envelope<EnergyView> {
    let finding = match (study, day) {
        (Some(study), _) => energy_finding(name, plan, study),
        (None, Some(day)) => day_finding(name, day),
        (None, None) => crate::sentence::Finding {
            sentence: String::new(),
            binding: String::new(),
            figure: String::new(),
            further: String::new(),
        },
    };
    Envelope {
        format: "wakewright/energy".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding: finding.sentence,
        further: finding.further,
        result: EnergyView {
            panels_w: plan.rated_w(),
            climate_source: plan.climate_source,
            day: day.map(day_view),
            year: study.map(|study| year_view(plan, study)),
        },
        notices: study.map_or_else(Vec::new, |study| study.notices.iter().map(NoticeView::of).collect()),
    }
}
