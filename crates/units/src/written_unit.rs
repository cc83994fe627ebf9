//! In which unit a quantity is written, and where it steps to the next.

use super::format::UnitSystem;
use crate::quantity::Quantity;
use crate::table::{Unit, units_of};

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

/// The unit of this symbol; the first of its kind where no unit has it.
#[must_use]
pub fn unit_named(kind: Quantity, symbol: &str) -> &'static Unit {
    let dimension = kind.dimension();
    units_of(dimension).find(|unit| unit.symbol() == symbol).unwrap_or_else(|| first_unit(kind))
}

fn first_unit(kind: Quantity) -> &'static Unit {
    static NONE: Unit =
        Unit { dimension: crate::dimension::Dimension::Ratio, names: &[""], factor: 1.0, offset: 0.0 };
    units_of(kind.dimension()).next().unwrap_or(&NONE)
}

/// A neighbour unit with the SI sizes from which and below which it is written.
type Neighbour = (&'static str, f64, f64);

/// Usual unit, its neighbours by size, and the most decimals that make sense.
pub(super) fn ladder(kind: Quantity, system: UnitSystem) -> (&'static str, &'static [Neighbour], usize) {
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
        (Q::Resistance, _) => ("mohm", &[("ohm", 1.0, 1e3), ("kohm", 1e3, 1e6), ("Mohm", 1e6, NO_END)], 2),
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
