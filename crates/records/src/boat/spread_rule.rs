//! How wide a value is where no band is stated.

use wakewright_core::spread::Spread;

/// Half-width of the 80 % band (four times in five the truth lies inside).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SpreadRule {
    /// No spread.
    Exact,
    /// As a fraction of the value.
    Relative(f64),
    /// In SI units.
    Absolute(f64),
    /// From so many times the value to so many times the value.
    Factor(f64, f64),
}

impl SpreadRule {
    /// The spread around `value_si`.
    #[must_use]
    pub fn around(self, value_si: f64) -> Spread {
        match self {
            Self::Exact => Spread::exact(value_si),
            // A fraction of nothing is nothing, and a logarithm needs a positive value.
            Self::Relative(_) | Self::Factor(..) if value_si <= 0.0 => Spread::exact(value_si),
            Self::Relative(fraction) => Spread::relative(value_si, fraction),
            Self::Absolute(half_width) => Spread::absolute(value_si, half_width),
            Self::Factor(low, high) => Spread::factor(low * value_si, value_si, high * value_si),
        }
    }
}
