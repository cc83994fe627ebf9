//! NMEA 0183: sentences from lines, checksum verified, values to channels, the clock kept.
//!
//! Any talker. Sentences that a trial does not need (AIS, satellites, routes, makers' own) are
//! counted and skipped. The table of fields is `sentences`: the well-kept parsers of the registry
//! lack half of what is needed here (RPM, XDR, HDG, MWD and numeric talkers) or give it without
//! line numbers.
//! Not for: frames of the bus (`n2k`), even where a converter wraps them in a sentence.

mod clock;
mod sentences;

use std::io::BufRead;

use super::LogError;
use super::bad::BadKind;
use super::clock::{DAY_S, DateOrder, Day, parse_stamp};
use super::line::Lines;
use super::log::{Builder, Log, TimeBase};
use super::notice::LogNotice;
use clock::SentenceClock;
use sentences::{Fields, read_sentence};

/// Bytes in which a log without any checksum shows as one.
const CHECKSUM_LINES: usize = 200;

/// Reads a whole log, a line at a time. Sentences without a checksum are read when no sentence has one.
/// # Errors
/// [`LogError::Io`] when the reader fails; nothing in the log itself is an error.
pub fn read(mut reader: impl BufRead) -> Result<Log, LogError> {
    let mut sums = if lacks_checksums(reader.fill_buf()?) { Sums::None } else { Sums::Needed };
    let mut lines = Lines::new(reader);
    let mut builder = Builder::new();
    let mut clock = SentenceClock::default();
    loop {
        let number = lines.number + 1;
        let Some(line) = lines.next()? else { break };
        builder.line = number;
        if let Some(bytes) = builder.whole(line) {
            read_line(bytes, &mut sums, &mut builder, &mut clock);
        }
    }
    if sums == Sums::None {
        builder.notices.push(LogNotice::NoChecksums);
    }
    Ok(builder.finish(lines.number))
}

/// Whether sentences must carry their checksum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sums {
    Needed,
    /// No sentence has carried one so far.
    None,
}

fn lacks_checksums(head: &[u8]) -> bool {
    let mut sentences = 0;
    for line in head.split(|b| *b == b'\n').take(CHECKSUM_LINES) {
        match sentence(line.trim_ascii()) {
            Ok(_) | Err(BadKind::WrongChecksum) => return false,
            Err(BadKind::NoChecksum) => {
                let is_plain = bare_sentence(line.trim_ascii()).is_ok_and(|body| {
                    let (address, _) = split_address(body);
                    address.len() == 5 && address.iter().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
                });
                sentences += usize::from(is_plain);
            }
            Err(_) => {}
        }
    }
    sentences >= 3
}

fn read_line(line: &[u8], sums: &mut Sums, builder: &mut Builder, clock: &mut SentenceClock) {
    let text = line.trim_ascii();
    match text.first() {
        None => return,
        Some(b'#') => {
            builder.remarks += 1;
            return;
        }
        _ => {}
    }
    let first = sentence(text);
    let start = text.iter().position(|b| matches!(b, b'$' | b'!')).unwrap_or(0);
    const MARKS: usize = "$*00".len();
    if first.is_ok_and(|body| start + body.len() + MARKS == text.len()) {
        return take_up(text, first, sums, builder, clock);
    }
    // What was lost with the end of a line glues two sentences into one line.
    let mut text = text;
    while let Some(next) = next_sentence(text) {
        take_up(&text[..next], sentence(&text[..next]), sums, builder, clock);
        text = &text[next..];
    }
    take_up(text, sentence(text), sums, builder, clock);
}

/// Where a second sentence begins in a line: at a mark behind the first, before five letters and a comma.
fn next_sentence(line: &[u8]) -> Option<usize> {
    let first = line.iter().position(|b| matches!(b, b'$' | b'!'))?;
    let is_begin = |at: usize| {
        let rest = &line[at + 1..];
        rest.len() > 6
            && rest[5] == b','
            && rest[..5].iter().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
    };
    let is_mark = |at: &usize| matches!(line[*at], b'$' | b'!') && is_begin(*at);
    (first + 1..line.len()).find(is_mark)?;
    // A mark may stand within a sentence that is whole.
    let star = line.iter().skip(first).position(|b| *b == b'*').map_or(line.len(), |star| first + star);
    let from = if sentence(line).is_ok() { star } else { first + 1 };
    (from..line.len()).find(is_mark)
}

fn take_up(
    text: &[u8],
    found: Result<&[u8], BadKind>,
    sums: &mut Sums,
    builder: &mut Builder,
    clock: &mut SentenceClock,
) {
    let body = match found {
        Err(BadKind::NoChecksum) if *sums == Sums::None => bare_sentence(text),
        Ok(body) => {
            *sums = Sums::Needed;
            Ok(body)
        }
        other => other,
    };
    match body {
        Ok(body) => {
            if let Some(before) = clock.lacks_teller().then(|| time_before(text)).flatten() {
                builder.set_time(before.base, before.time_s);
                if before.is_utc {
                    clock.hint(before.time_s);
                }
            }
            let (address, rest) = split_address(body);
            builder.message(message_name(address));
            // AIS and makers' own sentences carry nothing for a trial.
            if address.len() == 5 && address[0] != b'P' {
                read_sentence(address, &Fields::split(rest), builder, clock);
            }
        }
        Err(kind) => builder.bad(kind),
    }
}

/// What stands behind `$` or `!` where no checksum does.
fn bare_sentence(line: &[u8]) -> Result<&[u8], BadKind> {
    let start = line.iter().position(|b| matches!(b, b'$' | b'!')).ok_or(BadKind::NotUnderstood)?;
    let inside = &line[start + 1..];
    let end = inside.iter().position(|b| *b == b'*').unwrap_or(inside.len());
    if inside[..end].contains(&b',') { Ok(&inside[..end]) } else { Err(BadKind::NoChecksum) }
}

/// A time that stands before a sentence.
struct Before {
    base: TimeBase,
    time_s: f64,
    /// It counts from 1970 or carries its zone.
    is_utc: bool,
}

/// The time that a logger wrote before a sentence, or the one in its tag block.
fn time_before(line: &[u8]) -> Option<Before> {
    let start = line.iter().position(|b| matches!(b, b'$' | b'!'))?;
    let text = std::str::from_utf8(&line[..start]).ok()?.trim();
    if text.is_empty() {
        return None;
    }
    let since_1970 = |text: &str| {
        let number: f64 = text.parse().ok()?;
        let time_s = match number {
            n if (3e8..1e10).contains(&n) => n,
            n if (3e11..1e13).contains(&n) => n / 1e3,
            _ => return None,
        };
        Some(Before { base: TimeBase::Utc, time_s, is_utc: true })
    };
    if let Some(block) = text.strip_prefix('\\') {
        let fields = block.split(['*', '\\']).next()?.split(',');
        return fields.filter_map(|field| field.strip_prefix("c:")).find_map(since_1970);
    }
    let bare = text.trim_matches(['[', ']', '(', ')', '<', '>', ',', ';', ' ', '\t', '"']);
    if let Some(found) = since_1970(bare) {
        return Some(found);
    }
    let stamp = parse_stamp(bare, DateOrder::Year).filter(|stamp| stamp.has_clock)?;
    match stamp.day {
        Day::Of(days) => Some(Before {
            base: TimeBase::Utc,
            time_s: days as f64 * DAY_S + stamp.second_s - stamp.zone_s.unwrap_or(0.0),
            is_utc: stamp.zone_s.is_some(),
        }),
        Day::Unsaid => Some(Before { base: TimeBase::TimeOfDay, time_s: stamp.second_s, is_utc: false }),
        Day::OfYear(_) => None,
    }
}

/// The name under which a sentence is counted: its formatter, or a maker's whole address.
fn message_name(address: &[u8]) -> &[u8] {
    if address.len() == 5 && address[0] != b'P' { &address[2..] } else { address }
}

fn split_address(body: &[u8]) -> (&[u8], &[u8]) {
    match body.iter().position(|b| *b == b',') {
        Some(comma) => (&body[..comma], &body[comma + 1..]),
        None => (body, b""),
    }
}

/// What stands between `$` or `!` and `*`, the checksum verified. What comes before (a time or a
/// tag block) does not count.
fn sentence(line: &[u8]) -> Result<&[u8], BadKind> {
    let start = line.iter().position(|b| matches!(b, b'$' | b'!')).ok_or(BadKind::NotUnderstood)?;
    let inside = &line[start + 1..];
    let looks_alike = inside.len() >= 3 && inside[..3].iter().all(u8::is_ascii_alphanumeric);
    if !looks_alike {
        return Err(BadKind::NotUnderstood);
    }
    let mut sum = 0_u8;
    for (i, byte) in inside.iter().enumerate() {
        if *byte == b'*' {
            let (Some(high), Some(low)) = (hex(inside.get(i + 1)), hex(inside.get(i + 2))) else {
                return Err(BadKind::NoChecksum);
            };
            return if high << 4 | low == sum { Ok(&inside[..i]) } else { Err(BadKind::WrongChecksum) };
        }
        sum ^= byte;
    }
    Err(BadKind::NoChecksum)
}

fn hex(byte: Option<&u8>) -> Option<u8> {
    byte.and_then(|b| (*b as char).to_digit(16)).map(|digit| digit as u8)
}

/// True when `line` is a sentence with or without a right checksum: for telling kinds of file apart.
pub(super) fn looks_like_sentence(line: &[u8]) -> bool {
    let text = line.trim_ascii();
    // What stands before may be a time, and nothing else.
    let before = text.iter().position(|b| matches!(b, b'$' | b'!' | b'\\')).unwrap_or(0);
    let is_first = matches!(text.get(before), Some(b'$' | b'!' | b'\\'))
        && before <= 40
        && text[..before].iter().all(|b| b.is_ascii_digit() || b" TZ:;,.+-_/[]()<>\t\"".contains(b));
    match sentence(text) {
        Ok(_) => true,
        Err(BadKind::NotUnderstood) => false,
        Err(_) => is_first && text.contains(&b',') && text.is_ascii(),
    }
}
