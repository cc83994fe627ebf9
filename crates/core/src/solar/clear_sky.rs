//! What comes through a sky without cloud. Not for: cloud (`weather`), panels.

use super::position::Sun;

/// Beam square to the rays, from the sky, and both on the horizontal \[W/m²\].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Irradiance {
    /// All on the horizontal.
    pub global_w_m2: f64,
    /// Straight from the sun, square to the rays.
    pub beam_w_m2: f64,
    /// From the sky, on the horizontal.
    pub diffuse_w_m2: f64,
}

/// Way through the air over that from straight above, at an apparent zenith angle.
///
/// `1 / (cos z + 0.50572 (96.07995° - z)^-1.6364)`; `None` below the horizon.
/// # Source
/// \[kasten1989\].
/// # Example
/// An independent evaluation: 6.47333 at 81.47779°.
/// ```
/// # use wakewright_core::solar::clear_sky::relative_airmass;
/// let airmass = relative_airmass(81.477_79_f64.to_radians()).unwrap();
/// assert!((airmass - 6.473_33).abs() < 1e-5);
/// ```
#[must_use]
pub fn relative_airmass(apparent_zenith_rad: f64) -> Option<f64> {
    let degrees = apparent_zenith_rad.to_degrees();
    (degrees <= 90.0)
        .then(|| 1.0 / (apparent_zenith_rad.cos() + 0.505_72 * (96.079_95 - degrees).powf(-1.6364)))
}

/// Haze of a clear day at sea: Linke turbidity. From memory, the middle of 2.5 to 3.5.
pub const USUAL_TURBIDITY: f64 = 3.0;

/// Clear sky by \[ineichen2002\] at sea level, with the haze given as Linke turbidity (2 very clear, 3
/// usual, 5 hazy).
///
/// # Source
/// \[ineichen2002\], as computed by a general-purpose library without the later enhancement.
/// # Valid for
/// Turbidity 2 to 6.
/// # Accuracy
/// Global within 5 % of clear-sky measurements in the median (from memory); the turbidity is the larger
/// uncertainty.
/// # Example
/// An independent evaluation, turbidity 2.6, the sun 8.5° high: 94.668 W/m², of which 459.629 W/m² beam square to the rays.
/// ```
/// # use wakewright_core::solar::Sun;
/// # use wakewright_core::solar::clear_sky::clear_sky_ineichen2002;
/// let zenith_rad = 81.477_79_f64.to_radians();
/// let sun =
///     Sun { zenith_rad, apparent_zenith_rad: zenith_rad, azimuth_rad: 0.0, extraterrestrial_w_m2: 1411.671_67 };
/// let sky = clear_sky_ineichen2002(&sun, 2.6);
/// assert!((sky.global_w_m2 - 94.668_28).abs() < 0.002 && (sky.beam_w_m2 - 459.629_16).abs() < 0.002);
/// ```
#[must_use]
pub fn clear_sky_ineichen2002(sun: &Sun, linke_turbidity: f64) -> Irradiance {
    let cos_zenith = sun.height_sine();
    let Some(airmass) = relative_airmass(sun.apparent_zenith_rad).filter(|_| cos_zenith > 0.0) else {
        return Irradiance::default();
    };
    // The altitude terms at sea level.
    const HEIGHT_1: f64 = 1.0;
    const HEIGHT_2: f64 = 1.0;
    const GLOBAL_1: f64 = 0.868;
    const GLOBAL_2: f64 = 0.0387;
    let strength = sun.extraterrestrial_w_m2;
    let haze = (-GLOBAL_2 * airmass * (HEIGHT_1 + HEIGHT_2 * (linke_turbidity - 1.0))).exp();
    let global_w_m2 = GLOBAL_1 * strength * cos_zenith * haze;
    let beam_factor = 0.664 + 0.163 / HEIGHT_1;
    let by_beam = strength * beam_factor * (-0.09 * airmass * (linke_turbidity - 1.0)).exp();
    let diffuse_share = (0.1 - 0.2 * (-linke_turbidity).exp()) / (0.1 + 0.882 / HEIGHT_1);
    let by_global = global_w_m2 * ((1.0 - diffuse_share) / cos_zenith).max(0.0);
    let beam_w_m2 = by_beam.min(by_global);
    Irradiance { global_w_m2, beam_w_m2, diffuse_w_m2: global_w_m2 - beam_w_m2 * cos_zenith }
}

/// Clear-sky global irradiance from the sun's height alone \[W/m²\]: the second opinion.
///
/// `1098 cos z exp(-0.059 / cos z)`.
/// # Source
/// \[haurwitz1945\].
/// # Example
/// An independent evaluation: 109.276 W/m² with the sun 8.5° high.
/// ```
/// # use wakewright_core::solar::clear_sky::clear_sky_haurwitz1945;
/// assert!((clear_sky_haurwitz1945(81.477_79_f64.to_radians()) - 109.275_77).abs() < 0.001);
/// ```
#[must_use]
pub fn clear_sky_haurwitz1945(apparent_zenith_rad: f64) -> f64 {
    let cos_zenith = apparent_zenith_rad.cos();
    if cos_zenith <= 0.0 { 0.0 } else { 1098.0 * cos_zenith * (-0.059 / cos_zenith).exp() }
}
