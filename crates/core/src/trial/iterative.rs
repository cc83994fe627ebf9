//! The iterative method: one curve of power over speed and one stream that changes with the tide,
//! found together from double runs at several settings.
//! Not for: runs at one setting (`stream`), runs without power.

use super::constant_stream::students_t_four_of_five;
use super::power_law::{PowerLaw, fit_power_law};
use nalgebra::{Matrix4, Vector4};
use wakewright_units::factors::{DAY_S, HOUR_S};

/// Period of the lunar half-day tide in the method \[s\]: 0.51753 day. Source: \[ittc7504\].
pub const TIDAL_PERIOD_S: f64 = 0.51753 * DAY_S;
/// Double runs that the full stream takes: with fewer it is taken as constant. Source: \[ittc7504\].
const DOUBLE_RUNS_FOR_TIDE: usize = 4;
/// Double runs that fix the curve of power at all.
const DOUBLE_RUNS_AT_LEAST: usize = 3;

/// One run of the trial. Runs stand in pairs: 0 and 1, 2 and 3, ... are double runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IterativeRun {
    /// Middle of the run, from the first \[s\].
    pub time_s: f64,
    /// True for the direction that counts as with the stream's positive sense.
    pub is_outward: bool,
    /// Speed over ground \[m/s\].
    pub speed_over_ground_m_s: f64,
    /// Power \[W\].
    pub power_w: f64,
}

/// Stream along the outward course: `cosine cos(2 pi t/T) + sine sin(2 pi t/T) + drift t + constant`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CurrentTerms {
    /// \[m/s\].
    pub cosine_m_s: f64,
    /// \[m/s\].
    pub sine_m_s: f64,
    /// \[m/s per s\].
    pub drift_m_s2: f64,
    /// \[m/s\].
    pub constant_m_s: f64,
}

impl CurrentTerms {
    /// Stream at `time_s` \[m/s\].
    #[must_use]
    pub fn at_m_s(&self, time_s: f64) -> f64 {
        let phase = std::f64::consts::TAU * time_s / TIDAL_PERIOD_S;
        self.cosine_m_s * phase.cos()
            + self.sine_m_s * phase.sin()
            + self.drift_m_s2 * time_s
            + self.constant_m_s
    }
}

/// What the method found.
#[derive(Debug, Clone, PartialEq)]
pub struct StreamSolution {
    /// Power over speed through the water.
    pub power: PowerLaw,
    /// The stream.
    pub current: CurrentTerms,
    /// Speed through the water of each run \[m/s\].
    pub speeds_through_water_m_s: Vec<f64>,
    /// Loops until curve and stream settled.
    pub loops: usize,
    /// True when the tide was left out: double runs are wanting, or do not tell it.
    pub is_constant_stream: bool,
    /// Half of the band of the stream about the one found, in four cases of five \[m/s\]; `None` where there are no
    /// more runs than the method takes.
    pub band_m_s: Option<f64>,
}

/// Why the method gave nothing.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum IterativeError {
    /// Too few double runs.
    #[error(
        "{found} double runs; the iterative method takes at least {DOUBLE_RUNS_AT_LEAST}, at different settings"
    )]
    TooFew {
        /// Double runs that were given.
        found: usize,
    },
    /// The two runs of a pair go the same way.
    #[error("double run {pair}: both runs go the same way")]
    NotOpposite {
        /// Which, from 1.
        pair: usize,
    },
    /// The points do not fix a curve.
    #[error("power does not rise with speed in these runs, or the settings are too alike: no curve fits")]
    NoCurve,
    /// One curve does not describe the runs; misfit would come out as stream.
    #[error(
        "the power of these runs follows no curve a + b V^q (q would be {exponent:.1} or beyond), as near hull speed: what \
         does not fit would come out as stream. The pairs by themselves hold"
    )]
    Unfit {
        /// Where the exponent stopped.
        exponent: f64,
    },
    /// The loop did not settle.
    #[error("speeds still change by {change_m_s:.4} m/s after {loops} loops")]
    NotSettled {
        /// Last change of a speed \[m/s\].
        change_m_s: f64,
        /// Loops made.
        loops: usize,
    },
}

/// Speeds through the water, curve of power and stream from double runs at several settings.
///
/// Start: both runs of a pair have the mean of their speeds over ground. Then in turn: speed on the
/// curve `V' = ((P - a)/b)^(1/q)` for each run; stream `dir (SOG - V')`; its terms by least squares;
/// speed `V = SOG - dir c(t)`; curve anew.
/// # Source
/// \[ittc7504\] (steps and period read in a public page). Checked against an independent synthetic
/// example of eight runs: largest speed error after 1, 2, 3 and 6 loops 0.0313, 0.0074, 0.0024 and
/// 0.0003 kn. Deviations: with fewer than four double runs, or where the loops do not settle to 0.01 kn
/// with the tide's terms, the stream is taken as constant.
/// # Valid for
/// At least four double runs at different settings within about one tide; three with constant stream.
/// # Accuracy
/// Not published for small craft; the example above shows the method's own error.
/// # Errors
/// [`IterativeError`].
/// # Example
/// The synthetic example of eight runs, made elsewhere from 0.1 kW + 0.0085 kW x (V/kn)³ in a tide.
/// ```
/// # use wakewright_core::trial::{IterativeRun, solve_current_iterative};
/// let row = |hours: f64, is_outward, knots: f64, kilowatts: f64| IterativeRun {
///     time_s: 3600.0 * hours,
///     is_outward,
///     speed_over_ground_m_s: knots * 1852.0 / 3600.0,
///     power_w: 1000.0 * kilowatts,
/// };
/// let runs = [
///     row(0.0, true, 4.800, 0.6440),
///     row(0.35, false, 3.119, 0.6440),
///     row(0.80, true, 5.940, 1.1625),
///     row(1.15, false, 4.050, 1.1625),
///     row(1.60, true, 6.915, 1.9360),
///     row(1.95, false, 5.147, 1.9360),
///     row(2.40, true, 7.731, 3.0155),
///     row(2.75, false, 6.392, 3.0155),
/// ];
/// let power = solve_current_iterative(&runs, 200).unwrap().power;
/// assert!((power.base_w - 100.0).abs() < 0.5 && (power.exponent - 3.0).abs() < 0.002);
/// ```
pub fn solve_current_iterative(
    runs: &[IterativeRun],
    most_loops: usize,
) -> Result<StreamSolution, IterativeError> {
    const FINEST_M_S: f64 = 1e-7;
    let solve = |is_constant: bool| {
        let (solution, change_m_s) = iterate(runs, most_loops, FINEST_M_S, is_constant)?;
        if solution.power.is_at_a_bound() {
            return Err(IterativeError::Unfit { exponent: solution.power.exponent });
        }
        if change_m_s < SETTLED_M_S {
            Ok(solution)
        } else {
            Err(IterativeError::NotSettled { change_m_s, loops: most_loops })
        }
    };
    match solve(false) {
        // Too many terms for these runs: the stream that a few pairs can tell is a constant one.
        Err(IterativeError::NotSettled { .. } | IterativeError::NoCurve | IterativeError::Unfit { .. })
            if runs.len() / 2 >= DOUBLE_RUNS_FOR_TIDE =>
        {
            solve(true)
        }
        other => other,
    }
}

/// Speeds that change by less from loop to loop have settled \[m/s\]: 0.01 kn.
const SETTLED_M_S: f64 = 0.01 * 1852.0 / 3600.0;

/// As [`solve_current_iterative`], after just so many loops, settled or not: to see how it settles.
/// # Errors
/// [`IterativeError`], never for want of settling.
pub fn run_current_loops(runs: &[IterativeRun], loops: usize) -> Result<StreamSolution, IterativeError> {
    iterate(runs, loops, 0.0, false).map(|(solution, _)| solution)
}

/// Loops until no speed changes by `settled_m_s`, with the last change.
fn iterate(
    runs: &[IterativeRun],
    most_loops: usize,
    settled_m_s: f64,
    is_constant: bool,
) -> Result<(StreamSolution, f64), IterativeError> {
    let doubles = runs.len() / 2;
    if doubles < DOUBLE_RUNS_AT_LEAST || runs.len() % 2 == 1 {
        return Err(IterativeError::TooFew { found: doubles });
    }
    let mut speeds = Vec::with_capacity(runs.len());
    for (pair, two) in runs.chunks_exact(2).enumerate() {
        if two[0].is_outward == two[1].is_outward {
            return Err(IterativeError::NotOpposite { pair: pair + 1 });
        }
        let mean = 0.5 * (two[0].speed_over_ground_m_s + two[1].speed_over_ground_m_s);
        speeds.extend([mean, mean]);
    }
    let is_constant_stream = is_constant || doubles < DOUBLE_RUNS_FOR_TIDE;
    let mut solution = StreamSolution {
        power: curve(runs, &speeds)?,
        current: CurrentTerms::default(),
        speeds_through_water_m_s: speeds,
        loops: 0,
        is_constant_stream,
        band_m_s: None,
    };
    let mut change_m_s = f64::INFINITY;
    while solution.loops < most_loops && change_m_s >= settled_m_s {
        let streams: Vec<(f64, f64)> = runs
            .iter()
            .map(|run| {
                let on_curve = solution.power.speed_m_s(run.power_w);
                (run.time_s, sign(run) * (run.speed_over_ground_m_s - on_curve))
            })
            .collect();
        let current = fit_current(&streams, is_constant_stream);
        let next: Vec<f64> = runs
            .iter()
            .map(|run| run.speed_over_ground_m_s - sign(run) * current.at_m_s(run.time_s))
            .collect();
        let before = &solution.speeds_through_water_m_s;
        change_m_s = next.iter().zip(before).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        solution.power = curve(runs, &next)?;
        solution.current = current;
        solution.speeds_through_water_m_s = next;
        solution.loops += 1;
    }
    solution.band_m_s = band_m_s(runs, &solution);
    Ok((solution, change_m_s))
}

/// Half of the band within which the stream of a run lies about the one that was found, in four cases of
/// five \[m/s\]: Student's t times what the runs leave, for as many degrees of freedom as there are runs over
/// and above the terms of stream and curve. Source: \[nist_handbook\]; `None` where nothing is left over.
fn band_m_s(runs: &[IterativeRun], solution: &StreamSolution) -> Option<f64> {
    const TERMS_OF_CURVE: usize = 3;
    let terms = TERMS_OF_CURVE + if solution.is_constant_stream { 1 } else { 4 };
    let freedom = runs.len().checked_sub(terms).filter(|freedom| *freedom > 0)?;
    let left: f64 = runs
        .iter()
        .map(|run| {
            let on_curve = solution.power.speed_m_s(run.power_w);
            let stream = sign(run) * (run.speed_over_ground_m_s - on_curve);
            (stream - solution.current.at_m_s(run.time_s)).powi(2)
        })
        .sum();
    Some(students_t_four_of_five(freedom) * (left / freedom as f64).sqrt())
}

fn sign(run: &IterativeRun) -> f64 {
    if run.is_outward { 1.0 } else { -1.0 }
}

fn curve(runs: &[IterativeRun], speeds: &[f64]) -> Result<PowerLaw, IterativeError> {
    let points: Vec<(f64, f64)> = speeds.iter().zip(runs).map(|(v, run)| (*v, run.power_w)).collect();
    fit_power_law(&points).ok_or(IterativeError::NoCurve)
}

/// Least squares for the terms of the stream, by normal equations on hours (well scaled).
fn fit_current(streams: &[(f64, f64)], is_constant: bool) -> CurrentTerms {
    let mean = streams.iter().map(|s| s.1).sum::<f64>() / streams.len() as f64;
    let constant = CurrentTerms { constant_m_s: mean, ..CurrentTerms::default() };
    if is_constant {
        return constant;
    }
    let row = |time_s: f64| {
        let phase = std::f64::consts::TAU * time_s / TIDAL_PERIOD_S;
        Vector4::new(phase.cos(), phase.sin(), time_s / HOUR_S, 1.0)
    };
    let (mut matrix, mut right) = (Matrix4::zeros(), Vector4::zeros());
    for (time_s, stream) in streams {
        let x = row(*time_s);
        matrix += x * x.transpose();
        right += *stream * x;
    }
    solve_symmetric(matrix, &right).map_or(constant, |c| CurrentTerms {
        cosine_m_s: c[0],
        sine_m_s: c[1],
        drift_m_s2: c[2] / HOUR_S,
        constant_m_s: c[3],
    })
}

/// `None` when the terms cannot be kept apart.
fn solve_symmetric(matrix: Matrix4<f64>, right: &Vector4<f64>) -> Option<Vector4<f64>> {
    const LEAST_PIVOT: f64 = 1e-13;
    let parts = matrix.lu();
    let is_sure = parts.u().diagonal().iter().all(|pivot| pivot.abs() >= LEAST_PIVOT);
    is_sure.then(|| parts.solve(right)).flatten()
}
