//! The boats of a shop side by side: who is due, whose bank fades, how her forecasts fared, where she stands among them.
//! Not for: one boat's answers, boats of other shops.

mod sheets;
mod study;

pub use sheets::FLEET_SHEETS;
pub use study::{Coverage, FleetBoat, FleetStudy, Held, Rank};
