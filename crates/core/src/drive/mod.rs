//! The electric drive from the controller's terminals to the propeller shaft: motor, its heating,
//! controller, reduction and shaft line, and the losses of each.
//!
//! Everything that a steady state evaluates is a plain struct of numbers with cheap methods; what
//! is estimated from a name plate is estimated once, in [`plate`], and says so. Not for: the bank
//! (`battery`), the propeller (`propeller`), cables and fuses.

pub mod controller;
pub mod heat;
pub mod loss_fit;
pub mod motor;
pub mod plate;
pub mod precharge;
pub mod reduction;
pub mod small_load;

pub(crate) use crate::possible::{Impossible, positive, within};
pub use controller::{BusPoint, Controller, ControllerUse, ThrottleMode};
pub use heat::{Cooling, HeatPath, Losses, Temperatures};
pub use loss_fit::{LossFit, LossPoint, LossTerms, fit_loss_terms};
pub use motor::{FieldWeakening, Motor, MotorPoint};
pub use plate::MotorPlate;
pub use precharge::Precharge;
pub use reduction::{DriveLine, MotorSide, ReductionKind};
pub use small_load::ShaftSeal;

/// No honest figure exists for the drive.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DriveError {
    /// A figure that cannot be.
    #[error(transparent)]
    Impossible(#[from] Impossible),
    /// The figures on the name plate contradict each other.
    #[error(
        "the name plate contradicts itself: at the rated point the total loss is {total_loss_w:.0} W but \
         {part} alone takes {part_loss_w:.0} W; check efficiency, resistance and no-load current"
    )]
    PlateContradictsItself {
        /// Loss from the stated or assumed efficiency \[W\].
        total_loss_w: f64,
        /// Which part of the loss exceeds the total.
        part: &'static str,
        /// That part \[W\].
        part_loss_w: f64,
    },
    /// A fit has fewer independent points than unknowns.
    #[error("{points} points do not determine {unknowns} loss terms; measure at more speeds and torques")]
    NotDetermined {
        /// Points given.
        points: usize,
        /// Terms sought.
        unknowns: usize,
    },
}
