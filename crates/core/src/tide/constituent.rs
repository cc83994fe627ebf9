//! The constituents by name: which multiples of lunar time, moon, sun, perigee, node and perihelion each is, and which
//! nodal formulas it takes. One name does not mean the same to every office; where what one means by it is not
//! established the constituent is left out, and its size is told.

use super::nodal::Node;

/// Whose constants they are, as far as names differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Office {
    /// The US office.
    Us,
    /// The Norwegian office.
    Norway,
    /// The worldwide collection of gauges.
    Collection,
}

/// A constituent.
#[derive(Debug, Clone, PartialEq)]
pub struct Constituent {
    /// Multiples of lunar time, moon, sun, perigee, node backwards, perihelion.
    pub doodson: [i8; 6],
    /// Quarter turns added.
    pub quarters: i8,
    /// Nodal formulas with their powers.
    pub nodes: Vec<(Node, i8)>,
}

use Node::{J1, K1, K2, L2, M1, M2, M3, Mf, Mm, O1, Oo1};

type Simple = (&'static str, [i8; 6], i8, &'static [(Node, i8)]);

/// Arguments from \[iho2017\]; the annual one with h, not h - p' (\[schureman1958\], and the Norwegian the other way); M1
/// without p, which goes with Schureman's shift; M3 with half a turn, as the official rates of five currents have it; nodal formula of MSf and its like that of M2 backwards.
#[rustfmt::skip]
static SIMPLE: [Simple; 51] = [
    ("SA", [0, 0, 1, 0, 0, 0], 0, &[]),
    ("SA_KV", [0, 0, 1, 0, 0, -1], 0, &[]),
    ("SSA", [0, 0, 2, 0, 0, 0], 0, &[]),
    ("MM", [0, 1, 0, -1, 0, 0], 0, &[(Mm, 1)]),
    ("MSF", [0, 2, -2, 0, 0, 0], 0, &[(M2, -1)]),
    ("MF", [0, 2, 0, 0, 0, 0], 0, &[(Mf, 1)]),
    ("MTM", [0, 3, 0, -1, 0, 0], 0, &[(Mf, 1)]),
    ("MSQM", [0, 4, -2, 0, 0, 0], 0, &[(M2, -1)]),
    ("2Q1", [1, -3, 0, 2, 0, 0], -1, &[(O1, 1)]),
    ("SIGMA1", [1, -3, 2, 0, 0, 0], -1, &[(O1, 1)]),
    ("Q1", [1, -2, 0, 1, 0, 0], -1, &[(O1, 1)]),
    ("RHO1", [1, -2, 2, -1, 0, 0], -1, &[(O1, 1)]),
    ("O1", [1, -1, 0, 0, 0, 0], -1, &[(O1, 1)]),
    ("TAU1", [1, -1, 2, 0, 0, 0], 1, &[(K1, 1)]),
    ("M1", [1, 0, 0, 0, 0, 0], 1, &[(M1, 1)]),
    ("CHI1", [1, 0, 2, -1, 0, 0], 1, &[(J1, 1)]),
    ("PI1", [1, 1, -3, 0, 0, 1], -1, &[]),
    ("P1", [1, 1, -2, 0, 0, 0], -1, &[]),
    ("S1", [1, 1, -1, 0, 0, 0], 2, &[]),
    ("K1", [1, 1, 0, 0, 0, 0], 1, &[(K1, 1)]),
    ("PSI1", [1, 1, 1, 0, 0, -1], 1, &[]),
    ("PHI1", [1, 1, 2, 0, 0, 0], 1, &[(J1, 1)]),
    ("THETA1", [1, 2, -2, 1, 0, 0], 1, &[(J1, 1)]),
    ("J1", [1, 2, 0, -1, 0, 0], 1, &[(J1, 1)]),
    ("OO1", [1, 3, 0, 0, 0, 0], 1, &[(Oo1, 1)]),
    ("EPS2", [2, -3, 2, 1, 0, 0], 0, &[(M2, 1)]),
    ("2N2", [2, -2, 0, 2, 0, 0], 0, &[(M2, 1)]),
    ("MU2", [2, -2, 2, 0, 0, 0], 0, &[(M2, 1)]),
    ("N2", [2, -1, 0, 1, 0, 0], 0, &[(M2, 1)]),
    ("NU2", [2, -1, 2, -1, 0, 0], 0, &[(M2, 1)]),
    ("MA2", [2, 0, -1, 0, 0, 0], 0, &[]),
    ("ALPHA2", [2, 0, -1, 0, 0, 1], 2, &[]),
    ("M2", [2, 0, 0, 0, 0, 0], 0, &[(M2, 1)]),
    ("MB2", [2, 0, 1, 0, 0, 0], 0, &[]),
    ("M(KS)2", [2, 0, 1, 0, 0, -1], 0, &[]),
    ("LAMBDA2", [2, 1, -2, 1, 0, 0], 2, &[(M2, 1)]),
    ("L2", [2, 1, 0, -1, 0, 0], 2, &[(L2, 1)]),
    ("T2", [2, 2, -3, 0, 0, 1], 0, &[]),
    ("S2", [2, 2, -2, 0, 0, 0], 0, &[]),
    ("R2", [2, 2, -1, 0, 0, -1], 2, &[]),
    ("K2", [2, 2, 0, 0, 0, 0], 0, &[(K2, 1)]),
    ("M3", [3, 0, 0, 0, 0, 0], 2, &[(M3, 1)]),
    ("ETA2", [2, 3, 0, -1, 0, 0], 0, &[(K1, 1), (J1, 1)]),
    ("LAM2", [2, 1, -2, 1, 0, 0], 2, &[(M2, 1)]),
    ("RHO", [1, -2, 2, -1, 0, 0], -1, &[(O1, 1)]),
    ("SGM", [1, -3, 2, 0, 0, 0], -1, &[(O1, 1)]),
    ("EP2", [2, -3, 2, 1, 0, 0], 0, &[(M2, 1)]),
    ("KJ2", [2, 3, 0, -1, 0, 0], 2, &[(K1, 1), (J1, 1)]),
    ("2SM2", [2, 4, -4, 0, 0, 0], 0, &[(M2, -1)]),
    ("2MK3", [3, -1, 0, 0, 0, 0], -1, &[(M2, 2), (K1, -1)]),
    ("SO1", [1, 3, -2, 0, 0, 0], 1, &[(O1, -1)]),
];

/// Those of shallow water: sums of the others, by the rule of names of \[iho2017\]; K is K2 in even species.
static COMPOUND: &str = "\
    MP1=M2-P1 2PO1=P1+P1-O1 TK1=T2-K1 RP1=R2-P1 KP1=K2-P1 MSN2=M2+S2-N2 MNS2=M2+N2-S2 OP2=O1+P1 \
    MKS2=M2+K2-S2 2NS2=N2+N2-S2 MLN2S2=M2+L2+N2-S2-S2 2ML2S2=M2+M2+L2-S2-S2 SKM2=S2+K2-M2 \
    2MS2K2=M2+M2+S2-K2-K2 MKL2S2=M2+K2+L2-S2-S2 M2KS2=M2+K2+K2-S2-S2 2SNMK2=S2+S2+N2-M2-K2 \
    2KMSN2=K2+K2+M2-S2-N2 MO3=M2+O1 SO3=S2+O1 MK3=M2+K1 SK3=S2+K1 NO3=N2+O1 MN4=M2+N2 M4=M2+M2 \
    SN4=S2+N2 MS4=M2+S2 MK4=M2+K2 S4=S2+S2 SK4=S2+K2 N4=N2+N2 2MLS4=M2+M2+L2-S2 3MS4=M2+M2+M2-S2 \
    ML4=M2+L2 SL4=S2+L2 2MK5=M2+M2+K1 2SK5=S2+S2+K1 MNO5=M2+N2+O1 2MO5=M2+M2+O1 MSK5=M2+S2+K1 \
    3KM5=K1+K1+K1+M2 2MP5=M2+M2+P1 3MP5=M2+M2+M2-P1 MNK5=M2+N2+K1 2MN6=M2+M2+N2 M6=M2+M2+M2 \
    2MS6=M2+M2+S2 2MK6=M2+M2+K2 2SM6=S2+S2+M2 MSK6=M2+S2+K2 MSN6=M2+S2+N2 2NMLS6=N2+N2+M2+L2-S2 \
    2NM6=N2+N2+M2 MSL6=M2+S2+L2 2ML6=M2+M2+L2 2MLNS6=M2+M2+L2+N2-S2 3MLS6=M2+M2+M2+L2-S2 S6=S2+S2+S2 \
    3MK7=M2+M2+M2+K1 2MNO7=M2+M2+N2+O1 2NMK7=N2+N2+M2+K1 2MSO7=M2+M2+S2+O1 MSKO7=M2+S2+K2+O1 \
    M8=M2+M2+M2+M2 2MSN8=M2+M2+S2+N2 3MS8=M2+M2+M2+S2 2MS8=M2+M2+S2+S2 2MN8=M2+M2+N2+N2 \
    3MN8=M2+M2+M2+N2 2MSL8=M2+M2+S2+L2 4MLS8=M2+M2+M2+M2+L2-S2 3ML8=M2+M2+M2+L2 3MK8=M2+M2+M2+K2 \
    2MSK8=M2+M2+S2+K2 2M2NK9=M2+M2+N2+N2+K1 3MNK9=M2+M2+M2+N2+K1 4MK9=M2+M2+M2+M2+K1 \
    3MSK9=M2+M2+M2+S2+K1 4MN10=M2+M2+M2+M2+N2 M10=M2+M2+M2+M2+M2 3MNS10=M2+M2+M2+N2+S2 \
    4MS10=M2+M2+M2+M2+S2 3MSL10=M2+M2+M2+S2+L2 3M2S10=M2+M2+M2+S2+S2 4MSK11=M2+M2+M2+M2+S2+K1 \
    4MNS12=M2+M2+M2+M2+N2+S2 5MS12=M2+M2+M2+M2+M2+S2 4MSL12=M2+M2+M2+M2+S2+L2 \
    4M2S12=M2+M2+M2+M2+S2+S2 \
";

/// What is not established: an S1 and an M3 by another convention, M1 at
/// another angle, names of which nobody says which line they mean.
fn is_left_out(office: Office, name: &str) -> bool {
    match office {
        Office::Us => name == "OO2",
        Office::Norway => ["S1_KV", "OQ2_KV", "NO1", "M3", "ALP1", "BET1", "GAMMA2"].contains(&name),
        Office::Collection => ["M1", "S3", "T3", "R3", "3L2", "3N2"].contains(&name),
    }
}

/// The constituent that `office` calls `name`, capitals or not; none where it is not established which one that is.
#[must_use]
pub fn constituent(office: Office, name: &str) -> Option<Constituent> {
    let name = name.to_uppercase();
    if is_left_out(office, &name) { None } else { by_name(&name) }
}

fn by_name(name: &str) -> Option<Constituent> {
    if let Some((_, doodson, quarters, nodes)) = SIMPLE.iter().find(|simple| simple.0 == name) {
        return Some(Constituent { doodson: *doodson, quarters: *quarters, nodes: nodes.to_vec() });
    }
    let sum = COMPOUND.split_whitespace().find_map(|line| line.strip_prefix(name)?.strip_prefix('='))?;
    let mut whole = Constituent { doodson: [0; 6], quarters: 0, nodes: Vec::new() };
    for part in sum.replace('+', " ").replace('-', " -").split_whitespace() {
        let (times, part) = part.strip_prefix('-').map_or((1, part), |part| (-1, part));
        let one = by_name(part)?;
        for (into, from) in whole.doodson.iter_mut().zip(one.doodson) {
            *into += times * from;
        }
        whole.quarters += times * one.quarters;
        // Kept apart: shifts may cancel where factors do not.
        whole.nodes.extend(one.nodes.iter().map(|&(node, power)| (node, times * power)));
    }
    Some(whole)
}
