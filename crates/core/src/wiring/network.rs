//! Packs, runs and what hangs on them as one circuit: which current a short circuit draws where, and what the runs
//! together resist. Not for: judging it (`rules`).

use super::circuit::{Branch, Circuit, CircuitError, Solution};
use super::conductor::run_resistance_ohm;
use super::harness::{Cable, Harness, PACK};
use super::size::Size;

/// Copper at which resistances count where nothing else is said \[°C\].
pub const COOL_C: f64 = 20.0;

/// A pack as the circuit sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// Volts at rest \[V\].
    pub emf_v: f64,
    /// Resistance \[ohm\].
    pub resistance_ohm: f64,
}

/// A run in the circuit; one of each pack where its cable begins at the packs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// Place of its cable.
    pub cable: usize,
    /// The pack whose run it is.
    pub pack: Option<usize>,
    /// Node at its beginning.
    pub from: usize,
    /// Node at its end.
    pub to: usize,
}

/// Copper and joints of an occasion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Copper {
    /// Temperature of the copper \[°C\].
    pub copper_c: f64,
    /// What lugs, fuse and switch of each run add \[ohm\].
    pub joints_ohm: f64,
}

/// Cool copper without joints: what the greatest fault sees.
pub const COOL: Copper = Copper { copper_c: COOL_C, joints_ohm: 0.0 };
/// Warm copper with joints: what the load and the least fault see. Joints from memory: two lugs, a fuse, a contact.
pub const WARM: Copper = Copper { copper_c: 60.0, joints_ohm: 0.5e-3 };

/// Names of nodes and the runs between them. Node 0 is the return.
#[derive(Debug, Clone, PartialEq)]
pub struct Network {
    /// Names, lower case; the first is the return's.
    pub names: Vec<String>,
    /// Runs that carry direct current.
    pub runs: Vec<Run>,
    /// Number of packs; their terminals are nodes 1 to this.
    pub packs: usize,
}

/// A pack's name, counted from 1.
fn pack_name(number: usize) -> String {
    format!("{PACK} {number}")
}

impl Network {
    /// Joins the runs of `harness` for so many packs; the motor's leads are left out, they carry no direct current.
    #[must_use]
    pub fn of(harness: &Harness, packs: usize) -> Self {
        let mut network = Self { names: vec!["return".to_owned()], runs: Vec::new(), packs };
        network.names.extend((1..=packs).map(pack_name));
        for (place, cable) in harness.cables.iter().enumerate() {
            if cable.service == super::harness::Service::Phase {
                continue;
            }
            if cable.from == PACK {
                for pack in 0..packs {
                    let to = network.node_or_new(&cable.to);
                    network.runs.push(Run { cable: place, pack: Some(pack), from: pack + 1, to });
                }
            } else {
                let from = network.node_or_new(&cable.from);
                let to = network.node_or_new(&cable.to);
                network.runs.push(Run { cable: place, pack: None, from, to });
            }
        }
        network
    }

    fn node_or_new(&mut self, name: &str) -> usize {
        self.node(name).unwrap_or_else(|| {
            self.names.push(name.to_owned());
            self.names.len() - 1
        })
    }

    /// The node of this name.
    #[must_use]
    pub fn node(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|known| known == name)
    }

    /// The circuit with these packs (`None`: switched off), without the runs that `is_open` says.
    #[must_use]
    pub fn circuit(
        &self,
        harness: &Harness,
        sources: &[Option<Source>],
        copper: Copper,
        is_open: impl Fn(usize) -> bool,
    ) -> Circuit {
        let mut branches = Vec::with_capacity(self.packs + self.runs.len());
        for (pack, source) in sources.iter().enumerate() {
            if let Some(source) = source {
                let (emf_v, resistance_ohm) = (source.emf_v, source.resistance_ohm);
                branches.push(Branch { from: 0, to: pack + 1, resistance_ohm, emf_v });
            }
        }
        for (place, run) in self.runs.iter().enumerate() {
            // An open run keeps its place and carries nothing that counts.
            let resistance_ohm =
                if is_open(place) { OPEN_OHM } else { run_ohm(&harness.cables[run.cable], copper) };
            branches.push(Branch { from: run.from, to: run.to, resistance_ohm, emf_v: 0.0 });
        }
        Circuit { nodes: self.names.len(), branches, pushed: Vec::new() }
    }

    /// Current of a run in a solution of a circuit with so many packs that were on.
    #[must_use]
    pub fn run_a(&self, solution: &Solution, packs_on: usize, run: usize) -> f64 {
        solution.branch_a[packs_on + run]
    }

    /// What all runs together resist between the packs and `node` \[ohm\]: the drop of 1 A less that in the packs.
    /// # Errors
    /// As [`Circuit::solve`].
    pub fn loop_ohm(
        &self,
        harness: &Harness,
        packs_ohm: &[f64],
        node: usize,
        copper: Copper,
    ) -> Result<f64, CircuitError> {
        let source = |ohm: &f64| Some(Source { emf_v: 0.0, resistance_ohm: *ohm });
        let sources: Vec<Option<Source>> = packs_ohm.iter().map(source).collect();
        let mut circuit = self.circuit(harness, &sources, copper, |_| false);
        circuit.pushed.push((node, -1.0));
        let solution = circuit.solve()?;
        let conductance: f64 = packs_ohm.iter().map(|ohm| 1.0 / ohm).sum();
        Ok(-solution.node_v[node] - 1.0 / conductance)
    }
}

/// Loop of a run of this size at working temperature with its joints \[ohm\]; of motor leads two of three carry at any moment.
pub(super) fn warm_ohm(cable: &Cable, size: Size) -> f64 {
    sized_ohm(cable, size, WARM)
}

fn sized_ohm(cable: &Cable, size: Size, copper: Copper) -> f64 {
    run_resistance_ohm(size, cable.strand, cable.length_m, copper.copper_c) + copper.joints_ohm
}

/// Resistance that counts as open \[ohm\].
const OPEN_OHM: f64 = 1e9;

/// Resistance of a run \[ohm\]: of its size, else as it is known, else of the size that carries little.
fn run_ohm(cable: &Cable, copper: Copper) -> f64 {
    match (cable.size, cable.loop_ohm) {
        (Some(size), _) => sized_ohm(cable, size, copper),
        (None, Some(ohm)) => ohm,
        (None, None) => cable.length_m * UNKNOWN_OHM_M + copper.joints_ohm,
    }
}

/// Loop of a run of unknown size for each metre of length: that of 35 mm² \[ohm/m\]. Judgement.
const UNKNOWN_OHM_M: f64 = 1.13e-3;
