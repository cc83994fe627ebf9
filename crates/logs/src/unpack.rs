//! Packed files: zip and zstd. Not for: what is in them.

use std::io::{self, BufRead, Cursor, Read};

use crate::LogError;

/// Longest archive that is taken into memory.
const LONGEST_ARCHIVE: u64 = 256 << 20;

/// All bytes of a reader that must stand in memory at once.
pub(crate) fn whole(reader: impl Read, most: u64, what: &'static str) -> Result<Vec<u8>, LogError> {
    let mut bytes = Vec::new();
    reader.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        return Err(LogError::Io(io::Error::other(format!(
            "{what} of more than {} MB; save the columns of the trial as CSV",
            most >> 20
        ))));
    }
    Ok(bytes)
}

/// A reader of what zstd packed.
pub(crate) fn zstd<R: BufRead>(reader: R) -> Result<impl Read, LogError> {
    ruzstd::decoding::StreamingDecoder::new(reader)
        .map_err(|error| LogError::Io(io::Error::other(format!("packed with zstd, and broken: {error}"))))
}

/// Gives the one file of an archive to `read`.
pub(crate) fn zip<T>(reader: impl Read, read: impl FnOnce(&mut dyn Read) -> T) -> Result<T, LogError> {
    let broken = |error: zip::result::ZipError| {
        LogError::Io(io::Error::other(format!("packed with zip, and broken: {error}")))
    };
    let bytes = whole(reader, LONGEST_ARCHIVE, "an archive")?;
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes.as_slice())).map_err(broken)?;
    if has_a_name_twice(&bytes, &archive) {
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

/// Whether the directory of an archive has more entries than names; of two of one name only the last is seen.
fn has_a_name_twice(bytes: &[u8], archive: &zip::ZipArchive<Cursor<&[u8]>>) -> bool {
    const END: usize = 22;
    let end = bytes.len().checked_sub(END + archive.comment().len()).and_then(|from| bytes.get(from..));
    let Some(end) = end.filter(|end| end.starts_with(b"PK\x05\x06")) else { return false };
    let entries = u16::from_le_bytes([end[10], end[11]]);
    // That many say that the number stands elsewhere; they are refused as too many in any case.
    entries != u16::MAX && usize::from(entries) > archive.len()
}

#[cfg(test)]
mod tests {
    use std::io::Write;

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
