//! All integration tests of this crate in one binary: the documents.

mod alternatives;
mod descriptors;
mod documents;
mod energy;
mod faults;
