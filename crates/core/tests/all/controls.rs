//! The lever and the events: closed forms, what a missing figure may never become, and laws of what turns over.

use std::sync::LazyLock;

use proptest::prelude::*;
use wakewright_core::controls::{Controls, ControlsStudy, Event, EventKind};
use wakewright_core::field;
use wakewright_core::wiring::{RuleKind, Verdict, lifted_to_v, swung_to_v, windings_j};
use wakewright_records::boat::{BoatDocument, build_spec, controls, harness};
use wakewright_testkit::{assert_near, assert_within};

/// The invented demo boat with everything told that the events ask for.
static TOLD: LazyLock<BoatDocument> = LazyLock::new(|| {
    let mut document = BoatDocument::parse(include_str!("../../../../examples/sea_campion.toml")).unwrap();
    for (address, text) in [
        (field::controller::OVERVOLTAGE, "130 V"),
        (field::controller::BRAKING_STOPS_AT, "92 V"),
        (field::controller::BRAKING_STOPS_IN, "0.2 ms"),
        (field::controller::REGENERATION_CURRENT, "60 A"),
        (field::motor::PHASE_INDUCTANCE, "40 uH"),
        (field::precharge::BLEEDER, "2000 ohm"),
        ("cable[4].stands", "140 V"),
        ("cable[5].stands", "150 V"),
        (field::controls::STOP_ORDER, "torque first"),
        (field::controls::SENSOR_LOST, "stops"),
        (field::controls::BRAKING_FULL_AT, "90 %"),
    ] {
        document = document.set(address, text).unwrap();
    }
    document
});

fn with(changes: &[(&str, &str)]) -> BoatDocument {
    changes.iter().fold(TOLD.clone(), |document, (address, text)| {
        document.set(address, text).unwrap_or_else(|why| panic!("{address}: {why:?}"))
    })
}

fn study(document: &BoatDocument) -> ControlsStudy {
    let spec = build_spec(document).unwrap();
    ControlsStudy::of(&spec, harness(document, &spec), controls(document)).unwrap()
}

fn event(study: &ControlsStudy, kind: EventKind) -> &Event {
    study.events.iter().find(|event| event.kind == kind).unwrap()
}

/// By hand: 3/4 x 100 uH x 283² = 6.0067 J; sqrt(54² + 2 x 6.0067 / 2 mF) = 94.46 V.
#[test]
fn windings_into_capacitors() {
    let joules = windings_j(100e-6, 283.0);
    assert_near("energy", joules, 6.0067, 5e-5);
    assert_near("volts", lifted_to_v(2e-3, 54.0, joules), 94.46, 0.005);
    assert_near("at rest the same", swung_to_v(2e-3, 54.0, 0.0, joules), 94.46, 0.005);
}

proptest! {
    /// A coil that empties into a capacitor against a motor's volts, stepped in time: `L dI/dt = E - V`, `C dV/dt = I`
    /// until the current is nought.
    #[test]
    fn the_swing_is_the_stepped_one(farad in 5e-4..1e-2_f64, before in 20.0..100.0_f64, share in 0.0..1.3_f64, joules in 0.2..15.0_f64) {
        let motor_v = share * before;
        let henry = 150e-6;
        let (mut amperes, mut volts) = ((2.0 * joules / henry).sqrt(), before);
        let step_s = 1e-3 * (henry * farad).sqrt();
        while amperes > 0.0 {
            // Midpoint.
            let half = (amperes + 0.5 * step_s * (motor_v - volts) / henry, volts + 0.5 * step_s * amperes / farad);
            amperes += step_s * (motor_v - half.1) / henry;
            volts += step_s * half.0 / farad;
        }
        let closed = swung_to_v(farad, before, motor_v, joules);
        prop_assert!((volts / closed - 1.0).abs() < 1e-5, "{volts} {closed}");
    }

    /// Dead band, least demand, full: rising throughout, odd, nothing within the band.
    #[test]
    fn demand_rises_with_the_lever(band in 0.0..0.5_f64, first in 0.0..0.8_f64, a in 0.0..1.0_f64, b in 0.0..1.0_f64) {
        let lever = Controls { dead_band: Some(band), first_demand: Some(first), ..Controls::default() };
        let (low, high) = (a.min(b), a.max(b));
        prop_assert!(lever.demand(low) <= lever.demand(high) + 1e-12);
        prop_assert!((lever.demand(-a) + lever.demand(a)).abs() < 1e-12);
        prop_assert_eq!(lever.demand(0.999 * band), 0.0);
        prop_assert!((lever.demand(1.0) - 1.0).abs() < 1e-12);
    }
}

/// Closed forms at constant power: up to the stop C (V² - V0²) / (2 P), then the delay, then the windings.
#[test]
fn braking_ends_as_reckoned_by_hand() {
    let found = study(&TOLD);
    let before = event(&found, EventKind::ContactorBraking).volts.before_v;
    let watts = 60.0 * before;
    let stopped = (92.0 * 92.0 + 2.0 * watts * 0.2e-3 / 3e-3_f64).sqrt();
    let motor = found.events.iter().find(|one| one.kind == EventKind::WeakenedTrip).unwrap();
    // Volts of the turning motor at full throttle: revolutions over 36 rpm/V, as the wiring has them.
    let shaft_v =
        motor.why.split(" alone makes ").nth(1).unwrap().split(' ').next().unwrap().parse::<f64>().unwrap();
    let joules = 0.75 * 40e-6 * 2.0 * 250.0 * 250.0;
    let peak = shaft_v + ((stopped - shaft_v).powi(2) + 2.0 * joules / 3e-3).sqrt();
    assert_within("peak", event(&found, EventKind::ContactorBraking).volts.highest_v.unwrap(), peak, 1e-3);
    assert!(peak > stopped && peak < 130.0);
}

#[test]
fn all_told_passes_and_each_missing_figure_ends_that() {
    let verdict = |document: &BoatDocument, kind: EventKind| event(&study(document), kind).verdict;
    for kind in
        [EventKind::ContactorBraking, EventKind::PacksBraking, EventKind::ContactorDriving, EventKind::KeyOff]
    {
        assert_eq!(verdict(&TOLD, kind), Verdict::Passes, "{kind:?}: {}", event(&study(&TOLD), kind).why);
    }
    for missing in [
        field::controller::OVERVOLTAGE,
        field::controller::CAPACITANCE,
        field::controller::BRAKING_STOPS_AT,
        field::controller::BRAKING_STOPS_IN,
        field::motor::PHASE_INDUCTANCE,
        field::controller::PHASE_CURRENT,
    ] {
        let document = with(&[(missing, "not known")]);
        for kind in [EventKind::ContactorBraking, EventKind::PacksBraking] {
            assert_eq!(verdict(&document, kind), Verdict::CannotTell, "{missing}");
        }
    }
    let document = with(&[("cable[4].stands", "not known")]);
    assert_eq!(verdict(&document, EventKind::PacksBraking), Verdict::CannotTell, "the charger's volts");
    assert_eq!(
        verdict(&document, EventKind::ContactorBraking),
        Verdict::Passes,
        "it hangs on the packs' side"
    );
    let document = with(&[(field::controller::FIELD_WEAKENING, "not known")]);
    assert_eq!(verdict(&document, EventKind::WeakenedTrip), Verdict::CannotTell);
}

/// All that hangs on that side is held against the peak with its own volts.
#[test]
fn the_weakest_part_decides() {
    let document = with(&[("cable[5].stands", "90 V")]);
    let found = study(&document);
    let packs = event(&found, EventKind::PacksBraking);
    assert_eq!(packs.verdict, Verdict::Fails);
    assert_eq!(packs.weakest.as_ref().unwrap().name, "house");
    assert_eq!(event(&found, EventKind::ContactorBraking).verdict, Verdict::Passes);
    let document = with(&[(field::controller::OVERVOLTAGE, "93 V")]);
    assert_eq!(event(&study(&document), EventKind::ContactorBraking).verdict, Verdict::Fails);
}

/// With the field weakened the shaft alone passes the bank: never told as held by the bank.
#[test]
fn a_weakened_field_is_an_event_of_its_own() {
    let weak = [
        (field::controller::FIELD_WEAKENING, "true"),
        (field::controller::PHASE_CURRENT, "400 A"),
        (field::controller::BATTERY_CURRENT, "500 A"),
        (field::motor::SPEED_CONSTANT, "18 rpm/V"),
        (field::controller::OVERVOLTAGE, "90 V"),
    ];
    let found = study(&with(&weak));
    let trip = event(&found, EventKind::WeakenedTrip);
    println!("{}", trip.why);
    assert!(trip.volts.at_least_v > trip.volts.before_v, "{trip:?}");
    assert_eq!(trip.verdict, Verdict::Fails, "{}", trip.why);
}

/// After 10 s: V exp(-t / RC), here RC = 2 kohm x 3 mF = 6 s, so 18.9 % are left, or what the shaft makes.
#[test]
fn a_bleeder_empties_the_capacitors() {
    let found = study(&TOLD);
    let key = event(&found, EventKind::KeyOff);
    let (from, to) = (key.volts.highest_v.unwrap(), key.volts.after_v().unwrap());
    let floor = found.sailing_v.unwrap_or(0.0);
    assert_near("after 10 s", to, (from * (-10.0_f64 / 6.0).exp()).max(floor), 0.01);
}

/// A boat of one pack loses all with it, says so, and is judged by what the bus sees, for no setting helps; of the others' limit the
/// bank's own figure tells.
#[test]
fn packs_that_trip() {
    let one = study(&with(&[("pack[1].count", "1"), ("pack[1].bms_discharge", "400 A")]));
    let (trip, opens) = (event(&one, EventKind::PackTrips), event(&one, EventKind::ContactorDriving));
    assert_eq!(trip.verdict, opens.verdict, "{trip:?}");
    assert!(trip.why.starts_with("There is one pack: with it all is off"), "{trip:?}");
    let weak = study(&with(&[("pack[1].bms_discharge", "60 A")]));
    assert_eq!(
        event(&weak, EventKind::PackTrips).verdict,
        Verdict::Fails,
        "{:?}",
        event(&weak, EventKind::PackTrips)
    );
    let untold = study(&with(&[("pack[1].bms_discharge", "not known")]));
    assert_eq!(event(&untold, EventKind::PackTrips).verdict, Verdict::CannotTell);
}

#[test]
fn a_contactor_that_does_not_break_is_no_pass() {
    let document =
        with(&[("contactor[1].break", "100 A"), (field::controls::STOP_ORDER, "contactor at once")]);
    let found = study(&document);
    for kind in [EventKind::ContactorDriving, EventKind::EmergencyStop, EventKind::TwelveVoltsLost] {
        assert_eq!(event(&found, kind).verdict, Verdict::Fails, "{kind:?}");
    }
}

/// Momentum: what thrust and water take away is what her mass gives up; a longer wait only adds way; less torque on
/// reversing is less in the shaft.
#[test]
fn the_lever_thrown_over() {
    let found = study(&TOLD);
    let told = &found.reversal.as_ref().unwrap().told;
    let spec = build_spec(&TOLD).unwrap();
    let prepared = wakewright_core::steady::PreparedBoat::new(&spec.boat).unwrap().value;
    let mass_kg = 1.07 * spec.boat.form.displacement_kg;
    let mut pull = 0.0;
    for pair in told.moments.windows(2) {
        let force = |m: &wakewright_core::controls::ReversalMoment| {
            (1.0 - spec.boat.stern.thrust_deduction) * m.thrust_n - prepared.hull().resistance_n(m.speed_m_s)
        };
        pull += 0.5 * (force(&pair[0]) + force(&pair[1])) * (pair[1].time_s - pair[0].time_s);
    }
    assert_within("momentum", -pull, mass_kg * found.full_m_s, 0.01);
    let way = |changes: &[(&str, &str)]| study(&with(changes)).reversal.unwrap();
    let waits = way(&[(field::controls::REVERSING_WAIT, "4 s")]);
    assert!(waits.told.way_m > told.way_m);
    let gentle = way(&[(field::controls::REVERSING_TORQUE, "40 %")]);
    assert!(gentle.shaft_n_m.value < 0.6 * found.reversal.as_ref().unwrap().shaft_n_m.value);
    // The motor's limit bounds belt and shaft: 250 A at 36 rpm/V are 66.3 N m, magnets at 20 °C.
    let most = 250.0 * 60.0 / (36.0 * std::f64::consts::TAU);
    assert!(told.motor_n_m <= most * 1.001, "{}", told.motor_n_m);
}

/// For its crash stop the sail room takes the best of every moment (\[smogeli2006\] as well): turned over at once she is no
/// quicker, and not much slower.
#[test]
fn no_quicker_than_the_crash_stop() {
    let found = study(&TOLD);
    let spec = build_spec(&TOLD).unwrap();
    let prepared = wakewright_core::steady::PreparedBoat::new(&spec.boat).unwrap().value;
    let best = wakewright_core::steady::crash_stop(
        &prepared,
        &spec.boat.stern,
        spec.boat.form.displacement_kg,
        found.full_m_s,
        1.0,
    )
    .unwrap();
    let at_once = &found.reversal.unwrap().at_once;
    println!("{} m against {} m", at_once.way_m, best.distance_m);
    assert!((0.93..1.25).contains(&(at_once.way_m / best.distance_m)));
}

#[test]
fn rules_of_the_lever() {
    let rule = |document: &BoatDocument, kind: RuleKind| {
        study(document).rules.iter().find(|rule| rule.kind == kind).map(|rule| rule.verdict)
    };
    assert_eq!(rule(&TOLD, RuleKind::TwoStations), Some(Verdict::Fails));
    assert_eq!(rule(&with(&[("controls.stations", "1")]), RuleKind::TwoStations), None);
    assert_eq!(rule(&TOLD, RuleKind::BrakingCurrent), Some(Verdict::Passes));
    assert_eq!(
        rule(&with(&[("controller.regeneration_current", "200 A")]), RuleKind::BrakingCurrent),
        Some(Verdict::Fails)
    );
    assert_eq!(
        rule(&with(&[("controller.regeneration_current", "not known")]), RuleKind::BrakingCurrent),
        Some(Verdict::CannotTell)
    );
    assert_eq!(
        rule(&with(&[("controls.braking_cold_at", "-5 °C")]), RuleKind::BrakingCold),
        Some(Verdict::Fails)
    );
    assert_eq!(rule(&with(&[("controls.dead_band", "2 %")]), RuleKind::DeadBand), Some(Verdict::Fails));
}
