//! Each field of the boat document that is no mere text moves a figure of some room, or stands in the list of those
//! that do not, with the reason. Nothing is proved about the figures.

use std::fmt::Write as _;

use wakewright_core::practice::check_practice;
use wakewright_core::study::Questions;
use wakewright_records::boat::{Field, FieldKind, SECTIONS};
use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::room::Asked;
use wakewright_rooms::sampling::study;
use wakewright_rooms::sheets::answer_json;
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

const SAMPLES: usize = 12;
/// The boats that are changed, the fullest document first.
const BOATS: [&str; 3] = [
    include_str!("../../../../examples/sea_campion.toml"),
    include_str!("../../../../examples/sweet_gale.toml"),
    include_str!("../../../../examples/water_avens.toml"),
];
/// Which room a section moves first, so that few are asked in vain.
const LIKELY: [(&str, &str); 15] = [
    ("old_engine", "weights"),
    ("controls", "controls"),
    ("wiring", "wiring"),
    ("cable", "wiring"),
    ("fuse", "wiring"),
    ("contactor", "wiring"),
    ("precharge", "wiring"),
    ("panel", "energy"),
    ("place", "energy"),
    ("house", "energy"),
    ("week", "energy"),
    ("shore", "energy"),
    ("bank", "bank"),
    ("alternative", "options"),
    ("mass", "weights"),
];
/// What has to stand in the document with a field, or the other way round, before it counts.
const WITH: [(&str, &[&str]); 22] = [
    ("panel.open_voltage", &STRING),
    ("panel.in_series", &STRING),
    ("panel.regulator_voltage", &STRING),
    ("panel.string_fused", &STRING),
    ("mass.aside", &["mass[1].alternative="]),
    ("cable.stands", &BEHIND),
    ("controls.wire_noticed", &["controls.wire_broken=stops"]),
    ("controls.takes_over", &["controls.stations=2"]),
    ("controls.reversing_torque", &["controls.ramp_up=0 s"]),
    (
        "controller.braking_stops_in",
        &["controller.braking_stops_at=95 V", "controller.overvoltage=110 V", "motor.phase_inductance=80 uH"],
    ),
    ("hull.bottom_cleaned", &["hull.bottom=not known"]),
    ("motor.mass", &["motor.peak_time="]),
    ("motor.peak_time", &["motor.rated_power=6 kW", "motor.peak_power=16 kW"]),
    ("pack.voltage", &["pack[1].cells_in_series=not known", "controller.undervoltage="]),
    ("panel.tilt", &["panel[1].mount=tilted", "panel[1].faces=stern"]),
    ("panel.faces", &["panel[1].mount=tilted", "panel[1].tilt=35 deg"]),
    ("towed.speed", &TOWED),
    ("towed.drag", &TOWED),
    ("sea.canal_width", &["sea.depth=3 m"]),
    ("motor.running", &["motor.count=2"]),
    ("precharge.time_out", &["precharge.drawn=0.01 A"]),
    ("bank.for_each_drive", &["motor.count=2", "pack[1].count=4"]),
];
/// Panels as strings.
const STRING: [&str; 3] =
    ["panel[1].open_voltage=22 V", "panel[1].in_series=1", "panel[1].regulator_voltage=100 V"];
/// A run that ends at something with volts of its own, and one that brings it its current.
const BEHIND: [&str; 8] = [
    "cable[1].name=lead",
    "cable[1].from=controller",
    "cable[1].to=house",
    "cable[1].length=1 m",
    "cable[2].name=main",
    "cable[2].from=pack",
    "cable[2].to=controller",
    "cable[2].length=2 m",
];
/// The upper part of a towing test; of its first row speed and pull are changed.
const TOWED: [&str; 8] = [
    "towed[1].speed=3 kn",
    "towed[1].drag=400 N",
    "towed[2].speed=4.5 kn",
    "towed[2].drag=1100 N",
    "towed[3].speed=5.5 kn",
    "towed[3].drag=1900 N",
    "towed[4].speed=6.5 kn",
    "towed[4].drag=3500 N",
];
/// Values where those made from the example cannot stand together with what else is stated.
const VALUES: [(&str, [&str; 2]); 6] = [
    ("motor.running", ["1", "2"]),
    ("pack.voltage", ["76.8 V", "83.2 V"]),
    ("place.latitude", ["55 deg", "57 deg"]),
    ("precharge.time_out", ["0.01 s", "3 s"]),
    ("towed.speed", ["2.5 kn", "3.2 kn"]),
    ("towed.drag", ["350 N", "450 N"]),
];
/// Fields without effect on a figure, and why they are asked all the same.
const WITHOUT: [(&str, &str); 1] = [("boat.year", "says which boat it is; nothing is computed from an age")];

/// Everything that rooms answer with figures, room by room; a room that has no answer says so in words.
fn figures(section: &str, room: &str, boat: &Loaded) -> Option<String> {
    if room == "check" {
        let study = study(&boat.spec, &Questions::default(), SAMPLES, 1).ok()?;
        let findings = check_practice(&boat.spec, &study);
        return Some(findings.iter().fold(String::new(), |mut all, finding| {
            let _ = write!(all, "{}: {} ({:?}); ", finding.topic, finding.value, finding.usual);
            all
        }));
    }
    let room = ROOMS.into_iter().find(|known| known.card().key == room)?;
    // What would end what binds is looked for where something is wished.
    let asked = Asked { seeks_remedy: section == "use", ..Asked::of(boat, SAMPLES) };
    let answer = room.answer(&asked, None, &Paper::plain(UnitSystem::Trade)).ok()?;
    Some(answer_json(room.card().key, "her", &answer)["result"].to_string())
}

fn rooms_for(section: &str) -> Vec<&'static str> {
    let mut rooms = vec!["check"];
    rooms.splice(0..0, LIKELY.iter().filter(|(of, _)| *of == section).map(|(_, room)| *room));
    rooms.extend([
        "drive", "range", "bank", "sail", "energy", "options", "wiring", "controls", "weights", "search",
    ]);
    let mut seen = Vec::new();
    rooms.retain(|room| {
        !seen.contains(room) && {
            seen.push(*room);
            true
        }
    });
    rooms
}

/// Other values that may stand in a field.
fn others(field: &Field) -> Vec<String> {
    if let Some((_, values)) = VALUES.iter().find(|(key, _)| *key == field.key) {
        return values.map(str::to_owned).to_vec();
    }
    match field.kind {
        FieldKind::Choice(choices) => choices.iter().map(|choice| choice.word.to_owned()).collect(),
        FieldKind::Flag => vec!["true".to_owned(), "false".to_owned()],
        FieldKind::Integer | FieldKind::Quantity(_) => {
            let digits = field.example.find(|c: char| !(c.is_ascii_digit() || ".-,".contains(c)));
            let (number, unit) = field.example.split_at(digits.unwrap_or(field.example.len()));
            let Ok(number) = number.replace(',', "").parse::<f64>() else { return Vec::new() };
            let is_whole = field.kind == FieldKind::Integer;
            let scaled = [1.25, 0.8, 1.0, 2.0, 0.5, 0.1, 10.0].map(|factor| number * factor);
            let texts = scaled.map(|n| format!("{}{unit}", if is_whole { n.round() } else { n }));
            texts.into_iter().chain((number == 0.0).then(|| format!("2{unit}"))).collect()
        }
        FieldKind::Text | FieldKind::Date | FieldKind::Changes => Vec::new(),
    }
}

fn changed(text: &str, changes: &[String]) -> Option<Loaded> {
    understand(text, "her", changes).ok()
}

/// Whether a value of `field` moves a figure of one of the boats.
fn has_effect(field: &Field, is_repeated: bool) -> bool {
    let address =
        if is_repeated { format!("{}[1].{}", field.section(), field.name()) } else { field.key.to_owned() };
    let with: Vec<String> = WITH
        .iter()
        .filter(|(key, _)| *key == field.key)
        .flat_map(|(_, changes)| changes.iter().map(|change| (*change).to_owned()))
        .collect();
    let values = others(field);
    for text in BOATS {
        for room in rooms_for(field.section()) {
            let mut known: Option<String> = None;
            for value in &values {
                let mut changes = with.clone();
                changes.push(format!("{address}={value}"));
                let Some(found) =
                    changed(text, &changes).and_then(|boat| figures(field.section(), room, &boat))
                else {
                    continue;
                };
                // Two values that are both allowed and give two figures.
                if known.as_ref().is_some_and(|known| *known != found) {
                    return true;
                }
                known = Some(found);
            }
        }
    }
    false
}

#[test]
fn every_field_moves_a_figure_or_says_why_not() {
    let mut wrong = Vec::new();
    for section in SECTIONS {
        for field in section.fields {
            if others(field).is_empty() {
                continue;
            }
            let listed = WITHOUT.iter().find(|(key, _)| *key == field.key);
            match (has_effect(field, section.is_repeated), listed) {
                (true, Some(_)) => wrong.push(format!("{}: has an effect and is listed", field.key)),
                (false, None) => wrong.push(format!("{}: has no effect and no reason", field.key)),
                _ => {}
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
