//! The rate of growth from trials made so many months after a cleaning. Not for: what it costs.

use crate::boat::Boat;
use crate::causes::{CLEAN_M, FULL_M, RATE_PER_MONTH, warmth};
use crate::spread::DEVIATE_P90;
use crate::steady::{BoatError, PreparedBoat};

/// A trial with what is known of the bottom.
#[derive(Debug, Clone, PartialEq)]
pub struct GrowthTrial {
    /// Months since she was cleaned.
    pub months: f64,
    /// Temperature of the water \[K\].
    pub water_k: f64,
    /// Speed through the water \[m/s\] and power out of the bank \[W\] of each run.
    pub runs: Vec<(f64, f64)>,
}

/// Factor of the rate's 80 % band before any trial: with what cleaned bottoms differ by, six months after, about that of
/// `causes::growth_spread`. Judgement, no source.
const RATE_FACTOR: f64 = 1.6;
/// The same of sand heights that are grown at one rate: an eye's step on the scale of states.
const HEIGHT_FACTOR: f64 = 1.8;
/// Deviation of the power that the document tells, all trials alike, and of one day against another: hull, propeller and
/// meter; wind, load and charge. Judgement, no source.
const HULL_SD: f64 = 0.12;
const DAY_SD: f64 = 0.06;

/// Logarithms of the sand height over that of clean antifouling at which she is reckoned.
pub(super) fn steps() -> impl Iterator<Item = f64> {
    (-2..=13).map(|step| 0.5 * f64::from(step))
}

/// Value at `at` on a line through values at the steps.
pub(super) fn between(values: &[f64], at: f64) -> f64 {
    let place = (2.0 * at + 2.0).clamp(0.0, values.len() as f64 - 1.0);
    let low = (place.floor() as usize).min(values.len().saturating_sub(2));
    let (a, b) = (values[low], values[(low + 1).min(values.len() - 1)]);
    a + (b - a) * (place - low as f64)
}

/// Logarithm of the sand height so many months after, at this rate a month.
pub(super) fn grown(rate: f64, months: f64, water_k: f64) -> f64 {
    (rate * warmth(water_k) * months.max(0.0)).min((FULL_M / CLEAN_M).ln())
}

/// Place of clean antifouling among the steps.
pub(super) const CLEAN: usize = 2;

/// Her with each of the steps' sand heights.
pub(super) fn grown_boats(boat: &Boat) -> Result<Vec<PreparedBoat>, BoatError> {
    let of = |step: f64| {
        let grown = Boat { bottom_sand_height_m: CLEAN_M * step.exp(), ..boat.clone() };
        Ok(PreparedBoat::new(&grown)?.value)
    };
    steps().map(of).collect()
}

/// Nine deviates that are as likely as each other.
pub(super) fn scatter() -> impl Iterator<Item = f64> {
    const NINTHS: [f64; 4] = [1.593_2, 0.967_4, 0.589_5, 0.282_2];
    let half = HEIGHT_FACTOR.ln() / DEVIATE_P90;
    NINTHS.into_iter().flat_map(|deviate| [-deviate, deviate]).chain([0.0]).map(move |deviate| half * deviate)
}

/// Rates a month in water of 15 °C, each with how likely it is after the trials; and how many trials told something.
///
/// Each trial's mean `ln P / P_clean` is `h + g(x) + e`: `h` what the document is off in all of them, `g` what growth adds
/// to the power at these speeds, `e` of the day with the scatter of heights in it, taken to the first order.
pub(super) fn rates(trials: &[GrowthTrial], boats: &[PreparedBoat]) -> (Vec<(f64, f64)>, usize) {
    let told: Vec<(f64, Vec<f64>, &GrowthTrial)> = trials
        .iter()
        .filter_map(|trial| {
            let power = |boat: &PreparedBoat, speed: f64| {
                let state = (speed <= boat.fastest_m_s()).then(|| boat.state_at(speed))??;
                Some(state.bank_power_w()).filter(|power| *power > 0.0)
            };
            let clean = boats.get(CLEAN)?;
            let (mut off, mut adds, mut count) = (0.0, vec![0.0; boats.len()], 0.0);
            for (speed, read) in trial.runs.iter().filter(|(speed, read)| *speed > 0.5 && *read > 0.0) {
                let Some(of_clean) = power(clean, *speed) else { continue };
                let Some(all) = boats.iter().map(|boat| power(boat, *speed)).collect::<Option<Vec<f64>>>()
                else {
                    continue;
                };
                off += (read / of_clean).ln();
                adds.iter_mut().zip(all).for_each(|(sum, grown)| *sum += (grown / of_clean).ln());
                count += 1.0;
            }
            adds.iter_mut().for_each(|sum| *sum /= count);
            (count > 0.0).then_some((off / count, adds, trial))
        })
        .collect();
    let likelihood = |rate: f64| {
        let (mut weight, mut first, mut second, mut logs) = (0.0, 0.0, 0.0, 0.0);
        for (off, adds, trial) in &told {
            let height = grown(rate, trial.months, trial.water_k);
            let slope = (between(adds, height + 0.1) - between(adds, height - 0.1)) / 0.2;
            let variance = DAY_SD.powi(2) + (slope * HEIGHT_FACTOR.ln() / DEVIATE_P90).powi(2);
            let left = off - between(adds, height);
            weight += 1.0 / variance;
            first += left / variance;
            second += left * left / variance;
            logs += variance.ln();
        }
        let shared = 1.0 + HULL_SD.powi(2) * weight;
        -0.5 * (logs + shared.ln() + second - first * first * HULL_SD.powi(2) / shared)
    };
    let rates: Vec<(f64, f64)> = (-20..=20)
        .map(|step| {
            let deviate = 0.15 * f64::from(step);
            let rate = RATE_PER_MONTH * RATE_FACTOR.powf(deviate / DEVIATE_P90);
            (rate, likelihood(rate) - 0.5 * deviate * deviate)
        })
        .collect();
    let most = rates.iter().map(|(_, log)| *log).fold(f64::NEG_INFINITY, f64::max);
    (rates.into_iter().map(|(rate, log)| (rate, (log - most).exp())).collect(), told.len())
}
