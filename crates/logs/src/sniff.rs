//! What kind of file this is, from its first bytes. Not for: unpacking or reading it.

use super::file_kind::FileKind;
use super::igc::looks_like_fix;
use super::{boat_data, bus_json, json_shape, n2k, nmea0183, table};

/// Bytes that are enough to tell.
pub const SNIFF_BYTES: usize = 32 * 1024;
/// Lines that are looked at.
const LINES_SEEN: usize = 200;

/// Tells the kind from the first bytes (up to [`SNIFF_BYTES`]).
#[must_use]
pub fn sniff(head: &[u8]) -> FileKind {
    const CAPTURES: [[u8; 4]; 5] = [
        [0xd4, 0xc3, 0xb2, 0xa1],
        [0xa1, 0xb2, 0xc3, 0xd4],
        [0x4d, 0x3c, 0xb2, 0xa1],
        [0xa1, 0xb2, 0x3c, 0x4d],
        [0x0a, 0x0d, 0x0d, 0x0a],
    ];
    if head.iter().all(u8::is_ascii_whitespace) {
        return FileKind::Empty;
    }
    if head.starts_with(&[0x1f, 0x8b]) {
        return FileKind::Gzip;
    }
    if head.starts_with(&[0x28, 0xb5, 0x2f, 0xfd]) {
        return FileKind::Zstd;
    }
    if head.starts_with(b"PK\x03\x04") {
        return if is_sheet(head) { FileKind::Sheet } else { FileKind::Zip };
    }
    if head.starts_with(&[0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]) {
        return FileKind::Sheet;
    }
    if head.starts_with(b"SQLite format 3\0") {
        return FileKind::Database;
    }
    if head.starts_with(b"PAR1") {
        return FileKind::Parquet;
    }
    if CAPTURES.iter().any(|magic| head.starts_with(magic)) {
        return FileKind::Capture;
    }
    let lines: Vec<&[u8]> = head.split(|b| *b == b'\n').take(LINES_SEEN).collect();
    // Adapters end their lines with CR alone.
    let lines: Vec<&[u8]> = lines
        .iter()
        .flat_map(|line| line.split(|b| *b == b'\r'))
        .filter(|line| !line.trim_ascii().is_empty())
        .collect();
    // Remarks may say how the frames below them are written.
    let is_frame = n2k::are_frames(&lines);
    let content: Vec<(&[u8], bool)> = lines
        .iter()
        .copied()
        .zip(is_frame)
        .filter(|(line, _)| !matches!(line.trim_ascii()[0], b'#' | b';'))
        .collect();
    let others: Vec<&[u8]> =
        content.iter().filter(|(_, is_frame)| !is_frame).map(|(line, _)| *line).collect();
    let frames = content.len() - others.len();
    let sentences = others.iter().filter(|line| nmea0183::looks_like_sentence(line)).count();
    // A quarter of the lines that are understood is enough: logs begin and end badly.
    if frames > 0 && 4 * frames >= content.len() && frames >= sentences {
        return FileKind::BusDump;
    }
    if sentences > 0 && 4 * sentences >= content.len() {
        return FileKind::Nmea0183;
    }
    if is_binary(head) {
        return FileKind::Binary;
    }
    let text = String::from_utf8_lossy(head);
    let trimmed = text.trim_start_matches('\u{feff}').trim_start();
    if trimmed.starts_with('<') {
        let has = |name: &str| trimmed.contains(&format!("<{name}")) || trimmed.contains(&format!(":{name}"));
        return if has("gpx") {
            FileKind::Gpx
        } else if has("kml") {
            FileKind::Kml
        } else {
            FileKind::Unknown
        };
    }
    let fixes = content.iter().filter(|(line, _)| looks_like_fix(line)).count();
    if fixes > 0 && 3 * fixes >= content.len().saturating_sub(40) {
        return FileKind::Igc;
    }
    let bare: Vec<&str> =
        text.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()).take(LINES_SEEN).collect();
    // `[2026-05-02 14:00:00] started`: a stamp in brackets, and words behind it.
    let is_stamped = |line: &&&str| {
        line.starts_with('[')
            && line.split_once("] ").is_some_and(|(_, rest)| rest.starts_with(char::is_alphabetic))
    };
    if bare
        .first()
        .filter(|line| !is_stamped(line))
        .is_some_and(|line| line.trim_start().starts_with(['{', '[']))
    {
        if bus_json::looks_like(&text) {
            return FileKind::BusObjects;
        }
        if boat_data::looks_like(&text) {
            return FileKind::BoatData;
        }
        if text.contains("\"coordinates\"") && text.contains("\"type\"") {
            return FileKind::GeoJson;
        }
        if json_shape::looks_like(head) {
            return FileKind::JsonColumns;
        }
        let is_table =
            table::propose(head).is_ok_and(|p| p.mapping.time.is_some() || !p.mapping.columns.is_empty());
        return if is_table { FileKind::Table } else { FileKind::Json };
    }
    if table::propose(head).is_ok_and(|p| p.mapping.time.is_some() || !p.mapping.columns.is_empty()) {
        return FileKind::Table;
    }
    // A few good lines in a heap of others: read, so that the others are counted.
    if sentences > 0 {
        return FileKind::Nmea0183;
    }
    if frames > 0 { FileKind::BusDump } else { FileKind::Unknown }
}

/// The first file of the archive tells a spreadsheet.
fn is_sheet(head: &[u8]) -> bool {
    let has = |mark: &[u8]| head[..head.len().min(4096)].windows(mark.len()).any(|part| part == mark);
    has(b"[Content_Types].xml")
        || has(b"xl/worksheets")
        || has(b"xl/workbook")
        || has(b"application/vnd.oasis.opendocument.spreadsheet")
}

/// More than a few bytes that stand in no text.
fn is_binary(head: &[u8]) -> bool {
    let odd = head.iter().filter(|b| **b < 0x20 && !matches!(**b, b'\t' | b'\n' | b'\r' | 0x0c)).count();
    50 * odd > head.len() || head.contains(&0)
}
