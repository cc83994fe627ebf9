//! Short circuits: the greatest that a fuse must break and the least that must still melt it, all out of the circuit.
//! Not for: what the fuse's sheet says to that (`judge`).

use super::harness::{CHARGER, CONTROLLER, Harness, PANELS};
use super::network::{COOL, Copper, Network, Source, WARM};
use crate::sheet::Interval;

/// The packs on an occasion, one source each.
pub type Packs = Vec<Source>;

/// The packs with which faults are reckoned.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultPacks {
    /// Full and warm: as they are taken, with the highest and with the lowest resistance that they may have.
    pub full: [Packs; 3],
    /// Cold and nearly empty, joints warm.
    pub weak: Packs,
    /// What a turning motor gives through its controller in the first instant, counted in the upper end alone \[A\].
    pub motor_a: f64,
}

/// Steady short-circuit current of such motors over their rated current, and the first instant over that. From memory.
const MOTOR_STEADY: f64 = 2.0;
const MOTOR_FIRST: f64 = 2.0;

/// Most that a turning magnet motor gives into a short circuit in the first instant \[A\], of its rated current: its windings'
/// inductance holds it, whatever the revolutions.
#[must_use]
pub fn motor_share_a(rated_a: f64) -> f64 {
    MOTOR_FIRST * MOTOR_STEADY * rated_a
}

/// A fault at one place.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultAt {
    /// Where.
    pub place: String,
    /// The greatest: all packs full and warm, the charger on \[A\].
    pub greatest: Interval,
    /// The same with one pack fewer \[A\]; of the packs' own terminals, that pack shorted and the others giving.
    pub one_fewer: Interval,
    /// The least: one pack, cold and nearly empty, warm runs \[A\].
    pub least_a: f64,
}

/// What a run's fuse meets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FuseFaces {
    /// The greatest \[A\].
    pub greatest: Interval,
    /// The least, at the far end of its run \[A\].
    pub least_a: f64,
}

/// Current into a bolted fault at `node` \[A\]; 0 where nothing feeds it. `is_on` says which packs are.
fn fault_a(
    (harness, network): (&Harness, &Network),
    (packs, motor_a): (&[Source], f64),
    copper: Copper,
    is_on: impl Fn(usize) -> bool,
    is_open: impl Fn(usize) -> bool,
    node: usize,
) -> f64 {
    solved((harness, network), (packs, motor_a), copper, is_on, is_open, node, None)
}

/// As [`fault_a`], but what flows through `run`, where one is named.
fn solved(
    (harness, network): (&Harness, &Network),
    (packs, motor_a): (&[Source], f64),
    copper: Copper,
    is_on: impl Fn(usize) -> bool,
    is_open: impl Fn(usize) -> bool,
    node: usize,
    run: Option<usize>,
) -> f64 {
    let on: Vec<Option<Source>> =
        packs.iter().enumerate().map(|(pack, source)| is_on(pack).then_some(*source)).collect();
    let packs_on = on.iter().flatten().count();
    let mut circuit = network.circuit(harness, &on, copper, is_open);
    if copper == COOL {
        let pushes = [(CHARGER, harness.charger_a), (PANELS, harness.panels_a), (CONTROLLER, Some(motor_a))];
        let places = pushes.into_iter().filter_map(|(place, amperes)| Some((network.node(place)?, amperes?)));
        circuit.pushed.extend(places);
    }
    let Ok(solution) = circuit.solve_shorted(node) else { return 0.0 };
    run.map_or(solution.fault_a, |run| network.run_a(&solution, packs_on, run).abs())
}

/// The value, and the lowest and highest, over three sets of packs, the last with the motor.
fn over(packs: &FaultPacks, of: impl Fn((&[Source], f64)) -> f64) -> Interval {
    let [usual, weaker, stronger] = &packs.full;
    let (value, low, high) = (of((usual, 0.0)), of((weaker, 0.0)), of((stronger, packs.motor_a)));
    Interval { p10: low.min(value), value, p90: high.max(value) }
}

/// Faults at every node but the return.
#[must_use]
pub fn faults(harness: &Harness, network: &Network, packs: &FaultPacks) -> Vec<FaultAt> {
    let both = (harness, network);
    let closed = |_: usize| false;
    let mut found = Vec::new();
    for node in 1..network.names.len() {
        let own = (node <= network.packs).then(|| node - 1);
        if own.is_some_and(|pack| pack > 0 && is_like_first(network, packs, pack)) {
            continue;
        }
        let greatest = over(packs, |sources| fault_a(both, sources, COOL, |_| true, closed, node));
        // At a pack's own terminals its own protection is what the others are held against.
        let left_out = own.unwrap_or(network.packs - 1);
        let one_fewer =
            over(packs, |sources| fault_a(both, sources, COOL, |pack| pack != left_out, closed, node));
        let least = (0..network.packs)
            .map(|alone| fault_a(both, (&packs.weak, 0.0), WARM, |pack| pack == alone, closed, node))
            .fold(f64::INFINITY, f64::min);
        let place = match own {
            Some(_) if network.packs > 1 => format!("{}'s own terminals", network.names[node]),
            _ => network.names[node].clone(),
        };
        found.push(FaultAt { place, greatest, one_fewer, least_a: least });
    }
    found
}

/// Whether a pack and its run are as the first: its row would say the same.
fn is_like_first(network: &Network, packs: &FaultPacks, pack: usize) -> bool {
    let cable = |of: usize| network.runs.iter().find(|run| run.from == of + 1).map(|run| run.cable);
    cable(pack) == cable(0) && packs.full[0][pack] == packs.full[0][0]
}

/// What fuses at either end of a cable meet: at the beginning and at the end. Right behind the fuse all that its side
/// gives flows through it; with a fault on its own side, all that the cable brings back: into a shorted pack its fuse
/// carries what all others give.
#[must_use]
pub fn fuse_faces(
    harness: &Harness,
    network: &Network,
    packs: &FaultPacks,
    cable: usize,
) -> Option<[FuseFaces; 2]> {
    let both = (harness, network);
    let runs: Vec<usize> = (0..network.runs.len()).filter(|run| network.runs[*run].cable == cable).collect();
    let mut faces = None;
    for run in runs {
        let (from, to) = (network.runs[run].from, network.runs[run].to);
        let at = |here: usize, there: usize| {
            let greatest = over(packs, |sources| {
                let behind = fault_a(both, sources, COOL, |_| true, |other| other == run, here);
                let back = solved(both, sources, COOL, |_| true, |_| false, here, Some(run));
                behind.max(back)
            });
            let own = network.runs[run].pack;
            let alone = |pack: usize| own.is_none_or(|own| own == pack);
            let least_a = (0..network.packs)
                .filter(|pack| alone(*pack))
                .map(|alone| {
                    solved(both, (&packs.weak, 0.0), WARM, |pack| pack == alone, |_| false, there, Some(run))
                })
                .fold(f64::INFINITY, f64::min);
            FuseFaces { greatest, least_a }
        };
        let found = [at(from, to), at(to, from)];
        let worse = |old: FuseFaces, new: FuseFaces| FuseFaces {
            greatest: if new.greatest.p90 > old.greatest.p90 { new.greatest } else { old.greatest },
            least_a: old.least_a.min(new.least_a),
        };
        faces = Some(faces.map_or(found, |[a, b]: [FuseFaces; 2]| [worse(a, found[0]), worse(b, found[1])]));
    }
    faces
}
