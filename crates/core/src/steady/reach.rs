//! What the drive can reach at the propeller shaft, whatever hull and propeller hang on it: the edge
//! of the region of shaft speed and torque, piece by piece with the limit that makes it.
//! Not for: what the propeller asks (`demand.rs`).

use super::limit::{Limit, Usage, tightest};
use super::prepared::PreparedBoat;
use crate::numeric::solve_bracketed;

/// A point of the propeller shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShaftPoint {
    /// Shaft speed \[rev/s\].
    pub shaft_rev_s: f64,
    /// Torque at the propeller \[N m\].
    pub torque_n_m: f64,
}

/// A piece of the edge that one limit makes.
#[derive(Debug, Clone, PartialEq)]
pub struct ReachPiece {
    /// The limit.
    pub limit: Limit,
    /// From low to high shaft speed; pieces share their end points.
    pub points: Vec<ShaftPoint>,
}

/// The region that the drive can reach: from standstill to [`Reach::fastest_rev_s`], from no torque to
/// the edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The edge that limits make at once, from low to high shaft speed.
    pub edge: Vec<ReachPiece>,
    /// Torque that can be held for hours before the winding is too hot, where that is within the edge.
    pub held: Vec<ShaftPoint>,
    /// Shaft speed without load, throttle fully open \[rev/s\].
    pub fastest_rev_s: f64,
}

/// Stations along the shaft speed before the edge is refined.
const STATIONS: usize = 16;

/// Shaft speed that stands for standstill, over the fastest.
const CREEP: f64 = 1e-4;

/// Halvings of the space between two stations: 16 x 2^10 places, fine enough for a sharp corner.
const MOST_HALVINGS: usize = 10;

/// Straightness of the edge between two of its points, as a share of the torque at standstill.
const STRAIGHT_WITHIN: f64 = 0.003;

impl PreparedBoat {
    /// The region that the drive can reach at full throttle, by the same machinery as every
    /// steady state. `None` when the drive cannot turn the free shaft at all.
    ///
    /// At each shaft speed the edge is the highest torque at which every limit of motor, controller
    /// and bank holds; blade loading and the hull's own limits are no matter of the drive.
    /// # Accuracy
    /// Points lie on their limit to 1e-6 of the torque; between points the edge is straight within 0.3 %
    /// of the greatest torque, corners included.
    #[must_use]
    pub fn reach(&self) -> Option<Reach> {
        let fastest_rev_s = self.fastest_free_rev_s()?;
        let station = |i: usize| {
            // At standstill proper the drag has no direction: a creep stands for it.
            let share = (i as f64 / STATIONS as f64).max(CREEP);
            self.edge_at(share * fastest_rev_s, acts_on_drive)
        };
        let free = ShaftPoint { shaft_rev_s: fastest_rev_s, torque_n_m: 0.0 };
        let last = (free, tightest(&self.drive_usage(free), acts_on_drive).0);
        let mut edge: Vec<(ShaftPoint, Limit)> = Vec::new();
        for next in (0..STATIONS).filter_map(station).chain([last]) {
            match edge.first().copied().zip(edge.last().copied()) {
                Some((first, before)) => {
                    let tolerance = STRAIGHT_WITHIN * first.0.torque_n_m;
                    self.refine(before, next, tolerance, MOST_HALVINGS, &mut edge);
                }
                None => edge.push(next),
            }
        }
        let held = edge
            .iter()
            .filter_map(|(point, _)| {
                let held = self.edge_at(point.shaft_rev_s, |limit| limit == Limit::MotorHeat)?.0;
                (held.torque_n_m < point.torque_n_m).then_some(held)
            })
            .collect();
        Some(Reach { edge: pieces(&edge), held, fastest_rev_s })
    }

    /// Adds the edge from behind `from` to `to`, halved until it is straight and its limit one.
    fn refine(
        &self,
        from: (ShaftPoint, Limit),
        to: (ShaftPoint, Limit),
        tolerance_n_m: f64,
        halvings: usize,
        edge: &mut Vec<(ShaftPoint, Limit)>,
    ) {
        let middle = 0.5 * (from.0.shaft_rev_s + to.0.shaft_rev_s);
        let found = if halvings > 0 { self.edge_at(middle, acts_on_drive) } else { None };
        let Some(middle) = found else { return edge.push(to) };
        let sagitta = middle.0.torque_n_m - 0.5 * (from.0.torque_n_m + to.0.torque_n_m);
        if from.1 == middle.1 && middle.1 == to.1 && sagitta.abs() <= tolerance_n_m {
            return edge.push(to);
        }
        self.refine(from, middle, tolerance_n_m, halvings - 1, edge);
        self.refine(middle, to, tolerance_n_m, halvings - 1, edge);
    }

    /// The highest torque at this shaft speed at which every limit that `counts` holds, and which of
    /// them makes it; `None` when not even the free shaft is within them.
    fn edge_at(
        &self,
        shaft_rev_s: f64,
        counts: impl Fn(Limit) -> bool + Copy,
    ) -> Option<(ShaftPoint, Limit)> {
        let at = |torque_n_m: f64| ShaftPoint { shaft_rev_s, torque_n_m };
        let share = |torque: f64| tightest(&self.drive_usage(at(torque)), counts).1;
        if share(0.0) > 1.0 {
            return None;
        }
        let mut high = self.motor().rated_torque_n_m() * self.drive_line().ratio;
        let mut doublings = 0;
        while share(high) < 1.0 {
            high *= 2.0;
            doublings += 1;
            if doublings > MOST_DOUBLINGS {
                return None;
            }
        }
        // The share is nearly straight in the torque or its square: a logarithm is kind to both.
        let excess = |torque: f64| share(torque).max(1e-9).ln();
        let torque = solve_bracketed(excess, 0.0, high, 1e-7 * high).ok()?;
        let limit = tightest(&self.drive_usage(at(torque)), counts).0;
        Some((at(torque), limit))
    }

    /// Shaft speed without load, throttle fully open \[rev/s\].
    fn fastest_free_rev_s(&self) -> Option<f64> {
        let excess = |shaft_rev_s: f64| {
            let free = ShaftPoint { shaft_rev_s, torque_n_m: 0.0 };
            tightest(&self.drive_usage(free), acts_on_drive).1.max(1e-9).ln()
        };
        let rated = self.motor().rated_speed_rad_s / std::f64::consts::TAU / self.drive_line().ratio;
        let mut high = rated;
        let mut doublings = 0;
        while excess(high) < 0.0 {
            high *= 2.0;
            doublings += 1;
            if doublings > MOST_DOUBLINGS {
                return None;
            }
        }
        solve_bracketed(excess, 1e-3 * rated, high, 1e-7 * high).ok()
    }

    /// Share of the tightest limit of motor, controller and bank at a point of the shaft.
    pub(crate) fn drive_share(&self, point: ShaftPoint) -> f64 {
        tightest(&self.drive_usage(point), acts_on_drive).1
    }

    /// Share of each limit of the machinery at a point of the shaft.
    fn drive_usage(&self, point: ShaftPoint) -> Usage {
        let open_water = point.torque_n_m * self.relative_rotative_efficiency();
        self.usage(&self.assemble(0.0, 0.0, 0.0, 0.0, point.shaft_rev_s, open_water), 1.0)
    }
}

/// Doublings of a rated value after which a limit counts as absent.
const MOST_DOUBLINGS: usize = 12;

/// Limits of motor, controller and bank that act at once.
fn acts_on_drive(limit: Limit) -> bool {
    limit.acts_at_once() && !matches!(limit, Limit::Throttle | Limit::Cavitation | Limit::HullMethod)
}

/// Groups the points of the edge by limit; neighbours share their corner.
fn pieces(edge: &[(ShaftPoint, Limit)]) -> Vec<ReachPiece> {
    let mut pieces: Vec<ReachPiece> = Vec::new();
    for &(point, limit) in edge {
        match pieces.last_mut() {
            Some(piece) if piece.limit == limit => piece.points.push(point),
            before => {
                let corner = before.and_then(|piece| piece.points.last().copied());
                pieces.push(ReachPiece { limit, points: corner.into_iter().chain([point]).collect() });
            }
        }
    }
    pieces
}
