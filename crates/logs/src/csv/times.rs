//! How tables write times. Not for: which column holds them.

use serde::{Deserialize, Serialize};

use crate::clock::{DAY_S, days_from_date, parse_iso, parse_time_of_day};
use crate::log::TimeBase;

/// A way to write a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TimeFormat {
    /// `2026-11-25 14:03:05`, with or without zone.
    Iso,
    /// `25.11.2026 14:03:05`, any mark between.
    DayFirst,
    /// `11/25/2026 2:03:05 PM`, any mark between.
    MonthFirst,
    /// `14:03:05`.
    TimeOfDay,
    /// Seconds from 1970.
    UnixSeconds,
    /// Milliseconds from 1970.
    UnixMilliseconds,
    /// Days from 1899-12-30, as spreadsheets count.
    SpreadsheetDays,
    /// Seconds from some start.
    ElapsedSeconds,
    /// Milliseconds from some start.
    ElapsedMilliseconds,
    /// Minutes from some start.
    ElapsedMinutes,
}

impl TimeFormat {
    /// Every one.
    pub const ALL: [Self; 10] = [
        Self::Iso,
        Self::DayFirst,
        Self::MonthFirst,
        Self::TimeOfDay,
        Self::UnixSeconds,
        Self::UnixMilliseconds,
        Self::SpreadsheetDays,
        Self::ElapsedSeconds,
        Self::ElapsedMilliseconds,
        Self::ElapsedMinutes,
    ];

    /// In words.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Iso => "year-month-day",
            Self::DayFirst => "day.month.year",
            Self::MonthFirst => "month/day/year",
            Self::TimeOfDay => "time of day",
            Self::UnixSeconds => "seconds from 1970",
            Self::UnixMilliseconds => "milliseconds from 1970",
            Self::SpreadsheetDays => "spreadsheet days",
            Self::ElapsedSeconds => "seconds from the start",
            Self::ElapsedMilliseconds => "milliseconds from the start",
            Self::ElapsedMinutes => "minutes from the start",
        }
    }

    /// True when a written time means nothing without its zone.
    #[must_use]
    pub fn needs_zone(self) -> bool {
        matches!(self, Self::Iso | Self::DayFirst | Self::MonthFirst | Self::SpreadsheetDays)
    }

    /// Time base, seconds, and whether a zone stood there.
    pub(super) fn read(self, text: &str) -> Option<(TimeBase, f64, bool)> {
        let text = text.trim();
        let count = || text.replace(',', ".").parse::<f64>().ok().filter(|n| n.is_finite());
        match self {
            Self::Iso => parse_iso(text).map(|(time, zone)| (TimeBase::Utc, time, zone)),
            Self::DayFirst | Self::MonthFirst => {
                let (date, time) = text.split_once([' ', 'T']).unwrap_or((text, ""));
                self.read_two(date, time)
            }
            Self::TimeOfDay => parse_time_of_day(text).map(|time| (TimeBase::TimeOfDay, time, true)),
            Self::UnixSeconds => Some((TimeBase::Utc, count()?, true)),
            Self::UnixMilliseconds => Some((TimeBase::Utc, count()? / 1000.0, true)),
            Self::SpreadsheetDays => Some((TimeBase::Utc, (count()? - 25_569.0) * DAY_S, false)),
            Self::ElapsedSeconds => Some((TimeBase::Elapsed, count()?, true)),
            Self::ElapsedMilliseconds => Some((TimeBase::Elapsed, count()? / 1000.0, true)),
            Self::ElapsedMinutes => Some((TimeBase::Elapsed, count()? * 60.0, true)),
        }
    }

    /// As [`Self::read`], date and time in two cells.
    pub(super) fn read_two(self, date: &str, time: &str) -> Option<(TimeBase, f64, bool)> {
        let time = time.trim().trim_start_matches(',').trim();
        if self == Self::Iso {
            return self.read(&format!("{} {time}", date.trim()));
        }
        let mut parts = date.trim().trim_end_matches(',').split(['.', '/', '-']);
        let mut next = || parts.next().and_then(|part| part.trim().parse::<u32>().ok());
        let (first, second, year) = (next()?, next()?, next()?);
        let (day, month) = if self == Self::DayFirst { (first, second) } else { (second, first) };
        let year = if year < 100 { 2000 + year } else { year };
        let days = days_from_date(i64::from(year), month, day)?;
        let seconds = if time.is_empty() { 0.0 } else { parse_time_of_day(time)? };
        Some((TimeBase::Utc, days as f64 * DAY_S + seconds, false))
    }
}
