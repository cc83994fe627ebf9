//! Documents as files: how long one may be, which letters it is written in, how its lines end.
//! Not for: what stands in it.

use super::fault::{Fault, Severity};
use std::borrow::Cow;
use std::io::Read;
use std::path::Path;

/// A boat document is shorter than this by far; longer texts are not read.
pub const LONGEST_DOCUMENT_BYTES: usize = 200_000;
/// So many values no boat has, with every row that may be repeated.
const MOST_VALUES: usize = 5_000;

/// The text of the document at `path`; never more of it is taken in than a document may have.
///
/// # Errors
/// Why there is no text to be had, and what to do.
pub fn read_document_file(path: &Path) -> Result<String, String> {
    let too_long = |length: u64| {
        format!("a boat document is not that long ({length} bytes; at most {LONGEST_DOCUMENT_BYTES})")
    };
    let about = std::fs::metadata(path).map_err(|error| unread(&error))?;
    if about.is_dir() {
        return Err(unread(&std::io::ErrorKind::IsADirectory.into()));
    }
    // One that the shell made is being written to; any other may never be.
    #[cfg(unix)]
    if std::os::unix::fs::FileTypeExt::is_fifo(&about.file_type())
        && !path.starts_with("/dev")
        && !path.starts_with("/proc")
    {
        return Err(
            "this is a pipe, and nobody may ever write to it; save what it gives as a file".to_owned()
        );
    }
    if about.len() > LONGEST_DOCUMENT_BYTES as u64 {
        return Err(too_long(about.len()));
    }
    let file = std::fs::File::open(path).map_err(|error| unread(&error))?;
    let mut bytes = Vec::new();
    // What is no plain file does not tell its length.
    file.take(LONGEST_DOCUMENT_BYTES as u64 + 1).read_to_end(&mut bytes).map_err(|error| unread(&error))?;
    if bytes.len() > LONGEST_DOCUMENT_BYTES {
        return Err(too_long(bytes.len() as u64));
    }
    text_of_bytes(bytes)
}

/// `bytes` as text in UTF-8, without the mark that some programs put in front.
///
/// # Errors
/// Which other encoding it seems to be in, from which line on, and how to save it.
pub fn text_of_bytes(bytes: Vec<u8>) -> Result<String, String> {
    const SAVE: &str = "save it as UTF-8";
    let zeros = bytes.iter().take(1000).filter(|byte| **byte == 0).count();
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(format!("this text is in UTF-16, from line 1 on; {SAVE}"));
    }
    if zeros > 0 {
        return Err("this is no text file; a boat document is TOML in UTF-8".to_owned());
    }
    let bytes = if bytes.starts_with(&[0xEF, 0xBB, 0xBF]) { bytes[3..].to_vec() } else { bytes };
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let before = &error.as_bytes()[..at];
        let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
        let byte = error.as_bytes()[at];
        format!(
            "line {line} holds a letter (byte {byte:#04x}) that is no UTF-8; the text seems to be in an older \
             encoding such as Windows-1252 or Latin-1; {SAVE}"
        )
    })
}

/// A fault for a text that is too long, or holds too much, to be read as a document.
pub(super) fn beyond_bounds(text: &str) -> Option<Fault> {
    let fault = |line: usize, problem: String, advice: &str| Fault {
        line,
        column: 1,
        field: String::new(),
        found: String::new(),
        problem,
        advice: advice.to_owned(),
        severity: Severity::Error,
        also: Vec::new(),
    };
    const ADVICE: &str = "It is kept as typed, but not read; take out what does not belong to her.";
    if text.len() > LONGEST_DOCUMENT_BYTES {
        let problem = format!("a boat document is not that long ({} kB)", text.len() / 1000);
        return Some(fault(1, problem, ADVICE));
    }
    let mut values = 0;
    for (index, line) in text.split('\n').enumerate() {
        if !line.trim_start().starts_with('#') {
            values += line.bytes().filter(|byte| *byte == b'=').count();
        }
        if values > MOST_VALUES {
            let problem = format!("a boat document does not hold more than {MOST_VALUES} values");
            return Some(fault(index + 1, problem, ADVICE));
        }
    }
    None
}

/// Lines that end in a carriage return alone, as very old programs write them, as lines of today.
pub(super) fn with_line_feeds(text: &str) -> Cow<'_, str> {
    if text.contains('\r') && !text.contains('\n') {
        Cow::Owned(text.replace('\r', "\n"))
    } else {
        Cow::Borrowed(text)
    }
}

/// Why a file was not read, and what to do.
pub fn unread(why: &std::io::Error) -> String {
    use std::io::ErrorKind;
    match why.kind() {
        ErrorKind::NotFound => "there is no such file; look at its name and its folder".to_owned(),
        ErrorKind::PermissionDenied => {
            "you may not read it; ask its owner, or copy it to where you may".to_owned()
        }
        ErrorKind::IsADirectory => "that is a folder; name a file in it".to_owned(),
        ErrorKind::InvalidData => "it is no text in UTF-8; save it as such".to_owned(),
        _ => why.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::BoatDocument;

    #[test]
    fn other_encodings_are_named_with_their_line() {
        let latin = text_of_bytes(b"[boat]\nname = \"\xc9toile\"\n".to_vec()).unwrap_err();
        assert!(latin.contains("line 2") && latin.contains("save it as UTF-8"), "{latin}");
        let wide: Vec<u8> = "\u{feff}[boat]".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert!(text_of_bytes(wide).unwrap_err().contains("UTF-16"));
        assert_eq!(text_of_bytes("\u{feff}[boat]\n".into()).unwrap(), "[boat]\n");
        assert!(text_of_bytes(vec![b'a', 0, 1]).unwrap_err().contains("no text file"));
    }

    #[test]
    fn a_document_is_bounded_before_it_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("long.toml");
        std::fs::write(&path, vec![b'#'; LONGEST_DOCUMENT_BYTES + 1]).unwrap();
        assert!(read_document_file(&path).unwrap_err().contains("not that long"));
        assert!(read_document_file(folder.path()).unwrap_err().contains("folder"));
        let many = "a=1\n".repeat(MOST_VALUES + 1);
        let (document, faults) = BoatDocument::parse_lenient(&many);
        assert!(document.is_none());
        assert_eq!((faults.len(), faults[0].line), (1, MOST_VALUES + 1));
    }

    #[test]
    fn lines_may_end_in_a_carriage_return_alone() {
        let text = "# as found\r[boat]\rname = \"Tern\"\r[hull]\rdraught = \"1.5 m\"\r";
        let document = BoatDocument::parse_lenient(text).0.unwrap();
        assert_eq!(document.text("boat.name"), Some("Tern"));
        assert_eq!(document.line("hull.draught"), Some(5));
    }

    #[test]
    fn whatever_cannot_be_read_has_a_fault_that_says_so() {
        for text in ["# a\rb = 1\n# c\r\n", "#\u{1}", "\u{7f}", "a = \"\"\"", "# only\r# remarks\n\r"] {
            let (document, faults) = BoatDocument::parse_lenient(text);
            assert!(document.is_some() || !faults.is_empty(), "{text:?}");
        }
    }
}
