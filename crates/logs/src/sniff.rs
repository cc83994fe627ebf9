//! What kind of file this is, from its first bytes. Not for: unpacking or reading it.

use super::csv;
use super::{n2k, nmea0183};

/// Bytes that are enough to tell.
pub const SNIFF_BYTES: usize = 32 * 1024;
/// Lines that are looked at.
const LINES_SEEN: usize = 200;

/// A kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// NMEA 0183 sentences.
    Nmea0183,
    /// NMEA 2000 frames as text.
    BusDump,
    /// GPX.
    Gpx,
    /// A table of columns.
    Table,
    /// Packed with gzip: unpack, then look again.
    Gzip,
    /// A binary capture of a network or bus.
    Capture,
    /// Not text.
    Binary,
    /// JSON objects.
    Json,
    /// Nothing in it.
    Empty,
    /// Text of no kind that is known here.
    Unknown,
}

impl FileKind {
    /// In words.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Nmea0183 => "NMEA 0183 log",
            Self::BusDump => "NMEA 2000 text dump",
            Self::Gpx => "GPX file",
            Self::Table => "table",
            Self::Gzip => "gzip file",
            Self::Capture => "binary capture",
            Self::Binary => "binary file",
            Self::Json => "JSON file",
            Self::Empty => "empty file",
            Self::Unknown => "text of an unknown kind",
        }
    }

    /// For machines.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Nmea0183 => "nmea-0183",
            Self::BusDump => "nmea-2000-text",
            Self::Gpx => "gpx",
            Self::Table => "table",
            Self::Gzip => "gzip",
            Self::Capture => "capture",
            Self::Binary => "binary",
            Self::Json => "json",
            Self::Empty => "empty",
            Self::Unknown => "unknown",
        }
    }

    /// What to do with a file that is no log.
    #[must_use]
    pub fn advice(self) -> &'static str {
        match self {
            Self::Gzip => "packed twice or unpacked wrongly: unpack it by hand first",
            Self::Capture => {
                "a binary capture: write it out as text first (candump log form or comma-separated frames)"
            }
            Self::Binary => "not text: export the recorder's data as CSV, NMEA 0183, GPX or frames as text",
            Self::Json => "JSON objects are not read: export as CSV, NMEA 0183 or GPX",
            Self::Empty => "there is nothing in it",
            _ => {
                "no log of a known kind (NMEA 0183, NMEA 2000 as text, GPX, table with columns): \
                 no line is understood"
            }
        }
    }
}

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
    if CAPTURES.iter().any(|magic| head.starts_with(magic)) {
        return FileKind::Capture;
    }
    let lines: Vec<&[u8]> = head.split(|b| *b == b'\n').take(LINES_SEEN).collect();
    let told = |line: &&&[u8]| {
        let text = line.trim_ascii();
        !text.is_empty() && text[0] != b'#' && text[0] != b';'
    };
    let content: Vec<&&[u8]> = lines.iter().filter(told).collect();
    let (framed, others): (Vec<&[u8]>, Vec<&[u8]>) =
        content.iter().map(|line| **line).partition(|line| n2k::looks_like_frame(line));
    let frames = framed.len();
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
        return if trimmed.contains("<gpx") || trimmed.contains(":gpx") {
            FileKind::Gpx
        } else {
            FileKind::Unknown
        };
    }
    let bare: Vec<&str> = text.lines().filter(|l| !l.starts_with('#')).take(LINES_SEEN).collect();
    if bare.first().is_some_and(|line| line.trim_start().starts_with(['{', '['])) {
        return FileKind::Json;
    }
    if csv::propose(head).is_ok_and(|p| p.mapping.time.is_some() || !p.mapping.columns.is_empty()) {
        return FileKind::Table;
    }
    // A few good lines in a heap of others: read, so that the others are counted.
    if sentences > 0 {
        return FileKind::Nmea0183;
    }
    if frames > 0 { FileKind::BusDump } else { FileKind::Unknown }
}

/// More than a few bytes that stand in no text.
fn is_binary(head: &[u8]) -> bool {
    let odd = head.iter().filter(|b| **b < 0x20 && !matches!(**b, b'\t' | b'\n' | b'\r' | 0x0c)).count();
    50 * odd > head.len() || head.contains(&0)
}
