//! The units that are read, with every spelling. The first name is the one that is written.
//! Not for: the numbers behind them (factors.rs) or the choice of a unit for writing (format.rs).

use crate::dimension::Dimension;
use crate::factors as f;

/// A unit: `si = value * factor + offset`.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// What it measures.
    pub dimension: Dimension,
    /// Spellings; the first is the one written. Case counts only where two units differ by it.
    pub names: &'static [&'static str],
    /// SI units per unit.
    pub factor: f64,
    /// SI value of the unit's zero (temperatures only).
    pub offset: f64,
}

impl Unit {
    /// The spelling that is written.
    #[must_use]
    pub fn symbol(&self) -> &'static str {
        self.names.first().copied().unwrap_or_default()
    }

    /// SI value of `value` in this unit.
    #[must_use]
    pub fn to_si(&self, value: f64) -> f64 {
        value * self.factor + self.offset
    }

    /// Value in this unit of an SI value.
    #[must_use]
    pub fn from_si(&self, si: f64) -> f64 {
        (si - self.offset) / self.factor
    }
}

const fn unit(dimension: Dimension, factor: f64, names: &'static [&'static str]) -> Unit {
    Unit { dimension, names, factor, offset: 0.0 }
}

use Dimension as D;

/// Every unit, the usual ones first within each dimension: lists of accepted units follow this order.
static UNITS: &[Unit] = &[
    unit(D::Length, 1.0, &["m", "metre", "metres", "meter", "meters"]),
    unit(D::Length, 1e-3, &["mm", "millimetre", "millimetres", "millimeter", "millimeters"]),
    unit(D::Length, 1e-2, &["cm", "centimetre", "centimetres", "centimeter", "centimeters"]),
    unit(D::Length, f::INCH_M, &["in", "inch", "inches", "\"", "″", "”", "in.", "''"]),
    unit(D::Length, f::FOOT_M, &["ft", "foot", "feet", "'", "′", "’", "ft."]),
    unit(
        D::Length,
        f::NAUTICAL_MILE_M,
        &["nm", "nmi", "sea mile", "sea miles", "nautical mile", "nautical miles"],
    ),
    unit(D::Length, 1e3, &["km", "kilometre", "kilometres", "kilometer", "kilometers"]),
    unit(D::Length, f::YARD_M, &["yd", "yard", "yards"]),
    unit(D::Length, f::MILE_M, &["mile", "miles", "mi"]),
    unit(D::Speed, f::KNOT_M_S, &["kn", "knot", "knots", "kt", "kts", "kns"]),
    unit(D::Speed, 1.0, &["m/s", "metres per second"]),
    unit(D::Speed, 1e3 / f::HOUR_S, &["km/h", "kmh", "kph"]),
    unit(D::Speed, f::MILE_M / f::HOUR_S, &["mph"]),
    unit(D::Speed, f::FOOT_M, &["ft/s"]),
    unit(D::Mass, 1e3, &["t", "tonne", "tonnes"]),
    unit(D::Mass, 1.0, &["kg", "kilogram", "kilograms", "kilo", "kilos", "kgs"]),
    unit(D::Mass, 1e-3, &["g", "gram", "grams"]),
    unit(D::Mass, f::POUND_KG, &["lb", "lbs", "pound", "pounds", "lb."]),
    unit(D::Mass, f::OUNCE_KG, &["oz", "ounce", "ounces"]),
    unit(D::Mass, f::LONG_TON_KG, &["long ton", "long tons"]),
    unit(D::Mass, f::SHORT_TON_KG, &["short ton", "short tons"]),
    unit(D::Power, 1e3, &["kW", "kilowatt", "kilowatts"]),
    unit(D::Power, 1.0, &["W", "watt", "watts"]),
    unit(D::Power, f::HORSEPOWER_W, &["hp", "bhp", "shp", "horsepower"]),
    unit(D::Power, f::METRIC_HORSEPOWER_W, &["PS", "ch", "CV", "metric hp"]),
    unit(D::Energy, 1e3 * f::WATT_HOUR_J, &["kWh", "kilowatt-hour", "kilowatt-hours"]),
    unit(D::Energy, f::WATT_HOUR_J, &["Wh", "watt-hour", "watt-hours"]),
    unit(D::Energy, 1e6, &["MJ"]),
    unit(D::Energy, 1e3, &["kJ"]),
    unit(D::Energy, 1.0, &["J", "joule", "joules"]),
    unit(D::Voltage, 1.0, &["V", "volt", "volts", "Vdc", "V DC"]),
    unit(D::Voltage, 1e-3, &["mV", "millivolt", "millivolts"]),
    unit(D::Current, 1.0, &["A", "amp", "amps", "ampere", "amperes", "Arms"]),
    unit(D::Current, 1e-3, &["mA", "milliamp", "milliamps"]),
    unit(D::Current, 1e3, &["kA", "kiloamp", "kiloamps"]),
    unit(D::Charge, f::AMPERE_HOUR_C, &["Ah", "amp-hour", "amp-hours", "amp hours", "A h"]),
    unit(D::Charge, 1e-3 * f::AMPERE_HOUR_C, &["mAh"]),
    unit(D::Charge, 1.0, &["coulomb", "coulombs"]),
    unit(D::Resistance, 1e-3, &["mohm", "mΩ", "m\u{2126}", "milliohm", "milliohms", "m ohm"]),
    unit(D::Resistance, 1.0, &["ohm", "Ω", "\u{2126}", "ohms"]),
    unit(D::Resistance, 1e3, &["kohm", "kΩ", "k\u{2126}", "kiloohm", "kilohm", "kilohms"]),
    // Not to be taken for a thousandth: by its capital alone, or in full.
    unit(D::Resistance, 1e6, &["Mohm", "MΩ", "M\u{2126}", "megohm", "megohms", "megaohm"]),
    unit(
        D::Resistance,
        1e-6,
        &["µohm", "µΩ", "µ\u{2126}", "\u{3bc}Ω", "\u{3bc}\u{2126}", "uohm", "microhm", "micro-ohm"],
    ),
    unit(D::Capacitance, 1e-3, &["mF", "millifarad", "millifarads"]),
    unit(D::Capacitance, 1e-6, &["µF", "uF", "\u{3bc}F", "microfarad", "microfarads"]),
    unit(D::Capacitance, 1.0, &["F", "farad", "farads"]),
    unit(D::Inductance, 1e-6, &["µH", "uH", "\u{3bc}H", "microhenry"]),
    unit(D::Inductance, 1e-3, &["mH", "millihenry"]),
    unit(D::Inductance, 1.0, &["H", "henry"]),
    unit(D::RotationalSpeed, f::RPM_REV_S, &["rpm", "r/min", "rev/min", "1/min", "revs"]),
    unit(D::RotationalSpeed, 1.0, &["rev/s", "rps", "r/s"]),
    unit(D::RotationalSpeedPerVolt, f::RPM_REV_S, &["rpm/V", "rpm per volt", "rpm/volt", "KV"]),
    Unit {
        dimension: D::Temperature,
        names: &["°C", "C", "degC", "deg C", "celsius", "℃", "º C", "ºC"],
        factor: 1.0,
        offset: f::ZERO_CELSIUS_K,
    },
    Unit {
        dimension: D::Temperature,
        names: &["°F", "F", "degF", "deg F", "fahrenheit", "℉"],
        factor: f::FAHRENHEIT_DEGREE_K,
        offset: f::ZERO_FAHRENHEIT_K,
    },
    unit(D::Temperature, 1.0, &["K", "kelvin"]),
    unit(D::Angle, f::DEGREE_RAD, &["°", "deg", "degree", "degrees"]),
    unit(D::Angle, 1.0, &["rad", "radian", "radians"]),
    unit(D::Area, 1.0, &["m²", "m2", "m^2", "sq m", "sqm"]),
    unit(D::Area, 1e-4, &["cm²", "cm2", "cm^2", "sq cm"]),
    unit(D::Area, f::FOOT_M * f::FOOT_M, &["ft²", "ft2", "ft^2", "sq ft", "sqft"]),
    unit(D::Area, f::INCH_M * f::INCH_M, &["in²", "in2", "in^2", "sq in"]),
    unit(D::Volume, 1.0, &["m³", "m3", "m^3", "cu m"]),
    unit(D::Volume, 1e-3, &["L", "litre", "litres", "liter", "liters", "dm3"]),
    unit(D::Volume, f::US_GALLON_M3, &["US gal", "US gallon", "US gallons"]),
    unit(D::Volume, f::IMPERIAL_GALLON_M3, &["imp gal", "imperial gallon", "imperial gallons", "UK gal"]),
    unit(D::Volume, f::FOOT_M * f::FOOT_M * f::FOOT_M, &["ft³", "ft3", "ft^3", "cu ft"]),
    unit(D::Force, 1.0, &["N", "newton", "newtons"]),
    unit(D::Force, 1e3, &["kN"]),
    unit(D::Force, f::KILOGRAM_FORCE_N, &["kgf", "kp"]),
    unit(D::Force, f::POUND_FORCE_N, &["lbf"]),
    unit(D::Torque, 1.0, &["N m", "Nm", "N·m", "newton metre", "newton metres"]),
    unit(D::Torque, f::KILOGRAM_FORCE_N, &["kgf m", "kgf·m", "kgm"]),
    unit(
        D::Torque,
        f::POUND_FORCE_N * f::FOOT_M,
        &["lbf ft", "lbf·ft", "ft lbf", "ft·lbf", "ft lb", "lb ft"],
    ),
    unit(D::Duration, f::HOUR_S, &["h", "hour", "hours", "hr", "hrs"]),
    unit(D::Duration, f::MINUTE_S, &["min", "mins", "minute", "minutes"]),
    unit(D::Duration, 1.0, &["s", "sec", "second", "seconds"]),
    unit(D::Duration, 1e-3, &["ms", "millisecond", "milliseconds"]),
    unit(D::Duration, f::DAY_S, &["d", "day", "days"]),
    unit(D::Duration, 7.0 * f::DAY_S, &["week", "weeks"]),
    unit(D::Duration, f::MONTH_S, &["months", "month", "mo"]),
    unit(D::Duration, f::YEAR_S, &["years", "year", "yr", "yrs", "a"]),
    unit(D::Ratio, 1e-2, &["%", "percent", "per cent"]),
    unit(D::Ratio, 1e-3, &["‰", "per mille", "permille", "promille"]),
    unit(D::Ratio, 1.0, &["", ":1", "to 1"]),
    unit(D::Density, 1.0, &["kg/m³", "kg/m3", "kg/m^3"]),
    unit(D::Density, 1e3, &["kg/L", "g/cm³", "g/cm3", "t/m³", "t/m3"]),
    unit(D::Density, f::POUND_KG / (f::FOOT_M * f::FOOT_M * f::FOOT_M), &["lb/ft³", "lb/ft3"]),
    unit(D::Pressure, f::MILLIBAR_PA, &["mbar", "hPa", "millibar", "millibars"]),
    unit(D::Pressure, 1e5, &["bar"]),
    unit(D::Pressure, 1e3, &["kPa"]),
    unit(D::Pressure, 1.0, &["Pa"]),
    unit(D::Pressure, 1e6, &["N/mm²", "N/mm2", "MPa"]),
    unit(D::Pressure, f::PSI_PA, &["psi"]),
    unit(D::EnergyPerDistance, f::WATT_HOUR_J / f::NAUTICAL_MILE_M, &["Wh/nm", "Wh/nmi", "Wh per mile"]),
    unit(D::EnergyPerDistance, 1e3 * f::WATT_HOUR_J / f::NAUTICAL_MILE_M, &["kWh/nm", "kWh/nmi"]),
    unit(D::EnergyPerDistance, f::WATT_HOUR_J / 1e3, &["Wh/km"]),
    unit(D::EnergyPerDistance, 1.0, &["J/m"]),
];

/// Words that name more than one unit, with what to write instead.
static AMBIGUOUS: &[(Dimension, &[&str], &str)] = &[
    (D::Mass, &["ton", "tons", "T"], "t (1,000 kg), long ton (1,016 kg) or short ton (907 kg)"),
    (D::Volume, &["gal", "gallon", "gallons"], "US gal (3.79 L) or imp gal (4.55 L)"),
    (D::Duration, &["m", "M"], "min or months"),
];

/// The units of one dimension, the usual ones first.
pub fn units_of(dimension: Dimension) -> impl Iterator<Item = &'static Unit> {
    UNITS.iter().filter(move |unit| unit.dimension == dimension)
}

/// Whether `word` is how some unit is written, or the first word of it.
#[must_use]
pub fn is_symbol(word: &str) -> bool {
    let is_it = |unit: &Unit| {
        let symbol = unit.symbol();
        !symbol.is_empty()
            && (symbol == word || symbol.split_once(' ').is_some_and(|(first, _)| first == word))
    };
    UNITS.iter().any(is_it)
}

/// "m, mm, cm, in, ft": the units of one dimension as they are written.
#[must_use]
pub fn accepted_units(dimension: Dimension) -> String {
    let symbols: Vec<&str> = units_of(dimension)
        .map(|unit| if unit.symbol().is_empty() { "no unit" } else { unit.symbol() })
        .collect();
    symbols.join(", ")
}

/// The unit of `dimension` spelt `name`: first by exact case, then by any case where one unit only fits.
pub(crate) fn find_unit(name: &str, dimension: Dimension) -> Option<&'static Unit> {
    if let Some(exact) = units_of(dimension).find(|unit| unit.names.contains(&name)) {
        return Some(exact);
    }
    let lower = name.to_lowercase();
    let mut fits = units_of(dimension).filter(|unit| unit.names.iter().any(|n| n.to_lowercase() == lower));
    match (fits.next(), fits.next()) {
        (Some(unit), None) => Some(unit),
        _ => None,
    }
}

/// What else `name` measures, when it is spelt exactly as a unit of another dimension.
pub(crate) fn other_dimension(name: &str, dimension: Dimension) -> Option<&'static Unit> {
    let foreign = |unit: &&Unit| unit.dimension != dimension && !unit.symbol().is_empty();
    UNITS.iter().filter(foreign).find(|unit| unit.names.contains(&name))
}

/// What to write instead of a word that names more than one unit.
pub(crate) fn ambiguity(name: &str, dimension: Dimension) -> Option<&'static str> {
    AMBIGUOUS
        .iter()
        .find(|(d, words, _)| *d == dimension && words.contains(&name))
        .map(|(_, _, advice)| *advice)
}
