//! Long messages put together from their frames: the first byte of each frame holds a sequence (3
//! bits) and a number (5 bits), the second byte of frame 0 the length.
//! Not for: what the message means.

use std::collections::HashMap;

use super::frame::Frame;

/// Longest message: 6 bytes in the first frame and 7 in each of 31 others.
const LONGEST: usize = 223;
/// Messages under way at once; a bus has far fewer.
const MOST_PENDING: usize = 256;

/// What came of adding a frame.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Assembly {
    /// The message is complete.
    Whole(Vec<u8>),
    /// More frames are to come.
    Waiting,
    /// A frame is missing, or this one belongs to nothing.
    Broken,
}

#[derive(Debug)]
struct Pending {
    bytes: Vec<u8>,
    length: usize,
    next: u8,
}

/// Messages of which some frames have come.
#[derive(Debug, Default)]
pub(super) struct FastPackets {
    pending: HashMap<(u8, u8, u32, u8), Pending>,
}

impl FastPackets {
    /// Messages that never became whole.
    pub fn unfinished(&self) -> usize {
        self.pending.len()
    }

    pub fn add(&mut self, frame: &Frame) -> Assembly {
        let bytes = frame.bytes();
        let Some((order, rest)) = bytes.split_first() else { return Assembly::Broken };
        let (sequence, number) = (order >> 5, order & 0x1f);
        let key = (frame.network, frame.address, frame.pgn, sequence);
        if number == 0 {
            let Some((length, rest)) = rest.split_first() else { return Assembly::Broken };
            let length = usize::from(*length);
            if length > LONGEST || length == 0 {
                return Assembly::Broken;
            }
            if self.pending.len() >= MOST_PENDING && !self.pending.contains_key(&key) {
                return Assembly::Broken;
            }
            let begun = Pending { bytes: rest.to_vec(), length, next: 1 };
            // A new beginning while the old one waits: the old one lost a frame.
            if self.pending.insert(key, begun).is_some() {
                return Assembly::Broken;
            }
        } else {
            let Some(pending) = self.pending.get_mut(&key) else { return Assembly::Broken };
            if pending.next != number {
                self.pending.remove(&key);
                return Assembly::Broken;
            }
            pending.bytes.extend_from_slice(rest);
            pending.next += 1;
        }
        match self.pending.get(&key) {
            Some(pending) if pending.bytes.len() >= pending.length => {
                let Some(mut done) = self.pending.remove(&key) else { return Assembly::Waiting };
                done.bytes.truncate(done.length);
                Assembly::Whole(done.bytes)
            }
            _ => Assembly::Waiting,
        }
    }
}
