//! Check-ups as documents: entries, faults all at once, tests of the bank, what is on whose list.

use jiff::civil::{Date, date};
use wakewright_core::upkeep::{CHECKLIST, Found};
use wakewright_records::boat::{BoatDocument, build_spec};
use wakewright_records::checkup::{CheckupReading, fitted, read_checkup};
use wakewright_records::dated::DatedDocument;

const BOAT: &str = include_str!("../../../../examples/sea_campion.toml");
const TODAY: Date = date(2026, 10, 1);

fn read(entries: &[(&str, &str)]) -> CheckupReading {
    let document = BoatDocument::parse(BOAT).unwrap();
    let mut checkup = DatedDocument::of_day("2026-05-02");
    for (address, text) in entries {
        checkup.set(address, text).unwrap();
    }
    // What is kept is what is read.
    let again = DatedDocument::parse(&checkup.to_toml()).unwrap();
    read_checkup(&again, &build_spec(&document).unwrap(), TODAY)
}

/// A test that tells something: 315 Ah stand on the three packs.
const TEST: [(&str, &str); 4] = [
    ("test.amps", "40 A ± 1 %"),
    ("test.hours", "7 h 20 min"),
    ("test.temperature", "18 °C"),
    ("who", "J. Orr"),
];

fn fault(entries: &[(&str, &str)], address: &str) -> String {
    let reading = read(entries);
    let found = reading.faults.iter().find(|fault| fault.address == address);
    found.unwrap_or_else(|| panic!("{address}: {:?}", reading.faults)).problem.clone()
}

#[test]
fn what_is_typed_is_read_with_its_band() {
    let reading = read(&[
        ("item.gland.found", "watch"),
        ("item.gland.value", "14"),
        ("item.shaft_bearing.value", "0.9 mm ± 0.2 mm"),
        ("item.insulation.value", "20 Mohm ± 20 %"),
        ("item.insulation.note", "hull \"and\" bonding\nboth poles"),
    ]);
    assert_eq!(reading.faults, []);
    let at = |key: &str| reading.items.iter().find(|at| at.item.key == key).unwrap();
    assert_eq!(at("gland").found, Some(Found::Watch));
    let (drips, error) = at("gland").value.unwrap();
    assert!((drips - 14.0).abs() < 1e-12 && (error - 1.4).abs() < 1e-12);
    let (play, error) = at("shaft_bearing").value.unwrap();
    assert!((play - 0.0009).abs() < 1e-12 && (error - 0.0002).abs() < 1e-12);
    let (ohm, error) = at("insulation").value.unwrap();
    assert!((ohm - 20e6).abs() < 1.0 && (error - 4e6).abs() < 1.0);
    assert!(at("insulation").note.contains('\n'));
}

#[test]
fn a_test_of_the_bank_tells_its_capacity() {
    let reading = read(&TEST);
    assert_eq!(reading.faults, []);
    let share = reading.test.unwrap().capacity.share;
    assert!(read(&[("item.hull_potential.value", "-620 mV ± 10 mV")]).faults.is_empty());
    // By hand: 40 A x 7.333 h = 293.3 Ah over 315 Ah, over 0.977 of it, over 0.944 at 18 °C.
    assert!((share.value - 293.3 / 315.0 / 0.977 / 0.944).abs() < 0.01, "{share:?}");
}

#[test]
fn every_fault_is_told_at_once() {
    let reading = read(&[
        ("date", "2026-12-24"),
        ("item.gland.found", "fine"),
        ("item.gland.value", "many"),
        ("item.fuses.value", "3"),
        ("item.anodes.value", "140 %"),
        ("test.amps", "40 A"),
    ]);
    let places: Vec<&str> = reading.faults.iter().map(|fault| fault.address.as_str()).collect();
    for place in [
        "date",
        "item.gland.found",
        "item.gland.value",
        "item.fuses.value",
        "item.anodes.value",
        "test.hours",
        "test.temperature",
    ] {
        assert!(places.contains(&place), "{place}: {places:?}");
    }
    assert!(reading.day.is_none() && reading.test.is_none());
}

#[test]
fn what_cannot_be_is_asked_and_not_guessed() {
    let with = |address: &'static str, text: &'static str| {
        let mut entries = TEST.to_vec();
        entries.retain(|(known, _)| *known != address);
        entries.push((address, text));
        entries
    };
    let cases = [
        ("date", "2027-01-01", "date", "has not come yet"),
        ("test.amps", "77", "test.amps", "Write the unit"),
        // Volts that were called amps are more than such a bank can give in that time.
        ("test.amps", "77 A", "test.amps", "on the label"),
        ("test.amps", "77 V", "test.amps", "current"),
        ("test.amps", "-40 A", "test.amps", "above zero"),
        ("test.to", "79 V", "test.to", "hardly change"),
        ("item.insulation.value", "20 mohm", "item.insulation.value", "is it megohms"),
        ("item.hull_potential.value", "620 mV", "item.hull_potential.value", "write -620 mV"),
        ("item.hull_shift.value", "-5 mV", "item.hull_shift.value", "not below nothing"),
        ("test.to", "soon", "test.to", "write full"),
        ("test.of", "the other", "test.of", "leave it empty"),
        ("test.counted", "200 Ah", "test.counted", "the counter"),
        ("test.begun", "9 o'clock", "test.begun", "time of day"),
    ];
    for (address, text, at, words) in cases {
        let said = fault(&with(address, text), at);
        assert!(said.contains(words), "{address} = {text}: {said}");
    }
    let mut broken = with("test.begun", "09:00");
    broken.push(("test.ended", "19:30"));
    assert!(fault(&broken, "test.pause").contains("broke off"));
    broken.push(("test.pause", "3 h"));
    assert!(read(&broken).test.is_some(), "lithium, with its pause told");
}

#[test]
fn an_entry_has_its_place_and_length() {
    let mut checkup = DatedDocument::of_day("2026-05-02");
    assert!(checkup.set("note", &"x".repeat(5000)).unwrap_err().contains("longer"));
    checkup.set("item.gland.note", "x").unwrap();
    checkup.set("item.gland.note", "").unwrap();
    assert_eq!(checkup.get("item.gland.note"), "");
    assert!(DatedDocument::parse("date = ").is_err());
    // What somebody wrote into the file by hand does no harm.
    let odd = DatedDocument::parse("item = 3\n[test]\namps = 40\n").unwrap();
    assert_eq!((odd.get("item.gland.found"), odd.get("test.amps")), ("", ""));
}

#[test]
fn the_list_is_that_of_her_drive() {
    let list = |text: &str| {
        let document = BoatDocument::parse(text).unwrap();
        let has = fitted(&document, &build_spec(&document).unwrap());
        let on: Vec<&str> = CHECKLIST.iter().filter(|item| (item.fits)(&has)).map(|item| item.key).collect();
        on
    };
    let campion = list(BOAT);
    for key in ["belt", "gland", "alignment", "cooling", "cells", "alike", "panels"] {
        assert!(campion.contains(&key), "{key}");
    }
    for key in ["diaphragm", "acid", "blade_play", "gear_oil", "air", "pod_seal"] {
        assert!(!campion.contains(&key), "{key}");
    }
    let mut keys: Vec<&str> = CHECKLIST.iter().map(|item| item.key).collect();
    keys.sort_unstable();
    keys.dedup();
    assert_eq!(keys.len(), CHECKLIST.len(), "a name stands once");
}
