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
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(broken)?;
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
