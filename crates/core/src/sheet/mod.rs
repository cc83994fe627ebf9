//! The ground floor of everything that is shown: what a figure is, declared once, and what a table of
//! figures is. A domain declares its figures and sheets beside its formulas; terminal, page, JSON, schema,
//! CSV and `explain` read them from here. Knows no domain.
//! Not for: how a value is written (units, digits) or where a sheet stands.

mod column;
mod figure;
mod filled;

pub use crate::spread::Interval;
pub use column::{Column, Columns, Get, Kind, List, Shown, Via, Word};
pub use figure::{Better, Figure, Origin};
pub use filled::{AnySheet, Filled, FilledRow, Form, Head, Rows, Sheet, Tone, Value, itself, plain};

/// Figures of something that was found, each with its entry and how it is taken out of it: a `Figure` of
/// each name, and the list of columns.
macro_rules! figure_list {
    ($(#[$head:meta])* $list:ident of $found:ty {
        $($(#[$doc:meta])* $name:ident { $key:literal, $label:literal, $quantity:ident,
        formula: $formula:literal, sources: [$($source:literal),*], inputs: [$($input:expr),*],
        validity: $validity:literal, value: |$s:ident| $value:expr })+ }) => {
        $($(#[$doc])*
        pub static $name: $crate::sheet::Figure = $crate::sheet::Figure {
            key: $key, head: $label, label: $label, quantity: wakewright_units::Quantity::$quantity,
            origin: $crate::sheet::Origin::Formula {
                formula: $formula, sources: &[$($source),*], inputs: &[$($input),*], validity: $validity,
            },
        };)+

        $(#[$head])*
        pub static $list: $crate::sheet::List<$found> =
            $crate::sheet::List(&[$($crate::sheet::Column::band(&$name, |$s: &$found| $value)),+]);
    };
}
pub(crate) use figure_list;
