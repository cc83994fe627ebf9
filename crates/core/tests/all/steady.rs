//! The steady state of one boat in the situations that a fitter meets: balance, limits, wind from
//! both sides, a towing table, field weakening, weak and cold banks, any number of threads.
//! Not for: many boats (`steady_properties.rs`), trade plausibility (`trade_facts.rs`).
#![allow(clippy::unwrap_used, reason = "tests may stop")]

use crate::common::{KNOT_M_S, heavy_long_keeler};
use wakewright_core::battery::StoppedBy;
use wakewright_core::boat::{Boat, BoatSpec, Fittings, Input, Uncertain};
use wakewright_core::drive::{FieldWeakening, ThrottleMode};
use wakewright_core::hull::TowedResistance;
use wakewright_core::spread::{Sampler, Spread};
use wakewright_core::steady::{Ask, Limit, PreparedBoat, SteadyError};
use wakewright_core::study::{Questions, SampleAnswer, StateFigure, answer, sample_answer, summarise};
use wakewright_testkit::{assert_near, assert_within};

fn prepared(boat: &Boat) -> PreparedBoat {
    PreparedBoat::new(boat).unwrap().value
}

fn top_speed_kn(boat: &Boat) -> f64 {
    prepared(boat).full_throttle().unwrap().held.state.speed_m_s / KNOT_M_S
}

/// Every relation between the figures of a state, worked out again by hand from its neighbours.
#[test]
fn figures_of_a_state_belong_together() {
    let boat = heavy_long_keeler();
    let ready = prepared(&boat);
    let state = ready.solve(Ask::Throttle(0.8)).unwrap().state;
    let advance = state.speed_m_s * (1.0 - boat.stern.wake_fraction);
    assert_within("advance", state.speed_of_advance_m_s, advance, 1e-12);
    assert_within("thrust", state.thrust_n * (1.0 - boat.stern.thrust_deduction), state.resistance_n, 1e-12);
    let ratio = boat.drive_line.ratio;
    let motor = &state.motor;
    assert_within("ratio", motor.omega_rad_s, std::f64::consts::TAU * ratio * state.shaft_rev_s, 1e-12);
    let torque = (state.shaft_torque_n_m + boat.drive_line.bearing_torque_n_m)
        / (ratio * boat.drive_line.reduction_efficiency);
    assert_within("motor torque", motor.torque_n_m, torque, 1e-12);
    assert_within(
        "motor power",
        motor.electrical_power_w,
        motor.shaft_power_w + motor.copper_loss_w + motor.leads_loss_w + motor.iron_loss_w,
        1e-12,
    );
    let drive = motor.electrical_power_w + state.controller_loss_w;
    assert_within("drive", state.drive_power_w, drive, 1e-12);
    assert_within("bank power", state.bank_v * state.bank_a, drive + boat.house_power_w, 1e-12);
    let rest = ready.bank().open_circuit_v;
    let volts = rest - state.bank_a * ready.bank().resistance_ohm();
    assert_within("bank volts", state.bank_v, volts, 1e-12);
}

/// What the limit's name says is what its share is made of.
#[test]
fn shares_are_what_their_limits_say() {
    let mut boat = heavy_long_keeler();
    boat.controller.undervoltage_v = Some(44.0);
    boat.controller.power_limit_w = Some(9000.0);
    let ready = prepared(&boat);
    let bound = ready.solve(Ask::Speed(2.0)).unwrap();
    let (state, bank) = (&bound.state, ready.bank());
    let share = |limit: Limit| bound.usage[limit as usize];
    let available = boat.controller.maximum_duty * state.bank_v;
    assert_within("volts", share(Limit::BankVolts), state.motor.voltage_v / available, 1e-12);
    assert_within("phase", share(Limit::PhaseAmps), state.motor.current_a / 350.0, 1e-12);
    let drive_a = state.drive_power_w / state.bank_v;
    assert_within("battery", share(Limit::BatteryAmps), drive_a / 250.0, 1e-12);
    assert_within("power", share(Limit::Power), state.drive_power_w / 9000.0, 1e-12);
    assert_within("packs", share(Limit::Bms), state.bank_a / bank.discharge_limit_a, 1e-12);
    // Packs cut out at their terminals, the controller at its own, both counted from the bank at rest.
    let rest = bank.open_circuit_v;
    let packs = (rest - bank.pack_voltage_at_v(state.bank_a)) / (rest - bank.low_voltage_v);
    let controller = (rest - state.bank_v) / (rest - 44.0);
    assert_within("sag", share(Limit::LowVoltage), packs.max(controller), 1e-9);
    assert_within("hull", share(Limit::HullMethod), 2.0 / ready.fastest_m_s(), 1e-12);
}

/// At rest hardly anything of any limit is used: a share begins at zero.
#[test]
fn shares_begin_at_zero() {
    let mut boat = heavy_long_keeler();
    boat.controller.undervoltage_v = Some(44.0);
    let usage = prepared(&boat).solve(Ask::Speed(0.02)).unwrap().usage;
    for limit in Limit::ALL {
        assert!(usage[limit as usize] < 0.05, "{limit:?}: {}", usage[limit as usize]);
    }
}

/// With the limit that binds taken away, the next one binds where it was said to.
#[test]
fn next_limit_is_met_when_the_first_is_lifted() {
    let mut boat = heavy_long_keeler();
    boat.controller.battery_current_limit_a = 60.0;
    let full = prepared(&boat).full_throttle().unwrap();
    assert_eq!(full.held.limit, Limit::BatteryAmps);
    let next = full.next.unwrap();
    boat.controller.battery_current_limit_a = f64::INFINITY;
    let lifted = prepared(&boat).full_throttle().unwrap().held;
    assert_eq!(lifted.limit, next.limit);
    assert_within("speed", lifted.state.speed_m_s, next.state.speed_m_s, 1e-9);
}

#[test]
fn heat_leaves_a_burst() {
    let mut boat = heavy_long_keeler();
    boat.motor.rated_power_w = 2500.0;
    let ready = prepared(&boat);
    let full = ready.full_throttle().unwrap();
    assert_eq!(full.held.limit, Limit::MotorHeat);
    assert_near("winding", full.held.state.motor.winding_k, ready.motor().winding_limit_k, 1e-3);
    let burst = full.burst.unwrap();
    assert!(burst.state.speed_m_s > full.held.state.speed_m_s);
    assert!(ready.time_to_motor_limit_s(&burst.state).unwrap() > 60.0);
    assert_eq!(ready.time_to_motor_limit_s(&ready.solve(Ask::Speed(1.0)).unwrap().state), None);
}

#[test]
fn wind_that_drives_her_back_is_said() {
    let mut boat = heavy_long_keeler();
    boat.sea.true_head_wind_m_s = 35.0;
    let error = prepared(&boat).full_throttle().unwrap_err();
    assert!(matches!(error, SteadyError::DrivenBack { thrust_n, .. } if thrust_n > 1000.0), "{error}");
    // At half the wind she makes way at full throttle, but not with a little of it.
    boat.sea.true_head_wind_m_s = 12.0;
    boat.controller.throttle_mode = ThrottleMode::Speed;
    assert!(prepared(&boat).solve(Ask::Throttle(1.0)).is_ok());
    let little = prepared(&boat).solve(Ask::Throttle(0.1)).unwrap_err();
    assert!(matches!(little, SteadyError::DrivenBack { .. }), "{little}");
}

/// A throttle at which she makes no way does not void the others.
#[test]
fn rows_with_way_survive_rows_without() {
    let mut boat = heavy_long_keeler();
    boat.sea.true_head_wind_m_s = 12.0;
    boat.controller.throttle_mode = ThrottleMode::Speed;
    let spec = BoatSpec { boat, uncertain: vec![], fittings: Fittings::default(), not_known: Vec::new() };
    let questions = Questions { throttles: vec![0.1, 1.0], speeds_m_s: vec![], ..Questions::default() };
    let sampler = Sampler::new(1);
    let samples: Vec<_> = (0..3).map(|i| sample_answer(&spec, &questions, sampler, i)).collect();
    assert!(samples.iter().all(Option::is_some));
    let study = summarise(&spec, &questions, sampler, &samples).unwrap();
    assert_eq!(study.throttles.len(), 1);
    assert_within("share", study.throttles[0].share_ahead, 1.0, 1e-12);
    assert!(
        matches!(study.throttles_without_way[..], [(throttle, SteadyError::DrivenBack { .. })] if throttle == 0.1)
    );
}

/// A following wind drives her by itself; the drive is asked for the rest only.
#[test]
fn following_wind_helps() {
    let calm = heavy_long_keeler();
    let mut boat = calm.clone();
    boat.sea.true_head_wind_m_s = -10.0;
    let ready = prepared(&boat);
    assert!(top_speed_kn(&boat) > top_speed_kn(&calm));
    // Slower than she drifts there is no thrust ahead; just above it there is next to none.
    assert!(
        matches!(ready.solve(Ask::Speed(0.1)), Err(SteadyError::NoThrust { thrust_n, .. }) if thrust_n < 0.0)
    );
    let easy = ready.solve(Ask::BankPower(300.0)).unwrap().state;
    let same_in_calm = prepared(&calm).solve(Ask::Speed(easy.speed_m_s)).unwrap().state;
    assert!(easy.resistance_n < same_in_calm.resistance_n && easy.drive_power_w < same_in_calm.drive_power_w);
}

/// A towing table stands for the hull's series: at its points the thrust is the table's pull.
#[test]
fn towing_table_is_believed() {
    let mut boat = heavy_long_keeler();
    boat.sea.in_service_factor = 1.0;
    boat.topsides.mast_height_m = Some(0.0);
    boat.sea.windage_factor = 0.0;
    boat.towed = Some(TowedResistance {
        speeds_m_s: vec![0.5, 1.0, 1.5, 2.0, 2.5, 3.0],
        drags_n: vec![20.0, 75.0, 180.0, 380.0, 800.0, 1700.0],
    });
    let ready = prepared(&boat);
    let at_two = ready.solve(Ask::Speed(2.0)).unwrap().state;
    assert_within("pull", at_two.thrust_n * 0.8, 380.0, 1e-9);
    let full = ready.full_throttle().unwrap().held;
    assert!(full.state.speed_m_s < 3.0 && full.limit != Limit::HullMethod, "{:?}", full.limit);
    assert!(
        matches!(ready.solve(Ask::Speed(3.1)), Err(SteadyError::BeyondHull { limit_m_s, .. }) if limit_m_s == 3.0)
    );
}

/// Field weakening gives speed where volts bind, and costs current for the same speed.
#[test]
fn field_weakening_gives_speed_for_current() {
    let mut boat = heavy_long_keeler();
    let plain = prepared(&boat).full_throttle().unwrap().held;
    assert_eq!(plain.limit, Limit::BankVolts);
    boat.motor.field_weakening =
        Some(FieldWeakening { characteristic_current_a: 400.0, maximum_speed_ratio: 1.3 });
    let ready = prepared(&boat);
    let weakened = ready.full_throttle().unwrap().held;
    assert!(weakened.state.speed_m_s > 1.02 * plain.state.speed_m_s);
    assert!(weakened.state.motor.demagnetising_current_a > 0.0);
    let efficiency = |s: &wakewright_core::steady::State| s.motor.efficiency();
    assert!(efficiency(&weakened.state) < efficiency(&plain.state));
    // Below the speed at which it is needed it changes nothing.
    let (a, b) = (ready.solve(Ask::Speed(1.5)).unwrap().state, {
        boat.motor.field_weakening = None;
        prepared(&boat).solve(Ask::Speed(1.5)).unwrap().state
    });
    assert_eq!(a, b);
}

/// A bank that can't give the power is what stops her, and it stops her at its most power, not at
/// some collapsed voltage.
#[test]
fn weak_bank_stops_her() {
    let mut boat = heavy_long_keeler();
    let pack = &mut boat.bank.groups[0];
    pack.bms_discharge_a = None;
    pack.low_voltage_v = Some(1.0);
    pack.resistance_ohm = Some(0.6);
    boat.controller.maximum_duty = 1.0;
    // Enough volts even at half the bank's: then only its power is left to stop her.
    boat.motor.no_load_speed_rev_s_v = 3.0;
    boat.controller.phase_current_limit_a = 2000.0;
    boat.controller.battery_current_limit_a = 2000.0;
    let ready = prepared(&boat);
    let full = ready.full_throttle().unwrap().held;
    assert_eq!(full.limit, Limit::LowVoltage);
    let bank = ready.bank();
    let most = bank.open_circuit_v * bank.open_circuit_v / (4.0 * bank.resistance_ohm());
    assert_within("power", full.state.bank_power_w(), most, 1e-9);
    assert_near("half the volts", full.state.bank_v, 0.5 * bank.open_circuit_v, 1e-2);
}

/// A bank too cold to discharge, or below its cut-out at rest, gives nothing, and that is said.
#[test]
fn bank_that_gives_nothing_is_said() {
    let mut cold = heavy_long_keeler();
    cold.bank.temperature_k = 230.0;
    let error = prepared(&cold).full_throttle().unwrap_err();
    assert!(matches!(error, SteadyError::CannotMove { .. }), "{error}");
    let mut low = heavy_long_keeler();
    low.bank.groups[0].low_voltage_v = Some(54.0);
    let error = prepared(&low).full_throttle().unwrap_err();
    assert!(
        matches!(error, SteadyError::CannotMove { limit } if limit == Limit::LowVoltage.words()),
        "{error}"
    );
}

/// The pull against a quay is that of the propeller turning at rest, and more than under way.
#[test]
fn bollard_pull_is_at_a_limit() {
    let boat = heavy_long_keeler();
    let ready = prepared(&boat);
    let bollard = ready.bollard().unwrap();
    let (thrust, torque) = ready.propeller().thrust_torque(0.0, bollard.shaft_rev_s);
    assert_within("thrust", bollard.thrust_n, thrust, 1e-12);
    let full = ready.full_throttle().unwrap().held.state;
    assert!(bollard.thrust_n > full.thrust_n && torque > full.shaft_torque_n_m);
    assert!(bollard.shaft_rev_s < full.shaft_rev_s);
}

/// Time to the reserve at a speed is energy above the reserve over power, within the curve's slope.
#[test]
fn range_is_energy_over_power() {
    let boat = heavy_long_keeler();
    let questions = Questions { throttles: vec![], speeds_m_s: vec![1.8], ..Questions::default() };
    let (answers, _) = answer(&boat, &questions).unwrap();
    let at = answers.at_speeds[0].as_ref().unwrap();
    let run = at.discharge.unwrap();
    assert_eq!(run.stopped_by, StoppedBy::Target);
    // Two packs of 100 Ah, 60 % of them, near 3.3 V a cell under load.
    let about = 0.6 * 200.0 * 3600.0 * 16.0 * 3.28 / at.bound.state.bank_power_w();
    assert_within("time", run.duration_s, about, 0.03);
}

fn uncertain_spec() -> BoatSpec {
    let relative = |input, value, fraction| Uncertain {
        input,
        spread: Spread::relative(value, fraction),
        possible: (0.0, f64::INFINITY),
    };
    let boat = heavy_long_keeler();
    let uncertain = vec![
        relative(Input::Displacement, boat.form.displacement_kg, 0.05),
        relative(Input::BottomGrowth, boat.bottom_sand_height_m, 1.0),
        relative(Input::PropellerPitch, boat.propeller.pitch_m, 0.04),
        relative(Input::InService, boat.sea.in_service_factor, 0.2),
        relative(Input::CableResistance, boat.bank.cable_resistance_ohm, 0.5),
    ];
    BoatSpec { boat, uncertain, fittings: Fittings::default(), not_known: Vec::new() }
}

/// One, two and five threads give the same study, bit for bit.
#[test]
fn threads_do_not_change_the_answer() {
    const SAMPLES: u64 = 101;
    let spec = uncertain_spec();
    let questions =
        Questions { throttles: vec![0.4, 1.0], speeds_m_s: vec![1.5, 2.2], ..Questions::default() };
    let sampler = Sampler::new(3);
    let with_threads = |threads: u64| -> Vec<Option<SampleAnswer>> {
        let share = SAMPLES.div_ceil(threads);
        std::thread::scope(|scope| {
            let running: Vec<_> = (0..threads)
                .map(|i| {
                    let (spec, questions) = (&spec, &questions);
                    let chunk = i * share..((i + 1) * share).min(SAMPLES);
                    // Each thread goes backwards: the order does not matter either.
                    scope.spawn(move || {
                        let mut part: Vec<_> = chunk
                            .rev()
                            .map(|sample| sample_answer(spec, questions, sampler, sample))
                            .collect();
                        part.reverse();
                        part
                    })
                })
                .collect();
            running.into_iter().flat_map(|thread| thread.join().unwrap()).collect()
        })
    };
    let alone: Vec<_> =
        (0..SAMPLES).map(|sample| sample_answer(&spec, &questions, sampler, sample)).collect();
    assert!(alone.iter().all(Option::is_some));
    for threads in [1, 2, 5] {
        let samples = with_threads(threads);
        assert_eq!(samples, alone, "{threads} threads");
    }
    let study = summarise(&spec, &questions, sampler, &alone).unwrap();
    let speed = study.at_full(StateFigure::Speed);
    assert!(speed.p10 < speed.value && speed.value < speed.p90, "{speed:?}");
}

/// Questions that have no answer are refused with words.
#[test]
fn questions_without_answer_are_refused() {
    let ready = prepared(&heavy_long_keeler());
    for ask in [
        Ask::Throttle(0.0),
        Ask::Throttle(1.1),
        Ask::Throttle(f64::NAN),
        Ask::Speed(-1.0),
        Ask::BankPower(0.0),
    ] {
        assert!(matches!(ready.solve(ask), Err(SteadyError::NotPositive { .. })), "{ask:?}");
    }
    assert!(matches!(ready.solve(Ask::BankPower(20.0)), Err(SteadyError::BelowStandstill { .. })));
    assert!(matches!(ready.solve(Ask::ShaftSpeed(1e4)), Err(SteadyError::BeyondHull { .. })));
}
