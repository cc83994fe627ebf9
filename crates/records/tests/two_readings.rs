//! Numbers that can be read in two ways: kept in a document with a doubt above the answer, refused
//! where they are typed new.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use wakewright_records::boat::{BoatDocument, Severity, all_fields};
use wakewright_units::read_quantity;

const BOAT: &str = include_str!("../../../examples/sea_campion.toml");

fn with(address: &str, text: &str) -> String {
    // As a file that was written elsewhere.
    let (section, name) = address.split_once('.').unwrap();
    let own = BoatDocument::parse(BOAT).unwrap();
    if let Some(line) = own.stated_number(address).and_then(|stated| stated.line) {
        let mut lines: Vec<String> = BOAT.lines().map(str::to_owned).collect();
        lines[line - 1] = format!("{name} = \"{text}\"");
        return lines.join("\n");
    }
    BOAT.replacen(&format!("[{section}]\n"), &format!("[{section}]\n{name} = \"{text}\"\n"), 1)
}

#[test]
fn in_a_document_they_keep_their_value_and_are_doubted() {
    // Value as it was read before there were doubts, in SI.
    for (address, text, value) in [
        ("bank.house_load", "1.200 W", 1.2),
        ("bank.house_load", "1,200 W", 1200.0),
        ("hull.displacement", "6700 kg ± 1.500 kg", 6700.0),
        ("motor.shaft_torque_limit", "1.200 N m", 1.2),
    ] {
        let text_of_boat = with(address, text);
        let (document, faults) = BoatDocument::parse_lenient(&text_of_boat);
        let document = document.unwrap();
        let Some(stated) = document.number(address).filter(|s| s.line.is_some()) else { continue };
        assert!((stated.value_si - value).abs() <= 1e-9 * value, "{text}: {}", stated.value_si);
        let doubt = faults.iter().find(|fault| fault.field == address && fault.problem.contains("may mean"));
        let doubt = doubt.unwrap_or_else(|| panic!("{address} = {text} is not doubted: {faults:?}"));
        assert_eq!(doubt.severity, Severity::Doubt);
        assert!(document.doubts().contains(doubt));
    }
}

#[test]
fn typed_new_they_are_refused_with_both_readings() {
    let document = BoatDocument::parse(BOAT).unwrap();
    let faults = document.set("bank.house_load", "1.200 W").unwrap_err();
    assert_eq!(faults.len(), 1);
    assert!(
        faults[0].advice.contains("1.2 W") && faults[0].advice.contains("1200 W"),
        "{}",
        faults[0].advice
    );
    let (kept, faults) = document.set_lenient("bank.house_load", "~1,500 W, assumed");
    assert_eq!(kept.unwrap().typed("bank.house_load"), Some("~1,500 W, assumed"));
    assert!(faults.iter().any(|f| f.severity == Severity::Error && f.advice.contains("~1.5 W, assumed")));
    for plain in ["1.2 W", "1200 W", "1.20 W", "0.125 kW", "1,200.0 W"] {
        assert!(document.set("bank.house_load", plain).is_ok(), "{plain}");
    }
}

#[test]
fn what_stood_there_is_not_refused_when_something_else_is_typed() {
    let document = BoatDocument::parse(&with("bank.house_load", "1.200 W")).unwrap();
    let changed = document.set("hull.draught", "1.55 m").unwrap();
    assert!(changed.doubtful_since(Some(&document)).is_empty());
    assert_eq!(changed.doubtful_since(None).len(), 1);
}

#[test]
fn one_reading_within_the_limits_is_no_doubt() {
    let document = BoatDocument::parse(BOAT).unwrap();
    for (address, text) in [
        ("motor.speed_limit", "3,000 rpm"),
        ("hull.length_waterline", "7.125 m"),
        ("hull.displacement", "6,700 kg"),
        ("hull.displacement", "6.700 t"),
        ("hull.displacement", "14,771 lb"),
    ] {
        if document.number(address).is_none() {
            continue;
        }
        let (changed, faults) = document.set_lenient(address, text);
        assert!(changed.is_some());
        assert!(
            !faults.iter().any(|fault| fault.problem.contains("may mean")),
            "{address} = {text}: {faults:?}"
        );
    }
}

#[test]
fn numbers_that_toml_writes_are_never_doubted() {
    let text = BOAT.replacen("ratio = \"2.2:1\"", "ratio = 2.125", 1);
    let (_, faults) = BoatDocument::parse_lenient(&text);
    assert!(!faults.iter().any(|fault| fault.problem.contains("may mean")), "{faults:?}");
}

#[test]
fn a_cost_with_three_decimals_is_doubted_and_refused_when_new() {
    let written = BOAT.replacen("[[alternative]]\n", "[[alternative]]\ncost = \"1.200 EUR\"\n", 1);
    let own = BoatDocument::parse(BOAT).unwrap();
    if own.rows("alternative").first().is_none_or(|row| row.text("cost").is_some()) {
        let changed = own.set("alternative[1].cost", "1.200 EUR");
        assert!(changed.unwrap_err()[0].problem.contains("two decimals or none"));
        assert!(own.set("alternative[1].cost", "1,900 EUR").is_ok());
        return;
    }
    let document = BoatDocument::parse(&written).unwrap();
    assert_eq!(document.alternatives()[0].cost.as_ref().unwrap().amount, 1.2, "the value of before");
    assert!(document.doubts().iter().any(|doubt| doubt.field == "alternative[1].cost"));
}

#[test]
fn a_band_wider_than_the_limits_is_refused() {
    let document = BoatDocument::parse(BOAT).unwrap();
    let faults = document.set("hull.draught", "1.5 m ± 1e9 m").unwrap_err();
    assert!(faults[0].problem.contains("wider than all"), "{faults:?}");
    assert!(document.set("hull.draught", "1.5 m ± 900000 %").is_err());
    assert!(document.set("hull.draught", "1.5 m ± 0.2 m").is_ok());
}

#[test]
fn what_the_program_writes_has_one_reading() {
    for field in all_fields() {
        let (Some(quantity), Some((low, high))) = (field.quantity(), field.possible) else { continue };
        for step in 0..=400 {
            let value = low + (high - low) * f64::from(step) / 400.0;
            let text = field.value_text(value);
            let read = read_quantity(&text, quantity).unwrap();
            assert!(read.doubt_within((low, high)).is_none(), "{}: {text}", field.key);
        }
        if let Ok(read) = read_quantity(field.example, quantity) {
            assert!(read.doubt_within((low, high)).is_none(), "{}: {}", field.key, field.example);
        }
    }
}

/// A document as it was kept before numbers were doubted. The values are those that the program of then
/// took: it said that her panels are of 3,361.1 W together, which is 3 x 1,120 W and 1.1 W.
#[test]
fn a_document_of_before_opens_with_the_same_values() {
    let document = BoatDocument::parse(include_str!("data/doubtful_campion.toml")).unwrap();
    for (address, watts) in [
        ("bank.house_load", 1.2),
        ("panel[1].power", 1120.0),
        ("panel[2].power", 1.1),
        ("house[1].power", 1032.0),
    ] {
        assert!((document.number(address).unwrap().value_si - watts).abs() < 1e-9, "{address}");
        let is_doubt =
            |f: &&wakewright_records::boat::Fault| f.field == address && f.problem.contains("may mean");
        assert_eq!(document.doubts().iter().filter(is_doubt).count(), 1, "{address}");
    }
    let band = document.number("house[1].power").unwrap().spread;
    assert!((band.p90 - 1033.5).abs() < 1e-9, "{band:?}");
    assert_eq!(document.doubtful_since(None).len(), 4);
}
