//! What rough paint and growth add to friction, by similarity-law scaling.
//!
//! The drag of a rough plate of any length and speed follows from one height, that of the sand
//! grains that would drag alike. Not for: what growth does to residuary resistance (nothing, here)
//! or to the propeller as a whole (see `blade` for its section drag).

pub mod blade;
pub mod condition;

pub use blade::blade_drag_rise;
pub use condition::FoulingCondition;

use crate::friction::frictional_coefficient_ittc1957;
use crate::notice::{Notice, check_range};

/// Von Karman constant of the method. Source: \[granville1987\], as restated in copies.
const KAPPA: f64 = 0.41;
/// `0.242 ln 10`: the Schoenherr line in natural logarithms. Source: \[schoenherr1932\].
const SCHOENHERR: f64 = 0.242 * std::f64::consts::LN_10;
/// Roughness Reynolds number at which the Colebrook-type function sets in, `exp(3.5 KAPPA)`: its
/// fully rough end is `ln(ks+)/kappa - 3.5`, that of sand grains (from memory).
const COLEBROOK_SCALE: f64 = 4.199_439_2;
/// Lower end of the transition of the three-regime function. Source: \[demirel2017\].
const SAND_SMOOTH: f64 = 3.0;
/// Upper end of the transition, five times the lower.
const SAND_ROUGH: f64 = 15.0;
/// Factor inside the logarithm of the fully rough regime.
const SAND_FACTOR: f64 = 0.26;
/// Reynolds number under which the lines are not evaluated.
const LOWEST_REYNOLDS: f64 = 1.0e3;
/// Root of the highest frictional coefficient that is given: friction velocity in the method grows
/// with the coefficient up to `w = kappa/2` (0.29) only.
const HIGHEST_ROOT: f64 = 0.28;
/// Sand height / length above which the layer is no longer thick against the grains.
/// Common practice, no source.
const COARSEST_KS_OVER_L: f64 = 0.001;

/// How drag sets in as roughness grows through the viscous sublayer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum RoughnessFunction {
    /// Gradual, from the thinnest roughness on (Colebrook type). The default: slime and old paint
    /// behave so.
    #[default]
    Colebrook,
    /// Smooth up to ks+ = 3, fully rough from 15 (sand type).
    ThreeRegime,
}

impl RoughnessFunction {
    /// `KAPPA dU+` at `ks_plus`, and its derivative by `ln ks_plus`.
    fn shift(self, ks_plus: f64) -> (f64, f64) {
        match self {
            Self::Colebrook => {
                let ratio = ks_plus / COLEBROOK_SCALE;
                // Adds to terms near 10: more digits of a small logarithm would be lost there.
                ((1.0 + ratio).ln(), ratio / (1.0 + ratio))
            }
            Self::ThreeRegime => {
                let full = (SAND_FACTOR * ks_plus).ln();
                if ks_plus >= SAND_ROUGH {
                    (full, 1.0)
                } else if ks_plus <= SAND_SMOOTH || full <= 0.0 {
                    (0.0, 0.0)
                } else {
                    let quarter = std::f64::consts::FRAC_PI_2 / 5.0_f64.ln();
                    let (sine, cosine) = (quarter * (ks_plus / SAND_SMOOTH).ln()).sin_cos();
                    (full * sine, sine + full * cosine * quarter)
                }
            }
        }
    }
}

/// Friction of a plate: coefficient and what belongs to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateFriction {
    /// Frictional coefficient on the wetted area.
    pub coefficient: f64,
    /// Its derivative by the natural logarithm of the Reynolds number, sand height / length fixed.
    pub slope_ln_reynolds: f64,
    /// Sand height in wall units at the trailing edge.
    pub ks_plus: f64,
    /// Roughness function there.
    pub velocity_loss: f64,
}

/// Frictional coefficient of a plate with equivalent sand height / length `ks_over_l` at `reynolds`.
///
/// Smooth line of Schoenherr, `0.242/sqrt(CF) = log10(Re CF)`, shifted by `kappa dU+ / ln 10` in
/// `log10 Re`; `ks+ = Re (ks/L) w (1 - w/kappa)`, `w = sqrt(CF/2)`. Solved by Newton's method in
/// `sqrt(CF)`, which converges from the smooth side for both functions.
/// # Source
/// \[granville1987\] (its small slope terms left out), \[schoenherr1932\]. Checked against an
/// independent calculation by relaxed iteration, 7 digits, and against the published ship figures
/// of \[schultz2007\] within 1.5 points.
/// # Valid for
/// Re 1e6 to 1e9 and ks/L up to about 1/1000 (see [`check_coarseness`]); coarser still computes, up
/// to a coefficient of 0.078 where it is held. Under Re 1000 the value at 1000 is given. Sand height
/// 0 gives the smooth line.
/// # Accuracy
/// Not published for small craft; the two roughness functions differ by up to 10 % of CF at
/// ks+ near 5 and by 3 % above 15.
/// # Example
/// An independent calculation: 10 m at 5 kn with 0.3 mm of sand, 0.003568.
/// ```
/// # use wakewright_core::fouling::{RoughnessFunction, cf_rough};
/// let reynolds = 2.572 * 10.0 / 1.188e-6;
/// let rough = cf_rough(reynolds, 300e-6 / 10.0, RoughnessFunction::Colebrook);
/// assert!((rough - 0.003_568).abs() < 5.1e-7);
/// ```
#[must_use]
pub fn cf_rough(reynolds: f64, ks_over_l: f64, function: RoughnessFunction) -> f64 {
    plate_friction(reynolds, ks_over_l, function).coefficient
}

/// As [`cf_rough`], with slope, ks+ and roughness function.
#[must_use]
pub fn plate_friction(reynolds: f64, ks_over_l: f64, function: RoughnessFunction) -> PlateFriction {
    let line = frictional_coefficient_ittc1957(reynolds.max(LOWEST_REYNOLDS));
    plate_friction_near(line, reynolds, ks_over_l, function)
}

/// As [`plate_friction`], searched from a coefficient nearby, as that of a neighbouring speed: one or
/// two steps then do.
#[must_use]
pub fn plate_friction_near(
    coefficient: f64,
    reynolds: f64,
    ks_over_l: f64,
    function: RoughnessFunction,
) -> PlateFriction {
    let reynolds = reynolds.max(LOWEST_REYNOLDS);
    let log_reynolds = reynolds.ln();
    let grain_reynolds = reynolds * ks_over_l.max(0.0);
    let mut root = coefficient.sqrt().min(HIGHEST_ROOT);
    let mut state = Balance::at(root, log_reynolds, grain_reynolds, function);
    // Newton is monotone here from the smooth side; three to six steps from the smooth line.
    for _ in 0..40 {
        let step = state.residual / state.slope_root;
        root = (root - step).clamp(0.5 * root, HIGHEST_ROOT);
        // What is left after this step is of the order of its square.
        if step.abs() < 3e-6 * root {
            break;
        }
        state = Balance::at(root, log_reynolds, grain_reynolds, function);
    }
    let is_held = root >= HIGHEST_ROOT;
    let slope = if is_held { 0.0 } else { 2.0 * root * (1.0 - state.shift_slope) / state.slope_root };
    PlateFriction {
        coefficient: root * root,
        slope_ln_reynolds: slope,
        ks_plus: state.ks_plus,
        velocity_loss: state.shift / KAPPA,
    }
}

/// The equation `SCHOENHERR/y - 2 ln y - ln Re + kappa dU+ = 0` in `y = sqrt(CF)`.
struct Balance {
    residual: f64,
    slope_root: f64,
    shift: f64,
    shift_slope: f64,
    ks_plus: f64,
}

impl Balance {
    fn at(root: f64, log_reynolds: f64, grain_reynolds: f64, function: RoughnessFunction) -> Self {
        let w = root * std::f64::consts::FRAC_1_SQRT_2;
        let wake = 1.0 - w / KAPPA;
        let ks_plus = grain_reynolds * w * wake;
        let (shift, shift_slope) = if ks_plus > 0.0 { function.shift(ks_plus) } else { (0.0, 0.0) };
        let along = (1.0 - 2.0 * w / KAPPA) / wake;
        Self {
            residual: SCHOENHERR / root - 2.0 * root.ln() - log_reynolds + shift,
            slope_root: (-SCHOENHERR / root - 2.0 + shift_slope * along) / root,
            shift,
            shift_slope,
            ks_plus,
        }
    }
}

/// Adds a notice when sand height / length is beyond the method.
pub fn check_coarseness(notices: &mut Vec<Notice>, ks_over_l: f64) {
    check_range(
        notices,
        "friction of a rough surface",
        "sand height / length",
        ks_over_l,
        (0.0, COARSEST_KS_OVER_L),
        "",
        "granville1987",
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn newton_converges_everywhere() {
        for function in [RoughnessFunction::Colebrook, RoughnessFunction::ThreeRegime] {
            for i in 0..60 {
                let reynolds = 10.0_f64.powf(4.0 + 0.1 * f64::from(i));
                for j in 0..60 {
                    let ks_over_l = 10.0_f64.powf(-8.0 + 0.1 * f64::from(j));
                    let root = cf_rough(reynolds, ks_over_l, function).sqrt();
                    let state = Balance::at(root, reynolds.ln(), reynolds * ks_over_l, function);
                    assert!(
                        state.residual.abs() < 1e-9,
                        "{function:?} Re {reynolds:e} ks/L {ks_over_l:e}: {}",
                        state.residual
                    );
                }
            }
        }
    }

    #[test]
    fn slope_is_the_derivative() {
        for function in [RoughnessFunction::Colebrook, RoughnessFunction::ThreeRegime] {
            for (reynolds, ks_over_l) in [(1.0e6, 0.0), (2.0e7, 3.0e-5), (2.0e7, 8.0e-6), (5.0e6, 1.0e-3)] {
                let step = 1e-5_f64;
                let rise = cf_rough(reynolds * step.exp(), ks_over_l, function)
                    - cf_rough(reynolds * (-step).exp(), ks_over_l, function);
                let slope = plate_friction(reynolds, ks_over_l, function).slope_ln_reynolds;
                assert!(
                    (rise / (2.0 * step) - slope).abs() < 1e-8,
                    "{function:?} {reynolds:e} {ks_over_l:e}"
                );
            }
        }
    }
}
