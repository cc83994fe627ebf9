//! What roughness adds to the section drag of a propeller blade.
//! Not for: thrust and torque; the propeller model turns this drag into them.

use super::{RoughnessFunction, cf_rough};
use crate::water::Water;

/// Rise of a blade section's drag coefficient (both sides) for equivalent sand height
/// `sand_height_m`, at `chord_m` and speed `relative_speed_m_s` of the water past the section
/// (usually at 0.7 of the radius).
///
/// `2 (CF rough - CF smooth)` of a flat plate, Colebrook-type roughness function.
/// # Source
/// Plate friction as [`cf_rough`]; two sides as in the ITTC-1978 scaling of blade drag
/// \[ittc1978\], from memory, without its thickness factor `1 + 2 t/c`, which is near 1.1 at 0.7 of the
/// radius.
/// # Valid for
/// Section Reynolds number above 2e5 and sand height / chord up to 1/1000; barnacles of
/// millimetres on a small blade are far coarser: an estimate of size only. At rest it is next to nothing.
/// # Example
/// ```
/// # use wakewright_core::fouling::blade_drag_rise;
/// # use wakewright_core::water::Water;
/// let water = Water::sea(288.15);
/// let rise = blade_drag_rise(200e-6, 0.10, 12.0, &water);
/// // Both faces of a plate whose friction lies between two published fully rough formulas.
/// assert!(rise > 0.0 && rise < 2.0 * (1.89_f64 + 1.62 * 500_f64.log10()).powf(-2.5));
/// ```
#[must_use]
pub fn blade_drag_rise(sand_height_m: f64, chord_m: f64, relative_speed_m_s: f64, water: &Water) -> f64 {
    let reynolds = relative_speed_m_s.abs() * chord_m / water.viscosity_m2_s;
    let function = RoughnessFunction::Colebrook;
    2.0 * (cf_rough(reynolds, sand_height_m / chord_m, function) - cf_rough(reynolds, 0.0, function))
}
