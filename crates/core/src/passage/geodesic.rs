//! The shortest way between two positions on the earth's ellipsoid. Not for: a course that is steered the same all along.

use std::f64::consts::{PI, TAU};

use crate::solar::Place;

/// Of WGS 84 \[m\].
const EQUATOR_M: f64 = 6_378_137.0;
const FLATTENING: f64 = 1.0 / 298.257_223_563;

/// Length of the shortest way from one position to another and the course on which it leaves \[m\], \[rad\]; none where the two lie
/// almost opposite each other on the earth.
///
/// Vincenty's inverse solution, iterated to 1e-12 rad.
/// # Source
/// \[vincenty1975\], from memory; checked against `reference/sky/geodesic.csv`.
/// # Valid for
/// Positions that are not almost opposite.
/// # Accuracy
/// Better than a millimetre.
/// # Errors
/// None.
/// # Example
/// One minute of longitude on the equator: a / 60 x pi / 180 = 1855.325 m, due east:
/// ```
/// use wakewright_core::passage::geodesic;
/// use wakewright_core::solar::Place;
/// let (metres, course) = geodesic(Place::of_degrees(0.0, 0.0), Place::of_degrees(0.0, 1.0 / 60.0)).unwrap();
/// assert!((metres - 1855.325).abs() < 0.001 && (course.to_degrees() - 90.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn geodesic(from: Place, to: Place) -> Option<(f64, f64)> {
    const TURNS: usize = 200;
    let reduced = |latitude: f64| ((1.0 - FLATTENING) * latitude.tan()).atan();
    let (u1, u2) = (reduced(from.latitude_rad), reduced(to.latitude_rad));
    let ((sin1, cos1), (sin2, cos2)) = (u1.sin_cos(), u2.sin_cos());
    let longer = (to.longitude_rad - from.longitude_rad + PI).rem_euclid(TAU) - PI;
    let mut lambda = longer;
    for _ in 0..TURNS {
        let (sin_lambda, cos_lambda) = lambda.sin_cos();
        let east = cos2 * sin_lambda;
        let north = cos1 * sin2 - sin1 * cos2 * cos_lambda;
        let (sin_sigma, cos_sigma) = (east.hypot(north), sin1 * sin2 + cos1 * cos2 * cos_lambda);
        if sin_sigma == 0.0 {
            return (cos_sigma > 0.0).then_some((0.0, 0.0));
        }
        let sigma = sin_sigma.atan2(cos_sigma);
        let sin_alpha = cos1 * cos2 * sin_lambda / sin_sigma;
        let cos2_alpha = 1.0 - sin_alpha * sin_alpha;
        let middle = if cos2_alpha > 1e-15 { cos_sigma - 2.0 * sin1 * sin2 / cos2_alpha } else { 0.0 };
        let c = FLATTENING / 16.0 * cos2_alpha * (4.0 + FLATTENING * (4.0 - 3.0 * cos2_alpha));
        let inner = middle + c * cos_sigma * (2.0 * middle * middle - 1.0);
        let next = longer + (1.0 - c) * FLATTENING * sin_alpha * (sigma + c * sin_sigma * inner);
        if next.abs() > PI {
            return None;
        }
        if (next - lambda).abs() < 1e-12 {
            let polar_m = EQUATOR_M * (1.0 - FLATTENING);
            let k = cos2_alpha * (EQUATOR_M * EQUATOR_M / (polar_m * polar_m) - 1.0);
            let a = 1.0 + k / 16_384.0 * (4096.0 + k * (k * (320.0 - 175.0 * k) - 768.0));
            let b = k / 1024.0 * (256.0 + k * (k * (74.0 - 47.0 * k) - 128.0));
            let square = 2.0 * middle * middle - 1.0;
            let last = b / 6.0 * middle * (4.0 * sin_sigma * sin_sigma - 3.0) * (4.0 * middle * middle - 3.0);
            let off = b * sin_sigma * (middle + b / 4.0 * (cos_sigma * square - last));
            return Some((polar_m * a * (sigma - off), east.atan2(north).rem_euclid(TAU)));
        }
        lambda = next;
    }
    None
}
