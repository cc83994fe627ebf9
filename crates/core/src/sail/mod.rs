//! What the propeller does while she sails, as the whole boat feels it: drag, speed lost, watts from or
//! into the bank. Locked, free, turned without drag, or turning the motor.
//!
//! Not for: the blades' own figures (`propeller`), the sails.

mod figure;
mod hazard;
mod prepared;
mod price;
mod regenerate;
mod sheets;
mod stopping;
mod study;

pub use figure::{BOLLARD_PULL, STOPPING_TIME, STOPPING_WAY};
pub use hazard::{Hazards, REGENERATION, SHAFT_UNDER_SAIL};
pub use prepared::{Mode, ModeState, UnderSail};
pub use price::SpeedPrice;
pub use regenerate::{Harvest, NoHarvest};
pub use sheets::SAIL_SHEETS;
pub use stopping::Stopping;
pub use study::{ModeIntervals, SailQuestions, SailRow, SailSample, SailStudy, sample_sail, summarise_sail};
