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
/// # Example
/// ```
/// # use wakewright_core::numeric::solve_bracketed;
/// let root = solve_bracketed(|x| x * x - 2.0, 0.0, 2.0, 1e-12).unwrap();
/// assert!((root - 2.0_f64.sqrt()).abs() < 1e-12);
/// ```
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

/// Where a share that rises along an axis becomes 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Crossing<T> {
    /// There, with what was evaluated there.
    At(f64, T),
    /// It is above 1 from the low end on; what was evaluated at that end.
    AboveFromLow(T),
    /// It is below 1 up to the high end; what was evaluated at that end.
    BelowToHigh(T),
}

/// The place in `[low, high]`, `low > 0`, where the share given by `evaluate` becomes 1, to
/// `tolerance` of the share, with the rest of what `evaluate` gave there.
///
/// The share should rise and go about with a power of the place, so that it is nearly straight on
/// logarithmic scales; there secant steps are taken, halving the bracket when they leave it. Ends
/// are tried only when a step passes them. Five or six evaluations do for a smooth share.
/// # Source
/// Secant with the safeguard of \[dekker1969\].
/// # Errors
/// What `evaluate` gives; [`RootError::NotConverged`] when the share jumps over 1.
/// # Example
/// By hand: `x² / 9` is 1 at 3.
/// ```
/// # use wakewright_core::numeric::{Crossing, RootError, solve_share};
/// let share = |x: f64| Ok::<_, RootError>((x * x / 9.0, ()));
/// let Ok(Crossing::At(x, ())) = solve_share(share, 0.1, 100.0, 1.0, 1e-9) else { panic!() };
/// assert!((x - 3.0).abs() < 1e-8);
/// ```
#[inline]
pub fn solve_share<T, E: From<RootError>>(
    mut evaluate: impl FnMut(f64) -> Result<(f64, T), E>,
    low: f64,
    high: f64,
    guess: f64,
    tolerance: f64,
) -> Result<Crossing<T>, E> {
    const MAX_STEPS: usize = 100;
    // A bisection now and then guards against steps that crawl along one side.
    const PATIENT_STEPS: usize = 12;
    // The power with which the share rises: before it is known, and what is believed of it.
    const FIRST_POWER: f64 = 2.0;
    const POWERS: (f64, f64) = (0.25, 20.0);

    let (mut below, mut above) = (low, high);
    let (mut low_is_tried, mut high_is_tried) = (false, false);
    let mut x = guess.clamp(low, high);
    let mut before: Option<(f64, f64)> = None;
    let mut excess = f64::NAN;
    for step in 0..MAX_STEPS {
        let (share, found) = evaluate(x)?;
        excess = share.ln();
        if excess.abs() <= tolerance {
            return Ok(Crossing::At(x, found));
        }
        if excess > 0.0 {
            if x <= low {
                return Ok(Crossing::AboveFromLow(found));
            }
            above = x;
            high_is_tried = true;
        } else {
            if x >= high {
                return Ok(Crossing::BelowToHigh(found));
            }
            below = x;
            low_is_tried = true;
        }
        let power = match before {
            Some((x0, excess0)) => ((excess - excess0) / (x / x0).ln()).clamp(POWERS.0, POWERS.1),
            None => FIRST_POWER,
        };
        before = Some((x, excess));
        let proposed = x * (-excess / power).exp();
        let crawls = step > PATIENT_STEPS && step % 3 == 0;
        x = if proposed > below && proposed < above && !crawls {
            proposed
        } else if excess > 0.0 && !low_is_tried {
            low
        } else if excess < 0.0 && !high_is_tried {
            high
        } else {
            (below * above).sqrt()
        };
    }
    Err(RootError::NotConverged { residual: excess, iterations: MAX_STEPS }.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn root_of_a_cubic() {
        let root = solve_bracketed(|x| x * x * x - 2.0, 0.0, 2.0, 1e-13).unwrap();
        assert!((root - 2.0_f64.cbrt()).abs() < 1e-12);
    }

    fn crossing(share: impl Fn(f64) -> f64, guess: f64) -> (Crossing<()>, usize) {
        let mut evaluations = 0;
        let evaluate = |x: f64| -> Result<_, RootError> {
            evaluations += 1;
            Ok((share(x), ()))
        };
        (solve_share(evaluate, 0.01, 4.0, guess, 1e-12).unwrap(), evaluations)
    }

    #[test]
    fn share_crosses_one_after_few_evaluations() {
        for guess in [0.01, 0.3, 1.0, 2.0, 4.0] {
            let (found, evaluations) = crossing(|x| 0.1 * x + 0.4 * x * x * x, guess);
            let Crossing::At(x, ()) = found else { panic!("{found:?}") };
            assert!((0.1 * x + 0.4 * x * x * x - 1.0).abs() < 1e-11);
            assert!(evaluations < 11, "{evaluations}");
        }
    }

    #[test]
    fn share_on_one_side_of_one_is_said() {
        for guess in [0.01, 0.5, 4.0] {
            assert_eq!(crossing(|x| 0.2 * x, guess).0, Crossing::BelowToHigh(()));
            assert_eq!(crossing(|x| 1.5 + x, guess).0, Crossing::AboveFromLow(()));
            assert_eq!(crossing(|_| f64::INFINITY, guess).0, Crossing::AboveFromLow(()));
        }
    }

    #[test]
    fn share_with_plateau_and_kink_crosses() {
        let kinked = |x: f64| if x < 0.7 { 1e-3 } else { 1e-3 + 50.0 * (x - 0.7) }.min(2.0);
        for guess in [0.1, 0.5, 3.0] {
            let (Crossing::At(x, ()), _) = crossing(kinked, guess) else { panic!("no crossing") };
            assert!((x - 0.7 - 0.999 / 50.0).abs() < 1e-10);
        }
    }

    /// A share that jumps over 1 has no state at its limit.
    #[test]
    fn jump_over_one_is_said() {
        let jumping = |x: f64| Ok::<_, RootError>((if x < 0.7 { 0.9 } else { 1.1 }, ()));
        assert!(matches!(solve_share(jumping, 0.01, 4.0, 1.0, 1e-9), Err(RootError::NotConverged { .. })));
    }

    #[test]
    fn no_bracket_is_said() {
        assert!(matches!(solve_bracketed(|x| x + 1.0, 0.0, 1.0, 1e-9), Err(RootError::NotBracketed { .. })));
    }
}
