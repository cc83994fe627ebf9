//! Residuary resistance of the keel under the hull.
//! Not for: its friction, its lift.

use super::appendages::CompletedKeel;
use super::complete::CanoeBody;
use super::delft_tables::KEEL_1998;
use super::nodes::{NODES, fill_nodes};

/// Residuary resistance of the keel / weight of water that the keel displaces, at the nodes
/// Fn 0, 0.025 .. 0.60.
///
/// `A0 + A1 T/B + A2 (Tc + z)/Vk^(1/3) + A3 V/Vk`, z = centre of keel volume below its root. Linear
/// between columns, linear from zero at Fn 0.10 to the first column at 0.20, not below zero.
/// # Source
/// \[keuning1998\], coefficients read in two copies that agree. Doubt: one copy measures z
/// otherwise; the effect on the total is under 1 %.
/// # Valid for
/// Fin keels of the Delft tests. Long and twin keels: computes all the same, weak.
#[must_use]
pub fn keel_residuary_ratio_nodes(body: &CanoeBody, draught_m: f64, keel: &CompletedKeel) -> [f64; NODES] {
    if keel.volume_m3 <= 0.0 {
        return [0.0; NODES];
    }
    let depth_ratio = (body.draught_m + keel.centroid_below_root_m) / keel.volume_m3.cbrt();
    let draught_ratio = draught_m / body.beam_waterline_m;
    let volume_ratio = body.volume_m3 / keel.volume_m3;
    fill_nodes(0.10, &KEEL_1998, |a| a[0] + a[1] * draught_ratio + a[2] * depth_ratio + a[3] * volume_ratio)
}
