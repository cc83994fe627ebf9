//! The edge of what the drive can reach, and what the propeller asks: against closed forms of an ideal
//! machine, and against the steady state, which finds the same point along another axis.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::f64::consts::TAU;

use crate::common::heavy_long_keeler;
use wakewright_core::boat::Boat;
use wakewright_core::steady::{Limit, PreparedBoat, Reach};
use wakewright_testkit::{assert_near, assert_within};

/// A boat whose drive is the machine of every textbook: V = n/Kv + I R, torque = Kt I, without drag.
fn ideal() -> Boat {
    let mut boat = heavy_long_keeler();
    boat.motor.no_load_current_a = Some(1e-3);
    boat.motor.resistance_ohm = Some(0.010);
    boat.motor.flux_coefficient_1_k = Some(0.0);
    boat.drive_line.bearing_torque_n_m = 0.0;
    boat.controller.fixed_loss_w = 0.0;
    boat.house_power_w = 0.0;
    boat
}

fn prepared(boat: &Boat) -> PreparedBoat {
    PreparedBoat::new(boat).unwrap().value
}

fn on_edge(reach: &Reach, shaft_rev_s: f64) -> (f64, Limit) {
    let found = reach.edge.iter().find_map(|piece| {
        piece.points.windows(2).find_map(|pair| {
            let (a, b) = (pair[0], pair[1]);
            let share = (shaft_rev_s - a.shaft_rev_s) / (b.shaft_rev_s - a.shaft_rev_s);
            let is_inside = (0.0..=1.0).contains(&share);
            is_inside.then_some((a.torque_n_m + share * (b.torque_n_m - a.torque_n_m), piece.limit))
        })
    });
    found.unwrap()
}

/// Textbook machine: torque = I / (2 pi Kv) at the motor, times ratio and efficiency at the shaft.
#[test]
fn phase_current_makes_the_edge_of_the_textbook_machine() {
    let boat = ideal();
    let reach = prepared(&boat).reach().unwrap();
    let first = &reach.edge[0];
    assert_eq!(first.limit, Limit::PhaseAmps);
    let torque_constant = 1.0 / (TAU * boat.motor.no_load_speed_rev_s_v);
    let at_motor = torque_constant * boat.controller.phase_current_limit_a;
    let at_shaft = at_motor * boat.drive_line.ratio * boat.drive_line.reduction_efficiency;
    for point in &first.points {
        assert_within("torque at the phase limit", point.torque_n_m, at_shaft, 1e-4);
    }
}

/// Textbook machine: free speed = volts x Kv, at the shaft over the ratio.
#[test]
fn volts_make_the_free_speed_of_the_textbook_machine() {
    let boat = ideal();
    let boat_prepared = prepared(&boat);
    let reach = boat_prepared.reach().unwrap();
    let volts = boat.controller.maximum_duty * boat_prepared.bank().open_circuit_v;
    let free = volts * boat.motor.no_load_speed_rev_s_v / boat.drive_line.ratio;
    assert_within("free shaft speed", reach.fastest_rev_s, free, 1e-4);
    assert_eq!(reach.edge.last().unwrap().limit, Limit::BankVolts);
}

/// Full throttle is found along the speed through the water; here the same point comes out along
/// the shaft: the demand meets the edge.
#[test]
fn demand_meets_the_edge_at_full_throttle() {
    let mut coarse = heavy_long_keeler();
    coarse.propeller.pitch_m = 0.33;
    coarse.controller.phase_current_limit_a = 110.0;
    let cases =
        [(heavy_long_keeler(), Limit::BankVolts), (ideal(), Limit::BankVolts), (coarse, Limit::PhaseAmps)];
    for (boat, expected) in cases {
        let boat = prepared(&boat);
        let full = boat.full_throttle().unwrap();
        let at_once = full.burst.unwrap_or(full.held);
        let state = at_once.state;
        let demand = boat.demand_at(state.shaft_rev_s).unwrap();
        assert_within("torque asked", demand.shaft.torque_n_m, state.shaft_torque_n_m, 1e-5);
        assert_near("speed", demand.speed_m_s, state.speed_m_s, 1e-5);
        let (torque, limit) = on_edge(&boat.reach().unwrap(), state.shaft_rev_s);
        assert_within("torque at the edge", torque, state.shaft_torque_n_m, 0.01);
        assert_eq!((limit, at_once.limit), (expected, expected));
    }
}

#[test]
fn edge_is_one_unbroken_line_and_held_torque_lies_below() {
    let reach = prepared(&heavy_long_keeler()).reach().unwrap();
    for pair in reach.edge.windows(2) {
        let (end, start) = (pair[0].points.last().unwrap(), pair[1].points[0]);
        assert_near("shaft speed of the corner", start.shaft_rev_s, end.shaft_rev_s, 1e-9);
        assert_near("torque of the corner", start.torque_n_m, end.torque_n_m, 1e-9);
    }
    assert!(!reach.held.is_empty());
    for held in &reach.held {
        assert!(held.torque_n_m <= on_edge(&reach, held.shaft_rev_s).0 + 1e-6, "{held:?}");
    }
}

#[test]
fn nothing_is_asked_where_the_wind_drives_her_back() {
    let mut boat = heavy_long_keeler();
    boat.sea.true_head_wind_m_s = 20.0;
    let boat = prepared(&boat);
    assert!(boat.demand_at(1.0).is_none());
    assert!(boat.demand_at(20.0).is_some_and(|demand| demand.speed_m_s > 0.0));
    assert!(boat.demand_at(f64::NAN).is_none());
}
