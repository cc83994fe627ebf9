//! Quantities as a fitter writes them: every conversion factor once, reading (`12 1/2 in`,
//! `27'6"`, `8,4 m`, `12,000 lb`) into SI and writing SI for reading.
//!
//! Not for: which field takes which quantity (that is the record's descriptor), and never inside
//! a computation, which is in SI throughout.
#![deny(missing_docs)]

mod error;
pub mod factors;
mod format;
mod number;
mod parse;
mod quantity;
mod table;

pub use error::{UnitError, nearest};
pub use format::{
    Digits, UnitSystem, decimals_for_column, file_unit, format_feet_inches, format_number, format_quantity,
    unit_for, unit_for_column,
};
pub use number::{NumberError, read_number};
pub use parse::{ReadQuantity, parse_interval, parse_quantity, read_quantity};
pub use quantity::{Dimension, Quantity};
pub use table::{Unit, accepted_units, units_of};
