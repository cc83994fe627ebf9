//! What names and cells say of a time beside the time itself: its zone, a date above, a clock on the wall.
//! Not for: which column holds it (`time_column`).

use super::times::TimeFormat as T;
use super::words::{Idea, ideas, words};
use crate::clock::{Day, parse_stamp};
use crate::fold::fold;

/// `Time (+02:00)`, `Zeit UTC+2`, `Heure (CEST)`: seconds ahead of UTC.
pub(super) fn zone_in(head: &str) -> Option<f64> {
    let bare = head.trim().trim_end_matches([')', ']']);
    let said = bare.rsplit(['(', '[', ' ']).next()?;
    let is_marked =
        bare.len() < head.trim().len() || fold(said).starts_with("utc") || fold(said).starts_with("gmt");
    if !is_marked {
        return None;
    }
    let (front, zone_s) = crate::clock::split_zone(said)?;
    zone_s.filter(|_| front.is_empty())
}

/// A date that stands once above the table, and how it is written, where that is sure.
pub(super) fn date_above(rows: &[(u64, Vec<String>)]) -> Option<(String, T)> {
    let read = |text: &str, format: T| match parse_stamp(text, format.order())?.day {
        Day::Of(day) => Some(day),
        _ => None,
    };
    let is_named =
        |text: &str| words(text).iter().flat_map(|word| ideas(word)).any(|idea| idea == Idea::Date);
    rows.iter().find_map(|(_, cells)| {
        cells.iter().enumerate().find_map(|(at, cell)| {
            let (label, date) = match cell.split_once(':') {
                Some((label, date)) => (label, date.trim()),
                None => (at.checked_sub(1).and_then(|before| cells.get(before))?.as_str(), cell.trim()),
            };
            if !is_named(label) {
                return None;
            }
            let all: Vec<(i64, T)> = [T::Iso, T::DayFirst, T::MonthFirst]
                .into_iter()
                .filter_map(|format| Some((read(date, format)?, format)))
                .collect();
            let (day, format) = *all.first()?;
            all.iter().all(|(other, _)| *other == day).then(|| (date.to_owned(), format))
        })
    })
}

/// `13.04.20` down a column is a clock where its last part goes on as seconds do; a year would stand.
pub(super) fn is_dotted_clock(cells: &[&str]) -> bool {
    let clocks: Vec<f64> = cells.iter().filter_map(|cell| super::times::dotted_clock(cell)).collect();
    let mut seconds: Vec<i64> = clocks.iter().map(|clock| (clock % 60.0) as i64).collect();
    seconds.sort_unstable();
    seconds.dedup();
    2 * clocks.len() > cells.len() && seconds.len() >= 3
}

/// Words that only a clock on the wall has: never a time since the start.
pub(super) fn is_wall_clock(head: &str) -> bool {
    const WORDS: [&str; 13] = [
        "uhrzeit",
        "uhr",
        "klockslag",
        "klokkeslett",
        "klokkeslaet",
        "klokken",
        "kello",
        "kellonaika",
        "klo",
        "kl",
        "clock",
        "timeofday",
        "heure",
    ];
    words(head).iter().any(|word| WORDS.contains(&word.as_str()) || matches!(word.as_str(), "hora" | "ora"))
}
