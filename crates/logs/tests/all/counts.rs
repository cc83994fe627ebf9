//! Every recorded log against counts made by separate code (`reference/logs/EXPECTED.json`). Where
//! the program counts otherwise, the difference stands here with its reason.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::PathBuf;

use serde_json::Value;
use wakewright_logs::{BadKind, Channel, FileKind, Log, Measured, SNIFF_BYTES, Source, read_log, sniff};
use wakewright_testkit::{assert_near, reference_dir};

const KNOT_M_S: f64 = 1852.0 / 3600.0;

fn folder() -> PathBuf {
    reference_dir().join("logs")
}

fn expected() -> BTreeMap<String, Value> {
    serde_json::from_str(&std::fs::read_to_string(folder().join("EXPECTED.json")).unwrap()).unwrap()
}

fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(folder().join(name)).unwrap()
}

fn kind(name: &str) -> FileKind {
    let bytes = bytes(name);
    sniff(&bytes[..bytes.len().min(SNIFF_BYTES)])
}

fn log(name: &str) -> Log {
    read_log(Cursor::new(bytes(name)), kind(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn number(value: &Value) -> u64 {
    value.as_u64().unwrap()
}

/// The expected counts take only lines that begin with `$` or `!`; the program also finds a sentence
/// behind a tag block. So many more are good, and so many more lack a checksum.
const SENTENCES_BEHIND_TAG_BLOCKS: [(&str, u64, u64); 3] = [
    ("messy/sentences_parser_tests_a.txt", 13, 0),
    ("messy/sentences_parser_tests_b.txt", 2, 0),
    ("messy/sentences_parser_tests_c.txt", 1, 13),
];

/// The expected counts take the last line of a cut file by its name; the program takes no sentence
/// without a checksum.
const CUT_LAST_LINES: [(&str, &str); 2] =
    [("nmea0183/ais_only.log", "VDM"), ("nmea0183/gps_only_slow.log", "GG")];

/// Lines that the expected counts take for a frame and the program does not: file, group, lines, and
/// what the program counts them as. Cut last lines; a line that two lines ran into; a frame of nine
/// bytes.
const LINES_NOT_TAKEN: [(&str, &str, u64, BadKind); 4] = [
    ("nmea2000/candump_angle_brackets.txt", "129540", 1, BadKind::ShortFrame),
    ("nmea2000/n2k_under_way_csv.data", "129540", 1, BadKind::ShortFrame),
    ("nmea2000/n2k_base64_gateway.log", "127250", 2, BadKind::NotUnderstood),
    ("nmea2000/n2k_gateway_text_2.txt", "127488", 1, BadKind::NotUnderstood),
];

/// Collects differences instead of stopping at the first.
#[derive(Default)]
struct Differences(Vec<String>);

impl Differences {
    fn hold(&mut self, what: String, found: u64, expected: u64) {
        if found != expected {
            self.0.push(format!("{what}: found {found}, expected {expected}"));
        }
    }
}

#[test]
fn sentences_are_counted_as_expected() {
    let mut differences = Differences::default();
    for (name, entry) in expected().iter().filter(|(_, entry)| entry["checksum_ok"].is_u64()) {
        if kind(name) != FileKind::Nmea0183 {
            continue;
        }
        let log = log(name);
        let (more_good, more_without) = SENTENCES_BEHIND_TAG_BLOCKS
            .iter()
            .find(|(file, ..)| name == file)
            .map_or((0, 0), |(_, good, without)| (*good, *without));
        let good: u64 = log.messages.values().sum();
        differences.hold(format!("{name} good"), good, number(&entry["checksum_ok"]) + more_good);
        let bad = |kind| log.bad_count(kind);
        differences.hold(
            format!("{name} wrong checksum"),
            bad(BadKind::WrongChecksum),
            number(&entry["checksum_bad"]),
        );
        differences.hold(
            format!("{name} no checksum"),
            bad(BadKind::NoChecksum),
            number(&entry["no_checksum"]) + more_without,
        );
        differences.hold(
            format!("{name} no sentence"),
            bad(BadKind::NotUnderstood),
            number(&entry["not_a_sentence"]) - more_good - more_without,
        );
        differences.hold(format!("{name} remarks"), log.remarks, number(&entry["comment_lines"]));
        if name.starts_with("nmea0183") {
            for (formatter, count) in entry["types"].as_object().unwrap() {
                let cut = CUT_LAST_LINES.contains(&(name.as_str(), formatter.as_str()));
                let expected = number(count) - u64::from(cut);
                differences.hold(format!("{name} {formatter}"), log.message_count(formatter), expected);
            }
        }
    }
    assert!(differences.0.is_empty(), "{:#?}", differences.0);
}

#[test]
fn frames_are_counted_as_expected() {
    let mut differences = Differences::default();
    for (name, entry) in expected().iter().filter(|(_, entry)| entry["frames_or_messages"].is_u64()) {
        assert_eq!(kind(name), FileKind::BusDump, "{name}");
        let log = log(name);
        let lost: Vec<&(&str, &str, u64, BadKind)> =
            LINES_NOT_TAKEN.iter().filter(|(file, ..)| name == file).collect();
        let lost_frames: u64 = lost.iter().map(|(_, _, count, _)| count).sum();
        let frames: u64 = log.messages.values().sum();
        let expected_frames = number(&entry["frames_or_messages"]);
        differences.hold(format!("{name} frames"), frames, expected_frames - lost_frames);
        for (pgn, count) in entry["pgns"].as_object().unwrap() {
            let lost: u64 = lost.iter().filter(|(_, of, ..)| pgn == of).map(|(_, _, count, _)| count).sum();
            differences.hold(format!("{name} {pgn}"), log.message_count(pgn), number(count) - lost);
        }
        // The expected counts take a blank line for another line; the program passes over it.
        let bytes = bytes(name);
        let blank = bytes.split(|b| *b == b'\n').rev().skip(1).filter(|l| l.trim_ascii().is_empty());
        let others = log.remarks + log.bad_count(BadKind::NotUnderstood) + blank.count() as u64;
        let not_understood: u64 = lost
            .iter()
            .filter(|(.., kind)| *kind == BadKind::NotUnderstood)
            .map(|(_, _, count, _)| count)
            .sum();
        differences.hold(format!("{name} others"), others, number(&entry["other_lines"]) + not_understood);
    }
    assert!(differences.0.is_empty(), "{:#?}", differences.0);
}

/// Values of all channels of `measured` from sentences with this formatter.
fn values(log: &Log, measured: Measured, formatter: &[u8; 3]) -> Vec<f64> {
    let is_from = |channel: &&Channel| matches!(channel.source, Source::Sentence { formatter: f, .. } if f == *formatter);
    log.of(measured).filter(is_from).flat_map(|channel| channel.values.iter().copied()).collect()
}

#[test]
fn values_are_as_expected() {
    for (name, entry) in &expected() {
        if kind(name) != FileKind::Nmea0183 {
            continue;
        }
        let log = log(name);
        let fields = [
            ("stw_kn_VHW", Measured::SpeedThroughWater, b"VHW", KNOT_M_S),
            ("sog_kn_RMC_valid", Measured::SpeedOverGround, b"RMC", KNOT_M_S),
            ("depth_m_DBT", Measured::DepthBelowTransducer, b"DBT", 1.0),
        ];
        for (key, measured, formatter, unit) in fields {
            let Some(expected) = entry[key].as_object() else { continue };
            if (name.as_str(), key) == ("messy/sentences_parser_tests_a.txt", "depth_m_DBT") {
                // One as expected, two behind tag blocks, and one in feet only.
                let mut found = values(&log, measured, formatter);
                found.sort_by(f64::total_cmp);
                assert_eq!(found, [10.83, 10.83, 10.83, 432.8 * 0.3048]);
                continue;
            }
            let mut found = values(&log, measured, formatter);
            found.sort_by(f64::total_cmp);
            assert_eq!(found.len() as u64, number(&expected["n"]), "{name} {key}");
            let median = 0.5 * (found[(found.len() - 1) / 2] + found[found.len() / 2]);
            for (which, found) in [("min", found[0]), ("median", median), ("max", found[found.len() - 1])] {
                let what = format!("{name} {key} {which}");
                // Written with three decimals.
                assert_near(&what, found / unit, expected[which].as_f64().unwrap(), 0.000_501);
            }
        }
    }
}
