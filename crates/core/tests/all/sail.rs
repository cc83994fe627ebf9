//! The boat under sail with her propeller: published sizes and what must hold. The blades' own figures
//! are tested in `four_quadrant.rs`.
#![allow(clippy::unwrap_used, reason = "tests may stop")]

use crate::common::{INCH_M, KNOT_M_S, heavy_long_keeler};
use wakewright_core::battery::{Chemistry, PackGroup};
use wakewright_core::boat::{Boat, BoatSpec, Fittings};
use wakewright_core::hull::TowedResistance;
use wakewright_core::propeller::Pattern;
use wakewright_core::sail::{Mode, NoHarvest, SailQuestions, UnderSail, sample_sail, summarise_sail};
use wakewright_core::spread::Sampler;
use wakewright_testkit::{Table, assert_near};

/// A boat with a 16 x 12 in three-blade in open water (wake 0.10) and a bank that is not full.
fn cutter() -> Boat {
    let mut boat = heavy_long_keeler();
    boat.stern.wake_fraction = 0.10;
    boat.propeller.diameter_m = 16.0 * INCH_M;
    boat.propeller.pitch_m = 12.0 * INCH_M;
    boat.bank.state_of_charge = 0.6;
    boat
}

fn prepared(boat: &Boat) -> UnderSail {
    UnderSail::new(boat).unwrap().value
}

/// Published: free-wheeling drag of open three-blade propellers is 0.3 to 0.6 of the locked drag with
/// real shaft friction.
#[test]
fn free_is_a_third_to_six_tenths_of_held() {
    let boat = prepared(&cutter());
    for knots in [5.0, 6.0, 7.0] {
        let speed = knots * KNOT_M_S;
        let ratio = boat.free(speed).drag_n / boat.held(speed).drag_n;
        println!("{knots} kn: friction {:.1} N m, free over held {ratio:.2}", boat.friction_n_m(8.0));
        assert!((0.3..0.6).contains(&ratio), "{knots} kn: {ratio}");
    }
}

/// The collected regeneration points, second-hand measurements: within a factor of two.
#[test]
fn collected_regeneration() {
    let table = Table::read("practice/collected_regeneration.csv");
    let boat = prepared(&cutter());
    for row in 0..table.rows.len() {
        let number = |column| table.number(row, column).unwrap();
        let diameter_m = number("diameter_in") * INCH_M;
        let mut own = cutter();
        own.propeller.diameter_m = diameter_m;
        own.propeller.pitch_m = number("pitch_in") * INCH_M;
        own.stern.wake_fraction = number("wake_fraction");
        let found = prepared(&own).harvest(number("speed_kn") * KNOT_M_S, 9.0).unwrap().greatest.stored_w;
        let given = number("power_w");
        println!("{} kn: {found:.0} W found, {given} W given", number("speed_kn"));
        assert!((0.5..=2.0).contains(&(found / given)), "row {row}: {found} against {given}");
    }
    let onset = boat.onset_m_s().unwrap() / KNOT_M_S;
    println!("onset {onset:.1} kn");
    assert!((2.0..5.5).contains(&onset), "{onset}");
}

/// Reported of towed and driven generators alike: about with the cube of the speed, once well above onset.
#[test]
fn harvest_grows_about_with_the_cube() {
    let boat = prepared(&cutter());
    let at = |knots: f64| boat.harvest(knots * KNOT_M_S, 9.0).unwrap().greatest.stored_w;
    let power = (at(8.0) / at(6.0)).ln() / (8.0_f64 / 6.0).ln();
    println!("6 kn {:.0} W, 8 kn {:.0} W: power {power:.2}", at(6.0), at(8.0));
    assert!((2.6..4.0).contains(&power), "{power}");
}

/// Common practice, no source: a small number of watts, tens to a few hundred, cancels a fixed
/// propeller's drag at sailing speeds. Reported of clean blades; slime on them costs more.
#[test]
fn some_hundred_watts_cancel_the_drag() {
    let clean = Boat { blades_sand_height_m: 0.0, ..cutter() };
    let fouled = prepared(&cutter()).without_drag(6.0 * KNOT_M_S).bank_w;
    let boat = prepared(&clean);
    assert!(fouled > boat.without_drag(6.0 * KNOT_M_S).bank_w);
    for knots in [4.0, 5.0, 6.0] {
        let state = boat.without_drag(knots * KNOT_M_S);
        println!("{knots} kn: {:.0} W from the bank, {:.0} rpm", state.bank_w, 60.0 * state.shaft_rev_s);
        assert!((20.0..500.0).contains(&state.bank_w), "{knots} kn: {}", state.bank_w);
    }
}

/// What flows in at the shaft comes out as power into the bank and as losses: nothing from nothing.
#[test]
fn harvest_is_less_than_what_the_drag_takes_from_her() {
    let boat = prepared(&cutter());
    for state in boat.braking_range(6.0 * KNOT_M_S, 12) {
        let from_the_sails_w = state.drag_n * 6.0 * KNOT_M_S;
        assert!(state.stored_w <= -state.bank_w.min(0.0) + 1e-9);
        assert!(-state.bank_w < from_the_sails_w, "{state:?}");
    }
}

#[test]
fn stated_loss_is_kept_and_costs_watts() {
    let boat = prepared(&cutter());
    let speed = 6.0 * KNOT_M_S;
    let free = boat.free(speed);
    let loss = 0.01 * KNOT_M_S;
    let harvest = boat.harvest(speed, loss).unwrap();
    assert!(harvest.within_loss.stored_w < harvest.greatest.stored_w);
    assert_near("loss", harvest.within_loss.speed_lost_m_s - free.speed_lost_m_s, loss, 1e-6);
    let generous = boat.harvest(speed, 5.0).unwrap();
    assert_near("the most", generous.within_loss.stored_w, generous.greatest.stored_w, 1e-6);
}

/// Closed form: where resistance is `k V²`, the speed without a drag D is `sqrt(V² + D / k)`. A drag as large as
/// the hull's own costs 41 % of the speed; its tangent would say 50 %.
#[test]
fn speed_lost_where_resistance_goes_with_the_square() {
    let per_square = 100.0;
    let speeds_m_s: Vec<f64> = (1..=240).map(|i| 0.025 * f64::from(i)).collect();
    let drags_n = speeds_m_s.iter().map(|speed| per_square * speed * speed).collect();
    let mut boat = cutter();
    boat.towed = Some(TowedResistance { speeds_m_s, drags_n });
    boat.sea.in_service_factor = 1.0;
    boat.sea.windage_factor = 0.0;
    let sail = prepared(&boat);
    for speed in [1.0, 1.7, 2.5, 3.9] {
        for share in [0.01, 0.2, 1.0] {
            let drag_n = share * per_square * speed * speed;
            let price = sail.speed_price(speed, drag_n);
            assert_near("lost", price.lost_m_s, speed * ((1.0_f64 + share).sqrt() - 1.0), 1e-5 * speed);
            assert!(!price.is_continued);
            assert_near("there and back", sail.drag_at_price_n(speed, price.lost_m_s), drag_n, 1e-3);
        }
    }
    // Blades that push: she would be slower without them.
    assert_near("push", sail.speed_price(2.0, -100.0).lost_m_s, 3.0_f64.sqrt() - 2.0, 1e-4);
    // Beyond the table, along its slope at the end, and that is said. The slope there is 2 k V but for what the
    // cubic between the last two rows, 0.025 m/s apart, makes of it (0.2 %).
    let price = sail.speed_price(6.0, 120.0);
    assert!(price.is_continued);
    assert_near("beyond", price.lost_m_s, 120.0 / (2.0 * per_square * 6.0), 3e-4);
    assert_near("there and back", sail.drag_at_price_n(6.0, price.lost_m_s), 120.0, 1e-6);
}

/// Where residuary resistance has a corner, at a Froude number of the published columns, the slope jumps by
/// half; the speed lost does not. And it balances the forces: what the hull takes at the faster speed is
/// what hull and blades take at this one.
#[test]
fn speed_lost_does_not_jump_at_a_corner_of_the_resistance() {
    let boat = cutter();
    let sail = prepared(&boat);
    let mut still = boat.clone();
    still.sea.true_head_wind_m_s = 0.0;
    let hull = wakewright_core::steady::PreparedBoat::new(&still).unwrap().value;
    let hull = hull.hull();
    let (mut before, mut steepest) = (None, 0.0_f64);
    for i in 400..=4900 {
        let speed = 0.001 * f64::from(i);
        let held = sail.held(speed);
        if let Some(before) = before {
            steepest = steepest.max((held.speed_lost_m_s - before) / 0.001);
            // It falls no faster than one for one: a faster boat stays the faster one without the drag.
            assert!(held.speed_lost_m_s - before > -0.0011, "{speed}: {before} {held:?}");
        }
        before = Some(held.speed_lost_m_s);
        if !held.is_loss_continued {
            let without = hull.resistance_n(speed + held.speed_lost_m_s);
            assert_near("balance", without, hull.resistance_n(speed) + held.drag_n, 1e-4 * without);
        }
    }
    // By the root this is a ratio of slopes less one; a tangent would jump at each corner.
    println!("a faster boat by 1 loses at most {steepest:.3} more");
    assert!(steepest < 1.0, "{steepest}");
}

/// A shaft with much friction stands; once it turns it drags more than held at first, as in the tested set,
/// where the drag coefficient is 0.770 locked and 0.907 at n D / VA = 0.10 (\[smogeli2006\], evaluated apart).
#[test]
fn a_shaft_that_friction_holds_back_is_said_so() {
    let mut boat = cutter();
    boat.drive_line.bearing_torque_n_m = 6.0;
    let sail = prepared(&boat);
    let starts = sail.starts_turning_m_s();
    let less_from = sail.free_drags_less_from_m_s().unwrap();
    println!("starts at {:.2} kn, drags less from {:.2} kn", starts / KNOT_M_S, less_from / KNOT_M_S);
    assert!(less_from > starts);
    let (standing, slow) = (sail.free(0.99 * starts), sail.free(1.01 * starts));
    assert_eq!(standing.shaft_rev_s, 0.0);
    assert_eq!(standing.drag_n, sail.held(0.99 * starts).drag_n);
    assert!(slow.shaft_rev_s > 0.0 && slow.drag_n > sail.held(1.01 * starts).drag_n);
    assert!(sail.free(1.01 * less_from).drag_n < sail.held(1.01 * less_from).drag_n);
    // No volts are given for a shaft that stands.
    let spec = BoatSpec { boat, uncertain: Vec::new(), fittings: Fittings::default(), not_known: Vec::new() };
    let questions = SailQuestions {
        speeds_m_s: vec![0.99 * starts, 1.01 * starts],
        loss_m_s: 0.1,
        finding_speed_m_s: 1.01 * starts,
    };
    let study = summarise_sail(&spec, &questions, Sampler::new(1), &[]).unwrap();
    assert_eq!(study.rows[0].volts_without_bank_v, None);
    assert!(study.rows[1].volts_without_bank_v.unwrap() > 0.0);
    // What friction costs is seen against a shaft without any.
    let mut easy = cutter();
    easy.drive_line.bearing_torque_n_m = 0.0;
    easy.motor.no_load_current_a = Some(0.01);
    let easy = prepared(&easy);
    assert!(easy.free_drags_less_from_m_s().unwrap() < less_from);
}

/// Braking, the motor's own drag does part of the work: the windings carry `(brake - drag) / Kt`, by hand.
#[test]
fn phase_limit_is_on_the_current_of_the_windings() {
    let mut boat = cutter();
    let speed = 8.0 * KNOT_M_S;
    let most = prepared(&boat).harvest(speed, 9.0).unwrap().greatest;
    let limit_a = 0.6 * most.phase_a;
    boat.controller.phase_current_limit_a = limit_a;
    let sail = prepared(&boat);
    let eased = sail.harvest(speed, 9.0).unwrap().greatest;
    assert_near("current", eased.phase_a, limit_a, 1e-4 * limit_a);
    let motor = wakewright_core::steady::PreparedBoat::new(&boat).unwrap().value;
    let motor = motor.motor();
    let omega = std::f64::consts::TAU * eased.shaft_rev_s * boat.drive_line.ratio;
    let by_hand = (eased.brake_torque_n_m - motor.drag_torque_n_m(omega)) / motor.torque_constant_n_m_a;
    // Cool windings: the magnets are within a per cent of their strength at 20 °C.
    assert!((by_hand / limit_a - 1.0).abs() < 0.02, "{by_hand} against {limit_a}");
    assert!(eased.brake_torque_n_m / motor.torque_constant_n_m_a > limit_a, "braked harder than before");
}

#[test]
fn full_cold_or_stowed_gives_nothing_and_says_why() {
    let mut boat = cutter();
    boat.bank.state_of_charge = 1.0;
    assert_eq!(prepared(&boat).harvest(3.0, 0.1).unwrap_err(), NoHarvest::Full);
    boat.bank.state_of_charge = 0.5;
    boat.bank.temperature_k = 271.0;
    assert_eq!(prepared(&boat).harvest(3.0, 0.1).unwrap_err(), NoHarvest::Cold);
    let mut folding = cutter();
    folding.propeller.pattern = Pattern::Folding;
    let folding = prepared(&folding);
    assert_eq!(folding.harvest(3.0, 0.1).unwrap_err(), NoHarvest::Stowed);
    assert!(folding.held(3.0).drag_n < 0.2 * prepared(&cutter()).held(3.0).drag_n);
    assert_eq!(folding.volts_without_bank_v(4.0), 0.0);
}

/// A small charge limit is kept: the braking eases off.
#[test]
fn charge_limit_of_the_packs_is_kept() {
    let mut boat = cutter();
    let mut group = PackGroup::new(Chemistry::Lfp, 16, 360_000.0, 1);
    group.bms_charge_a = Some(2.0);
    boat.bank.groups = vec![group];
    let state = prepared(&boat).harvest(8.0 * KNOT_M_S, 9.0).unwrap().greatest;
    assert!(-state.bank_a <= 2.0 * (1.0 + 1e-6) && -state.bank_a > 1.99, "{state:?}");
}

/// Bus volts when the bank is cut off are shaft speed over speed constant, and rise with the speed.
#[test]
fn volts_without_bank_follow_the_speed_constant() {
    let mut boat = cutter();
    boat.controller.overvoltage_v = Some(20.0);
    let sail = prepared(&boat);
    let speed = 6.0 * KNOT_M_S;
    let rev_s = sail.free_revs(speed) * boat.drive_line.ratio;
    let volts = sail.volts_without_bank_v(speed);
    assert_near("volts", volts, rev_s / boat.motor.no_load_speed_rev_s_v, 1e-9);
    let hazards = sail.hazards();
    let at = hazards.controller_limit_at_m_s.unwrap();
    assert_near("volts at the limit", sail.volts_without_bank_v(at), 20.0, 0.1);
    assert!(hazards.starts_turning_m_s < 4.0 * KNOT_M_S);
}

#[test]
fn bands_are_at_least_as_wide_as_the_estimate() {
    let boat = cutter();
    let spec = BoatSpec { boat, uncertain: Vec::new(), fittings: Fittings::default(), not_known: Vec::new() };
    let questions = SailQuestions {
        speeds_m_s: vec![5.0 * KNOT_M_S, 6.0 * KNOT_M_S],
        loss_m_s: 0.1,
        finding_speed_m_s: 6.0 * KNOT_M_S,
    };
    let sampler = Sampler::new(1);
    let samples: Vec<_> = (0..600).map(|i| sample_sail(&spec, &questions, sampler, i)).collect();
    let study = summarise_sail(&spec, &questions, sampler, &samples).unwrap();
    let held = study.rows[0].mode(Mode::Held).unwrap();
    assert!(held.drag_n.p90 > 1.25 * held.drag_n.value && held.drag_n.p10 < 0.8 * held.drag_n.value);
    let greatest = study.rows[1].mode(Mode::Greatest).unwrap();
    println!("greatest at 6 kn {:?}", greatest.stored_w);
    assert!(greatest.stored_w.p10 < 0.75 * greatest.stored_w.value);
    assert!(greatest.stored_w.p90 > 1.25 * greatest.stored_w.value);
}
