//! Any bytes must be read without a panic and with bounded memory: random bytes, and recorded logs
//! with bytes changed, cut out and doubled. 2,000 inputs for each of eight readers (16,000 in all);
//! `scripts/fuzz-logs` makes it 20,000 each. Inputs that once failed stay in `tests/corpus/`.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::Cursor;
use std::path::{Path, PathBuf};

use proptest::prelude::*;
use wakewright_logs::NotebookCell;
use wakewright_logs::trial::{Condition, Correction, MarkPart, TrialAddress, TrialDocument, read_trial};
use wakewright_logs::{
    FileKind, JoinOptions, Log, RunBounds, find_steady_runs, join, read_log, sniff, table,
};
use wakewright_testkit::reference_dir;

/// Inputs for each reader, unless `WAKEWRIGHT_FUZZ_INPUTS` says another number.
const INPUTS: u32 = 2000;

fn inputs() -> u32 {
    std::env::var("WAKEWRIGHT_FUZZ_INPUTS").ok().and_then(|text| text.parse().ok()).unwrap_or(INPUTS)
}

fn seed(name: &str) -> Vec<u8> {
    let bytes = std::fs::read(reference_dir().join("logs").join(name)).unwrap();
    bytes[..bytes.len().min(3000)].to_vec()
}

/// What every log must keep, whatever it was made from.
pub(crate) fn hold(log: &Log) {
    for channel in &log.channels {
        assert_eq!(channel.times_s.len(), channel.values.len());
        let (low, high) = channel.measured.possible();
        assert!(channel.values.iter().all(|v| (low..=high).contains(v)), "{channel:?}");
        assert!(channel.times_s.iter().all(|t| t.is_finite()));
    }
    for notice in &log.notices {
        assert!(!notice.text(&|value, _| value.to_string()).is_empty());
    }
    if let Ok(outings) = join(&[(log, 0.0)], &JoinOptions::default()) {
        for outing in outings {
            let _ = find_steady_runs(&outing, &RunBounds::default());
        }
    }
}

fn read_as(bytes: &[u8], kind: FileKind) {
    let _ = sniff(bytes);
    if let Ok(log) = read_log(Cursor::new(bytes), kind) {
        hold(&log);
    }
}

/// A recorded log with a few bytes changed, a piece cut out and a piece doubled.
fn spoilt(seeds: &[&str]) -> impl Strategy<Value = Vec<u8>> {
    let seeds: Vec<Vec<u8>> = seeds.iter().map(|name| seed(name)).collect();
    let changes = proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..12);
    (
        proptest::sample::select(seeds),
        changes,
        any::<prop::sample::Index>(),
        0_usize..200,
        any::<prop::sample::Index>(),
        0_usize..200,
    )
        .prop_map(|(mut bytes, changes, cut, cut_length, doubled, length)| {
            for (at, byte) in changes {
                let at = at.index(bytes.len());
                bytes[at] = byte;
            }
            let cut = cut.index(bytes.len());
            let end = (cut + cut_length).min(bytes.len());
            bytes.drain(cut..end);
            if !bytes.is_empty() {
                let from = doubled.index(bytes.len());
                let piece = bytes[from..(from + length).min(bytes.len())].to_vec();
                bytes.splice(from..from, piece);
            }
            bytes
        })
}

fn noise() -> impl Strategy<Value = Vec<u8>> {
    proptest::collection::vec(any::<u8>(), 0..600)
}

const SENTENCES: [&str; 3] = [
    "nmea0183/plotter_instruments.log",
    "messy/sentences_parser_tests_a.txt",
    "messy/sentences_parser_tests_c.txt",
];
const FRAMES: [&str; 5] = [
    "nmea2000/candump-fast.txt",
    "nmea2000/candump_compact.txt",
    "nmea2000/n2k_under_way_csv.data",
    "nmea2000/n2k_gateway_text.raw",
    "nmea2000/n2k_base64_gateway.log",
];
const TRACKS: [&str; 2] = ["gpx/derived_boat_track_150s.gpx", "gpx/gpx1.1_with_extensions.gpx"];

/// Characters that tables are made of.
fn tabular() -> impl Strategy<Value = Vec<u8>> {
    let cell = prop_oneof![
        "[0-9]{1,4}[.,]?[0-9]{0,2}",
        "(time|volts|amps|rpm|speed \\[kn\\]|stw|date|\"|-|)",
        "[0-9]{1,2}[./-][0-9]{1,2}[./-](20)?[0-9]{2}( [0-9]{1,2}:[0-9]{2})?",
    ];
    let row = proptest::collection::vec(cell, 1..6);
    (proptest::collection::vec(row, 1..12), proptest::sample::select(vec![",", ";", "\t", "|"])).prop_map(
        |(rows, separator)| {
            rows.iter().map(|row| row.join(separator)).collect::<Vec<_>>().join("\n").into_bytes()
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: inputs(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn sentences(bytes in prop_oneof![noise(), spoilt(&SENTENCES)]) {
        read_as(&bytes, FileKind::Nmea0183);
    }

    #[test]
    fn frames(bytes in prop_oneof![noise(), spoilt(&FRAMES)]) {
        read_as(&bytes, FileKind::BusDump);
    }

    #[test]
    fn tracks(bytes in prop_oneof![noise(), spoilt(&TRACKS)]) {
        read_as(&bytes, FileKind::Gpx);
    }

    #[test]
    fn tables(bytes in prop_oneof![noise(), tabular()]) {
        read_as(&bytes, FileKind::Table);
    }

    #[test]
    fn mappings(text in "\\PC{0,80}") {
        if let Ok(mapping) = table::Mapping::from_json(&text) {
            let _ = table::read(text.as_bytes(), &mapping);
        }
    }

    #[test]
    fn mappings_with_bytes_changed(
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..4),
        bytes in tabular(),
    ) {
        let proposal = table::propose(b"time,volts,speed kn\n2026-05-02 14:05:00,51.2,4.1\n2026-05-02 14:05:01,51.3,4.2\n");
        let mut text = proposal.unwrap().mapping.to_json().into_bytes();
        for (at, byte) in changes {
            let at = at.index(text.len());
            text[at] = byte;
        }
        if let Ok(mapping) = table::Mapping::from_json(&String::from_utf8_lossy(&text))
            && let Ok(log) = table::read(bytes.as_slice(), &mapping)
        {
            hold(&log);
        }
    }

    #[test]
    fn trials_as_typed(fields in proptest::collection::vec((any::<prop::sample::Index>(), typed()), 0..24)) {
        let log = seed("nmea0183/plotter_instruments.log");
        let log = read_log(Cursor::new(&log), FileKind::Nmea0183).unwrap();
        let mut document = TrialDocument::default();
        document.logs.push(serde_json::from_str(r#"{"digest":"d","name":"a.log"}"#).unwrap());
        let addresses = addresses();
        for (place, text) in fields {
            let address = place.get(&addresses);
            let before = document.typed(address);
            // A switch alone refuses a text, and then stands as it stood.
            let is_switch = matches!(
                address,
                TrialAddress::MeterTurned
                    | TrialAddress::MeterAsWritten
                    | TrialAddress::MeterBeside
                    | TrialAddress::MeterSeries
                    | TrialAddress::ThrottleHeld
                    | TrialAddress::Correct(_)
                    | TrialAddress::LeftOut(..)
                    | TrialAddress::MarkPart(_, MarkPart::Full | MarkPart::Dropped)
            );
            if !document.set_typed(address, &text) {
                prop_assert!(is_switch, "{:?} {}", address, text);
                prop_assert_eq!(document.typed(address), before);
            }
        }
        let again = TrialDocument::from_json(&document.to_json()).unwrap();
        prop_assert_eq!(&again, &document);
        let reading = read_trial(&document, &[Some(&log)]);
        for run in &reading.runs {
            prop_assert!(run.run.time_s.is_finite() && run.run.power_w.is_none_or(f64::is_finite));
        }
    }

    #[test]
    fn any_kind_that_is_told(bytes in prop_oneof![noise(), spoilt(&SENTENCES), spoilt(&FRAMES), tabular()]) {
        let kind = sniff(&bytes);
        read_as(&bytes, kind);
    }
}

/// The beginning of each form of `tests/forms`, `tests/odd` and `tests/hard`, or what of it cannot be cut.
fn forms() -> Vec<Vec<u8>> {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let mut files: Vec<PathBuf> = ["forms", "odd", "hard", "varied"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(tests.join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_none_or(|end| end != "expected"))
        .collect();
    files.sort();
    files
        .iter()
        .map(|path| {
            let bytes = std::fs::read(path).unwrap();
            let is_text = std::str::from_utf8(&bytes).is_ok();
            let most = if is_text { 2000 } else { 8192 };
            bytes[..bytes.len().min(most)].to_vec()
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2 * inputs(), failure_persistence: None, ..ProptestConfig::default() })]

    /// Every form that is read, spoilt: told apart, unpacked, read, asked about, and read again by each answer.
    #[test]
    fn forms_spoilt(bytes in proptest::sample::select(forms()).prop_flat_map(|bytes| {
        let spoils = proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..12);
        (Just(bytes), spoils, any::<prop::sample::Index>(), 0_usize..200)
    }).prop_map(|(mut bytes, changes, cut, length)| {
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        let cut = cut.index(bytes.len());
        let end = (cut + length).min(bytes.len());
        bytes.drain(cut..end);
        bytes
    })) {
        let reading = wakewright_logs::read(bytes.as_slice(), &[]);
        if let Ok(log) = &reading.log {
            hold(log);
        }
        prop_assert!(reading.questions.len() <= 3);
        if let Some(choice) = reading.questions.into_iter().next().and_then(|q| q.choices.into_iter().next_back()) {
            let _ = wakewright_logs::read(bytes.as_slice(), &[choice.mapping]);
        }
    }
}

/// What a cold thumb types, and what it does not mean to.
fn typed() -> impl Strategy<Value = String> {
    prop_oneof![
        "[0-9]{1,5}[.,]?[0-9]{0,2}( ?(kn|V|A|W|kW|rpm|t|kg|m|s|min|h|months|%|°C|°|mph))?",
        "(out|back|NW|full|yes|no|clean|light slime|2026-05-02|[0-9]{1,2}:[0-9]{2}(:[0-9]{2})?|1e309|-1e9 h|NaN|inf)",
        "[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2}:[0-9]{2}",
        "\\PC{0,40}",
    ]
}

fn addresses() -> Vec<TrialAddress> {
    let fixed = [
        TrialAddress::Date,
        TrialAddress::Title,
        TrialAddress::Note,
        TrialAddress::LeastRun,
        TrialAddress::MeterZero,
        TrialAddress::MeterHouse,
        TrialAddress::MeterTurned,
        TrialAddress::MeterAsWritten,
        TrialAddress::MeterBeside,
        TrialAddress::MeterSeries,
        TrialAddress::ThrottleHeld,
        TrialAddress::Shift(0),
        TrialAddress::LeftOut(0, "current/column 3".to_owned()),
    ];
    let marks = (0..3).flat_map(|mark| MarkPart::ALL.map(|part| TrialAddress::MarkPart(mark, part)));
    let cells = (0..3).flat_map(|row| NotebookCell::ALL.map(|cell| TrialAddress::Cell(row, cell)));
    let conditions = Condition::ALL.map(TrialAddress::Condition);
    let corrections = Correction::ALL.map(TrialAddress::Correct);
    fixed.into_iter().chain(marks).chain(cells).chain(conditions).chain(corrections).collect()
}

/// Each field is found by its name.
#[test]
fn addresses_and_names_are_one() {
    for address in addresses() {
        assert_eq!(TrialAddress::of_name(&address.name()), Some(address));
    }
}

fn corpus() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/corpus")
}

/// Inputs that failed once, and some that are near a limit.
#[test]
fn corpus_is_read() {
    let mut count = 0;
    for entry in std::fs::read_dir(corpus()).unwrap() {
        let bytes = std::fs::read(entry.unwrap().path()).unwrap();
        for kind in [FileKind::Nmea0183, FileKind::BusDump, FileKind::Gpx, FileKind::Table] {
            read_as(&bytes, kind);
        }
        count += 1;
    }
    assert!(count >= 6, "{count}");
}

/// One open quote or one endless line does not fill the memory.
#[test]
fn endless_lines_are_cut() {
    let mut bytes = b"time,volts\n1,\"".to_vec();
    bytes.resize(40 << 20, b'x');
    for kind in [FileKind::Nmea0183, FileKind::BusDump, FileKind::Gpx, FileKind::Table] {
        read_as(&bytes, kind);
    }
}
