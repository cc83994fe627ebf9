//! Figures that cannot be: one check and one sentence for every domain.
//! Not for: figures that are only doubted (`notice`).

/// A figure that cannot be.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Impossible {
    /// What must be above zero is not, or is no number.
    #[error("{quantity} is {value}; it must be a number above zero: measure or correct it")]
    NotPositive {
        /// In words.
        quantity: &'static str,
        /// As given, SI.
        value: f64,
    },
    /// What may be zero but not less is less, or is no number.
    #[error("{quantity} is {value}; it must be a number, zero or more")]
    Negative {
        /// In words.
        quantity: &'static str,
        /// As given, SI.
        value: f64,
    },
    /// It lies outside what can be, or what the methods can bear.
    #[error(
        "{quantity} is {value:.3}; it must lie between {low} and {high}{}{advice}",
        if advice.is_empty() { "" } else { ": " }
    )]
    Outside {
        /// In words.
        quantity: &'static str,
        /// As given, SI.
        value: f64,
        /// Lowest that is taken.
        low: f64,
        /// Highest that is taken.
        high: f64,
        /// What to do; may be empty.
        advice: &'static str,
    },
}

/// `value` when it is finite and above zero.
/// # Errors
/// [`Impossible::NotPositive`].
pub fn positive(quantity: &'static str, value: f64) -> Result<f64, Impossible> {
    let is_it = value.is_finite() && value > 0.0;
    if is_it { Ok(value) } else { Err(Impossible::NotPositive { quantity, value }) }
}

/// `value` when it is finite and not below zero.
/// # Errors
/// [`Impossible::Negative`].
pub fn not_negative(quantity: &'static str, value: f64) -> Result<f64, Impossible> {
    let is_it = value.is_finite() && value >= 0.0;
    if is_it { Ok(value) } else { Err(Impossible::Negative { quantity, value }) }
}

/// `value` when it lies in the range, ends included.
/// # Errors
/// [`Impossible::Outside`] with `advice`.
pub fn within(
    quantity: &'static str,
    value: f64,
    (low, high): (f64, f64),
    advice: &'static str,
) -> Result<f64, Impossible> {
    let is_it = (low..=high).contains(&value);
    if is_it { Ok(value) } else { Err(Impossible::Outside { quantity, value, low, high, advice }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_cannot_be() {
        for value in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(positive("draught", value).is_err());
            assert_eq!(not_negative("draught", value).is_ok(), value == 0.0);
        }
        assert!(within("share", f64::NAN, (0.0, 1.0), "").is_err());
        let said = within("share", 1.5, (0.0, 1.0), "give a share").unwrap_err().to_string();
        assert_eq!(said, "share is 1.500; it must lie between 0 and 1: give a share");
    }
}
