//! The Froude numbers at which residuary resistance is held, and how a published fit gets onto them.
//! Not for: the fits themselves.

use super::cubic::{Cubic, cubic_slope, cubic_value, hermite};

/// Froude number up to which resistance is given; above it a displacement boat starts to plane.
pub const HIGHEST_FROUDE: f64 = 0.60;
/// Nodes per unit of Froude number.
const NODES_PER_FROUDE: f64 = 40.0;
/// Spacing of the nodes.
pub const FROUDE_STEP: f64 = 1.0 / NODES_PER_FROUDE;
/// Number of nodes from 0 to [`HIGHEST_FROUDE`].
pub const NODES: usize = 25;

/// Froude number of a node.
#[must_use]
pub fn node_froude(node: usize) -> f64 {
    node as f64 / NODES_PER_FROUDE
}

/// A curve over Froude number by its value and slope at the nodes, cubic between them.
pub type NodeCurve = [(f64, f64); NODES];

/// Curve from a fit given at `columns` (Froude number, value), in step with the fourth power of speed.
///
/// What is interpolated is value / Fn^4, by cubics that keep its order (Fritsch and Carlson's kind); below the
/// first column it stays, so that the value falls to nothing with the fourth power; negative values are zero, and
/// the curve is nowhere below it.
///
/// The open set with keel and rudder \[delft308\] is measured at half steps: left out there and interpolated from
/// the whole steps, residuary resistance is found within -3 to +4 % on the mean; straight lines, as the fits are
/// usually read, give 6 to 14 % too much, and a kink at each column.
#[must_use]
pub fn fourth_power_curve(columns: &[(f64, f64)]) -> NodeCurve {
    let scaled: Vec<f64> = columns.iter().map(|(froude, value)| value.max(0.0) / froude.powi(4)).collect();
    let slopes = monotone_slopes(columns, &scaled);
    let mut piece = 0;
    std::array::from_fn(|node| {
        let froude = node_froude(node);
        while piece + 2 < columns.len() && froude > columns[piece + 1].0 {
            piece += 1;
        }
        let width = columns[piece + 1].0 - columns[piece].0;
        let at = (froude - columns[piece].0) / width;
        let values = [scaled[piece], scaled[piece + 1]];
        let (held, rise) = if (0.0..=1.0).contains(&at) {
            let cubic = hermite(values, [slopes[piece] * width, slopes[piece + 1] * width]);
            (cubic_value(&cubic, at).max(0.0), cubic_slope(&cubic, at) / width)
        } else {
            (values[usize::from(at > 1.0)], 0.0)
        };
        let cube = froude.powi(3);
        let value = held * cube * froude;
        // No steeper than what keeps a cubic from the neighbour above zero; it counts next to rest alone.
        let steepest = 3.0 * value / FROUDE_STEP;
        (value, (rise * cube * froude + 4.0 * held * cube).clamp(-steepest, steepest))
    })
}

/// Value of a curve at a Froude number, at most the last node's.
#[must_use]
pub fn curve_value(curve: &NodeCurve, froude: f64) -> f64 {
    let position = (froude * NODES_PER_FROUDE).clamp(0.0, (NODES - 1) as f64);
    let node = (position as usize).min(NODES - 2);
    cubic_value(&node_cubic(curve, node), position - node as f64)
}

/// The cubic from a node to the next.
pub(super) fn node_cubic(curve: &NodeCurve, node: usize) -> Cubic {
    let [(low, low_slope), (high, high_slope)] = [curve[node], curve[node + 1]];
    hermite([low, high], [low_slope * FROUDE_STEP, high_slope * FROUDE_STEP])
}

/// Slopes at the columns that keep the order of the values: weighted harmonic means of the neighbouring slopes,
/// zero at a turn and at the first, the last chord's at the end.
fn monotone_slopes(columns: &[(f64, f64)], values: &[f64]) -> Vec<f64> {
    let width = |i: usize| columns[i + 1].0 - columns[i].0;
    let rise = |i: usize| (values[i + 1] - values[i]) / width(i);
    let last = columns.len() - 1;
    (0..=last)
        .map(|i| {
            if i == 0 || i == last {
                return if i == last && last > 0 { rise(last - 1) } else { 0.0 };
            }
            let (before, after) = (rise(i - 1), rise(i));
            if before * after <= 0.0 {
                return 0.0;
            }
            let (first, second) = (2.0 * width(i) + width(i - 1), width(i) + 2.0 * width(i - 1));
            (first + second) / (first / before + second / after)
        })
        .collect()
}
