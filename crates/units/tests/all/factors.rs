//! Conversion factors against an independent library of units.

use wakewright_testkit::{Table, assert_within};
use wakewright_units::{Dimension, units_of};

fn dimension(word: &str) -> Dimension {
    match word {
        "length" => Dimension::Length,
        "speed" => Dimension::Speed,
        "mass" => Dimension::Mass,
        "power" => Dimension::Power,
        "energy" => Dimension::Energy,
        "charge" => Dimension::Charge,
        "force" => Dimension::Force,
        "torque" => Dimension::Torque,
        "area" => Dimension::Area,
        "volume" => Dimension::Volume,
        "density" => Dimension::Density,
        "pressure" => Dimension::Pressure,
        "angle" => Dimension::Angle,
        "duration" => Dimension::Duration,
        other => panic!("unknown quantity {other}"),
    }
}

/// reference/units/grecco2025_factors.csv; 1e-11 is the printed digits.
#[test]
fn grecco2025_factors() {
    let table = Table::read("units/grecco2025_factors.csv");
    for row in 0..table.rows.len() {
        let name = table.text(row, "unit");
        let unit = units_of(dimension(table.text(row, "quantity")))
            .find(|unit| unit.names.contains(&name))
            .unwrap_or_else(|| panic!("no unit {name}"));
        assert_within(name, unit.factor, table.number(row, "si_factor").unwrap(), 1e-11);
    }
    assert!(table.rows.len() > 25);
}

/// Plausibility only, from memory: factors to seven digits as in \[thompson2008\] appendix B.
#[test]
fn thompson2008_plausibility() {
    use wakewright_units::factors as f;
    for (what, found, printed) in [
        ("horsepower 550 ft lbf/s", f::HORSEPOWER_W, 7.456_999e2),
        ("horsepower metric", f::METRIC_HORSEPOWER_W, 7.354_988e2),
        ("pound-force", f::POUND_FORCE_N, 4.448_222),
        ("knot", f::KNOT_M_S, 5.144_444e-1),
        ("psi", f::PSI_PA, 6.894_757e3),
        ("US gallon", f::US_GALLON_M3, 3.785_412e-3),
    ] {
        assert_within(what, found, printed, 1e-6);
    }
}
