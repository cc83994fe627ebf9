//! A forecast held against what happened. Not for: making one (`remedy`).

use super::diagnosis::Diagnosis;
use super::diagnosis::interval_of;
use super::remedy::{Forecast, KEPT_QUANTILES, Measure, measured};
use super::workers::Workers;
use crate::spread::DEVIATE_P90;
use crate::spread::Interval;

/// One measure: forecast against outcome.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Score {
    /// Which.
    pub measure: Measure,
    /// As she was.
    pub before: f64,
    /// As forecast.
    pub forecast: Interval,
    /// As found afterwards.
    pub outcome: Interval,
    /// Outcome less forecast, over the standard deviation of both.
    pub z: f64,
    /// The outcome lies within the forecast's 80 % band.
    pub is_inside: bool,
    /// Continuous ranked probability score of the forecast, in the measure's unit: 0 is perfect.
    pub crps: f64,
    /// The same for a forecast of no change with the same band: what the forecast was better than.
    pub crps_no_change: f64,
}

/// Holds `forecast` against `later`, a diagnosis of the trial after the work, by its own runs alone.
///
/// # Source
/// Score from quantiles: twice the mean quantile loss \[gneiting2007\], from memory.
#[must_use]
pub fn score(forecast: &Forecast, later: &Diagnosis, workers: &impl Workers) -> Vec<Score> {
    let outcomes = measured(later, None, workers);
    // The power of the second point must be the same in both; else it is not compared.
    let has_same_power = (later.cruise_power_w / forecast.cruise_power_w - 1.0).abs() < 0.02;
    Measure::ALL
        .iter()
        .enumerate()
        .filter(|(_, measure)| **measure != Measure::CruiseSpeed || has_same_power)
        .filter_map(|(k, &measure)| {
            let given = forecast.of(measure)?;
            let outcome = interval_of(outcomes.iter().map(|o| o.0[k]))?;
            let sd = half_width(&given.after).hypot(half_width(&outcome)).max(1e-12);
            let shifted: Vec<f64> =
                given.after_quantiles.iter().map(|q| q - given.after.value + given.now.value).collect();
            Some(Score {
                measure,
                before: given.now.value,
                forecast: given.after,
                outcome,
                z: (outcome.value - given.after.value) / sd,
                is_inside: outcome.value >= given.after.p10 && outcome.value <= given.after.p90,
                crps: quantile_loss(&given.after_quantiles, outcome.value),
                crps_no_change: quantile_loss(&shifted, outcome.value),
            })
        })
        .collect()
}

fn half_width(interval: &Interval) -> f64 {
    0.5 * (interval.p90 - interval.p10) / DEVIATE_P90
}

/// Twice the mean loss of quantiles at equal steps.
fn quantile_loss(quantiles: &[f64], outcome: f64) -> f64 {
    let sum: f64 = quantiles
        .iter()
        .enumerate()
        .map(|(i, q)| {
            let share = (i + 1) as f64 / (KEPT_QUANTILES + 1) as f64;
            let over = outcome - q;
            if over >= 0.0 { share * over } else { (share - 1.0) * over }
        })
        .sum();
    2.0 * sum / quantiles.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// For a standard normal forecast and the outcome at its middle the score is
    /// (sqrt(2) - 1)/sqrt(pi) = 0.2337 \[gneiting2007\], from memory; nineteen quantiles come near it.
    #[test]
    fn score_of_a_normal() {
        let normal = |share: f64| {
            // Bisection on the error function's series is not needed: samples give the quantile.
            let sampler = crate::spread::Sampler::new(1);
            let mut values: Vec<f64> = (0..40_000).map(|i| sampler.deviate(9, i)).collect();
            values.sort_unstable_by(f64::total_cmp);
            crate::spread::quantile_of_sorted(&values, share)
        };
        let quantiles: Vec<f64> =
            (1..=KEPT_QUANTILES).map(|i| normal(i as f64 / (KEPT_QUANTILES + 1) as f64)).collect();
        assert!((quantile_loss(&quantiles, 0.0) - 0.2337).abs() < 0.02, "{}", quantile_loss(&quantiles, 0.0));
    }
}
