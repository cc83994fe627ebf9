//! Writing to the terminal: colour only where it is wanted, a closed pipe is no fault.
//! Not for: what is written.

use std::borrow::Cow;
use std::io::{IsTerminal, Write};
use std::path::Path;

use serde::Serialize;
use wakewright_rooms::sentence::does_more_than_show;
use wakewright_rooms::text::Paper;
use wakewright_store::{Overwrite, StoreError};

use super::{Colour, Done, Failure, OutputArgs};

/// Columns of a page of text.
const WIDTH: usize = 80;

/// The paper that these arguments ask for.
#[must_use]
pub fn paper(args: &OutputArgs) -> Paper {
    let has_ink = match args.colour {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            std::io::stdout().is_terminal()
                && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
                && std::env::var_os("TERM").is_none_or(|term| term != "dumb")
        }
    };
    Paper { width: WIDTH, has_ink, units: args.units.into() }
}

/// Writes `text` to standard output.
/// # Errors
/// When it cannot be written; a reader that went away is not a failure.
pub fn write(text: &str) -> Done {
    let text = without_control(text);
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::input(format!("standard output: {error}\n")))
        }
        _ => Ok(0),
    }
}

/// Writes `value` as JSON to standard output.
/// # Errors
/// As [`write()`].
pub fn write_json(value: &impl Serialize) -> Done {
    let mut text = serde_json::to_string_pretty(value)
        .map_err(|error| Failure::input(format!("the result cannot be written as JSON: {error}\n")))?;
    text.push('\n');
    write(&text)
}

/// Writes `text` to standard output as it is, when that is no terminal: a document that goes into a file.
/// # Errors
/// As [`write()`].
pub fn write_exact(text: &str) -> Done {
    if std::io::stdout().is_terminal() {
        return write(text);
    }
    match std::io::stdout().lock().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::input(format!("standard output: {error}\n")))
        }
        _ => Ok(0),
    }
}

/// Writes `text` to a file, beside it and then in its place. `option` allows that a file is replaced.
/// # Errors
/// A file is there and may not be replaced, or it cannot be written; then nothing was changed.
pub fn write_file(
    file: &Path,
    text: impl AsRef<[u8]>,
    may_replace: bool,
    option: &str,
) -> Result<(), Failure> {
    let overwrite = if may_replace { Overwrite::Replace } else { Overwrite::Refuse };
    wakewright_store::write_file(file, text.as_ref(), overwrite).map_err(|error| {
        Failure::input(match error {
            StoreError::FileExists { .. } if !option.is_empty() => {
                format!("{}: there is such a file already; {option} replaces it\n", file.display())
            }
            error => format!("{error}\n"),
        })
    })
}

/// `text` without what would move the cursor, ring, or turn letters around when a name holds it: only
/// ends of line, tabs and our own ink are left. What is taken out leaves a mark.
fn without_control(text: &str) -> Cow<'_, str> {
    let is_harmless = |c: char| !does_more_than_show(c) || matches!(c, '\n' | '\t');
    if text.chars().all(is_harmless) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        if let Some(ink) = OWN_INK.iter().find(|ink| rest.starts_with(**ink)) {
            out.push_str(ink);
            rest = &rest[ink.len()..];
            continue;
        }
        out.push(if is_harmless(c) { c } else { '\u{fffd}' });
        rest = &rest[c.len_utf8()..];
    }
    Cow::Owned(out)
}

/// The escape sequences that this program itself writes; a name that holds one can do no more than they.
const OWN_INK: [&str; 6] =
    ["\u{1b}[1m", "\u{1b}[1;31m", "\u{1b}[32m", "\u{1b}[2m", "\u{1b}[0m", "\u{1b}[38;5;16;48;5;231m"];

/// Writes `message` to standard error; there is nobody to tell when that fails.
pub fn complain(message: &str) {
    let message = without_control(message);
    let mut err = std::io::stderr().lock();
    let _ = err
        .write_all(message.as_bytes())
        .and_then(|()| if message.ends_with('\n') { Ok(()) } else { err.write_all(b"\n") });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_move_the_cursor() {
        assert_eq!(without_control("Tern\n\t12 in"), "Tern\n\t12 in");
        let evil = "\u{1b}]0;title\u{7}\u{1b}[2J\u{9b}31mTern\r\u{202e}x\u{8}";
        let shown = without_control(evil);
        assert!(!shown.chars().any(does_more_than_show), "{shown:?}");
        let inked = "\u{1b}[1mTern\u{1b}[0m \u{1b}[8mhidden";
        assert_eq!(without_control(inked), "\u{1b}[1mTern\u{1b}[0m \u{fffd}[8mhidden");
    }
}
