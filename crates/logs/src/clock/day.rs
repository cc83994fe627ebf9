//! The day in a text, in any of the orders that logs write. Not for: the time of day beside it.

use super::days_from_date;

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

/// A date: three numbers in an order, a month by its name, eight or six digits, or no year.
pub(super) fn parse_day(text: &str, order: DateOrder) -> Option<Day> {
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
