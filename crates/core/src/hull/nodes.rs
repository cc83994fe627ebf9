//! The Froude numbers at which residuary resistance is held, and how a published fit gets onto them.
//! Not for: the fits themselves.

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
