//! All tests of the logs in one binary.

mod counts;
mod fuzz;
mod runs;
mod sense;
mod trials;
