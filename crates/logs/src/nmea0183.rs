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
use super::line::Lines;
use super::log::{Builder, Log};
use clock::SentenceClock;
use sentences::{Fields, read_sentence};

/// Reads a whole log, a line at a time.
/// # Errors
/// [`LogError::Io`] when the reader fails; nothing in the log itself is an error.
pub fn read(reader: impl BufRead) -> Result<Log, LogError> {
    let mut lines = Lines::new(reader);
    let mut builder = Builder::new();
    let mut clock = SentenceClock::default();
    loop {
        let number = lines.number + 1;
        let Some(line) = lines.next()? else { break };
        builder.line = number;
        if let Some(bytes) = builder.whole(line) {
            read_line(bytes, &mut builder, &mut clock);
        }
    }
    Ok(builder.finish(lines.number))
}

fn read_line(line: &[u8], builder: &mut Builder, clock: &mut SentenceClock) {
    let text = line.trim_ascii();
    match text.first() {
        None => return,
        Some(b'#') => {
            builder.remarks += 1;
            return;
        }
        _ => {}
    }
    match sentence(text) {
        Ok(body) => {
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
    let is_first = matches!(text.first(), Some(b'$' | b'!' | b'\\'));
    match sentence(text) {
        Ok(_) => true,
        Err(BadKind::NotUnderstood) => false,
        Err(_) => is_first && text.contains(&b',') && text.is_ascii(),
    }
}
