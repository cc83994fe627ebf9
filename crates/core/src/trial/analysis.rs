//! What the runs of one trial give together: pairs with the stream out, mean of means where runs
//! alternate, the iterative method where settings suffice.
//! Not for: corrections for wind, waves, water; causes.

use super::iterative::{IterativeError, IterativeRun, StreamSolution, solve_current_iterative};
use super::{OppositePair, PairBounds, Run, StreamEstimate, double_run, match_opposite_runs, mean_of_means};

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
    /// Alternating runs at even steps.
    pub alternating: Vec<AlternatingResult>,
    /// The iterative method; `None` when the pairs have no power, lie along different lines, or are
    /// fewer than it takes.
    pub iterative: Option<Result<StreamSolution, IterativeError>>,
}

/// Takes the stream out of `runs`, in order of time.
#[must_use]
pub fn analyse_trial(runs: &[Run], bounds: &PairBounds) -> TrialAnalysis {
    let pairs = match_opposite_runs(runs, bounds);
    TrialAnalysis {
        pairs: pairs.iter().filter_map(|pair| pair_result(runs, *pair)).collect(),
        alternating: alternating(runs, bounds),
        iterative: iterative(runs, &pairs, bounds),
    }
}

fn pair_result(runs: &[Run], pair: OppositePair) -> Option<PairResult> {
    let (first, second) = (&runs[pair.first], &runs[pair.second]);
    let mean = |of: fn(&Run) -> Option<f64>| Some(0.5 * (of(first)? + of(second)?));
    let estimate = double_run(first.speed_over_ground_m_s?, second.speed_over_ground_m_s?);
    Some(PairResult {
        pair,
        estimate,
        log_factor: mean(|run| run.speed_through_water_m_s).map(|log| log / estimate.speed_through_water_m_s),
        power_w: mean(|run| run.power_w),
        turning_rev_s: mean(|run| run.shaft_speed_rev_s).or_else(|| mean(|run| run.motor_speed_rev_s)),
    })
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

fn iterative(
    runs: &[Run],
    pairs: &[OppositePair],
    bounds: &PairBounds,
) -> Option<Result<StreamSolution, IterativeError>> {
    const PAIRS_AT_LEAST: usize = 3;
    if pairs.len() < PAIRS_AT_LEAST {
        return None;
    }
    let outward = runs[pairs[0].first].course_rad?;
    let start_s = runs[pairs[0].first].time_s;
    let mut given = Vec::with_capacity(2 * pairs.len());
    for index in pairs.iter().flat_map(|pair| [pair.first, pair.second]) {
        let run = &runs[index];
        let off = (run.course_rad? - outward).rem_euclid(std::f64::consts::TAU);
        let off = off.min(std::f64::consts::TAU - off);
        let is_outward = off < std::f64::consts::FRAC_PI_2;
        let off_line = off.min((std::f64::consts::PI - off).abs());
        if off_line > bounds.course_rad {
            return None;
        }
        given.push(IterativeRun {
            time_s: run.time_s - start_s,
            is_outward,
            speed_over_ground_m_s: run.speed_over_ground_m_s?,
            power_w: run.power_w?,
        });
    }
    Some(solve_current_iterative(&given, MOST_LOOPS))
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
}
