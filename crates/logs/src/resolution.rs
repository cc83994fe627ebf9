//! In which steps a channel is written: a whole knot, ten amps. What lies between two steps is not known, and the
//! mean of a run knows it only where the values go to and fro over a step.
//! Not for: which unit a column is in (`table`).

use wakewright_units::Quantity;

use super::log::{Channel, Log};
use super::measured::Measured as M;
use super::notice::LogNotice;

/// Fewer samples, or fewer values among them, tell no step.
const LEAST_SAMPLES: usize = 30;
const LEAST_VALUES: usize = 4;
/// Half the time over which speed is computed from positions \[s\].
const HALF_LEG_S: f64 = 5.0;
/// Steps of speed that are worse than positions of a receiver \[m/s\]: 0.4 kn.
const COARSE_M_S: f64 = 0.4 * 1852.0 / 3600.0;
/// A tenth of what is drawn in the middle.
const COARSE_SHARE: f64 = 0.1;

/// The greatest step of which all values are multiples, in a usual unit, SI; `None` where they stand finer.
pub(super) fn step_of(channel: &Channel) -> Option<f64> {
    let steps: &[f64] = match channel.measured.quantity() {
        Quantity::Speed => &[1.0, 0.5, 0.1],
        Quantity::Current | Quantity::Power => &[1000.0, 500.0, 100.0, 50.0, 10.0, 5.0, 1.0, 0.1],
        Quantity::Angle => &[1e-3, 1e-4 * 100.0 / 60.0, 1e-4, 1e-5],
        _ => return None,
    };
    let units: &[&str] = match channel.measured.quantity() {
        Quantity::Speed => &["kn", "km/h", "m/s", "mph"],
        Quantity::Current => &["A"],
        Quantity::Power => &["W"],
        _ => &["°"],
    };
    let values = &channel.values;
    if values.len() < LEAST_SAMPLES {
        return None;
    }
    let factors = units.iter().filter_map(|unit| Some(channel.measured.quantity().unit(unit)?.factor));
    let mut all: Vec<f64> = factors.flat_map(|factor| steps.iter().map(move |step| step * factor)).collect();
    all.sort_by(|a, b| b.total_cmp(a));
    let found = all.into_iter().find(|step| {
        values.iter().all(|value| {
            let count = value / step;
            (count - count.round()).abs() <= 1e-4 + 1e-9 * count.abs()
        })
    })?;
    let mut seen: Vec<i64> = Vec::with_capacity(LEAST_VALUES);
    for value in values {
        let count = (value / found).round() as i64;
        if !seen.contains(&count) {
            seen.push(count);
        }
        if seen.len() >= LEAST_VALUES {
            return Some(found);
        }
    }
    None
}

/// Speeds in coarse steps beside positions that tell them better are set aside; what else is coarse is said.
pub(super) fn look(log: &mut Log) {
    let mut said = coarse_places(log);
    let step = |log: &Log, measured: M| step_of(log.of(measured).max_by_key(|c| c.count)?);
    if let Some(speed_m_s) = step(log, M::SpeedOverGround).filter(|step| *step >= COARSE_M_S) {
        let place_m = match (log.of(M::Latitude).next(), step(log, M::Latitude)) {
            (None, _) => f64::INFINITY,
            (Some(_), step) => EARTH_M * step.unwrap_or(0.0),
        };
        if place_m / (2.0 * HALF_LEG_S) < speed_m_s {
            let (aside, kept): (Vec<_>, Vec<_>) =
                log.channels.drain(..).partition(|channel| channel.measured == M::SpeedOverGround);
            log.channels = kept;
            log.set_aside.extend(aside);
            said.push(LogNotice::LeftOut(
                "The speed over ground left out: it is written in coarse steps, and the positions tell it better."
                    .to_owned(),
            ));
        }
    }
    for measured in [M::SpeedOverGround, M::SpeedThroughWater, M::Current, M::Power] {
        let Some(channel) = log.of(measured).max_by_key(|c| c.count) else { continue };
        let Some(step) = step_of(channel) else { continue };
        let sizes: Vec<f64> = channel.values.iter().map(|v| v.abs()).filter(|v| *v > 0.0).collect();
        let middle = super::checks::median(&sizes).unwrap_or(0.0);
        let is_coarse = match measured.quantity() {
            Quantity::Speed => step >= COARSE_M_S,
            _ => step >= COARSE_SHARE * middle,
        };
        if is_coarse {
            said.push(LogNotice::Coarse { measured, source: channel.source, step });
        }
    }
    log.notices.extend(said);
}

const EARTH_M: f64 = 6_371_000.0;
/// Positions in greater steps give no speed from leg to leg \[m\].
const COARSE_PLACE_M: f64 = 5.0;
/// Steps beyond which no leg of a run helps \[m\].
const TOO_COARSE_M: f64 = 50.0;

/// Half the time over which speed is computed from positions of this step \[s\]: the rounding of both ends makes speeds
/// too great by `variance / 2 V`, which a longer leg brings under a hundredth of a knot or two at three knots.
pub(super) fn half_leg_s(step_rad: Option<f64>) -> f64 {
    const LONGEST_S: f64 = 60.0;
    const S_PER_M: f64 = 1.2;
    (S_PER_M * EARTH_M * step_rad.unwrap_or(0.0)).clamp(HALF_LEG_S, LONGEST_S)
}

/// Speeds from point to point of a coarse track leap with its steps: they are set aside for those over longer legs, and said.
fn coarse_places(log: &mut Log) -> Vec<LogNotice> {
    let Some(step) = log.of(M::Latitude).max_by_key(|c| c.count).and_then(step_of) else { return Vec::new() };
    let step_m = EARTH_M * step;
    let made = |channel: &Channel| {
        channel.source == super::log::Source::Derived
            && matches!(channel.measured, M::SpeedOverGround | M::CourseOverGround)
    };
    let has_own = log.of(M::SpeedOverGround).any(|channel| !made(channel));
    if step_m < COARSE_PLACE_M || has_own {
        return Vec::new();
    }
    log.channels.retain(|channel| !made(channel));
    let leg_s = 2.0 * half_leg_s(Some(step));
    let text = if step_m >= TOO_COARSE_M {
        format!(
            "The positions stand in steps of {step_m:.0} m (too few decimals), and no other speed is in this log: what is made of them over {leg_s:.0} s \
             may be wrong by a knot, and hardly a steady run will be found. Save the track with five decimals."
        )
    } else {
        format!(
            "The positions stand in steps of {step_m:.0} m: speeds are taken over {leg_s:.0} s, and are less sure than a receiver's own."
        )
    };
    vec![if step_m >= TOO_COARSE_M { LogNotice::Question(text) } else { LogNotice::LeftOut(text) }]
}

/// What steps leave of a mean whose readings scatter by `scatter` about it, as a standard deviation: a twelfth of the
/// step's square where all readings are one, and next to nothing where they go to and fro over the step.
/// Source: JCGM 100 (2008), F.2.2.1, for the step; from memory, the Gaussian fading of what is left under noise.
pub(super) fn left_of_step(step: f64, scatter: f64) -> f64 {
    let share = std::f64::consts::PI * scatter / step;
    step / 12.0_f64.sqrt() * (-2.0 * share * share).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::Source;

    fn channel(values: &[f64]) -> Channel {
        let values: Vec<f64> = values.iter().cycle().take(60).copied().collect();
        let times_s = (0..values.len()).map(|i| i as f64).collect();
        let count = values.len() as u64;
        Channel {
            measured: M::SpeedOverGround,
            source: Source::Track,
            times_s,
            values,
            count,
            is_turned: false,
        }
    }

    #[test]
    fn whole_knots_are_told_from_kilometres() {
        const KN: f64 = 1852.0 / 3600.0;
        let knots = [0.0, 1.0, 3.0, 4.0, 6.0].map(|v| v * KN);
        assert!((step_of(&channel(&knots)).unwrap() - KN).abs() < 1e-9);
        let kilometres = [0.0, 1.0, 3.0, 4.0, 6.0].map(|v| v / 3.6);
        assert!((step_of(&channel(&kilometres)).unwrap() - 1.0 / 3.6).abs() < 1e-9);
        assert_eq!(step_of(&channel(&[0.01, 0.23, 1.37, 2.041])), None);
        assert_eq!(step_of(&channel(&[1.0, 2.0])), None, "two values are no scale");
    }

    /// By hand: a step of 1 without scatter leaves 1/sqrt(12) = 0.2887; with a scatter of half a step exp(-4.93) of it.
    #[test]
    fn scatter_over_a_step_takes_its_error_out() {
        assert!((left_of_step(1.0, 0.0) - 0.288_675).abs() < 1e-6);
        assert!((left_of_step(1.0, 0.5) - 0.002_076).abs() < 1e-5);
    }
}
