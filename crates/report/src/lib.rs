//! Results of Wakewright made readable: pictures (and later pages' text, tables and the report).
//! Returns strings and opens nothing; no computation of boats is done here.

pub mod picture;
