//! Whirling, spacing of bearings, balance and pitch of a shaft line against printed and computed figures of others.

use wakewright_core::propeller::standards::AccuracyClass;
use wakewright_core::shaft::{
    MeasuredPitch, Metal, bearing_spacing_m, imbalance_kg_m, natural_rev_s, overhung_sag_m, span_rev_s,
    together_rev_s,
};
use wakewright_testkit::Table;

/// `reference/mechanics/critical_speed.csv`, rows 2 to 4: the sag of a textbook's stepped shaft, and the demo of a propeller behind a
/// span, dry and with 30 % of water. Row 1 is a disc amid a span, by its sag.
#[test]
fn critical_speeds() {
    let table = Table::read("mechanics/critical_speed.csv");
    let answer = |row: usize| table.numbers("first_critical_hz")[row];
    let within = |found: f64, row: usize| {
        let wanted = answer(row);
        assert!((found / wanted - 1.0).abs() < 0.005, "row {}: {found} for {wanted}", row + 1);
    };
    // Simple supports, a disc of 10 kg amid 500 mm of a 30 mm shaft of E 2.1e11 Pa: sag W L³ / (48 E I).
    let second = std::f64::consts::PI * 0.030_f64.powi(4) / 64.0;
    within(natural_rev_s(10.0 * 9.806_65 * 0.5_f64.powi(3) / (48.0 * 2.1e11 * second)), 0);
    // Printed: 3 W L³ / (256 E I), W 400 N, L 1 m, I 0.3e-6 m4, E 200 GPa.
    within(natural_rev_s(3.0 * 400.0 / (256.0 * 200.0e9 * 0.3e-6)), 1);
    for (row, mass_kg) in [(2, 6.0), (3, 6.0 * 1.3)] {
        let hung = natural_rev_s(overhung_sag_m(Metal::Stainless, 0.025, 1.2, 0.15, mass_kg));
        within(together_rev_s(hung, span_rev_s(Metal::Stainless, 0.025, 1.2)), row);
    }
}

/// `reference/mechanics/shaft_bearing_spacing.csv`, those rows whose metal is in the program's list.
#[test]
fn spacing_of_bearings() {
    let table = Table::read("mechanics/shaft_bearing_spacing.csv");
    let mut rows = 0;
    for row in 0..table.numbers("rpm").len() {
        let metal = match table.text(row, "metal") {
            "bronze" => Metal::Bronze,
            "age-hardened stainless" => Metal::AgeHardened,
            _ => continue,
        };
        let number = |name: &str| table.number(row, name).expect("a number");
        let feet = bearing_spacing_m(metal, 0.0254 * number("diameter_in"), number("rpm") / 60.0) / 0.3048;
        let wanted = number("spacing_ft");
        assert!((feet / wanted - 1.0).abs() < 0.001, "{feet} for {wanted}");
        rows += 1;
    }
    assert_eq!(rows, 2);
}

/// `reference/mechanics/balance_grade.csv`: g mm by mass, revolutions and grade, one row printed.
#[test]
fn balance_grades() {
    let table = Table::read("mechanics/balance_grade.csv");
    for row in 0..table.numbers("grade").len() {
        let number = |name: &str| table.number(row, name).expect("a number");
        let found = 1e6 * imbalance_kg_m(number("mass_kg"), number("rpm") / 60.0, number("grade"));
        assert!((found / number("g_mm") - 1.0).abs() < 0.005, "{found}");
    }
}

/// ISO 484-2 by hand: a blade 1.2 % over is class II (1.5 %), a propeller 0.4 % over is class S (0.5 %), a radius 1.2 % over is
/// class I (1.5 %): class II in all. One blade 5 % over keeps none.
#[test]
fn classes_of_pitch() {
    let nominal_m = 0.3;
    let of = |off: [f64; 3]| MeasuredPitch {
        blades_m: off.iter().map(|off| vec![nominal_m * (1.0 + off); 3]).collect(),
        nominal_m,
    };
    let pitch = of([0.012, 0.0, 0.0]);
    assert_eq!(pitch.class(), Some(AccuracyClass::II));
    assert_eq!(pitch.means()[3].class, Some(AccuracyClass::S));
    assert_eq!(of([0.05, 0.0, 0.0]).class(), None);
    assert_eq!(of([0.0, 0.0, 0.0]).class(), Some(AccuracyClass::S));
}
