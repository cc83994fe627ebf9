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
use super::notice::LogNotice;
pub(super) use dialect::are_frames;
use dialect::{Dialect, Written};
use fast_packet::{Assembly, FastPackets};
use frame::Frame;
use groups::{group, read_time};

/// Reads a whole dump, a line at a time.
/// # Errors
/// [`LogError::Io`] when the reader fails; nothing in the dump itself is an error.
pub fn read(mut reader: impl BufRead) -> Result<Log, LogError> {
    let is_since_before = counts_from_before(reader.fill_buf()?);
    let mut lines = Lines::new(reader);
    let mut bus = Bus { since_before_s: is_since_before.then_some(0.0), ..Bus::default() };
    let mut builder = Builder::new();
    if is_since_before {
        builder.notices.push(LogNotice::LeftOut(
            "The stamps are the time since the frame before: they are added up.".to_owned(),
        ));
    }
    loop {
        let number = lines.number + 1;
        let Some(line) = lines.next()? else { break };
        builder.line = number;
        if let Line::Whole(bytes) = line {
            bus.read_line(bytes, &mut builder);
        } else {
            builder.bad(BadKind::TooLong);
        }
    }
    builder.line = lines.number;
    bus.set_right(&mut builder);
    for _ in 0..bus.packets.unfinished() {
        builder.bad(BadKind::BrokenMessage);
    }
    Ok(builder.finish(lines.number))
}

/// Whether the stamps of a dump stand for the time since the frame before: small, and as often back as on.
fn counts_from_before(head: &[u8]) -> bool {
    const LEAST: usize = 20;
    const LONGEST_S: f64 = 60.0;
    let mut dialect = Dialect::default();
    let times: Vec<f64> = head
        .split(|b| *b == b'\n')
        .filter_map(|line| match dialect.frame(line.trim_ascii()) {
            Ok(Written::Frame(Frame { time: Some((TimeBase::Elapsed, time_s)), .. })) => Some(time_s),
            _ => None,
        })
        .collect();
    let back = times.windows(2).filter(|two| two[1] < two[0]).count();
    times.len() >= LEAST
        && 4 * back >= times.len()
        && times.iter().all(|time| (0.0..LONGEST_S).contains(time))
}

#[derive(Debug, Default)]
struct Bus {
    /// Time since the first frame, where each says only that since the one before \[s\].
    since_before_s: Option<f64>,
    dialect: Dialect,
    packets: FastPackets,
    /// Line times without date: midnights passed, and the last second.
    midnights: f64,
    second_of_day: f64,
    /// What the bus's own time has before that of the dump: least and most, and how often it was told \[s\].
    ahead_s: Option<(f64, f64)>,
    told: u32,
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
        if let (Some(sum), TimeBase::Elapsed) = (&mut self.since_before_s, base) {
            *sum += time_s;
            time_s = *sum;
        }
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

    /// Dumps without times take those that the bus itself tells; with a date of their own they are held against them.
    fn bus_time(&mut self, frame: &Frame, builder: &mut Builder) {
        /// Before it no such receiver was built; one that has no fix yet counts from 1970.
        const FROM_2010_S: f64 = 1_262_304_000.0;
        let Some(told_s) = read_time(frame.pgn, frame.bytes()) else { return };
        match frame.time {
            None => builder.set_time(TimeBase::Utc, told_s),
            Some((TimeBase::Utc, stamp_s)) if told_s >= FROM_2010_S => {
                let ahead = told_s - stamp_s;
                let (least, most) = self.ahead_s.unwrap_or((ahead, ahead));
                self.ahead_s = Some((least.min(ahead), most.max(ahead)));
                self.told += 1;
            }
            Some(_) => {}
        }
    }

    /// A dump whose clock is as far off all along is put on the time that the bus tells, which comes from a receiver.
    fn set_right(&self, builder: &mut Builder) {
        const OFF_S: f64 = 20.0;
        const ALIKE_S: f64 = 15.0;
        let Some((least, most)) = self.ahead_s.filter(|_| self.told > 1) else { return };
        let middle = 0.5 * (least + most);
        if middle.abs() < OFF_S {
            return;
        }
        if most - least > ALIKE_S {
            builder.notices.push(LogNotice::Question(format!(
                "The stamps of the dump are {least:.0} to {most:.0} s off the time that the bus itself tells, and not steadily: which holds? \
                 The stamps are taken."
            )));
            return;
        }
        builder.rebase(TimeBase::Utc, middle);
        let side = if middle > 0.0 { "behind" } else { "ahead of" };
        builder.notices.push(LogNotice::LeftOut(format!(
            "The stamps of the dump are {:.0} s {side} the time that the bus itself tells: its time is taken.",
            middle.abs()
        )));
    }
}

fn decode(frame: &Frame, message: &[u8], builder: &mut Builder) {
    let Some(known) = group(frame.pgn) else { return };
    if message.len() < known.least_bytes {
        builder.bad(BadKind::ShortFrame);
        return;
    }
    let instance = known.instance_byte.map_or(0, |byte| message[byte]);
    let Frame { address, pgn, network, .. } = *frame;
    let source = Source::Bus { address, pgn, instance, network };
    for field in known.fields {
        if let Some(value) = field.value(message)
            && let Some(measured) = field.measured(message)
        {
            builder.push(measured, source, value);
        }
    }
}
