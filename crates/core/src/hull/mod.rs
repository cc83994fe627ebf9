//! What it takes to push the hull: from a few measurements to resistance at each speed.
//!
//! [`complete()`] fills what the tape did not give, [`PreparedHull`] turns the result into a fast
//! resistance curve. Not for: planing boats, multihulls, heel, waves (a stated margin stands for
//! them), propulsion.

pub mod appendages;
pub mod bands;
pub mod complete;
pub mod confined;
mod cubic;
mod delft_tables;
mod estimates;
mod fitted;
pub mod form;
pub mod friction;
pub mod holtrop;
pub mod keel_residuary;
pub mod nodes;
pub mod own_fit;
mod own_tables;
pub mod prepared;
pub mod residuary;
pub mod resistance;
pub mod shallow;
pub mod towed;
pub mod windage;

pub(crate) use crate::possible::{Impossible, positive, within};
pub use appendages::{CompletedKeel, CompletedRudder};
pub use bands::{
    IN_SERVICE_SPREAD, TOWED_IN_SERVICE_SPREAD, WINDAGE_SPREAD, prismatic_spread, residuary_spread,
};
pub use complete::{CanoeBody, CompletedHull, complete};
pub use confined::{Canal, STERN_LOSS_SPREAD};
pub use form::{
    HullForm, HullKind, Keel, KeelKind, Rudder, RudderKind, block_coefficient, hull_speed_m_s, slenderness,
};
pub use own_fit::FormKnown;
pub use prepared::PreparedHull;
pub use residuary::ResiduaryMethod;
pub use resistance::{ResistanceParts, Sea};
pub use towed::TowedResistance;
pub use windage::{Topsides, WindageForm};
pub(crate) use windage::{air_density_kg_m3, frontal_areas};

/// Why no honest resistance exists.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum HullError {
    /// A figure that cannot be.
    #[error(transparent)]
    Impossible(#[from] Impossible),
    /// The canoe body would reach below the keel.
    #[error(
        "the canoe body is {canoe_body_draught_m:.2} m deep but the whole draught is {draught_m:.2} m: \
         check displacement, beam and draught, or give the canoe body's draught"
    )]
    CanoeBodyTooDeep {
        /// Canoe-body draught, given or from the volume \[m\].
        canoe_body_draught_m: f64,
        /// Draught \[m\].
        draught_m: f64,
    },
    /// Displacement does not fit length, beam and canoe-body draught.
    #[error(
        "displacement fills {block_coefficient:.2} of length x beam x canoe-body draught; boats \
         of this kind have {low} to {high}: weigh her again or measure length, beam and draught again"
    )]
    BlockCoefficient {
        /// Canoe-body block coefficient found.
        block_coefficient: f64,
        /// Least of the kind.
        low: f64,
        /// Greatest of the kind.
        high: f64,
    },
    /// Block, prismatic and midship coefficient were all given and contradict each other.
    #[error(
        "prismatic x midship coefficient is {from_coefficients:.2} but displacement gives a block \
         coefficient of {from_displacement:.2}: leave one of them out"
    )]
    FormContradiction {
        /// Product of the coefficients given.
        from_coefficients: f64,
        /// From displacement, length, beam and draught.
        from_displacement: f64,
    },
    /// Keel and rudder displace more than half of the boat.
    #[error(
        "keel and rudder displace {appendages_m3:.2} m3 of {whole_m3:.2} m3: check keel volume, \
         chord, thickness and draught"
    )]
    AppendagesTooLarge {
        /// Keel and rudder volume \[m³\].
        appendages_m3: f64,
        /// Whole displaced volume \[m³\].
        whole_m3: f64,
    },
    /// Proportions for which no method gives a resistance.
    #[error(
        "no method knows the resistance of a hull of {length_m:.1} m and {volume_m3:.2} m3 that is {beam_to_draught:.0} \
         times as wide as deep: weigh her again, or measure length, beam and draught again"
    )]
    NoSuchForm {
        /// Beam over canoe-body draught.
        beam_to_draught: f64,
        /// Waterline length \[m\].
        length_m: f64,
        /// Canoe-body volume \[m³\].
        volume_m3: f64,
    },
    /// A speed outside the range in which resistance is known.
    #[error(
        "{speed_m_s:.2} m/s lies outside 0 to {max_m_s:.2} m/s, where resistance is known: ask \
         for a lower speed, or give a resistance table from towing"
    )]
    SpeedOutside {
        /// Speed asked for \[m/s\].
        speed_m_s: f64,
        /// Highest speed known \[m/s\].
        max_m_s: f64,
    },
    /// The water is not deep enough to float in.
    #[error("depth {depth_m:.2} m is less than the draught {draught_m:.2} m: she is aground")]
    Aground {
        /// Depth \[m\].
        depth_m: f64,
        /// Draught \[m\].
        draught_m: f64,
    },
    /// The canal is no wider than the boat.
    #[error(
        "the canal is {width_m:.2} m wide and the boat {beam_m:.2} m on the waterline: measure both again"
    )]
    CanalTooNarrow {
        /// Width of the canal \[m\].
        width_m: f64,
        /// Beam on the waterline \[m\].
        beam_m: f64,
    },
    /// A towing table that cannot be used.
    #[error("towing table, row {row}: {problem}")]
    TowingTable {
        /// Row, counted from 1.
        row: usize,
        /// What is wrong and what to do.
        problem: &'static str,
    },
}
