//! Quantities as a fitter writes them: every conversion factor once, reading (`12 1/2 in`,
//! `27'6"`, `8,4 m`, `12,000 lb`) into SI and writing SI for reading.
//!
//! Not for: which field takes which quantity (that is the record's descriptor), and never inside
//! a computation, which is in SI throughout.
#![deny(missing_docs)]

mod cell;
mod column;
mod dimension;
mod error;
pub mod factors;
mod format;
mod money;
mod nearest;
mod number;
mod parse;
mod quantity;
mod table;
mod written_unit;

pub use cell::{text_cell, text_of_cell};
pub use column::{ColumnStyle, Separators, column_style, read_number_as};
pub use dimension::Dimension;
pub use error::UnitError;
pub use format::{Digits, UnitSystem, format_feet_inches, format_number, format_quantity};
pub use money::read_money;
pub use nearest::nearest;
pub use number::{NumberError, ReadNumber, may_have_two_readings, read_number, read_number_twice};
pub use parse::{
    ReadQuantity, both_readings, parse_certain, parse_interval, parse_quantity, parse_typed, read_interval,
    read_quantity, two_readings,
};
pub use quantity::Quantity;
pub use table::{Unit, accepted_units, is_symbol, units_of};
pub use written_unit::{decimals_for_column, file_unit, unit_for, unit_for_column, unit_named};
