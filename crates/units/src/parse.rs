//! From text to SI: one quantity, or a compound such as feet and inches.
//! Not for: bands and marks around a value (that is the document's grammar).

use crate::error::{UnitError, nearest};
use crate::number::{NumberError, read_number};
use crate::quantity::{Dimension, Quantity};
use crate::table::{Unit, ambiguity, find_unit, other_dimension, units_of};

/// A quantity with the unit in which it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadQuantity {
    /// Value in SI.
    pub si: f64,
    /// Unit of the first part as typed; of a plain ratio the empty unit.
    pub unit: &'static Unit,
}

/// SI value of `text` as a quantity of `kind`.
///
/// # Errors
/// [`UnitError`] that says what was read and what to write.
pub fn parse_quantity(text: &str, kind: Quantity) -> Result<f64, UnitError> {
    read_quantity(text, kind).map(|read| read.si)
}

/// As [`parse_quantity`], with the unit that was typed.
///
/// # Errors
/// [`UnitError`] that says what was read and what to write.
pub fn read_quantity(text: &str, kind: Quantity) -> Result<ReadQuantity, UnitError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(UnitError::Empty { kind });
    }
    if kind.dimension() == Dimension::Ratio
        && let Some(ratio) = read_proportion(text, kind)?
    {
        return Ok(ratio);
    }
    let (value, rest) = number_at_start(text, text, kind)?;
    let (unit, rest) = unit_at_start(text, rest, kind)?;
    let mut si = unit.to_si(value);
    if !rest.is_empty() {
        // The lesser part takes the sign of the whole: -2 ft 6 in is two and a half feet down.
        let sign = if value < 0.0 { -1.0 } else { 1.0 };
        si += sign * lesser_part(rest, unit, kind)?;
    }
    Ok(ReadQuantity { si, unit })
}

/// SI size of a difference: as [`parse_quantity`], but the zero of a scale plays no part
/// (`2 °C` is 2 K). Without a unit, `unit` is taken.
///
/// # Errors
/// [`UnitError`] that says what was read and what to write.
pub fn parse_interval(text: &str, kind: Quantity, unit: &'static Unit) -> Result<f64, UnitError> {
    if let Ok((value, "")) = read_number(text.trim_end()) {
        return Ok(value * unit.factor);
    }
    read_quantity(text, kind).map(|read| read.si - read.unit.offset)
}

/// `2:1`, `2.5 : 1`, `2 to 1`; `None` when the text is of another form.
fn read_proportion(text: &str, kind: Quantity) -> Result<Option<ReadQuantity>, UnitError> {
    let Some((left, right)) = text.split_once(':').or_else(|| text.split_once(" to ")) else {
        return Ok(None);
    };
    let (first, after_first) = number_at_start(text, left, kind)?;
    let (second, after_second) = number_at_start(text, right, kind)?;
    for rest in [after_first.trim(), after_second.trim()] {
        if !rest.is_empty() {
            return Err(UnitError::Trailing { rest: rest.to_owned(), kind });
        }
    }
    if second == 0.0 {
        return Err(UnitError::Number { text: text.to_owned(), reason: NumberError::ZeroDenominator, kind });
    }
    Ok(find_unit("", Dimension::Ratio).map(|unit| ReadQuantity { si: first / second, unit }))
}

fn number_at_start<'a>(text: &str, part: &'a str, kind: Quantity) -> Result<(f64, &'a str), UnitError> {
    read_number(part).map_err(|reason| UnitError::Number { text: text.to_owned(), reason, kind })
}

/// The unit at the start of `rest` and what is left behind it.
fn unit_at_start<'a>(
    text: &str,
    rest: &'a str,
    kind: Quantity,
) -> Result<(&'static Unit, &'a str), UnitError> {
    let rest = rest.trim();
    let dimension = kind.dimension();
    if let Some(unit) = find_unit(rest, dimension) {
        return Ok((unit, ""));
    }
    if rest.is_empty() {
        return Err(UnitError::NoUnit { text: text.to_owned(), kind });
    }
    // A second number behind the unit begins the lesser part; a unit may itself hold a digit (m2).
    let foreign = other_dimension(rest, dimension);
    if foreign.is_none()
        && let Some(split) = rest.find(|c: char| c.is_ascii_digit() || "½¼¾⅛⅜⅝⅞⅓⅔".contains(c))
    {
        let (name, lesser) = rest.split_at(split);
        if let Some(unit) = find_unit(name.trim(), dimension).filter(|_| !name.trim().is_empty()) {
            return Ok((unit, lesser));
        }
    }
    let unit = rest.to_owned();
    if let Some(instead) = ambiguity(rest, dimension) {
        return Err(UnitError::AmbiguousUnit { unit, instead });
    }
    if let Some(foreign) = foreign {
        return Err(UnitError::OtherKind { unit, measures: foreign.dimension.name(), kind });
    }
    let known = units_of(dimension).flat_map(|unit| unit.names.iter().copied());
    let suggestion = nearest(rest, known).and_then(|name| find_unit(name, dimension)).map(Unit::symbol);
    Err(UnitError::UnknownUnit { unit, kind, suggestion })
}

/// SI size of `6 in` behind feet, `30 min` behind hours. Behind feet a bare number means inches.
fn lesser_part(rest: &str, greater: &Unit, kind: Quantity) -> Result<f64, UnitError> {
    let trailing = || UnitError::Trailing { rest: rest.to_owned(), kind };
    if !matches!(kind.dimension(), Dimension::Length | Dimension::Duration) {
        return Err(trailing());
    }
    let (value, after) = number_at_start(rest, rest, kind)?;
    let unit = if after.trim().is_empty() && greater.symbol() == "ft" {
        find_unit("in", Dimension::Length).ok_or_else(trailing)?
    } else {
        match unit_at_start(rest, after, kind)? {
            (unit, "") => unit,
            _ => return Err(trailing()),
        }
    };
    let size = unit.to_si(value);
    if value < 0.0 || size >= greater.factor { Err(trailing()) } else { Ok(size) }
}
