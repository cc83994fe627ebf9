//! How tables write times, and the clock of one table as its rows go by.
//! Not for: which column holds them.

use serde::{Deserialize, Serialize};

use crate::clock::{DAY_S, DateOrder, Day, parse_compact_clock, parse_iso, parse_stamp, parse_time_of_day};
use crate::log::TimeBase;

/// A way to write a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TimeFormat {
    /// `2026-11-25 14:03:05`, any marks, month by number or name, with or without zone.
    Iso,
    /// `25.11.2026 14:03:05`, `25 Nov 2026`, any marks.
    DayFirst,
    /// `11/25/2026 2:03:05 PM`, any marks.
    MonthFirst,
    /// `14:03:05`.
    TimeOfDay,
    /// Seconds from 1970.
    UnixSeconds,
    /// Seconds from 6 January 1980 without leap seconds, as receivers of satellites count.
    GpsSeconds,
    /// Milliseconds from 1970.
    UnixMilliseconds,
    /// Microseconds from 1970.
    UnixMicroseconds,
    /// Nanoseconds from 1970.
    UnixNanoseconds,
    /// Days from 1899-12-30, as spreadsheets count.
    SpreadsheetDays,
    /// Days from 1970.
    UnixDays,
    /// Seconds from some start.
    ElapsedSeconds,
    /// Milliseconds from some start.
    ElapsedMilliseconds,
    /// Microseconds from some start.
    ElapsedMicroseconds,
    /// Minutes from some start.
    ElapsedMinutes,
    /// Hours from some start.
    ElapsedHours,
    /// `mm:ss` from some start; `hh:mm:ss` where there are three.
    ElapsedMinuteClock,
    /// `hh:mm` or `hh:mm:ss` from some start.
    ElapsedHourClock,
}

/// 6 January 1980 \[s from 1970\], and by how much receivers' count is ahead of UTC since 2017 (IERS Bulletin C 52, 2016;
/// from memory).
const GPS_FROM_S: f64 = 315_964_800.0;
const GPS_AHEAD_S: f64 = 18.0;

impl TimeFormat {
    /// Every one.
    pub const ALL: [Self; 18] = [
        Self::Iso,
        Self::DayFirst,
        Self::MonthFirst,
        Self::TimeOfDay,
        Self::UnixSeconds,
        Self::GpsSeconds,
        Self::UnixMilliseconds,
        Self::UnixMicroseconds,
        Self::UnixNanoseconds,
        Self::SpreadsheetDays,
        Self::UnixDays,
        Self::ElapsedSeconds,
        Self::ElapsedMilliseconds,
        Self::ElapsedMicroseconds,
        Self::ElapsedMinutes,
        Self::ElapsedHours,
        Self::ElapsedMinuteClock,
        Self::ElapsedHourClock,
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
            Self::GpsSeconds => "seconds from 1980, as receivers count",
            Self::UnixMilliseconds => "milliseconds from 1970",
            Self::UnixMicroseconds => "microseconds from 1970",
            Self::UnixNanoseconds => "nanoseconds from 1970",
            Self::SpreadsheetDays => "spreadsheet days",
            Self::UnixDays => "days from 1970",
            Self::ElapsedSeconds => "seconds from the start",
            Self::ElapsedMilliseconds => "milliseconds from the start",
            Self::ElapsedMicroseconds => "microseconds from the start",
            Self::ElapsedMinutes => "minutes from the start",
            Self::ElapsedHours => "hours from the start",
            Self::ElapsedMinuteClock => "minutes:seconds from the start",
            Self::ElapsedHourClock => "hours:minutes from the start",
        }
    }

    /// True when a written time means nothing without its zone.
    #[must_use]
    pub fn needs_zone(self) -> bool {
        matches!(self, Self::Iso | Self::DayFirst | Self::MonthFirst | Self::SpreadsheetDays)
    }

    pub(super) fn order(self) -> DateOrder {
        match self {
            Self::DayFirst => DateOrder::Day,
            Self::MonthFirst => DateOrder::Month,
            _ => DateOrder::Year,
        }
    }

    /// The time in a cell; `date` before it where it has a cell of its own.
    pub(super) fn read(self, date: Option<&str>, text: &str) -> Option<Written> {
        let text = text.trim();
        let count = || {
            let number: f64 = super::numbers::plain(text)?;
            number.is_finite().then_some(number)
        };
        let at = |base: TimeBase, time_s: f64| {
            Some(Written { base, time_s, has_zone: true, ..Written::default() })
        };
        match self {
            Self::Iso | Self::DayFirst | Self::MonthFirst => self.read_date(date, text),
            Self::TimeOfDay => at(TimeBase::TimeOfDay, clock_of_day(text)?),
            Self::UnixSeconds => at(TimeBase::Utc, count()?),
            Self::GpsSeconds => at(TimeBase::Utc, count()? + GPS_FROM_S - GPS_AHEAD_S),
            Self::UnixMilliseconds => at(TimeBase::Utc, count()? / 1e3),
            Self::UnixMicroseconds => at(TimeBase::Utc, count()? / 1e6),
            Self::UnixNanoseconds => at(TimeBase::Utc, count()? / 1e9),
            Self::SpreadsheetDays => Some(Written {
                base: TimeBase::Utc,
                // Days in doubles carry a microsecond or so of noise.
                time_s: ((count()? - 25_569.0) * DAY_S * 1e3).round() / 1e3,
                ..Written::default()
            }),
            Self::UnixDays => at(TimeBase::Utc, (count()? * DAY_S * 1e3).round() / 1e3),
            Self::ElapsedSeconds => at(TimeBase::Elapsed, count()?),
            Self::ElapsedMilliseconds => at(TimeBase::Elapsed, count()? / 1e3),
            Self::ElapsedMicroseconds => at(TimeBase::Elapsed, count()? / 1e6),
            Self::ElapsedMinutes => at(TimeBase::Elapsed, count()? * 60.0),
            Self::ElapsedHours => at(TimeBase::Elapsed, count()? * 3600.0),
            Self::ElapsedMinuteClock => Some(Written {
                is_of_an_hour: text.matches(':').count() == 1,
                ..at(TimeBase::Elapsed, elapsed(text, 60.0)?)?
            }),
            Self::ElapsedHourClock => at(TimeBase::Elapsed, elapsed(text, 3600.0)?),
        }
    }

    fn read_date(self, date: Option<&str>, text: &str) -> Option<Written> {
        if date.is_none()
            && self == Self::Iso
            && let Some((time_s, has_zone)) = parse_iso(text)
        {
            return Some(Written { base: TimeBase::Utc, time_s, has_zone, ..Written::default() });
        }
        let stamp = match date {
            None => parse_stamp(text, self.order())?,
            Some(date) => {
                // A spreadsheet writes midnight beside a date that has a cell of its own for the time.
                let day = parse_stamp(date, self.order())?;
                match parse_stamp(text, self.order()).filter(|stamp| stamp.has_clock) {
                    Some(clock) => crate::clock::Stamp { day: day.day, ..clock },
                    None => crate::clock::Stamp { second_s: clock_of_day(text)?, has_clock: true, ..day },
                }
            }
        };
        let (day, is_yearless) = match stamp.day {
            Day::Of(days) => (days, false),
            Day::OfYear(days) => (days, true),
            Day::Unsaid => return None,
        };
        let local_s = day as f64 * DAY_S + stamp.second_s;
        Some(Written {
            base: if is_yearless { TimeBase::TimeOfDay } else { TimeBase::Utc },
            time_s: local_s - stamp.zone_s.unwrap_or(0.0),
            has_zone: stamp.zone_s.is_some() || is_yearless,
            is_yearless,
            ..Written::default()
        })
    }
}

/// A time as it stands in one row.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Written {
    pub base: TimeBase,
    pub time_s: f64,
    pub has_zone: bool,
    /// Days count from 1 January of a year that is not written.
    pub is_yearless: bool,
    /// The date stands in a row above.
    pub is_carried: bool,
    /// The date is that of the row above.
    pub is_repeated: bool,
    /// Minutes and seconds, which begin anew after an hour.
    pub is_of_an_hour: bool,
}

/// `14:03:05`, `2:03 pm`, `140305`, or a part of a day as spreadsheets keep it.
pub(super) fn clock_of_day(text: &str) -> Option<f64> {
    let text = text.trim();
    let (bare, _) = crate::clock::split_zone(text).filter(|(_, zone)| zone.is_some()).unwrap_or((text, None));
    parse_time_of_day(bare).or_else(|| parse_compact_clock(bare)).or_else(|| dotted_clock(bare)).or_else(
        || {
            let share: f64 = super::numbers::plain(text)?;
            (text.contains(['.', ',']) && (0.0..1.0).contains(&share))
                .then(|| (share * DAY_S * 1e3).round() / 1e3)
        },
    )
}

/// `13.04.20` where a column of its own is a clock.
pub(super) fn dotted_clock(text: &str) -> Option<f64> {
    let mut parts = text.trim().split('.');
    let mut next = |most: f64| {
        let part = parts.next().filter(|part| matches!(part.len(), 1 | 2))?;
        part.parse::<u8>().ok().map(f64::from).filter(|n| *n < most)
    };
    let second_s = next(24.0)? * 3600.0 + next(60.0)? * 60.0 + next(61.0)?;
    parts.next().is_none().then_some(second_s)
}

/// Seconds of `a:b` or `a:b:c`; two numbers count in `first_s` and its sixtieth.
fn elapsed(text: &str, first_s: f64) -> Option<f64> {
    let (sign, text) = text.strip_prefix('-').map_or((1.0, text), |rest| (-1.0, rest));
    let parts: Vec<&str> = text.split(':').collect();
    let number = |part: &str| {
        let part = part.trim().replace(',', ".");
        let is_plain = !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        if is_plain { part.parse::<f64>().ok() } else { None }
    };
    let below_sixty = |part: &str| number(part).filter(|n| *n < 61.0);
    match parts.as_slice() {
        [a, b] => Some(sign * (number(a)? * first_s + below_sixty(b)? * first_s / 60.0)),
        [a, b, c] => Some(sign * (number(a)? * 3600.0 + below_sixty(b)? * 60.0 + below_sixty(c)?)),
        _ => None,
    }
}

/// The clock of one table: midnights where no date is written, the first day where no year is.
#[derive(Debug, Default)]
pub(super) struct TableClock {
    before_s: Option<f64>,
    written_s: Option<f64>,
    midnights: f64,
    first_day: Option<f64>,
    /// The date that was written last, where it has a column of its own.
    pub date: String,
    /// What the clock was put on (or back) by since the log began, where it shows local time.
    pub turned_s: f64,
    /// Midnights since a date was written.
    carried_days: f64,
    /// What the written clock lacks: hours that it does not show, half days without AM and PM.
    lacks_s: f64,
    /// Line-free words of what was put right, once each.
    pub said: std::collections::BTreeSet<&'static str>,
}

/// A clock of twelve hours without AM or PM went past one.
const HALF_DAYS: &str = "The clock goes from 12 to 1 without AM or PM: twelve hours are added from there on, and the first hour is taken as it stands.";
/// Minutes and seconds began anew.
const HOURS: &str = "The minutes begin anew after 59: an hour is added each time.";
/// A date that stands on past midnight.
const STANDING_DATE: &str =
    "The date stands still where the clock goes past midnight: a day is added from there on.";
/// What a count of 32 bits in milliseconds or microseconds holds \[s\].
const WRAPS_S: [f64; 2] = [4_294_967.296, 4294.967296];
/// It was full.
const WRAPPED: &str = "The count of the times was full (32 bits) and began anew: it goes on.";
/// A count from a start began anew.
const RESTARTS: &str = "The times begin anew from nought: the logger was started again, and how long it was off is not known. \
                        What follows is laid an hour later, as an outing of its own.";

impl TableClock {
    /// The time of a row, after all rows before it.
    pub fn follow(&mut self, mut written: Written) -> f64 {
        if written.base == TimeBase::Utc {
            self.carry(&mut written);
        }
        if written.base == TimeBase::Utc && !written.has_zone {
            return self.follow_local(written.time_s);
        }
        if written.base == TimeBase::Utc {
            let time_s = self.past_noon(written.time_s);
            self.before_s = Some(time_s);
            return time_s;
        }
        if written.base == TimeBase::Elapsed {
            return self.follow_elapsed(&written);
        }
        if written.base != TimeBase::TimeOfDay {
            return written.time_s;
        }
        if !written.is_yearless {
            written.time_s = self.past_noon(written.time_s);
        }
        if written.is_yearless {
            let first = *self.first_day.get_or_insert((written.time_s / DAY_S).floor());
            let days = written.time_s - first * DAY_S;
            // Past New Year the day of the year, counted with a 29 February, begins anew.
            return if days < -180.0 * DAY_S { days + 366.0 * DAY_S } else { days };
        }
        if self.before_s.is_some_and(|before| written.time_s < before - 0.5 * DAY_S) {
            self.midnights += 1.0;
        } else if self.midnights > 0.0
            && self.before_s.is_some_and(|before| written.time_s > before + 0.5 * DAY_S)
        {
            // A row out of order that belongs before midnight.
            return written.time_s + (self.midnights - 1.0) * DAY_S;
        }
        self.before_s = Some(written.time_s);
        written.time_s + self.midnights * DAY_S
    }
}

impl TableClock {
    /// Twelve hours more once a clock without AM and PM went from 12:59 to 1:00.
    fn past_noon(&mut self, time_s: f64) -> f64 {
        const HALF_DAY_S: f64 = 0.5 * DAY_S;
        const NEAR_S: f64 = 300.0;
        if let Some(before) = self.before_s {
            let raw = time_s + self.lacks_s;
            let step = raw + HALF_DAY_S - before;
            let is_past_twelve =
                (before.rem_euclid(HALF_DAY_S)) < 3600.0 && time_s.rem_euclid(HALF_DAY_S) >= 3600.0;
            if raw < before - NEAR_S && step > 0.0 && step <= NEAR_S && is_past_twelve {
                self.lacks_s += HALF_DAY_S;
                self.said.insert(HALF_DAYS);
            }
        }
        time_s + self.lacks_s
    }

    /// A count from a start that begins anew: after an hour of minutes and seconds, or because the logger did.
    fn follow_elapsed(&mut self, written: &Written) -> f64 {
        const HOUR_S: f64 = 3600.0;
        const NEAR_S: f64 = 120.0;
        /// Back by less is a row out of order.
        const RESTART_S: f64 = 60.0;
        let mut time_s = written.time_s + self.lacks_s;
        if let Some(before) = self.before_s
            && time_s < before
        {
            let step = time_s + HOUR_S - before;
            if written.is_of_an_hour && (0.0..=NEAR_S).contains(&step) && written.time_s < NEAR_S {
                self.lacks_s += HOUR_S;
                self.said.insert(HOURS);
            } else if let Some(step) =
                WRAPS_S.iter().map(|whole| time_s + whole - before).find(|step| (0.0..=NEAR_S).contains(step))
            {
                // A count of 32 bits was full.
                self.lacks_s += step + before - time_s;
                self.said.insert(WRAPPED);
            } else if written.time_s >= 0.0 && written.time_s < RESTART_S && before - time_s > RESTART_S {
                self.lacks_s = before + HOUR_S;
                self.said.insert(RESTARTS);
            }
            time_s = written.time_s + self.lacks_s;
        }
        self.before_s = Some(self.before_s.map_or(time_s, |before| before.max(time_s)));
        time_s
    }

    /// Past midnight the next day has begun, though the date above is yesterday's.
    fn carry(&mut self, written: &mut Written) {
        /// A date that stands still is believed to, but where the clock goes on across midnight.
        const NEAR_S: f64 = 600.0;
        if !written.is_carried && !written.is_repeated {
            self.carried_days = 0.0;
        }
        let raw_s = written.time_s + self.carried_days * DAY_S;
        let is_back = self.written_s.is_some_and(|before| raw_s < before - 0.5 * DAY_S);
        let goes_on = self.written_s.is_some_and(|before| (0.0..=NEAR_S).contains(&(raw_s + DAY_S - before)));
        let is_next = is_back && (written.is_carried || (written.is_repeated && goes_on));
        if is_next && written.is_repeated {
            self.said.insert(STANDING_DATE);
        }
        self.carried_days += f64::from(u8::from(is_next));
        written.time_s += self.carried_days * DAY_S;
        self.written_s = Some(written.time_s);
    }

    /// Summer time begins and ends within a log: on a Sunday night, at the full hour, the clock leaps by one.
    /// Time goes on as it began.
    fn follow_local(&mut self, local_s: f64) -> f64 {
        const HOUR_S: f64 = 3600.0;
        /// Rows on both sides of the change stand no further from it.
        const NEAR_S: f64 = 120.0;
        let local_s = self.past_noon(local_s);
        if let Some(before) = self.before_s.replace(local_s) {
            let step = local_s - before;
            // 1970-01-01 was a Thursday.
            let is_sunday = (local_s / DAY_S).floor().rem_euclid(7.0) == 3.0;
            let into_hour = |time_s: f64| time_s.rem_euclid(HOUR_S);
            let is_early = local_s.rem_euclid(DAY_S) <= 4.0 * HOUR_S;
            let is_at_the_hour =
                into_hour(before) >= HOUR_S - NEAR_S && into_hour(local_s) <= NEAR_S && is_sunday && is_early;
            let lasted = step - HOUR_S * step.signum();
            if is_at_the_hour && step < 0.0 && (0.0..=2.0 * NEAR_S).contains(&lasted) {
                self.turned_s += HOUR_S;
            } else if is_at_the_hour && step > 0.0 && lasted > 0.0 && lasted <= 2.0 * NEAR_S {
                self.turned_s -= HOUR_S;
            }
        }
        local_s + self.turned_s
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fifteen_minutes_are_not_fifteen_hours() {
        let of = |format: TimeFormat, text: &str| format.read(None, text).map(|written| written.time_s);
        assert_eq!(of(TimeFormat::ElapsedMinuteClock, "15:00"), Some(900.0));
        assert_eq!(of(TimeFormat::ElapsedMinuteClock, "75:30"), Some(4530.0));
        assert_eq!(of(TimeFormat::ElapsedHourClock, "15:00"), Some(54_000.0));
        assert_eq!(of(TimeFormat::ElapsedMinuteClock, "1:15:00"), Some(4500.0));
        assert_eq!(of(TimeFormat::UnixNanoseconds, "1795615385000000000"), Some(1_795_615_385.0));
    }

    #[test]
    fn the_day_goes_on_past_midnight() {
        let mut clock = TableClock::default();
        let times: Vec<f64> = ["23:59:59", "00:00:00", "00:00:01", "23:59:59", "00:00:02"]
            .iter()
            .map(|text| clock.follow(TimeFormat::TimeOfDay.read(None, text).unwrap()))
            .collect();
        assert_eq!(times, [86_399.0, 86_400.0, 86_401.0, 86_399.0, 86_402.0]);
    }
}
