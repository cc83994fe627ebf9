//! Open water, hull factors and growth against published figures.
//! Tables: reference/propeller/*.csv, each with its provenance and tolerance.
#![allow(clippy::unwrap_used, reason = "helpers of tests may unwrap")]

use proptest::prelude::*;
use wakewright_core::notice::Notice;
use wakewright_core::numeric::solve_bracketed;
use wakewright_core::possible::Impossible;
use wakewright_core::propeller::geometry::{chord_075_m, thickness_ratio_075};
use wakewright_core::propeller::holtrop1982::{HullForm, section_drag_fall};
use wakewright_core::propeller::interaction::{hull_efficiency, open_stern_factors, wake_fraction_taylor};
use wakewright_core::propeller::prepared::section_drag_effect;
use wakewright_core::propeller::reynolds::ReynoldsCorrection;
use wakewright_core::propeller::{
    OpenWater, Pattern, PreparedPropeller, Propeller, PropellerError, SternArrangement,
};
use wakewright_core::water::Water;
use wakewright_testkit::{Table, assert_near, assert_within};

const SEA: Water = Water { density_kg_m3: 1025.0, viscosity_m2_s: 1.188e-6, vapour_pressure_pa: 1705.0 };

fn bseries(blades: u8, area_ratio: f64, pitch_ratio: f64) -> OpenWater {
    OpenWater::new(Pattern::BSeries, blades, area_ratio, pitch_ratio).unwrap().value
}

#[test]
fn kuiper1992_bseries_checks() {
    let table = Table::read("propeller/kuiper1992_bseries_checks.csv");
    assert_eq!(table.rows.len(), 43);
    // The last row is the four-quadrant bollard pair, tested in four_quadrant.rs.
    for row in 0..42 {
        let number = |column: &str| table.number(row, column).unwrap();
        let curve = bseries(number("Z") as u8, number("AE_A0"), number("P_D"));
        let tolerance = if row < 36 { 1e-6 } else { 0.005 };
        let j = number("J");
        match (table.number(row, "KT"), table.number(row, "10KQ")) {
            (Some(kt), None) => assert_near(&format!("KT row {}", row + 1), curve.kt(j), kt, tolerance),
            (None, Some(kq)) => {
                assert_near(&format!("10KQ row {}", row + 1), 10.0 * curve.kq(j), kq, tolerance);
            }
            other => panic!("row {}: {other:?}", row + 1),
        }
    }
}

/// The published terms summed one by one with general powers: another path than the collapsed cubic.
fn sum_of_terms(table: &Table, j: f64, pitch_ratio: f64, area_ratio: f64, blades: f64) -> f64 {
    (0..table.rows.len())
        .map(|row| {
            let number = |column: &str| table.number(row, column).unwrap();
            number("C")
                * j.powf(number("s"))
                * pitch_ratio.powf(number("t"))
                * area_ratio.powf(number("u"))
                * blades.powf(number("v"))
        })
        .sum()
}

fn check_against_terms(pattern: Pattern, kt_file: &str, kq_file: &str) {
    let (kt_terms, kq_terms) = (Table::read(kt_file), Table::read(kq_file));
    assert_eq!((kt_terms.rows.len(), kq_terms.rows.len()), (39, 47));
    for (blades, area_ratio, pitch_ratio) in [(3, 0.5, 0.8), (4, 0.7, 1.0), (5, 1.05, 1.4), (2, 0.3, 0.5)] {
        let curve = OpenWater::new(pattern, blades, area_ratio, pitch_ratio).unwrap().value;
        for j in [0.0, 0.35, 0.9] {
            let z = f64::from(blades);
            assert_near("KT", curve.kt(j), sum_of_terms(&kt_terms, j, pitch_ratio, area_ratio, z), 1e-12);
            assert_near("KQ", curve.kq(j), sum_of_terms(&kq_terms, j, pitch_ratio, area_ratio, z), 1e-12);
        }
    }
}

#[test]
fn oosterveld1975_terms() {
    check_against_terms(
        Pattern::BSeries,
        "propeller/oosterveld1975_kt.csv",
        "propeller/oosterveld1975_kq.csv",
    );
}

#[test]
fn blount1981_terms() {
    check_against_terms(Pattern::GawnWide, "propeller/blount1981_kt.csv", "propeller/blount1981_kq.csv");
}

#[test]
fn oosterveld1975_reynolds() {
    let table = Table::read("propeller/oosterveld1975_reynolds.csv");
    let (pitch_ratio, area_ratio, blades, j) = (0.9_f64, 0.6_f64, 4_u8, 0.55_f64);
    let correction = ReynoldsCorrection::new(blades, area_ratio, pitch_ratio);
    let published = |quantity: &str, reynolds: f64| -> f64 {
        (0..table.rows.len())
            .filter(|&row| table.text(row, "quantity") == quantity)
            .map(|row| {
                let number = |column: &str| table.number(row, column).unwrap();
                number("C")
                    * (reynolds.log10() - 0.301).powf(number("a_log10Rn_minus_0.301"))
                    * j.powf(number("s_J"))
                    * pitch_ratio.powf(number("t_PD"))
                    * area_ratio.powf(number("u_AEA0"))
                    * f64::from(blades).powf(number("v_Z"))
            })
            .sum()
    };
    let quadratic = |c: [f64; 3]| c[0] + j * (c[1] + j * c[2]);
    for reynolds in [2e6_f64, 5e6, 1e8, 2e9] {
        let (kt, kq) = correction.as_published(reynolds, j);
        assert_near("dKT", kt, published("dKT", reynolds), 1e-12);
        assert_near("dKQ", kq, published("dKQ", reynolds), 1e-12);
        let (kt_added, kq_added) = correction.at_squared(reynolds * reynolds);
        assert_near("added dKT", quadratic(kt_added), kt - published("dKT", 2e6), 1e-12);
        assert_near("added dKQ", quadratic(kq_added), kq - published("dKQ", 2e6), 1e-12);
    }
    assert_eq!(correction.at_squared(1e12), ([0.0; 3], [0.0; 3]));
    // Nearly nil at the base: the collection of coefficients reports at most 1.7e-4.
    assert!(published("dKT", 2e6).abs() < 2e-4 && published("dKQ", 2e6).abs() < 2e-4);
}

/// Straight lines KT = 0.53 - 0.41 J, KQ = 0.096 - 0.070 J given for three blades, area ratio 0.65
/// (pitch ratio 1.2 by identification): a loose check.
#[test]
fn linear_open_water_lines() {
    let curve = bseries(3, 0.65, 1.2);
    for j in [0.0, 0.2, 0.4, 0.6, 0.8] {
        assert_near("KT line", curve.kt(j), 0.53 - 0.41 * j, 0.035);
        assert_near("KQ line", curve.kq(j), 0.096 - 0.070 * j, 0.006);
    }
}

/// Own numbers, not published: they guard against change and prove nothing.
#[test]
fn efficiency_anchors_of_our_own() {
    for (pitch_ratio, best, at) in [
        (0.8, 0.655, 0.670),
        (0.9, 0.685, 0.765),
        (1.0, 0.707, 0.861),
        (1.1, 0.723, 0.956),
        (1.2, 0.737, 1.050),
        (1.4, 0.764, 1.238),
    ] {
        let curve = bseries(4, 0.55, pitch_ratio);
        assert_near("efficiency", curve.efficiency(at), best, 0.000_6);
        assert!(curve.efficiency(at) > curve.efficiency(at - 0.02));
        assert!(curve.efficiency(at) > curve.efficiency(at + 0.02));
    }
    for (pitch_ratio, j, kt, kq, efficiency) in
        [(0.6, 0.4, 0.108_1, 0.012_54, 0.549), (0.8, 0.6, 0.118_1, 0.017_18, 0.657)]
    {
        let curve = bseries(3, 0.5, pitch_ratio);
        assert_near("KT", curve.kt(j), kt, 0.000_06);
        assert_near("KQ", curve.kq(j), kq, 0.000_006);
        assert_near("efficiency", curve.efficiency(j), efficiency, 0.000_6);
    }
}

/// Hull of the worked example in \[holtrop1982\]. The form factor is weighted with the appendages' area.
fn example_hull() -> HullForm {
    let surface = 7381.45 + 50.0;
    let form_factor = (7381.45 * 1.156 + 50.0 * 1.5) / surface;
    HullForm {
        length_waterline_m: 205.0,
        beam_m: 32.0,
        draught_m: 10.0,
        draught_aft_m: 10.0,
        volume_m3: 37_500.0,
        midship_coefficient: 0.98,
        buoyancy_centre_percent: -0.75,
        wetted_surface_m2: surface,
        stern_coefficient: 10.0,
        viscous_coefficient: form_factor * 0.001_390 + 0.000_352,
        propeller_diameter_m: 8.0,
    }
}

#[test]
fn holtrop1982_example_hull_factors() {
    let hull = example_hull();
    let c = hull.coefficients();
    assert_near("CP", c.cp, 0.5833, 0.00005);
    assert_near("CP1", c.cp1, 0.5477, 0.00006);
    // Inputs CF and CA are rounded to six decimals, so CV is known to 1.5e-6 only.
    assert_near("CV", hull.viscous_coefficient, 0.001_963, 0.000_001_5);
    assert_near("c9", c.c9, 14.500, 0.000_5);
    assert_near("c11", c.c11, 1.250, 1e-12);
    assert_near("c10", c.c10, 0.156_10, 0.000_005);
    assert_near("w", hull.wake_fraction_1982(), 0.2584, 0.0001);
    assert_near("t", hull.thrust_deduction_1982(), 0.1747, 0.00006);
    assert_near("etaR", hull.relative_rotative_efficiency(0.7393), 0.9931, 0.00006);
    assert!(hull.check_limits().is_empty());
}

/// The re-analysis of 1984 on the ship of 1982. No figure is printed for it: plausibility only.
#[test]
fn forms_of_1982_and_1984_agree_in_size() {
    let hull = example_hull();
    assert_near("w 1984", hull.wake_fraction_1984(), hull.wake_fraction_1982(), 0.05);
    assert_near("t 1984", hull.thrust_deduction_1984(), hull.thrust_deduction_1982(), 0.04);
}

#[test]
fn holtrop1982_example_shaft_power() {
    let hull = example_hull();
    let (diameter, blades, area_ratio, revs) = (8.0_f64, 4_u8, 0.7393, 1.6594);
    let (speed, resistance) = (25.0 * 1852.0 / 3600.0, 1_793_260.0);
    let (w, t) = (hull.wake_fraction_1982(), hull.thrust_deduction_1982());
    let thrust = resistance / (1.0 - t);
    assert_within("T", thrust, 2_172_750.0, 0.000_2);

    let chord = chord_075_m(diameter, area_ratio, blades);
    assert_near("chord", chord, 3.065, 0.000_5);
    let thickness = thickness_ratio_075(diameter, chord, blades);
    assert_near("t/c", thickness, 0.035_24, 0.000_02);
    let fall = section_drag_fall(chord, thickness, 30e-6);
    assert_near("dCD", fall, 0.000_956, 0.000_001_5);

    // The pitch that gives the thrust at the printed revolutions; power from the torque there.
    let j = (1.0 - w) * speed / (revs * diameter);
    let wanted = thrust / (1025.0 * revs * revs * diameter.powi(4));
    let solidity = chord * f64::from(blades) / diameter;
    let scaled = |pitch_ratio: f64| {
        let (kt_change, kq_change) = section_drag_effect(-fall, pitch_ratio, solidity);
        let curve = bseries(blades, area_ratio, pitch_ratio);
        (curve.kt(j) + kt_change, curve.kq(j) + kq_change)
    };
    let pitch_ratio = solve_bracketed(|p| scaled(p).0 - wanted, 0.8, 1.3, 1e-10).unwrap();
    let (kt, kq) = scaled(pitch_ratio);
    let open_water = j * kt / (std::f64::consts::TAU * kq);
    let rotative = hull.relative_rotative_efficiency(area_ratio);
    let shaft_power = resistance * speed / (hull_efficiency(w, t) * rotative * open_water * 0.99);
    println!("P/D {pitch_ratio:.4} KT {kt:.5} KQ {kq:.6} eta0 {open_water:.4} PS {shaft_power:.0}");
    assert_within("PS", shaft_power, 32_621_000.0, 0.01);
}

#[test]
fn stern_factors_are_in_order() {
    let wake = |stern: SternArrangement| stern.interaction().wake_fraction.median;
    assert!(wake(SternArrangement::Saildrive) < wake(SternArrangement::Skeg));
    assert!(wake(SternArrangement::Skeg) < wake(SternArrangement::Aperture));
    for stern in SternArrangement::ALL {
        let factors = stern.interaction();
        assert!(factors.wake_fraction.p10 >= -1e-12 && factors.thrust_deduction.p10 > 0.0);
    }
    // CB 0.38 by hand: 0.5 · 0.38 - 0.05, and 0.3 · 0.38 + 10 · 0.004 · 0.38 - 0.1.
    assert_near("Taylor", wake_fraction_taylor(0.38), 0.14, 1e-12);
    assert_near("open stern", open_stern_factors(0.38, 0.004).0, 0.029_2, 1e-12);
}

#[test]
fn limits_are_said() {
    let noted = |blades, area, pitch| OpenWater::new(Pattern::BSeries, blades, area, pitch).unwrap().notices;
    assert!(noted(3, 0.5, 0.8).is_empty());
    assert!(matches!(noted(3, 0.5, 1.5)[0], Notice::OutsideRange { quantity: "pitch ratio", .. }));
    assert!(matches!(noted(2, 0.4, 0.8)[0], Notice::Remark { source: "helma2020", .. }));
    let one_blade = OpenWater::new(Pattern::BSeries, 1, 0.5, 0.8);
    assert_eq!(one_blade.unwrap_err(), PropellerError::BladeCount { blades: 1 });
    let no_area = OpenWater::new(Pattern::BSeries, 3, f64::NAN, 0.8);
    assert!(matches!(no_area, Err(PropellerError::Impossible(Impossible::NotPositive { .. }))));
}

fn prepare(shape: &Propeller) -> PreparedPropeller {
    PreparedPropeller::new(shape, &SEA).unwrap().value
}

#[test]
fn growth_takes_thrust_and_adds_torque() {
    let clean = Propeller::clean(0.40, 0.30, 3, 0.5, Pattern::BSeries);
    let grown = Propeller { blade_drag_rise: 0.01, ..clean };
    let (thrust, torque) = prepare(&clean).thrust_torque(2.5, 15.0);
    let (thrust_grown, torque_grown) = prepare(&grown).thrust_torque(2.5, 15.0);
    assert!(thrust_grown < thrust && torque_grown > torque);
}

#[test]
fn reynolds_correction_starts_without_a_step() {
    let propeller = prepare(&Propeller::clean(0.6, 0.5, 3, 0.7, Pattern::BSeries));
    let revs = solve_bracketed(|n| propeller.reynolds_075(3.0, n) - 2e6, 1.0, 40.0, 1e-12).unwrap();
    let below = propeller.thrust_torque(3.0, revs * (1.0 - 1e-9));
    let above = propeller.thrust_torque(3.0, revs * (1.0 + 1e-9));
    assert_within("thrust", above.0, below.0, 1e-7);
    assert_within("torque", above.1, below.1, 1e-7);
}

#[test]
fn revs_at_rest_and_at_zero_thrust() {
    let propeller = prepare(&Propeller::clean(0.40, 0.30, 3, 0.5, Pattern::BSeries));
    let revs_at = |speed: f64, thrust: f64| propeller.at_thrust(speed, thrust).map(|(revs, _)| revs);
    assert_eq!(revs_at(0.0, 0.0), Some(0.0));
    assert_eq!(revs_at(3.0, -1.0), None);
    assert_eq!(revs_at(f64::NAN, 1.0), None);
    assert_eq!(revs_at(3.0, f64::INFINITY), None);
    let idle = revs_at(3.0, 0.0).unwrap();
    assert_within("idle", idle, 3.0 / (0.40 * propeller.advance_at_zero_thrust()), 1e-13);
    let bollard = revs_at(0.0, 1000.0).unwrap();
    assert_within("bollard", propeller.thrust_torque(0.0, bollard).0, 1000.0, 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn at_thrust_inverts_thrust_torque(
        blades in 2_u8..=5,
        area_ratio in 0.3_f64..0.9,
        pitch_ratio in 0.5_f64..1.4,
        diameter in 0.25_f64..1.2,
        speed in 0.1_f64..6.0,
        loading in 0.001_f64..0.999,
        growth in 0.0_f64..0.01,
    ) {
        let shape = Propeller {
            blade_drag_rise: growth,
            ..Propeller::clean(diameter, pitch_ratio * diameter, blades, area_ratio, Pattern::BSeries)
        };
        let propeller = prepare(&shape);
        let revs = speed / (diameter * propeller.advance_at_zero_thrust() * (1.0 - loading));
        let (thrust, torque) = propeller.thrust_torque(speed, revs);
        prop_assume!(thrust >= 0.0);
        prop_assert!(torque > 0.0);
        let (found, asked) = propeller.at_thrust(speed, thrust).unwrap();
        prop_assert!((asked / torque - 1.0).abs() < 1e-11, "{asked} {torque}");
        prop_assert!((found / revs - 1.0).abs() < 1e-13, "{found} {revs}");
    }

    #[test]
    fn thrust_is_positive_up_to_its_zero(
        blades in 2_u8..=7,
        area_ratio in 0.3_f64..1.05,
        pitch_ratio in 0.5_f64..1.4,
    ) {
        let curve = bseries(blades, area_ratio, pitch_ratio);
        let end = curve.first_zero_of_thrust(pitch_ratio).unwrap();
        prop_assert!(curve.kt(end).abs() < 1e-12);
        for i in 0..20 {
            prop_assert!(curve.kt(end * f64::from(i) / 20.0) > 0.0);
        }
    }
}
