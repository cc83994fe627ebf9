//! A boat's results with their pictures, put together once for the page and the command line.
//! Not for: computing (core), describing pictures (report), pages.

mod drive;
mod energy;
mod profile;
mod range;
mod trial;

pub use drive::DriveScene;
pub use energy::{DayAsked, EnergyScene};
pub use profile::profile_of;
pub use range::RangeScene;
pub use trial::{TrialScene, strips};

use crate::text::Paper;
use wakewright_core::boat::BoatSpec;
use wakewright_picture::Label;
use wakewright_units::Quantity;

use crate::boats::Loaded;

/// `15 × 8 in`: the propeller as it is spoken of.
#[must_use]
pub fn propeller_words(spec: &BoatSpec, paper: &Paper) -> String {
    let size = |si| paper.quantity(si, Quantity::PropellerLength);
    let diameter = size(spec.boat.propeller.diameter_m);
    let number = diameter.rsplit_once(' ').map_or(diameter.as_str(), |(number, _)| number);
    format!("{number} × {}", size(spec.boat.propeller.pitch_m))
}

/// What a demand curve is of: `as she is: 15 × 8 in`.
fn subject(boat: &Loaded, paper: &Paper, who: &str) -> Label {
    Label::new(&format!("{who}: {}", propeller_words(&boat.spec, paper)), who)
}
