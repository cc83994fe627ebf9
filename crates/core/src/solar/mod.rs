//! The sun: where it stands, what comes through the sky, what falls on a panel and what the panel makes
//! of it; weather by monthly clearness.
//!
//! Angles are radians, azimuth from north over east; time is Unix seconds UTC. Not for: the bank and the
//! loads (`energy`).

pub mod cell;
pub mod clear_sky;
pub mod climate;
pub mod diffuse;
pub mod geometry;
pub mod panel;
pub mod position;
pub mod transposition;
pub mod weather;

pub use panel::{Fixing, Lies, Mount, Panel};
pub use position::{Place, Sun};

/// Reflected by water, seen from above. From memory.
pub const WATER_ALBEDO: f64 = 0.06;

/// No honest figure exists for the sun.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SolarError {
    /// The calendar has no such day.
    #[error("there is no day {year}-{month:02}-{day:02}")]
    NoDay {
        /// Year.
        year: i64,
        /// Month.
        month: u32,
        /// Day.
        day: u32,
    },
    /// The position of the sun is not defined there.
    #[error(
        "the sun's position cannot be found at {unix_s} s: {latitude_deg}° latitude, {longitude_deg}° longitude"
    )]
    NoPosition {
        /// Time.
        unix_s: f64,
        /// Latitude \[deg\].
        latitude_deg: f64,
        /// Longitude \[deg\].
        longitude_deg: f64,
    },
}
