//! The steady state over many invented boats: it exists or says why not, balances, and answers the
//! same whichever way it is asked.
#![allow(clippy::unwrap_used, clippy::panic, reason = "tests may stop")]

use crate::common::random::{Dice, random_boat};
use wakewright_core::boat::Boat;
use wakewright_core::hull::HullError;
use wakewright_core::steady::BoatError;
use wakewright_core::steady::{Ask, Bound, Limit, PreparedBoat, SteadyError, WattLadder};
use wakewright_testkit::assert_within;

const BOATS: u64 = if cfg!(debug_assertions) { 500 } else { 10_000 };

/// How near to 1 the share of the limit that binds has to be.
const ON_LIMIT: f64 = 1e-6;

fn prepared(sample: u64) -> Option<(Boat, PreparedBoat)> {
    let boat = random_boat(sample);
    match PreparedBoat::new(&boat) {
        Ok(prepared) => Some((boat, prepared.value)),
        // Dice can throw a hull that does not fit together.
        Err(BoatError::Hull(_)) => None,
        Err(error) => panic!("boat {sample}: {error}"),
    }
}

fn all_finite(bound: &Bound) -> bool {
    let s = &bound.state;
    let m = &s.motor;
    [
        s.speed_m_s,
        s.resistance_n,
        s.thrust_n,
        s.speed_of_advance_m_s,
        s.shaft_rev_s,
        s.shaft_torque_n_m,
        s.train_loss_w,
        s.controller_loss_w,
        s.drive_power_w,
        s.house_power_w,
        s.bank_v,
        s.bank_a,
        m.current_a,
        m.voltage_v,
        m.electrical_power_w,
        m.winding_k,
    ]
    .into_iter()
    .chain(bound.usage)
    .all(f64::is_finite)
}

/// Holds at 1 with the limit named and below it with all that `counts`.
fn assert_on_limit(what: &str, bound: &Bound, counts: impl Fn(Limit) -> bool) {
    assert!(all_finite(bound), "{what}: {bound:?}");
    let share = bound.usage[bound.limit as usize];
    assert!((share - 1.0).abs() < ON_LIMIT, "{what}: {:?} at {share}", bound.limit);
    for limit in Limit::ALL.into_iter().filter(|&limit| counts(limit)) {
        let share = bound.usage[limit as usize];
        assert!((0.0..=1.0 + ON_LIMIT).contains(&share), "{what}: {limit:?} at {share}");
    }
}

#[test]
fn full_throttle_converges_or_says_why() {
    let mut met = [0_u64; Limit::ALL.len()];
    let (mut refused, mut unfit) = (0, 0);
    for sample in 0..BOATS {
        let Some((boat, prepared)) = prepared(sample) else {
            unfit += 1;
            continue;
        };
        let full = match prepared.full_throttle() {
            Ok(full) => full,
            Err(SteadyError::DrivenBack { .. }) if boat.sea.true_head_wind_m_s > 0.0 => {
                refused += 1;
                continue;
            }
            Err(SteadyError::CannotMove { .. }) => {
                refused += 1;
                continue;
            }
            Err(error) => panic!("boat {sample}: {error}"),
        };
        met[full.held.limit as usize] += 1;
        assert_on_limit(&format!("boat {sample} held"), &full.held, |_| true);
        if let Some(burst) = &full.burst {
            assert_on_limit(&format!("boat {sample} burst"), burst, Limit::acts_at_once);
            assert!(burst.state.speed_m_s >= full.held.state.speed_m_s);
        }
        if let Some(next) = &full.next {
            let binding = full.held.limit;
            assert_on_limit(&format!("boat {sample} next"), next, |limit| limit != binding);
            assert!(next.state.speed_m_s >= full.held.state.speed_m_s * (1.0 - 1e-9), "boat {sample}");
        }
    }
    // The dice reach most limits, or the test says little.
    let reached = met.iter().filter(|&&times| times > 0).count();
    assert!(reached >= 8, "limits met: {met:?}");
    assert!(refused + unfit < BOATS / 4, "{refused} refused, {unfit} unfit");
}

/// Hull thrust equals propeller thrust and the steps of the ladder add up to what the cells give.
#[test]
fn forces_and_powers_balance() {
    let mut held = 0;
    for sample in 0..BOATS {
        let Some((boat, prepared)) = prepared(sample) else { continue };
        let speed = prepared.fastest_m_s() * Dice::new(5, sample).between(0.3, 1.0);
        let Ok(bound) = prepared.solve(Ask::Speed(speed)) else { continue };
        let state = &bound.state;
        let (thrust, torque) =
            prepared.propeller().thrust_torque(state.speed_of_advance_m_s, state.shaft_rev_s);
        assert_within("thrust", thrust * (1.0 - boat.stern.thrust_deduction), state.resistance_n, 1e-9);
        assert_within(
            "torque",
            torque,
            state.shaft_torque_n_m * boat.stern.relative_rotative_efficiency,
            1e-9,
        );
        let parts = prepared.hull().breakdown(speed).unwrap();
        let ladder = WattLadder::new(state, prepared.bank().open_circuit_v, &parts);
        let sum: f64 = ladder.steps().iter().map(|step| step.power_w).sum();
        assert_within("ladder", sum, ladder.cells_w, 1e-9);
        held += 1;
    }
    assert!(held > BOATS / 2, "{held} boats");
}

/// The state found by throttle is found again by its shaft speed, speed and power.
#[test]
fn every_question_leads_to_the_same_state() {
    let mut held = 0;
    for sample in 0..BOATS {
        let Some((_, prepared)) = prepared(sample) else { continue };
        let throttle = Dice::new(6, sample).between(0.3, 1.0);
        let Ok(found) = prepared.solve(Ask::Throttle(throttle)) else { continue };
        let state = found.state;
        for ask in [
            Ask::Speed(state.speed_m_s),
            Ask::ShaftSpeed(state.shaft_rev_s),
            Ask::BankPower(state.bank_power_w()),
        ] {
            let again = prepared.solve(ask).unwrap_or_else(|e| panic!("boat {sample} {ask:?}: {e}")).state;
            let what = format!("boat {sample} {ask:?}");
            assert_within(&what, again.speed_m_s, state.speed_m_s, 1e-7);
            assert_within(&what, again.shaft_torque_n_m, state.shaft_torque_n_m, 1e-6);
            assert_within(&what, again.bank_a, state.bank_a, 1e-6);
        }
        held += 1;
    }
    assert!(held > BOATS / 2, "{held} boats");
}

/// A step of a millionth in an input moves the speed by no more than a few millionths of the
/// fastest (a boat that just holds against the wind lives on a small difference of large forces, so
/// her own speed is no measure).
#[test]
fn tiny_step_gives_no_jump() {
    const STEP: f64 = 1.0 + 1e-6;
    let steps: [fn(&mut Boat); 7] = [
        |b| b.form.displacement_kg *= STEP,
        |b| b.propeller.pitch_m *= STEP,
        |b| b.drive_line.ratio *= STEP,
        |b| b.bank.cable_resistance_ohm *= STEP,
        |b| b.sea.true_head_wind_m_s += 1e-6,
        |b| b.stern.wake_fraction *= STEP,
        |b| b.house_power_w *= STEP,
    ];
    for sample in 0..BOATS / 10 {
        let Some((boat, here)) = prepared(sample) else { continue };
        let Ok(full) = here.full_throttle() else { continue };
        for (number, step) in steps.iter().enumerate() {
            let mut moved = boat.clone();
            step(&mut moved);
            let there = PreparedBoat::new(&moved).unwrap().value.full_throttle().unwrap();
            let change = (there.held.state.speed_m_s - full.held.state.speed_m_s) / here.fastest_m_s();
            assert!(change.abs() < 1e-5, "boat {sample}, input {number}: {change:.1e}");
        }
    }
}

/// More throttle is never slower.
#[test]
fn speed_rises_with_the_throttle() {
    for sample in 0..BOATS / 10 {
        let Some((_, prepared)) = prepared(sample) else { continue };
        let mut fastest = 0.0;
        for throttle in (1..=20).map(|i| f64::from(i) / 20.0) {
            let Ok(bound) = prepared.solve(Ask::Throttle(throttle)) else { continue };
            let speed = bound.state.speed_m_s;
            assert!(speed >= fastest - 1e-8, "boat {sample} at throttle {throttle}");
            fastest = speed;
        }
    }
}

/// A hull that does not fit together is refused with a reason, not computed.
#[test]
fn impossible_hull_is_refused() {
    let mut boat = crate::common::heavy_long_keeler();
    boat.form.displacement_kg = 60_000.0;
    assert!(
        matches!(PreparedBoat::new(&boat), Err(BoatError::Hull(error)) if !matches!(error, HullError::Aground { .. }))
    );
}
