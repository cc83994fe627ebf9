//! How sure the parts of the resistance are: factors with their 80 % band.
//! Not for: drawing samples (see `spread`).

use super::complete::CompletedHull;
use super::estimates::Medians;
use super::form::HullKind;
use super::nodes::curve_value;
use super::own_fit::{FormKnown, column_froude, own_estimate};
use super::residuary::{ResiduaryMethod, parameters_outside, residuary_curve};
use crate::spread::Spread;

/// Factor on the calm-water resistance for all that a towing tank leaves out: skin fittings,
/// aperture, chop, trim, steering, and the mean of a light wind from all sides.
///
/// It was 0.95, 1.15, 1.45 while it stood for blades at small Reynolds numbers and for legs and brackets too: these are
/// terms of their own now and taken out of it. Basis: engineering judgement, no source. Owners' power readings lie 3 to 12 times above clean-hull
/// effective power, but hold the drive's losses as well and cannot narrow it. A trial can.
pub const IN_SERVICE_SPREAD: Spread = Spread { p10: 0.90, median: 1.09, p90: 1.40, is_logarithmic: true };

/// The same on a drag that was measured by towing the boat herself in a calm: fittings, aperture and trim are in it, chop, steering
/// and growth since are not. Engineering judgement, no source.
pub const TOWED_IN_SERVICE_SPREAD: Spread =
    Spread { p10: 0.97, median: 1.03, p90: 1.15, is_logarithmic: true };

/// Factor on the air drag of the default form: the other two published forms lie 25 % under and
/// 45 % over it for the 40-ft boat of \[larsson2000\].
pub const WINDAGE_SPREAD: Spread = Spread { p10: 0.75, median: 1.0, p90: 1.45, is_logarithmic: true };

/// Factor on form drag and waves of a canal boat: the ships behind the method have finer ends than a swim, whose
/// length decides. Basis: judgement, no source.
pub const CANAL_FORM_SPREAD: Spread = Spread { p10: 0.6, median: 1.0, p90: 2.0, is_logarithmic: true };

/// Prismatic coefficient of a hull that was not measured, with its 80 % band.
///
/// Sailing yachts: the 51 hulls of \[dsyhs2022\]. Motor and canal boats: judged from main dimensions, from memory.
#[must_use]
pub fn prismatic_spread(kind: HullKind) -> Spread {
    let (p10, p90) = match kind {
        HullKind::SailingYacht => (0.535, 0.575),
        HullKind::RoundBilgeMotor => (0.57, 0.65),
        HullKind::CanalBoat => (0.82, 0.93),
    };
    Spread { p10, median: Medians::of(kind).prismatic, p90, is_logarithmic: false }
}

/// Factor on residuary resistance with its 80 % band.
///
/// Of the own fit: its band for a hull it has not seen, which widens outside the measured hulls, and beside it what
/// it and the two published bare-hull fits disagree, as mean squares over Fn 0.25 to 0.45. A round-bilge motor boat
/// has at least 20 %.
///
/// Of a published fit: 12 % when all six form parameters were measured, 15 % when some are medians; each parameter
/// outside the published ranges adds 5 points up to 30 %. Basis: total resistance of the 44 measured hulls has rms 3 to
/// 6 %, of which residuary is about half at Fn 0.35; outside: judgement, no source.
#[must_use]
pub fn residuary_spread(hull: &CompletedHull, method: ResiduaryMethod) -> Spread {
    let fraction = match method {
        ResiduaryMethod::HoltropMennen => return CANAL_FORM_SPREAD,
        ResiduaryMethod::OwnFit(known) => own_fraction(hull, known),
        _ => {
            let inside = if hull.measured_form_parameters == 6 { 0.12 } else { 0.15 };
            (inside + 0.05 * parameters_outside(&hull.body) as f64).min(0.30)
        }
    };
    Spread::relative(1.0, if hull.kind == HullKind::RoundBilgeMotor { fraction.max(0.20) } else { fraction })
}

/// Half-width of the own fit's 80 % band and of the three opinions' scatter together, as a share.
fn own_fraction(hull: &CompletedHull, known: FormKnown) -> f64 {
    let own = own_estimate(&hull.body, known);
    let rivals = [ResiduaryMethod::KeuningSonnenberg1998, ResiduaryMethod::KeuningKatgert2008]
        .map(|method| residuary_curve(&hull.body, method));
    let columns = 2..7;
    let count = columns.len() as f64;
    let squares = columns.map(|column| {
        let ratio = own.ratio[column].max(LEAST_RATIO);
        let [first, second] = rivals.each_ref().map(|curve| curve_value(curve, column_froude(column)));
        let mean = (ratio + first + second) / 3.0;
        let scatter = [ratio, first, second].map(|r| (r - mean).powi(2)).iter().sum::<f64>() / 2.0;
        Z80 * Z80 * (own.deviation[column].powi(2) + scatter) / (ratio * ratio)
    });
    (squares.sum::<f64>() / count).sqrt().min(WIDEST)
}

/// Least residuary ratio that a share is taken of.
const LEAST_RATIO: f64 = 2e-4;
/// Half of the middle 80 % of a normal distribution, in standard deviations.
const Z80: f64 = 1.281_551_565_5;
/// Widest share given: beyond it the figure says nothing, which the notices say.
const WIDEST: f64 = 0.6;
