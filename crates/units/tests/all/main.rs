//! All integration tests of this crate in one binary: the units.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod factors;
mod reading;
