//! How the numbers of a table's column are written: what its points and commas stand for.
//! Not for: cells and their separators, units in a heading.

use crate::number::{NumberError, ReadNumber, mantissa_length, read_number_twice};

/// What points and commas stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Separators {
    /// `1,234.5`.
    PointDecimals,
    /// `1.234,5`.
    CommaDecimals,
}

/// What a column says about its separators.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnStyle {
    /// No cell has a separator whose meaning matters.
    Plain,
    /// At least one cell settles it, and none speaks against it.
    Settled(Separators),
    /// Every cell with a separator can be read both ways: to be asked once.
    Open,
    /// Two cells speak against each other (the numbers of the cells, from 0): to be asked, naming both.
    Contrary(usize, usize),
}

/// How the numbers in `cells` are written. A cell settles it by another number of decimals than
/// three, a nought in front, both separators, more than one group, one reading outside `limits`
/// (in the column's own unit), or the size of its neighbours without separators.
pub fn column_style<'a>(cells: impl IntoIterator<Item = &'a str>, limits: Option<(f64, f64)>) -> ColumnStyle {
    let mut witness: [Option<usize>; 2] = [None, None];
    let mut is_doubtful = false;
    // The last number without a separator, and the doubtful cells that wait for the next one.
    let mut neighbour: Option<f64> = None;
    let mut waiting: Vec<(usize, f64, f64, Separators)> = Vec::new();
    let mut note = |style: Separators, index: usize| {
        witness[usize::from(style == Separators::CommaDecimals)].get_or_insert(index);
    };
    for (index, cell) in cells.into_iter().enumerate() {
        let Some(cell) = number_part(cell) else { continue };
        if !cell.contains(['.', ',']) {
            let Ok(number) = read_number_twice(cell) else { continue };
            for (at, decimals, thousands, style) in waiting.drain(..) {
                if let Some(style) = nearer(number.value, decimals, thousands, style) {
                    note(style, at);
                }
            }
            neighbour = Some(number.value);
            continue;
        }
        if let Some(style) = certain(cell) {
            note(style, index);
            continue;
        }
        let Ok(ReadNumber { value, other: Some(other), .. }) = read_number_twice(cell) else { continue };
        let (decimals, thousands) = if value.abs() < other.abs() { (value, other) } else { (other, value) };
        // The style in which the separator of this cell marks decimals.
        let style = if cell.contains('.') { Separators::PointDecimals } else { Separators::CommaDecimals };
        is_doubtful = true;
        let fits = |value: f64| limits.is_none_or(|(low, high)| (low..=high).contains(&value));
        match (fits(decimals), fits(thousands)) {
            (true, false) => note(style, index),
            (false, true) => note(opposite(style), index),
            _ => match neighbour.and_then(|size| nearer(size, decimals, thousands, style)) {
                Some(style) => note(style, index),
                // The next plain number may still settle it; a few rows are enough to keep.
                None if waiting.len() < 16 => waiting.push((index, decimals, thousands, style)),
                None => {}
            },
        }
    }
    match witness {
        [Some(point), Some(comma)] => ColumnStyle::Contrary(point, comma),
        [Some(_), None] => ColumnStyle::Settled(Separators::PointDecimals),
        [None, Some(_)] => ColumnStyle::Settled(Separators::CommaDecimals),
        [None, None] if is_doubtful => ColumnStyle::Open,
        [None, None] => ColumnStyle::Plain,
    }
}

/// Reads the number at the start of `text`, written with these separators.
///
/// # Errors
/// [`NumberError`] when there is no number or its separators stand otherwise.
pub fn read_number_as(text: &str, separators: Separators) -> Result<(f64, &str), NumberError> {
    let read = read_number_twice(text)?;
    let typed = number_part(text).unwrap_or_default();
    let unclear = || NumberError::Separators { number: typed.to_owned() };
    if let Some(other) = read.other {
        let is_thousands = typed.contains(',') == (separators == Separators::PointDecimals);
        let larger = if read.value.abs() > other.abs() { read.value } else { other };
        let smaller = if read.value.abs() > other.abs() { other } else { read.value };
        return Ok((if is_thousands { larger } else { smaller }, read.rest));
    }
    match certain(typed) {
        Some(style) if style != separators => Err(unclear()),
        _ => Ok((read.value, read.rest)),
    }
}

fn opposite(style: Separators) -> Separators {
    match style {
        Separators::PointDecimals => Separators::CommaDecimals,
        Separators::CommaDecimals => Separators::PointDecimals,
    }
}

/// The digits with their separators at the start of a cell, without the sign.
fn number_part(cell: &str) -> Option<&str> {
    let unsigned = cell.trim_start().trim_start_matches(['+', '-', '−']).trim_start();
    let part = &unsigned[..mantissa_length(unsigned)];
    part.contains(|c: char| c.is_ascii_digit()).then_some(part)
}

/// The style of a number that can be written in one style only.
fn certain(number: &str) -> Option<Separators> {
    let read = read_number_twice(number).ok()?;
    if read.other.is_some() {
        return None;
    }
    let last = number.rfind(['.', ','])?;
    let is_comma = number[last..].starts_with(',');
    let decimals_style = if is_comma { Separators::CommaDecimals } else { Separators::PointDecimals };
    let separator = if is_comma { ',' } else { '.' };
    // 1,234,567: groups of thousands only.
    let is_grouped = number.matches(separator).count() > 1;
    Some(if is_grouped { opposite(decimals_style) } else { decimals_style })
}

/// The style under which the cell is of its neighbour's size; `None` when neither or both are near.
fn nearer(neighbour: f64, decimals: f64, thousands: f64, style: Separators) -> Option<Separators> {
    /// Neighbours of one record differ by less.
    const ALIKE: f64 = 5.0;
    let is_near = |value: f64| {
        let ratio = value / neighbour;
        (1.0 / ALIKE..ALIKE).contains(&ratio)
    };
    match (is_near(decimals), is_near(thousands)) {
        (true, false) => Some(style),
        (false, true) => Some(opposite(style)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::ColumnStyle::{Contrary, Open, Plain, Settled};
    use super::Separators::{CommaDecimals, PointDecimals};
    use super::*;

    fn style(cells: &[&str]) -> ColumnStyle {
        column_style(cells.iter().copied(), None)
    }

    #[test]
    fn any_clear_cell_settles_the_column() {
        assert_eq!(style(&["1,200", "1,350", "12.5"]), Settled(PointDecimals));
        assert_eq!(style(&["1,200", "1,35"]), Settled(CommaDecimals));
        assert_eq!(style(&["1.200", "0.950"]), Settled(PointDecimals));
        assert_eq!(style(&["1.200", "1.350,5"]), Settled(CommaDecimals));
        assert_eq!(style(&["1.200", "1.350.000"]), Settled(CommaDecimals));
        assert_eq!(style(&["1.200", "1350.125"]), Settled(PointDecimals));
        assert_eq!(style(&["", "n/a", "17", "-3"]), Plain);
    }

    #[test]
    fn neighbours_without_separators_settle_it_by_their_size() {
        assert_eq!(style(&["980", "998", "1,003", "1,010"]), Settled(PointDecimals));
        assert_eq!(style(&["1,003", "998"]), Settled(PointDecimals));
        assert_eq!(style(&["1.003", "998"]), Settled(CommaDecimals));
        assert_eq!(style(&["2", "2.250"]), Settled(PointDecimals));
        assert_eq!(style(&["40", "1,200"]), Open);
    }

    #[test]
    fn limits_settle_it_and_else_it_is_asked() {
        assert_eq!(style(&["1,900", "1,950"]), Open);
        let knots = Some((0.0, 60.0));
        assert_eq!(column_style(["5.125", "5.250"], knots), Settled(PointDecimals));
        assert_eq!(column_style(["5,125", "5,250"], knots), Settled(CommaDecimals));
        assert_eq!(style(&["1.5", "1,5"]), Contrary(0, 1));
    }

    #[test]
    fn cells_are_read_in_the_columns_style() {
        assert_eq!(read_number_as("1,900 W", PointDecimals), Ok((1900.0, " W")));
        assert_eq!(read_number_as("1,900", CommaDecimals), Ok((1.9, "")));
        assert_eq!(read_number_as("-1.900", CommaDecimals), Ok((-1900.0, "")));
        assert_eq!(read_number_as("1.900", PointDecimals), Ok((1.9, "")));
        assert_eq!(read_number_as("1.900,5", CommaDecimals), Ok((1900.5, "")));
        assert_eq!(read_number_as("42", CommaDecimals), Ok((42.0, "")));
        assert!(read_number_as("1.5", CommaDecimals).is_err());
    }
}
