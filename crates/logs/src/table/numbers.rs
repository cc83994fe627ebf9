//! Numbers as tables write them: which mark parts the decimals of a column, thousands, units in the
//! cell. Not for: times, or letters of direction (`place`).

use wakewright_units::factors::DEGREE_RAD;
use wakewright_units::{Dimension, Unit};

use super::letter::LetterO;
use super::place::angle_of_place;
use super::unit_said::unit_named;
use crate::decimal::decimal;
use crate::measured::Measured as M;

/// Sign, digits and marks at the beginning of a cell; what stands after.
pub(super) fn split_number(cell: &str) -> Option<(&str, &str)> {
    let cell = cell.trim();
    let signed = cell.strip_prefix(['-', '+', '\u{2212}']).map_or(0, |rest| cell.len() - rest.len());
    let is_mark = |c: char| matches!(c, '.' | ',' | '\'' | '\u{2019}' | '\u{a0}' | '\u{202f}');
    let mut end = signed;
    let mut has_digit = false;
    let rest = &cell[signed..];
    for (at, c) in rest.char_indices() {
        let after = rest[at + c.len_utf8()..].bytes().take(3).filter(u8::is_ascii_digit).count() == 3;
        // A blank parts thousands only between digits, three at a time.
        let is_blank =
            c == ' ' && has_digit && after && !rest.as_bytes().get(at + 4).is_some_and(u8::is_ascii_digit);
        // An exponent, `1.5e3`.
        let is_exponent = matches!(c, 'e' | 'E')
            && has_digit
            && rest[at + 1..].trim_start_matches(['-', '+']).starts_with(|c: char| c.is_ascii_digit());
        if is_exponent {
            let sign = usize::from(rest[at + 1..].starts_with(['-', '+']));
            let digits = rest[at + 1 + sign..].bytes().take_while(u8::is_ascii_digit).count();
            end = signed + at + 1 + sign + digits;
            break;
        }
        if !(c.is_ascii_digit() || is_mark(c) || is_blank) {
            break;
        }
        has_digit |= c.is_ascii_digit();
        end = signed + at + c.len_utf8();
    }
    has_digit.then(|| cell.split_at(end))
}

/// A number whose decimals are parted by a comma or a point; the other mark, quotes and blanks part
/// thousands. With what stands after it.
pub(super) fn number_in(cell: &str, decimal_comma: bool) -> Option<(f64, &str)> {
    // Sheets of accounts write a negative number in brackets.
    if let Some(inside) = cell.trim().strip_prefix('(').and_then(|cell| cell.strip_suffix(')')) {
        let (number, rest) = number_in(inside, decimal_comma)?;
        return (number >= 0.0 && rest.is_empty()).then_some((-number, ""));
    }
    let (digits, rest) = split_number(cell)?;
    let (mark, thousands) = if decimal_comma { (',', '.') } else { ('.', ',') };
    if digits.matches(mark).count() > 1 {
        // `1.234.567` in a column of points: thousands after all.
        let pieces: Vec<&str> = digits.split(mark).collect();
        if pieces.iter().skip(1).any(|piece| piece.len() != 3) || digits.contains(thousands) {
            return None;
        }
    }
    let repeated = digits.matches(mark).count() > 1;
    let mut plain = String::with_capacity(digits.len());
    for c in digits.chars() {
        match c {
            c if c == mark && !repeated => plain.push('.'),
            '0'..='9' | '-' | '+' | 'e' | 'E' => plain.push(c),
            '\u{2212}' => plain.push('-'),
            _ => {}
        }
    }
    // A thousands mark that is followed by other than three digits is none: `12,5` in a column of points.
    let whole = digits.split(mark).next().unwrap_or_default();
    if !repeated && whole.contains(thousands) && whole.split(thousands).skip(1).any(|piece| piece.len() != 3)
    {
        return None;
    }
    Some((plain.parse().ok()?, rest.trim()))
}

/// A number of no unit, with point or comma.
pub(super) fn plain(text: &str) -> Option<f64> {
    decimal(text.as_bytes()).or_else(|| {
        let (number, rest) = number_in(text, !text.contains('.') && text.matches(',').count() == 1)?;
        rest.is_empty().then_some(number)
    })
}

/// A cell as a column of `unit` takes it: SI, with a unit of its own where one stands in the cell.
pub(super) fn cell_si(
    cell: &str,
    decimal_comma: bool,
    unit: &'static Unit,
    measured: M,
    o: LetterO,
) -> Option<f64> {
    if matches!(measured, M::Latitude | M::Longitude)
        && let Some(degrees) = angle_of_place(cell, decimal_comma, o)
    {
        return Some(degrees * DEGREE_RAD);
    }
    let (number, rest) = number_in(cell, decimal_comma)?;
    if rest.is_empty() {
        return Some(unit.to_si(number));
    }
    let said = unit_named(rest)?;
    (said.dimension == unit.dimension).then(|| said.to_si(number))
}

/// True for what tables write where there is nothing.
pub(super) fn is_blank(cell: &str) -> bool {
    const WORDS: [&str; 14] =
        ["", "-", "--", "---", "nan", "null", "n/a", "na", "none", "off", "–", "—", "#n/a", "?"];
    let cell = cell.trim();
    cell.len() <= 5 && WORDS.iter().any(|word| cell.eq_ignore_ascii_case(word))
}

/// The dimension of the unit in most of the cells, where one stands there.
pub(super) fn unit_in_cells<'a>(cells: impl Iterator<Item = &'a str>) -> Option<(&'static Unit, Dimension)> {
    let mut found: Vec<(&'static Unit, usize)> = Vec::new();
    let mut seen = 0;
    for cell in cells {
        let Some((_, rest)) = split_number(cell) else { continue };
        seen += 1;
        if let Some(unit) = unit_named(rest) {
            match found.iter_mut().find(|(known, _)| *known == unit) {
                Some((_, count)) => *count += 1,
                None => found.push((unit, 1)),
            }
        }
    }
    let (unit, count) = found.into_iter().max_by_key(|(_, count)| *count)?;
    (2 * count > seen).then_some((unit, unit.dimension))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_with_thousands_and_units() {
        assert_eq!(number_in("1'234.5", false), Some((1234.5, "")));
        assert_eq!(number_in("1.234,5", true), Some((1234.5, "")));
        assert_eq!(number_in("1 234,5 W", true), Some((1234.5, "W")));
        assert_eq!(number_in("0.0 km/h", false), Some((0.0, "km/h")));
        assert_eq!(number_in("\u{2212}3,5", true), Some((-3.5, "")));
        assert_eq!(number_in("1.5e3", false), Some((1500.0, "")));
        assert_eq!(number_in("12,5", false), None);
        assert_eq!(number_in("abc", false), None);
    }
}
