//! Which unsure input makes how much of a band. Not for: the bands (`summary`).

use crate::boat::Input;

/// How much of a figure's spread comes from one input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WidthShare {
    /// The input.
    pub input: Input,
    /// Share of the variance, 0..1 (squared correlation, scaled so that all add up to 1).
    pub share: f64,
}

/// Squared correlation of each input's deviates with the output, scaled to add up to 1; inputs below
/// half a per cent are left out. Inputs are sampled independently, so the shares measure each input's
/// part as far as the output follows it steadily.
pub(super) fn width_shares(inputs: &[Input], deviates: &[Vec<f64>], outputs: &[f64]) -> Vec<WidthShare> {
    let mut shares: Vec<WidthShare> = inputs
        .iter()
        .zip(deviates)
        .map(|(&input, xs)| WidthShare { input, share: squared_correlation(xs, outputs) })
        .collect();
    let total: f64 = shares.iter().map(|s| s.share).sum();
    if total <= 0.0 {
        return Vec::new();
    }
    for share in &mut shares {
        share.share /= total;
    }
    shares.retain(|s| s.share >= 0.005);
    shares.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.input.cmp(&b.input)));
    shares
}

fn squared_correlation(xs: &[f64], ys: &[f64]) -> f64 {
    let n = xs.len() as f64;
    let (mean_x, mean_y) = (xs.iter().sum::<f64>() / n, ys.iter().sum::<f64>() / n);
    let (mut sxx, mut syy, mut sxy) = (0.0, 0.0, 0.0);
    for (x, y) in xs.iter().zip(ys) {
        let (dx, dy) = (x - mean_x, y - mean_y);
        sxx += dx * dx;
        syy += dy * dy;
        sxy += dx * dy;
    }
    if sxx > 0.0 && syy > 0.0 { sxy * sxy / (sxx * syy) } else { 0.0 }
}
