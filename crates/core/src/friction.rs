//! Friction of smooth plates: the ITTC 1957 line, for hulls and for what grows on them.
//! Not for: roughness and growth (see `fouling`), the areas that it acts on (`hull`).

/// Coefficient of the ITTC line. Source: \[ittc1957\].
const ITTC_NUMERATOR: f64 = 0.075;

/// Reynolds number under which the line is not evaluated: it is singular at 100, and a speed that
/// small has no resistance worth a figure.
const LOWEST_REYNOLDS: f64 = 1.0e3;

/// Frictional coefficient of a smooth hull by the ITTC 1957 line, and its derivative by the
/// logarithm of the Reynolds number.
///
/// `CF = 0.075 / (log10 Re - 2)^2`.
/// # Source
/// \[ittc1957\]. Used without a form factor: the low-speed runs of the Delft hulls have friction /
/// total of 0.9 to 1.1 on this line \[dsyhs2022\], a form factor would count twice.
/// # Valid for
/// Turbulent flow; source states no range. Below Re 1000 the value at 1000 is given.
/// # Accuracy
/// Not published; a correlation line between models and ships, not a measured plate.
/// # Example
/// The line as it is tabulated: 3.000e-3 at Re 1e7 (from memory).
/// ```
/// # use wakewright_core::friction::frictional_coefficient_ittc1957;
/// let coefficient = frictional_coefficient_ittc1957(1e7);
/// assert!((coefficient - 3.000e-3).abs() < 5e-7);
/// ```
#[must_use]
pub fn frictional_coefficient_ittc1957(reynolds: f64) -> f64 {
    frictional_coefficient_with_slope(reynolds).0
}

/// As [`frictional_coefficient_ittc1957`], with `d CF / d ln Re`.
#[must_use]
pub fn frictional_coefficient_with_slope(reynolds: f64) -> (f64, f64) {
    let exponent = reynolds.max(LOWEST_REYNOLDS).log10() - 2.0;
    let coefficient = ITTC_NUMERATOR / (exponent * exponent);
    (coefficient, -2.0 * coefficient / (exponent * std::f64::consts::LN_10))
}
