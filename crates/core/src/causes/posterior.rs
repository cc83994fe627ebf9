//! Samples of everything unknown, given all runs and notes: sampled around each hypothesis' best fit,
//! weighted by how well they reproduce the readings, and thinned to samples of equal weight.
//! Not for: what they mean in knots (`shares`).

use super::evidence::CausesError;
use super::fit::{Direction, Fit, dot, fit};
use super::oddity::Oddity;
use super::predict::Problem;
use super::screen::worth_a_fit;
use super::weights::{effective_size, log_mean, normalised, pareto_k, resample};
use super::workers::Workers;
use crate::spread::{Sampler, name_number};
use nalgebra::{DMatrix, DVector};

/// One sample of everything unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// The deviates.
    pub deviates: Vec<f64>,
    /// What is odd in it.
    pub odd: Oddity,
}

/// All samples, equally weighted, with what is known of how far they can be trusted.
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior {
    /// The samples.
    pub samples: Vec<Sample>,
    /// How probable everything odd is.
    pub oddities: Vec<(Oddity, f64)>,
    /// Samples that were weighted.
    pub weighted: usize,
    /// How many equally weighted samples they are worth.
    pub effective: f64,
    /// Shape of the tail of the weights (Pareto k): below 0.7 the means can be trusted.
    pub pareto_k: f64,
    /// Rounds of tempering that were needed; 0 where the weights did.
    pub tempered: usize,
    /// Most probable deviates of what is most probably odd.
    pub mode: Vec<f64>,
}

/// Degrees of freedom of the proposal: heavier tails than what is sought.
const PROPOSAL_FREEDOM: usize = 8;
/// Rounds in which the samples asked for are sampled, each from a proposal that those before it shaped.
const ROUNDS: usize = 4;
/// Rounds after which weights that are not yet even are taken as they are, or tempered.
const MOST_ROUNDS: usize = 12;
/// Effective share of the samples asked for from which no further round is sampled. Judgement.
const EVEN_ENOUGH: f64 = 0.3;
/// Hypotheses less probable than this by Laplace's method are not sampled.
const NEGLIGIBLE: f64 = 1e-4;
/// Pareto k above which weights are not trusted \[vehtari2024\].
const MOST_PARETO_K: f64 = 0.7;
/// Effective share of the samples below which weights are not trusted. Judgement.
const LEAST_EFFECTIVE: f64 = 0.03;

/// Samples under one hypothesis.
struct Sampled {
    odd: Oddity,
    /// Deviates of each sample.
    samples: Vec<Vec<f64>>,
    /// Logarithms of the weights.
    log_weights: Vec<f64>,
    log_evidence: f64,
    tempered: usize,
}

/// Samples from the posterior: `samples` weighted ones, `kept` of equal weight.
///
/// # Source
/// Importance sampling from Student's t in the directions about which the runs say something, from the
/// prior in all others \[cui2014\]; rounds of adaptation \[cappe2004\], every sample weighed against all
/// proposals together \[cornuet2012\]; tail of the weights \[vehtari2024\]; where the weights cannot be
/// trusted, tempering with resampling and Metropolis steps
/// \[delmoral2006\]. All from memory. The same seed gives the same samples for any number of threads.
/// # Errors
/// [`CausesError::Contradiction`] when no hypothesis can be sampled.
pub(super) fn sample_posterior(
    problem: &Problem,
    samples: usize,
    kept: usize,
    seed: u64,
    workers: &impl Workers,
) -> Result<Posterior, CausesError> {
    let fits = fits(problem, workers)?;
    let log_odds = |fit: &Fit| fit.log_evidence + fit.odd.prior(problem.epochs.len()).ln();
    let best = fits.iter().map(log_odds).fold(f64::NEG_INFINITY, f64::max);
    let likely: Vec<(&Fit, f64)> = fits
        .iter()
        .map(|fit| (fit, (log_odds(fit) - best).exp()))
        .filter(|(_, odds)| *odds > NEGLIGIBLE)
        .collect();
    let total: f64 = likely.iter().map(|(_, odds)| odds.sqrt()).sum();
    let sampler = Sampler::new(seed);
    let mut sampled = Vec::new();
    for (fit, odds) in &likely {
        let count = ((samples as f64 * odds.sqrt() / total) as usize).max(samples / 16);
        sampled.extend(sample_hypothesis(problem, fit, count, sampler, workers));
    }
    gather(&sampled, problem.epochs.len(), kept, sampler, &fits).ok_or(CausesError::Contradiction)
}

/// The best fit of everything odd that is worth one; the plain one first.
fn fits(problem: &Problem, workers: &impl Workers) -> Result<Vec<Fit>, CausesError> {
    let zero = vec![0.0; problem.size()];
    let mut fits: Vec<Fit> = fit(problem, Oddity::NOTHING, &zero, workers).into_iter().collect();
    let found = worth_a_fit(problem, fits.first(), workers);
    fits.extend(found.into_iter().filter_map(|(odd, start)| fit(problem, odd, &start, workers)));
    if fits.is_empty() { Err(CausesError::Contradiction) } else { Ok(fits) }
}

/// A map of the deviates around a fit. Along wide directions a place on it is the deviates' own; along
/// narrow ones it is how far they lie from where the readings want them, all else as it is: so that a
/// bent ridge lies straight. Volumes are kept.
struct Chart<'a> {
    problem: &'a Problem,
    fit: &'a Fit,
}

impl Chart<'_> {
    fn directions(&self) -> &[Direction] {
        &self.fit.directions
    }

    /// Where along the narrow directions the readings want the deviates, by one step of least squares from
    /// the fit; what `deviates` have along them plays no part.
    fn wanted(&self, deviates: &[f64]) -> Vec<f64> {
        let narrow = self.fit.directions.iter().filter(|d| d.is_narrow());
        let mut there = deviates.to_vec();
        for direction in narrow.clone() {
            set_along(&mut there, std::slice::from_ref(direction), &[direction.at]);
        }
        let residuals = self.problem.residuals(&there, self.fit.odd);
        narrow
            .map(|direction| {
                let pull = residuals.as_ref().map_or(-direction.at, |r| dot(&direction.answer, r));
                direction.at - direction.sd * direction.sd * (pull + direction.at)
            })
            .collect()
    }

    /// The deviates at a place, everything that the chart does not map as in `rest`; and their components
    /// along all directions.
    fn deviates(&self, place: &[f64], mut rest: Vec<f64>) -> (Vec<f64>, Vec<f64>) {
        let mut along = place.to_vec();
        set_along(&mut rest, self.directions(), &along);
        let wanted = self.wanted(&rest);
        let narrow = self.fit.directions.iter().enumerate().filter(|(_, d)| d.is_narrow());
        for ((i, _), wanted) in narrow.zip(wanted) {
            along[i] += wanted;
        }
        set_along(&mut rest, self.directions(), &along);
        (rest, along)
    }
}

/// Where samples are proposed on the chart: Student's t. Off the chart the prior is sampled.
struct Proposal<'a> {
    chart: &'a Chart<'a>,
    centre: Vec<f64>,
    /// Lower triangle of the scale.
    scale: DMatrix<f64>,
    log_scale: f64,
}

/// A sample with its place on the chart.
#[derive(Clone)]
struct Placed {
    deviates: Vec<f64>,
    place: Vec<f64>,
    /// Logarithm of the posterior's density there, but for what the prior has off the chart.
    log_target: f64,
    /// Logarithm of posterior over the proposal that it was made by.
    log_ratio: f64,
}

impl<'a> Proposal<'a> {
    fn around(chart: &'a Chart<'a>, centre: Vec<f64>, covariance: DMatrix<f64>) -> Option<Self> {
        let scale = covariance.cholesky()?.unpack();
        let log_scale = scale.diagonal().iter().map(|entry| entry.ln()).sum();
        Some(Self { chart, centre, scale, log_scale })
    }

    fn of_fit(chart: &'a Chart<'a>) -> Option<Self> {
        let directions = chart.directions();
        let variances = directions.iter().map(|direction| direction.sd * direction.sd);
        let covariance = DMatrix::from_diagonal(&DVector::from_iterator(directions.len(), variances));
        let centre = directions.iter().map(|d| if d.is_narrow() { 0.0 } else { d.at }).collect();
        Self::around(chart, centre, covariance)
    }

    fn sample(&self, normals: impl Fn(u64) -> f64) -> Placed {
        let informed = self.centre.len();
        let standard = DVector::from_fn(informed, |k, _| normals(k as u64));
        let chi: f64 = (0..PROPOSAL_FREEDOM).map(|k| normals(1000 + k as u64).powi(2)).sum();
        let stretch = (PROPOSAL_FREEDOM as f64 / chi.max(1e-12)).sqrt();
        let scaled = &self.scale * standard;
        let place: Vec<f64> = self.centre.iter().zip(scaled.iter()).map(|(c, s)| c + stretch * s).collect();
        let rest = (0..self.chart.problem.size()).map(|j| normals(2000 + j as u64)).collect();
        self.placed(place, rest)
    }

    /// The sample at a place, with its weight.
    fn placed(&self, place: Vec<f64>, rest: Vec<f64>) -> Placed {
        let (deviates, along) = self.chart.deviates(&place, rest);
        let log_prior = -0.5 * dot(&along, &along) - 0.5 * along.len() as f64 * std::f64::consts::TAU.ln();
        let log_likelihood = self.chart.problem.log_likelihood(&deviates, self.chart.fit.odd);
        let log_target = log_likelihood + log_prior;
        Placed { log_ratio: log_target - self.log_density(&place), log_target, deviates, place }
    }

    /// The proposal that weighted samples ask for: their moments, held to this one's as far as they are few.
    fn adapted(&self, samples: &[Placed], weights: &[f64], effective: f64) -> Option<Self> {
        let size = self.centre.len();
        let held = size as f64 / (size as f64 + effective);
        let (centre, covariance) = moments(samples.iter().map(|sample| &sample.place), weights, size);
        let centre =
            self.centre.iter().zip(&centre).map(|(old, new)| held * old + (1.0 - held) * new).collect();
        Self::around(
            self.chart,
            centre,
            held * &self.scale * self.scale.transpose() + (1.0 - held) * covariance,
        )
    }

    fn log_density(&self, place: &[f64]) -> f64 {
        let mut standard = DVector::from_fn(place.len(), |k, _| place[k] - self.centre[k]);
        self.scale.solve_lower_triangular_mut(&mut standard);
        let (freedom, size) = (PROPOSAL_FREEDOM as f64, place.len() as f64);
        -0.5 * (freedom + size) * (standard.norm_squared() / freedom).ln_1p() - self.log_scale
            + student_constant(freedom, size)
    }
}

/// Logarithm of the constant of the multivariate t: whole freedoms and sizes only, so that half-integer
/// gamma functions are products.
fn student_constant(freedom: f64, size: f64) -> f64 {
    log_gamma_half(freedom + size)
        - log_gamma_half(freedom)
        - 0.5 * size * (freedom * std::f64::consts::PI).ln()
}

/// `ln Gamma(n/2)` for whole n from 1.
fn log_gamma_half(n: f64) -> f64 {
    let mut n = n.round() as u64;
    let mut sum = if n.is_multiple_of(2) { 0.0 } else { 0.5 * std::f64::consts::PI.ln() };
    while n > 2 {
        n -= 2;
        sum += (0.5 * n as f64).ln();
    }
    sum
}

/// Replaces what `deviates` have along the directions.
fn set_along(deviates: &mut [f64], directions: &[Direction], along: &[f64]) {
    for (direction, wanted) in directions.iter().zip(along) {
        let shift = wanted - dot(&direction.vector, deviates);
        for (deviate, component) in deviates.iter_mut().zip(&direction.vector) {
            *deviate += shift * component;
        }
    }
}

fn sample_hypothesis(
    problem: &Problem,
    fit: &Fit,
    count: usize,
    sampler: Sampler,
    workers: &impl Workers,
) -> Option<Sampled> {
    let chart = Chart { problem, fit };
    let mut proposals = vec![Proposal::of_fit(&chart)?];
    let each = count.div_ceil(ROUNDS);
    let mut drawn: Vec<Placed> = Vec::new();
    // Of each sample, the sum of the densities that the proposals have there.
    let mut densities: Vec<f64> = Vec::new();
    loop {
        let latest = proposals.last()?;
        let round = weigh(latest, &format!("round {}", proposals.len()), each, sampler, workers);
        for (sum, old) in densities.iter_mut().zip(&drawn) {
            *sum += latest.log_density(&old.place).exp();
        }
        densities.extend(
            round.iter().map(|new| {
                proposals.iter().map(|proposal| proposal.log_density(&new.place).exp()).sum::<f64>()
            }),
        );
        drawn.extend(round);
        let rounds = proposals.len() as f64;
        let log_weights: Vec<f64> = drawn
            .iter()
            .zip(&densities)
            .map(|(sample, sum)| sample.log_target - (sum / rounds).ln())
            .collect();
        let weights = normalised(&log_weights)?;
        let effective = effective_size(&weights);
        let is_last = proposals.len() >= MOST_ROUNDS;
        if is_last || (proposals.len() >= ROUNDS && effective >= EVEN_ENOUGH * count as f64) {
            let is_trusted =
                effective >= LEAST_EFFECTIVE * count as f64 && pareto_k(&weights) <= MOST_PARETO_K;
            let sampled = if is_trusted {
                Sampled {
                    odd: fit.odd,
                    samples: drawn.into_iter().map(|sample| sample.deviates).collect(),
                    log_evidence: log_mean(&log_weights),
                    log_weights,
                    tempered: 0,
                }
            } else {
                let start = weigh(latest, "start", count, sampler, workers);
                temper(latest, start, sampler, workers)?
            };
            return sampled.log_evidence.is_finite().then_some(sampled);
        }
        let next = latest.adapted(&drawn, &weights, effective)?;
        proposals.push(next);
    }
}

fn weigh(
    proposal: &Proposal<'_>,
    round: &str,
    count: usize,
    sampler: Sampler,
    workers: &impl Workers,
) -> Vec<Placed> {
    let name = name_number(&format!("causes {} {round}", proposal.chart.fit.odd.key()));
    workers.map(count, |sample| proposal.sample(|k| sampler.deviate(name.wrapping_add(k), sample as u64)))
}

fn moments<'a>(
    points: impl Iterator<Item = &'a Vec<f64>> + Clone,
    weights: &[f64],
    size: usize,
) -> (Vec<f64>, DMatrix<f64>) {
    let mut centre = vec![0.0; size];
    for (point, weight) in points.clone().zip(weights) {
        for (c, p) in centre.iter_mut().zip(point) {
            *c += weight * p;
        }
    }
    let mut covariance = DMatrix::zeros(size, size);
    for (point, weight) in points.zip(weights) {
        for i in 0..size {
            for j in 0..size {
                covariance[(i, j)] += weight * (point[i] - centre[i]) * (point[j] - centre[j]);
            }
        }
    }
    for i in 0..size {
        covariance[(i, i)] += 1e-9;
    }
    (centre, covariance)
}

/// From proposal to posterior in small steps: weights raised to a rising power, resampled when they
/// become uneven, and moved by Metropolis steps that keep the tempered distribution.
fn temper(
    proposal: &Proposal<'_>,
    start: Vec<Placed>,
    sampler: Sampler,
    workers: &impl Workers,
) -> Option<Sampled> {
    const MOST_ROUNDS: usize = 30;
    const MOVES: usize = 3;
    const MOST_PARTICLES: usize = 800;
    let odd = proposal.chart.fit.odd;
    let count = start.len().min(MOST_PARTICLES);
    let size = proposal.centre.len();
    let mut particles = start;
    let (mut power, mut log_evidence, mut rounds) = (0.0, 0.0, 0);
    while power < 1.0 && rounds < MOST_ROUNDS {
        let ratios: Vec<f64> = particles.iter().map(|p| p.log_ratio).collect();
        let next = if rounds + 1 == MOST_ROUNDS { 1.0 } else { next_power(&ratios, power) };
        let steps: Vec<f64> =
            ratios.iter().map(|r| if r.is_finite() { (next - power) * r } else { *r }).collect();
        let weights = normalised(&steps)?;
        log_evidence += log_mean(&steps);
        power = next;
        let name = name_number(&format!("causes {} temper {rounds}", odd.key()));
        let chosen = resample(&weights, count, sampler.uniform(name, u64::MAX));
        let picked: Vec<Placed> = chosen.iter().map(|&i| particles[i].clone()).collect();
        let even = vec![1.0 / count as f64; count];
        let (_, covariance) = moments(picked.iter().map(|p| &p.place), &even, size);
        let scale = covariance.cholesky()?.unpack();
        let step = 1.6 / (size.max(1) as f64).sqrt();
        particles = workers.map(count, |i| {
            let mut at = picked[i].clone();
            for move_number in 0..MOVES {
                let key = name.wrapping_add(10_000 * (move_number as u64 + 1));
                let normals = |k: u64| sampler.deviate(key.wrapping_add(k), i as u64);
                // On the chart a random step; off it the prior is kept by a rotation.
                let jump = &scale * DVector::from_fn(size, |k, _| step * normals(k as u64));
                let place: Vec<f64> = at.place.iter().zip(jump.iter()).map(|(a, b)| a + b).collect();
                let (keep, renew) = (0.8, 0.6);
                let rest = at
                    .deviates
                    .iter()
                    .enumerate()
                    .map(|(j, z)| keep * z + renew * normals(2000 + j as u64))
                    .collect();
                let there = proposal.placed(place, rest);
                // Logarithm of the tempered distribution: the proposal's own plus a power of the ratio.
                let log_at = proposal.log_density(&at.place) + power * at.log_ratio;
                let log_there = proposal.log_density(&there.place) + power * there.log_ratio;
                if sampler.uniform(key ^ 0x5eed, i as u64).ln() < log_there - log_at {
                    at = there;
                }
            }
            at
        });
        rounds += 1;
    }
    Some(Sampled {
        odd,
        samples: particles.into_iter().map(|p| p.deviates).collect(),
        log_weights: vec![log_evidence; count],
        log_evidence,
        tempered: rounds,
    })
}

/// The next power: as high as leaves half of the samples effective.
fn next_power(ratios: &[f64], power: f64) -> f64 {
    let share = |next: f64| {
        let steps: Vec<f64> =
            ratios.iter().map(|r| if r.is_finite() { (next - power) * r } else { *r }).collect();
        normalised(&steps).map_or(0.0, |w| effective_size(&w) / ratios.len() as f64)
    };
    if share(1.0) > 0.5 {
        return 1.0;
    }
    let (mut low, mut high) = (power, 1.0);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if share(middle) > 0.5 { low = middle } else { high = middle }
    }
    low.max(power + 1e-3).min(1.0)
}

/// Puts the samples of all hypotheses together.
fn gather(
    sampled: &[Sampled],
    trials: usize,
    kept: usize,
    sampler: Sampler,
    fits: &[Fit],
) -> Option<Posterior> {
    let log_odds = |s: &Sampled| s.log_evidence + s.odd.prior(trials).ln();
    let best = sampled.iter().map(log_odds).filter(|log| log.is_finite()).fold(f64::NEG_INFINITY, f64::max);
    if !best.is_finite() {
        return None;
    }
    let odds: Vec<f64> = sampled.iter().map(|s| (log_odds(s) - best).exp()).collect();
    let total: f64 = odds.iter().sum();
    let mut pool: Vec<(&Vec<f64>, Oddity)> = Vec::new();
    let mut weights = Vec::new();
    let mut tail = f64::NEG_INFINITY;
    let mut tempered = 0;
    for (sampled, odds) in sampled.iter().zip(&odds) {
        let Some(own) = normalised(&sampled.log_weights) else { continue };
        let share = odds / total;
        // A hypothesis of no weight does not spoil the diagnosis of the others.
        if share > 0.02 {
            tempered = tempered.max(sampled.tempered);
            tail = tail.max(if sampled.tempered > 0 { 0.0 } else { pareto_k(&own) });
        }
        pool.extend(sampled.samples.iter().map(|s| (s, sampled.odd)));
        weights.extend(own.into_iter().map(|w| w * share));
    }
    let chosen = resample(&weights, kept, sampler.uniform(name_number("causes kept"), 0));
    let mut oddities: Vec<(Oddity, f64)> =
        sampled.iter().zip(&odds).map(|(s, odds)| (s.odd, odds / total)).collect();
    oddities.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mode = fits.iter().find(|fit| fit.odd == oddities[0].0)?.mode.clone();
    Some(Posterior {
        samples: chosen.iter().map(|&i| Sample { deviates: pool[i].0.clone(), odd: pool[i].1 }).collect(),
        oddities,
        weighted: weights.len(),
        effective: effective_size(&weights),
        pareto_k: tail,
        tempered,
        mode,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gamma_of_halves() {
        // Gamma(1/2) = sqrt(pi), Gamma(5/2) = 3 sqrt(pi)/4, Gamma(4) = 6: textbook.
        let root = std::f64::consts::PI.sqrt();
        for (n, expected) in [(1.0, root), (5.0, 0.75 * root), (8.0, 6.0)] {
            assert!((log_gamma_half(n).exp() - expected).abs() < 1e-12, "{n}");
        }
    }
}
