//! What is asked of a bank as part of the boat: packs of mixed ages, one pack lost, a bank used after the
//! first. The cells' own figures are tested in `battery.rs`.
#![allow(clippy::unwrap_used, reason = "tests may stop")]

use crate::common::{KNOT_M_S, heavy_long_keeler};
use wakewright_core::battery::{Bank, Chemistry, FurtherBank, PackGroup};
use wakewright_core::boat::{Boat, BoatSpec, Fittings, Input, Uncertain};
use wakewright_core::spread::{Sampler, Spread};
use wakewright_core::steady::Limit;
use wakewright_core::study::{
    BankQuestions, BankStudy, ChargeAtTemperature, ChargeSource, sample_bank, summarise_bank,
};
use wakewright_testkit::assert_within;

fn pack(health: f64, bms_a: f64) -> PackGroup {
    PackGroup {
        health,
        bms_discharge_a: Some(bms_a),
        ..PackGroup::new(Chemistry::Lfp, 16, 100.0 * 3600.0, 1)
    }
}

fn boat_with(groups: Vec<PackGroup>) -> Boat {
    let mut boat = heavy_long_keeler();
    boat.bank.groups = groups;
    boat.bank.state_of_charge = 0.9;
    boat
}

fn study_of(boat: Boat, questions: &BankQuestions) -> BankStudy {
    let fittings = Fittings { cruising_speed_m_s: Some(3.0 * KNOT_M_S), ..Fittings::default() };
    let spec = BoatSpec { boat, uncertain: Vec::new(), fittings, not_known: Vec::new() };
    let samples: Vec<_> = (0..20).map(|i| sample_bank(&spec, Sampler::new(1), i)).collect();
    summarise_bank(&spec, questions, Sampler::new(1), &samples).unwrap()
}

fn at_full() -> BankQuestions {
    BankQuestions { throttles: vec![0.4, 1.0], ..BankQuestions::default() }
}

/// Packs whose protection just carries full throttle together do not carry it one short: they trip too,
/// and she goes on with what the rest may give once the throttle is eased.
#[test]
fn one_pack_short_the_others_trip_at_full_throttle_and_hold_at_low() {
    let full_a = study_of(boat_with(vec![pack(1.0, 500.0); 3]), &at_full()).packs[0].current_a;
    let study = study_of(boat_with(vec![pack(1.0, 1.1 * full_a); 3]), &at_full());
    let (low, full) = (&study.lost[0], &study.lost[1]);
    assert!(low.outcome.holds && !full.outcome.holds);
    assert!(full.outcome.share_of_limit > 1.3, "{:?}", full.outcome);
    let (speed, limit) = full.left.unwrap();
    assert!(speed < full.speed_m_s && speed > 0.7 * full.speed_m_s);
    assert_eq!(limit, Limit::Bms);
}

/// A bank whose protection just carries full throttle goes on at that current while the power fades with its volts: by hand it gives its charge
/// from full to the reserve at the volts under load, not the seconds until the first tenth of a volt is gone.
#[test]
fn a_bank_at_its_limit_of_current_goes_on() {
    let free = study_of(boat_with(vec![pack(1.0, 500.0); 3]), &at_full());
    let full_a = free.packs[0].current_a;
    let held = study_of(boat_with(vec![pack(1.0, 1.001 * full_a); 3]), &at_full());
    let of = |study: &BankStudy| study.loads.last().unwrap().usable_j.unwrap().value;
    assert!((of(&held) / of(&free) - 1.0).abs() < 0.03, "{} {}", of(&held), of(&free));
}

/// The throttle from which the others trip is that of the load which they just carry: between the throttles asked, and
/// whichever throttles are asked.
#[test]
fn the_others_trip_from_one_throttle_on() {
    let full_a = study_of(boat_with(vec![pack(1.0, 500.0); 3]), &at_full()).packs[0].current_a;
    let boat = boat_with(vec![pack(1.0, 1.1 * full_a); 3]);
    let of = |throttles: &[f64]| {
        study_of(boat.clone(), &BankQuestions { throttles: throttles.to_vec(), ..BankQuestions::default() })
    };
    let found = of(&[0.4, 1.0]).holds_up_to.unwrap();
    let fine = of(&[0.3, 0.5, 0.7, 0.85, 1.0]).holds_up_to.unwrap();
    assert!((found - fine).abs() < 3e-4, "{found} {fine}");
    let around = of(&[found - 0.002, found + 0.002]);
    assert!(around.lost[0].outcome.holds && !around.lost[1].outcome.holds);
    assert!(study_of(boat_with(vec![pack(1.0, 500.0); 3]), &at_full()).holds_up_to.is_none());
}

/// The sun of a noon has watts and no hours.
#[test]
fn no_hours_of_noon() {
    let source = |is_steady| ChargeSource { words: String::new(), power_w: 300.0, is_steady };
    let questions = BankQuestions { sources: vec![source(true), source(false)], ..at_full() };
    let charging = study_of(boat_with(vec![pack(1.0, 500.0)]), &questions).charging;
    assert!(charging[0].to_full.is_some() && charging[1].to_full.is_none() && charging[1].power_w == 300.0);
}

/// Ageing raises a stated resistance as it does an estimated one; this year's row is today's figure with its band.
#[test]
fn ageing_begins_with_today() {
    let mut stated = boat_with(vec![pack(1.0, 500.0)]);
    stated.bank.groups[0].resistance_ohm = Some(stated.bank.groups[0].reference_resistance_ohm());
    let later_ohm = |boat: &Boat| boat.bank.after_years(6.0, 0.0).groups[0].reference_resistance_ohm();
    assert_within("ohm", later_ohm(&stated), later_ohm(&boat_with(vec![pack(1.0, 500.0)])), 1e-12);
    let capacity =
        Uncertain { input: Input::PackCapacity, spread: Spread::relative(1.0, 0.05), possible: (0.3, 1.5) };
    let spec = BoatSpec {
        boat: stated,
        uncertain: vec![capacity],
        fittings: Fittings::default(),
        not_known: Vec::new(),
    };
    let samples: Vec<_> = (0..200).map(|i| sample_bank(&spec, Sampler::new(1), i)).collect();
    let study = summarise_bank(&spec, &at_full(), Sampler::new(1), &samples).unwrap();
    assert_eq!(study.ageing[0].energy_j, study.loads[1].usable_j);
    let band = |row: usize| {
        (study.ageing[row].health.p90 - study.ageing[row].health.p10) / study.ageing[row].health.value
    };
    assert!(band(0) > 0.08 && band(3) > band(0));
}

#[test]
fn a_single_pack_has_none_to_lose() {
    assert!(study_of(boat_with(vec![pack(1.0, 300.0)]), &at_full()).lost.is_empty());
}

/// An old pack beside new ones: what it has left decides both what it adds and, its resistance having
/// risen, what it gives.
#[test]
fn old_pack_gives_less_and_adds_what_it_has_left() {
    let new = study_of(boat_with(vec![pack(1.0, 500.0), pack(1.0, 500.0)]), &at_full());
    let mixed = study_of(boat_with(vec![pack(1.0, 500.0), pack(0.6, 500.0)]), &at_full());
    assert_within("share of the current", mixed.packs[1].current_a / mixed.packs[0].current_a, 0.6, 1e-9);
    let cruising = |study: &BankStudy| study.loads[1].usable_j.unwrap().value;
    assert_within("energy", cruising(&mixed) / cruising(&new), 0.8, 0.01);
}

/// Cold takes capacity as the cells' tests have it (0.8 at 0 °C), and a little more by sag.
#[test]
fn cold_takes_a_fifth_and_charging() {
    let study = study_of(boat_with(vec![pack(1.0, 500.0); 2]), &at_full());
    let at = |celsius: f64| {
        study.holds.iter().find(|row| (row.temperature_k - 273.15 - celsius).abs() < 0.1).unwrap()
    };
    let ratio = at(0.0).energy_j[1].unwrap().0 / at(25.0).energy_j[1].unwrap().0;
    assert!((0.76..0.81).contains(&ratio), "{ratio}");
    assert_eq!(at(-10.0).charging, ChargeAtTemperature::Nothing);
    // A tenth of the hour's rate of 200 Ah.
    let ChargeAtTemperature::AtMostA(most_a) = at(0.0).charging else { panic!("{:?}", at(0.0)) };
    assert_within("amperes", most_a, 20.0, 1e-9);
    assert_eq!(at(10.0).charging, ChargeAtTemperature::Free);
}

/// As the bank empties she slows, never the other way.
#[test]
fn she_slows_as_the_bank_empties() {
    let study = study_of(boat_with(vec![pack(1.0, 500.0); 2]), &at_full());
    assert_eq!(study.sag.len(), 10);
    assert!(study.sag.windows(2).all(|pair| pair[1].speed_m_s <= pair[0].speed_m_s + 1e-9));
}

/// A second bank of fewer cells, used when the first is at its reserve: slower, and it adds its own hours.
#[test]
fn further_bank_of_lower_voltage_is_slower() {
    let mut boat = boat_with(vec![pack(1.0, 500.0); 2]);
    let spare =
        PackGroup { bms_discharge_a: Some(300.0), ..PackGroup::new(Chemistry::Lfp, 12, 720_000.0, 1) };
    let further =
        FurtherBank { name: "spare".to_owned(), bank: Bank { groups: vec![spare], ..boat.bank.clone() } };
    boat.further = vec![further];
    let study = study_of(boat, &at_full());
    let row = &study.further[0];
    assert_within("volts", row.nominal_v, 38.4, 1e-9);
    assert!(row.full_throttle.unwrap().0 < study.sag[1].speed_m_s);
    assert!(row.cruising.unwrap().0 > 3600.0);
}

#[test]
fn years_take_what_the_tests_gave() {
    let study = study_of(boat_with(vec![pack(1.0, 500.0); 2]), &at_full());
    // 5 to 8 % in 30 months.
    let per_year = (1.0 - study.ageing[1].health.value) / study.ageing[1].years;
    assert!((0.05..0.08).contains(&(per_year * 2.5)), "{per_year}");
}

/// By hand: 100 Ah of iron phosphate at 25 °C give 100 Ah less the reserve; what is counted beyond that came out of the
/// bank behind it, and a count beyond both leaves nothing.
#[test]
fn a_count_since_full_is_taken_out_of_one_bank_after_the_other() {
    let mut boat = boat_with(vec![pack(1.0, 500.0)]);
    (boat.bank.temperature_k, boat.reserve) = (298.15, 0.2);
    let behind = Bank { temperature_k: 298.15, ..Bank::of(pack(0.5, 500.0), 1.0) };
    boat.further = vec![FurtherBank { name: "old".to_owned(), bank: behind }];
    let used = |ah: f64| {
        let questions = BankQuestions { used_coulomb: Some(ah * 3600.0), ..BankQuestions::default() };
        let rows = study_of(boat.clone(), &questions).used;
        rows.iter()
            .map(|row| [row.gives, row.given, row.left].map(|of| of.value / 3600.0))
            .collect::<Vec<_>>()
    };
    for (ah, by_hand) in [
        (30.0, [[80.0, 30.0, 50.0], [40.0, 0.0, 40.0]]),
        (100.0, [[80.0, 80.0, 0.0], [40.0, 20.0, 20.0]]),
        (170.0, [[80.0, 80.0, 0.0], [40.0, 40.0, 0.0]]),
    ] {
        for (found, expected) in used(ah).iter().flatten().zip(by_hand.as_flattened()) {
            assert!((found - expected).abs() < 0.01, "{ah}: {found} for {expected}");
        }
    }
    assert!(study_of(boat.clone(), &BankQuestions::default()).used.is_empty());
}
