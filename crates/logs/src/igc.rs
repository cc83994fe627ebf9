//! Tracks of flight recorders' form (IGC): a fix a line.

use super::LogError;
use super::bad::BadKind;
use super::clock::{DAY_S, days_from_date};
use super::line::{Line, Lines};
use super::log::Log;
use super::track::Track;
use super::tracks::point;
use std::io::BufRead;

/// True when a line is a fix of an IGC file.
pub(super) fn looks_like_fix(line: &[u8]) -> bool {
    fix(line).is_some()
}

/// `B1403055423500N01012345EA0001200045`: second of the day, latitude and longitude in degrees.
fn fix(line: &[u8]) -> Option<(f64, f64, f64)> {
    let text = std::str::from_utf8(line).ok()?.trim();
    if !text.starts_with('B') || text.len() < 25 || !text.is_ascii() {
        return None;
    }
    let number = |from: usize, to: usize| -> Option<f64> {
        let part = text.get(from..to)?;
        part.bytes().all(|b| b.is_ascii_digit()).then(|| part.parse().ok()).flatten()
    };
    let side = |at: usize, plus: u8, minus: u8| match text.as_bytes().get(at)? {
        b if *b == plus => Some(1.0),
        b if *b == minus => Some(-1.0),
        _ => None,
    };
    let (hour, minute, second) = (number(1, 3)?, number(3, 5)?, number(5, 7)?);
    if hour > 23.0 || minute > 59.0 || second > 60.0 {
        return None;
    }
    let latitude = (number(7, 9)? + number(9, 14)? / 60_000.0) * side(14, b'N', b'S')?;
    let longitude = (number(15, 18)? + number(18, 23)? / 60_000.0) * side(23, b'E', b'W')?;
    Some((hour * 3600.0 + minute * 60.0 + second, latitude, longitude))
}

/// Reads IGC: its date, then fixes with the time of day.
/// # Errors
/// [`LogError::Io`] when the reader fails.
pub(super) fn read_igc(reader: impl BufRead) -> Result<Log, LogError> {
    let mut lines = Lines::new(reader);
    let mut track = Track::default();
    let mut day: Option<i64> = None;
    let (mut before, mut midnights) = (0.0, 0_i64);
    while let Some(line) = lines.next()? {
        let Line::Whole(bytes) = line else {
            track.bad(BadKind::TooLong);
            continue;
        };
        if bytes.starts_with(b"HFDTE") {
            let digits: Vec<u32> =
                bytes.iter().filter(|b| b.is_ascii_digit()).take(6).map(|b| u32::from(b - b'0')).collect();
            if let [a, b, c, d, e, f] = *digits {
                let year = 10 * e + f;
                let century = if year < 80 { 2000 } else { 1900 };
                day = days_from_date(i64::from(century + year), 10 * c + d, 10 * a + b);
            }
        } else if bytes.first() == Some(&b'B') {
            match fix(bytes) {
                Some((second, latitude, longitude)) => {
                    if second < before - 0.5 * DAY_S {
                        midnights += 1;
                    }
                    before = second;
                    let second = second + midnights as f64 * DAY_S;
                    match day {
                        Some(day) => {
                            track.next_point(&point(latitude, longitude, Some(day as f64 * DAY_S + second)))
                        }
                        None => track.next_point_of_day(&point(latitude, longitude, Some(second))),
                    }
                }
                None => track.bad(BadKind::NotUnderstood),
            }
        }
    }
    Ok(track.finish())
}
