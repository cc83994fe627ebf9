//! How much of the light comes from the sky rather than straight from the sun, by clearness.
//! Not for: panels.

use super::clear_sky::Irradiance;

/// Share of global light that comes from the sky, by the clearness of the hour.
///
/// # Source
/// \[erbs1982\].
/// # Accuracy
/// A single hour scatters by ±0.2 around it; monthly sums agree within some per cent.
/// # Example
/// By hand on a dark hour: 1 - 0.09 x 0.2 = 0.982.
/// ```
/// # use wakewright_core::solar::diffuse::diffuse_fraction_erbs1982;
/// assert!((diffuse_fraction_erbs1982(0.2) - 0.982).abs() < 1e-12);
/// ```
#[must_use]
pub fn diffuse_fraction_erbs1982(clearness: f64) -> f64 {
    if clearness <= 0.22 {
        1.0 - 0.09 * clearness
    } else if clearness <= 0.8 {
        0.9511 + clearness * (-0.1604 + clearness * (4.388 + clearness * (-16.638 + clearness * 12.336)))
    } else {
        0.165
    }
}

/// Lowest sine of the sun's height with which clearness is formed, and lowest with which a beam is
/// believed: near the horizon both are noise. As in general-purpose libraries (86.3° and 87°).
const LOWEST_FOR_CLEARNESS: f64 = 0.065;
const LOWEST_FOR_BEAM: f64 = 0.052_335_956;

/// Splits the light on the horizontal into beam and sky.
///
/// # Source
/// \[erbs1982\]. Below 3° of height all counts as sky.
/// # Example
/// A row of an independent evaluation.
/// ```
/// # use wakewright_core::solar::diffuse::split_erbs1982;
/// let light = split_erbs1982(336.062_961, 68.846_105_f64.to_radians().cos(), 1411.926_54);
/// assert!((light.beam_w_m2 - 638.028_79).abs() < 0.001);
/// assert!((light.diffuse_w_m2 - 105.814_819).abs() < 0.001);
/// ```
#[must_use]
pub fn split_erbs1982(global_w_m2: f64, cos_zenith: f64, extraterrestrial_w_m2: f64) -> Irradiance {
    let clearness =
        (global_w_m2 / (extraterrestrial_w_m2 * cos_zenith.max(LOWEST_FOR_CLEARNESS))).clamp(0.0, 1.0);
    let diffuse_w_m2 = diffuse_fraction_erbs1982(clearness) * global_w_m2;
    if cos_zenith < LOWEST_FOR_BEAM {
        return Irradiance { global_w_m2, beam_w_m2: 0.0, diffuse_w_m2: global_w_m2 };
    }
    Irradiance { global_w_m2, beam_w_m2: (global_w_m2 - diffuse_w_m2) / cos_zenith, diffuse_w_m2 }
}
