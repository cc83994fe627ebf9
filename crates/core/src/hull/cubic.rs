//! Cubic pieces between two nodes, by values and slopes at the ends.
//! Not for: choosing nodes or slopes.

/// Coefficients of a cubic in 0..1.
pub(super) type Cubic = [f64; 4];

/// The cubic with these values and (unit-width) slopes at its ends.
pub(super) fn hermite(values: [f64; 2], slopes: [f64; 2]) -> Cubic {
    let rise = values[1] - values[0];
    [values[0], slopes[0], 3.0 * rise - 2.0 * slopes[0] - slopes[1], slopes[0] + slopes[1] - 2.0 * rise]
}

/// Value of a cubic.
#[inline]
pub(super) fn cubic_value(c: &Cubic, t: f64) -> f64 {
    c[0] + t * (c[1] + t * (c[2] + t * c[3]))
}

/// Derivative of a cubic.
#[inline]
pub(super) fn cubic_slope(c: &Cubic, t: f64) -> f64 {
    c[1] + t * (2.0 * c[2] + t * 3.0 * c[3])
}
