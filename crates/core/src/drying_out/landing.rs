//! The height of the ground, and the weather of the day, from landings of hers: where the water stood as she touched.

use nalgebra::{Matrix2, Vector2};

use super::floats::LandedWeather;

/// One landing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Landing {
    /// When she touched [Unix s].
    pub at_s: f64,
    /// Predicted height of the water then, pressure in it \[m\].
    pub height_m: f64,
    /// Her draught then \[m\].
    pub draught_m: f64,
}

/// The ground as her landings found it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Landed {
    /// Height above the datum of the same predictions \[m\].
    pub ground_m: f64,
    /// Standard deviation \[m\].
    pub sd_m: f64,
    /// What the last of them told of the weather that lasts.
    pub weather: LandedWeather,
}

/// The ground from landings in the order of their time, and what was known of it before as median and standard
/// deviation.
///
/// `h_i - d_i = g - w_i - e` with g ground, `w_i` first-order weather of spread `s_w` that is by a factor of e less like
/// what it was after `T`, e the draught's error, the same in all: the conditional law of g and w, landing after landing.
/// Far apart, without a g before: `g = mean(h - d)`, `s = sqrt(s_w^2/n + s_e^2)`. Ground and weather are one sum at one
/// landing, and part as landings come whose weather was another.
/// # Source
/// The normal law and its conditional (recursive) form; checked against the inverse of the covariance written out by hand.
/// # Valid for
/// The same predictions as those that it is used with: an error of their mean is in both and cancels.
/// # Accuracy
/// That of the stated errors.
/// # Errors
/// None without a landing.
/// # Example
/// Two landings ten days apart, 3.40 m and 3.50 m with 1.60 m: 1.85 m, and 0.15 m of weather leaves 0.106 m. On the same
/// day they are one: 0.15 m.
/// ```
/// use wakewright_core::drying_out::landing::{Landing, ground_found};
/// let at = |days: f64, height_m| Landing { at_s: 86_400.0 * days, height_m, draught_m: 1.6 };
/// let found = |days| ground_found(&[at(0.0, 3.40), at(days, 3.50)], None, (0.15, 129_600.0), 0.0).unwrap();
/// assert!((found(10.0).ground_m - 1.85).abs() < 1e-6 && (found(10.0).sd_m - 0.1061).abs() < 2e-4);
/// assert!((found(1e-6).sd_m - 0.15).abs() < 1e-4);
/// ```
#[must_use]
pub fn ground_found(
    landings: &[Landing],
    before: Option<(f64, f64)>,
    (weather_sd_m, lasts_s): (f64, f64),
    draught_sd_m: f64,
) -> Option<Landed> {
    /// Of readings of a staff or a scale, so that landings of one hour may differ [m].
    const READING_SD_M: f64 = 0.005;
    /// As good as nothing known before [m].
    const UNKNOWN_SD_M: f64 = 100.0;
    let (mut last_s, last) = (landings.first()?.at_s, landings.last()?);
    let first_m = landings[0].height_m - landings[0].draught_m;
    let (ground_m, sd_m) = before.unwrap_or((first_m, UNKNOWN_SD_M));
    // Ground without the draught's error, and weather.
    let mut state = Vector2::new(ground_m, 0.0);
    let weather_m2 = weather_sd_m * weather_sd_m;
    let mut spread = Matrix2::new(sd_m * sd_m + draught_sd_m * draught_sd_m, 0.0, 0.0, weather_m2);
    let seen = Vector2::new(1.0, -1.0);
    for landing in landings {
        let kept = (-(landing.at_s - last_s).abs() / lasts_s).exp();
        last_s = landing.at_s;
        state[1] *= kept;
        let step = Matrix2::new(1.0, 0.0, 0.0, kept);
        spread = step * spread * step;
        spread[(1, 1)] += (1.0 - kept * kept) * weather_m2;
        let told = landing.height_m - landing.draught_m - seen.dot(&state);
        let of_told = (seen.transpose() * spread * seen)[(0, 0)] + READING_SD_M * READING_SD_M;
        let gain = spread * seen / of_told;
        state += gain * told;
        spread -= gain * gain.transpose() * of_told;
    }
    let sd = |at: usize| spread[(at, at)].max(0.0).sqrt();
    Some(Landed {
        ground_m: state[0],
        sd_m: sd(0).hypot(draught_sd_m),
        weather: LandedWeather {
            at_s: last.at_s,
            mean_m: state[1],
            sd_m: sd(1),
            // The level over her is weather less ground.
            with_common_m2: -spread[(0, 1)],
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the inverse of the covariance written out: two landings a day apart, r = exp(-24/36) = 0.51342, both weighed
    /// by a half, variance s^2 (1 + r)/2 = 0.15^2 x 0.75671 = 0.13048^2.
    #[test]
    fn landings_of_successive_days_share_their_weather() {
        let at = |day: f64, height_m| Landing { at_s: 86_400.0 * day, height_m, draught_m: 1.6 };
        let found = ground_found(&[at(0.0, 3.4), at(1.0, 3.5)], None, (0.15, 129_600.0), 0.0).unwrap();
        assert!((found.ground_m - 1.85).abs() < 1e-4, "{found:?}");
        assert!((found.sd_m - 0.13048).abs() < 2e-4, "{found:?}");
    }

    /// With the ground known to 0.10 m at 1.90 m one landing of 1.80 m under 0.15 m of weather: the difference of -0.10 m is
    /// shared as the variances, 0.01 to 0.0225: ground 1.8692 m, weather +0.0692 m, sd 0.15 x 0.10/sqrt(0.0325) = 0.0832 m each.
    #[test]
    fn what_was_known_before_and_a_landing_share_the_difference() {
        let one = [Landing { at_s: 0.0, height_m: 3.4, draught_m: 1.6 }];
        let found = ground_found(&one, Some((1.9, 0.1)), (0.15, 129_600.0), 0.0).unwrap();
        assert!((found.ground_m - 1.8692).abs() < 2e-4 && (found.weather.mean_m - 0.0692).abs() < 2e-4);
        assert!((found.sd_m - 0.0832).abs() < 2e-4 && (found.weather.sd_m - 0.0832).abs() < 2e-4);
        assert!((found.weather.with_common_m2 + 0.0832 * 0.0832).abs() < 2e-4);
    }
}
