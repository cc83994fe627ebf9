//! Whether the power at one shaft speed differs from course to course by more than meter and wind give.
//! In a calm it does not differ at all, stream or no stream. Not for: taking the stream out (`trial`).

use super::evidence::Epoch;
use super::observation::Observation;
use crate::boat::Boat;
use crate::spread::{DEVIATE_P90, Spread};
use crate::steady::{Ask, PreparedBoat};
use crate::trial::Run;

/// By how much the power at one shaft speed differs from course to course, beyond what the wind does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CourseDifference {
    /// Mean share by which one course takes more; positive for the first course.
    pub share: f64,
    /// Its standard deviation: meter, and what is not known of the wind.
    pub sd: f64,
    /// Resistance that something would have to add on that course alone, as a share.
    pub added_drag: f64,
}

impl CourseDifference {
    /// More than meter and wind explain.
    #[must_use]
    pub fn is_sure(&self) -> bool {
        const SURE: f64 = 3.0;
        self.share.abs() > SURE * self.sd
    }

    /// Resistance that is not given, as a factor in the mean of both courses.
    #[must_use]
    pub fn unexplained_drag(&self) -> Spread {
        let mean = 0.5 * self.added_drag;
        // The shape of what adds it is not known: half as much to half as much again (judgement), and the
        // meter's own share.
        let unsure = (0.5 * mean).hypot(mean * DEVIATE_P90 * self.sd / self.share.abs().max(1e-6));
        Spread::factor(1.0 + (mean - unsure).max(0.0), 1.0 + mean, 1.0 + mean + unsure)
    }
}

/// How the power differs between the courses of trial number `epoch`, for `boat` as her document has her.
/// `None` with fewer than two pairs, or where the wind was measured aboard.
pub(super) fn course_difference(
    epoch: usize,
    trial: &Epoch,
    observations: &[Observation],
    boat: &Boat,
) -> Option<CourseDifference> {
    /// Readings of one meter within minutes: their own scatter (judgement).
    const READING: f64 = 0.015;
    /// What stays the same from pair to pair: helm, trim, charge (judgement).
    const HABIT: f64 = 0.01;
    /// A breeze that nobody wrote down \[m/s\] (judgement).
    const BREEZE_M_S: f64 = 2.0;
    let prepared = PreparedBoat::new(boat).ok()?.value;
    let turning = |run: &Run| {
        run.shaft_speed_rev_s.or_else(|| run.motor_speed_rev_s.map(|motor| motor / boat.drive_line.ratio))
    };
    let mut differences = Vec::new();
    let mut axis = None;
    let (mut by_wind, mut by_drag) = (0.0, 0.0);
    for observation in observations.iter().filter(|o| o.epoch == epoch && o.runs.len() == 2) {
        let [first, second] = [0, 1].map(|i| &trial.runs[observation.runs[i]].run);
        if first.wind_speed_m_s.is_some() {
            continue;
        }
        let (Some(p), Some(q), Some(course)) = (first.power_w, second.power_w, first.course_rad) else {
            continue;
        };
        let (Some(n), Some(m)) = (turning(first), turning(second)) else { continue };
        let axis = *axis.get_or_insert(course);
        let sign = if (course - axis).cos() >= 0.0 { 1.0 } else { -1.0 };
        // Power goes with the cube of shaft speed.
        let difference = (p / q).ln() - 3.0 * (n / m).ln();
        let Some(effects) = effects(&prepared, boat, n, trial.observed.true_wind_m_s.unwrap_or(BREEZE_M_S))
        else {
            continue;
        };
        if difference.is_finite() {
            differences.push(sign * difference);
            by_wind += effects.0;
            by_drag += effects.1;
        }
    }
    if differences.len() < 2 {
        return None;
    }
    let count = differences.len() as f64;
    let (by_wind, by_drag) = (by_wind / count, by_drag / count);
    let mean = differences.iter().sum::<f64>() / count;
    let scatter = (differences.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / count).sqrt();
    // A wind whose direction is known is taken off, as far as windage is known.
    let (expected, wind_sd) = match (trial.observed.true_wind_m_s, trial.observed.wind_from_rad, axis) {
        (Some(_), Some(from), Some(axis)) => {
            let along = by_wind * (from - axis).cos();
            (along, 0.4 * along.abs())
        }
        _ => (0.0, 0.7 * by_wind),
    };
    let share = mean - expected;
    Some(CourseDifference {
        share,
        sd: (READING.hypot(scatter) / count.sqrt()).hypot(wind_sd).hypot(HABIT),
        added_drag: (share.abs() / by_drag.max(0.05)).min(3.0),
    })
}

/// What a wind ahead instead of astern does to the logarithm of the power at a shaft speed, and what a rise of
/// the resistance does, by its share.
fn effects(prepared: &PreparedBoat, boat: &Boat, shaft_rev_s: f64, wind_m_s: f64) -> Option<(f64, f64)> {
    const RISE: f64 = 0.4;
    let power =
        |boat: &PreparedBoat| Some(boat.solve(Ask::ShaftSpeed(shaft_rev_s)).ok()?.state.drive_power_w.ln());
    let by_wind = power(&prepared.with_head_wind(wind_m_s))? - power(&prepared.with_head_wind(-wind_m_s))?;
    let mut draggy = boat.clone();
    draggy.sea.in_service_factor *= 1.0 + RISE;
    let by_drag = power(&PreparedBoat::new(&draggy).ok()?.value)? - power(prepared)?;
    Some((by_wind, by_drag / RISE))
}
