//! What the runs of one trial give together: pairs with the stream out, mean of means where runs
//! alternate, the iterative method where settings suffice.
//! Not for: corrections for wind, waves, water; causes.

use super::constant_stream::{ConstantStream, NORMAL_FOUR_OF_FIVE, constant_stream};
use super::iterative::{IterativeError, IterativeRun, StreamSolution, solve_current_iterative};
use super::{
    GroundRun, OppositePair, PairBounds, Run, StreamEstimate, StreamVector, double_run,
    double_run_by_vectors, match_opposite_runs, mean_of_means, offered_pairs,
};

/// Loops after which the iterative method is given up.
const MOST_LOOPS: usize = 500;
/// Steps between alternating runs may differ by this share for the mean of means.
const EVEN_STEPS: f64 = 0.25;

/// A pair with its stream.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairResult {
    /// Which runs.
    pub pair: OppositePair,
    /// Speed through the water and stream.
    pub estimate: StreamEstimate,
    /// Half of the band about the speed through the water, in four cases of five \[m/s\]; `None` where
    /// the speeds' scatter is not known.
    pub band_m_s: Option<f64>,
    /// Variance that the readings' scatter gives the pair's speed, and its stream along the course \[m²/s²\].
    pub reading_variance: Option<f64>,
    /// Mean speed that the boat's log showed over that speed; 1 for a log that is right.
    pub log_factor: Option<f64>,
    /// Mean power of both runs \[W\].
    pub power_w: Option<f64>,
    /// Mean shaft speed of both runs, else motor speed \[rev/s\].
    pub turning_rev_s: Option<f64>,
}

/// Three or more runs at one setting, in turn with and against.
#[derive(Debug, Clone, PartialEq)]
pub struct AlternatingResult {
    /// Which runs, in order of time.
    pub runs: Vec<usize>,
    /// Mean of means \[m/s\].
    pub speed_through_water_m_s: f64,
}

/// What the runs give.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialAnalysis {
    /// Opposite pairs.
    pub pairs: Vec<PairResult>,
    /// Opposite neighbours of which no setting is known: pairs, if the throttle was not touched.
    pub offered: Vec<PairResult>,
    /// Alternating runs at even steps.
    pub alternating: Vec<AlternatingResult>,
    /// The stream that the pairs share, where two of them tell theirs with its direction.
    pub constant_stream: Option<ConstantStream>,
    /// The iterative method; `None` when the pairs have no power, lie along different lines, or are
    /// fewer than it takes.
    pub iterative: Option<Result<StreamSolution, IterativeError>>,
}

/// Takes the stream out of `runs`, in order of time.
#[must_use]
pub fn analyse_trial(runs: &[Run], bounds: &PairBounds) -> TrialAnalysis {
    let pairs = match_opposite_runs(runs, bounds);
    let results = |pairs: &[OppositePair]| {
        let mut results: Vec<PairResult> = pairs.iter().filter_map(|pair| pair_result(runs, *pair)).collect();
        set_bands(runs, &mut results);
        results
    };
    let pairs = results(&pairs);
    TrialAnalysis {
        offered: results(&offered_pairs(runs, bounds)),
        alternating: alternating(runs, bounds),
        constant_stream: shared_stream(&pairs),
        iterative: iterative(runs, &pairs, bounds),
        pairs,
    }
}

fn pair_result(runs: &[Run], pair: OppositePair) -> Option<PairResult> {
    let (first, second) = (&runs[pair.first], &runs[pair.second]);
    let mean = |of: fn(&Run) -> Option<f64>| Some(0.5 * (of(first)? + of(second)?));
    let ground = |run: &Run| {
        let (speed_m_s, track_rad) = (run.speed_over_ground_m_s?, run.track_rad?);
        Some(GroundRun { speed_m_s, track_rad, heading_rad: run.heading_rad })
    };
    let by_vectors = || double_run_by_vectors(ground(first)?, ground(second)?);
    let estimate = by_vectors().map_or_else(
        || Some(double_run(first.speed_over_ground_m_s?, second.speed_over_ground_m_s?)),
        Some,
    )?;
    Some(PairResult {
        pair,
        estimate,
        band_m_s: None,
        reading_variance: reading_variance(runs, pair),
        log_factor: mean(|run| run.speed_through_water_m_s).map(|log| log / estimate.speed_through_water_m_s),
        power_w: mean(|run| run.power_w),
        turning_rev_s: mean(|run| run.shaft_speed_rev_s).or_else(|| mean(|run| run.motor_speed_rev_s)),
    })
}

/// Time over which one reading of speed tells the same as the next, twice \[s\]. Common practice, no source.
const SCATTER_S: f64 = 16.0;
/// Change of a stream in five minutes \[m/s\] before the pairs tell: 0.05 kn. Common practice, no source.
const WANDER_M_S: f64 = 0.05 * 1852.0 / 3600.0;
const WANDER_S: f64 = 300.0;
/// Stream across the line of a pair of which no course over ground is known \[m/s\]: 0.5 kn. Common practice, no source.
const ACROSS_M_S: f64 = 0.5 * 1852.0 / 3600.0;

/// Bands about the speeds through the water: the speeds' own scatter, and the change of the stream
/// between the two runs of a pair, as the streams of neighbouring pairs differ along the course.
///
/// The stream is taken to wander as a sum of chance steps of variance `r` a second. Between the means of
/// two runs it then changes by `r (t - d/3)`, for `t` from middle to middle and runs of length `d`;
/// between two pairs by 0.75 `r T`, for `T` from middle to middle.
fn set_bands(runs: &[Run], results: &mut [PairResult]) {
    let of_pair = |pair: OppositePair| reading_variance(runs, pair);
    let middle = |pair: OppositePair| 0.5 * (runs[pair.first].time_s + runs[pair.second].time_s);
    // One guess stands beside what the pairs tell.
    let (mut rates, mut count) = (WANDER_M_S * WANDER_M_S / WANDER_S, 1.0);
    for two in results.windows(2) {
        let (Some(course), Some(other)) =
            (runs[two[0].pair.first].course_rad, runs[two[1].pair.first].course_rad)
        else {
            continue;
        };
        let apart_s = middle(two[1].pair) - middle(two[0].pair);
        let (Some(a), Some(b)) = (of_pair(two[0].pair), of_pair(two[1].pair)) else { continue };
        let change = match (two[0].estimate.stream, two[1].estimate.stream) {
            (Some(s), Some(t)) => {
                t.speed_m_s * (t.towards_rad - course).cos() - s.speed_m_s * (s.towards_rad - course).cos()
            }
            _ => {
                // The other pair may have begun on the way back.
                let sign = if (course - other).cos() < 0.0 { -1.0 } else { 1.0 };
                sign * two[1].estimate.stream_along_m_s - two[0].estimate.stream_along_m_s
            }
        };
        if apart_s > 0.0 {
            rates += (change * change - a - b).max(0.0) / (0.75 * apart_s);
            count += 1.0;
        }
    }
    for result in results {
        let (first, second) = (&runs[result.pair.first], &runs[result.pair.second]);
        let apart_s = (second.time_s - first.time_s).abs();
        // Without courses a stream across is not seen: it makes both speeds over ground too great by `c^2 / 2 V`, for a `c`
        // that is normal about nought with this deviation `sqrt(3) c^2 / 2 V` in the root mean square.
        let unseen = match result.estimate.stream {
            Some(_) => 0.0,
            None => {
                let across = ACROSS_M_S.powi(2) + result.estimate.stream_along_m_s.powi(2);
                3.0 * (across / (2.0 * result.estimate.speed_through_water_m_s.max(ACROSS_M_S))).powi(2)
            }
        };
        let smoothed_s = (apart_s - (first.duration_s + second.duration_s) / 6.0).max(0.0);
        result.band_m_s = of_pair(result.pair)
            .map(|noise| NORMAL_FOUR_OF_FIVE * (noise + unseen + 0.25 * rates / count * smoothed_s).sqrt());
    }
}

/// What the scatter of both runs' readings leaves in half their sum, or difference.
fn reading_variance(runs: &[Run], pair: OppositePair) -> Option<f64> {
    let of_run = |index: usize| {
        let run = &runs[index];
        let scatter = run.speed_scatter_m_s?;
        let step = run.speed_step_error_m_s.unwrap_or(0.0);
        let chance = scatter * scatter * SCATTER_S / run.duration_s.max(SCATTER_S);
        (run.duration_s > 0.0).then_some(chance + step * step)
    };
    Some(0.25 * (of_run(pair.first)? + of_run(pair.second)?))
}

/// The stream that pairs share, their readings' scatter taken out of its band where all of them tell it.
#[must_use]
pub fn shared_stream(pairs: &[PairResult]) -> Option<ConstantStream> {
    let streams: Vec<StreamVector> = pairs.iter().filter_map(|pair| pair.estimate.stream).collect();
    let readings: Option<Vec<f64>> = pairs.iter().map(|pair| pair.reading_variance).collect();
    let mean = readings.filter(|r| !r.is_empty()).map(|r| r.iter().sum::<f64>() / r.len() as f64);
    constant_stream(&streams, mean.unwrap_or(0.0))
}

fn alternating(runs: &[Run], bounds: &PairBounds) -> Vec<AlternatingResult> {
    let mut order: Vec<usize> =
        (0..runs.len()).filter(|i| runs[*i].speed_over_ground_m_s.is_some()).collect();
    order.sort_by(|a, b| runs[*a].time_s.total_cmp(&runs[*b].time_s));
    let mut series: Vec<Vec<usize>> = Vec::new();
    for run in order {
        let continues = series.last().and_then(|last| last.last()).is_some_and(|before| {
            let two = [runs[*before], runs[run]];
            !match_opposite_runs(&two, bounds).is_empty()
        });
        match series.last_mut() {
            Some(last) if continues => last.push(run),
            _ => series.push(vec![run]),
        }
    }
    series
        .into_iter()
        .filter(|series| series.len() >= 3 && has_even_steps(runs, series))
        .filter_map(|series| {
            let speeds: Option<Vec<f64>> = series.iter().map(|i| runs[*i].speed_over_ground_m_s).collect();
            let speed_through_water_m_s = mean_of_means(&speeds?)?;
            Some(AlternatingResult { runs: series, speed_through_water_m_s })
        })
        .collect()
}

fn has_even_steps(runs: &[Run], series: &[usize]) -> bool {
    let steps: Vec<f64> = series.windows(2).map(|two| runs[two[1]].time_s - runs[two[0]].time_s).collect();
    let mean = steps.iter().sum::<f64>() / steps.len() as f64;
    steps.iter().all(|step| (step - mean).abs() <= EVEN_STEPS * mean)
}

/// Speeds over ground enter as their parts along the pairs' common line, so that a stream across does not
/// make her faster: pair by pair her speed through the water with the stream along that line, and against it.
fn iterative(
    runs: &[Run],
    pairs: &[PairResult],
    bounds: &PairBounds,
) -> Option<Result<StreamSolution, IterativeError>> {
    const PAIRS_AT_LEAST: usize = 3;
    if pairs.len() < PAIRS_AT_LEAST {
        return None;
    }
    let first = pairs[0].pair.first;
    let outward = line_of(runs, pairs[0].pair).or(runs[first].course_rad)?;
    let mut given = Vec::with_capacity(2 * pairs.len());
    for PairResult { pair, estimate, .. } in pairs {
        let (there, back) = (&runs[pair.first], &runs[pair.second]);
        let line = line_of(runs, *pair);
        for (run, sign) in [(there, 1.0), (back, -1.0)] {
            let course = match line {
                Some(line) if sign > 0.0 => line,
                Some(line) => line + std::f64::consts::PI,
                None => run.course_rad?,
            };
            let off = (course - outward).rem_euclid(std::f64::consts::TAU);
            let off = off.min(std::f64::consts::TAU - off);
            if off.min((std::f64::consts::PI - off).abs()) > bounds.course_rad {
                return None;
            }
            let along_m_s = match (line, estimate.stream) {
                (Some(line), Some(stream)) => {
                    let stream_m_s = stream.speed_m_s * (stream.towards_rad - line).cos();
                    estimate.speed_through_water_m_s + sign * stream_m_s
                }
                _ => run.speed_over_ground_m_s?,
            };
            given.push(IterativeRun {
                time_s: run.time_s - runs[first].time_s,
                is_outward: off < std::f64::consts::FRAC_PI_2,
                speed_over_ground_m_s: along_m_s,
                power_w: run.power_w?,
            });
        }
    }
    Some(solve_current_iterative(&given, MOST_LOOPS))
}

/// The line of a pair, as its first run goes \[rad\]: the difference of both velocities over ground, in which
/// the stream is not. `None` where a course over ground is missing.
fn line_of(runs: &[Run], pair: OppositePair) -> Option<f64> {
    let over_ground = |run: &Run| {
        let (speed_m_s, track_rad) = (run.speed_over_ground_m_s?, run.track_rad?);
        Some((speed_m_s * track_rad.sin(), speed_m_s * track_rad.cos()))
    };
    let (there, back) = (over_ground(&runs[pair.first])?, over_ground(&runs[pair.second])?);
    Some((there.0 - back.0).atan2(there.1 - back.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(time_s: f64, course_deg: f64, power_w: f64, speed: f64) -> Run {
        Run {
            time_s,
            course_rad: Some(course_deg.to_radians()),
            power_w: Some(power_w),
            speed_over_ground_m_s: Some(speed),
            ..Run::default()
        }
    }

    /// Own example of the mean of means: 6.000 from 6.600, 5.295, 6.770, 5.205 at even steps.
    #[test]
    fn alternating_runs_take_the_mean_of_means() {
        let speeds = [6.600, 5.295, 6.770, 5.205];
        let runs: Vec<Run> = speeds
            .iter()
            .enumerate()
            .map(|(i, speed)| run(1800.0 * i as f64, if i % 2 == 0 { 10.0 } else { 190.0 }, 2e3, *speed))
            .collect();
        let found = analyse_trial(&runs, &PairBounds::default());
        assert!((found.alternating[0].speed_through_water_m_s - 6.0).abs() < 5e-5);
        assert_eq!(found.pairs.len(), 2);
        assert_eq!(found.iterative, None);
    }

    #[test]
    fn three_settings_give_a_curve_with_constant_stream() {
        let mut runs = Vec::new();
        for (i, speed) in [2.0_f64, 2.5, 3.0].into_iter().enumerate() {
            let power = 100.0 + 80.0 * speed.powi(3);
            runs.push(run(1200.0 * i as f64, 350.0, power, speed + 0.3));
            runs.push(run(1200.0 * i as f64 + 600.0, 170.0, power, speed - 0.3));
        }
        let found = analyse_trial(&runs, &PairBounds::default());
        let solution = found.iterative.unwrap().unwrap();
        assert!(solution.is_constant_stream);
        assert!((solution.current.constant_m_s - 0.3).abs() < 1e-6);
        assert!((solution.power.exponent - 3.0).abs() < 1e-4);
    }

    /// A knot across the line is no speed: the curve comes out as that of still water.
    #[test]
    fn a_stream_across_does_not_make_her_faster() {
        let across = 0.5144;
        let mut runs = Vec::new();
        for (i, speed) in [2.0_f64, 2.5, 3.0].into_iter().enumerate() {
            for (way, along) in [(0, speed + 0.3), (1, -speed + 0.3)] {
                let track: f64 = f64::atan2(across, along);
                let made = run(
                    1200.0 * i as f64 + 600.0 * f64::from(way),
                    track.to_degrees(),
                    100.0 + 80.0 * speed.powi(3),
                    along.hypot(across),
                );
                runs.push(Run { track_rad: Some(track), ..made });
            }
        }
        let found = analyse_trial(&runs, &PairBounds::default());
        let solution = found.iterative.unwrap().unwrap();
        for (found, made) in solution.speeds_through_water_m_s.iter().zip([2.0, 2.0, 2.5, 2.5, 3.0, 3.0]) {
            assert!((found - made).abs() < 1e-4, "{found} for {made}");
        }
        let stream = found.constant_stream.unwrap();
        assert!((stream.mean.speed_m_s - 0.3_f64.hypot(across)).abs() < 1e-9 && stream.band_m_s < 1e-9);
    }
}
