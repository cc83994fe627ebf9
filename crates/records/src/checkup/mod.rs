//! A dated check-up as a document: TOML with what was typed, and the reading of it with every fault at once.
//! Not for: keeping it, photographs, what the values mean.

mod document;
mod fitted;
mod reading;

pub use document::{CHECKUP_KIND, TEST_FIELDS, TestField, has_place};
pub use fitted::fitted;
pub use reading::{CheckupReading, FoundAt, ReadTest, read_checkup};
