//! Notes what was estimated while a hull is completed.
//! Not for: the values.

use crate::notice::{Notice, push_once};

/// Key of the measured Delft hulls.
pub(super) const DELFT: &str = "dsyhs2022";
/// A fact of the trade.
pub(super) const PRACTICE: &str = "common practice, no source";
const MEDIAN_BASIS: &str = "the median of the 51 Delft hulls";

/// Notes each estimate as it is made.
pub(super) struct Estimates<'a>(pub &'a mut Vec<Notice>);

impl Estimates<'_> {
    pub fn note(
        &mut self,
        quantity: &'static str,
        value: f64,
        unit: &'static str,
        basis: &'static str,
        source: &'static str,
    ) -> f64 {
        push_once(self.0, Notice::Estimated { quantity, value, unit, basis, source });
        value
    }

    pub fn median(&mut self, quantity: &'static str, value: f64, unit: &'static str) -> f64 {
        self.note(quantity, value, unit, MEDIAN_BASIS, DELFT)
    }

    pub fn habit(&mut self, quantity: &'static str, value: f64, unit: &'static str) -> f64 {
        self.note(quantity, value, unit, "the usual share of the lateral plan for this sort", PRACTICE)
    }
}
