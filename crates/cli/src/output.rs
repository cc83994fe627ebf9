//! Writing to the terminal: colour only where it is wanted, a closed pipe is no fault.
//! Not for: what is written.

use std::io::{IsTerminal, Write};

use serde::Serialize;
use wakewright_rooms::text::Paper;

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

/// Writes `message` to standard error; there is nobody to tell when that fails.
pub fn complain(message: &str) {
    let mut err = std::io::stderr().lock();
    let _ = err
        .write_all(message.as_bytes())
        .and_then(|()| if message.ends_with('\n') { Ok(()) } else { err.write_all(b"\n") });
}
