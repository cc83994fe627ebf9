//! Packed files: zip and zstd. Not for: what is in them.

use std::cell::Cell;
use std::io::{self, BufRead, Read, Seek, SeekFrom};
use std::rc::Rc;

use crate::LogError;

/// Longest archive that is taken into memory.
const LONGEST_ARCHIVE: u64 = 256 << 20;

/// All bytes of a reader that must stand in memory at once.
pub(crate) fn whole(reader: impl Read, most: u64, what: &'static str) -> Result<Vec<u8>, LogError> {
    let mut bytes = Vec::new();
    reader.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most { Err(too_long(most, what)) } else { Ok(bytes) }
}

fn too_long(most: u64, what: &str) -> LogError {
    LogError::Io(io::Error::other(format!(
        "{what} of more than {} MB; save the columns of the trial as CSV",
        most >> 20
    )))
}

/// A reader of what zstd packed.
pub(crate) fn zstd<R: BufRead>(reader: R) -> Result<impl Read, LogError> {
    ruzstd::decoding::StreamingDecoder::new(reader)
        .map_err(|error| LogError::Io(io::Error::other(format!("packed with zstd, and broken: {error}"))))
}

/// An archive in memory, in pieces that go as they are read once its directory is known: what is unpacked takes their place.
struct Packed {
    pieces: Vec<Vec<u8>>,
    length: u64,
    at: u64,
    goes: Rc<Cell<bool>>,
}

impl Packed {
    const PIECE: u64 = 1 << 20;

    fn read_from(mut reader: impl Read) -> Result<Self, LogError> {
        let mut packed = Self { pieces: Vec::new(), length: 0, at: 0, goes: Rc::default() };
        while packed.length <= LONGEST_ARCHIVE {
            let mut piece = Vec::new();
            let read = reader.by_ref().take(Self::PIECE).read_to_end(&mut piece)? as u64;
            packed.length += read;
            packed.pieces.push(piece);
            if read < Self::PIECE {
                return Ok(packed);
            }
        }
        Err(too_long(LONGEST_ARCHIVE, "an archive"))
    }
}

impl Read for Packed {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let (place, within) = ((self.at / Self::PIECE) as usize, (self.at % Self::PIECE) as usize);
        let Some(rest) = self.pieces.get(place).and_then(|piece| piece.get(within..)) else { return Ok(0) };
        let count = rest.len().min(out.len());
        out[..count].copy_from_slice(&rest[..count]);
        if count == rest.len() && self.goes.get() {
            self.pieces[place] = Vec::new();
        }
        self.at += count as u64;
        Ok(count)
    }
}

impl Seek for Packed {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let at = match to {
            SeekFrom::Start(at) => Some(at),
            SeekFrom::End(by) => self.length.checked_add_signed(by),
            SeekFrom::Current(by) => self.at.checked_add_signed(by),
        };
        self.at = at.ok_or_else(|| io::Error::other("before the beginning of the archive"))?;
        Ok(self.at)
    }
}

/// Gives the one file of an archive to `read`.
pub(crate) fn zip<T>(reader: impl Read, read: impl FnOnce(&mut dyn Read) -> T) -> Result<T, LogError> {
    let broken = |error: zip::result::ZipError| {
        LogError::Io(io::Error::other(format!("packed with zip, and broken: {error}")))
    };
    let mut packed = Packed::read_from(reader)?;
    let goes = Rc::clone(&packed.goes);
    let entries = entries_at_end(&mut packed)?;
    let mut archive = zip::ZipArchive::new(packed).map_err(broken)?;
    // Of two of one name only the last is seen. So many that the number stands elsewhere are refused as too many in any case.
    if entries.is_some_and(|entries| entries != u16::MAX && usize::from(entries) > archive.len()) {
        return Err(LogError::Io(io::Error::other(
            "the archive holds two files of one name: unpack it and give the logs one by one",
        )));
    }
    let names: Vec<String> = archive
        .file_names()
        .filter_map(Result::ok)
        .map(std::borrow::Cow::into_owned)
        .filter(|name| {
            let last = name.rsplit('/').next().unwrap_or_default();
            // Folders, and what some systems add of their own.
            !last.is_empty() && !last.starts_with('.') && !name.starts_with("__")
        })
        .collect();
    match names.as_slice() {
        [one] => {
            let mut file = archive.by_name(one).map_err(broken)?;
            goes.set(true);
            Ok(read(&mut file))
        }
        [] => Err(LogError::Io(io::Error::other("the archive is empty"))),
        several => Err(LogError::Io(io::Error::other(format!(
            "the archive holds {} files ({}{}): unpack it and give the logs one by one",
            several.len(),
            several.iter().take(3).cloned().collect::<Vec<String>>().join(", "),
            if several.len() > 3 { ", ..." } else { "" }
        )))),
    }
}

/// Entries that the directory of an archive says to have, by the record at its end, which a comment may follow.
fn entries_at_end(packed: &mut Packed) -> io::Result<Option<u16>> {
    const END: usize = 22;
    packed.seek(SeekFrom::Start(packed.length.saturating_sub((END + usize::from(u16::MAX)) as u64)))?;
    let mut tail = Vec::new();
    packed.read_to_end(&mut tail)?;
    packed.seek(SeekFrom::Start(0))?;
    let is_end = |record: &[u8]| {
        let comment = usize::from(u16::from_le_bytes([record[20], record[21]]));
        record.starts_with(b"PK\x05\x06") && record.len() == END + comment
    };
    let last = tail.len().checked_sub(END);
    let at = last.and_then(|last| (0..=last).rev().find(|at| is_end(&tail[*at..])));
    Ok(at.map(|at| u16::from_le_bytes([tail[at + 10], tail[at + 11]])))
}

#[cfg(test)]
mod tests {
    use std::io::{Cursor, Write};

    use super::*;

    /// Of two files of one name the later was read, and nothing said of the other.
    #[test]
    fn an_archive_with_one_name_twice_is_refused() {
        let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
        for (name, text) in [("a.csv", "first"), ("b.csv", "second")] {
            archive.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
            archive.write_all(text.as_bytes()).unwrap();
        }
        let two = archive.finish().unwrap().into_inner();
        let mut twice = two.clone();
        for at in 0..twice.len() - 5 {
            if &twice[at..at + 5] == b"b.csv" {
                twice[at] = b'a';
            }
        }
        let said = |bytes: &[u8]| zip(bytes, |_| ()).unwrap_err().to_string();
        assert!(said(&twice).contains("two files of one name"), "{}", said(&twice));
        assert!(said(&two).contains("holds 2 files"), "{}", said(&two));
    }
}
