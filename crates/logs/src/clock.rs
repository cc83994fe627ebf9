//! Dates and times of day as logs write them, to seconds of Unix time (UTC).
//! Not for: local time; a zone is a number of seconds that the caller knows.

/// Seconds in a day.
pub const DAY_S: f64 = 86_400.0;

/// Days from 1970-01-01 of a date of the Gregorian calendar; `None` for a day that is not there.
///
/// The civil calendar counted in eras of 400 years from 1 March, so that leap days come last.
#[must_use]
pub fn days_from_date(year: i64, month: u32, day: u32) -> Option<i64> {
    if !(1..=12).contains(&month)
        || day < 1
        || day > days_in_month(year, month)
        || !(1..=9999).contains(&year)
    {
        return None;
    }
    let march_year = if month <= 2 { year - 1 } else { year };
    let era = march_year.div_euclid(400);
    let year_of_era = march_year.rem_euclid(400);
    let month_from_march = i64::from((month + 9) % 12);
    let day_of_year = (153 * month_from_march + 2) / 5 + i64::from(day) - 1;
    let day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    Some(era * 146_097 + day_of_era - 719_468)
}

/// Year, month and day of days from 1970-01-01.
#[must_use]
pub fn date_from_days(days: i64) -> (i64, u32, u32) {
    let shifted = days + 719_468;
    let era = shifted.div_euclid(146_097);
    let day_of_era = shifted.rem_euclid(146_097);
    let year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day = (day_of_year - (153 * month_from_march + 2) / 5 + 1) as u32;
    let month = if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 } as u32;
    (year_of_era + era * 400 + i64::from(month <= 2), month, day)
}

fn days_in_month(year: i64, month: u32) -> u32 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        _ => 31,
    }
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
    let lower = text.trim().to_ascii_lowercase();
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

/// Splits `Z`, `+02:00`, `-0330` off the end of a time; the zone in seconds east.
fn split_zone(clock: &str) -> Option<(&str, Option<f64>)> {
    if let Some(plain) = clock.strip_suffix(['Z', 'z']) {
        return Some((plain, Some(0.0)));
    }
    let Some(at) = clock.rfind(['+', '-']) else { return Some((clock, None)) };
    let sign = if clock[at..].starts_with('-') { -1.0 } else { 1.0 };
    let digits: String = clock[at + 1..].chars().filter(|c| *c != ':').collect();
    if !digits.bytes().all(|b| b.is_ascii_digit()) || !(digits.len() == 2 || digits.len() == 4) {
        return None;
    }
    let hours: f64 = digits[..2].parse().ok()?;
    let minutes: f64 = if digits.len() == 4 { digits[2..].parse().ok()? } else { 0.0 };
    Some((clock[..at].trim_end(), Some(sign * (hours * 3600.0 + minutes * 60.0))))
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
}
