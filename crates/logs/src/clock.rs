//! Dates and times of day as logs write them, to seconds of Unix time (UTC).
//! Not for: local time; a zone is a number of seconds that the caller knows.

mod day;
mod stamp;

pub(crate) use day::{DateOrder, Day};
pub(crate) use stamp::{Stamp, parse_compact_clock, parse_stamp};

use jiff::SignedDuration;
use jiff::civil::{Date, date};

/// Seconds in a day.
pub const DAY_S: f64 = 86_400.0;

const EPOCH: Date = date(1970, 1, 1);

/// Days from 1970-01-01 of a date of the Gregorian calendar; `None` for a day that is not there.
#[must_use]
pub fn days_from_date(year: i64, month: u32, day: u32) -> Option<i64> {
    let (month, day) = (i8::try_from(month).ok()?, i8::try_from(day).ok()?);
    let year = i16::try_from(year).ok().filter(|year| *year >= 1)?;
    let day = Date::new(year, month, day).ok()?;
    Some(day.duration_since(EPOCH).as_hours() / 24)
}

/// Year, month and day of days from 1970-01-01; the last day of the calendar beyond it.
#[must_use]
pub fn date_from_days(days: i64) -> (i64, u32, u32) {
    let day = EPOCH.saturating_add(SignedDuration::from_hours(days.saturating_mul(24)));
    (i64::from(day.year()), day.month() as u32, day.day() as u32)
}

/// `2026-11-25 14:03:05` of Unix seconds.
#[must_use]
pub fn date_time_text(time_s: f64) -> String {
    if !time_s.is_finite() || time_s.abs() > 2.5e11 {
        return "no date".to_owned();
    }
    let days = (time_s / DAY_S).floor();
    let (year, month, day) = date_from_days(days as i64);
    format!("{year:04}-{month:02}-{day:02} {}", time_of_day_text(time_s - days * DAY_S))
}

/// `14:03:05` of seconds of the day; days beyond the first are put before it.
#[must_use]
pub fn time_of_day_text(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "no time".to_owned();
    }
    let whole = seconds.max(0.0).floor() as u64;
    let (day, rest) = (whole / 86_400, whole % 86_400);
    let time = format!("{:02}:{:02}:{:02}", rest / 3600, rest / 60 % 60, rest % 60);
    if day > 0 { format!("day {} {time}", day + 1) } else { time }
}

/// `h:m`, `h:m:s` or `h:m:s.f` \[s of the day\], with `am` or `pm` after it where the clock has twelve hours.
#[must_use]
pub fn parse_time_of_day(text: &str) -> Option<f64> {
    let mut lower = text.trim().to_ascii_lowercase();
    // `14h05`, `14 h 05 min 30 s`.
    if lower.starts_with(|c: char| c.is_ascii_digit()) && lower.contains('h') {
        lower = lower.replace("min", ":").replace(['h', 'm', '\''], ":").replace([' ', 's', '"'], "");
        lower.truncate(lower.trim_end_matches(':').len());
    }
    let (clock, half) = if let Some(clock) = lower.strip_suffix("am") {
        (clock.trim_end(), Some(0.0))
    } else if let Some(clock) = lower.strip_suffix("pm") {
        (clock.trim_end(), Some(12.0))
    } else {
        (lower.as_str(), None)
    };
    let mut parts = clock.split(':');
    let mut hours = whole(parts.next()?)?;
    let minutes = whole(parts.next()?)?;
    let seconds = parts.next().map_or(Some(0.0), seconds_part)?;
    // `14:03:05:250`: three digits behind a third colon are thousandths.
    let thousandths = parts.next().map_or(Some(0.0), |part| {
        (part.len() == 3 && seconds.fract() == 0.0).then(|| seconds_part(part)).flatten()
    })?;
    let seconds = seconds + thousandths / 1e3;
    if parts.next().is_some() || minutes >= 60.0 || seconds >= 61.0 {
        return None;
    }
    if let Some(half) = half {
        if !(1.0..=12.0).contains(&hours) {
            return None;
        }
        hours = hours % 12.0 + half;
    }
    (hours < 24.0).then_some(hours * 3600.0 + minutes * 60.0 + seconds)
}

fn whole(text: &str) -> Option<f64> {
    (!text.is_empty() && text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit()))
        .then(|| text.parse().ok())
        .flatten()
}

fn seconds_part(text: &str) -> Option<f64> {
    let text = text.replace(',', ".");
    (text.bytes().all(|b| b.is_ascii_digit() || b == b'.')).then(|| text.parse().ok()).flatten()
}

/// ISO date and time: `2026-11-25T14:03:05.25Z`, blank or hyphen instead of `T`, `+02:00`, or no
/// zone. Gives seconds and whether a zone stood there.
#[must_use]
pub fn parse_iso(text: &str) -> Option<(f64, bool)> {
    let text = text.trim();
    let (date, rest) = text.split_at_checked(10)?;
    let mut parts = date.split('-');
    let days = days_from_date(
        parts.next()?.parse().ok()?,
        parts.next()?.parse().ok()?,
        parts.next()?.parse().ok()?,
    )?;
    if rest.is_empty() {
        return Some((days as f64 * DAY_S, false));
    }
    let clock = rest.strip_prefix(['T', 't', ' ', '-', '_'])?.trim_start();
    let (clock, zone_s) = split_zone(clock)?;
    let seconds = parse_time_of_day(clock)?;
    Some((days as f64 * DAY_S + seconds - zone_s.unwrap_or(0.0), zone_s.is_some()))
}

/// Zones that are written by a name, in hours east; names that stand for several are left out.
static ZONES: &[(&str, f64)] = &[
    ("utc", 0.0),
    ("gmt", 0.0),
    ("z", 0.0),
    ("wet", 0.0),
    ("west", 1.0),
    ("bst", 1.0),
    ("cet", 1.0),
    ("mez", 1.0),
    ("cest", 2.0),
    ("mesz", 2.0),
    ("eet", 2.0),
    ("eest", 3.0),
    ("est", -5.0),
    ("edt", -4.0),
    ("pst", -8.0),
    ("pdt", -7.0),
    ("aest", 10.0),
    ("nzst", 12.0),
    ("nzdt", 13.0),
];

/// The zone of a name, in seconds east.
pub(crate) fn zone_named(name: &str) -> Option<f64> {
    let lower = name.trim().to_ascii_lowercase();
    ZONES.iter().find(|(known, _)| *known == lower).map(|(_, hours)| hours * 3600.0)
}

/// Splits `Z`, `UTC`, `+02:00`, `UTC+2`, `-0330`, ` CET`, `[Europe/Paris]` off the end of a time; the
/// zone in seconds east.
pub(crate) fn split_zone(clock: &str) -> Option<(&str, Option<f64>)> {
    let clock = clock.trim_end();
    // `+0000 UTC`: the offset holds, and its name beside it says no more.
    if let Some((front, name)) = clock.rsplit_once(' ')
        && zone_named(name).is_some()
        && front.ends_with(|c: char| c.is_ascii_digit())
        && front.rsplit(' ').next().is_some_and(|offset| offset.starts_with(['+', '-']))
    {
        return split_zone(front);
    }
    if let Some(plain) = clock.strip_suffix([']', ')'])
        && let Some(open) = plain.rfind(['[', '('])
    {
        let (rest, zone_s) = split_zone(&plain[..open])?;
        return Some((rest, zone_s.or_else(|| zone_named(&plain[open + 1..]))));
    }
    if let Some(at) = clock.rfind(['+', '-', '\u{2212}']) {
        let sign = if clock[at..].starts_with('+') { 1.0 } else { -1.0 };
        let digits: String =
            clock[at..].chars().skip(1).filter(|c| *c != ':' && !c.is_whitespace()).collect();
        if !digits.bytes().all(|b| b.is_ascii_digit()) || !matches!(digits.len(), 1 | 2 | 4) {
            return None;
        }
        let whole = digits.len().min(2);
        let hours: f64 = digits[..whole].parse().ok()?;
        let minutes: f64 = if digits.len() == 4 { digits[2..].parse().ok()? } else { 0.0 };
        if hours > 14.0 || minutes >= 60.0 {
            return None;
        }
        let front = clock[..at].trim_end();
        let front = strip_word(front, |word| matches!(word, "utc" | "gmt")).unwrap_or(front);
        return Some((front, Some(sign * (hours * 3600.0 + minutes * 60.0))));
    }
    let start = clock.rfind(|c: char| !c.is_ascii_alphabetic()).map_or(0, |at| at + 1);
    // A mark of a character that is not ASCII may be longer than one byte.
    let start = (start..=clock.len()).find(|at| clock.is_char_boundary(*at))?;
    match zone_named(&clock[start..]) {
        Some(zone_s) => Some((clock[..start].trim_end(), Some(zone_s))),
        None => Some((clock, None)),
    }
}

fn strip_word(text: &str, is_word: impl Fn(&str) -> bool) -> Option<&str> {
    let start = text.rfind(|c: char| !c.is_ascii_alphabetic()).map_or(0, |at| at + 1);
    let word = text.get(start..)?.to_ascii_lowercase();
    is_word(&word).then(|| text[..start].trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_go_there_and_back() {
        assert_eq!(days_from_date(1970, 1, 1), Some(0));
        assert_eq!(days_from_date(2000, 2, 29), Some(11_016));
        assert_eq!(days_from_date(1900, 2, 29), None);
        for days in (-200_000..200_000).step_by(17) {
            let (year, month, day) = date_from_days(days);
            assert_eq!(days_from_date(year, month, day), Some(days));
        }
    }

    /// Seconds from the coreutils `date -u -d ... +%s`.
    #[test]
    fn iso_times() {
        let expected = 1_795_615_385.0;
        for text in ["2026-11-25T14:03:05Z", "2026-11-25 16:03:05+02:00", "2026-11-25T10:33:05-0330"] {
            assert_eq!(parse_iso(text), Some((expected, true)), "{text}");
        }
        assert_eq!(parse_iso("2026-11-25-14:03:05.250"), Some((expected + 0.25, false)));
        assert_eq!(parse_iso("2026-13-25T14:03:05Z"), None);
        assert_eq!(parse_iso("2026-11-25T14:63:05Z"), None);
        assert_eq!(date_time_text(expected), "2026-11-25 14:03:05");
    }

    #[test]
    fn twelve_hour_clocks() {
        assert_eq!(parse_time_of_day("12:00:01 am"), Some(1.0));
        assert_eq!(parse_time_of_day("2:03 PM"), Some(14.0 * 3600.0 + 180.0));
        assert_eq!(parse_time_of_day("13:00 pm"), None);
        assert_eq!(parse_time_of_day("25:00"), None);
    }

    /// The same instant in the ways that tables write it; seconds from the coreutils as above.
    #[test]
    fn written_times() {
        let expected = 1_795_615_385.0;
        let of = |text: &str, order: DateOrder| {
            let stamp = parse_stamp(text, order)?;
            let Day::Of(days) = stamp.day else { return None };
            Some(days as f64 * DAY_S + stamp.second_s - stamp.zone_s.unwrap_or(0.0))
        };
        use DateOrder::{Day as D, Month as M, Year as Y};
        for (text, order) in [
            ("2026/11/25 14:03:05", Y),
            ("2026-11-25 14:03:05 UTC", Y),
            ("20261125T140305Z", Y),
            ("20261125140305", Y),
            ("2026-11-25T15:03:05+01:00[Europe/Paris]", Y),
            ("2026-11-25 16:03:05 (EET)", Y),
            ("2026-11-25 16:03:05 UTC+2", Y),
            ("25.11.2026 14:03:05", D),
            ("25.11.26, 14:03:05", D),
            ("25/11/2026 02:03:05 PM", D),
            ("11/25/2026 2:03:05 pm", M),
            ("25 nov. 2026 14:03:05", D),
            ("25. November 2026 14:03:05", D),
            ("Nov 25, 2026 14:03:05", M),
            ("Wed Nov 25 14:03:05 2026", M),
            ("25 marraskuuta 2026 klo 14:03:05", D),
            ("25.11.2026 14.03.05", D),
            ("25 novembre 2026 14:03:05", D),
            ("14:03:05 25.11.2026", D),
        ] {
            assert_eq!(of(text, order), Some(expected), "{text}");
        }
        let yearless = parse_stamp("25.11. 14:03:05", D).unwrap();
        assert!(matches!(yearless.day, Day::OfYear(329)), "{yearless:?}");
        assert_eq!(parse_stamp("23:59:60", Y).unwrap().second_s, 86_400.0);
        assert_eq!(parse_compact_clock("91505.5"), Some(9.0 * 3600.0 + 15.0 * 60.0 + 5.5));
        for text in ["12.5", "31.13.2026", "V 3:99", "abc", "-", "2026"] {
            assert_eq!(parse_stamp(text, D), None, "{text}");
        }
    }

    #[test]
    fn months_in_eleven_languages() {
        for (name, month) in [
            ("mars", 3),
            ("März", 3),
            ("maart", 3),
            ("marzo", 3),
            ("março", 3),
            ("maaliskuu", 3),
            ("août", 8),
            ("agosto", 8),
            ("elokuu", 8),
            ("octobre", 10),
            ("outubro", 10),
            ("ottobre", 10),
            ("oktober", 10),
            ("lokakuu", 10),
            ("juin", 6),
            ("juillet", 7),
            ("giugno", 6),
            ("luglio", 7),
            ("maj", 5),
            ("toukokuu", 5),
            ("diciembre", 12),
            ("desember", 12),
            ("Dezember", 12),
            ("décembre", 12),
        ] {
            let stamp = parse_stamp(&format!("5 {name} 2026"), DateOrder::Day).unwrap();
            assert_eq!(stamp.day, Day::Of(days_from_date(2026, month, 5).unwrap()), "{name}");
        }
    }
}
