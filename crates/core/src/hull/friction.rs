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
