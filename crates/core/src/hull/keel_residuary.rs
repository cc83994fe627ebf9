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
/// # Example
/// By hand from the published column of Fn 0.25 and the sizes of a boat.
/// ```
/// # use wakewright_core::hull::complete;
/// # use wakewright_core::hull::keel_residuary::keel_residuary_curve;
/// # use wakewright_core::hull::nodes::curve_value;
/// # use wakewright_records::boat::{BoatDocument, build_spec};
/// # let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/sea_campion.toml");
/// # let document = BoatDocument::parse(&std::fs::read_to_string(path).unwrap()).unwrap();
/// # let mut boat = build_spec(&document).unwrap().boat;
/// let hull = complete(&boat.form, &boat.keel, &boat.rudder, &boat.water).unwrap().value;
/// let (body, keel) = (&hull.body, &hull.keel.unwrap());
/// let found = curve_value(&keel_residuary_curve(body, boat.form.draught_m, keel), 0.25);
/// let depth_ratio = (body.draught_m + keel.centroid_below_root_m) / keel.volume_m3.cbrt();
/// let by_hand = -0.0055 + 0.00597 * boat.form.draught_m / body.beam_waterline_m
///     + 0.0039 * depth_ratio
///     - 0.00009 * body.volume_m3 / keel.volume_m3;
/// assert!((found - by_hand.max(0.0)).abs() < 1e-9);
/// ```
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
