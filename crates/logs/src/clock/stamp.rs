//! Day and time of day in one text, in any of the orders that logs write. Not for: the parts (`clock`).

use super::{days_from_date, parse_time_of_day, split_zone, strip_word};

/// Which part of a date stands first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateOrder {
    /// `2026-11-25`.
    Year,
    /// `25.11.2026`.
    Day,
    /// `11/25/2026`.
    Month,
}

/// A day as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Day {
    /// None.
    Unsaid,
    /// Days from 1970-01-01.
    Of(i64),
    /// Day of a year that nobody wrote, from 1 January of a leap year.
    OfYear(i64),
}

/// A time as it is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stamp {
    pub day: Day,
    /// Second of the day.
    pub second_s: f64,
    /// Seconds east, where it is written.
    pub zone_s: Option<f64>,
    pub has_clock: bool,
}

/// Beginnings of the months' names, folded; the longer first where one begins another.
static MONTHS: &[(&str, u32)] = &[
    ("marras", 11),
    ("maalis", 3),
    ("tammi", 1),
    ("helmi", 2),
    ("huhti", 4),
    ("touko", 5),
    ("kesa", 6),
    ("heina", 7),
    ("elo", 8),
    ("syys", 9),
    ("loka", 10),
    ("joulu", 12),
    ("juin", 6),
    ("juil", 7),
    ("jan", 1),
    ("jaen", 1),
    ("ene", 1),
    ("gen", 1),
    ("feb", 2),
    ("fev", 2),
    ("mar", 3),
    ("maer", 3),
    ("mrt", 3),
    ("maa", 3),
    ("apr", 4),
    ("abr", 4),
    ("avr", 4),
    ("mai", 5),
    ("may", 5),
    ("maj", 5),
    ("mei", 5),
    ("mag", 5),
    ("jun", 6),
    ("giu", 6),
    ("jul", 7),
    ("lug", 7),
    ("aug", 8),
    ("aou", 8),
    ("ago", 8),
    ("sep", 9),
    ("set", 9),
    ("okt", 10),
    ("oct", 10),
    ("out", 10),
    ("ott", 10),
    ("nov", 11),
    ("dec", 12),
    ("dez", 12),
    ("dic", 12),
    ("des", 12),
];

/// Reads a date, a time of day or both, as tables write them; `order` tells three plain numbers apart.
pub(crate) fn parse_stamp(text: &str, order: DateOrder) -> Option<Stamp> {
    const LONGEST: usize = 64;
    let text = text.trim().trim_matches('"');
    if text.is_empty() || text.len() > LONGEST || !text.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    if !text.contains(':') {
        return without_colons(text, order);
    }
    let colon = text.find(':')?;
    let bytes = text.as_bytes();
    let mut start = colon;
    while start > 0 && colon - start < 2 && bytes[start - 1].is_ascii_digit() {
        start -= 1;
    }
    let mut end = colon;
    while end < bytes.len() && (bytes[end].is_ascii_digit() || matches!(bytes[end], b':' | b'.' | b',')) {
        end += 1;
    }
    // A comma or point at its end parts it from a date.
    let clock = text[start..end].trim_end_matches(['.', ',']);
    let mut rest = text[end..].trim();
    let mut twelve = "";
    for half in ["am", "pm", "a.m.", "p.m."] {
        if rest.get(..half.len()).is_some_and(|word| word.eq_ignore_ascii_case(half)) {
            twelve = if half.starts_with('a') { "am" } else { "pm" };
            rest = rest[half.len()..].trim();
        }
    }
    let second_s = if twelve.is_empty() {
        parse_time_of_day(clock)?
    } else {
        parse_time_of_day(&format!("{clock}{twelve}"))?
    };
    let front = text[..start].trim().trim_end_matches(['T', 't', ',', '_', '-', ' ']).trim();
    let front = strip_word(front, |word| matches!(word, "klo" | "kl" | "um" | "at" | "a" | "om" | "las"))
        .unwrap_or(front);
    let (rest, zone_s) = split_zone(rest).filter(|(_, zone)| zone.is_some()).unwrap_or((rest, None));
    let rest = rest.trim_matches([',', ' ', '(', ')', '[', ']']);
    let day = match (front.is_empty(), rest.is_empty()) {
        (true, true) => Day::Unsaid,
        (false, true) => parse_day(front, order)?,
        (true, false) => parse_day(rest, order)?,
        // `Nov 25 14:03:05 2026`
        (false, false) => parse_day(&format!("{front} {rest}"), order)?,
    };
    Some(Stamp { day, second_s, zone_s, has_clock: true })
}

/// `20261125T140305Z`, `20261125140305`, `25.11.2026 14.03.05`, or a date alone.
fn without_colons(text: &str, order: DateOrder) -> Option<Stamp> {
    let (bare, zone_s) = split_zone(text).filter(|(_, zone)| zone.is_some()).unwrap_or((text, None));
    let (date, clock) = bare.split_once(['T', 't', ' ', '_']).unwrap_or((bare, ""));
    let is_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if is_digits(date) && date.len() == 8 && !clock.is_empty() {
        let second_s = parse_compact_clock(clock)?;
        return Some(Stamp { day: parse_day(date, order)?, second_s, zone_s, has_clock: true });
    }
    if is_digits(bare) && bare.len() == 14 {
        let second_s = parse_compact_clock(&bare[8..])?;
        return Some(Stamp { day: parse_day(&bare[..8], order)?, second_s, zone_s, has_clock: true });
    }
    if let Some((date, clock)) = text.trim().rsplit_once(' ')
        && clock.contains(['h', 'H'])
        && clock.starts_with(|c: char| c.is_ascii_digit())
        && let Some(second_s) = parse_time_of_day(clock)
    {
        let date = strip_word(date.trim(), |word| matches!(word, "a" | "à")).unwrap_or(date);
        return Some(Stamp { day: parse_day(date, order)?, second_s, zone_s: None, has_clock: true });
    }
    if let Some((date, clock)) = text.trim().rsplit_once(' ')
        && clock.len() >= 4
        && clock.split('.').count() >= 2
        && clock.split('.').all(|part| part.len() <= 2 && is_digits(part))
        && let Some(second_s) = parse_time_of_day(&clock.replacen('.', ":", 2))
    {
        let date = strip_word(date.trim(), |word| matches!(word, "klo" | "kl")).unwrap_or(date);
        return Some(Stamp { day: parse_day(date, order)?, second_s, zone_s: None, has_clock: true });
    }
    Some(Stamp { day: parse_day(text, order)?, second_s: 0.0, zone_s: None, has_clock: false })
}

/// `140305`, `140305.5`, `1403` \[s of the day\].
pub(crate) fn parse_compact_clock(text: &str) -> Option<f64> {
    let text = text.trim();
    let whole = text.split(['.', ',']).next()?;
    if !matches!(whole.len(), 3..=6) || !whole.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    // Tables drop the nought in front: 91500 is a quarter past nine.
    let padded = if whole.len() > 4 {
        format!("{text:0>width$}", width = text.len() + 6 - whole.len())
    } else {
        format!("{text:0>width$}", width = text.len() + 4 - whole.len())
    };
    let clock = match padded.split(['.', ',']).next()?.len() {
        4 => format!("{}:{}", &padded[..2], &padded[2..4]),
        _ => format!("{}:{}:{}", &padded[..2], &padded[2..4], &padded[4..]),
    };
    parse_time_of_day(&clock)
}

/// A date: three numbers in an order, a month by its name, eight or six digits, or no year.
fn parse_day(text: &str, order: DateOrder) -> Option<Day> {
    let mut numbers: Vec<&str> = Vec::new();
    let mut month = None;
    for part in text.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty()) {
        let digits = part.trim_end_matches(|c: char| c.is_alphabetic());
        if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) {
            // `25th`
            numbers.push(digits);
        } else if month.is_none() {
            let folded = crate::fold::fold(part);
            month = MONTHS.iter().find(|(name, _)| folded.starts_with(name)).map(|(_, month)| *month);
            // Weekdays and the like say nothing more.
            if month.is_none() && part.chars().any(|c| !c.is_alphabetic()) {
                return None;
            }
        }
    }
    let number = |text: &str| text.parse::<u32>().ok();
    let full_year = |text: &str| match text.len() {
        4 => number(text).filter(|year| (1970..=2200).contains(year)),
        2 => number(text).map(|year| if year < 70 { 2000 + year } else { 1900 + year }),
        _ => None,
    };
    let whole = |year: u32, month: u32, day: u32| days_from_date(i64::from(year), month, day).map(Day::Of);
    let yearless = |month: u32, day: u32| {
        Some(Day::OfYear(days_from_date(2024, month, day)? - days_from_date(2024, 1, 1)?))
    };
    match (numbers.as_slice(), month) {
        ([day, year], Some(month)) if day.len() <= 2 => whole(full_year(year)?, month, number(day)?),
        ([year, day], Some(month)) => whole(full_year(year)?, month, number(day)?),
        ([day], Some(month)) if day.len() <= 2 => yearless(month, number(day)?),
        ([one], None) if one.len() == 8 => match order {
            DateOrder::Year => whole(full_year(&one[..4])?, number(&one[4..6])?, number(&one[6..])?),
            DateOrder::Day => whole(full_year(&one[4..])?, number(&one[2..4])?, number(&one[..2])?),
            DateOrder::Month => whole(full_year(&one[4..])?, number(&one[..2])?, number(&one[2..4])?),
        },
        ([one], None) if one.len() == 6 => match order {
            DateOrder::Year => whole(full_year(&one[..2])?, number(&one[2..4])?, number(&one[4..])?),
            DateOrder::Day => whole(full_year(&one[4..])?, number(&one[2..4])?, number(&one[..2])?),
            DateOrder::Month => whole(full_year(&one[4..])?, number(&one[..2])?, number(&one[2..4])?),
        },
        ([a, b, c], None) => match order {
            // With points between, a year of two digits stands last.
            DateOrder::Year if a.len() == 4 || !text.contains('.') => {
                whole(full_year(a)?, number(b)?, number(c)?)
            }
            DateOrder::Day if a.len() <= 2 => whole(full_year(c)?, number(b)?, number(a)?),
            DateOrder::Month if a.len() <= 2 => whole(full_year(c)?, number(a)?, number(b)?),
            _ => None,
        },
        ([a, b], None)
            if a.len() <= 2
                && b.len() <= 2
                && (text.contains(['/', '-']) || text.matches('.').count() >= 2) =>
        {
            match order {
                DateOrder::Day => yearless(number(b)?, number(a)?),
                DateOrder::Month | DateOrder::Year => yearless(number(a)?, number(b)?),
            }
        }
        _ => None,
    }
}
