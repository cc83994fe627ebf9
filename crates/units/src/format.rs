//! From SI to text for reading: the unit in which the trade writes each kind, digits, thousands.
//! Not for: files that are read back to the last digit.

use crate::factors::INCH_M;
use crate::quantity::Quantity;
use crate::table::{Unit, units_of};

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

/// The unit in which `kind` is written. Large and small values may go over to a neighbour (kg and
/// t, W and kW); this is the one for an axis or a table head.
#[must_use]
pub fn unit_for(kind: Quantity, system: UnitSystem) -> &'static Unit {
    unit_named(kind, ladder(kind, system).0)
}

/// The unit of a column whose largest size is `largest_si`: a neighbour where that reads better.
#[must_use]
pub fn unit_for_column(kind: Quantity, system: UnitSystem, largest_si: f64) -> &'static Unit {
    let (usual, others, _) = ladder(kind, system);
    let fits = others.iter().find(|(_, from, below)| (*from..*below).contains(&largest_si.abs()));
    unit_named(kind, fits.map_or(usual, |(symbol, ..)| symbol))
}

/// Decimals that a column in `unit` deserves.
#[must_use]
pub fn decimals_for_column(unit: &Unit) -> usize {
    match unit.symbol() {
        "kW" | "kWh" | "m" | "m²" | "mohm" | "ohm" => 2,
        "N/mm²" | "kn" | "V" | "nm" | "h" | "m/s" | "in" | "N m" | "ft" | "d" | "months" | "lbf ft" | "t"
        | "kN" => 1,
        "" => 2,
        _ => 0,
    }
}

/// Name and unit in which every file holds a kind: a figure `drag` is `drag_n` in JSON and CSV, in any
/// command and any unit system. A share is 0 to 1.
#[must_use]
pub fn file_unit(kind: Quantity) -> (&'static str, &'static Unit) {
    use Quantity as Q;
    let (suffix, symbol) = match kind {
        Q::Length => ("m", "m"),
        Q::PropellerLength => ("in", "in"),
        Q::SmallLength => ("mm", "mm"),
        Q::Distance => ("nmi", "nm"),
        Q::Speed => ("kn", "kn"),
        Q::LocalSpeed => ("m_s", "m/s"),
        Q::Mass => ("kg", "kg"),
        Q::Power => ("w", "W"),
        Q::Energy => ("wh", "Wh"),
        Q::Voltage => ("v", "V"),
        Q::Current => ("a", "A"),
        Q::Charge => ("ah", "Ah"),
        Q::Resistance => ("mohm", "mohm"),
        Q::Capacitance => ("mf", "mF"),
        Q::Inductance => ("uh", "µH"),
        Q::RotationalSpeed => ("rpm", "rpm"),
        Q::RotationalSpeedPerVolt => ("rpm_per_v", "rpm/V"),
        Q::Temperature => ("c", "°C"),
        Q::Angle => ("deg", "°"),
        Q::Area => ("m2", "m²"),
        Q::Volume => ("m3", "m³"),
        Q::Force => ("n", "N"),
        Q::Torque => ("n_m", "N m"),
        Q::Duration => ("h", "h"),
        Q::ShortDuration => ("s", "s"),
        Q::Instant => ("ms", "ms"),
        Q::Ratio => ("", ""),
        Q::Share => ("share", ""),
        Q::Density => ("kg_m3", "kg/m³"),
        Q::Pressure => ("mbar", "mbar"),
        Q::Stress => ("n_mm2", "N/mm²"),
        Q::EnergyPerDistance => ("wh_per_nmi", "Wh/nm"),
    };
    (suffix, unit_named(kind, symbol))
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

/// The unit of this symbol; the first of its kind where no unit has it.
#[must_use]
pub fn unit_named(kind: Quantity, symbol: &str) -> &'static Unit {
    let dimension = kind.dimension();
    units_of(dimension).find(|unit| unit.symbol() == symbol).unwrap_or_else(|| first_unit(kind))
}

fn first_unit(kind: Quantity) -> &'static Unit {
    static NONE: Unit =
        Unit { dimension: crate::quantity::Dimension::Ratio, names: &[""], factor: 1.0, offset: 0.0 };
    units_of(kind.dimension()).next().unwrap_or(&NONE)
}

/// A neighbour unit with the SI sizes from which and below which it is written.
type Neighbour = (&'static str, f64, f64);

/// Usual unit, its neighbours by size, and the most decimals that make sense.
fn ladder(kind: Quantity, system: UnitSystem) -> (&'static str, &'static [Neighbour], usize) {
    use Quantity as Q;
    use UnitSystem::{Metric, Trade, Us};
    const NO_END: f64 = f64::INFINITY;
    match (kind, system) {
        (Q::Length, Us) => ("ft", &[], 1),
        (Q::Length, _) => ("m", &[], 2),
        (Q::PropellerLength, Metric) | (Q::SmallLength, Trade | Metric) => ("mm", &[], 0),
        (Q::PropellerLength, _) => ("in", &[], 1),
        (Q::SmallLength, Us) => ("in", &[], 2),
        (Q::Distance, _) => ("nm", &[], 1),
        (Q::Speed, _) => ("kn", &[], 1),
        (Q::LocalSpeed, Us) => ("ft/s", &[], 0),
        (Q::LocalSpeed, _) => ("m/s", &[], 1),
        (Q::Mass, Us) => ("lb", &[], 0),
        (Q::Mass, _) => ("kg", &[("t", 1000.0, NO_END), ("g", 1e-9, 0.1)], 1),
        (Q::Power, _) => ("kW", &[("W", 1e-9, 1000.0)], 1),
        (Q::Energy, _) => ("kWh", &[("Wh", 3600.0, 3.6e6), ("J", 1e-9, 3600.0)], 1),
        (Q::Voltage, _) => ("V", &[("mV", 1e-9, 1.0)], 1),
        (Q::Current, _) => ("A", &[("mA", 1e-9, 0.1)], 1),
        (Q::Charge, _) => ("Ah", &[], 1),
        (Q::Resistance, _) => ("mohm", &[("ohm", 1.0, NO_END)], 2),
        (Q::Capacitance, _) => ("mF", &[("µF", 1e-12, 1e-4)], 2),
        (Q::Inductance, _) => ("µH", &[("mH", 1e-3, NO_END)], 1),
        (Q::RotationalSpeed, _) => ("rpm", &[], 0),
        (Q::RotationalSpeedPerVolt, _) => ("rpm/V", &[], 1),
        (Q::Temperature, Us) => ("°F", &[], 0),
        (Q::Temperature, _) => ("°C", &[], 0),
        (Q::Angle, _) => ("°", &[], 1),
        (Q::Area, Us) => ("ft²", &[], 1),
        (Q::Area, _) => ("m²", &[], 2),
        (Q::Volume, Us) => ("US gal", &[], 1),
        (Q::Volume, _) => ("m³", &[("L", 1e-9, 1.0)], 1),
        (Q::Force, Us) => ("lbf", &[], 0),
        (Q::Force, _) => ("N", &[("kN", 1e4, NO_END)], 1),
        (Q::Torque, Us) => ("lbf ft", &[], 1),
        (Q::Torque, _) => ("N m", &[], 1),
        (Q::Duration, _) => (
            "h",
            &[
                ("s", 1e-9, 120.0),
                ("min", 120.0, 7200.0),
                ("d", 172_800.0, 5_259_600.0),
                ("months", 5_259_600.0, NO_END),
            ],
            1,
        ),
        (Q::Instant, _) => ("ms", &[("s", 1.0, NO_END)], 1),
        (Q::ShortDuration, _) => ("s", &[("min", 120.0, 7200.0), ("h", 7200.0, NO_END)], 0),
        (Q::Ratio, _) => ("", &[], 3),
        (Q::Share, _) => ("%", &[], 0),
        (Q::Density, Us) => ("lb/ft³", &[], 1),
        (Q::Density, _) => ("kg/m³", &[], 0),
        (Q::Pressure, Us) => ("psi", &[], 1),
        (Q::Pressure, _) => ("mbar", &[], 0),
        (Q::Stress, Us) => ("psi", &[], 0),
        (Q::Stress, _) => ("N/mm²", &[], 1),
        (Q::EnergyPerDistance, _) => ("Wh/nm", &[], 0),
    }
}
