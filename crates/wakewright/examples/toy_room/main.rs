//! The program with one question, for the test that adds one the public way.

use std::process::ExitCode;

mod toy;

fn main() -> ExitCode {
    wakewright_cli::run(&toy::TOYS, |_, _| Err("a toy serves no page".to_owned()))
}
