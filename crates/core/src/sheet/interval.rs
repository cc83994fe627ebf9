//! A value with its 80 % band.

use crate::spread::{Spread, quantiles};

/// A figure at the inputs' medians, with its 80 % band over the samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// With every input at its median.
    pub value: f64,
    /// One time in ten lower.
    pub p10: f64,
    /// One time in ten higher.
    pub p90: f64,
}

impl Interval {
    /// A value without band.
    #[must_use]
    pub fn exact(value: f64) -> Self {
        Self { value, p10: value, p90: value }
    }

    /// Value and band times `factor`.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self { value: self.value * factor, p10: self.p10 * factor, p90: self.p90 * factor }
    }

    /// The band of `values` around `value`; what is not finite is left out.
    pub(crate) fn over(value: f64, values: &mut Vec<f64>) -> Self {
        values.retain(|v| v.is_finite());
        let band = quantiles(values).unwrap_or(Spread::exact(value));
        Self { value, p10: band.p10, p90: band.p90 }
    }
}
