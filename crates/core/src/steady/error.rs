//! Why a boat has no figures: whatever her parts, or the balance of them, refuse.
//! Not for: the refusals themselves (each domain words its own).

use super::solve::SteadyError;
use crate::battery::BankError;
use crate::drive::DriveError;
use crate::hull::HullError;
use crate::propeller::PropellerError;

/// Why no honest figure exists for this boat.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BoatError {
    /// About the hull.
    #[error("hull: {0}")]
    Hull(#[from] HullError),
    /// About the propeller.
    #[error("propeller: {0}")]
    Propeller(#[from] PropellerError),
    /// About motor, controller or reduction.
    #[error("drive: {0}")]
    Drive(#[from] DriveError),
    /// About the bank.
    #[error("bank: {0}")]
    Bank(#[from] BankError),
    /// No steady state.
    #[error("no steady state: {0}")]
    Steady(#[from] SteadyError),
}
