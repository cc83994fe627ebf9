//! Steady runs in a joined log: stretches in which setting, speed and course stay within bounds,
//! without the transient at their ends.
//! Not for: pairs and streams (`wakewright_core::trial`).

use wakewright_core::trial::Run;
use wakewright_units::factors::{KNOT_M_S, RPM_REV_S};

use super::join::{Outing, Series};
use super::measured::Measured as M;
use super::resolution::left_of_step;
use super::steadiness::{Held, earliest_starts, smooth, unwrapped, without_transient};

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
    /// Power, as a share, beside a shaft speed: waves and wind may move it, but it must be drawn.
    pub power_beside_share: f64,
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
            power_beside_share: 0.35,
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
const LEAST_BESIDE_W: f64 = 150.0;

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
    // Turns that one of several logs does not know make no run there; its power does.
    let known = |series: &Series| series.values.iter().filter(|value| value.is_finite()).count();
    let power_known = outing.of(M::Power).map_or(0, known);
    if let Some(turning) = turning.filter(|turning| 10 * known(turning) >= 9 * power_known) {
        held.push(Held {
            values: smooth(&turning.values, window),
            least: LEAST_TURNING_REV_S,
            share: bounds.turning_share,
        });
        if let Some(power) = outing.of(M::Power).filter(|_| 10 * power_known >= 9 * known(turning)) {
            let values = smooth(&power.values, window);
            held.push(Held { values, least: LEAST_BESIDE_W, share: bounds.power_beside_share });
        }
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

pub(super) fn mean_and_scatter(values: &[f64]) -> (f64, f64) {
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
    let scatter = mean_and_scatter(&speeds[first..=last]).1;
    let step = outing.of(M::SpeedOverGround).and_then(|series| series.step);
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
        speed_scatter_m_s: Some(scatter),
        speed_step_error_m_s: step.map(|step| left_of_step(step, scatter)),
        is_sailed: false,
    }
}
