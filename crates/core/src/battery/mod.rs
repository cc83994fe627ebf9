//! The propulsion bank: cells by chemistry, packs in parallel, what they give at a load, how long
//! they last, and what happens when one of them drops out.
//!
//! Not for: fault currents and fuses (they need another resistance than the sag under load),
//! where charging power comes from.

pub mod bank;
pub mod charge;
pub mod chemistry;
pub mod curve;
pub mod discharge;
pub mod further;
pub mod pack;
pub mod paralleling;
pub mod peukert;
pub mod prepared;
pub mod ventilation;

pub(crate) use crate::possible::{Impossible, positive, within};
pub use bank::{Bank, OnePackLost};
pub use charge::{Acceptance, Charging, Taper, charge};
pub use chemistry::Chemistry;
pub use curve::OpenCircuitCurve;
pub use discharge::{Discharge, Load, StoppedBy, discharge};
pub use further::FurtherBank;
pub use pack::{PackGroup, StatedVoltage, check_stated_voltage, likely_cells};
pub use prepared::{BankCeiling, BankLimit, PreparedBank, Terminal};

/// Highest direct voltage that counts as safe to touch where it is dry \[V\] \[iec60598-2008\]; 30 V
/// where it is wet, as boats are.
pub const TOUCH_LIMIT_V: f64 = 60.0;
/// The same where skin, floor or air is wet, as in bilges, lockers and cockpits \[V\]. Source: \[iec60598-2008\].
pub const WET_TOUCH_LIMIT_V: f64 = 30.0;

/// Resistance of a lithium pack in the first instant over that after minutes of load, where the sheet does not tell it:
/// the inverse of the judgement in `Chemistry::one_hour_drop_v`. Lead's figures were read in the first instant.
const INSTANT_SHARE: f64 = 0.5;

/// No honest figure exists for the bank.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BankError {
    /// A figure that cannot be.
    #[error(transparent)]
    Impossible(#[from] Impossible),
    /// There is no pack in it.
    #[error("the bank has no packs; give at least one group with one pack and one cell in series")]
    Empty,
    /// Groups of different chemistry in parallel.
    #[error(
        "{first:?} and {other:?} packs stand in parallel: never mix chemistries; make them separate banks"
    )]
    MixedChemistry {
        /// Chemistry of the first group.
        first: Chemistry,
        /// The one that differs.
        other: Chemistry,
    },
    /// Groups of different voltage in parallel.
    #[error(
        "packs of {first} and {other} cells in series stand in parallel: they have different voltages; \
         make them separate banks"
    )]
    MixedVoltage {
        /// Cells in series of the first group.
        first: u32,
        /// The number that differs.
        other: u32,
    },
}
