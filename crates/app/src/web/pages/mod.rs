//! The pages, one topic to a file: each loads, calls what computes, and fills a template.
//! No physics here.

pub mod bench;
pub mod boat;
pub mod boats;
pub mod drive;
pub mod energy;
pub mod explain;
pub mod keep;
pub mod options;
pub mod range;
pub mod sail;
pub mod search;
pub mod theme;
pub mod trials;
