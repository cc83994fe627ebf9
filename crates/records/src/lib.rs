//! What is kept: the boat document, and the reading of it with every fault named at once.
//!
//! Not for: opening files (text comes in, text goes out) and not for computing.
#![deny(missing_docs)]

pub mod boat;
pub mod checkup;
pub mod dated;
