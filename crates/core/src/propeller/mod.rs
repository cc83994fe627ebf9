//! The propeller: open water, all four quadrants, the hull around it, cavitation, and what has to
//! fit when it is mounted. Not for: the hull's resistance or the balance of thrust and drag.

pub mod cavitation;
mod change;
pub mod four_quadrant;
pub mod geometry;
pub mod holtrop1982;
pub mod installation;
pub mod interaction;
pub mod prepared;
pub mod reynolds;
pub mod series;
mod series_terms;
pub mod standards;
pub mod under_sail;

pub(crate) use crate::possible::{Impossible, not_negative, positive};
pub use change::{CHANGE_OF_PROPELLER, PropellerChange, REPITCH_AT_MOST_M};
pub use four_quadrant::FourQuadrant;
pub use interaction::SternArrangement;
pub use prepared::{PreparedPropeller, Propeller};
pub use series::{OpenWater, Pattern};
pub use under_sail::Turning;

/// Why there is no honest figure for a propeller.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PropellerError {
    /// A figure that cannot be.
    #[error(transparent)]
    Impossible(#[from] Impossible),
    /// No series covers this number of blades.
    #[error("{blades} blades: the series cover 2 to 7 blades")]
    BladeCount {
        /// Blades given.
        blades: u8,
    },
    /// The polynomials give no propeller at all so far from the models tested.
    #[error(
        "no open-water curve for {blades} blades, area ratio {area_ratio}, pitch ratio {pitch_ratio}: \
         too far from the models tested; check diameter, pitch and area ratio"
    )]
    NoOpenWater {
        /// Blades.
        blades: u8,
        /// Expanded area ratio.
        area_ratio: f64,
        /// Pitch over diameter.
        pitch_ratio: f64,
    },
}
