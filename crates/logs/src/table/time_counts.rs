//! What a column of plain numbers counts, times that belong to some columns alone, and a zone by a place's name.
//! Not for: which column holds the time (`time_column`).

use super::mapping::{OwnClock, TimeMapping};
use super::parted::time_in;
use super::propose::{Doubt, DoubtKind, Sheet};
use super::time_column::named;
use super::times::TimeFormat as T;
use super::unit_said::{UnitSaid, split_unit};
use super::words::words;
use crate::clock::DAY_S;
use crate::fold::fold;

pub(super) fn since_1970(first: f64) -> Option<T> {
    match first {
        n if (3e8..1e10).contains(&n) => Some(T::UnixSeconds),
        n if (3e11..1e13).contains(&n) => Some(T::UnixMilliseconds),
        n if (3e14..1e16).contains(&n) => Some(T::UnixMicroseconds),
        n if (3e17..9e18).contains(&n) => Some(T::UnixNanoseconds),
        _ => None,
    }
}

/// The step that a name of a count says.
pub(super) fn step_said(head: &str) -> Option<T> {
    let folded = fold(head);
    let has = |word: &str| words(head).iter().any(|w| w == word);
    if has("us") || folded.contains("micro") {
        Some(T::UnixMicroseconds)
    } else if has("ms") || folded.contains("milli") {
        Some(T::UnixMilliseconds)
    } else if has("ns") || folded.contains("nano") {
        Some(T::UnixNanoseconds)
    } else {
        None
    }
}

/// A count from 1970, where its name does not say another step or another start.
pub(super) fn since_1970_of(head: &str, first: f64) -> Option<T> {
    let folded = fold(head);
    let is_from_start = ["uptime", "boot", "elapsed", "since start", "since_start", "runtime", "tick"]
        .iter()
        .any(|word| folded.contains(word));
    let step = step_said(head).filter(|step| *step != T::UnixNanoseconds);
    since_1970(first).filter(|found| !is_from_start && step.is_none_or(|step| step == *found))
}

/// Such a count, and whether it may as well be a receiver's from 1980: what is of 2010 to 2020 counted from 1970 is of
/// 2020 to 2030 then.
pub(super) fn since_1970_asked(head: &str, first: f64, column: usize, doubts: &mut Vec<Doubt>) -> Option<T> {
    const DOUBTFUL_S: std::ops::Range<f64> = 1_262_304_000.0..1_577_836_800.0;
    let found = since_1970_of(head, first)?;
    let folded = fold(head);
    let is_said = ["unix", "epoch", "1970", "posix", "utc"].iter().any(|word| folded.contains(word));
    if found != T::UnixSeconds || is_said || !DOUBTFUL_S.contains(&first) {
        return Some(found);
    }
    let is_receivers = folded.contains("gps") || folded.contains("gnss") || folded.contains("tow");
    let kinds =
        if is_receivers { vec![T::GpsSeconds, T::UnixSeconds] } else { vec![T::UnixSeconds, T::GpsSeconds] };
    let format = kinds[0];
    doubts.push(Doubt { key: format!("count/{head}"), column, kind: DoubtKind::Clock(kinds) });
    Some(format)
}

/// What a column of plain numbers counts, by its size, its steps and its name.
pub(super) fn count_format(sheet: &Sheet, column: usize, numbers: &[f64], doubts: &mut Vec<Doubt>) -> T {
    let first = numbers.first().copied().unwrap_or_default();
    let head = &sheet.heads[column];
    if let Some(format) = since_1970_asked(head, first, column, doubts) {
        return format;
    }
    if step_said(head) == Some(T::UnixMicroseconds) {
        return T::ElapsedMicroseconds;
    }
    let (bare, unit) = split_unit(head);
    let folded = fold(head);
    let has = |word: &str| words(head).iter().any(|w| w == word);
    if step_said(head) == Some(T::UnixMilliseconds) {
        return T::ElapsedMilliseconds;
    }
    if let UnitSaid::Known(unit) = unit {
        match unit.symbol() {
            "s" => return T::ElapsedSeconds,
            "min" => return T::ElapsedMinutes,
            "h" => return T::ElapsedHours,
            _ => {}
        }
    }
    let _ = bare;
    if has("s") || has("sec") || has("secs") || folded.contains("second") || folded.contains("sekund") {
        return T::ElapsedSeconds;
    }
    if folded.contains("minut") || folded.contains("minuut") {
        return T::ElapsedMinutes;
    }
    let steps: Vec<f64> = numbers.windows(2).map(|two| two[1] - two[0]).collect();
    let is_steady = steps.iter().all(|step| (0.0..1.0).contains(step));
    if is_steady && steps.iter().all(|s| s * DAY_S < 3600.0) && numbers.iter().any(|n| n.fract() != 0.0) {
        match first {
            n if (30_000.0..80_000.0).contains(&n) => return T::SpreadsheetDays,
            // 2010 to 2037.
            n if (14_610.0..24_500.0).contains(&n) => return T::UnixDays,
            _ => {}
        }
    }
    doubts.push(Doubt {
        key: format!("count/{head}"),
        column,
        kind: DoubtKind::Clock(vec![T::ElapsedSeconds, T::ElapsedMilliseconds, T::ElapsedMinutes]),
    });
    let step = crate::checks::median(&steps).unwrap_or(1.0);
    // Steps of whole hundreds are thousandths of a second.
    if step >= 100.0 { T::ElapsedMilliseconds } else { T::ElapsedSeconds }
}

/// Times of other instruments, each before the columns that it holds for: `Time A, volts, amps, Time B, speed`.
pub(super) fn own_clocks(sheet: &Sheet, first: Option<&TimeMapping>) -> Vec<OwnClock> {
    let Some(first) = first.filter(|time| time.columns.len() == 1 && time.date_above.is_none()) else {
        return Vec::new();
    };
    let main = first.columns[0];
    let of = |column: usize| TimeMapping { columns: vec![column], ..first.clone() };
    let rows: Vec<Option<f64>> = sheet.rows.iter().map(|(_, cells)| time_in(first, cells)).collect();
    let is_clock = |column: &usize| {
        let cells = sheet.column(*column);
        let time = of(*column);
        let apart: Vec<f64> = sheet
            .rows
            .iter()
            .zip(&rows)
            .filter_map(|((_, cells), first)| Some(time_in(&time, cells)? - (*first)?))
            .collect();
        let (low, high) = apart.iter().fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(*v), h.max(*v)));
        // Another zone, the time at which a row was sent, or a receiver's clock beside the logger's stand as far from
        // the time of all on every row; so do times of one name that each begin when their instrument did.
        let first_word = |column: usize| words(&sheet.heads[column]).into_iter().next();
        let is_twin = first_word(*column) == first_word(main) && (low / 900.0).fract().abs() > 0.01;
        let is_own = high - low > 1.0 || (low.abs().min(high.abs()) > 1.0 && is_twin);
        let own: Vec<f64> = sheet.rows.iter().filter_map(|(_, cells)| time_in(&time, cells)).collect();
        let rises = own.windows(2).filter(|two| two[1] > two[0]).count();
        let is_own = is_own && 2 * rises > own.len();
        named(&sheet.heads[*column]).time && 2 * apart.len() > cells.len() && is_own
    };
    let mut clocks: Vec<usize> =
        (0..sheet.heads.len()).filter(|column| *column != main).filter(is_clock).collect();
    // Columns stand between the times, else they are two times of one row.
    let holds = |column: usize| super::meaning::meaning_of(&sheet.heads[column]).is_some();
    let mut all = clocks.clone();
    all.push(main);
    all.sort_unstable();
    let end = |from: usize| all.iter().copied().find(|at| *at > from).unwrap_or(sheet.heads.len());
    if all.first() != Some(&main) || !all.iter().all(|from| (from + 1..end(*from)).any(holds)) {
        clocks.clear();
    }
    clocks
        .into_iter()
        .map(|from| OwnClock { time: of(from), columns: (from + 1..end(from)).collect() })
        .collect()
}

/// `time (Europe/Berlin)`: seconds ahead of UTC at that place on the day of the first row.
pub(super) fn zone_of_place(sheet: &Sheet, time: &TimeMapping) -> Option<f64> {
    let mut names = time.columns.iter().filter_map(|column| sheet.heads.get(*column));
    let zone = names.find_map(|head| {
        let name = head.split(['(', ')', '[', ']', ' ']).find(|word| word.contains('/'))?;
        jiff::tz::TimeZone::get(name.trim()).ok()
    })?;
    let cells: Vec<&str> = time.columns.iter().filter_map(|c| sheet.column(*c).first().copied()).collect();
    let written = match cells.as_slice() {
        [one] => time.format.read(None, one)?,
        [date, clock] => time.format.read(Some(date), clock)?,
        _ => return None,
    };
    let local = jiff::Timestamp::from_second(written.time_s as i64).ok()?.to_zoned(jiff::tz::TimeZone::UTC);
    let there = zone.to_ambiguous_timestamp(local.datetime()).compatible().ok()?;
    Some(f64::from(zone.to_offset(there).seconds()))
}
