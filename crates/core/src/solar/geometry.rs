//! Which way a panel looks, fixed or turned about an axis. Not for: how much falls on it.

use super::position::Sun;
use super::transposition::Stand;

/// A direction: east, north, up.
pub type Direction = [f64; 3];

fn dot(a: Direction, b: Direction) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Towards the sun, as seen through the air.
#[must_use]
pub fn towards_sun(sun: &Sun) -> Direction {
    let (sin_z, cos_z) = sun.apparent_zenith_rad.sin_cos();
    let (sin_a, cos_a) = sun.azimuth_rad.sin_cos();
    [sin_a * sin_z, cos_a * sin_z, cos_z]
}

/// Normal of a plane tilted by `tilt_rad` towards `azimuth_rad`.
#[must_use]
pub fn normal(tilt_rad: f64, azimuth_rad: f64) -> Direction {
    let (sin_t, cos_t) = tilt_rad.sin_cos();
    let (sin_a, cos_a) = azimuth_rad.sin_cos();
    [sin_a * sin_t, cos_a * sin_t, cos_t]
}

/// Angle about a level axis pointing to `axis_azimuth_rad` that turns a panel closest to the sun \[rad\],
/// positive with the right side down, at most `limit_rad` either way.
#[must_use]
pub fn turn_to_sun(sun: &Sun, axis_azimuth_rad: f64, limit_rad: f64) -> f64 {
    let to_sun = towards_sun(sun);
    let across = normal(std::f64::consts::FRAC_PI_2, axis_azimuth_rad + std::f64::consts::FRAC_PI_2);
    dot(to_sun, across).atan2(to_sun[2]).clamp(-limit_rad, limit_rad)
}

/// Normal of a panel turned by `angle_rad` about a level axis pointing to `axis_azimuth_rad`.
#[must_use]
pub fn turned(angle_rad: f64, axis_azimuth_rad: f64) -> Direction {
    normal(angle_rad, axis_azimuth_rad + std::f64::consts::FRAC_PI_2)
}

/// How a plane of this normal stands to the sun.
#[must_use]
pub fn stand(normal: Direction, sun: &Sun) -> Stand {
    let to_sun = towards_sun(sun);
    Stand { cos_incidence: dot(normal, to_sun), cos_tilt: normal[2], cos_zenith: to_sun[2] }
}
