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
    weather: (f64, f64),
    draught_sd_m: f64,
) -> Option<Landed> {
    Some(found(landings, before, weather, draught_sd_m)?.0)
}

/// The same, and how likely these landings are under that weather, as the logarithm of their density.
fn found(
    landings: &[Landing],
    before: Option<(f64, f64)>,
    (weather_sd_m, lasts_s): (f64, f64),
    draught_sd_m: f64,
) -> Option<(Landed, f64)> {
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
    let mut log_density = 0.0;
    for landing in landings {
        let kept = (-(landing.at_s - last_s).abs() / lasts_s).exp();
        last_s = landing.at_s;
        state[1] *= kept;
        let step = Matrix2::new(1.0, 0.0, 0.0, kept);
        spread = step * spread * step;
        spread[(1, 1)] += (1.0 - kept * kept) * weather_m2;
        let told = landing.height_m - landing.draught_m - seen.dot(&state);
        let of_told = (seen.transpose() * spread * seen)[(0, 0)] + READING_SD_M * READING_SD_M;
        log_density -= 0.5 * (of_told.ln() + told * told / of_told);
        let gain = spread * seen / of_told;
        state += gain * told;
        spread -= gain * gain.transpose() * of_told;
    }
    let sd = |at: usize| spread[(at, at)].max(0.0).sqrt();
    let landed = Landed {
        ground_m: state[0],
        sd_m: sd(0).hypot(draught_sd_m),
        weather: LandedWeather {
            at_s: last.at_s,
            mean_m: state[1],
            sd_m: sd(1),
            // The level over her is weather less ground.
            with_common_m2: -spread[(0, 1)],
        },
    };
    Some((landed, log_density))
}

/// The spread of a place's weather as her landings tell it, `usual_sd_m` where there are none \[m\].
///
/// `s^2 = 1/mean(1/s^2)` over the law of s given the landings, which before them is scaled inverse chi-squared about the usual with four
/// degrees of freedom: landings far apart on known ground give `s^2 = (4 s0^2 + sum r^2)/(4 + n)` with r what each differs by.
/// # Source
/// \[gelman2013\] section 2.6; that the usual counts as four landings is own choice.
/// # Valid for
/// As [`ground_found`]; spreads from 0.03 to 0.75 m.
/// # Accuracy
/// Of the sum over 65 spreads 0.2 %.
/// # Errors
/// None.
/// # Example
/// Ground known at 1.8 m, three landings a month apart 0.3 m below, 0.3 m above and 0.2 m above it: s^2 = (4 x 0.15^2 + 0.22)/7 = 0.2104^2:
/// ```
/// use wakewright_core::drying_out::landing::{Landing, weather_learned_m};
/// let at = |month: f64, height_m| Landing { at_s: 2.6e6 * month, height_m, draught_m: 1.6 };
/// let landings = [at(0.0, 3.1), at(1.0, 3.7), at(2.0, 3.6)];
/// let learned_m = weather_learned_m(&landings, Some((1.8, 0.001)), (0.15, 129_600.0), 0.0);
/// assert!((learned_m - 0.2104).abs() < 0.001, "{learned_m}");
/// assert!((weather_learned_m(&[], None, (0.15, 129_600.0), 0.0) - 0.15).abs() < 1e-12);
/// ```
#[must_use]
pub fn weather_learned_m(
    landings: &[Landing],
    before: Option<(f64, f64)>,
    (usual_sd_m, lasts_s): (f64, f64),
    draught_sd_m: f64,
) -> f64 {
    const USUAL_COUNTS: f64 = 4.0;
    const SPREADS: u32 = 65;
    const FROM_M: f64 = 0.03;
    let spreads = (0..SPREADS).map(|i| FROM_M * 25.0_f64.powf(f64::from(i) / f64::from(SPREADS - 1)));
    let weighed: Option<Vec<(f64, f64)>> = spreads
        .map(|sd_m| {
            let told = found(landings, before, (sd_m, lasts_s), draught_sd_m)?.1;
            Some((sd_m, told - USUAL_COUNTS * (sd_m.ln() + 0.5 * (usual_sd_m / sd_m).powi(2))))
        })
        .collect();
    let Some(weighed) = weighed else { return usual_sd_m };
    let most = weighed.iter().map(|one| one.1).fold(f64::NEG_INFINITY, f64::max);
    let (mut whole, mut inverse) = (0.0, 0.0);
    for (sd_m, log) in weighed {
        let weight = (log - most).exp();
        whole += weight;
        inverse += weight / (sd_m * sd_m);
    }
    (whole / inverse).sqrt()
}

/// By how much the water stands on the whole above its predictions, as landings on a ground that was known before tell: median and standard
/// deviation \[m\].
///
/// What ground and mean differ by is one sum in [`ground_found`], `u = g - m`, known before to `V = s_g^2 + s_m^2 + s_e^2` and after to `V'`:
/// `m = -(u' - u) s_m^2/V`, `s^2 = s_m^2 - s_m^4 (V - V')/V^2`.
/// # Source
/// The conditional of the normal law.
/// # Valid for
/// `before` as it was handed to [`ground_found`], `mean_sd_m` being a part of its spread.
/// # Accuracy
/// That of the stated errors.
/// # Errors
/// None.
/// # Example
/// Ground and mean both known to 0.1 m, many landings 0.2 m lower than thought: half of that is the mean's, 0.1 m, known to 0.0707 m:
/// ```
/// use wakewright_core::drying_out::landing::{Landing, ground_found, mean_learned};
/// let landings: Vec<Landing> =
///     (0..400).map(|i| Landing { at_s: 1e6 * f64::from(i), height_m: 3.2, draught_m: 1.6 }).collect();
/// let before = (1.8, 0.02_f64.sqrt());
/// let found = ground_found(&landings, Some(before), (0.15, 129_600.0), 0.0).unwrap();
/// let (mean_m, sd_m) = mean_learned(before, 0.1, &found, 0.0);
/// assert!((mean_m - 0.1).abs() < 0.001 && (sd_m - 0.0707).abs() < 0.001, "{mean_m} {sd_m}");
/// ```
#[must_use]
pub fn mean_learned(before: (f64, f64), mean_sd_m: f64, found: &Landed, draught_sd_m: f64) -> (f64, f64) {
    let (was_m2, mean_m2) = (before.1.powi(2) + draught_sd_m.powi(2), mean_sd_m.powi(2));
    let is_m2 = found.sd_m.powi(2) - draught_sd_m.powi(2);
    let share = mean_m2 / was_m2;
    let left_m2 = mean_m2 - share * share * (was_m2 - is_m2);
    ((before.0 - found.ground_m) * share, left_m2.max(0.0).sqrt())
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
