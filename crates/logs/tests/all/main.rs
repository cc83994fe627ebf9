//! All tests of the logs in one binary.

mod counts;
mod forms;
mod fuzz;
mod permuted;
mod runs;
mod sense;
mod trials;
