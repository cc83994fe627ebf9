//! Weights of samples: made even, sampled from, and how far they can be trusted. Not for: making them.

/// Weights that add up to one; `None` when all are nothing.
pub(super) fn normalised(log_weights: &[f64]) -> Option<Vec<f64>> {
    let most = log_weights.iter().copied().filter(|w| !w.is_nan()).fold(f64::NEG_INFINITY, f64::max);
    if !most.is_finite() {
        return None;
    }
    let weights: Vec<f64> =
        log_weights.iter().map(|w| if w.is_nan() { 0.0 } else { (w - most).exp() }).collect();
    let sum: f64 = weights.iter().sum();
    Some(weights.into_iter().map(|w| w / sum).collect())
}

pub(super) fn log_mean(log_weights: &[f64]) -> f64 {
    let most = log_weights.iter().copied().filter(|w| !w.is_nan()).fold(f64::NEG_INFINITY, f64::max);
    if !most.is_finite() {
        return f64::NEG_INFINITY;
    }
    let sum: f64 = log_weights.iter().filter(|w| !w.is_nan()).map(|w| (w - most).exp()).sum();
    most + (sum / log_weights.len() as f64).ln()
}

/// `1 / sum w^2` of weights that add up to one.
pub(super) fn effective_size(weights: &[f64]) -> f64 {
    weights.iter().map(|w| w * w).sum::<f64>().recip()
}

/// Indices of `count` samples in proportion to `weights`, evenly spread (systematic resampling).
pub(super) fn resample(weights: &[f64], count: usize, offset: f64) -> Vec<usize> {
    let mut chosen = Vec::with_capacity(count);
    let (mut index, mut reached) = (0, weights.first().copied().unwrap_or(0.0));
    for i in 0..count {
        let wanted = (i as f64 + offset) / count as f64;
        while reached < wanted && index + 1 < weights.len() {
            index += 1;
            reached += weights[index];
        }
        chosen.push(index);
    }
    chosen
}

/// Shape k of a generalised Pareto tail fitted to the largest weights.
///
/// # Source
/// Estimator \[zhang2009\], use and limit 0.7 \[vehtari2024\]; from memory. The weakly informative
/// correction for small tails is theirs.
pub(super) fn pareto_k(weights: &[f64]) -> f64 {
    let mut sorted = weights.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let count = sorted.len();
    let tail = (0.2 * count as f64).min(3.0 * (count as f64).sqrt()).ceil() as usize;
    if tail < 5 || tail >= count {
        return f64::INFINITY;
    }
    let cutoff = sorted[count - tail - 1];
    let excess: Vec<f64> = sorted[count - tail..].iter().map(|w| w - cutoff).collect();
    let n = tail as f64;
    let quartile = excess[((0.25 * n + 0.5).floor() as usize).clamp(1, tail) - 1];
    let largest = excess[tail - 1];
    if quartile <= 0.0 || largest <= 0.0 {
        return 0.0;
    }
    let grid = 30 + n.sqrt().floor() as usize;
    let thetas: Vec<f64> = (1..=grid)
        .map(|j| largest.recip() + (1.0 - (grid as f64 / (j as f64 - 0.5)).sqrt()) / (3.0 * quartile))
        .collect();
    let shape = |theta: f64| excess.iter().map(|x| (-theta * x).ln_1p()).sum::<f64>() / n;
    let logs: Vec<f64> = thetas
        .iter()
        .map(|&theta| {
            let k = shape(theta);
            n * ((-theta / k).ln() - k - 1.0)
        })
        .collect();
    let Some(odds) = normalised(&logs) else { return f64::INFINITY };
    let theta: f64 = thetas.iter().zip(&odds).map(|(t, o)| t * o).sum();
    let k = shape(theta);
    (n * k + 5.0) / (n + 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Weights u^(-k) of evenly spread u have a Pareto tail of shape k.
    #[test]
    fn tail_shape_is_found() {
        for k in [0.2, 0.5, 1.0] {
            let weights: Vec<f64> = (1..=4000).map(|i| (i as f64 / 4001.0).powf(-k)).collect();
            assert!((pareto_k(&weights) - k).abs() < 0.08, "{k}: {}", pareto_k(&weights));
        }
    }

    #[test]
    fn resampling_keeps_proportions() {
        let chosen = resample(&[0.1, 0.0, 0.6, 0.3], 10, 0.5);
        assert_eq!(chosen, [0, 2, 2, 2, 2, 2, 2, 3, 3, 3]);
    }
}
