//! A broken document: every fault at once, each on its line.

use wakewright_records::boat::{BoatDocument, Fault, Severity, render_faults};

const BROKEN: &str = include_str!("../golden/broken.toml");

/// Line of the only line that begins with `start`, from 1.
fn line_of(start: &str) -> usize {
    let lines: Vec<usize> =
        BROKEN.lines().enumerate().filter(|(_, line)| line.starts_with(start)).map(|(i, _)| i + 1).collect();
    assert_eq!(lines.len(), 1, "{start}");
    lines[0]
}

#[test]
fn every_fault_is_found_at_once() {
    let faults = BoatDocument::parse(BROKEN).unwrap_err();
    for (start, field) in [
        ("pitch = \"8 in\"", "pitch"),
        ("name = Broken Reed", "boat.name"),
        ("year", "boat.year"),
        ("surveyed", "boat.surveyed"),
        ("kind = \"sailng", "hull.kind"),
        ("lenght_waterline", "hull.lenght_waterline"),
        ("length_waterline", "hull.length_waterline"),
        ("beam_waterline", "hull.beam_waterline"),
        ("draught", "hull.draught"),
        ("displacement", "hull.displacement"),
        ("keel = \"long\"", "hull.keel"),
        ("prismatic", "hull.prismatic_coefficient"),
        ("bottom", "hull.bottom"),
        ("[propeler]", "propeler"),
        ("[propeller", "propeller"),
        ("blades = 3.5", "propeller.blades"),
        ("diameter", "propeller.diameter"),
        ("pitch = \"24", "propeller.pitch"),
        ("ratio", "reduction.ratio"),
        ("speed_constant", "motor.speed_constant"),
        ("peak_power", "motor.peak_power"),
        ("cooling", "motor.cooling"),
        ("capacity = \"100 Ah\"\n", "motor.capacity"),
        ("field_weakening", "controller.field_weakening"),
        ("voltage", "pack[1].voltage"),
        ("chemistry = \"NMC\"", "pack[2].chemistry"),
        ("cells_in_series = 14", "pack[2].cells_in_series"),
        ("capacity = \"1,00,0", "pack[2].capacity"),
        ("reserve", "bank.reserve"),
        ("depth", "sea.depth"),
        ("[alternative]", "alternative"),
    ] {
        let line = if field == "motor.capacity" { line_of("cooling") + 1 } else { line_of(start) };
        let found = faults.iter().any(|fault| fault.line == line && fault.field == field);
        assert!(found, "{field} on line {line}: {}", render_faults(&faults, BROKEN, "broken.toml"));
    }
    assert!(faults.iter().all(|fault| !fault.problem.is_empty()));
    assert!(
        faults.iter().filter(|fault| fault.severity == Severity::Error).all(|fault| !fault.advice.is_empty())
    );
    assert!(faults.windows(2).all(|pair| pair[0].line <= pair[1].line));
}

/// The wording as a whole. `WAKEWRIGHT_REFRESH=1` writes it anew.
#[test]
fn wording_of_faults() {
    let faults = BoatDocument::parse(BROKEN).unwrap_err();
    let made = render_faults(&faults, BROKEN, "broken.toml");
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/broken.txt");
    if std::env::var_os("WAKEWRIGHT_REFRESH").is_some() {
        std::fs::write(path, &made).unwrap();
    }
    assert!(std::fs::read_to_string(path).unwrap_or_default() == made, "the wording has changed:\n{made}");
}

const SOUND: &str = include_str!("../../../../examples/sea_campion.toml");

/// The faults of the example boat with parts of it changed.
/// Of a line of 60,000 characters the place of the fault is shown, with the mark under it.
#[test]
fn a_long_line_is_shown_around_its_fault() {
    let text = format!("{}{} x", "a".repeat(30_000), "b".repeat(30_000));
    let faults = BoatDocument::parse(&text).unwrap_err();
    let made = render_faults(&faults, &text, "long.toml");
    let longest = made.lines().map(|line| line.chars().count()).max().unwrap();
    assert!(longest < 180, "{longest} characters");
    let lines: Vec<&str> = made.lines().collect();
    let (at, mark) = lines
        .windows(2)
        .find_map(|pair| pair[1].contains('^').then(|| (pair[0], pair[1].find('^').unwrap())))
        .unwrap();
    assert!(at.chars().count() >= mark, "{made}");
}

fn after(change: &[(&str, &str)]) -> Vec<Fault> {
    let mut text = SOUND.to_owned();
    for (old, new) in change {
        assert!(text.contains(old), "{old}");
        text = text.replacen(old, new, 1);
    }
    BoatDocument::parse_lenient(&text).1
}

#[test]
fn contradictions_name_both_fields() {
    for (change, severity, field, other) in [
        (("35 ft 11 in", "12.9 m"), Severity::Error, "hull.length_waterline", "hull.length_overall"),
        (
            ("beam_overall = \"3.95 m\"", "beam_overall = \"3.2 m\""),
            Severity::Error,
            "hull.beam_waterline",
            "hull.beam_overall",
        ),
        (("15.6 t ± 0.5 t", "58 t"), Severity::Error, "hull.displacement", "hull.length_waterline"),
        (
            ("draught = \"1.7 m\"", "draught = \"1.7 m\"\ncanoe_body_draught = \"1.8 m\""),
            Severity::Error,
            "hull.canoe_body_draught",
            "hull.draught",
        ),
        (
            ("draught = \"1.7 m\"", "draught = \"1.7 m\"\ncanoe_body_draught = \"0.45 m\""),
            Severity::Error,
            "hull.displacement",
            "hull.canoe_body_draught",
        ),
        (("22 in", "30 in"), Severity::Error, "propeller.diameter", "propeller.aperture_height"),
        (("22 in", "25 in"), Severity::Doubt, "propeller.diameter", "propeller.aperture_height"),
        (("\"15 in\"", "\"7 in\""), Severity::Doubt, "propeller.pitch", "propeller.diameter"),
        (("\"0.58, assumed\"", "\"0.3\""), Severity::Doubt, "propeller.area_ratio", "propeller.blades"),
        (("1.05 m", "0.2 m"), Severity::Error, "propeller.shaft_depth", "propeller.diameter"),
        (("76.8 V", "48 V"), Severity::Error, "pack[1].voltage", "pack[1].cells_in_series"),
        (("\"25 %\"", "\"90 %\""), Severity::Error, "bank.reserve", "bank.state_of_charge"),
        (("\"280 A\"", "\"480 A\""), Severity::Doubt, "controller.battery_current", "pack[1].bms_discharge"),
        (("\"66 V\"", "\"80 V\""), Severity::Error, "controller.undervoltage", "pack[1].cells_in_series"),
        (("\"30 kW\"", "\"18 kW\""), Severity::Error, "motor.peak_power", "motor.rated_power"),
        (("36 rpm/V", "20 rpm/V"), Severity::Doubt, "motor.rated_speed", "motor.speed_constant"),
        (("\"280 A\"", "\"130 A\""), Severity::Doubt, "controller.battery_current", "motor.rated_power"),
        (("\"toothed belt\"", "\"direct\""), Severity::Error, "reduction.ratio", "reduction.kind"),
        (
            ("wished_speed = \"7 kn\"", "wished_speed = \"3 kn\""),
            Severity::Error,
            "use.cruising_speed",
            "use.wished_speed",
        ),
        (
            ("wished_speed = \"7 kn\"", "wished_speed = \"10.5 kn\""),
            Severity::Doubt,
            "use.wished_speed",
            "hull.length_waterline",
        ),
        (
            ("keel = \"long with aperture\"", "keel = \"fin\""),
            Severity::Doubt,
            "propeller.arrangement",
            "hull.keel",
        ),
        (
            ("keel = \"long with aperture\"", "keel = \"none\""),
            Severity::Error,
            "hull.keel_chord",
            "hull.keel",
        ),
    ] {
        let faults = after(&[change]);
        let hit = faults.iter().find(|fault| {
            let names_other = fault.also.iter().any(|(name, line)| name == other && *line > 0);
            fault.severity == severity && fault.field == field && names_other
        });
        assert!(hit.is_some(), "{change:?}: {faults:?}");
    }
}

#[test]
fn planing_and_multihull_need_towing_measurements() {
    for kind in ["planing", "multihull"] {
        let quoted = format!("\"{kind}\"");
        let faults = after(&[("\"sailing yacht\"", &quoted)]);
        assert_eq!(faults.len(), 1);
        assert_eq!((faults[0].severity, faults[0].field.as_str()), (Severity::Error, "hull.kind"));
        let rows = |drags: &[u32]| {
            let row = |(i, drag): (usize, &u32)| {
                format!("[[towed]]\nspeed = \"{} kn\"\ndrag = \"{drag} N\"\n", i + 2)
            };
            drags.iter().enumerate().map(row).collect::<String>() + "[propeller]"
        };
        let towed = |drags: &[u32]| after(&[("\"sailing yacht\"", &quoted), ("[propeller]", &rows(drags))]);
        assert!(towed(&[90, 210, 400, 700]).is_empty());
        assert_eq!(towed(&[90, 210, 400])[0].field, "towed[1]");
        assert_eq!(towed(&[90, 410, 400, 700])[0].field, "towed[3].drag");
    }
}

#[test]
fn an_unusual_value_is_doubted_and_used() {
    let text = SOUND.replacen("cruising_speed = \"5 kn\"", "cruising_speed = \"1.5 kn\"", 1);
    let document = BoatDocument::parse(&text).unwrap();
    assert_eq!(document.doubts().len(), 1);
    assert_eq!(document.doubts()[0].field, "use.cruising_speed");
    assert!(document.number("use.cruising_speed").is_some());
}
