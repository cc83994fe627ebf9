//! The curve `P = a + b V^q` through measured points, as the iterative method needs it.
//! Not for: predicting power; that is the steady state of the boat.

/// `P = base + scale V^exponent`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerLaw {
    /// a \[W\].
    pub base_w: f64,
    /// b \[W/(m/s)^q\].
    pub scale: f64,
    /// q.
    pub exponent: f64,
}

impl PowerLaw {
    /// True where the exponent stopped at the end of those that are tried: no such curve fits.
    #[must_use]
    pub fn is_at_a_bound(&self) -> bool {
        const NEAR: f64 = 0.02;
        self.exponent < EXPONENTS.0 + NEAR || self.exponent > EXPONENTS.1 - NEAR
    }

    /// Power at `speed_m_s` \[W\].
    #[must_use]
    pub fn power_w(&self, speed_m_s: f64) -> f64 {
        self.base_w + self.scale * speed_m_s.powf(self.exponent)
    }

    /// Speed at `power_w` \[m/s\]; 0 at or below the base.
    #[must_use]
    pub fn speed_m_s(&self, power_w: f64) -> f64 {
        ((power_w - self.base_w) / self.scale).max(0.0).powf(1.0 / self.exponent)
    }
}

/// Exponents that are tried: a power that rises less than with the speed itself or more than with
/// its sixth power is no displacement boat's.
const EXPONENTS: (f64, f64) = (1.0, 6.0);

/// Least-squares curve through `(speed [m/s], power [W])`: for each exponent base and scale by
/// linear regression, the exponent by golden section. `None` with fewer than three different
/// speeds, or when power does not rise with speed.
/// # Example
/// By hand: points of `100 + 10 V³` give that curve back.
/// ```
/// # use wakewright_core::trial::fit_power_law;
/// let law = fit_power_law(&[(1.0, 110.0), (2.0, 180.0), (3.0, 370.0)]).unwrap();
/// assert!((law.exponent - 3.0).abs() < 1e-4 && (law.base_w - 100.0).abs() < 0.01);
/// ```
#[must_use]
pub fn fit_power_law(points: &[(f64, f64)]) -> Option<PowerLaw> {
    let mut speeds: Vec<f64> = points.iter().map(|p| p.0).collect();
    speeds.sort_by(f64::total_cmp);
    let fastest = *speeds.last()?;
    speeds.dedup_by(|a, b| (*a - *b).abs() < 1e-9 * fastest);
    if speeds.len() < 3 || speeds[0] <= 0.0 {
        return None;
    }
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut low, mut high) = EXPONENTS;
    let mut left = high - golden * (high - low);
    let mut right = low + golden * (high - low);
    let (mut at_left, mut at_right) = (misfit(points, left), misfit(points, right));
    while high - low > 1e-9 {
        if at_left <= at_right {
            high = right;
            right = left;
            at_right = at_left;
            left = high - golden * (high - low);
            at_left = misfit(points, left);
        } else {
            low = left;
            left = right;
            at_left = at_right;
            right = low + golden * (high - low);
            at_right = misfit(points, right);
        }
    }
    let exponent = 0.5 * (low + high);
    let (base_w, scale) = line(points, exponent);
    (scale > 0.0 && base_w.is_finite()).then_some(PowerLaw { base_w, scale, exponent })
}

/// Sum of squared differences with the best base and scale for this exponent.
fn misfit(points: &[(f64, f64)], exponent: f64) -> f64 {
    let (base, scale) = line(points, exponent);
    points.iter().map(|(v, p)| (p - base - scale * v.powf(exponent)).powi(2)).sum()
}

/// Regression of power on `speed^exponent`.
fn line(points: &[(f64, f64)], exponent: f64) -> (f64, f64) {
    let count = points.len() as f64;
    let mean_x = points.iter().map(|(v, _)| v.powf(exponent)).sum::<f64>() / count;
    let mean_y = points.iter().map(|(_, p)| p).sum::<f64>() / count;
    let (mut xx, mut xy) = (0.0, 0.0);
    for (v, p) in points {
        let x = v.powf(exponent) - mean_x;
        xx += x * x;
        xy += x * (p - mean_y);
    }
    let scale = xy / xx;
    (mean_y - scale * mean_x, scale)
}
