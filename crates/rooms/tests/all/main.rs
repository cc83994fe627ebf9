//! All integration tests of this crate in one binary: pictures and colours.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod colours;
mod pictures;
