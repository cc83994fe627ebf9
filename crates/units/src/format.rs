//! From SI to text for reading: the unit in which the trade writes each kind, digits, thousands.
//! Not for: files that are read back to the last digit.

use super::written_unit::{ladder, unit_named};
use crate::factors::INCH_M;
use crate::quantity::Quantity;

/// In which units quantities are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum UnitSystem {
    /// As the trade speaks: metres, propellers in inches, tonnes, knots.
    #[default]
    Trade,
    /// Metric where the trade allows it: propellers in millimetres. Knots and nautical miles stay.
    Metric,
    /// Feet and inches, pounds, degrees Fahrenheit.
    Us,
}

/// How many digits are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Digits {
    /// Three significant digits, no more decimals than the kind deserves.
    #[default]
    Usual,
    /// So many significant digits.
    Significant(usize),
    /// So many decimals.
    Decimals(usize),
}

/// `si` as text with its unit: `12 in`, `6.8 t`, `1,060 rpm`, `−3 °C`, `27 ft 6 in`.
#[must_use]
pub fn format_quantity(si: f64, kind: Quantity, system: UnitSystem, digits: Digits) -> String {
    if system == UnitSystem::Us && kind == Quantity::Length && digits == Digits::Usual {
        return format_feet_inches(si);
    }
    let (usual, others, most_decimals) = ladder(kind, system);
    let fits = others.iter().find(|(_, from, below)| (*from..*below).contains(&si.abs()));
    let unit = unit_named(kind, fits.map_or(usual, |(symbol, ..)| symbol));
    let number = number_text(unit.from_si(si), digits, most_decimals, kind);
    let gap = if unit.symbol().is_empty() || unit.symbol() == "°" { "" } else { " " };
    format!("{number}{gap}{}", unit.symbol())
}

/// `27 ft 6 in`, to the nearest inch; below a foot only inches.
#[must_use]
pub fn format_feet_inches(length_m: f64) -> String {
    if !length_m.is_finite() {
        return "unknown".to_owned();
    }
    const INCHES_A_FOOT: f64 = 12.0;
    let inches = (length_m.abs() / INCH_M).round();
    let (feet, rest) = ((inches / INCHES_A_FOOT).floor(), inches % INCHES_A_FOOT);
    let sign = if length_m < 0.0 && inches > 0.0 { "−" } else { "" };
    match (feet > 0.0, rest > 0.0) {
        (true, true) => format!("{sign}{} ft {rest:.0} in", format_number(feet, 0)),
        (true, false) => format!("{sign}{} ft", format_number(feet, 0)),
        _ => format!("{sign}{rest:.0} in"),
    }
}

/// A number with thousands set off by commas and a true minus sign.
#[must_use]
pub fn format_number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "unknown".to_owned();
    }
    let text = format!("{:.decimals$}", value.abs());
    let (whole, fraction) = text.split_once('.').unwrap_or((&text, ""));
    let mut grouped = String::new();
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i) % 3 == 0 {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    let is_zero = text.bytes().all(|b| matches!(b, b'0' | b'.'));
    let sign = if value < 0.0 && !is_zero { "−" } else { "" };
    if fraction.is_empty() { format!("{sign}{grouped}") } else { format!("{sign}{grouped}.{fraction}") }
}

fn number_text(value: f64, digits: Digits, most_decimals: usize, kind: Quantity) -> String {
    let (value, decimals) = match digits {
        Digits::Decimals(decimals) => (value, decimals),
        Digits::Significant(count) => rounded(value, count.max(1), 12),
        Digits::Usual => rounded(value, 3, most_decimals),
    };
    let text = format_number(value, decimals);
    // A whole-inch propeller is spoken of without decimals, and so is a plain ratio.
    let bare = digits == Digits::Usual && matches!(kind, Quantity::PropellerLength | Quantity::Ratio);
    if bare && text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// `value` rounded to `count` significant digits, with the decimals that show them.
fn rounded(value: f64, count: usize, most_decimals: usize) -> (f64, usize) {
    if value == 0.0 || !value.is_finite() {
        return (value, 0);
    }
    let magnitude = value.abs().log10().floor() as i32;
    let wanted = count as i32 - 1 - magnitude;
    let places = wanted.min(most_decimals as i32);
    let step = 10_f64.powi(-places);
    let nearest = (value / step).round() * step;
    // Rounding up may have added a digit (9.996 -> 10.0).
    let grown = nearest != 0.0 && nearest.abs().log10() >= f64::from(magnitude + 1) - 1e-12;
    let decimals = (places - i32::from(grown && places == wanted)).max(0);
    (nearest, decimals as usize)
}
