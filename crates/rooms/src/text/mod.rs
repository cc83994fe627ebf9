//! The ground of everything written: a sheet of 80 columns with its units, a table, a finding and remarks.
//! Not for: what is written.

mod finding;
mod paper;
mod table;

pub use finding::{Finding, Remedy, finding_text, notices_text};
pub use paper::{Ink, Paper};
pub(crate) use paper::{NO_END, percent, visible_length};
pub use table::{Align, Table, Titled};
