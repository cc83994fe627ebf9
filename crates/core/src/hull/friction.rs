//! Friction of smooth surfaces: the ITTC line, wetted surface, thickness of foils.
//! Not for: roughness and growth (see `fouling`).

/// Share of the waterline length that the Delft work takes for the hull's Reynolds number.
/// Source: \[keuning1998\] (all work on the series uses it).
pub const HULL_FRICTION_LENGTH_FRACTION: f64 = 0.7;

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

/// Wetted surface of the canoe body, upright \[m²\].
///
/// `Sc = (1.97 + 0.171 B/Tc) (0.65/Cm)^(1/3) sqrt(V L)`.
/// # Source
/// \[gerritsma1992\], read in copies. On the 51 Delft hulls \[dsyhs2022\]: bias +1.0 %, rms 2.9 %.
/// # Valid for
/// Canoe bodies of the Delft series.
#[must_use]
pub fn wetted_surface_m2(
    length_waterline_m: f64,
    beam_waterline_m: f64,
    canoe_body_draught_m: f64,
    volume_m3: f64,
    midship_coefficient: f64,
) -> f64 {
    (1.97 + 0.171 * beam_waterline_m / canoe_body_draught_m)
        * (0.65 / midship_coefficient).cbrt()
        * (volume_m3 * length_waterline_m).sqrt()
}

/// Factor on the flat-plate friction of a foil for its thickness: `1 + 2 t/c + 60 (t/c)^4`.
///
/// # Source
/// \[hoerner1965\] chapter 6, read in copies.
/// # Valid for
/// Streamlined sections in turbulent flow, t/c up to about 0.25 (from memory).
#[must_use]
pub fn foil_form_factor(thickness_ratio: f64) -> f64 {
    1.0 + 2.0 * thickness_ratio + 60.0 * thickness_ratio.powi(4)
}
