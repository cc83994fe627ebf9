//! From text to SI: one quantity, or a compound such as feet and inches.
//! Not for: bands and marks around a value (that is the document's grammar).

use crate::dimension::Dimension;
use crate::error::UnitError;
use crate::nearest::nearest;
use crate::number::{NumberError, ReadNumber, mantissa_length, read_number_twice};
use crate::quantity::Quantity;
use crate::table::{Unit, ambiguity, find_unit, other_dimension, units_of};

/// A quantity with the unit in which it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadQuantity {
    /// Value in SI.
    pub si: f64,
    /// What it would be, in SI, with the other meaning of its only point or comma (`1.200 W`).
    pub other_si: Option<f64>,
    /// Unit of the first part as typed; of a plain ratio the empty unit.
    pub unit: &'static Unit,
}

impl ReadQuantity {
    /// The other value, when both lie within `limits` (SI): nothing tells which one is meant.
    #[must_use]
    pub fn doubt_within(&self, limits: (f64, f64)) -> Option<f64> {
        // A limit itself is allowed, whatever the last digit of its conversion.
        let room = 1e-9 * limits.0.abs().max(limits.1.abs());
        let room = if room.is_finite() { room } else { 0.0 };
        let fits = |value: f64| (limits.0 - room..=limits.1 + room).contains(&value);
        self.other_si.filter(|other| fits(*other) && fits(self.si))
    }
}

/// SI value of `text` as a quantity of `kind` that was typed just now and should lie within
/// `limits`: where it can be read in two ways that both do, it is not guessed.
///
/// # Errors
/// As [`parse_quantity`], and [`UnitError::TwoReadings`].
pub fn parse_certain(text: &str, kind: Quantity, limits: (f64, f64)) -> Result<f64, UnitError> {
    let read = read_quantity(text, kind)?;
    match read.doubt_within(limits) {
        None => Ok(read.si),
        Some(_) => Err(two_readings(text, kind)),
    }
}

/// As [`parse_certain`] for what no field of a boat gives limits: those within which a quantity of this
/// kind is met in boats at all.
///
/// # Errors
/// As [`parse_certain`].
pub fn parse_typed(text: &str, kind: Quantity) -> Result<f64, UnitError> {
    const KNOT: f64 = crate::factors::KNOT_M_S;
    let limits = match kind.dimension() {
        Dimension::RotationalSpeed => (0.5, 350.0),
        Dimension::Speed => (0.0, 60.0 * KNOT),
        Dimension::Length if kind == Quantity::Distance => (0.0, 1e7),
        Dimension::Length => (0.001, 60.0),
        Dimension::Ratio => (-10.0, 10.0),
        _ => (f64::NEG_INFINITY, f64::INFINITY),
    };
    parse_certain(text, kind, limits)
}

/// The error that names both readings of `text`.
#[must_use]
pub fn two_readings(text: &str, kind: Quantity) -> UnitError {
    let text = text.trim();
    UnitError::TwoReadings { text: text.to_owned(), readings: both_readings(text), kind }
}

/// `12.500 mm` as `12.5 mm` and `12500 mm`: each way written so that it has one reading.
#[must_use]
pub fn both_readings(text: &str) -> [String; 2] {
    // The first number that has two readings; a compound (`5 h 1,500 s`) may begin with another.
    let mut from = 0;
    while let Some(at) = text[from..].find(|c: char| c.is_ascii_digit()).map(|at| from + at) {
        let length = mantissa_length(&text[at..]);
        let (typed, behind) = text[at..].split_at(length);
        if read_number_twice(typed).is_ok_and(|read| read.other.is_some())
            && let Some((whole, decimals)) = typed.split_once(['.', ','])
        {
            // Three decimals that are all needed would have two readings again; a fourth settles it.
            let short = match decimals.trim_end_matches('0') {
                needed if needed.len() == 3 => format!("{needed}0"),
                fewer => fewer.to_owned(),
            };
            let point = if short.is_empty() { "" } else { "." };
            let before = &text[..at];
            return [
                format!("{before}{whole}{point}{short}{behind}"),
                format!("{before}{whole}{decimals}{behind}"),
            ];
        }
        from = at + length.max(1);
    }
    [text.to_owned(), text.to_owned()]
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
    let number = number_at_start(text, text, kind)?;
    let (unit, rest) = unit_at_start(text, number.rest, kind)?;
    let mut si = unit.to_si(number.value);
    let mut other_si = number.other.map(|other| unit.to_si(other));
    if !rest.is_empty() {
        // The lesser part takes the sign of the whole: -2 ft 6 in is two and a half feet down.
        let sign = if number.value < 0.0 { -1.0 } else { 1.0 };
        let (lesser, other_lesser) = lesser_part(rest, unit, kind)?;
        other_si = match (other_si, other_lesser) {
            (Some(other), _) => Some(other + sign * lesser),
            (None, Some(other)) => Some(si + sign * other),
            (None, None) => None,
        };
        si += sign * lesser;
    }
    Ok(ReadQuantity { si, other_si, unit })
}

/// SI size of a difference: as [`parse_quantity`], but the zero of a scale plays no part
/// (`2 °C` is 2 K). Without a unit, `unit` is taken.
///
/// # Errors
/// [`UnitError`] that says what was read and what to write.
pub fn parse_interval(text: &str, kind: Quantity, unit: &'static Unit) -> Result<f64, UnitError> {
    read_interval(text, kind, unit).map(|read| read.si)
}

/// As [`parse_interval`], with the unit and the other reading.
///
/// # Errors
/// As [`parse_interval`].
pub fn read_interval(text: &str, kind: Quantity, unit: &'static Unit) -> Result<ReadQuantity, UnitError> {
    if let Ok(ReadNumber { value, other, rest: "" }) = read_number_twice(text.trim_end()) {
        let other_si = other.map(|other| other * unit.factor);
        return Ok(ReadQuantity { si: value * unit.factor, other_si, unit });
    }
    read_quantity(text, kind).map(|read| ReadQuantity {
        si: read.si - read.unit.offset,
        other_si: read.other_si.map(|other| other - read.unit.offset),
        unit: read.unit,
    })
}

/// `2:1`, `2.5 : 1`, `2 to 1`; `None` when the text is of another form.
fn read_proportion(text: &str, kind: Quantity) -> Result<Option<ReadQuantity>, UnitError> {
    let Some((left, right)) = text.split_once(':').or_else(|| text.split_once(" to ")) else {
        return Ok(None);
    };
    let first = number_at_start(text, left, kind)?;
    let second = number_at_start(text, right, kind)?;
    for rest in [first.rest.trim(), second.rest.trim()] {
        if !rest.is_empty() {
            return Err(UnitError::Trailing { rest: rest.to_owned(), kind });
        }
    }
    if second.value == 0.0 {
        return Err(UnitError::Number { text: text.to_owned(), reason: NumberError::ZeroDenominator, kind });
    }
    let other_si = match (first.other, second.other) {
        (Some(other), _) => Some(other / second.value),
        (None, Some(other)) => Some(first.value / other),
        (None, None) => None,
    };
    Ok(find_unit("", Dimension::Ratio).map(|unit| ReadQuantity {
        si: first.value / second.value,
        other_si,
        unit,
    }))
}

fn number_at_start<'a>(text: &str, part: &'a str, kind: Quantity) -> Result<ReadNumber<'a>, UnitError> {
    read_number_twice(part).map_err(|reason| UnitError::Number { text: text.to_owned(), reason, kind })
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

/// SI size of `6 in` behind feet, `30 min` behind hours, and its other reading where that is a lesser
/// part too. Behind feet a bare number means inches.
fn lesser_part(rest: &str, greater: &Unit, kind: Quantity) -> Result<(f64, Option<f64>), UnitError> {
    let trailing = || UnitError::Trailing { rest: rest.to_owned(), kind };
    if !matches!(kind.dimension(), Dimension::Length | Dimension::Duration) {
        return Err(trailing());
    }
    let number = number_at_start(rest, rest, kind)?;
    let unit = if number.rest.trim().is_empty() && greater.symbol() == "ft" {
        find_unit("in", Dimension::Length).ok_or_else(trailing)?
    } else {
        match unit_at_start(rest, number.rest, kind)? {
            (unit, "") => unit,
            _ => return Err(trailing()),
        }
    };
    let is_lesser = |size: &f64| (0.0..greater.factor).contains(size);
    let size = Some(unit.to_si(number.value)).filter(is_lesser);
    let other = number.other.map(|other| unit.to_si(other)).filter(is_lesser);
    match (size, other) {
        (Some(size), other) => Ok((size, other)),
        (None, _) => Err(trailing()),
    }
}
