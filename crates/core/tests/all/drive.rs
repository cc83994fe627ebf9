//! The drive against published maps, worked examples and closed forms; balances as properties.

#![allow(clippy::unwrap_used, reason = "a test must fail when a value is missing")]

use std::f64::consts::TAU;

use proptest::prelude::*;
use wakewright_core::drive::{
    Controller, Cooling, DriveError, DriveLine, FieldWeakening, HeatPath, LossPoint, Losses, Motor,
    MotorPlate, Precharge, ReductionKind, Temperatures, fit_loss_terms,
};
use wakewright_testkit::{Table, assert_near, assert_within};

fn map(path: &str) -> Vec<LossPoint> {
    let table = Table::read(path);
    (0..table.rows.len())
        .filter(|&row| table.text(row, "is_continuous") == "1")
        .map(|row| LossPoint {
            omega_rad_s: table.number(row, "speed_rpm").unwrap() / 60.0 * TAU,
            torque_n_m: table.number(row, "torque_n_m").unwrap(),
            efficiency: table.number(row, "efficiency").unwrap(),
        })
        .collect()
}

/// [mauracher1996]: coefficients and error of an independent fit of the same form.
#[test]
fn mauracher1996_pm33_map() {
    let fit = fit_loss_terms(&map("electric/mauracher1996_pm33_map.csv")).unwrap();
    assert!(fit.notices.is_empty());
    let fit = fit.value;
    assert_eq!(fit.points, 74);
    assert_near("RMS", 100.0 * fit.rms_efficiency, 0.80, 0.005);
    assert_near("worst", 100.0 * fit.worst_efficiency, 2.4, 0.06);
    assert_within("a", fit.terms.constant_w, 206.8, 1e-3);
    assert_within("b", fit.terms.per_omega_n_m, 0.6949, 1e-3);
    assert_within("c", fit.terms.per_omega_squared_n_m_s, 0.001361, 1e-3);
    assert_within("k", fit.terms.per_torque_squared_w_n_m2, 0.5716, 1e-3);
    assert_within("d", fit.terms.per_torque_w_n_m, 11.03, 1e-3);
}

/// [vdi1999]: coefficients and error of an independent fit of the same form, as they are printed: three digits.
#[test]
fn vdi1999_pm25_map() {
    let fit = fit_loss_terms(&map("electric/vdi1999_pm25_map.csv")).unwrap().value;
    assert_eq!(fit.points, 85);
    assert_near("RMS", 100.0 * fit.rms_efficiency, 1.8, 0.05);
    assert_near("worst", 100.0 * fit.worst_efficiency, 5.5, 0.05);
    assert_near("a", fit.terms.constant_w, 0.195, 5e-4);
    assert_near("b", fit.terms.per_omega_n_m, 0.0677, 5e-5);
    assert_near("c", fit.terms.per_omega_squared_n_m_s, 0.00863, 5e-6);
    assert_near("k", fit.terms.per_torque_squared_w_n_m2, 0.0432, 5e-5);
    assert_near("d", fit.terms.per_torque_w_n_m, 19.53, 5e-3);
}

/// [pm8sheet1994]: a map that is not physical must be said to be so.
#[test]
fn pm8sheet1994_pm8_map_is_called_unphysical() {
    let fit = fit_loss_terms(&map("electric/pm8sheet1994_pm8_map.csv")).unwrap();
    assert_near("RMS", 100.0 * fit.value.rms_efficiency, 3.6, 0.05);
    assert_eq!(fit.notices.len(), 1);
}

#[test]
fn a_map_at_one_speed_does_not_determine_the_terms() {
    let points: Vec<_> = (1..20)
        .map(|i| LossPoint { omega_rad_s: 100.0, torque_n_m: f64::from(i), efficiency: 0.8 })
        .collect();
    assert!(matches!(fit_loss_terms(&points), Err(DriveError::NotDetermined { .. })));
}

/// Motor of the worked example: 60 rpm/V, 10 mΩ, 5 A no-load near 1500 rpm.
fn example_plate() -> MotorPlate {
    MotorPlate {
        resistance_ohm: Some(0.010),
        no_load_current_a: Some(5.0),
        peak_power_w: Some(10_000.0),
        mass_kg: Some(20.0),
        flux_coefficient_1_k: Some(0.0),
        ..MotorPlate::minimal(1.0, 3141.6, 25.0)
    }
}

/// Worked example constructed elsewhere from the direct-current equivalent: 1500 rpm, 20 N·m,
/// 51.2 V. The example gives the current as "125.7 (+5)"; its resistance is that at 20 °C.
#[test]
fn worked_example_of_the_direct_current_equivalent() {
    let motor = example_plate().motor().unwrap();
    assert!(motor.notices.is_empty(), "{:?}", motor.notices);
    let point = motor.value.at(25.0 * TAU, 20.0, 293.15);
    assert_near("Kt", motor.value.torque_constant_n_m_a, 0.1592, 5e-5);
    assert_near("E", motor.value.open_circuit_voltage_v(25.0 * TAU), 25.0, 1e-9);
    assert_near("I", point.current_a, 125.7 + 5.0, 0.05);
    assert_near("V", point.voltage_v, 26.31, 0.005);
    assert_near("P_in", point.electrical_power_w, 3437.0, 1.0);
    assert_near("P_out", point.shaft_power_w, 3142.0, 0.5);
    assert_near("efficiency", point.efficiency(), 0.914, 5e-4);
    // By hand, leads of 5 mΩ more: 130.7 A lose 0.65 V and 85.4 W in them, and the motor itself is as good as before.
    let leads = Motor { leads_ohm: 0.005, ..motor.value }.at(25.0 * TAU, 20.0, 293.15);
    assert_near("V with leads", leads.voltage_v, 26.31 + 0.653, 0.005);
    assert_near("P_in with leads", leads.electrical_power_w, 3437.0 + 85.4, 1.0);
    assert_near("efficiency with leads", leads.efficiency(), 0.914, 5e-4);
    let ideal = Controller {
        fixed_loss_w: 0.0,
        loss_per_a_w: 0.0,
        loss_per_a2_ohm: 0.0,
        ..Controller::estimate(300.0, 200.0, 51.2)
    };
    let bus = ideal.bus_point(&point, 51.2);
    assert_near("duty", bus.duty, 0.514, 5e-4);
    assert_near("battery current", bus.battery_current_a, 67.1, 0.05);
}

/// A plate that says for how long it gives its peak from cold has a motor that gets too hot after just that.
#[test]
fn time_at_peak_power_is_kept() {
    for (peak_w, peak_s) in [(16_000.0, 180.0), (20_000.0, 30.0)] {
        let plate = MotorPlate {
            peak_power_w: Some(peak_w),
            peak_time_s: Some(peak_s),
            ..MotorPlate::minimal(1.0, 10_000.0, 30.0)
        };
        let motor = plate.motor().unwrap().value;
        let omega = motor.rated_speed_rad_s;
        let cold = Temperatures::cold(313.15);
        let found_s = motor.time_to_limit_s(omega, peak_w / omega, cold, 313.15).unwrap();
        assert_within("time at peak", found_s, peak_s, 1e-6);
        // What it gives for as long as one likes is the plate's, whatever its peak.
        let rated = motor.steady(omega, motor.rated_torque_n_m(), 313.15);
        assert_near("winding at the rating", rated.winding_k, motor.winding_limit_k, 1e-3);
    }
}

/// Pre-charge, published: 800 V, 47 Ω, 1000 µF [precharge2020]; 400 V, 50 Ω, 3 mF
/// [paralleling2021].
#[test]
fn precharge_examples() {
    let first = Precharge { bus_v: 800.0, resistance_ohm: 47.0, capacitance_f: 1e-3 };
    assert_near("tau", first.time_constant_s(), 0.047, 1e-12);
    assert_near("3 tau", 3.0 * first.time_constant_s(), 0.141, 5e-4);
    assert_near("99 %", first.time_to_s(0.99), 0.2164, 5e-5);
    assert_near("peak", first.peak_current_a(), 17.0, 0.05);
    assert_near("power", first.peak_power_w(), 13_617.0, 0.5);
    assert_near("energy", first.energy_j(), 320.0, 1e-9);
    let second = Precharge { bus_v: 400.0, resistance_ohm: 50.0, capacitance_f: 3e-3 };
    assert_near("peak", second.peak_current_a(), 8.0, 1e-12);
    assert_near("tau", second.time_constant_s(), 0.150, 1e-12);
    assert_near("95 %", second.time_to_s(0.95), 0.449, 5e-4);
    assert_near("energy", second.energy_j(), 240.0, 1e-9);
    assert_near("power", second.peak_power_w(), 3200.0, 1e-9);
}

/// The rating is what it says: at rated speed, torque and ambient the winding settles at its limit.
#[test]
fn the_rated_point_settles_at_the_limit() {
    for cooling in [Cooling::AirNatural, Cooling::AirForced, Cooling::Water] {
        let plate = MotorPlate { cooling, ..MotorPlate::minimal(1.0, 10_000.0, 30.0) };
        let motor = plate.motor().unwrap().value;
        let (omega, torque) = (motor.rated_speed_rad_s, motor.rated_torque_n_m());
        assert_near("winding", motor.steady_winding_k(omega, torque, 313.15), motor.winding_limit_k, 1e-3);
        assert_near("efficiency", motor.steady(omega, torque, 313.15).efficiency(), 0.91, 1e-6);
    }
}

/// Time constants of such motors are 15 to 60 minutes (from memory): plausibility only.
#[test]
fn time_constants_are_plausible() {
    for (power, speed, mass) in [(5e3, 25.0, 22.0), (10e3, 25.0, 45.0), (15e3, 40.0, 50.0)] {
        let plate = MotorPlate { mass_kg: Some(mass), ..MotorPlate::minimal(1.0, power, speed) };
        let minutes = plate.motor().unwrap().value.heat.time_constant_s() / 60.0;
        assert!((12.0..60.0).contains(&minutes), "{power} W, {mass} kg: {minutes} min");
    }
}

/// Whichever figures of the plate are given, they come out again.
#[test]
fn a_plate_returns_its_own_figures() {
    let rated = |plate: MotorPlate| {
        let motor = plate.motor().unwrap().value;
        motor.at(motor.rated_speed_rad_s, motor.rated_torque_n_m(), motor.winding_limit_k).efficiency()
    };
    let base = MotorPlate { rated_efficiency: Some(0.88), ..MotorPlate::minimal(1.0, 8_000.0, 40.0) };
    assert_near("nothing else", rated(base), 0.88, 1e-9);
    assert_near("resistance", rated(MotorPlate { resistance_ohm: Some(0.006), ..base }), 0.88, 1e-9);
    assert_near("no-load current", rated(MotorPlate { no_load_current_a: Some(8.0), ..base }), 0.88, 1e-9);
    let contradicting = MotorPlate { no_load_current_a: Some(40.0), ..base };
    assert!(matches!(contradicting.motor(), Err(DriveError::PlateContradictsItself { .. })));
    let contradicting = MotorPlate { resistance_ohm: Some(0.1), ..base };
    assert!(matches!(contradicting.motor(), Err(DriveError::PlateContradictsItself { .. })));

    for no_load in [None, Some(6.0)] {
        let plate = MotorPlate {
            peak_efficiency: Some(0.93),
            no_load_current_a: no_load,
            ..MotorPlate::minimal(1.0, 8_000.0, 40.0)
        };
        let motor = plate.motor().unwrap().value;
        let best = (1..400)
            .map(|i| motor.at(motor.rated_speed_rad_s, 0.2 * f64::from(i), 333.15).efficiency())
            .fold(0.0, f64::max);
        // The circuit's optimum lies a little beside copper loss = iron loss.
        assert_near("best efficiency", best, 0.93, 5e-4);
    }
}

/// One body, constant loss: t = -tau ln(1 - rise/(P R)).
#[test]
fn one_body_heats_as_in_the_closed_form() {
    let path =
        HeatPath { winding_to_case_k_w: 0.2, case_to_ambient_k_w: 0.01, winding_j_k: 4000.0, case_j_k: 1e12 };
    let losses = |_: f64| Losses { winding_w: 900.0, case_w: 0.0 };
    let found = path.time_to_limit_s(losses, Temperatures::cold(300.0), 300.0, 428.15).unwrap();
    let expected = -800.0 * (1.0 - 128.15 / 180.0_f64).ln();
    assert_within("time", found, expected, 1e-4);
}

/// Two bodies with copper loss growing with temperature: closed form by the eigenvalues of the
/// linear system, written out here independently.
#[test]
fn two_bodies_heat_as_in_the_closed_form() {
    let path = HeatPath {
        winding_to_case_k_w: 0.04,
        case_to_ambient_k_w: 0.07,
        winding_j_k: 2600.0,
        case_j_k: 7800.0,
    };
    let (copper_20, iron, ambient, limit) = (1600.0, 300.0, 298.15, 428.15);
    let losses =
        |winding: f64| Losses { winding_w: copper_20 * (1.0 + 0.003_93 * (winding - 293.15)), case_w: iron };
    let found = path.time_to_limit_s(losses, Temperatures::cold(ambient), ambient, limit).unwrap();
    // d/dt (w, c) = A (w, c) + b with w, c above ambient.
    let feedback = copper_20 * 0.003_93;
    let a11 = (feedback - 1.0 / 0.04) / 2600.0;
    let a12 = 1.0 / 0.04 / 2600.0;
    let a21 = 1.0 / 0.04 / 7800.0;
    let a22 = -(1.0 / 0.04 + 1.0 / 0.07) / 7800.0;
    let (b1, b2) = (copper_20 * (1.0 + 0.003_93 * 5.0) / 2600.0, iron / 7800.0);
    let determinant = a11 * a22 - a12 * a21;
    let w_end = (-b1 * a22 + b2 * a12) / determinant;
    let half = 0.5 * (a11 + a22);
    let root = (half * half - determinant).sqrt();
    let (l1, l2) = (half + root, half - root);
    // w(t) = w_end + p e^(l1 t) + q e^(l2 t); w(0) = 0, w'(0) = b1.
    let p = (b1 + l2 * w_end) / (l1 - l2);
    let q = -w_end - p;
    let at_found = w_end + p * (l1 * found).exp() + q * (l2 * found).exp();
    assert_near("winding at the time found", ambient + at_found, limit, 0.01);
}

/// Heat put in is heat stored plus heat given off.
#[test]
fn heating_keeps_its_energy() {
    let motor = MotorPlate::minimal(1.0, 10_000.0, 30.0).motor().unwrap().value;
    let losses = |winding_k: f64| motor.at(200.0, 60.0, winding_k).losses();
    let path = motor.heat;
    let (ambient, step) = (300.0, 0.1 * path.step_s());
    let mut now = Temperatures::cold(ambient);
    let (mut put_in, mut given_off) = (0.0, 0.0);
    for _ in 0..2000 {
        let next = path.advance(losses, now, ambient, step);
        let power = |t: Temperatures| losses(t.winding_k).winding_w + losses(t.winding_k).case_w;
        let off = |t: Temperatures| (t.case_k - ambient) / path.case_to_ambient_k_w;
        put_in += 0.5 * step * (power(now) + power(next));
        given_off += 0.5 * step * (off(now) + off(next));
        now = next;
    }
    let stored = path.winding_j_k * (now.winding_k - ambient) + path.case_j_k * (now.case_k - ambient);
    // The sums here are by trapezium; that is what limits the agreement.
    assert_within("energy", stored + given_off, put_in, 1e-5);
}

#[test]
fn overload_has_a_time_and_part_load_has_none() {
    let motor = MotorPlate::minimal(1.0, 10_000.0, 30.0).motor().unwrap().value;
    let (omega, torque) = (motor.rated_speed_rad_s, motor.rated_torque_n_m());
    let cold = Temperatures::cold(293.15);
    assert_eq!(motor.time_to_limit_s(omega, 0.9 * torque, cold, 293.15), None);
    let times: Vec<f64> = [1.3, 1.6, 2.0, 3.0]
        .iter()
        .map(|share| motor.time_to_limit_s(omega, share * torque, cold, 293.15).unwrap() / 60.0)
        .collect();
    assert!(times.windows(2).all(|pair| pair[1] < pair[0]), "{times:?}");
    // Twice the rated torque is held for minutes, not for seconds or an hour: plausibility.
    assert!((1.0..15.0).contains(&times[2]), "{times:?}");
    let hot = Temperatures { winding_k: 420.0, case_k: 390.0 };
    let from_hot = motor.time_to_limit_s(omega, 1.6 * torque, hot, 293.15).unwrap() / 60.0;
    assert!(from_hot < times[1]);
}

#[test]
fn weakened_field_reaches_more_speed_and_costs_copper() {
    let plate = MotorPlate {
        field_weakening: Some(FieldWeakening { characteristic_current_a: 400.0, maximum_speed_ratio: 1.5 }),
        ..MotorPlate::minimal(1.0, 10_000.0, 40.0)
    };
    let motor = plate.motor().unwrap().value;
    let omega = 50.0 * TAU;
    let free = motor.steady(omega, 20.0, 300.0);
    let at = |motor: &Motor, share: f64| motor.steady_weakened(omega, 20.0, 300.0, share * free.voltage_v);
    let point = at(&motor, 0.85);
    assert_near("voltage", point.voltage_v, 0.85 * free.voltage_v, 1e-12);
    assert!(point.copper_loss_w > free.copper_loss_w);
    // Just at the corner nothing jumps.
    assert_near("no jump", at(&motor, 1.0 - 1e-9).electrical_power_w, free.electrical_power_w, 1e-3);
    // Out of reach it asks for more than there is, and so does a field that cannot be weakened.
    assert!(at(&motor, 0.6).voltage_v > 0.6 * free.voltage_v);
    let expected = motor.heat.steady(point.losses(), 300.0).winding_k;
    assert_near("settled", point.winding_k, expected, 0.1);
    assert!(at(&Motor { field_weakening: None, ..motor }, 0.85).voltage_v > 0.85 * free.voltage_v);
}

/// Gears up to 0.98 [schmid2014]; belts 0.95 to 0.98 well maintained [belt2025]; synchronous belts
/// 0.97 to 0.99 and V-belts 0.93 to 0.96 from memory.
#[test]
fn every_reduction_has_a_band_inside_what_is_published() {
    assert!(ReductionKind::Gear.efficiency().p90 <= 0.98);
    let belts = (ReductionKind::ToothedBelt.efficiency(), ReductionKind::VBelt.efficiency());
    assert!((0.97..=0.99).contains(&belts.0.median) && (0.93..=0.96).contains(&belts.1.median));
    assert!(ReductionKind::Direct.efficiency().is_exact());
}

fn any_motor() -> impl Strategy<Value = Motor> {
    (0.3..4.0_f64, 1e3..40e3_f64, 10.0..100.0_f64, 0.75..0.96_f64, 5.0..80.0_f64).prop_map(
        |(speed_per_volt, power, speed, efficiency, mass)| {
            let plate = MotorPlate {
                leads_ohm: 0.001,
                rated_efficiency: Some(efficiency),
                mass_kg: Some(mass),
                ..MotorPlate::minimal(speed_per_volt, power, speed)
            };
            plate.motor().unwrap().value
        },
    )
}

proptest! {
    #[test]
    fn motor_energy_balance(
        motor in any_motor(), speed in -1.5..1.5_f64, load in -2.0..2.0_f64, ambient in 260.0..320.0_f64,
    ) {
        let (omega, torque) = (speed * motor.rated_speed_rad_s, load * motor.rated_torque_n_m());
        let point = motor.steady(omega, torque, ambient);
        let scale = motor.rated_power_w;
        let terminals = point.voltage_v * point.current_a;
        prop_assert!((terminals - point.electrical_power_w).abs() < 1e-9 * scale);
        let out = point.shaft_power_w + point.copper_loss_w + point.iron_loss_w + point.leads_loss_w;
        prop_assert!((out - point.electrical_power_w).abs() < 1e-9 * scale);
        prop_assert!(point.copper_loss_w >= 0.0 && point.iron_loss_w >= 0.0);
    }

    /// The steady temperature is where heat in and heat out agree, or the ceiling.
    #[test]
    fn steady_temperature_is_steady(
        motor in any_motor(), speed in 0.05..1.3_f64, load in 0.0..2.0_f64, ambient in 260.0..320.0_f64,
    ) {
        let omega = speed * motor.rated_speed_rad_s;
        let point = motor.steady(omega, load * motor.rated_torque_n_m(), ambient);
        let ceiling = motor.winding_limit_k + 100.0;
        let settles = motor.heat.steady(point.losses(), ambient).winding_k;
        if point.winding_k < ceiling {
            prop_assert!((settles - point.winding_k).abs() < 1e-4, "{} {}", settles, point.winding_k);
        } else {
            prop_assert!(settles >= point.winding_k - 1e-9);
        }
    }

    #[test]
    fn more_torque_is_never_cooler(motor in any_motor(), speed in 0.05..1.3_f64, load in 0.0..2.0_f64) {
        let omega = speed * motor.rated_speed_rad_s;
        let winding = |share: f64| motor.steady_winding_k(omega, share * motor.rated_torque_n_m(), 300.0);
        prop_assert!(winding(load * 1.02) >= winding(load) - 1e-6);
    }

    #[test]
    fn controller_balance(
        motor in any_motor(), speed in -1.2..1.2_f64, load in -1.5..1.5_f64, bus in 20.0..100.0_f64,
    ) {
        let point = motor.at(speed * motor.rated_speed_rad_s, load * motor.rated_torque_n_m(), 330.0);
        let controller = Controller::estimate(400.0, 200.0, 48.0);
        let side = controller.bus_point(&point, bus);
        let left = side.battery_current_a * bus - point.electrical_power_w - side.loss_w;
        prop_assert!(left.abs() < 1e-9 * motor.rated_power_w);
        prop_assert!((side.battery_power_w - controller.battery_power_w(&point)).abs() < 1e-9);
    }

    #[test]
    fn drive_line_loses_what_is_missing(
        ratio in 0.8..4.0_f64, efficiency in 0.85..1.0_f64, drag in 0.0..5.0_f64,
        omega in prop_oneof![-150.0..-0.1_f64, 0.1..150.0_f64], torque in -200.0..200.0_f64,
    ) {
        let line = DriveLine { reduction_efficiency: efficiency, ..DriveLine::estimate(ReductionKind::Gear, ratio, drag) };
        let motor = line.motor_side(omega, torque);
        prop_assert!(motor.loss_w >= -1e-9);
        let balance = motor.torque_n_m * motor.omega_rad_s - motor.loss_w - torque * omega;
        prop_assert!(balance.abs() < 1e-9 * (1.0 + (torque * omega).abs()));
    }

    /// The fit returns the terms of made-up data.
    #[test]
    fn fit_returns_its_terms(
        a in 10.0..300.0_f64, b in 0.05..1.0_f64, c in 0.0005..0.01_f64, k in 0.05..1.0_f64, d in 1.0..20.0_f64,
    ) {
        let points: Vec<LossPoint> = (1..=8)
            .flat_map(|i| {
                (1..=8).map(move |j| {
                    let (omega, torque) = (60.0 * f64::from(i), 9.0 * f64::from(j));
                    let loss = a + b * omega + c * omega * omega + k * torque * torque + d * torque;
                    let power = omega * torque;
                    LossPoint { omega_rad_s: omega, torque_n_m: torque, efficiency: power / (power + loss) }
                })
            })
            .collect();
        let fit = fit_loss_terms(&points).unwrap().value;
        prop_assert!(fit.worst_efficiency < 1e-9);
        prop_assert!((fit.terms.constant_w / a - 1.0).abs() < 1e-5);
    }
}
