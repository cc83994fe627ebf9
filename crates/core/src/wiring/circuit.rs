//! A network of nodes and branches solved as a circuit: every node's volts and every branch's amperes.
//! A run of two conductors is one branch with the resistance there and back; node 0 is the return.
//! Not for: which parts of a boat are which branches (`network`).

use nalgebra::{Cholesky, DMatrix, DVector};

/// A resistance with a source in line with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// Node at its beginning.
    pub from: usize,
    /// Node at its end.
    pub to: usize,
    /// Resistance, above zero \[ohm\].
    pub resistance_ohm: f64,
    /// Source that drives current from beginning to end \[V\].
    pub emf_v: f64,
}

/// Nodes 0 (the return) to `nodes - 1` and what lies between them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Circuit {
    /// How many nodes.
    pub nodes: usize,
    /// What lies between them.
    pub branches: Vec<Branch>,
    /// Currents pushed into nodes out of the return \[A\]: node and current.
    pub pushed: Vec<(usize, f64)>,
}

/// Volts and currents.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Of each node above the return \[V\].
    pub node_v: Vec<f64>,
    /// Of each branch, from its beginning to its end \[A\].
    pub branch_a: Vec<f64>,
    /// Into the fault, where there is one \[A\].
    pub fault_a: f64,
}

/// There is no honest solution.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CircuitError {
    /// A node hangs in the air.
    #[error("part {0} of the network is joined to no source and no return")]
    Adrift(usize),
    /// A branch without a resistance that can be.
    #[error("branch {0} has a resistance that cannot be; it must be above zero")]
    Resistance(usize),
}

impl Circuit {
    /// Solves it: `sum over branches (V_k - V_j - E) / R = pushed current` at each node but the return.
    /// # Source
    /// Kirchhoff's laws, nodal analysis; textbook. The matrix is symmetric and positive definite once every node
    /// hangs on the return by some way.
    /// # Valid for
    /// Steady direct current, linear branches.
    /// # Accuracy
    /// The currents of each node add up to 1e-9 A where resistances lie within six decades.
    /// # Errors
    /// [`CircuitError`].
    /// # Example
    /// By hand: 12 V behind 1 ohm on 2 ohm: 4 A, 8 V.
    /// ```
    /// # use wakewright_core::wiring::{Branch, Circuit};
    /// let mut circuit = Circuit { nodes: 2, ..Circuit::default() };
    /// circuit.branches.push(Branch { from: 0, to: 1, resistance_ohm: 1.0, emf_v: 12.0 });
    /// circuit.branches.push(Branch { from: 1, to: 0, resistance_ohm: 2.0, emf_v: 0.0 });
    /// let found = circuit.solve().unwrap();
    /// assert!((found.branch_a[1] - 4.0).abs() < 1e-12 && (found.node_v[1] - 8.0).abs() < 1e-12);
    /// ```
    pub fn solve(&self) -> Result<Solution, CircuitError> {
        self.solve_with(None)
    }

    /// The same with `node` tied to the return by a bolted fault.
    /// # Errors
    /// As [`Self::solve`].
    pub fn solve_shorted(&self, node: usize) -> Result<Solution, CircuitError> {
        self.solve_with(Some(node))
    }

    fn solve_with(&self, shorted: Option<usize>) -> Result<Solution, CircuitError> {
        let is_return = |node: usize| node == 0 || Some(node) == shorted;
        if let Some(bad) =
            self.branches.iter().position(|b| !(b.resistance_ohm > 0.0 && b.resistance_ohm < 1e12))
        {
            return Err(CircuitError::Resistance(bad));
        }
        let mut joined: Vec<bool> = (0..self.nodes).map(is_return).collect();
        let mut is_growing = true;
        while is_growing {
            is_growing = false;
            for branch in &self.branches {
                if joined[branch.from] != joined[branch.to] {
                    (joined[branch.from], joined[branch.to], is_growing) = (true, true, true);
                }
            }
        }
        if let Some(adrift) = joined.iter().position(|joined| !joined) {
            return Err(CircuitError::Adrift(adrift));
        }
        let mut place = vec![usize::MAX; self.nodes];
        let mut unknowns = 0;
        for node in (0..self.nodes).filter(|node| !is_return(*node)) {
            place[node] = unknowns;
            unknowns += 1;
        }
        let mut node_v = vec![0.0; self.nodes];
        if unknowns > 0 {
            let volts = self.volts_of(&place, unknowns).ok_or(CircuitError::Resistance(0))?;
            for node in (0..self.nodes).filter(|node| place[*node] != usize::MAX) {
                node_v[node] = volts[place[node]];
            }
        }
        let current = |b: &Branch| (node_v[b.from] - node_v[b.to] + b.emf_v) / b.resistance_ohm;
        let branch_a: Vec<f64> = self.branches.iter().map(current).collect();
        let into = |node: usize| {
            let flows =
                self.branches.iter().zip(&branch_a).map(|(b, amperes)| {
                    f64::from(i8::from(b.to == node) - i8::from(b.from == node)) * amperes
                });
            flows.sum::<f64>() + self.pushed.iter().filter(|(at, _)| *at == node).map(|(_, a)| a).sum::<f64>()
        };
        let fault_a = shorted.map_or(0.0, into);
        Ok(Solution { node_v, branch_a, fault_a })
    }

    /// Volts of the unknown nodes; a step of refinement takes out what rounding left.
    fn volts_of(&self, place: &[usize], unknowns: usize) -> Option<DVector<f64>> {
        let mut conductances = DMatrix::<f64>::zeros(unknowns, unknowns);
        let mut currents = DVector::<f64>::zeros(unknowns);
        for branch in &self.branches {
            let g = 1.0 / branch.resistance_ohm;
            let (from, to) = (place[branch.from], place[branch.to]);
            for (one, other, sign) in [(from, to, -1.0), (to, from, 1.0)] {
                if one == usize::MAX || from == to {
                    continue;
                }
                conductances[(one, one)] += g;
                currents[one] += sign * g * branch.emf_v;
                if other != usize::MAX {
                    conductances[(one, other)] -= g;
                }
            }
        }
        for (node, amperes) in self.pushed.iter().filter(|(node, _)| place[*node] != usize::MAX) {
            currents[place[*node]] += amperes;
        }
        let factors = Cholesky::new(conductances.clone())?;
        let volts = factors.solve(&currents);
        let left = &currents - &conductances * &volts;
        Some(volts + factors.solve(&left))
    }
}
