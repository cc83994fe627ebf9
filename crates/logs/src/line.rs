//! Lines of a log, one at a time, in one buffer that is used again. Not for: what stands in them.

use std::io::{self, BufRead};

/// Longest line that is kept; a longer one is no line of a log.
pub(super) const LONGEST_LINE: usize = 16 * 1024;

/// One line without its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Line<'a> {
    /// As it stands.
    Whole(&'a [u8]),
    /// Longer than [`LONGEST_LINE`]; its beginning.
    TooLong(&'a [u8]),
}

/// Reader of lines ending in LF, CR LF or CR.
#[derive(Debug)]
pub(super) struct Lines<R> {
    reader: R,
    buffer: Vec<u8>,
    /// The last line ended with CR: a LF that follows is its second half.
    was_return: bool,
    /// Lines given so far; the number of the last one, from 1.
    pub number: u64,
}

impl<R: BufRead> Lines<R> {
    pub fn new(reader: R) -> Self {
        Self { reader, buffer: Vec::with_capacity(256), was_return: false, number: 0 }
    }

    /// The next line, `None` at the end.
    pub fn next(&mut self) -> io::Result<Option<Line<'_>>> {
        self.buffer.clear();
        let mut length = 0_usize;
        loop {
            let available = match self.reader.fill_buf() {
                Ok(available) => available,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                Err(error) => return Err(error),
            };
            if available.is_empty() {
                if length == 0 {
                    return Ok(None);
                }
                break;
            }
            // A LF after a CR belongs to it.
            let half = usize::from(std::mem::take(&mut self.was_return) && available[0] == b'\n');
            let end = memchr::memchr2(b'\n', b'\r', &available[half..]).map(|at| half + at);
            let piece = &available[half..end.unwrap_or(available.len())];
            let room = LONGEST_LINE.saturating_sub(self.buffer.len());
            self.buffer.extend_from_slice(&piece[..piece.len().min(room)]);
            // The end counts, so that an empty line is a line.
            length += piece.len() + usize::from(end.is_some());
            self.was_return = end.is_some_and(|at| available[at] == b'\r');
            let used = half + piece.len() + usize::from(end.is_some());
            self.reader.consume(used);
            if end.is_some() {
                break;
            }
        }
        self.number += 1;
        let is_too_long = length > LONGEST_LINE + 1;
        Ok(Some(if is_too_long { Line::TooLong(&self.buffer) } else { Line::Whole(&self.buffer) }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_in_any_way_and_long_ones_are_cut() {
        let mut text = b"one\r\n\ntwo\n".to_vec();
        text.extend(vec![b'x'; 50_000]);
        text.extend(b"\nlast");
        let mut lines = Lines::new(std::io::Cursor::new(text));
        assert_eq!(lines.next().unwrap(), Some(Line::Whole(b"one".as_slice())));
        assert_eq!(lines.next().unwrap(), Some(Line::Whole(b"".as_slice())));
        assert_eq!(lines.next().unwrap(), Some(Line::Whole(b"two".as_slice())));
        assert!(matches!(lines.next().unwrap(), Some(Line::TooLong(b)) if b.len() == LONGEST_LINE));
        assert_eq!(lines.next().unwrap(), Some(Line::Whole(b"last".as_slice())));
        assert_eq!(lines.next().unwrap(), None);
        assert_eq!(lines.number, 5);
    }

    #[test]
    fn a_return_alone_ends_a_line_however_the_bytes_are_cut() {
        for size in 1..9 {
            let bytes = &b"a\r\nb\rc\n\r\nd\r"[..];
            let mut lines = Lines::new(std::io::BufReader::with_capacity(size, bytes));
            let mut all = Vec::new();
            while let Some(Line::Whole(line)) = lines.next().unwrap() {
                all.push(String::from_utf8_lossy(line).into_owned());
            }
            assert_eq!(all, ["a", "b", "c", "", "d"], "{size}");
        }
    }
}
