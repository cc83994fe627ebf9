//! How the moon's node and perigee raise, lower and shift each constituent over the years: one set of formulas for
//! constants of the US office, another for those of all others. Constants go with the set they were found by.

use super::astronomy::Longitudes;

/// Which formulas the constants of a port were found by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NodalSet {
    /// Schureman's, as the US office uses.
    Schureman,
    /// Those of the list of the International Hydrographic Organization.
    Iho,
}

/// A constituent whose nodal formula others are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the definition")]
pub enum Node {
    Mm,
    Mf,
    O1,
    K1,
    J1,
    Oo1,
    M1,
    M2,
    L2,
    K2,
    M3,
}

impl Node {
    /// All, in the order of their numbers.
    pub const ALL: [Self; 11] = [
        Self::Mm,
        Self::Mf,
        Self::O1,
        Self::K1,
        Self::J1,
        Self::Oo1,
        Self::M1,
        Self::M2,
        Self::L2,
        Self::K2,
        Self::M3,
    ];
}

/// What is done to a constituent: amplitude times `factor`, argument plus `shift_rad`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nodal {
    /// Factor f.
    pub factor: f64,
    /// Shift u \[rad\].
    pub shift_rad: f64,
}

/// Nodal factor and shift of one of the constituents that others are made of, by Schureman's formulas.
///
/// From the inclination I of the moon's orbit to the equator, `cos I = cos i cos w - sin i sin w cos N`, and the
/// longitudes xi and nu of its crossing: `f(M2) = cos^4(I/2)/0.9154`, `u(M2) = 2 xi - 2 nu`;
/// `f(K1) = sqrt(0.8965 sin^2 2I + 0.6001 sin 2I cos nu + 0.1006)`, `u(K1) = -nu'`; and so on, with
/// w = 23.452 deg (ecliptic), i = 5.145 deg (orbit), P = p - xi.
/// # Source
/// \[schureman1958\] table 2 and formulas 73 to 235, from memory; checked against an independent program
/// (`reference/tide/schureman1958_nodal.csv`: f within 0.0005, u within 0.05 deg) and, through heights, official
/// waters. M1: V without p goes with `u = xi - nu + Q`, `tan Q = 0.483 tan P`.
/// # Valid for
/// Source states no range; the tide asks for 1900 to 2100.
/// # Accuracy
/// Not published. Shift is positive where the constituent comes early.
/// # Example
/// Where the node stands at nought I is the sum w + i = 28.597 deg, and cos^4(14.2985 deg)/0.9154 = 0.9633:
/// ```
/// use wakewright_core::tide::astronomy::mean_longitudes_meeus1998;
/// use wakewright_core::tide::nodal::{Node, nodal_schureman1958};
/// let mut at = mean_longitudes_meeus1998(0.0);
/// at.node_rad = 0.0;
/// let m2 = nodal_schureman1958(Node::M2, &at);
/// assert!((m2.factor - 0.9633).abs() < 1e-4 && m2.shift_rad.abs() < 1e-12);
/// ```
#[must_use]
pub fn nodal_schureman1958(node: Node, at: &Longitudes) -> Nodal {
    let (obliquity, orbit) = (23.452_f64.to_radians(), 5.145_f64.to_radians());
    let n = at.node_rad.sin().atan2(at.node_rad.cos());
    let inclination = (orbit.cos() * obliquity.cos() - orbit.sin() * obliquity.sin() * n.cos()).acos();
    let (half_less, half_more) = ((obliquity - orbit) / 2.0, (obliquity + orbit) / 2.0);
    let half = (n / 2.0).tan();
    let first = (half_less.cos() / half_more.cos() * half).atan() - n / 2.0;
    let second = (half_less.sin() / half_more.sin() * half).atan() - n / 2.0;
    let (xi, nu) = (-(first + second), first - second);
    let (sin_i, cos_half) = (inclination.sin(), (inclination / 2.0).cos());
    let sin_2i = (2.0 * inclination).sin();
    let p = at.perigee_rad - xi;
    let m2 = Nodal { factor: cos_half.powi(4) / 0.9154, shift_rad: 2.0 * (xi - nu) };
    let o1_factor = sin_i * cos_half.powi(2) / 0.3800;
    let (factor, shift_rad) = match node {
        Node::Mm => ((2.0 / 3.0 - sin_i * sin_i) / 0.5021, 0.0),
        Node::Mf => (sin_i * sin_i / 0.1578, -2.0 * xi),
        Node::O1 => (o1_factor, 2.0 * xi - nu),
        Node::J1 => (sin_2i / 0.7214, -nu),
        Node::Oo1 => (sin_i * (inclination / 2.0).sin().powi(2) / 0.0164, -2.0 * xi - nu),
        Node::K1 => (
            (0.8965 * sin_2i * sin_2i + 0.6001 * sin_2i * nu.cos() + 0.1006).sqrt(),
            -(sin_2i * nu.sin()).atan2(sin_2i * nu.cos() + 0.3347),
        ),
        Node::K2 => (
            (19.0444 * sin_i.powi(4) + 2.7702 * sin_i * sin_i * (2.0 * nu).cos() + 0.0981).sqrt(),
            -(sin_i * sin_i * (2.0 * nu).sin()).atan2(sin_i * sin_i * (2.0 * nu).cos() + 0.0727),
        ),
        Node::M2 => (m2.factor, m2.shift_rad),
        Node::M3 => (m2.factor.powf(1.5), 1.5 * m2.shift_rad),
        Node::L2 => {
            let tan2 = (inclination / 2.0).tan().powi(2);
            let size = (1.0 - 12.0 * tan2 * (2.0 * p).cos() + 36.0 * tan2 * tan2).sqrt();
            let r = (2.0 * p).sin().atan2(1.0 / (6.0 * tan2) - (2.0 * p).cos());
            (m2.factor * size, m2.shift_rad - r)
        }
        Node::M1 => {
            let q = (0.483 * p.sin()).atan2(p.cos());
            (o1_factor * (2.310 + 1.435 * (2.0 * p).cos()).sqrt(), xi - nu + q)
        }
    };
    Nodal { factor, shift_rad }
}

/// Nodal factor and shift of one of the constituents that others are made of, by the list of the International
/// Hydrographic Organization.
///
/// Series in the node N and, for L2 and M1, the perigee p: `f(M2) = 1.0007 - 0.0373 cos N + 0.0002 cos 2N`,
/// `u(M2) = -2.14 sin N` degrees, and so on.
/// # Source
/// \[iho2017\] annex A, read in an independent copy; checked as the other set. OO1 as K2 less Q1, M3 as M2 to 3/2.
/// # Valid for
/// Source states no range; the tide asks for 1900 to 2100.
/// # Accuracy
/// Against the other set: M2 0.0005, K1 0.0001, O1 0.008; J1, Mf, Mm, OO1 have another mean on purpose (to 0.21).
/// # Example
/// At N = 90 deg: 1.0007 - 0.0002 = 1.0005, and -2.14 deg:
/// ```
/// use wakewright_core::tide::astronomy::mean_longitudes_meeus1998;
/// use wakewright_core::tide::nodal::{Node, nodal_iho2017};
/// let mut at = mean_longitudes_meeus1998(0.0);
/// at.node_rad = std::f64::consts::FRAC_PI_2;
/// let m2 = nodal_iho2017(Node::M2, &at);
/// assert!((m2.factor - 1.0005).abs() < 1e-9 && (m2.shift_rad.to_degrees() + 2.14).abs() < 1e-9);
/// ```
#[must_use]
pub fn nodal_iho2017(node: Node, at: &Longitudes) -> Nodal {
    let (n, p) = (at.node_rad, at.perigee_rad);
    let series = |f: [f64; 4], u_deg: [f64; 3]| Nodal {
        factor: (0..4).map(|k| f[k] * (k as f64 * n).cos()).sum(),
        shift_rad: (0..3).map(|k| u_deg[k] * ((k + 1) as f64 * n).sin()).sum::<f64>().to_radians(),
    };
    match node {
        Node::Mm => Nodal {
            factor: 1.0 - 0.1311 * n.cos() + 0.0538 * (2.0 * p).cos() + 0.0205 * (2.0 * p - n).cos(),
            shift_rad: 0.0,
        },
        Node::Mf => series([1.084, 0.415, 0.039, 0.0], [-23.7, 2.7, -0.4]),
        Node::O1 => series([1.0176, 0.1871, -0.0147, 0.0], [10.80, -1.34, 0.19]),
        Node::K1 => series([1.0060, 0.1150, -0.0088, 0.0006], [-8.86, 0.68, -0.07]),
        Node::J1 => series([1.1029, 0.1676, -0.0170, 0.0016], [-12.94, 1.34, -0.19]),
        Node::M2 => series([1.0007, -0.0373, 0.0002, 0.0], [-2.14, 0.0, 0.0]),
        Node::K2 => series([1.0246, 0.2863, 0.0083, -0.0015], [-17.74, 0.68, -0.04]),
        Node::Oo1 => {
            let (k2, o1) = (nodal_iho2017(Node::K2, at), nodal_iho2017(Node::O1, at));
            Nodal { factor: k2.factor * o1.factor, shift_rad: k2.shift_rad - o1.shift_rad }
        }
        Node::M3 => {
            let m2 = nodal_iho2017(Node::M2, at);
            Nodal { factor: m2.factor.powf(1.5), shift_rad: 1.5 * m2.shift_rad }
        }
        Node::L2 => {
            let arguments = [2.0 * p, 2.0 * p - n, 2.0 * p - 2.0 * n, n];
            let sizes = [0.2505, 0.1102, 0.0156, 0.037];
            let sum =
                |of: fn(f64) -> f64| -> f64 { arguments.iter().zip(sizes).map(|(a, s)| s * of(*a)).sum() };
            let (up, along) = (-sum(f64::sin), 1.0 - sum(f64::cos));
            Nodal { factor: up.hypot(along), shift_rad: up.atan2(along) }
        }
        Node::M1 => {
            let (up, along) = (p.sin() + 0.2 * (p - n).sin(), 2.0 * (p.cos() + 0.2 * (p - n).cos()));
            Nodal { factor: up.hypot(along), shift_rad: up.atan2(along) }
        }
    }
}

/// Every node at one instant.
#[derive(Debug, Clone, Copy)]
pub(super) struct Nodes([Nodal; Node::ALL.len()]);

impl Nodes {
    pub(super) fn at(set: NodalSet, at: &Longitudes) -> Self {
        Self(Node::ALL.map(|node| match set {
            NodalSet::Schureman => nodal_schureman1958(node, at),
            NodalSet::Iho => nodal_iho2017(node, at),
        }))
    }

    /// Of one: all factors multiplied, all shifts added with their signs.
    pub(super) fn of(&self, parts: &[(Node, i8)]) -> Nodal {
        let mut whole = Nodal { factor: 1.0, shift_rad: 0.0 };
        for &(node, times) in parts {
            let one = self.0[node as usize];
            whole.factor *= one.factor.powi(i32::from(times.abs()));
            whole.shift_rad += one.shift_rad * f64::from(times);
        }
        whole
    }
}
