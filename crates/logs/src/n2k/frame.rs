//! One frame of the bus with its bytes. Not for: the forms in which it is written (`dialect`).

use crate::bad::BadKind;
use crate::log::TimeBase;

/// Most bytes of one message: a long one that the dump put together.
const MOST_BYTES: usize = 223;

/// One frame, or a long message that the dump put together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Frame {
    /// When, and what that counts from.
    pub time: Option<(TimeBase, f64)>,
    pub pgn: u32,
    /// Address of the sender.
    pub address: u8,
    /// Which of several buses in one dump.
    pub network: u8,
    pub length: usize,
    data: [u8; MOST_BYTES],
}

impl Frame {
    pub fn new(time: Option<(TimeBase, f64)>, pgn: u32, address: u8) -> Self {
        Self { time, pgn, address, network: 0, length: 0, data: [0; MOST_BYTES] }
    }

    pub fn of_identifier(time: Option<(TimeBase, f64)>, identifier: u32) -> Self {
        // Groups below 0xF000 are addressed: their low byte is the receiver.
        let group = identifier >> 8 & 0x3_ffff;
        let pgn = if group & 0xff00 < 0xf000 { group & 0x3_ff00 } else { group };
        Self::new(time, pgn, (identifier & 0xff) as u8)
    }

    pub fn push(&mut self, byte: u8) -> Result<(), BadKind> {
        *self.data.get_mut(self.length).ok_or(BadKind::NotUnderstood)? = byte;
        self.length += 1;
        Ok(())
    }

    pub fn bytes(&self) -> &[u8] {
        &self.data[..self.length]
    }

    /// Bytes in hexadecimal, with or without blanks.
    pub fn push_hex(&mut self, text: &str) -> Result<(), BadKind> {
        let mut high = None;
        for c in text.bytes() {
            if c.is_ascii_whitespace() {
                if high.is_some() {
                    return Err(BadKind::NotUnderstood);
                }
                continue;
            }
            let digit = (c as char).to_digit(16).ok_or(BadKind::NotUnderstood)? as u8;
            match high.take() {
                None => high = Some(digit),
                Some(first) => self.push(first << 4 | digit)?,
            }
        }
        if high.is_some() { Err(BadKind::NotUnderstood) } else { Ok(()) }
    }

    /// Bytes in base64.
    pub fn push_base64(&mut self, text: &str) -> Result<(), BadKind> {
        let (mut bits, mut count) = (0_u32, 0_u32);
        for c in text.trim_end_matches('=').bytes() {
            let six = match c {
                b'A'..=b'Z' => c - b'A',
                b'a'..=b'z' => c - b'a' + 26,
                b'0'..=b'9' => c - b'0' + 52,
                b'+' => 62,
                b'/' => 63,
                _ => return Err(BadKind::NotUnderstood),
            };
            bits = bits << 6 & 0xffff | u32::from(six);
            count += 6;
            if count >= 8 {
                count -= 8;
                self.push((bits >> count & 0xff) as u8)?;
            }
        }
        Ok(())
    }
}
