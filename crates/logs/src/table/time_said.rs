//! What names and cells say of a time beside the time itself: its zone, a date above, a clock on the wall.
//! Not for: which column holds it (`time_column`).

use super::mapping::TimeMapping;
use super::parted::time_in;
use super::propose::Sheet;
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

/// A column `utc_offset_min` whose cells all say the same: seconds ahead of UTC, in minutes, hours or seconds by their size.
pub(super) fn offset_beside(sheet: &Sheet) -> Option<f64> {
    let says = |head: &String| {
        let folded = fold(head);
        folded.contains("offset") && ["utc", "gmt", "zone", "tz"].iter().any(|word| folded.contains(word))
    };
    let mut cells = sheet.column(sheet.heads.iter().position(says)?);
    cells.dedup();
    let [one] = cells.as_slice() else { return None };
    if let Some((front, zone_s)) = crate::clock::split_zone(one).filter(|(_, zone_s)| zone_s.is_some()) {
        return zone_s.filter(|_| front.is_empty());
    }
    let offset: f64 = one.parse().ok()?;
    let s = match offset.abs() {
        0.0..=14.0 => 3600.0 * offset,
        15.0..=840.0 => 60.0 * offset,
        900.0..=50_400.0 => offset,
        _ => return None,
    };
    Some(s)
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

/// A second column of dates with a clock that says another time than the one that is taken: which is taken, and how far the
/// other is off.
pub(super) fn other_clock(sheet: &Sheet, time: &TimeMapping) -> Option<String> {
    const LEAST_S: f64 = 1.5;
    let taken = *time.columns.last()?;
    let own = |cells: &Vec<String>| time_in(time, cells);
    if sheet.rows.iter().filter_map(|(_, cells)| own(cells)).next()? < 3e8 {
        return None;
    }
    let is_other = |column: &usize| !time.columns.contains(column);
    (0..sheet.heads.len()).filter(is_other).find_map(|column| {
        [time.format, T::Iso, T::DayFirst, T::MonthFirst].iter().find_map(|format| {
            let other = TimeMapping::new(vec![column], *format, true);
            let apart: Vec<f64> = sheet
                .rows
                .iter()
                .filter(|(_, cells)| cells.get(column).is_some_and(|cell| cell.contains(':')))
                .filter_map(|(_, cells)| Some(time_in(&other, cells).filter(|t| *t > 3e8)? - own(cells)?))
                .collect();
            let middle = crate::checks::median(&apart).filter(|_| 2 * apart.len() > sheet.rows.len())?;
            let is_clock = apart.iter().all(|one| (one - middle).abs() <= LEAST_S) && middle.abs() >= LEAST_S;
            is_clock.then(|| {
                let whole = middle.abs().round() as i64;
                format!(
                    "{:?} is another clock than {:?}, {} h {} min {} s {}: {:?} is taken. A log beside this one may go by the other.",
                    sheet.heads[column],
                    sheet.heads[taken],
                    whole / 3600,
                    whole / 60 % 60,
                    whole % 60,
                    if middle > 0.0 { "ahead of it" } else { "behind it" },
                    sheet.heads[taken],
                )
            })
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
