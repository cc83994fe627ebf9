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
pub mod pack;
pub mod paralleling;
pub mod peukert;
pub mod prepared;
pub mod ventilation;

pub use bank::{Bank, OnePackLost};
pub use charge::{Acceptance, Charging, Taper, charge};
pub use chemistry::Chemistry;
pub use curve::OpenCircuitCurve;
pub use discharge::{Discharge, Load, StoppedBy, discharge};
pub use pack::{PackGroup, StatedVoltage, check_stated_voltage};
pub use prepared::{BankCeiling, BankLimit, PreparedBank, Terminal};

/// Highest direct voltage that counts as safe to touch where it is dry \[V\] \[iec60598-2008\]; 30 V
/// where it is wet, as boats are.
pub const TOUCH_LIMIT_V: f64 = 60.0;
/// The same where skin, floor or air is wet, as in bilges, lockers and cockpits \[V\]. Source: \[iec60598-2008\].
pub const WET_TOUCH_LIMIT_V: f64 = 30.0;

/// No honest figure exists for the bank.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BankError {
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
    /// A quantity that must be above zero is not.
    #[error("{quantity} is {value}; it must be above zero")]
    NotPositive {
        /// Field in words.
        quantity: &'static str,
        /// Value given, in SI units.
        value: f64,
    },
    /// A quantity lies outside its range.
    #[error("{quantity} is {value}; it must lie between {low} and {high}")]
    OutOfRange {
        /// Field in words.
        quantity: &'static str,
        /// Value given, in SI units.
        value: f64,
        /// Lowest value accepted.
        low: f64,
        /// Highest value accepted.
        high: f64,
    },
}

/// `Ok` when the value is finite and above zero.
pub(crate) fn check_positive(quantity: &'static str, value: f64) -> Result<(), BankError> {
    if value.is_finite() && value > 0.0 { Ok(()) } else { Err(BankError::NotPositive { quantity, value }) }
}

/// `Ok` when the value lies in the range, ends included.
pub(crate) fn check_between(
    quantity: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<(), BankError> {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(BankError::OutOfRange { quantity, value, low, high })
    }
}
