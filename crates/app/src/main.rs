//! The program: reads arguments, runs one command, says what was found. Exit codes: 0 done,
//! 1 a check failed, 2 bad input.

mod boats;
mod candidate;
mod causes;
mod cli;
mod explain;
mod logs;
mod moment;
mod no_answer;
mod options;
#[cfg(feature = "parquet")]
mod parquet;
mod remedies;
mod sampling;
mod scene;
mod searching;
mod sources;
mod transfer;
mod trials;
mod web;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run()
}
