//! Steady runs in a joined log: stretches in which setting, speed and course stay within bounds,
//! without the transient at their ends.
//! Not for: pairs and streams (`wakewright_core::trial`).

use std::collections::VecDeque;

use wakewright_core::trial::Run;
use wakewright_units::factors::{KNOT_M_S, RPM_REV_S};

use super::join::Outing;
use super::measured::Measured as M;

/// What counts as steady. Each bound is half of the range within which smoothed values stay.
/// Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunBounds {
    /// Shortest run, without its transient \[s\].
    pub least_duration_s: f64,
    /// Speed \[m/s\].
    pub speed_m_s: f64,
    /// Speed, as a share; the wider of both counts.
    pub speed_share: f64,
    /// Course or heading \[rad\].
    pub course_rad: f64,
    /// Shaft or motor speed, as a share.
    pub turning_share: f64,
    /// Power, as a share, where no shaft speed is known.
    pub power_share: f64,
    /// Slower than this she lies still \[m/s\].
    pub least_speed_m_s: f64,
    /// Smoothing before bounds are applied \[s\].
    pub smoothing_s: f64,
}

impl Default for RunBounds {
    fn default() -> Self {
        Self {
            least_duration_s: 60.0,
            speed_m_s: 0.2 * KNOT_M_S,
            speed_share: 0.05,
            course_rad: 10.0_f64.to_radians(),
            turning_share: 0.02,
            power_share: 0.08,
            least_speed_m_s: 1.0 * KNOT_M_S,
            smoothing_s: 11.0,
        }
    }
}

/// A steady run with its place in the outing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadyRun {
    /// First step.
    pub first: usize,
    /// Last step.
    pub last: usize,
    /// Means over the run.
    pub run: Run,
}

/// Least range of a setting that is let pass: meters count in steps.
const LEAST_TURNING_REV_S: f64 = 8.0 * RPM_REV_S;
const LEAST_POWER_W: f64 = 40.0;

/// A smoothed series with its bound: `max(least, share x value)`.
struct Held {
    values: Vec<f64>,
    least: f64,
    share: f64,
}

impl Held {
    fn allows(&self, low: f64, high: f64) -> bool {
        high - low <= 2.0 * self.least.max(self.share * high.abs().max(low.abs()))
    }
}

/// All steady runs of an outing, in order of time. None without a speed; without a course or a
/// setting, what is known decides.
#[must_use]
pub fn find_steady_runs(outing: &Outing, bounds: &RunBounds) -> Vec<SteadyRun> {
    let speed = [M::SpeedThroughWater, M::SpeedOverGround].into_iter().find_map(|m| outing.of(m));
    let Some(speed) = speed else { return Vec::new() };
    let window = (bounds.smoothing_s / outing.step_s).round().max(1.0) as usize;
    let mut held = vec![Held {
        values: smooth(&speed.values, window),
        least: bounds.speed_m_s,
        share: bounds.speed_share,
    }];
    let course = [M::CourseOverGround, M::HeadingTrue, M::CourseOverGroundMagnetic, M::HeadingMagnetic]
        .into_iter()
        .find_map(|m| outing.of(m));
    if let Some(course) = course {
        let values = smooth(&unwrapped(&course.values), window);
        held.push(Held { values, least: bounds.course_rad, share: 0.0 });
    }
    let turning = [M::ShaftSpeed, M::MotorSpeed].into_iter().find_map(|m| outing.of(m));
    if let Some(turning) = turning {
        held.push(Held {
            values: smooth(&turning.values, window),
            least: LEAST_TURNING_REV_S,
            share: bounds.turning_share,
        });
    } else if let Some(power) = outing.of(M::Power) {
        held.push(Held {
            values: smooth(&power.values, window),
            least: LEAST_POWER_W,
            share: bounds.power_share,
        });
    }
    let starts = earliest_starts(&held, bounds.least_speed_m_s);
    let least = (bounds.least_duration_s / outing.step_s).ceil().max(1.0) as usize;
    let mut runs = Vec::new();
    let mut stretches = vec![(0, outing.steps)];
    while let Some((from, to)) = stretches.pop() {
        // The longest stretch first, then what is left on both sides of it.
        let longest = (from..to)
            .filter_map(|end| Some((starts[end]?.max(from), end)))
            .max_by_key(|(start, end)| end - start);
        let Some((first, last)) = longest.filter(|(first, last)| last - first + 1 >= least) else { continue };
        stretches.push((from, first));
        stretches.push((last + 1, to));
        if let Some((first, last)) = without_transient(&speed.values, first, last, least, outing.step_s) {
            runs.push(SteadyRun { first, last, run: means(outing, first, last, &speed.values) });
        }
    }
    runs.sort_by_key(|run| run.first);
    runs
}

/// Moving mean; `NaN` where less than half of the window is known.
fn smooth(values: &[f64], window: usize) -> Vec<f64> {
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
fn unwrapped(values: &[f64]) -> Vec<f64> {
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
fn earliest_starts(held: &[Held], least_speed: f64) -> Vec<Option<usize>> {
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
fn without_transient(
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

fn mean_and_scatter(values: &[f64]) -> (f64, f64) {
    let known: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    let count = known.len().max(1) as f64;
    let mean = known.iter().sum::<f64>() / count;
    let variance = known.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (count - 1.0).max(1.0);
    (mean, variance.sqrt())
}

/// Means over a stretch that was set by hand, ends included; `None` when no speed is known over most of it.
#[must_use]
pub fn run_between(outing: &Outing, first: usize, last: usize) -> Option<Run> {
    let last = last.min(outing.steps.checked_sub(1)?);
    let speed = [M::SpeedThroughWater, M::SpeedOverGround].into_iter().find_map(|m| outing.of(m))?;
    if first >= last {
        return None;
    }
    let run = means(outing, first, last, &speed.values);
    run.speed_through_water_m_s.or(run.speed_over_ground_m_s).map(|_| run)
}

/// Means of every quantity over a stretch; none where less than half of it is known.
fn means(outing: &Outing, first: usize, last: usize, speeds: &[f64]) -> Run {
    let mean = |measured: M| {
        let series = outing.of(measured)?;
        let known: Vec<f64> = series.values[first..=last].iter().copied().filter(|v| v.is_finite()).collect();
        if 2 * known.len() < last - first + 1 {
            return None;
        }
        if measured.is_circular() {
            let (sin, cos) = known.iter().fold((0.0, 0.0), |(s, c), v| (s + v.sin(), c + v.cos()));
            return Some(measured.normal(f64::atan2(sin, cos)));
        }
        Some(known.iter().sum::<f64>() / known.len() as f64)
    };
    let duration_s = (last - first) as f64 * outing.step_s;
    Run {
        time_s: outing.time_s(first) + 0.5 * duration_s,
        duration_s,
        course_rad: mean(M::CourseOverGround)
            .or_else(|| mean(M::HeadingTrue))
            .or_else(|| mean(M::CourseOverGroundMagnetic))
            .or_else(|| mean(M::HeadingMagnetic)),
        track_rad: mean(M::CourseOverGround).or_else(|| mean(M::CourseOverGroundMagnetic)),
        heading_rad: mean(M::HeadingTrue).or_else(|| mean(M::HeadingMagnetic)),
        speed_over_ground_m_s: mean(M::SpeedOverGround),
        speed_through_water_m_s: mean(M::SpeedThroughWater),
        shaft_speed_rev_s: mean(M::ShaftSpeed),
        motor_speed_rev_s: mean(M::MotorSpeed),
        voltage_v: mean(M::Voltage),
        current_a: mean(M::Current),
        power_w: mean(M::Power),
        pull_n: None,
        depth_m: mean(M::DepthBelowSurface).or_else(|| mean(M::DepthBelowTransducer)),
        wind_speed_m_s: mean(M::ApparentWindSpeed),
        wind_angle_rad: mean(M::ApparentWindAngle),
        speed_scatter_m_s: Some(mean_and_scatter(&speeds[first..=last]).1),
    }
}
