//! How sure she is to float: at one high water, and at any of several by then.

use crate::solar::weather::normal_share;
use crate::tide::Water;

/// What the level of the water over her keel may be off by, as standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelError {
    /// What is the same at every water: ground, datum, draught \[m\].
    pub common_sd_m: f64,
    /// Weather, which lasts and changes \[m\].
    pub weather_sd_m: f64,
    /// After how long weather is by a factor e less like what it was \[s\].
    pub weather_lasts_s: f64,
    /// What a landing of hers told of the weather; its mean is in the heights that are handed over.
    pub landed: Option<LandedWeather>,
}

/// Weather as a landing found it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LandedWeather {
    /// When she touched \[Unix s\].
    pub at_s: f64,
    /// How far it raised the water then \[m\].
    pub mean_m: f64,
    /// Standard deviation of that \[m\].
    pub sd_m: f64,
    /// Covariance with the common part of the level over her keel: where the ground is higher than thought, so was the
    /// water on which she touched \[m2\].
    pub with_common_m2: f64,
}

impl LandedWeather {
    /// How much of it is left at an instant after it; nothing is told of what was before.
    fn kept(&self, unix_s: f64, lasts_s: f64) -> f64 {
        if unix_s < self.at_s { 0.0 } else { (-(unix_s - self.at_s) / lasts_s).exp() }
    }

    /// By how much it raises the water at an instant \[m\].
    #[must_use]
    pub fn raises_m(&self, unix_s: f64) -> f64 {
        self.mean_m * self.kept(unix_s, WEATHER_LASTS_S)
    }
}

/// How long the level that weather makes lasts \[s\]. From memory.
pub const WEATHER_LASTS_S: f64 = 36.0 * 3600.0;

impl LevelError {
    /// Both parts together \[m\].
    #[must_use]
    pub fn whole_sd_m(&self) -> f64 {
        self.common_sd_m.hypot(self.weather_sd_m)
    }

    /// Weather at an instant: covariance with the common part, and variance \[m2\].
    fn weather_m2(&self, unix_s: f64) -> (f64, f64) {
        let usual_m2 = self.weather_sd_m * self.weather_sd_m;
        self.landed.map_or((0.0, usual_m2), |landed| {
            let kept = landed.kept(unix_s, self.weather_lasts_s);
            let left_m2 = kept * kept * (landed.sd_m * landed.sd_m - usual_m2);
            (kept * landed.with_common_m2, usual_m2 + left_m2)
        })
    }

    /// Both parts together at an instant \[m\].
    #[must_use]
    pub fn sd_at_m(&self, unix_s: f64) -> f64 {
        let (with_common_m2, weather_m2) = self.weather_m2(unix_s);
        (self.common_sd_m * self.common_sd_m + weather_m2 + 2.0 * with_common_m2).max(0.0).sqrt()
    }
}

/// Probability that she floats at a high water.
///
/// `P = Phi((HW - z)/s)` with z = height at which she floats, s = level error as one standard deviation.
/// # Source
/// The normal law; checked against a table reckoned by hand (`reference/tide/neaped_example.csv`, 0.02).
/// # Valid for
/// Any height; with no error at all it is 0 or 1.
/// # Accuracy
/// That of the stated error.
/// # Errors
/// None.
/// # Example
/// 0.043 m to spare with 0.15 m: Phi(0.287) = 0.613:
/// ```
/// use wakewright_core::drying_out::{LevelError, floats_then};
/// use wakewright_core::tide::Water;
/// let error = LevelError { common_sd_m: 0.15, weather_sd_m: 0.0, weather_lasts_s: 129_600.0, landed: None };
/// let high = Water { unix_s: 0.0, height_m: 3.243, is_high: true };
/// assert!((floats_then(&high, 3.2, &error) - 0.613).abs() < 0.001);
/// ```
#[must_use]
pub fn floats_then(high: &Water, floats_at_m: f64, error: &LevelError) -> f64 {
    share_above(high.height_m - floats_at_m, error.sd_at_m(high.unix_s))
}

fn share_above(spare_m: f64, sd_m: f64) -> f64 {
    if sd_m > 0.0 { normal_share(spare_m / sd_m) } else { f64::from(u8::from(spare_m >= 0.0)) }
}

/// Places on which the law of the weather is kept, from -6 to 6 standard deviations: with 101 the results agree with
/// those of twice as many to 0.001.
const PLACES: usize = 101;
const REACH: f64 = 6.0;

/// Probability that she has floated by each of these high waters, the first included, where none before them was hers
/// to take.
///
/// `P_n = 1 - integral over c of P(HW_i + c + w_i < z for all i <= n)`, with c common and normal, w first-order
/// (begun, after a landing, from what that told of it and of c):
/// `w_(i+1) = r w_i + sqrt(1 - r^2) s_w e`, `r = exp(-dt/T)`. Both integrals by sums over evenly spaced places.
/// # Source
/// The normal law and the first-order process; checked against independent samples
/// (`reference/tide/neaped_joint.csv`: mixed within 0.02, wholly common within 0.005).
/// # Valid for
/// Waters in their order of time. Errors of successive waters are never multiplied as if they were independent.
/// # Accuracy
/// 0.001 numerically; that of the stated errors.
/// # Errors
/// None.
/// # Example
/// A common error alone: two waters of which the better has 0.05 m to spare give what that one gives:
/// ```
/// use wakewright_core::drying_out::{LevelError, floats_by_then, floats_then};
/// use wakewright_core::tide::Water;
/// let error = LevelError { common_sd_m: 0.15, weather_sd_m: 0.0, weather_lasts_s: 129_600.0, landed: None };
/// let highs = [3.15, 3.25].map(|height_m| Water { unix_s: 1e5 * height_m, height_m, is_high: true });
/// let by_then = floats_by_then(&highs, 3.2, &error);
/// assert!((by_then[1] - floats_then(&highs[1], 3.2, &error)).abs() < 0.001);
/// ```
#[must_use]
pub fn floats_by_then(highs: &[Water], floats_at_m: f64, error: &LevelError) -> Vec<f64> {
    let places = places();
    let spares: Vec<f64> = highs.iter().map(|high| high.height_m - floats_at_m).collect();
    if error.weather_sd_m <= 0.0 {
        // Wholly common: the best water so far decides.
        let best = spares.iter().scan(f64::NEG_INFINITY, |best, spare| {
            *best = best.max(*spare);
            Some(share_above(*best, error.common_sd_m))
        });
        return best.collect();
    }
    let steps: Vec<Vec<f64>> = highs
        .windows(2)
        .map(|two| {
            let kept = (-(two[1].unix_s - two[0].unix_s).max(0.0) / error.weather_lasts_s).exp();
            step(&places, kept)
        })
        .collect();
    let commons: Vec<(f64, f64)> = if error.common_sd_m > 0.0 {
        (0..25).map(|i| (i as f64 / 24.0 * 2.0 - 1.0) * 4.5).map(|z| (z, (-0.5 * z * z).exp())).collect()
    } else {
        vec![(0.0, 1.0)]
    };
    let whole: f64 = commons.iter().map(|common| common.1).sum();
    let mut aground = vec![0.0; highs.len()];
    // Of the first water's weather what goes with the common part, and what is left of it.
    let (with_common_m2, weather_m2) = error.weather_m2(highs.first().map_or(0.0, |high| high.unix_s));
    let by_common = if error.common_sd_m > 0.0 { with_common_m2 / error.common_sd_m } else { 0.0 };
    let left_sd = (weather_m2 - by_common * by_common).max(0.0).sqrt() / error.weather_sd_m;
    for (z, weight) in &commons {
        let mut law = law(&places, z * by_common / error.weather_sd_m, left_sd);
        for (i, spare) in spares.iter().enumerate() {
            if i > 0 {
                law = moved(&law, &steps[i - 1]);
            }
            // She stays where common + weather is below what is wanting.
            let stays_below = -(spare + z * error.common_sd_m) / error.weather_sd_m;
            cut_above(&mut law, &places, stays_below);
            aground[i] += weight / whole * law.iter().sum::<f64>();
        }
    }
    aground.into_iter().map(|share| (1.0 - share).clamp(0.0, 1.0)).collect()
}

/// Places in standard deviations of weather.
fn places() -> Vec<f64> {
    let apart = 2.0 * REACH / (PLACES - 1) as f64;
    (0..PLACES).map(|i| i as f64 * apart - REACH).collect()
}

/// The share of a normal law that each place stands for.
fn law(places: &[f64], mean: f64, sd: f64) -> Vec<f64> {
    let half = (places[1] - places[0]) / 2.0;
    let below = |z: f64| normal_share((z - mean) / sd.max(1e-6));
    places.iter().map(|z| below(z + half) - below(z - half)).collect()
}

/// From each place to each: shares of the next weather, row by row.
fn step(places: &[f64], kept: f64) -> Vec<f64> {
    let spread = (1.0 - kept * kept).sqrt().max(1e-3);
    let apart = places[1] - places[0];
    let mut rows = Vec::with_capacity(places.len() * places.len());
    for from in places {
        let density = |to: &f64| {
            let z = (to - kept * from) / spread;
            (-0.5 * z * z).exp() * apart / spread / std::f64::consts::TAU.sqrt()
        };
        let row: Vec<f64> = places.iter().map(density).collect();
        // What falls between the places is given back, so that nothing is lost.
        let whole = row.iter().sum::<f64>().max(f64::MIN_POSITIVE);
        rows.extend(row.iter().map(|share| share / whole));
    }
    rows
}

fn moved(law: &[f64], rows: &[f64]) -> Vec<f64> {
    let mut next = vec![0.0; law.len()];
    for (share, row) in law.iter().zip(rows.chunks_exact(law.len())) {
        if *share > 1e-15 {
            for (into, part) in next.iter_mut().zip(row) {
                *into += share * part;
            }
        }
    }
    next
}

/// Takes away what lies above `at`; the place that it cuts keeps its part.
fn cut_above(law: &mut [f64], places: &[f64], at: f64) {
    let apart = places[1] - places[0];
    for (share, place) in law.iter_mut().zip(places) {
        *share *= ((at - place) / apart + 0.5).clamp(0.0, 1.0);
    }
}

/// The first of these waters that floats her more likely than not, by itself.
#[must_use]
pub fn first_likely(highs: &[Water], floats_at_m: f64, error: &LevelError) -> Option<usize> {
    highs.iter().position(|high| floats_then(high, floats_at_m, error) > 0.5)
}
