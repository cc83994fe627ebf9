//! How sure the parts of the resistance are: factors with their 80 % band.
//! Not for: drawing samples (see `spread`).

use super::complete::CompletedHull;
use super::form::HullKind;
use super::residuary::parameters_outside;
use crate::spread::Spread;

/// Factor on the calm-water resistance for all that a towing tank leaves out: skin fittings,
/// aperture, stern gear, chop, trim, steering.
///
/// Basis: engineering judgement, no source. Owners' power readings lie 3 to 12 times above clean-hull
/// effective power, but hold the drive's losses as well and cannot narrow it. A trial can.
pub const IN_SERVICE_SPREAD: Spread = Spread { p10: 0.95, median: 1.15, p90: 1.45, is_logarithmic: true };

/// Factor on the air drag of the default form: the other two published forms lie 25 % under and
/// 45 % over it for the 40-ft boat of \[larsson2000\].
pub const WINDAGE_SPREAD: Spread = Spread { p10: 0.75, median: 1.0, p90: 1.45, is_logarithmic: true };

/// Factor on form drag and waves of a canal boat: the ships behind the method have finer ends than a swim, whose
/// length decides. Basis: judgement, no source.
pub const CANAL_FORM_SPREAD: Spread = Spread { p10: 0.6, median: 1.0, p90: 2.0, is_logarithmic: true };

/// Factor on residuary resistance with its 80 % band.
///
/// Inside the published ranges: 12 % when all six form parameters were measured, 15 % when some are
/// medians. Each parameter outside adds 5 points up to 30 %; a round-bilge motor boat has at
/// least 20 %.
///
/// Basis: total resistance of the 44 measured hulls has rms 3 to 6 %, of which residuary is about
/// half at Fn 0.35, hence 8 to 12 % of it at one standard deviation or 10 to 15 % for 80 %, in-sample.
/// What lies outside: judgement, no source.
#[must_use]
pub fn residuary_spread(hull: &CompletedHull) -> Spread {
    let inside = if hull.measured_form_parameters == 6 { 0.12 } else { 0.15 };
    let fraction = (inside + 0.05 * parameters_outside(&hull.body) as f64).min(0.30);
    let fraction = match hull.kind {
        HullKind::SailingYacht => fraction,
        HullKind::RoundBilgeMotor => fraction.max(0.20),
        HullKind::CanalBoat => return CANAL_FORM_SPREAD,
    };
    Spread::relative(1.0, fraction)
}
