//! What is lost with what: the smallest sets of one or two failed parts that take something away.
//! Not for: how likely a part fails.

use super::harness::{CHARGER, CONTROLLER, Harness};
use super::network::Network;

#[derive(Debug)]
/// Something that the boat does, and the places in the network that do it.
pub struct Duty {
    /// In words.
    pub words: &'static str,
    /// Names of the nodes, any of which does it.
    pub nodes: &'static [&'static str],
}

/// What may be lost. A place of another name that the document gives is looked for by these words.
pub static DUTIES: [Duty; 4] = [
    Duty { words: "thrust", nodes: &[CONTROLLER] },
    Duty {
        words: "navigation lights and radio",
        nodes: &["radio", "navigation lights", "lights", "house", "12 v"],
    },
    Duty { words: "bilge pump", nodes: &["bilge pump", "pump", "house", "12 v"] },
    Duty { words: "charging", nodes: &[CHARGER, "panels"] },
];

/// What takes a duty away.
#[derive(Debug, Clone, PartialEq)]
pub struct Lost {
    /// The duty.
    pub duty: &'static str,
    /// The parts, one or two.
    pub parts: Vec<String>,
}

/// A part that can fail, and the runs that open with it; `pack` for a pack.
struct Part {
    name: String,
    runs: Vec<usize>,
    pack: Option<usize>,
}

/// Every smallest set of one or two parts that takes a duty away. Duties of which the document has no place are left out.
#[must_use]
pub fn lost(harness: &Harness, network: &Network) -> Vec<Lost> {
    let parts = parts_of(harness, network);
    let mut found = Vec::new();
    for duty in &DUTIES {
        let Some(node) = duty.nodes.iter().find_map(|name| network.node(name)) else { continue };
        let is_lost = |failed: &[&Part]| !is_fed(harness, network, failed, node, 0);
        let alone: Vec<bool> = parts.iter().map(|part| is_lost(&[part])).collect();
        let name = |of: &[&Part]| of.iter().map(|part| part.name.clone()).collect();
        let singles = parts.iter().zip(&alone).filter(|(_, alone)| **alone);
        found.extend(singles.map(|(part, _)| Lost { duty: duty.words, parts: name(&[part]) }));
        for (first, a) in parts.iter().enumerate().filter(|(place, _)| !alone[*place]) {
            for (b, _) in parts.iter().zip(&alone).skip(first + 1).filter(|(_, alone)| !**alone) {
                if is_lost(&[a, b]) {
                    found.push(Lost { duty: duty.words, parts: name(&[a, b]) });
                }
            }
        }
    }
    found
}

fn parts_of(harness: &Harness, network: &Network) -> Vec<Part> {
    let runs_of = |cable: usize| -> Vec<usize> {
        (0..network.runs.len()).filter(|run| network.runs[*run].cable == cable).collect()
    };
    let mut parts: Vec<Part> = (0..network.packs)
        .map(|pack| Part { name: network.names[pack + 1].clone(), runs: Vec::new(), pack: Some(pack) })
        .collect();
    // A cable of each pack has as many fuses; one of them fails, not all.
    let one_each = |name: &str, cable: usize| -> Vec<Part> {
        let runs = runs_of(cable);
        let many = runs.len() > 1;
        let named = |run: usize| match network.runs[run].pack {
            Some(pack) if many => format!("{name} of {}", network.names[pack + 1]),
            _ => name.to_owned(),
        };
        runs.iter().map(|run| Part { name: named(*run), runs: vec![*run], pack: None }).collect()
    };
    for (place, cable) in harness.cables.iter().enumerate() {
        parts.extend(one_each(&cable.name, place));
    }
    let cables = parts.len();
    for fuse in &harness.fuses {
        parts.extend(one_each(&fuse.name, fuse.cable));
    }
    let fuses = parts.len();
    for contactor in &harness.contactors {
        parts.extend(one_each(&contactor.name, contactor.cable));
    }
    // A run and what stands in it are often called alike.
    let names: Vec<String> = parts.iter().map(|part| part.name.clone()).collect();
    for (place, part) in parts.iter_mut().enumerate().skip(network.packs) {
        if names.iter().filter(|name| **name == part.name).count() > 1 {
            part.name += match place {
                cable if cable < cables => " (cable)",
                fuse if fuse < fuses => " (fuse)",
                _ => CONTACTOR_OF_A_NAME,
            };
        }
    }
    parts
}

/// Behind the name of a contactor that is called as its run or fuse is.
pub const CONTACTOR_OF_A_NAME: &str = " (contactor)";

/// Whether `node` still hangs on a pack; a contactor whose coil is not fed opens as well.
fn is_fed(harness: &Harness, network: &Network, failed: &[&Part], node: usize, depth: usize) -> bool {
    /// Coils that are fed through each other; deeper ones count as fed.
    const DEEPEST: usize = 3;
    let is_open = |run: usize| {
        failed.iter().any(|part| part.runs.contains(&run))
            || (depth < DEEPEST
                && harness.contactors.iter().filter(|c| c.cable == network.runs[run].cable).any(
                    |contactor| {
                        let coil = contactor.coil_from.as_deref().and_then(|name| network.node(name));
                        coil.is_some_and(|coil| {
                            coil != node && !is_fed(harness, network, failed, coil, depth + 1)
                        })
                    },
                ))
    };
    let open: Vec<bool> = (0..network.runs.len()).map(is_open).collect();
    let mut fed: Vec<bool> = (0..network.names.len())
        .map(|at| (1..=network.packs).contains(&at) && !failed.iter().any(|part| part.pack == Some(at - 1)))
        .collect();
    let mut is_growing = true;
    while is_growing {
        is_growing = false;
        for (run, _) in network.runs.iter().zip(&open).filter(|(_, open)| !**open) {
            if fed[run.from] != fed[run.to] {
                (fed[run.from], fed[run.to], is_growing) = (true, true, true);
            }
        }
    }
    // A lost pack's terminals hang on the others' busbar, which feeds them too; only the place asked for counts.
    fed[node]
}
