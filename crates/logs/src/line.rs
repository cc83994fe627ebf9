//! Lines of a log, one at a time, in one buffer that is used again. Not for: what stands in them.

use std::io::{self, BufRead, Read};

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
    /// Lines given so far; the number of the last one, from 1.
    pub number: u64,
}

impl<R: BufRead> Lines<R> {
    pub fn new(reader: R) -> Self {
        Self { reader, buffer: Vec::with_capacity(256), number: 0 }
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
            let end = available.iter().position(|b| *b == b'\n');
            let piece = &available[..end.unwrap_or(available.len())];
            let room = LONGEST_LINE.saturating_sub(self.buffer.len());
            self.buffer.extend_from_slice(&piece[..piece.len().min(room)]);
            // The end counts, so that an empty line is a line.
            length += piece.len() + usize::from(end.is_some());
            let used = piece.len() + usize::from(end.is_some());
            self.reader.consume(used);
            if end.is_some() {
                break;
            }
        }
        self.number += 1;
        let is_too_long = length > LONGEST_LINE + 1;
        while self.buffer.last() == Some(&b'\r') {
            self.buffer.pop();
        }
        Ok(Some(if is_too_long { Line::TooLong(&self.buffer) } else { Line::Whole(&self.buffer) }))
    }
}

/// A reader that ends every line with LF, whatever it ended with, and breaks the file off where the
/// mark between rows or elements does not come for longer than any has, so that one open quote does
/// not fill the memory.
#[derive(Debug)]
pub(super) struct Bounded<R> {
    reader: R,
    mark: u8,
    since_mark: usize,
    /// The last byte was a CR that became a LF: a LF after it belongs to it.
    was_return: bool,
}

impl<R> Bounded<R> {
    pub fn new(reader: R, mark: u8) -> Self {
        Self { reader, mark, since_mark: 0, was_return: false }
    }

    /// CR LF and CR become LF in place; gives the new length.
    fn unify(&mut self, bytes: &mut [u8]) -> usize {
        let first_feed = self.was_return && bytes.first() == Some(&b'\n');
        self.was_return = bytes.last() == Some(&b'\r');
        if !first_feed && !bytes.contains(&b'\r') {
            return bytes.len();
        }
        let (mut to, mut from) = (0, usize::from(first_feed));
        while from < bytes.len() {
            let byte = bytes[from];
            from += 1;
            if byte == b'\r' {
                bytes[to] = b'\n';
                from += usize::from(bytes.get(from) == Some(&b'\n'));
            } else {
                bytes[to] = byte;
            }
            to += 1;
        }
        to
    }
}

impl<R: Read> Read for Bounded<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        const LONGEST: usize = 4 << 20;
        loop {
            let read = self.reader.read(buffer)?;
            let count = self.unify(&mut buffer[..read]);
            match buffer[..count].iter().rposition(|b| *b == self.mark) {
                Some(at) => self.since_mark = count - at,
                None => self.since_mark += count,
            }
            if self.since_mark > LONGEST {
                return Ok(0);
            }
            // Nothing but the second half of a line's end is not the end of the file.
            if count > 0 || read == 0 {
                return Ok(count);
            }
        }
    }
}

/// A plain decimal number: sign, digits, one point. No exponent, nothing else around it but blanks.
pub(super) fn decimal(text: &[u8]) -> Option<f64> {
    const POWERS: [f64; 16] =
        [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];
    const MOST_DIGITS: usize = 15;
    let text = text.trim_ascii();
    let (is_negative, digits) = match text.first()? {
        b'-' => (true, &text[1..]),
        b'+' => (false, &text[1..]),
        _ => (false, text),
    };
    let (mut mantissa, mut count, mut decimals) = (0_u64, 0_usize, 0_usize);
    let mut has_point = false;
    for byte in digits {
        match byte {
            b'0'..=b'9' => {
                // Digits beyond what a double holds: only decimals can be dropped.
                if count == MOST_DIGITS {
                    if has_point {
                        continue;
                    }
                    return None;
                }
                mantissa = mantissa * 10 + u64::from(byte - b'0');
                count += usize::from(mantissa > 0);
                decimals += usize::from(has_point);
                if decimals > MOST_DIGITS {
                    return None;
                }
            }
            b'.' if !has_point => has_point = true,
            _ => return None,
        }
    }
    if digits.is_empty() || digits == b"." {
        return None;
    }
    let value = mantissa as f64 / POWERS[decimals];
    Some(if is_negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_as_the_language_reads_them() {
        for text in ["0", "5.99", "-12.5", "+3", ".5", "5.", "4829.0005", "002327.982", "123456789.123456"] {
            assert_eq!(decimal(text.as_bytes()), text.parse().ok(), "{text}");
        }
        for text in ["", ".", "-", "-1.-3", "1e5", "nan", "0x10", "1,5"] {
            assert_eq!(decimal(text.as_bytes()), None, "{text}");
        }
    }

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
    fn lines_end_alike_however_they_are_cut() {
        for size in 1..9 {
            let mut reader =
                Bounded::new(io::BufReader::with_capacity(size, &b"a\r\nb\rc\n\r\nd\r"[..]), b'\n');
            let mut all = Vec::new();
            let mut buffer = vec![0; size];
            while let Ok(count) = reader.read(&mut buffer) {
                if count == 0 {
                    break;
                }
                all.extend_from_slice(&buffer[..count]);
            }
            assert_eq!(all, b"a\nb\nc\n\nd\n", "{size}");
        }
    }
}
