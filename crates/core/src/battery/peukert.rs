//! Peukert's law for lead-acid in the form with the hour rating. Not for: lithium, changing
//! temperature, currents far outside the tested ones.

/// Time to empty at a constant current \[s\].
///
/// `t = H (C / (I H))^k` with rated capacity `C` over the rating time `H`. At the rated current it
/// gives `H`. (The short form `C / I^k` gives the same only when `C` is rated at one ampere.)
/// # Source
/// \[peukert2020\]; the exponent `k` from two tests by [`exponent_from_two_tests`].
/// # Valid for
/// Between the currents at which `k` was found, constant temperature.
#[must_use]
pub fn time_to_empty_s(capacity_coulomb: f64, rating_s: f64, current_a: f64, exponent: f64) -> f64 {
    rating_s * (capacity_coulomb / (current_a * rating_s)).powf(exponent)
}

/// Exponent from two discharges to the same cut-off: `k = ln(t2/t1) / ln(I1/I2)`.
///
/// `None` when the currents are equal or a figure is not above zero.
/// # Source
/// \[peukert2020\].
#[must_use]
pub fn exponent_from_two_tests(first: (f64, f64), second: (f64, f64)) -> Option<f64> {
    let ((current_1_a, time_1_s), (current_2_a, time_2_s)) = (first, second);
    let usable = [current_1_a, time_1_s, current_2_a, time_2_s].iter().all(|&x| x > 0.0);
    (usable && current_1_a != current_2_a)
        .then(|| (time_2_s / time_1_s).ln() / (current_1_a / current_2_a).ln())
}

/// How much faster than its current alone a lead-acid bank empties, at least 1.
///
/// `(I H / C)^(k-1)`; below the rated current no bonus is given.
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
