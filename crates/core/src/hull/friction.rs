//! Where friction acts on a hull: wetted surface, thickness of foils, length.
//! Not for: its coefficient (`friction`), roughness and growth (`fouling`).

/// Share of the waterline length that the Delft work takes for the hull's Reynolds number.
/// Source: \[keuning1998\] (all work on the series uses it).
///
/// Growth goes by the same length, where \[granville1987\] and \[schultz2007\] take that of the ship: the waterlines of
/// a hull with rocker grow shorter with depth. Strips along parabolic waterlines, each a plate of its own length, give
/// the growth of one plate of 0.7 L within 0.5 %; one of the whole length is 10 % low. A canal boat, which has no
/// rocker, takes the whole.
pub const HULL_FRICTION_LENGTH_FRACTION: f64 = 0.7;

/// Wetted surface of the canoe body, upright \[m²\].
///
/// `Sc = (1.97 + 0.171 B/Tc) (0.65/Cm)^(1/3) sqrt(V L)`.
/// # Source
/// \[gerritsma1992\], read in copies. On the 51 Delft hulls \[dsyhs2022\]: bias +1.0 %, rms 2.9 %.
/// # Valid for
/// Canoe bodies of the Delft series.
/// # Accuracy
/// Bias +1.0 %, rms 2.9 % of the 51 Delft hulls.
/// # Example
/// Hull 1 of \[dsyhs2022\], measured as 0.642534 m².
/// ```
/// # use wakewright_core::hull::friction::wetted_surface_m2;
/// let surface = wetted_surface_m2(1.6, 0.5072, 0.12704, 0.037_613_6, 0.646_41);
/// assert!((surface / 0.642_534 - 1.0).abs() < 0.03);
/// ```
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
/// # Accuracy
/// Not published.
/// # Example
/// By hand for a section of 12 %: 1 + 0.24 + 60 · 0.12⁴ = 1.2524.
/// ```
/// # use wakewright_core::hull::friction::foil_form_factor;
/// assert!((foil_form_factor(0.12) - 1.2524).abs() < 5e-5);
/// ```
#[must_use]
pub fn foil_form_factor(thickness_ratio: f64) -> f64 {
    1.0 + 2.0 * thickness_ratio + 60.0 * thickness_ratio.powi(4)
}
