//! The boats that the benches run on.
#![allow(dead_code, reason = "each bench uses its part")]

use wakewright_core::boat::{Boat, BoatSpec};
use wakewright_records::boat::{BoatDocument, build_spec};

/// The invented boat of the examples.
pub fn demo_spec() -> BoatSpec {
    let document = BoatDocument::parse(include_str!("../../../../examples/grey_wagtail.toml")).unwrap();
    build_spec(&document).unwrap()
}

/// As [`demo_spec`], at the inputs' medians.
pub fn demo_boat() -> Boat {
    demo_spec().boat
}

/// The demo boat with blades large enough for the Reynolds correction of the series.
pub fn large_propeller_boat() -> Boat {
    let mut boat = demo_boat();
    boat.propeller.diameter_m = 0.5;
    boat.propeller.pitch_m = 0.35;
    boat.propeller.area_ratio = 0.6;
    boat
}
