//! Residuary resistance of the keel under the hull.
//! Not for: its friction, its lift.

use super::appendages::CompletedKeel;
use super::complete::CanoeBody;
use super::delft_tables::KEEL_1998;
use super::nodes::{NODES, NodeCurve, fourth_power_curve};

/// Residuary resistance of the keel / weight of water that the keel displaces, over Froude number.
///
/// `A0 + A1 T/B + A2 (Tc + z)/Vk^(1/3) + A3 V/Vk`, z = centre of keel volume below its root. Between
/// columns and below the first, at Fn 0.20, in step with the fourth power of speed, not below zero.
/// # Source
/// \[keuning1998\], coefficients read in two copies that agree. Doubt: one copy measures z
/// otherwise; the effect on the total is under 1 %.
/// # Valid for
/// Fin keels of the Delft tests. Long and twin keels: computes all the same, weak.
#[must_use]
pub fn keel_residuary_curve(body: &CanoeBody, draught_m: f64, keel: &CompletedKeel) -> NodeCurve {
    if keel.volume_m3 <= 0.0 {
        return [(0.0, 0.0); NODES];
    }
    let depth_ratio = (body.draught_m + keel.centroid_below_root_m) / keel.volume_m3.cbrt();
    let draught_ratio = draught_m / body.beam_waterline_m;
    let volume_ratio = body.volume_m3 / keel.volume_m3;
    fourth_power_curve(&KEEL_1998.map(|[froude, a0, a1, a2, a3]| {
        (froude, a0 + a1 * draught_ratio + a2 * depth_ratio + a3 * volume_ratio)
    }))
}
