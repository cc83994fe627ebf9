//! Which odd causes are worth a fit of their own, and where it begins: by the slopes of the plain fit, which cost
//! nothing more. Not for: weighing what is left (`posterior`).

use super::fit::{Fit, dot, objective, weight};
use super::hypothesis::Hypothesis;
use super::oddity::Oddity;
use super::predict::Problem;
use super::workers::Workers;
use nalgebra::{DMatrix, DVector};

/// Strengths that are tried.
const STRENGTHS: [f64; 4] = [-1.5, -0.8, 0.0, 1.0];
/// An odd cause is left when even the straightened fit makes it less probable than the best by this, as a
/// logarithm: wide, since the readings do not answer in straight lines.
const HOPELESS: f64 = 18.0;

/// What is worth a fit, with the deviates to begin from.
pub(super) fn worth_a_fit(
    problem: &Problem,
    plain: Option<&Fit>,
    workers: &impl Workers,
) -> Vec<(Oddity, Vec<f64>)> {
    let straight = plain.map(Straight::new);
    let odd: Vec<Oddity> =
        problem.oddities().into_iter().filter(|odd| odd.what != Hypothesis::Nothing).collect();
    let trials = problem.epochs.len();
    let tried = workers.map(odd.len(), |i| {
        let (promise, start) = best_start(problem, odd[i], straight.as_ref())?;
        Some((odd[i].prior(trials).ln() - promise, start))
    });
    let plain_cost = plain.map_or(f64::INFINITY, |fit| objective(&fit.mode, &fit.residuals));
    let best = tried.iter().flatten().map(|(log, _)| *log).fold(-plain_cost, f64::max);
    let kept = odd.into_iter().zip(tried).filter_map(|(odd, tried)| {
        let (log, start) = tried?;
        (plain.is_none() || log > best - HOPELESS).then_some((odd, start))
    });
    kept.collect()
}

/// The least cost that is promised, by the straightened fit or as it is, and the cheapest place to begin.
fn best_start(problem: &Problem, odd: Oddity, straight: Option<&Straight<'_>>) -> Option<(f64, Vec<f64>)> {
    let strength = odd.what.strength();
    let strengths: &[f64] = if strength.p10 == strength.p90 { &[0.0] } else { &STRENGTHS };
    let zero = vec![0.0; problem.size()];
    let mut least = f64::INFINITY;
    let mut best: Option<(f64, Vec<f64>)> = None;
    let mut begin = |start: Vec<f64>, residuals: &[f64]| {
        let cost = objective(&start, residuals);
        least = least.min(cost);
        if best.as_ref().is_none_or(|(known, _)| cost < *known) {
            best = Some((cost, start));
        }
    };
    let with = |start: &[f64], strength: f64| {
        let mut start = start.to_vec();
        if let Some(last) = start.last_mut() {
            *last = strength;
        }
        let residuals = problem.residuals(&start, odd)?;
        Some((start, residuals))
    };
    let mut promised = f64::INFINITY;
    for strength in strengths {
        if let Some((start, residuals)) = with(&zero, *strength) {
            begin(start, &residuals);
        }
        let Some((straight, (start, residuals))) =
            straight.and_then(|straight| Some((straight, with(&straight.plain.mode, *strength)?)))
        else {
            continue;
        };
        if let Some((cost, there)) = straight.best(&residuals) {
            promised = promised.min(cost + 0.5 * strength * strength);
            if let Some((start, residuals)) = with(&there, *strength) {
                begin(start, &residuals);
            }
        }
        begin(start, &residuals);
    }
    best.map(|(_, start)| (promised.min(least), start))
}

/// The readings as straight lines of the deviates around the plain fit.
struct Straight<'a> {
    plain: &'a Fit,
    /// Slopes times themselves turned over.
    gram: DMatrix<f64>,
    /// What the slopes make of the plain fit's deviates.
    of_mode: Vec<f64>,
}

impl<'a> Straight<'a> {
    fn new(plain: &'a Fit) -> Self {
        let rows = &plain.slopes;
        let gram = DMatrix::from_fn(rows.len(), rows.len(), |i, j| dot(&rows[i], &rows[j]));
        let of_mode = rows.iter().map(|row| dot(row, &plain.mode)).collect();
        Self { plain, gram, of_mode }
    }

    /// Least cost over all deviates when the residuals at the plain fit's are `residuals`, and where: least squares with
    /// the weights of Student's t, over as many unknowns as there are readings.
    fn best(&self, residuals: &[f64]) -> Option<(f64, Vec<f64>)> {
        const ROUNDS: usize = 6;
        let free = DVector::from_fn(residuals.len(), |i, _| residuals[i] - self.of_mode[i]);
        let mut left = residuals.to_vec();
        let mut pulls = DVector::zeros(residuals.len());
        for _ in 0..ROUNDS {
            let mut matrix = self.gram.clone();
            for (i, residual) in left.iter().enumerate() {
                matrix[(i, i)] += weight(*residual).recip();
            }
            pulls = matrix.cholesky()?.solve(&free);
            left = (&free - &self.gram * &pulls).iter().copied().collect();
        }
        let size = self.plain.mode.len();
        let there: Vec<f64> = (0..size)
            .map(|j| {
                -self.plain.slopes.iter().zip(pulls.iter()).map(|(row, pull)| row[j] * pull).sum::<f64>()
            })
            .collect();
        let cost = objective(&there, &left);
        cost.is_finite().then_some((cost, there))
    }
}
