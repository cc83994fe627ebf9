//! Weather by monthly clearness: how clear each day is, sampled at random, and each of its hours.
//! Not for: temperature and wind.

use std::f64::consts::FRAC_PI_3;

use crate::numeric::solve_bracketed;
use crate::spread::{Sampler, name_number};

/// Clearness of the darkest day \[bendt1981\].
const DARKEST: f64 = 0.05;
/// How much of one day's weather stays for the next: the lag-one correlation of the normal deviates
/// \[graham1988\].
const PERSISTENCE: f64 = 0.29;
/// Range of mean clearness for which the distribution holds; beyond it the nearest end is taken.
const MEANS: (f64, f64) = (0.12, 0.78);

/// How the clearness of single days lies around a month's mean: an exponential cut off at both ends.
///
/// # Source
/// Form \[bendt1981\], clearest day \[hollands1983\], both from memory; the steepness is solved from the
/// mean instead of taken from their fit.
/// # Valid for
/// Monthly mean clearness 0.12 to 0.78.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DailyClearness {
    steepness: f64,
    clearest: f64,
}

impl DailyClearness {
    /// Around a monthly mean.
    #[must_use]
    pub fn around(mean: f64) -> Self {
        let mean = mean.clamp(MEANS.0, MEANS.1);
        let clearest = 0.6313 + 0.267 * mean - 11.9 * (mean - 0.75).powi(8);
        // A month brighter than the form allows has hardly any dark day left.
        let clearest = clearest.max(mean + 0.02);
        let off = |steepness: f64| mean_of(steepness, clearest) - mean;
        let steepness = solve_bracketed(off, -200.0, 200.0, 1e-9).unwrap_or(0.0);
        Self { steepness, clearest }
    }

    /// Clearness of the day below which a share `share` of all days lies.
    #[must_use]
    pub fn at_share(&self, share: f64) -> f64 {
        let width = self.clearest - DARKEST;
        let g = self.steepness * width;
        if g.abs() < 1e-6 {
            return DARKEST + share * width;
        }
        // ln(1 + u (e^g - 1)) / g, from the end that does not overflow.
        let along = if g > 0.0 {
            1.0 + (share + (1.0 - share) * (-g).exp()).ln() / g
        } else {
            (1.0 + share * g.exp_m1()).ln() / g
        };
        DARKEST + width * along
    }
}

/// Mean of the cut-off exponential.
fn mean_of(steepness: f64, clearest: f64) -> f64 {
    let width = clearest - DARKEST;
    let g = steepness * width;
    let along = if g.abs() < 1e-4 { 0.5 + g / 12.0 } else { 1.0 / (1.0 - (-g).exp()) - 1.0 / g };
    DARKEST + width * along
}

/// Clearness of each of 365 days, one weather.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherYear {
    /// Day by day from 1 January.
    pub clearness: Vec<f64>,
}

/// Days of each month of a year that is no leap year.
pub const MONTH_DAYS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

impl WeatherYear {
    /// Sample number `sample`: each day from its month's distribution, today's weather leaning on
    /// yesterday's.
    #[must_use]
    pub fn sample(months: &[DailyClearness; 12], sampler: Sampler, sample: u64) -> Self {
        const NAME: u64 = name_number("weather.day");
        let fresh = (1.0 - PERSISTENCE * PERSISTENCE).sqrt();
        let mut deviate = 0.0;
        let mut is_first = true;
        let mut clearness = Vec::with_capacity(365);
        let days = MONTH_DAYS.iter().enumerate().flat_map(|(month, &days)| (0..days).map(move |_| month));
        for (day, month) in days.enumerate() {
            let sampled = sampler.deviate(NAME, sample * 366 + day as u64);
            deviate = if is_first { sampled } else { PERSISTENCE * deviate + fresh * sampled };
            is_first = false;
            clearness.push(months[month].at_share(normal_share(deviate)));
        }
        Self { clearness }
    }
}

/// Share of a standard normal below `deviate`.
///
/// # Source
/// \[abramowitz1964\] 26.2.17, absolute error below 7.5e-8.
pub(crate) fn normal_share(deviate: f64) -> f64 {
    let x = deviate.abs();
    let t = 1.0 / (1.0 + 0.231_641_9 * x);
    let series = t
        * (0.319_381_530
            + t * (-0.356_563_782 + t * (1.781_477_937 + t * (-1.821_255_978 + t * 1.330_274_429))));
    let tail = (-0.5 * x * x).exp() / std::f64::consts::TAU.sqrt() * series;
    if deviate < 0.0 { tail } else { 1.0 - tail }
}

/// Share of the day's light that falls in an hour over the share of what comes from above the air:
/// `a + b cos omega`.
///
/// # Source
/// \[collares1979\], from memory; checked against a table computed from the same form.
/// # Arguments
/// `sunset_rad` hour angle of sunset, `hour_angle_rad` of the middle of the hour.
/// # Example
/// An independent evaluation, sunset at six, half an hour from noon: 0.199935 over 0.187865 at 60°.
/// ```
/// # use wakewright_core::solar::weather::hour_over_even;
/// let found = hour_over_even(60_f64.to_radians(), 7.5_f64.to_radians());
/// assert!((found - 0.199_935 / 0.187_865).abs() < 1e-5);
/// ```
#[must_use]
pub fn hour_over_even(sunset_rad: f64, hour_angle_rad: f64) -> f64 {
    let lean = (sunset_rad - FRAC_PI_3).sin();
    let a = 0.409 + 0.5016 * lean;
    let b = 0.6609 - 0.4767 * lean;
    (a + b * hour_angle_rad.cos()).max(0.0)
}
