//! Letters of other encodings made UTF-8 as they come. Not for: what the text says.

use std::borrow::Cow;
use std::io::{self, BufRead, Read};

use encoding_rs::{CoderResult, Decoder, Encoding, UTF_16BE, UTF_16LE, WINDOWS_1252};

use crate::file_kind::FileKind;

/// The encoding of a text that is no UTF-8; `None` for UTF-8 and for what is no text.
pub(crate) fn encoding_of(head: &[u8], kind: FileKind) -> Option<&'static Encoding> {
    if let Some((encoding, _)) = Encoding::for_bom(head)
        && (encoding == UTF_16LE || encoding == UTF_16BE)
    {
        return Some(encoding);
    }
    // Every second byte nought: UTF-16 without its mark.
    const LEAST: usize = 16;
    let pairs = head.len() / 2;
    if pairs >= LEAST && matches!(kind, FileKind::Binary | FileKind::Unknown) {
        let noughts = |first: usize| head.iter().skip(first).step_by(2).filter(|b| **b == 0).count();
        if 10 * noughts(1) > 9 * pairs && 10 * noughts(0) < pairs {
            return Some(UTF_16LE);
        }
        if 10 * noughts(0) > 9 * pairs && 10 * noughts(1) < pairs {
            return Some(UTF_16BE);
        }
    }
    // Letters of the one-byte encoding of western Europe; a character that is cut at the end of the head is none.
    let is_text = matches!(kind, FileKind::Table | FileKind::Unknown | FileKind::Gpx | FileKind::Kml);
    let is_cut = |error: std::str::Utf8Error| error.error_len().is_none();
    if is_text && std::str::from_utf8(head).is_err_and(|error| !is_cut(error)) {
        return Some(WINDOWS_1252);
    }
    None
}

/// A whole text, whatever its encoding; letters that are none are marked as such.
pub(crate) fn decoded(bytes: &[u8]) -> Cow<'_, str> {
    match encoding_of(bytes, FileKind::Unknown) {
        Some(encoding) => encoding.decode(bytes).0,
        None => encoding_rs::UTF_8.decode(bytes).0,
    }
}

/// A reader that gives UTF-8.
pub(crate) struct Decoded<R> {
    reader: R,
    decoder: Decoder,
    ready: Vec<u8>,
    given: usize,
    is_done: bool,
}

impl<R: BufRead> Decoded<R> {
    pub fn new(reader: R, encoding: &'static Encoding) -> Self {
        Self {
            reader,
            decoder: encoding.new_decoder_with_bom_removal(),
            ready: Vec::new(),
            given: 0,
            is_done: false,
        }
    }
}

impl<R: BufRead> Read for Decoded<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        const PIECE: usize = 32 * 1024;
        while self.given == self.ready.len() && !self.is_done {
            let available = match self.reader.fill_buf() {
                Ok(available) => available,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                Err(error) => return Err(error),
            };
            let piece = &available[..available.len().min(PIECE)];
            let is_last = piece.is_empty();
            self.ready.resize(3 * PIECE + 16, 0);
            let (result, read, written, _) = self.decoder.decode_to_utf8(piece, &mut self.ready, is_last);
            self.reader.consume(read);
            self.ready.truncate(written);
            self.given = 0;
            self.is_done = is_last && result == CoderResult::InputEmpty;
        }
        let length = into.len().min(self.ready.len() - self.given);
        into[..length].copy_from_slice(&self.ready[self.given..self.given + length]);
        self.given += length;
        Ok(length)
    }
}

/// A text whose noughts are left out: what a recorder leaves where it lost power while it wrote.
pub(crate) struct WithoutNoughts<R>(pub R);

impl<R: Read> Read for WithoutNoughts<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        loop {
            let length = self.0.read(into)?;
            let mut kept = 0;
            for at in 0..length {
                if into[at] != 0 {
                    into[kept] = into[at];
                    kept += 1;
                }
            }
            // Nothing but noughts is not the end.
            if kept > 0 || length == 0 {
                return Ok(kept);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_of_sixteen_bits_and_of_western_europe() {
        let text = "Zeit;Spannung größer [V]\n12:00:00;51,2\n";
        let mut wide = vec![0xff, 0xfe];
        wide.extend(text.encode_utf16().flat_map(u16::to_le_bytes));
        let narrow: Vec<u8> = text.chars().map(|c| c as u32 as u8).collect();
        for (bytes, kind) in [(&wide, FileKind::Binary), (&narrow, FileKind::Table)] {
            let encoding = encoding_of(bytes, kind).unwrap();
            let mut read = String::new();
            Decoded::new(bytes.as_slice(), encoding).read_to_string(&mut read).unwrap();
            assert_eq!(read, text);
        }
        assert_eq!(encoding_of(text.as_bytes(), FileKind::Table), None);
    }
}
