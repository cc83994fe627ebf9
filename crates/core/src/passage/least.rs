//! The speed through the water that takes the least energy over a way, and until when going back takes less.

use super::stream::Way;

/// Speeds tried before the best of them is made exact.
const TRIED: usize = 120;
const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// The speed of least energy between two speeds and that energy, `power_w` being what the bank gives at a speed; none where
/// she arrives at none of them.
///
/// `min over v of P(v) T(v)`, T as [`Way::takes_s`]: by a row of speeds, then golden section beside the best.
/// # Source
/// Closed forms for a steady stream in `reference/passage/least_energy_speed.csv`, met within 0.001 kn.
/// # Valid for
/// One speed all the way.
/// # Accuracy
/// 1e-6 of the speed where the energy has one hollow beside the best of the row.
/// # Errors
/// None.
/// # Example
/// A power that goes with the cube, two metres a second against her: one and a half times the stream:
/// ```
/// use wakewright_core::passage::{Stage, Way, least_energy_speed};
/// let way = Way { distance_m: 1000.0, stages: vec![Stage { until_s: f64::INFINITY, along_m_s: -2.0, across_m_s: 0.0 }] };
/// let (speed, _) = least_energy_speed(&way, 0.0, (0.5, 8.0), |v| Some(v * v * v)).unwrap();
/// assert!((speed - 3.0).abs() < 1e-4);
/// ```
#[must_use]
pub fn least_energy_speed(
    way: &Way,
    leaves_s: f64,
    (slowest_m_s, fastest_m_s): (f64, f64),
    power_w: impl Fn(f64) -> Option<f64>,
) -> Option<(f64, f64)> {
    let energy = |speed: f64| Some(power_w(speed)? * way.takes_s(leaves_s, speed)?);
    let step = (fastest_m_s - slowest_m_s) / (TRIED - 1) as f64;
    let tried = (0..TRIED).map(|i| slowest_m_s + i as f64 * step).filter_map(|v| Some((v, energy(v)?)));
    let best = tried.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let (mut low, mut high) = ((best.0 - step).max(slowest_m_s), (best.0 + step).min(fastest_m_s));
    let at = |speed: f64| energy(speed).unwrap_or(f64::INFINITY);
    let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut at_a, mut at_b) = (at(a), at(b));
    while high - low > 1e-7 {
        if at_a < at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - GOLDEN * (high - low);
            at_a = at(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + GOLDEN * (high - low);
            at_b = at(b);
        }
    }
    let middle = 0.5 * (low + high);
    [(middle, at(middle)), best].into_iter().min_by(|a, b| a.1.total_cmp(&b.1))
}

/// Until when, at `speed_m_s` on the way on, going back takes less energy than going on \[s\]; both by their own best
/// speeds. None where going on is cheaper from the start.
#[must_use]
pub fn turn_back_s(
    way: &Way,
    leaves_s: f64,
    speed_m_s: f64,
    limits_m_s: (f64, f64),
    power_w: impl Fn(f64) -> Option<f64> + Copy,
) -> Option<f64> {
    const STEP_S: f64 = 300.0;
    let whole_s = way.takes_s(leaves_s, speed_m_s)?;
    let is_back_cheaper = |at_s: f64| {
        let covered_m = way.covered_m(leaves_s, speed_m_s, at_s);
        let on = Way { distance_m: way.distance_m - covered_m, stages: way.stages.clone() };
        let energy = |way: &Way| least_energy_speed(way, at_s, limits_m_s, power_w).map(|best| best.1);
        match (energy(&way.back(covered_m.max(0.0))), energy(&on)) {
            (Some(back), Some(on)) => back < on,
            (back, _) => back.is_some(),
        }
    };
    let steps = (whole_s / STEP_S) as usize;
    (1..=steps).rev().map(|step| leaves_s + step as f64 * STEP_S).find(|at_s| is_back_cheaper(*at_s))
}
