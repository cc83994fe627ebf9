//! Two like drives in one boat: what symmetry and the sum of forces demand. Not for: how they are described.
#![allow(clippy::unwrap_used, reason = "tests may stop")]

use crate::common::{ONE_DRIVE, heavy_long_keeler};
use wakewright_core::battery::PackGroup;
use wakewright_core::boat::{Boat, Drives};
use wakewright_core::hull::TowedResistance;
use wakewright_core::propeller::{FourQuadrant, Pattern};
use wakewright_core::sail::UnderSail;
use wakewright_core::steady::{Ask, PreparedBoat, WattLadder};
use wakewright_testkit::assert_within;

const BOTH: Drives = Drives { running: 2, idle: 0 };
const ONE_OF_TWO: Drives = Drives { running: 1, idle: 1 };

fn prepared(boat: &Boat) -> PreparedBoat {
    PreparedBoat::new(boat).unwrap().value
}

/// A boat cut in two along her keel, each half with one drive, half the resistance, half the packs and half the
/// standing loads, does what she does: each drive the same, powers, forces and bank current half.
#[test]
fn two_drives_are_those_of_two_half_boats() {
    let towed = |share: f64| TowedResistance {
        speeds_m_s: vec![0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5],
        drags_n: [12.0, 45.0, 110.0, 220.0, 420.0, 900.0, 1900.0].map(|drag_n| share * drag_n).to_vec(),
    };
    let whole = Boat { towed: Some(towed(1.0)), drives: BOTH, house_power_w: 60.0, ..heavy_long_keeler() };
    let mut half = Boat { towed: Some(towed(0.5)), drives: ONE_DRIVE, house_power_w: 30.0, ..whole.clone() };
    // No wind on either: what the air takes does not halve.
    half.bank.cable_resistance_ohm = 2.0 * whole.bank.cable_resistance_ohm;
    half.bank.groups = whole
        .bank
        .groups
        .iter()
        .map(|group| PackGroup { packs_in_parallel: group.packs_in_parallel / 2, ..*group })
        .collect();
    let still = |mut boat: Boat| {
        boat.sea.windage_factor = 1e-9;
        prepared(&boat)
    };
    let (whole, half) = (still(whole), still(half));
    for ask in [Ask::Throttle(1.0), Ask::Throttle(0.6), Ask::Speed(2.0), Ask::ShaftSpeed(12.0)] {
        let (of_both, of_half) = (whole.solve(ask).unwrap(), half.solve(ask).unwrap());
        assert_eq!(of_both.limit, of_half.limit, "{ask:?}");
        let (both, half) = (of_both.state, of_half.state);
        for (name, found, wanted) in [
            ("speed", both.speed_m_s, half.speed_m_s),
            ("shaft", both.shaft_rev_s, half.shaft_rev_s),
            ("torque", both.shaft_torque_n_m, half.shaft_torque_n_m),
            ("phase current", both.motor.current_a, half.motor.current_a),
            ("bank volts", both.bank_v, half.bank_v),
            ("thrust", both.thrust_n, 2.0 * half.thrust_n),
            ("resistance", both.resistance_n, 2.0 * half.resistance_n),
            ("power", both.drive_power_w, 2.0 * half.drive_power_w),
            ("amps", both.bank_a, 2.0 * half.bank_a),
            ("delivered", both.delivered_power_w(), 2.0 * half.delivered_power_w()),
        ] {
            assert_within(name, found, wanted, 1e-6);
        }
        for (limit, (found, wanted)) in of_both.usage.iter().zip(of_half.usage).enumerate() {
            assert!((found - wanted).abs() < 1e-6, "limit {limit}: {found} against {wanted}");
        }
    }
    let (both, half) = (whole.bollard().unwrap(), half.bollard().unwrap());
    assert_within("pull", both.thrust_n, 2.0 * half.thrust_n, 1e-6);
    assert_within("amps of the pull", both.bank_a, 2.0 * half.bank_a, 1e-6);
}

/// The watts of both motors stand in the ladder: its steps add up to what the cells give.
#[test]
fn watts_of_both_add_up() {
    for drives in [BOTH, ONE_OF_TWO] {
        let ready = prepared(&Boat { drives, ..heavy_long_keeler() });
        let state = ready.full_throttle().unwrap().held.state;
        let parts = ready.hull().breakdown(state.speed_m_s).unwrap();
        let ladder = WattLadder::new(&state, ready.bank().open_circuit_v, &parts);
        let sum: f64 = ladder.steps().iter().map(|step| step.power_w).sum();
        assert_within("steps", sum, ladder.cells_w, 1e-6);
    }
}

/// One that stands costs just its drag, at the speed of the water past it.
#[test]
fn a_standing_propeller_drags() {
    for pattern in [Pattern::BSeries, Pattern::Folding] {
        let mut boat = heavy_long_keeler();
        boat.propeller.pattern = pattern;
        let alone = prepared(&boat);
        let with_other = prepared(&Boat { drives: ONE_OF_TWO, ..boat.clone() });
        for speed_m_s in [1.0, 2.0] {
            let advance = speed_m_s * (1.0 - boat.stern.wake_fraction);
            let drag_n = match pattern {
                Pattern::Folding => {
                    // By hand, with the middle value larsson2014, from memory: Cd 0.06 on the expanded area.
                    let area = std::f64::consts::FRAC_PI_4
                        * boat.propeller.diameter_m.powi(2)
                        * boat.propeller.area_ratio;
                    0.5 * boat.water.density_kg_m3 * advance * advance * area * 0.06
                }
                _ => FourQuadrant::new(alone.propeller()).unwrap().value.locked_drag_n(advance),
            };
            let more_n = with_other.hull().resistance_n(speed_m_s) - alone.hull().resistance_n(speed_m_s);
            // What is in the water is multiplied by what service adds.
            assert_within("drag", more_n, boat.sea.in_service_factor * drag_n, 1e-6);
        }
        let (slow, fast) = (with_other.full_throttle().unwrap(), alone.full_throttle().unwrap());
        assert!(slow.held.state.speed_m_s < fast.held.state.speed_m_s);
    }
}

/// Under sail both hang in the water: held, let go or turned, two drag and give twice as much as one.
#[test]
fn under_sail_both_drag() {
    let one = UnderSail::new(&heavy_long_keeler()).unwrap().value;
    let two = UnderSail::new(&Boat { drives: BOTH, ..heavy_long_keeler() }).unwrap().value;
    assert_within("held", two.held(3.0).drag_n, 2.0 * one.held(3.0).drag_n, 1e-9);
    assert_within("free", two.free(3.0).drag_n, 2.0 * one.free(3.0).drag_n, 1e-9);
    let revs = 0.7 * one.free_revs(3.0);
    assert_within("power", two.at_revs(3.0, revs).bank_w, 2.0 * one.at_revs(3.0, revs).bank_w, 1e-9);
    let some = UnderSail::new(&Boat { drives: ONE_OF_TWO, ..heavy_long_keeler() }).unwrap().value;
    let wanted = one.at_revs(3.0, revs).drag_n + one.held(3.0).drag_n;
    assert_within("one braking, one held", some.at_revs(3.0, revs).drag_n, wanted, 1e-9);
}

/// With a bank for each drive a pack that drops out leaves its own half alone with its drive: the load on the others is
/// that of half the packs under half the power, not that of all of them.
#[test]
fn a_lost_pack_leaves_its_own_half_alone() {
    let mut whole = heavy_long_keeler().bank;
    whole.groups[0].packs_in_parallel = 4;
    let mut half = whole.clone();
    half.groups[0].packs_in_parallel = 2;
    let shared = whole.after_one_pack_trips(6000.0).unwrap().unwrap();
    whole.banks = 2;
    let of_both = whole.after_one_pack_trips(6000.0).unwrap().unwrap();
    let of_half = half.after_one_pack_trips(3000.0).unwrap().unwrap();
    assert_within("load on the rest", of_both.share_of_limit, of_half.share_of_limit, 1e-9);
    assert_within("power that holds", of_both.power_available_w, 2.0 * of_half.power_available_w, 1e-9);
    assert!(of_both.share_of_limit > 1.3 * shared.share_of_limit);
    // The stated cable is that of one of them.
    let prepared = whole.prepare().unwrap();
    assert_within("cable", prepared.cable_resistance_ohm, 0.5 * half.cable_resistance_ohm, 1e-12);
}
