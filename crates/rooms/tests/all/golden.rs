//! What each room writes about one boat, held against text that somebody has read: its opening blocks in trade
//! units, the lines that differ in metric and American ones, and its JSON. Words and units that drift show as lines that differ; nothing is proved about
//! the figures, which are rounded. `REWRITE_GOLDEN=1` writes the texts anew.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use serde_json::{Value as Json, json};
use similar::{ChangeTag, TextDiff};
use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::load;
use wakewright_rooms::room::{Answer, AnyRoom, Asked, Replies};
use wakewright_rooms::sheets::{answer_json, block_text, finding_only};
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

const BOAT: &str = "examples/sea_campion.toml";
const SAMPLES: usize = 200;
/// What is kept of a room: so many blocks, of each so many lines, of each table in JSON so many rows.
const BLOCKS: usize = 2;
const LINES: usize = 9;
const ROWS: usize = 1;
/// What is asked of rooms whose answer hangs on the day.
const REPLIES: [(&str, &[(&str, &str)]); 9] = [
    (
        "call",
        &[
            ("danger", "none"),
            ("symptom", "weak"),
            ("volts", "80 V"),
            ("lever-volts", "75 V"),
            ("lever-amps", "110 A"),
        ],
    ),
    (
        "commission",
        &[
            ("quay-volts", "76.1 V"),
            ("quay-amps", "110 A"),
            ("drop", "main cable=1500 mV"),
            ("direction", "yes"),
        ],
    ),
    ("checkup", &[("on", "2026-10-01"), ("trip", "9 nm")]),
    ("fleet", &[("on", "2026-10-01")]),
    (
        "growth",
        &[
            ("on", "2026-10-01"),
            ("cleaned", "2026-04-18"),
            ("hours", "12"),
            ("scrub", "90 EUR"),
            ("power", "0.32 EUR"),
            ("lost", "0.4 kn"),
        ],
    ),
    (
        "passage",
        &[
            ("route", include_str!("../../../../examples/renn_sound_to_port_aldis.gpx")),
            ("leg", "all: stream A\n2: sail 30 % at 4 kn"),
            ("streams", include_str!("../../../../examples/renn_sound_streams.txt")),
            ("port", "Renn Sound"),
            ("table", include_str!("../../../../examples/renn_sound_waters.txt")),
            ("zone", "UTC"),
            ("day", "2026-09-28"),
            ("leave", "08:00"),
            ("arrive", "by 12:30"),
            ("later", "3"),
        ],
    ),
    ("tide", &[("place", "Boston"), ("day", "2026-10-02")]),
    (
        "dryout",
        &[("place", "Boston"), ("day", "2026-09-28"), ("ground", "1.40 m ± 0.10 m"), ("draught", "1.50 m")],
    ),
    (
        "gethome",
        &[("miles", "9"), ("stream", "2 kn against until 00:30"), ("charge", "61 %"), ("now", "22:00")],
    ),
];
const SYSTEMS: [(&str, UnitSystem); 3] =
    [("trade", UnitSystem::Trade), ("metric", UnitSystem::Metric), ("us", UnitSystem::Us)];

fn folder(inside: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(inside)
}

fn answer(room: &dyn AnyRoom, units: UnitSystem) -> (String, Answer, Paper) {
    let boat = load(&folder("../..").join(BOAT).to_string_lossy(), &[]).unwrap();
    let paper = Paper::plain(units);
    let replies = REPLIES.iter().filter(|(key, _)| *key == room.card().key).flat_map(|(_, replies)| *replies);
    let replies = Replies::read(room.questions(), replies.copied()).unwrap();
    let answer = room.answer(&Asked { replies, ..Asked::of(&boat, SAMPLES) }, None, &paper);
    (boat.name, answer.unwrap_or_else(|why| panic!("{}: {why:?}", room.card().key)), paper)
}

fn opening(answer: &Answer, paper: &Paper) -> String {
    let mut out = finding_only(answer, paper);
    let blocks = answer.blocks.iter().map(|block| block_text(block, paper));
    for block in blocks.filter(|block| !block.is_empty()).take(BLOCKS) {
        out.extend(block.lines().take(LINES).map(|line| format!("{line}\n")));
        if block.lines().count() > LINES {
            out += "  (and so on)\n";
        }
    }
    out
}

/// The lines of `text` that `first` does not have.
fn differing(first: &str, text: &str) -> String {
    let difference = TextDiff::from_lines(first, text);
    difference
        .iter_all_changes()
        .filter(|line| line.tag() == ChangeTag::Insert)
        .map(|line| line.value())
        .collect()
}

/// Three digits, which hold on every machine.
fn rounded(json: &mut Json) {
    match json {
        Json::Number(number) if number.is_f64() => {
            let value = number.as_f64().unwrap();
            *json = json!(format!("{value:.2e}").parse::<f64>().unwrap());
        }
        Json::Array(all) => {
            all.truncate(ROWS);
            all.iter_mut().for_each(rounded);
        }
        Json::Object(fields) => fields.values_mut().for_each(rounded),
        _ => {}
    }
}

fn hold(name: &str, found: &str) -> Option<String> {
    let file = folder("tests/golden").join(name);
    if std::env::var_os("REWRITE_GOLDEN").is_some() {
        std::fs::write(&file, found).unwrap();
        return None;
    }
    let golden = std::fs::read_to_string(&file).unwrap_or_default();
    (golden != found).then(|| {
        let difference = TextDiff::from_lines(golden.as_str(), found);
        difference.unified_diff().context_radius(1).header(name, "now").to_string()
    })
}

#[test]
fn rooms_say_what_was_read() {
    let mut differences = String::new();
    for room in ROOMS {
        let key = room.card().key;
        let mut texts: Vec<String> = Vec::new();
        let mut results = Vec::new();
        for (_, units) in SYSTEMS {
            let (boat, answer, paper) = answer(room, units);
            texts.push(opening(&answer, &paper));
            let mut json = answer_json(room.card().key, &boat, &answer);
            rounded(&mut json);
            results.push(json);
        }
        for other in &results[1..] {
            assert_eq!(other["result"], results[0]["result"], "{key}: files keep their units");
        }
        let mut text = texts[0].clone();
        for ((system, _), other) in SYSTEMS.iter().zip(&texts).skip(1) {
            let _ = write!(text, "\n== {system}, where it differs\n{}", differing(&texts[0], other));
        }
        let json = serde_json::to_string_pretty(&results[0]).unwrap() + "\n";
        let found = [hold(&format!("{key}.txt"), &text), hold(&format!("{key}.json"), &json)];
        found.into_iter().flatten().for_each(|difference| differences += &difference);
    }
    assert!(
        differences.is_empty(),
        "{differences}\nRead the lines; where they are what is meant, REWRITE_GOLDEN=1 keeps them."
    );
}
