//! The Froude numbers at which residuary resistance is held, and how a published fit gets onto them.
//! Not for: the fits themselves.

use super::cubic::{cubic_value, hermite};

/// Froude number up to which resistance is given; above it a displacement boat starts to plane.
pub const HIGHEST_FROUDE: f64 = 0.60;
/// Nodes per unit of Froude number.
const NODES_PER_FROUDE: f64 = 40.0;
/// Spacing of the nodes.
pub const FROUDE_STEP: f64 = 1.0 / NODES_PER_FROUDE;
/// Number of nodes from 0 to [`HIGHEST_FROUDE`].
pub const NODES: usize = 25;

/// Froude number of a node.
/// the whole steps, residuary[must_use]
pub fn node_froude(node: usize) -> f64 {
    node as f64 / NODES_PER_FROUDE
}

/// Node at a Froude number that is one.
pub(super) fn node_at(froude: f64) -> usize {
    (froude * NODES_PER_FROUDE).round() as usize
}

/// Values at all nodes from a fit that is given at the columns of `table` (Froude number first):
/// linear between columns and from zero at `zero_froude` to the first; negative values are zero.
pub(super) fn fill_nodes<const WIDTH: usize>(
    zero_froude: f64,
    table: &[[f64; WIDTH]],
    value_of: impl Fn(&[f64]) -> f64,
) -> [f64; NODES] {
    let mut nodes = [0.0; NODES];
    let (mut from, mut low) = (node_at(zero_froude), 0.0);
    for row in table {
        let to = node_at(row[0]);
        let Some(gap) = nodes.get_mut(from..=to) else { break };
        let high = value_of(&row[1..]).max(0.0);
        let width = (to - from) as f64;
        for (step, node) in gap.iter_mut().enumerate() {
            *node = low + (high - low) * step as f64 / width;
        }
        (from, low) = (to, high);
    }
    nodes
}

/// Values at all nodes from a fit given at `columns` (Froude number, value), in step with the fourth power of speed.
///
/// What is interpolated is value / Fn^4, by cubics that keep its order (Fritsch and Carlson's kind); below the
/// first column it stays, so that the value falls to nothing with the fourth power; negative values are zero.
///
/// The open set with keel and rudder \[delft308\] is measured at half steps: left out there and interpolated from
/// the whole steps, residuary resistance is found within -3 to +4 % on the mean; straight lines, as the fits are
/// usually read, give 6 to 14 % too much.
#[must_use]
pub fn fourth_power_nodes(columns: &[(f64, f64)]) -> [f64; NODES] {
    let scaled: Vec<f64> = columns.iter().map(|(froude, value)| value.max(0.0) / froude.powi(4)).collect();
    let slopes = monotone_slopes(columns, &scaled);
    let mut nodes = [0.0; NODES];
    let mut piece = 0;
    for (node, value) in nodes.iter_mut().enumerate() {
        let froude = node_froude(node);
        while piece + 2 < columns.len() && froude > columns[piece + 1].0 {
            piece += 1;
        }
        let width = columns[piece + 1].0 - columns[piece].0;
        let at = ((froude - columns[piece].0) / width).clamp(0.0, 1.0);
        let cubic =
            hermite([scaled[piece], scaled[piece + 1]], [slopes[piece] * width, slopes[piece + 1] * width]);
        *value = cubic_value(&cubic, at).max(0.0) * froude.powi(4);
    }
    nodes
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
