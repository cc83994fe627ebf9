//! All integration tests of this crate in one binary: the documents and logs.

mod alternatives;
mod descriptors;
mod documents;
mod energy;
mod faults;
mod logs_counts;
mod logs_fuzz;
mod logs_runs;
mod logs_sense;
mod trials;
