//! Small numerical tools shared by the domains: interpolation and bracketed roots.
//! Not for: anything that knows what it computes.

/// Linear interpolation in an ascending table; constant beyond its ends.
#[must_use]
pub fn interpolate_linear(xs: &[f64], ys: &[f64], x: f64) -> f64 {
    debug_assert_eq!(xs.len(), ys.len());
    let upper = xs.partition_point(|&node| node <= x);
    if upper == 0 {
        return ys[0];
    }
    if upper == xs.len() {
        return ys[xs.len() - 1];
    }
    let (x0, x1) = (xs[upper - 1], xs[upper]);
    ys[upper - 1] + (ys[upper] - ys[upper - 1]) * (x - x0) / (x1 - x0)
}

/// Why no root was found.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RootError {
    /// The function has the same sign at both ends.
    #[error("no sign change between {low} and {high}")]
    NotBracketed {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// The iteration limit was reached.
    #[error("no convergence: residual {residual} after {iterations} steps")]
    NotConverged {
        /// Function value at the last point.
        residual: f64,
        /// Steps taken.
        iterations: usize,
    },
}

/// Root of `f` in `[low, high]` by the ITP method: superlinear on smooth functions, never worse
/// than bisection on rough ones, no allocation.
///
/// `x_tolerance` is the half-width of the final bracket.
/// # Source
/// \[oliveira2020\], with k1 = 0.2/(b-a), k2 = 2, n0 = 1.
/// # Errors
/// [`RootError`] when the ends do not bracket a root.
pub fn solve_bracketed(
    mut f: impl FnMut(f64) -> f64,
    low: f64,
    high: f64,
    x_tolerance: f64,
) -> Result<f64, RootError> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == 0.0 {
        return Ok(a);
    }
    if fb == 0.0 {
        return Ok(b);
    }
    if (fa > 0.0) == (fb > 0.0) || fa.is_nan() || fb.is_nan() {
        return Err(RootError::NotBracketed { low, high });
    }
    let k1 = 0.2 / (b - a);
    let half_steps = ((b - a) / (2.0 * x_tolerance)).log2().ceil().max(0.0);
    let max_steps = half_steps as usize + 1;
    let mut radius_factor = x_tolerance * 2.0_f64.powi(max_steps as i32);
    for _ in 0..=max_steps + 1 {
        if b - a <= 2.0 * x_tolerance {
            return Ok(0.5 * (a + b));
        }
        let middle = 0.5 * (a + b);
        let radius = radius_factor - 0.5 * (b - a);
        let delta = k1 * (b - a) * (b - a);
        let secant = (fb * a - fa * b) / (fb - fa);
        let sigma = (middle - secant).signum();
        let truncated = if delta <= (middle - secant).abs() { secant + sigma * delta } else { middle };
        let x = if (truncated - middle).abs() <= radius { truncated } else { middle - sigma * radius };
        let y = f(x);
        if y == 0.0 {
            return Ok(x);
        }
        if (y > 0.0) == (fb > 0.0) {
            b = x;
            fb = y;
        } else {
            a = x;
            fa = y;
        }
        radius_factor *= 0.5;
    }
    Err(RootError::NotConverged { residual: fa.abs().min(fb.abs()), iterations: max_steps })
}

/// Root of a rising `f` in `[low, high]`, from a first guess: secant steps kept inside the bracket,
/// with bisection when a step gains little. For functions that are nearly straight near the root it
/// needs about five evaluations.
///
/// `x_tolerance` is the size of the last step.
/// # Source
/// Secant with the safeguard of \[dekker1969\].
/// # Errors
/// [`RootError`] when the ends do not bracket a root, or a value is not a number.
pub fn solve_rising(
    mut f: impl FnMut(f64) -> f64,
    low: f64,
    high: f64,
    guess: f64,
    x_tolerance: f64,
) -> Result<f64, RootError> {
    const MAX_STEPS: usize = 100;
    // Largest x seen with f < 0 and smallest seen with f > 0; the ends count once they were tried.
    let (mut below, mut above) = (None, None);
    let mut x = guess.clamp(low, high);
    let mut y = f(x);
    let (mut x_before, mut y_before) = (x, y);
    for step in 0..MAX_STEPS {
        if y == 0.0 {
            return Ok(x);
        }
        if y.is_nan() || (y < 0.0 && x >= high) || (y > 0.0 && x <= low) {
            return Err(RootError::NotBracketed { low, high });
        }
        if y < 0.0 {
            below = Some(x);
        } else {
            above = Some(x);
        }
        let proposed = if step == 0 {
            x - y.signum() * 0.02 * (high - low)
        } else {
            x - y * (x - x_before) / (y - y_before)
        };
        let (a, b) = (below.unwrap_or(low), above.unwrap_or(high));
        let stalls = step > 12 && step % 3 == 0;
        let next = if proposed > a && proposed < b && !stalls {
            proposed
        } else if below.is_some() && above.is_some() {
            0.5 * (a + b)
        } else if below.is_none() && !(proposed >= b) {
            low
        } else {
            high
        };
        let is_enclosed = below.is_some() && above.is_some();
        if (next - x).abs() <= x_tolerance && (is_enclosed || next == proposed) {
            return Ok(next);
        }
        (x_before, y_before) = (x, y);
        x = next;
        y = f(x);
    }
    Err(RootError::NotConverged { residual: y, iterations: MAX_STEPS })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn root_of_a_cubic() {
        let root = solve_bracketed(|x| x * x * x - 2.0, 0.0, 2.0, 1e-13).unwrap();
        assert!((root - 2.0_f64.cbrt()).abs() < 1e-12);
    }

    #[test]
    fn rising_root_of_a_cubic_with_few_evaluations() {
        let mut evaluations = 0;
        let f = |x: f64| {
            evaluations += 1;
            x * x * x - 2.0
        };
        let root = solve_rising(f, 0.0, 2.0, 1.0, 1e-10).unwrap();
        assert!((root - 2.0_f64.cbrt()).abs() < 1e-10);
        assert!(evaluations < 12, "{evaluations}");
    }

    #[test]
    fn rising_without_root_is_said() {
        for guess in [0.0, 0.4, 1.0] {
            assert!(solve_rising(|x| x + 1.0, 0.0, 1.0, guess, 1e-9).is_err());
            assert!(solve_rising(|x| x - 2.0, 0.0, 1.0, guess, 1e-9).is_err());
            assert_eq!(solve_rising(|x| x - 1.0, 0.0, 1.0, guess, 1e-9).map(|x| (x * 1e6).round()), Ok(1e6));
        }
        // A kink, a plateau before the root, a steep end.
        let kinked =
            solve_rising(|x: f64| if x < 0.7 { -1e-3 } else { 50.0 * (x - 0.75) }, 0.0, 1.0, 0.1, 1e-12);
        assert!((kinked.unwrap() - 0.75).abs() < 1e-10);
    }

    #[test]
    fn no_bracket_is_said() {
        assert!(matches!(solve_bracketed(|x| x + 1.0, 0.0, 1.0, 1e-9), Err(RootError::NotBracketed { .. })));
    }
}
