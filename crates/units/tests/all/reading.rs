//! What a fitter types, read and written.

use proptest::prelude::*;
use wakewright_testkit::assert_near;
use wakewright_units::{
    Digits, Dimension, Quantity as Q, UnitSystem, format_number, format_quantity, parse_interval,
    parse_quantity, read_quantity, units_of,
};

#[test]
fn quantities_as_typed() {
    for (text, kind, si) in [
        ("12 in", Q::PropellerLength, 0.3048),
        ("12\"", Q::PropellerLength, 0.3048),
        ("12 1/2 in", Q::PropellerLength, 0.3175),
        ("27 ft 6 in", Q::Length, 8.382),
        ("27'6\"", Q::Length, 8.382),
        ("27' 6", Q::Length, 8.382),
        ("27ft6 1/2in", Q::Length, 8.3947),
        ("8.4 m", Q::Length, 8.4),
        ("8,4 m", Q::Length, 8.4),
        ("5.4 t", Q::Mass, 5400.0),
        ("12,000 lb", Q::Mass, 5_443.108_44),
        ("18 mohm", Q::Resistance, 0.018),
        ("18 mΩ", Q::Resistance, 0.018),
        ("18mΩ", Q::Resistance, 0.018),
        ("1,000 rpm", Q::RotationalSpeed, 16.666_666_667),
        ("10 kW", Q::Power, 1e4),
        ("10kw", Q::Power, 1e4),
        ("70 rpm/V", Q::RotationalSpeedPerVolt, 1.166_666_667),
        ("100 Ah", Q::Charge, 3.6e5),
        ("5.1 kWh", Q::Energy, 1.836e7),
        ("15 °C", Q::Temperature, 288.15),
        ("15 C", Q::Temperature, 288.15),
        ("59 F", Q::Temperature, 288.15),
        ("20 %", Q::Ratio, 0.2),
        ("20%", Q::Share, 0.2),
        ("0.2", Q::Share, 0.2),
        ("2:1", Q::Ratio, 2.0),
        ("2.5 to 1", Q::Ratio, 2.5),
        ("6 kn", Q::Speed, 3.086_666_667),
        ("3 m/s", Q::Speed, 3.0),
        ("9 months", Q::Duration, 23_668_200.0),
        ("2 h 30 min", Q::Duration, 9000.0),
        ("2.5 m2", Q::Area, 2.5),
        ("-3 °C", Q::Temperature, 270.15),
    ] {
        let found = parse_quantity(text, kind).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_near(text, found, si, 1e-8 * si.abs().max(1.0));
    }
}

#[test]
fn errors_say_what_to_write() {
    let said = |text: &str, kind: Q| parse_quantity(text, kind).unwrap_err().to_string();
    assert!(said("12 im", Q::Length).contains("Did you mean in?"), "{}", said("12 im", Q::Length));
    assert!(said("12", Q::PropellerLength).contains("Write the unit, for example 12 in"));
    let mass = said("12 kg", Q::Length);
    assert!(mass.contains("measures mass") && mass.contains("a length is wanted"), "{mass}");
    assert!(said("2 m2", Q::Length).contains("measures area"));
    assert!(said("6 ton", Q::Mass).contains("long ton"));
    assert!(said("twelve", Q::Length).contains("does not begin with a number"));
    assert!(said("", Q::Length).contains("no length is written"));
    assert!(said("1.2.3 m", Q::Length).contains("cannot be read for certain"));
    assert!(said("8 m 9 m", Q::Length).contains("behind the quantity"));
    assert!(said("5 kW 3", Q::Power).contains("kW 3") || said("5 kW 3", Q::Power).contains('3'));
}

#[test]
fn intervals_ignore_the_zero_of_the_scale() {
    let read = read_quantity("15 °C", Q::Temperature).unwrap();
    assert_near("2 °C", parse_interval("2 °C", Q::Temperature, read.unit).unwrap(), 2.0, 1e-12);
    assert_near("9 °F", parse_interval("9 °F", Q::Temperature, read.unit).unwrap(), 5.0, 1e-12);
    assert_near("bare", parse_interval("3", Q::Temperature, read.unit).unwrap(), 3.0, 1e-12);
}

#[test]
fn written_for_reading() {
    let text = |si, kind, system| format_quantity(si, kind, system, Digits::Usual);
    assert_eq!(text(0.3048, Q::PropellerLength, UnitSystem::Trade), "12 in");
    assert_eq!(text(0.3175, Q::PropellerLength, UnitSystem::Trade), "12.5 in");
    assert_eq!(text(0.3048, Q::PropellerLength, UnitSystem::Metric), "305 mm");
    assert_eq!(text(8.382, Q::Length, UnitSystem::Us), "27 ft 6 in");
    assert_eq!(text(8.382, Q::Length, UnitSystem::Trade), "8.38 m");
    assert_eq!(text(9.996, Q::Length, UnitSystem::Trade), "10.0 m");
    assert_eq!(text(6800.0, Q::Mass, UnitSystem::Trade), "6.8 t");
    assert_eq!(text(270.15, Q::Temperature, UnitSystem::Trade), "−3 °C");
    assert_eq!(text(1063.0 / 60.0, Q::RotationalSpeed, UnitSystem::Trade), "1,060 rpm");
    assert_eq!(text(0.0, Q::Speed, UnitSystem::Trade), "0 kn");
    assert_eq!(text(0.23, Q::Share, UnitSystem::Trade), "23 %");
    assert_eq!(format_number(-1_234_567.891, 1), "−1,234,567.9");
    assert_eq!(format_number(-0.01, 0), "0");
    assert_eq!(text(f64::NAN, Q::Speed, UnitSystem::Trade), "unknown kn");
}

#[test]
fn every_kind_reads_its_own_example_and_units() {
    for kind in Q::ALL {
        assert!(parse_quantity(kind.example(), kind).is_ok(), "{kind:?}");
        for unit in units_of(kind.dimension()) {
            for name in unit.names {
                // The offset cancels in value 0 only for scales; 3 tells all units apart.
                let text = format!("3 {name}");
                if name.starts_with(':') || name.starts_with("to ") {
                    continue;
                }
                let found = parse_quantity(&text, kind).unwrap_or_else(|e| panic!("{text}: {e}"));
                assert_near(&text, found, unit.to_si(3.0), 1e-12 * unit.to_si(3.0).abs());
            }
        }
    }
}

#[test]
fn no_spelling_stands_for_two_units() {
    for kind in Q::ALL {
        let mut seen: Vec<&str> = Vec::new();
        for unit in units_of(kind.dimension()) {
            for name in unit.names {
                assert!(!seen.contains(name), "{name} twice in {:?}", kind.dimension());
                seen.push(name);
            }
        }
    }
    // Hundredths, thousandths, and none.
    assert_eq!(units_of(Dimension::Ratio).count(), 3);
}

proptest! {
    /// There and back is identity to the digits written.
    #[test]
    fn written_then_read_is_the_same(index in 0..Q::ALL.len(), value in 0.001_f64..9e5, negative: bool) {
        let kind = Q::ALL[index];
        let si = if negative && kind != Q::Temperature { -value } else { value };
        for system in [UnitSystem::Trade, UnitSystem::Metric, UnitSystem::Us] {
            let text = format_quantity(si, kind, system, Digits::Significant(9));
            let back = parse_quantity(&text, kind).unwrap_or_else(|e| panic!("{text}: {e}"));
            // Nine digits of the written number; a temperature carries those of its scale's zero.
            let room = 1e-8 * (si.abs() + if kind == Q::Temperature { 300.0 } else { 0.0 });
            prop_assert!((back - si).abs() <= room, "{kind:?} {si} -> {text} -> {back}");
        }
    }

    #[test]
    fn units_convert_there_and_back(value in -1e6_f64..1e6, index in 0..Q::ALL.len()) {
        for unit in units_of(Q::ALL[index].dimension()) {
            let back = unit.from_si(unit.to_si(value));
            let room = 1e-12 * (value.abs() + unit.offset.abs() / unit.factor) + 1e-300;
            prop_assert!((back - value).abs() <= room);
        }
    }

    #[test]
    fn no_text_panics(text in ".{0,40}", index in 0..Q::ALL.len()) {
        let _ = parse_quantity(&text, Q::ALL[index]).map_err(|e| e.to_string());
    }

    #[test]
    fn no_text_of_usual_signs_panics(text in "[-+0-9.,/ '\"a-zµΩ°%½:]{0,24}", index in 0..Q::ALL.len()) {
        let _ = parse_quantity(&text, Q::ALL[index]).map_err(|e| e.to_string());
    }
}
