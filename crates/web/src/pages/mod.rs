//! The pages, one topic to a file: each loads, calls what computes, and fills a template.
//! No physics here.

pub mod boat;
pub mod boats;
pub mod dated;
pub mod explain;
pub mod gain;
pub mod keep;
pub mod kept;
pub mod options;
pub mod room;
pub mod search;
pub mod sliders;
pub mod theme;
pub mod trials;
