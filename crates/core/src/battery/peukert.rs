//! Peukert's law for lead-acid in the form with the hour rating. Not for: lithium, changing
//! temperature, currents far outside the tested ones.

/// How much faster than its current alone a lead-acid bank empties, at least 1.
///
/// `(I H / C)^(k-1)` with rated capacity `C` over the rating time `H`, so that the time to empty is
/// `t = H (C / (I H))^k`. (The short form `C / I^k` gives the same only when `C` is rated at one ampere.)
/// # Source
/// \[peukert2020\], whose example (100 Ah, k 1.2, 5 A: 14.5 h) holds for a rating at 1 A.
/// # Valid for
/// Between the currents at which `k` was found, constant temperature; below the rated current no bonus is
/// given.
/// # Accuracy
/// Not published.
/// # Example
/// ```
/// use wakewright_core::battery::peukert::depletion_factor;
/// // 100 Ah rated at 1 A, that is over 100 hours, emptied with 5 A.
/// let hours = 100.0 / 5.0 / depletion_factor(360_000.0, 360_000.0, 5.0, 1.2);
/// assert!((hours - 14.5).abs() < 0.05);
/// ```
#[must_use]
pub fn depletion_factor(capacity_coulomb: f64, rating_s: f64, current_a: f64, exponent: f64) -> f64 {
    let over_rated = current_a.abs() * rating_s / capacity_coulomb;
    if over_rated <= 1.0 || exponent == 1.0 { 1.0 } else { over_rated.powf(exponent - 1.0) }
}

/// The current that empties a lead-acid bank as fast as `as_fast_as_a` would without [`depletion_factor`],
/// which it turns round.
#[must_use]
pub fn current_that_takes(capacity_coulomb: f64, rating_s: f64, as_fast_as_a: f64, exponent: f64) -> f64 {
    let over_rated = as_fast_as_a * rating_s / capacity_coulomb;
    if over_rated <= 1.0 || exponent == 1.0 {
        as_fast_as_a
    } else {
        // I (I H / C)^(k-1) = as_fast_as_a.
        as_fast_as_a / over_rated.powf((exponent - 1.0) / exponent)
    }
}
