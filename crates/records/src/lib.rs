//! What is kept: the boat document, trials and their logs, and the reading of them with every fault
//! named at once.
//!
//! Not for: opening files (text comes in, text goes out) and not for computing.
#![deny(missing_docs)]

pub mod boat;
pub mod logs;
pub mod trial;
