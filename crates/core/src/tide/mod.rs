//! The tide: heights and high and low waters from harmonic constants, of a secondary place from the waters of
//! another, and between waters that are known. Heights are metres above the datum of a port, time is Unix
//! seconds UTC, angles are radians.
//!
//! Not for: weather (a spread that is laid over all of it), depths, navigation.

pub mod astronomy;
pub mod between;
pub mod constituent;
pub mod currents;
pub mod curve;
pub mod level;
pub mod nodal;
pub mod own_curve;
pub mod secondary;
pub mod set;
pub mod typed;

pub use between::height_between_m;
pub use currents::{Current, Currents, Depth, Event as CurrentEvent};
pub use curve::{Constant, Port, Water};
pub use level::Level;
pub use nodal::NodalSet;
pub use own_curve::OwnCurve;
pub use secondary::{HeightOffset, Offsets};
pub use set::{Kind, Set, Station, great_circle_m};
pub use typed::{Typed, TypedError};

/// No honest tide exists.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TideError {
    /// The instant lies outside the years for which nodal factors are taken.
    #[error(
        "the year {year} is outside 1900 to 2100, for which the factors of the tide hold; choose a day within"
    )]
    YearOutside {
        /// The year asked for.
        year: i64,
    },
    /// A port without a constant that is understood.
    #[error("no harmonic constant of this port is understood; take the waters from its official table")]
    NoConstants,
    /// A line of the set cannot be read.
    #[error("the tide set cannot be read at line {line}: {what}")]
    BadSet {
        /// Line, from 1.
        line: usize,
        /// What is wrong with it.
        what: &'static str,
    },
    /// A current whose record has no direction of flood and ebb.
    #[error(
        "{station} has no direction of flood and ebb in the set, so that its rates cannot be laid along a way; choose another station"
    )]
    NoAxis {
        /// The station.
        station: String,
    },
    /// A current was asked at a depth that the set does not hold, or is not known to.
    #[error("{station}: {what}; ask without a bin, or take the rates of that depth from the official page")]
    OtherDepth {
        /// The station.
        station: String,
        /// What the set has of it.
        what: String,
    },
    /// The station's waters follow those of another one that the set does not have.
    #[error("{station} follows {reference}, which is not in the set; choose another place")]
    NoReference {
        /// The station.
        station: String,
        /// The one it follows.
        reference: String,
    },
}
