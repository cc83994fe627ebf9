//! All tests of the logs in one binary.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod counts;
mod each_reader;
mod forms;
mod fuzz;
mod permuted;
mod runs;
mod sense;
mod trials;
