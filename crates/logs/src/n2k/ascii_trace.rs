//! ASCII traces of a bus: a head with the date, then lines of seconds, channel, identifier with `x`, direction and bytes.
//! Not for: the other forms (`dialect`).

use super::dialect::{counted, number};
use super::frame::Frame;
use crate::bad::BadKind;
use crate::clock::{DAY_S, DateOrder, Day, parse_stamp};
use crate::log::TimeBase;

/// What the head of a trace said.
#[derive(Debug, Default)]
pub(super) struct AsciiTrace {
    start_s: Option<f64>,
    /// Times count from the line before; `None` before the head was seen.
    is_relative: Option<bool>,
    time_s: f64,
}

impl AsciiTrace {
    /// True once a head was seen.
    pub fn is_begun(&self) -> bool {
        self.is_relative.is_some()
    }

    /// `date Wed Sep 23 01:04:20.000 pm 2026`, `base hex  timestamps absolute`, and what stands between frames.
    pub fn is_remark(&mut self, line: &str) -> bool {
        if let Some(date) = line.strip_prefix("date ") {
            let stamp = parse_stamp(date, DateOrder::Day);
            if let Some(stamp) = &stamp
                && let Day::Of(days) = stamp.day
            {
                self.start_s = Some(days as f64 * DAY_S + stamp.second_s);
            }
            return stamp.is_some();
        }
        if line.starts_with("base hex") {
            self.is_relative = Some(line.contains("relative"));
            return true;
        }
        const REMARKS: [&str; 6] = ["//", "Begin ", "End ", "internal events", "no internal", "previous log"];
        self.is_begun()
            && (REMARKS.iter().any(|start| line.starts_with(start)) || line.ends_with("Start of measurement"))
    }

    /// `0.003040 1  19F21403x       Rx   d 8 00 E8 ...`, seconds from the start or from the line before.
    pub fn frame(&mut self, line: &str) -> Result<Frame, BadKind> {
        let mut words = line.split_ascii_whitespace();
        let mut offset_s = number(words.next())?;
        if self.is_relative == Some(true) {
            self.time_s += offset_s;
            offset_s = self.time_s;
        }
        let id = words.nth(1).and_then(|id| id.strip_suffix('x')).filter(|id| (5..9).contains(&id.len()));
        let id = id.and_then(|id| u32::from_str_radix(id, 16).ok()).ok_or(BadKind::NotUnderstood)?;
        let time = match self.start_s {
            Some(start) => (TimeBase::Utc, start + offset_s),
            None => (TimeBase::Elapsed, offset_s),
        };
        if !matches!(words.next(), Some("Rx" | "Tx")) || words.next() != Some("d") {
            return Err(BadKind::NotUnderstood);
        }
        let length = number(words.next())?;
        let mut frame = Frame::of_identifier(Some(time), id);
        for byte in words.take(length.clamp(0.0, 64.0) as usize) {
            frame.push_hex(byte)?;
        }
        counted(frame, length)
    }
}
