//! NMEA 2000 from text dumps: frames from lines in the usual written forms, long messages put
//! together, fields to channels.
//!
//! Not for: binary captures, transport-protocol messages, or anything that the bus says beyond what
//! a trial needs; those messages are counted and left.

mod ascii_trace;
mod dialect;
mod fast_packet;
mod frame;
mod groups;

use std::io::BufRead;

use super::LogError;
use super::bad::BadKind;
use super::line::{Line, Lines};
use super::log::{Builder, Log, Source, TimeBase};
pub(super) use dialect::are_frames;
use dialect::{Dialect, Written};
use fast_packet::{Assembly, FastPackets};
use frame::Frame;
use groups::{group, read_time};

/// Reads a whole dump, a line at a time.
/// # Errors
/// [`LogError::Io`] when the reader fails; nothing in the dump itself is an error.
pub fn read(reader: impl BufRead) -> Result<Log, LogError> {
    let mut lines = Lines::new(reader);
    let mut bus = Bus::default();
    let mut builder = Builder::new();
    loop {
        let number = lines.number + 1;
        let Some(line) = lines.next()? else { break };
        builder.line = number;
        if let Line::Whole(bytes) = line {
            // Adapters end their lines with CR alone.
            for piece in bytes.split(|b| *b == b'\r') {
                bus.read_line(piece, &mut builder);
            }
        } else {
            builder.bad(BadKind::TooLong);
        }
    }
    builder.line = lines.number;
    for _ in 0..bus.packets.unfinished() {
        builder.bad(BadKind::BrokenMessage);
    }
    Ok(builder.finish(lines.number))
}

#[derive(Debug, Default)]
struct Bus {
    dialect: Dialect,
    packets: FastPackets,
    /// Line times without date: midnights passed, and the last second.
    midnights: f64,
    second_of_day: f64,
}

impl Bus {
    fn read_line(&mut self, line: &[u8], builder: &mut Builder) {
        let text = line.trim_ascii();
        if text.is_empty() {
            return;
        }
        let frame = match self.dialect.frame(text) {
            Ok(Written::Frame(frame)) => frame,
            Ok(Written::Remark) => {
                builder.remarks += 1;
                return;
            }
            Err(kind) => {
                builder.bad(kind);
                return;
            }
        };
        self.set_time(&frame, builder);
        builder.message(frame.pgn.to_string().as_bytes());
        let Some(known) = group(frame.pgn) else {
            self.bus_time(&frame, builder);
            return;
        };
        // Dumps that put long messages together write more bytes than a frame holds.
        if known.is_fast && frame.length <= 8 {
            match self.packets.add(&frame) {
                Assembly::Whole(message) => decode(&frame, &message, builder),
                Assembly::Waiting => {}
                Assembly::Broken => builder.bad(BadKind::BrokenMessage),
            }
        } else {
            decode(&frame, frame.bytes(), builder);
        }
    }

    fn set_time(&mut self, frame: &Frame, builder: &mut Builder) {
        let Some((base, mut time_s)) = frame.time else { return };
        if base == TimeBase::TimeOfDay {
            const HALF_A_DAY_S: f64 = 43_200.0;
            if time_s < self.second_of_day - HALF_A_DAY_S {
                self.midnights += 1.0;
            }
            self.second_of_day = time_s;
            time_s += self.midnights * 2.0 * HALF_A_DAY_S;
        }
        builder.set_time(base, time_s);
    }

    /// Dumps without times take those that the bus itself tells.
    fn bus_time(&self, frame: &Frame, builder: &mut Builder) {
        if frame.time.is_none()
            && let Some(time_s) = read_time(frame.pgn, frame.bytes())
        {
            builder.set_time(TimeBase::Utc, time_s);
        }
    }
}

fn decode(frame: &Frame, message: &[u8], builder: &mut Builder) {
    let Some(known) = group(frame.pgn) else { return };
    if message.len() < known.least_bytes {
        builder.bad(BadKind::ShortFrame);
        return;
    }
    let instance = known.instance_byte.map_or(0, |byte| message[byte]);
    let source = Source::Bus { address: frame.address, pgn: frame.pgn, instance };
    for field in known.fields {
        if let Some(value) = field.value(message)
            && let Some(measured) = field.measured(message)
        {
            builder.push(measured, source, value);
        }
    }
}
