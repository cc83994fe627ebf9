//! Any bytes must be read without a panic and with bounded memory: random bytes, and recorded logs
//! with bytes changed, cut out and doubled. 2,000 inputs for each of six readers (12,000 in all);
//! inputs that once failed stay in `tests/corpus/`.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::Cursor;
use std::path::{Path, PathBuf};

use proptest::prelude::*;
use wakewright_records::logs::{
    FileKind, JoinOptions, Log, RunBounds, csv, find_steady_runs, join, read_log, sniff,
};
use wakewright_testkit::reference_dir;

const INPUTS: u32 = 2000;

fn seed(name: &str) -> Vec<u8> {
    let bytes = std::fs::read(reference_dir().join("logs").join(name)).unwrap();
    bytes[..bytes.len().min(3000)].to_vec()
}

/// What every log must keep, whatever it was made from.
fn hold(log: &Log) {
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
    #![proptest_config(ProptestConfig { cases: INPUTS, failure_persistence: None, ..ProptestConfig::default() })]

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
        if let Ok(mapping) = csv::Mapping::from_json(&text) {
            let _ = csv::read(text.as_bytes(), &mapping);
        }
    }

    #[test]
    fn any_kind_that_is_told(bytes in prop_oneof![noise(), spoilt(&SENTENCES), spoilt(&FRAMES), tabular()]) {
        let kind = sniff(&bytes);
        read_as(&bytes, kind);
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
