//! A day of the calendar as people write it. Not for: days of logs (`wakewright_logs::clock`).

use wakewright_core::solar::position::unix_of_day;

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Whether `text` is a day as documents write it, `2025-04-30`.
pub(crate) fn is_calendar_day(text: &str) -> bool {
    let is_written_so = text.len() == 10
        && text
            .bytes()
            .enumerate()
            .all(|(i, b)| if i == 4 || i == 7 { b == b'-' } else { b.is_ascii_digit() });
    is_written_so && readings(text).len() == 1
}

/// `30.4.2025`, `30/4/2025`, `2025/4/30`, `30 April 2025` as documents write it; none where it is no day, or
/// may be two.
pub(crate) fn day_of(text: &str) -> Option<String> {
    match readings(text).as_slice() {
        [one] => Some(one.clone()),
        _ => None,
    }
}

/// Every day that `text` may mean. Points set the day before the month wherever they are used; strokes do in
/// some countries and not in others.
pub(crate) fn readings(text: &str) -> Vec<String> {
    let parts: Vec<&str> = text.split([' ', ',', '.', '/', '-']).filter(|part| !part.is_empty()).collect();
    let [first, second, third] = parts.as_slice() else { return Vec::new() };
    let whole =
        |part: &str| part.bytes().all(|b| b.is_ascii_digit()).then(|| part.parse::<u32>().ok()).flatten();
    let month_named = |part: &str| {
        let part = part.to_ascii_lowercase();
        let is_it = |month: &&str| part.len() >= 3 && month.starts_with(part.as_str());
        MONTHS.iter().position(is_it).and_then(|place| u32::try_from(place + 1).ok())
    };
    let numbers = [first, second, third].map(|part| whole(part));
    let mut found = Vec::new();
    match numbers {
        [Some(year), Some(month), Some(day)] if first.len() == 4 => found.push((year, month, day)),
        [Some(day), Some(month), Some(year)] if third.len() == 4 => {
            found.push((year, month, day));
            if text.contains('/') && day != month {
                found.push((year, day, month));
            }
        }
        [Some(day), None, Some(year)] if third.len() == 4 => {
            found.extend(month_named(second).map(|month| (year, month, day)));
        }
        [None, Some(day), Some(year)] if third.len() == 4 => {
            found.extend(month_named(first).map(|month| (year, month, day)));
        }
        _ => {}
    }
    found.retain(|&(year, month, day)| unix_of_day(year.into(), month, day).is_some());
    found.iter().map(|(year, month, day)| format!("{year:04}-{month:02}-{day:02}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_with_one_reading_is_read() {
        for text in [
            "30.4.2025",
            "30/4/2025",
            "4/30/2025",
            "2025/4/30",
            "2025-04-30",
            "30 April 2025",
            "Apr 30, 2025",
        ] {
            assert_eq!(day_of(text).as_deref(), Some("2025-04-30"), "{text}");
        }
        assert_eq!(day_of("5.4.2025").as_deref(), Some("2025-04-05"));
        assert_eq!(day_of("5/5/2025").as_deref(), Some("2025-05-05"));
    }

    #[test]
    fn a_day_with_two_readings_is_not() {
        assert_eq!(readings("5/4/2025"), ["2025-04-05", "2025-05-04"]);
        for text in ["5/4/2025", "31.2.2025", "30.4.25", "last May", "", "2025", "1 2 3 2025"] {
            assert_eq!(day_of(text), None, "{text}");
        }
    }

    #[test]
    fn documents_write_one_way() {
        assert!(is_calendar_day("2025-04-30"));
        for text in ["2025/04/30", "2025-4-30", "2025-02-30", "30.04.2025", "2025-04-3é"] {
            assert!(!is_calendar_day(text), "{text}");
        }
    }
}
