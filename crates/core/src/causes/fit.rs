//! The most probable deviates under one hypothesis, and in which directions the runs say something.
//! Not for: the spread around them (`posterior`).

use super::oddity::Oddity;
use super::predict::{LIKELIHOOD_FREEDOM, Problem};
use super::workers::Workers;
use nalgebra::{DMatrix, DVector, SymmetricEigen};

/// Step of the differences, in standard deviations: wide enough to see past the kink that a two-piece
/// band has at its median.
const STEP: f64 = 0.2;
/// Rounds after which the search ends.
const MOST_ROUNDS: usize = 25;
/// Improvement of the logarithm of the posterior below which the search ends.
const SETTLED: f64 = 1e-3;
/// Directions in which the runs narrow the prior's variance by less than this share count as unknown.
const LEAST_INFORMATION: f64 = 0.02;

/// A direction about which the runs say something.
#[derive(Debug, Clone, PartialEq)]
pub struct Direction {
    /// Unit vector among the deviates.
    pub vector: Vec<f64>,
    /// Where along it the most probable point lies.
    pub at: f64,
    /// Standard deviation there by the curvature.
    pub sd: f64,
    /// How the residuals answer to it, weighted; for narrow directions only, else empty.
    pub answer: Vec<f64>,
}

impl Direction {
    /// Narrow enough that where it lies must be found anew for each sample of all else.
    pub fn is_narrow(&self) -> bool {
        !self.answer.is_empty()
    }
}

/// Standard deviation under which a direction is narrow.
const NARROW: f64 = 0.5;

/// The best fit under one hypothesis.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// What is odd under it.
    pub odd: Oddity,
    /// Most probable deviates.
    pub mode: Vec<f64>,
    /// The directions.
    pub directions: Vec<Direction>,
    /// Readings less what they would be at the mode, over their standard deviations.
    pub residuals: Vec<f64>,
    /// Their derivatives by the deviates, by rows of residuals.
    pub slopes: Vec<Vec<f64>>,
    /// Logarithm of the evidence by Laplace's method, but for a constant.
    pub log_evidence: f64,
}

/// Finds the mode from `start` by damped least squares with the weights of Student's t (each round
/// weighs a reading by `(nu + 1)/(nu + r^2)`).
///
/// # Source
/// Levenberg-Marquardt as in textbooks; weights \[lange1989\], from memory. Directions: eigenvectors of
/// the likelihood's curvature measured by the prior \[cui2014\], from memory.
pub(super) fn fit(problem: &Problem, odd: Oddity, start: &[f64], workers: &impl Workers) -> Option<Fit> {
    let mut at = start.to_vec();
    let mut residuals = problem.residuals(&at, odd)?;
    let mut value = objective(&at, &residuals);
    let mut damping = 1e-2;
    for _ in 0..MOST_ROUNDS {
        let slopes = slopes(problem, odd, &at, &residuals, false, workers);
        let curvature = curvature(&slopes, &residuals);
        let pull = DVector::from_fn(at.len(), |j, _| {
            let down: f64 = residuals.iter().zip(&slopes).map(|(r, row)| weight(*r) * r * row[j]).sum();
            -down - at[j]
        });
        let mut improved = None;
        for _ in 0..8 {
            let mut damped = curvature.clone();
            for j in 0..at.len() {
                damped[(j, j)] += 1.0 + damping * (1.0 + damped[(j, j)]);
            }
            let step = damped.cholesky()?.solve(&pull);
            let next: Vec<f64> = at.iter().zip(&step).map(|(a, s)| a + s.clamp(-2.0, 2.0)).collect();
            if let Some(found) = problem.residuals(&next, odd) {
                let better = objective(&next, &found);
                if better < value {
                    improved = Some((next, found, better));
                    damping = (damping * 0.2).max(1e-6);
                    break;
                }
            }
            damping *= 6.0;
        }
        let Some((next, found, better)) = improved else { break };
        let gain = value - better;
        (at, residuals, value) = (next, found, better);
        if gain < SETTLED {
            break;
        }
    }
    let slopes = slopes(problem, odd, &at, &residuals, true, workers);
    let curvature = curvature(&slopes, &residuals);
    let pairs = eigen(curvature)?;
    let log_likelihood = problem.log_likelihood(&at, odd);
    let half_log_volume: f64 = pairs.iter().map(|(value, _)| 0.5 * value.max(0.0).ln_1p()).sum();
    let directions = pairs
        .into_iter()
        .filter(|(value, _)| *value > LEAST_INFORMATION)
        .map(|(value, vector)| {
            let sd = (1.0 + value).sqrt().recip();
            let answer = |(row, residual): (&Vec<f64>, &f64)| weight(*residual) * dot(row, &vector);
            let answer =
                if sd < NARROW { slopes.iter().zip(&residuals).map(answer).collect() } else { Vec::new() };
            Direction { at: dot(&vector, &at), sd, answer, vector }
        })
        .collect();
    Some(Fit {
        odd,
        directions,
        log_evidence: log_likelihood - 0.5 * dot(&at, &at) - half_log_volume,
        mode: at,
        residuals,
        slopes,
    })
}

/// Half the squared deviates plus the cost of the residuals: what is to be least.
pub(super) fn objective(at: &[f64], residuals: &[f64]) -> f64 {
    0.5 * dot(at, at) - residuals.iter().map(|r| super::predict::log_student(*r)).sum::<f64>()
}

pub(super) fn weight(residual: f64) -> f64 {
    (LIKELIHOOD_FREEDOM + 1.0) / (LIKELIHOOD_FREEDOM + residual * residual)
}

/// Derivatives of the residuals by each deviate, by rows of residuals.
fn slopes(
    problem: &Problem,
    odd: Oddity,
    at: &[f64],
    residuals: &[f64],
    is_central: bool,
    workers: &impl Workers,
) -> Vec<Vec<f64>> {
    let columns: Vec<Vec<f64>> = workers.map(at.len(), |j| {
        let moved = |step: f64| {
            let mut there = at.to_vec();
            there[j] += step;
            problem.residuals(&there, odd)
        };
        let difference = |high: &[f64], low: &[f64], width: f64| -> Vec<f64> {
            high.iter().zip(low).map(|(a, b)| (a - b) / width).collect()
        };
        let up = moved(STEP);
        let down = if is_central || up.is_none() { moved(-STEP) } else { None };
        match (up, down) {
            (Some(up), Some(down)) => difference(&up, &down, 2.0 * STEP),
            (Some(up), None) => difference(&up, residuals, STEP),
            (None, Some(down)) => difference(residuals, &down, STEP),
            (None, None) => vec![0.0; residuals.len()],
        }
    });
    (0..residuals.len()).map(|i| columns.iter().map(|column| column[i]).collect()).collect()
}

/// `J^T W J` with the weights at the residuals.
fn curvature(slopes: &[Vec<f64>], residuals: &[f64]) -> DMatrix<f64> {
    let size = slopes.first().map_or(0, Vec::len);
    let mut matrix = DMatrix::zeros(size, size);
    for (row, residual) in slopes.iter().zip(residuals) {
        let weight = weight(*residual);
        for i in 0..size {
            if row[i] == 0.0 {
                continue;
            }
            for j in 0..size {
                matrix[(i, j)] += weight * row[i] * row[j];
            }
        }
    }
    matrix
}

/// Eigenvalues and eigenvectors of a symmetric matrix, largest first; `None` where it is not finite.
fn eigen(matrix: DMatrix<f64>) -> Option<Vec<(f64, Vec<f64>)>> {
    const MOST_ROUNDS: usize = 1000;
    let found = SymmetricEigen::try_new(matrix, f64::EPSILON, MOST_ROUNDS)?;
    let vectors = found.eigenvectors.column_iter().map(|vector| vector.iter().copied().collect());
    let mut pairs: Vec<(f64, Vec<f64>)> = found.eigenvalues.iter().copied().zip(vectors).collect();
    pairs.sort_by(|x, y| y.0.total_cmp(&x.0));
    pairs.iter().all(|(value, _)| value.is_finite()).then_some(pairs)
}

/// Dot product.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}
