//! Where a log holds steady: speed smoothed, course unwrapped, the transient cut off.

use super::measured::Measured as M;
use super::runs::mean_and_scatter;
use std::collections::VecDeque;
use wakewright_units::factors::KNOT_M_S;

/// A smoothed series with its bound: `max(least, share x value)`.
pub(super) struct Held {
    pub(super) values: Vec<f64>,
    pub(super) least: f64,
    pub(super) share: f64,
}

impl Held {
    fn allows(&self, low: f64, high: f64) -> bool {
        high - low <= 2.0 * self.least.max(self.share * high.abs().max(low.abs()))
    }
}

/// Moving mean; `NaN` where less than half of the window is known.
pub(super) fn smooth(values: &[f64], window: usize) -> Vec<f64> {
    let half = window / 2;
    let mut sums = vec![(0.0, 0_usize)];
    for value in values {
        let (sum, count) = sums.last().copied().unwrap_or_default();
        sums.push(if value.is_finite() { (sum + value, count + 1) } else { (sum, count) });
    }
    (0..values.len())
        .map(|i| {
            let (from, to) = (i.saturating_sub(half), (i + half + 1).min(values.len()));
            let count = sums[to].1 - sums[from].1;
            if values[i].is_finite() && 2 * count >= to - from {
                (sums[to].0 - sums[from].0) / count as f64
            } else {
                f64::NAN
            }
        })
        .collect()
}

/// A direction without jumps at north.
pub(super) fn unwrapped(values: &[f64]) -> Vec<f64> {
    let mut before = f64::NAN;
    values
        .iter()
        .map(|value| {
            if value.is_finite() {
                before = if before.is_finite() {
                    before + M::CourseOverGround.difference(*value, before)
                } else {
                    *value
                };
                before
            } else {
                f64::NAN
            }
        })
        .collect()
}

/// For each step the earliest start of a stretch that ends there and keeps all bounds.
pub(super) fn earliest_starts(held: &[Held], least_speed: f64) -> Vec<Option<usize>> {
    let steps = held[0].values.len();
    let mut lows: Vec<VecDeque<usize>> = vec![VecDeque::new(); held.len()];
    let mut highs: Vec<VecDeque<usize>> = vec![VecDeque::new(); held.len()];
    let mut start = 0;
    let mut starts = Vec::with_capacity(steps);
    for end in 0..steps {
        let is_known = held.iter().all(|h| h.values[end].is_finite()) && held[0].values[end] >= least_speed;
        if !is_known {
            start = end + 1;
            lows.iter_mut().chain(&mut highs).for_each(VecDeque::clear);
            starts.push(None);
            continue;
        }
        for (h, (low, high)) in held.iter().zip(lows.iter_mut().zip(&mut highs)) {
            while low.back().is_some_and(|i| h.values[*i] >= h.values[end]) {
                low.pop_back();
            }
            low.push_back(end);
            while high.back().is_some_and(|i| h.values[*i] <= h.values[end]) {
                high.pop_back();
            }
            high.push_back(end);
            while let (Some(l), Some(t)) = (low.front(), high.front()) {
                if h.allows(h.values[*l], h.values[*t]) {
                    break;
                }
                start = (*l).min(*t) + 1;
                while low.front().is_some_and(|i| *i < start) {
                    low.pop_front();
                }
                while high.front().is_some_and(|i| *i < start) {
                    high.pop_front();
                }
            }
        }
        for queue in lows.iter_mut().chain(&mut highs) {
            while queue.front().is_some_and(|i| *i < start) {
                queue.pop_front();
            }
        }
        starts.push(Some(start));
    }
    starts
}

/// Cuts blocks off both ends while their mean speed is off the mean of the middle by more than
/// chance.
pub(super) fn without_transient(
    speeds: &[f64],
    mut first: usize,
    mut last: usize,
    least: usize,
    step_s: f64,
) -> Option<(usize, usize)> {
    const BLOCK_S: f64 = 10.0;
    const LEAST_OFF_M_S: f64 = 0.03 * KNOT_M_S;
    const STANDARD_ERRORS: f64 = 2.5;
    let block = (BLOCK_S / step_s).ceil().max(1.0) as usize;
    loop {
        if last + 1 < first + least {
            return None;
        }
        let quarter = (last - first + 1) / 4;
        let middle = mean_and_scatter(&speeds[first + quarter..=last - quarter]);
        let is_off = |part: &[f64]| {
            let end = mean_and_scatter(part);
            // Neighbouring seconds tell nearly the same: a block counts as two samples.
            let error = middle.1 / 2.0_f64.sqrt();
            (end.0 - middle.0).abs() > LEAST_OFF_M_S.max(STANDARD_ERRORS * error)
        };
        if is_off(&speeds[first..(first + block).min(last + 1)]) {
            first += block;
        } else if is_off(&speeds[(last + 1).saturating_sub(block).max(first)..=last]) {
            last = last.checked_sub(block)?;
        } else {
            return Some((first, last));
        }
    }
}
