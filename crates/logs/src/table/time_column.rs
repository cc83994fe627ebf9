//! Which column of a table holds the time, and how it is written. Not for: reading it.

use super::mapping::TimeMapping;
use super::propose::{Doubt, DoubtKind, Sheet};
use super::time_counts::{count_format, since_1970_asked, since_1970_of, zone_of_place};
use super::time_said::{is_dotted_clock, is_wall_clock, offset_beside, zone_in};
use super::times::TimeFormat as T;
use super::unit_said::{UnitSaid, split_unit};
use super::words::{Idea, LONGEST_NAME, ideas, words};
use crate::clock::{Day, parse_stamp};
use crate::fold::fold;

/// What the name of a column says about time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Named {
    pub time: bool,
    date: bool,
    elapsed: bool,
    utc: bool,
}

pub(super) fn named(head: &str) -> Named {
    if head.len() > LONGEST_NAME {
        return Named::default();
    }
    let (bare, _) = split_unit(head);
    let folded = fold(head);
    let all: Vec<Idea> = words(&bare).iter().flat_map(|word| ideas(word)).collect();
    let others = [
        Idea::Speed,
        Idea::Volt,
        Idea::Amp,
        Idea::Watt,
        Idea::Turning,
        Idea::Energy,
        Idea::Charge,
        Idea::Motor,
        Idea::Status,
        Idea::Temperature,
        Idea::Charger,
        Idea::Limit,
        Idea::Hours,
    ];
    let is_other = all.iter().any(|idea| others.contains(idea))
        || folded.contains("timezone")
        || folded.contains("offset")
        || folded.contains("to go");
    Named {
        time: all.contains(&Idea::Time) && !is_other,
        date: all.contains(&Idea::Date) && !is_other,
        elapsed: all.contains(&Idea::Elapsed) && !is_other,
        utc: ["utc", "gmt", "zulu"].iter().any(|word| folded.contains(word)),
    }
}

/// The column of the time (or those of date and time) and how it is written, with the zone that its name says.
pub(super) fn time_of(sheet: &Sheet, doubts: &mut Vec<Doubt>) -> Option<TimeMapping> {
    let mut time = columns_of(sheet, doubts)?;
    let zone_s = time.columns.iter().find_map(|column| zone_in(sheet.heads.get(*column)?));
    if let Some(zone_s) = zone_s.filter(|_| time.format.needs_zone()) {
        // Cells that say a zone of their own still hold by themselves.
        time.has_zone = zone_s == 0.0;
        time.ahead_of_utc_s = (zone_s != 0.0).then_some(zone_s);
    }
    if zone_s.is_none() && time.lacks_zone() {
        time.ahead_of_utc_s = zone_of_place(sheet, &time).or_else(|| offset_beside(sheet));
    }
    if time.format == T::TimeOfDay
        && time.columns.len() == 1
        && let Some((date, format)) = &sheet.date_above
    {
        time.date_above = Some(date.clone());
        time.format = *format;
        time.has_zone = named(&sheet.heads[time.columns[0]]).utc;
    }
    Some(time)
}

fn columns_of(sheet: &Sheet, doubts: &mut Vec<Doubt>) -> Option<TimeMapping> {
    let width = sheet.heads.len();
    let names: Vec<Named> = sheet.heads.iter().map(|head| named(head)).collect();
    let mut order: Vec<usize> = (0..width).collect();
    // A count from 1970 tells the day, one from a start does not.
    let is_from_start = |column: usize| {
        let cells = sheet.column(column);
        numbers(sheet, column, &cells)
            .is_some_and(|numbers| since_1970_of(&sheet.heads[column], numbers[0]).is_none())
            && cells.iter().all(|cell| !cell.contains([':', '-', '/']))
    };
    let has_1970 = (0..width).any(|column| {
        let is_named = names[column].time || names[column].date;
        is_named
            && numbers(sheet, column, &sheet.column(column))
                .is_some_and(|numbers| since_1970_of(&sheet.heads[column], numbers[0]).is_some())
    });
    order.sort_by_key(|c| {
        let is_named = names[*c].time || names[*c].date || names[*c].elapsed;
        (!is_named, has_1970 && is_from_start(*c), !names[*c].utc)
    });
    let (mut date_only, mut still) = (None, None);
    for column in order.iter().copied() {
        let cells = sheet.column(column);
        if cells.is_empty() {
            continue;
        }
        let share = |format: T| {
            let read = cells.iter().filter(|cell| format.read(None, cell).is_some()).count();
            2 * read > cells.len()
        };
        let says = names[column];
        let is_named = says.time || says.date || says.elapsed;
        let has_marks = cells.iter().any(|cell| {
            cell.contains([':', '-', '/'])
                || cell.matches('.').count() >= 2
                || cell.chars().any(char::is_alphabetic)
        });
        let is_stamp =
            cells.iter().all(|cell| matches!(cell.len(), 8 | 14) && cell.bytes().all(|b| b.is_ascii_digit()));
        let is_dotted = is_dotted_clock(&cells);
        let is_date = !is_dotted
            && [T::Iso, T::DayFirst, T::MonthFirst].iter().any(|format| share(*format))
            && (has_marks || says.date || (is_named && is_stamp));
        if is_date {
            let format = date_order(sheet, column, &cells, doubts);
            // Spreadsheets write midnight behind a date alone.
            let has_clock = cells
                .iter()
                .filter_map(|c| parse_stamp(c, format.order()))
                .any(|stamp| stamp.has_clock && stamp.second_s != 0.0);
            if !has_clock {
                date_only = date_only.or(Some((column, format)));
                continue;
            }
            let has_zone =
                says.utc || cells.iter().filter_map(|c| format.read(None, c)).all(|written| written.has_zone);
            return Some(TimeMapping::new(vec![column], format, has_zone));
        }
        if let Some((date, format)) = date_only
            && (is_dotted || is_clock(&cells, is_named))
        {
            return Some(two(sheet, date, column, format, says.utc || names[date].utc));
        }
        // Means and names may stand between the rows.
        let clocks = cells.iter().filter(|cell| is_dotted || cell.contains(':')).count();
        if 4 * clocks >= 3 * cells.len() && (is_named || share(T::TimeOfDay) || share(T::ElapsedHourClock)) {
            // A date may stand in a later column.
            if let Some((date, format)) = later_date(sheet, &order, column, doubts) {
                return Some(two(sheet, date, column, format, says.utc || names[date].utc));
            }
            return Some(clock_alone(sheet, column, &cells, says, doubts));
        }
        if is_named && let Some(numbers) = numbers(sheet, column, &cells) {
            let is_compact = says.time
                && !says.elapsed
                && !matches!(split_unit(&sheet.heads[column]).1, UnitSaid::Known(_))
                && is_clock(&cells, true)
                && looks_compact(&numbers);
            if is_compact {
                if let Some((date, format)) = later_date(sheet, &order, column, doubts) {
                    return Some(two(sheet, date, column, format, says.utc || names[date].utc));
                }
                return Some(TimeMapping::new(vec![column], T::TimeOfDay, true));
            }
            // `Year`, `Day`: what stands still is no time where another column is one.
            let stands = numbers.len() > 2 && numbers.iter().all(|number| *number == numbers[0]);
            if stands {
                still = still.or(Some(column));
                continue;
            }
            let format = count_format(sheet, column, &numbers, doubts);
            return Some(TimeMapping::new(vec![column], format, !format.needs_zone()));
        }
    }
    // A column without a name of time that counts up from 1970.
    for column in 0..width {
        let cells = sheet.column(column);
        let Some(numbers) = numbers(sheet, column, &cells) else { continue };
        let rises = numbers.len() >= 2
            && numbers.windows(2).all(|two| two[1] >= two[0])
            && numbers[numbers.len() - 1] > numbers[0];
        if rises && let Some(format) = since_1970_asked(&sheet.heads[column], numbers[0], column, doubts) {
            return Some(TimeMapping::new(vec![column], format, true));
        }
    }
    if let Some(column) = still
        && let Some(numbers) = numbers(sheet, column, &sheet.column(column))
    {
        let format = count_format(sheet, column, &numbers, doubts);
        return Some(TimeMapping::new(vec![column], format, !format.needs_zone()));
    }
    // A day for all rows is no time of any.
    let (column, format) = date_only?;
    let mut dates = sheet.column(column);
    dates.dedup();
    (dates.len() > 1 || sheet.rows.len() < 3)
        .then(|| TimeMapping::new(vec![column], format, names[column].utc))
}

fn two(sheet: &Sheet, date: usize, time: usize, format: T, is_utc: bool) -> TimeMapping {
    let has_zone = is_utc
        || sheet.rows.iter().all(|(_, cells)| {
            let (Some(date), Some(time)) = (cells.get(date), cells.get(time)) else { return true };
            format.read(Some(date), time).is_none_or(|written| written.has_zone)
        });
    TimeMapping::new(vec![date, time], format, has_zone)
}

fn later_date(sheet: &Sheet, order: &[usize], but_not: usize, doubts: &mut Vec<Doubt>) -> Option<(usize, T)> {
    order.iter().copied().filter(|column| *column != but_not).find_map(|column| {
        let cells = sheet.column(column);
        let is_date = |format: T| {
            let read = cells
                .iter()
                .filter(|c| parse_stamp(c, format.order()).is_some_and(|s| s.day != Day::Unsaid))
                .count();
            !cells.is_empty() && 2 * read > cells.len()
        };
        let says = named(&sheet.heads[column]);
        let has_marks = cells.iter().all(|cell| {
            cell.contains(['-', '/'])
                || cell.matches('.').count() >= 2
                || cell.chars().any(char::is_alphabetic)
        });
        let is_digits =
            cells.iter().all(|cell| matches!(cell.len(), 6 | 8) && cell.bytes().all(|b| b.is_ascii_digit()));
        let fits = (says.date && is_digits)
            || (has_marks && (says.date || says.time || cells.iter().all(|c| c.len() >= 5)));
        let any = [T::Iso, T::DayFirst, T::MonthFirst].iter().any(|format| is_date(*format));
        (fits && any).then(|| (column, date_order(sheet, column, &cells, doubts)))
    })
}

/// Times of day, or parts of a day as spreadsheets keep them.
fn is_clock(cells: &[&str], is_named: bool) -> bool {
    let read = cells.iter().filter(|cell| super::times::clock_of_day(cell).is_some()).count();
    2 * read > cells.len() && (is_named || cells.iter().all(|cell| cell.contains(':')))
}

/// `140305` beside a date: six digits whose minutes and seconds stay below sixty.
fn looks_compact(numbers: &[f64]) -> bool {
    let fits =
        |n: &f64| (0.0..240_000.0).contains(n) && n % 100.0 < 61.0 && (n / 100.0).floor() % 100.0 < 60.0;
    // Days that are counted with their parts go by less than a hundredth from row to row.
    let is_count = numbers.windows(2).any(|two| two[0] != two[1])
        && numbers.windows(2).all(|two| (two[1] - two[0]).abs() < 0.009);
    numbers.iter().all(fits) && numbers.iter().any(|n| *n >= 10_000.0) && !is_count
}

fn numbers(sheet: &Sheet, column: usize, cells: &[&str]) -> Option<Vec<f64>> {
    let comma = sheet.decimal_comma_of(column);
    let found: Vec<f64> = cells
        .iter()
        .filter_map(|cell| {
            super::numbers::number_in(cell, comma).filter(|(_, rest)| rest.is_empty()).map(|(n, _)| n)
        })
        .collect();
    (!found.is_empty() && 2 * found.len() > cells.len()).then_some(found)
}

/// Which part of a date stands first: what the values allow, then how they go on, then a question.
fn date_order(sheet: &Sheet, column: usize, cells: &[&str], doubts: &mut Vec<Doubt>) -> T {
    let read = |format: T| {
        cells.iter().filter(|c| parse_stamp(c, format.order()).is_some_and(|s| s.day != Day::Unsaid)).count()
    };
    let (iso, day, month) = (read(T::Iso), read(T::DayFirst), read(T::MonthFirst));
    if iso > 0 && iso >= day.max(month) {
        // A year of two digits at the beginning may be a day.
        let is_short = cells.iter().all(|cell| {
            let digits = cell.bytes().take_while(u8::is_ascii_digit).count();
            digits == 6 || (digits <= 2 && !cell.chars().any(char::is_alphabetic))
        });
        if !is_short || day == 0 {
            return T::Iso;
        }
        let leaps = |format: T| {
            let days: Vec<i64> = cells
                .iter()
                .filter_map(|c| match parse_stamp(c, format.order())?.day {
                    Day::Of(days) => Some(days),
                    _ => None,
                })
                .collect();
            days.windows(2).filter(|two| !(0..=1).contains(&(two[1] - two[0]))).count()
        };
        let has_slashes = cells.iter().any(|cell| cell.contains('/'));
        // Where tables are headed in these languages slashes part day, month and year.
        if has_slashes && sheet.is_foreign {
            return T::DayFirst;
        }
        let (as_year, as_day) = (leaps(T::Iso), leaps(T::DayFirst));
        if as_year != as_day {
            return if as_year < as_day { T::Iso } else { T::DayFirst };
        }
        let head = fold(&sheet.heads[column]).replace([' ', '_', '-'], "");
        if head.contains("yymmdd") || head.contains("jjmmtt") || head.contains("aammjj") {
            return T::Iso;
        }
        if head.contains("ddmmyy") || head.contains("ttmmjj") || head.contains("jjmmaa") {
            return T::DayFirst;
        }
        doubts.push(Doubt {
            key: format!("date/{}", sheet.heads[column]),
            column,
            kind: DoubtKind::DateOrder(if has_slashes {
                vec![T::DayFirst, T::Iso]
            } else {
                vec![T::Iso, T::DayFirst]
            }),
        });
        return if has_slashes { T::DayFirst } else { T::Iso };
    }
    if day != month {
        return if day > month { T::DayFirst } else { T::MonthFirst };
    }
    // A month by its name, or points between, leave no doubt.
    let is_plain = |cell: &&&str| {
        cell.split([' ', 'T', ','])
            .next()
            .is_some_and(|date| !date.contains('.') && !date.chars().any(char::is_alphabetic))
    };
    if cells.iter().filter(is_plain).count() == 0 {
        return T::DayFirst;
    }
    let days = |format: T| -> Vec<i64> {
        cells
            .iter()
            .filter_map(|c| match parse_stamp(c, format.order())?.day {
                Day::Of(days) | Day::OfYear(days) => Some(days),
                Day::Unsaid => None,
            })
            .collect()
    };
    // Days go on by one; months read as days would leap by thirty.
    let leaps = |days: &[i64]| days.windows(2).filter(|two| !(0..=1).contains(&(two[1] - two[0]))).count();
    let (as_day, as_month) = (leaps(&days(T::DayFirst)), leaps(&days(T::MonthFirst)));
    if as_day != as_month {
        return if as_day < as_month { T::DayFirst } else { T::MonthFirst };
    }
    // The same day either way.
    if days(T::DayFirst) == days(T::MonthFirst) {
        return T::DayFirst;
    }
    // Names in other languages than English, or a decimal comma: the day first.
    if sheet.decimal_comma || sheet.is_foreign {
        return T::DayFirst;
    }
    doubts.push(Doubt {
        key: format!("date/{}", sheet.heads[column]),
        column,
        kind: DoubtKind::DateOrder(vec![T::DayFirst, T::MonthFirst]),
    });
    T::DayFirst
}

/// A clock without a date: time of day or time since the start; two numbers may be minutes and seconds.
fn clock_alone(
    sheet: &Sheet,
    column: usize,
    cells: &[&str],
    says: Named,
    doubts: &mut Vec<Doubt>,
) -> TimeMapping {
    let told = |format: T| TimeMapping::new(vec![column], format, true);
    if is_dotted_clock(cells) || is_wall_clock(&sheet.heads[column]) {
        return told(T::TimeOfDay);
    }
    let parts = cells.iter().map(|cell| cell.matches(':').count() + 1).max().unwrap_or(0);
    let is_past_midnight = cells.iter().any(|cell| {
        cell.split(':').next().and_then(|h| h.trim().parse::<u32>().ok()).is_some_and(|h| h > 23)
    });
    let (_, unit) = split_unit(&sheet.heads[column]);
    let head = fold(&sheet.heads[column]).replace(' ', "");
    if parts >= 3 {
        let starts_at_nought = cells
            .first()
            .is_some_and(|cell| T::ElapsedHourClock.read(None, cell).is_some_and(|w| w.time_s < 1.5));
        // Days of a pipeline begin at midnight as well; a name of elapsed time decides, and so does an hour beyond the day.
        return if says.elapsed || is_past_midnight {
            told(T::ElapsedHourClock)
        } else if starts_at_nought && cells.len() > 1 {
            doubts.push(Doubt {
                key: format!("clock/{}", sheet.heads[column]),
                column,
                kind: DoubtKind::Clock(vec![T::ElapsedHourClock, T::TimeOfDay]),
            });
            told(T::ElapsedHourClock)
        } else {
            told(T::TimeOfDay)
        };
    }
    if head.contains("mm:ss") || head.contains("min:s") {
        return told(T::ElapsedMinuteClock);
    }
    if head.contains("hh:mm") || head.contains("h:min") {
        return told(if says.elapsed { T::ElapsedHourClock } else { T::TimeOfDay });
    }
    if let UnitSaid::Known(unit) = unit
        && unit.symbol() == "min"
    {
        return told(T::ElapsedMinuteClock);
    }
    // Decimals stand behind seconds only, and no hour goes beyond 23.
    let has_decimals = cells.iter().any(|cell| cell.contains(['.', ',']));
    if is_past_midnight || has_decimals {
        return told(T::ElapsedMinuteClock);
    }
    let is_half = cells.iter().any(|cell| cell.to_lowercase().ends_with('m'));
    if is_half {
        return told(T::TimeOfDay);
    }
    let first_s =
        cells.first().and_then(|cell| T::ElapsedMinuteClock.read(None, cell)).map_or(0.0, |w| w.time_s);
    let (first, second) = if says.elapsed || first_s < 61.0 {
        (T::ElapsedMinuteClock, if says.elapsed { T::ElapsedHourClock } else { T::TimeOfDay })
    } else {
        (T::TimeOfDay, T::ElapsedMinuteClock)
    };
    doubts.push(Doubt {
        key: format!("clock/{}", sheet.heads[column]),
        column,
        kind: DoubtKind::Clock(vec![first, second]),
    });
    told(first)
}
