//! All integration tests of this crate in one binary: the documents.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod alternatives;
mod cables;
mod checkups;
mod descriptors;
mod documents;
mod energy;
mod faults;
mod wiring;
