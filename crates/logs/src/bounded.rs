//! A stream that ends with an error where a file is longer than may be.

use std::io::{self, Read};

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

#[cfg(test)]
mod tests {
    use super::*;

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
