//! A day and a year of a boat that lives on her bank: sun, loads by the hour, motoring and sailing,
//! shore power. How full the bank is, what is thrown away, when she must plug in, how far the sun
//! carries her.
//!
//! Hours are local mean time at her longitude. Not for: the light itself (`solar`), temperatures that
//! change over the year.

mod by_day;
mod day;
mod figure;
mod hour;
mod plan;
mod row;
mod sheets;
mod store;
mod study;
mod sunshine;
mod year;

pub use by_day::{DaySun, LONGEST_S, SunDayAsked, sun_alone_day_m, time_with_sun_s};
pub use day::{Day, DayHour, day};
pub use plan::{EnergyPlan, HouseLoad, Shore, Unsure, UnsurePanel, Week};
pub use row::Store;
pub use sheets::{ENERGY_SHEETS, HARDLY_PLUGS_IN_S, LivedOn, MONTH_WORDS};
pub use study::{
    Alternative, BothYears, Change, EnergyRequest, EnergySample, EnergyStudy, MonthIntervals, UnderWayBands,
    WeekIntervals, YearIntervals, sample_energy, summarise_energy, under_way,
};
pub use sunshine::{SunOfYear, Sunshine};
pub use year::{Lived, MonthSums, SunAlone, UnderWay, WeekCharge, YearSums};

pub use wakewright_units::factors::HOUR_S;
