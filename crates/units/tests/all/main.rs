//! All integration tests of this crate in one binary: the units.

mod factors;
mod reading;
