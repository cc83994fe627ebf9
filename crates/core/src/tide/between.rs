//! The tide between a high and a low water when nothing but these is known. Ports in shallow water and rivers have
//! curves of their own that lie up to an hour from this one.

use std::f64::consts::PI;

use super::Water;

/// How far, as one standard deviation, the hour of a height between two waters lies from the cosine where the port's
/// own curve is not known \[s\]: one port read by its curve and by the rule of twelfths is an hour apart
/// (`reference/tide/between_high_and_low.csv`), taken as 80 % band from -1 h to 1 h.
pub const UNKNOWN_CURVE_S: f64 = 3600.0 / 1.2816;

/// Height between two waters that follow each other, by a cosine \[m\].
///
/// `h = (h1 + h2)/2 + (h1 - h2)/2 cos(pi (t - t1)/(t2 - t1))` with 1 = `before`, 2 = `after`.
/// # Source
/// \[canada2003\] table 5, read as quoted (one worked example, `reference/tide/between_high_and_low.csv`).
/// # Valid for
/// Between the two waters. Outside the nearer of them is given.
/// # Accuracy
/// An hour where the port's own curve is not known; 0.1 ft against the worked example.
/// # Errors
/// None.
/// # Example
/// Half way between 1 m and 3 m it is 2 m:
/// ```
/// use wakewright_core::tide::{Water, height_between_m};
/// let low = Water { unix_s: 0.0, height_m: 1.0, is_high: false };
/// let high = Water { unix_s: 21_600.0, height_m: 3.0, is_high: true };
/// assert!((height_between_m(&low, &high, 10_800.0) - 2.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn height_between_m(before: &Water, after: &Water, unix_s: f64) -> f64 {
    let share = ((unix_s - before.unix_s) / (after.unix_s - before.unix_s)).clamp(0.0, 1.0);
    let (mean, half) = ((before.height_m + after.height_m) / 2.0, (before.height_m - after.height_m) / 2.0);
    mean + half * (PI * share).cos()
}

/// When the cosine between two waters passes a height \[Unix s\]; none where it lies outside them.
///
/// `t = t1 + (t2 - t1) acos((2 h - h1 - h2)/(h1 - h2))/pi`, [`height_between_m`] turned round.
/// # Source
/// As [`height_between_m`]; checked against the drying example of the same table, 1 min.
/// # Valid for
/// Heights between the two waters.
/// # Accuracy
/// As [`height_between_m`].
/// # Errors
/// None.
/// # Example
/// It passes 2 m half way between 1 m and 3 m:
/// ```
/// use wakewright_core::tide::{Water, between::passes_at_s};
/// let low = Water { unix_s: 0.0, height_m: 1.0, is_high: false };
/// let high = Water { unix_s: 21_600.0, height_m: 3.0, is_high: true };
/// assert!((passes_at_s(&low, &high, 2.0).unwrap() - 10_800.0).abs() < 1e-6);
/// ```
#[must_use]
pub fn passes_at_s(before: &Water, after: &Water, height_m: f64) -> Option<f64> {
    let range_m = before.height_m - after.height_m;
    let cos = (2.0 * height_m - before.height_m - after.height_m) / range_m;
    (-1.0..=1.0).contains(&cos).then(|| before.unix_s + (after.unix_s - before.unix_s) * cos.acos() / PI)
}
