//! A route cut into pieces, and between which instants she can pass each end of them. Not for: what is best (`plan`).

use super::aboard::Aboard;
use super::leg::{GETS_ON_M_S, Leg};
use super::power::PowerTable;

/// A piece of a route.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// A part of a leg: which, and how long \[m\].
    Way(usize, f64),
    /// The stop at the end of a leg.
    Stop(usize),
}

impl Piece {
    /// The leg that it belongs to.
    #[must_use]
    pub fn leg(self) -> usize {
        match self {
            Self::Way(leg, _) | Self::Stop(leg) => leg,
        }
    }

    /// Its length \[m\].
    #[must_use]
    pub fn length_m(self) -> f64 {
        match self {
            Self::Way(_, length_m) => length_m,
            Self::Stop(_) => 0.0,
        }
    }
}

/// What a plan is made for.
#[derive(Debug, Clone)]
pub struct Course<'a> {
    /// Legs in their order.
    pub legs: &'a [Leg],
    /// Power, by the tables that the legs name.
    pub tables: &'a [PowerTable],
    /// Loads and sun.
    pub aboard: &'a Aboard,
    /// She leaves then \[s\].
    pub leaves_s: f64,
    /// Earliest and latest arrival \[s\], where they are wanted.
    pub window_s: (Option<f64>, Option<f64>),
    /// The slowest through the water at which she steers \[m/s\].
    pub slowest_m_s: f64,
}

/// How finely it is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Whether charge and speeds have to agree, and the plan is looked at a second time in a strip about it.
    pub is_close: bool,
    /// Pieces of the whole way, about.
    pub pieces: usize,
    /// Instants at each end of a piece.
    pub instants: usize,
    /// Speeds tried from each.
    pub speeds: usize,
}

/// For an answer, and for each of many departures.
pub const FINE: Grid = Grid { is_close: true, pieces: 96, instants: 97, speeds: 24 };
/// While something is moved and the answer is but looked at.
pub const MOVING: Grid = Grid { is_close: true, pieces: 32, instants: 33, speeds: 12 };
/// See [`FINE`].
pub const COARSE: Grid = Grid { is_close: false, pieces: 32, instants: 33, speeds: 12 };

impl Grid {
    /// The same pieces, looked at quickly: enough to know the charge along the way.
    #[must_use]
    pub(super) fn quick(self) -> Self {
        Self { instants: self.instants / 3 + 1, speeds: self.speeds / 2 + 1, ..self }
    }
}

/// Why there is no plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoPlan {
    /// The stream of a leg is faster than she can go.
    CannotStem {
        /// The leg.
        leg: usize,
        /// When she meets it \[s\].
        at_s: f64,
        /// When she stems it again \[s\]; none within two days.
        until_s: Option<f64>,
    },
    /// Even at full throttle she is not there before the window closes \[s\].
    TooLate {
        /// When she is there at full throttle.
        earliest_s: f64,
    },
    /// No speed and time of stops takes her there inside the window.
    NoWay,
}

/// First and last instant at each end of a piece \[s\].
pub type Spans = Vec<(f64, f64)>;

/// Stops are looked at in steps of this \[s\].
pub(super) const STOP_STEP_S: f64 = 600.0;
const LOOKS_S: f64 = 300.0;
const LOOKS: usize = 576;

impl Course<'_> {
    /// The route in pieces: each leg in equal ones, and its stop.
    #[must_use]
    pub fn pieces(&self, grid: Grid) -> Vec<Piece> {
        let whole_m: f64 = self.legs.iter().map(|leg| leg.distance_m).sum();
        let mut pieces = Vec::new();
        for (place, leg) in self.legs.iter().enumerate() {
            let count = (leg.distance_m / whole_m * grid.pieces as f64).round().max(1.0);
            pieces.extend((0..count as usize).map(|_| Piece::Way(place, leg.distance_m / count)));
            pieces.extend(leg.stop.map(|_| Piece::Stop(place)));
        }
        pieces
    }

    /// The fastest that she holds on a piece at a charge \[m/s\].
    #[must_use]
    pub fn fastest_m_s(&self, piece: Piece, share: f64) -> f64 {
        self.tables[self.legs[piece.leg()].table].fastest_m_s(share)
    }

    /// The speeds between which one is chosen \[m/s\].
    #[must_use]
    pub fn limits_m_s(&self, piece: Piece, share: f64) -> (f64, f64) {
        let fastest = self.fastest_m_s(piece, share);
        (self.slowest_m_s.min(0.95 * fastest), fastest)
    }

    /// Between which instants each end of a piece can be passed, `shares` being the charge at each; wider than they are where a
    /// stream holds her for a time.
    /// With them what holds her at full throttle, where anything does.
    /// # Errors
    /// Why there are none.
    pub fn spans_s(&self, pieces: &[Piece], shares: &[f64]) -> Result<(Spans, Option<NoPlan>), NoPlan> {
        let count = pieces.len();
        let (mut early, mut slow) = (vec![self.leaves_s; count + 1], vec![self.leaves_s; count + 1]);
        let mut held = None;
        for (i, piece) in pieces.iter().enumerate() {
            let (slowest, fastest) = self.limits_m_s(*piece, shares[i]);
            match *piece {
                Piece::Way(leg, length_m) => {
                    let leg_at = &self.legs[leg];
                    let found = (0..LOOKS).find_map(|look| {
                        let from_s = early[i] + look as f64 * LOOKS_S;
                        Some((from_s, from_s + leg_at.takes_s(length_m, from_s, fastest)?.0))
                    });
                    if held.is_none() && found.is_none_or(|(from_s, _)| from_s > early[i]) {
                        held = Some(NoPlan::CannotStem {
                            leg,
                            at_s: early[i],
                            until_s: found.map(|found| found.0),
                        });
                    }
                    // From the start and on the way nobody waits: what comes later than a stop alone stays possible.
                    let Some((_, there_s)) = found else { return Err(held.unwrap_or(NoPlan::NoWay)) };
                    early[i + 1] = there_s;
                    let crept = leg_at.goes(
                        length_m,
                        (slow[i], leg_at.stream.at(slow[i])),
                        (slowest, 0.0),
                        f64::INFINITY,
                        |_| 0.0,
                    );
                    slow[i + 1] = slow[i] + crept.map_or(length_m / GETS_ON_M_S, |crept| crept.0);
                }
                Piece::Stop(leg) => {
                    early[i + 1] = early[i];
                    slow[i + 1] = slow[i] + self.legs[leg].stop.map_or(0.0, |stop| stop.longest_s);
                }
            }
        }
        let earliest_s = early[count];
        let mut late = slow;
        if let Some(end_s) = self.window_s.1 {
            if earliest_s > end_s {
                return Err(held.unwrap_or(NoPlan::TooLate { earliest_s }));
            }
            late[count] = late[count].min(end_s);
            for (i, piece) in pieces.iter().enumerate().rev() {
                let before_s = match *piece {
                    Piece::Way(leg, length_m) => {
                        self.leaves_latest_s(leg, length_m, *piece, shares[i], late[i + 1])
                    }
                    Piece::Stop(_) => late[i + 1],
                };
                late[i] = late[i].min(before_s);
            }
        }
        Ok((early.into_iter().zip(late).map(|(early, late)| (early, late.max(early))).collect(), held))
    }

    /// When she has to begin a piece at the latest to have done it at an instant.
    fn leaves_latest_s(&self, leg: usize, length_m: f64, piece: Piece, share: f64, done_s: f64) -> f64 {
        /// A little less than full throttle, so that what the grid rounds stays in reach.
        const NEARLY: f64 = 0.998;
        let leg = &self.legs[leg];
        let fastest = NEARLY * self.fastest_m_s(piece, share);
        let over_ground = |at_s: f64| leg.pace(fastest, leg.stream.at(at_s)).map(|pace| pace.0);
        let found = (0..LOOKS).find_map(|look| {
            let done_s = done_s - look as f64 * LOOKS_S;
            let first_s = length_m / over_ground(done_s)?;
            Some(done_s - length_m / over_ground(done_s - 0.5 * first_s)?)
        });
        found.unwrap_or(self.leaves_s)
    }
}
