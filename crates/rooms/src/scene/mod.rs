//! A boat's results with their pictures, put together once for the page and the command line.
//! Not for: computing (core), describing pictures (report), pages.

mod profile;
mod trial;

pub use profile::profile_of;
pub use trial::{TrialScene, measured_points, strips};
