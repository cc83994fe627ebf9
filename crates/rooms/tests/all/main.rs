//! All integration tests of this crate in one binary: pictures, colours, golden texts, files of former versions.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod archive;
mod bad_tides;
mod checkups;
mod colours;
mod fields;
mod fleet;
mod golden;
mod old_files;
#[cfg(feature = "parquet")]
mod parquet;
mod photographs;
mod pictures;
mod places;
mod simulated;
mod ways_home;
