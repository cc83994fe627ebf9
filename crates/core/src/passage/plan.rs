//! The plan of least energy over distance and time: dynamic programming backwards from the arrival window, with the energy
//! to go as a function of the instant at each end of a piece. Not for: samples, the helmsman's steps (`keep`).
//!
//! Instants are not kept to a grid: the energy to go is read straight between its points, and the plan is traced forwards
//! with the true times. A second look at a narrow strip about the first plan takes out what the grid blurs.

use super::aboard::Aboard;
use super::course::{Course, Grid, Piece, STOP_STEP_S};
use super::leg::{Flow, Leg};
use super::power::PowerCurve;

const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// What the whole costs at the instants of one end of a piece, and what is best from there.
#[derive(Debug, Clone)]
struct ToGo {
    first_s: f64,
    last_s: f64,
    /// Instants in a second; 0 where there is one alone.
    per_s: f64,
    /// Energy to go, and what went on aboard before \[J\]: with it what goes on aboard is counted once and not on each piece.
    cost_j: Vec<f64>,
    /// Speed through the water, or how long she lies \[m/s\], \[s\].
    best: Vec<f64>,
}

impl ToGo {
    #[inline(always)]
    fn at_j(&self, at_s: f64) -> f64 {
        /// Rounding of instants that lie on the last point.
        const CLOSE: f64 = 1e-6;
        let last = self.cost_j.len() - 1;
        let along = (at_s - self.first_s) * self.per_s;
        if !(-CLOSE..=last as f64 + CLOSE).contains(&along) {
            return f64::INFINITY;
        }
        // By way of 32 bits: the processor has an instruction for that.
        let place = (along.max(0.0) as u32 as usize).min(last.saturating_sub(1));
        let (one, part) = (self.cost_j[place], along - place as f64);
        if part.abs() < 1e-9 {
            return one;
        }
        one + (self.cost_j[(place + 1).min(last)] - one) * part
    }

    /// What is best at an instant, of the nearest with an answer.
    fn best(&self, at_s: f64) -> Option<f64> {
        let last = self.cost_j.len() - 1;
        let near = ((at_s - self.first_s) * self.per_s).round().clamp(0.0, last as f64) as usize;
        (0..=last).find_map(|off| {
            let both = [near.checked_sub(off), Some(near + off)];
            let known = |place: &usize| self.cost_j.get(*place).is_some_and(|cost| cost.is_finite());
            both.into_iter().flatten().find(known).map(|place| self.best[place])
        })
    }
}

/// What is best wherever and whenever she is, as far as the times reach.
#[derive(Debug, Clone)]
pub struct Policy {
    ends: Vec<ToGo>,
    aboard: Aboard,
}

impl Policy {
    /// Speed through the water on the piece \[m/s\], or how long to lie \[s\].
    #[must_use]
    pub fn best(&self, piece: usize, at_s: f64) -> Option<f64> {
        self.ends[piece].best(at_s)
    }

    /// Energy from the beginning of a piece to the end of the way \[J\]; infinite where she does not come there.
    #[must_use]
    pub fn to_go_j(&self, piece: usize, at_s: f64) -> f64 {
        self.ends[piece].at_j(at_s) - self.aboard.below_j(at_s)
    }
}

/// A plan: what is done on each piece, and when it begins.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Beginning of each piece, and the end of the last \[s\].
    pub at_s: Vec<f64>,
    /// Speed through the water on each \[m/s\]; of a stop, how long she lies \[s\].
    pub chosen: Vec<f64>,
    /// Out of the bank, less what comes in \[J\].
    pub energy_j: f64,
}

/// What comes in at a stop by how long she lies, in steps of ten minutes \[J\], for each piece; empty for a way.
pub type Gains = Vec<Vec<f64>>;

/// What a piece costs at the charge that she has on it.
struct Ready<'a> {
    piece: Piece,
    curve: PowerCurve,
    gain_j: &'a [f64],
    /// What is tried with its power \[m/s\] or \[s\], \[W\].
    tried: Vec<(f64, f64)>,
    step: f64,
    fastest_m_s: f64,
}

/// The two last places of a search by golden section, each after what it costs.
fn golden(cost: impl Fn(f64) -> f64, (mut low, mut high): (f64, f64), turns: usize) -> [(f64, f64); 2] {
    let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut at_a, mut at_b) = (cost(a), cost(b));
    for _ in 0..turns {
        // Where neither arrives in time, faster does sooner.
        if at_a < at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - GOLDEN * (high - low);
            at_a = cost(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + GOLDEN * (high - low);
            at_b = cost(b);
        }
    }
    [(at_a, a), (at_b, b)]
}

impl Course<'_> {
    /// What a piece costs, made ready for many instants.
    fn ready<'p>(&self, piece: Piece, share: f64, gain_j: &'p [f64], grid: Grid) -> Ready<'p> {
        let (first, step, count) = match piece {
            Piece::Way(..) => {
                let (slowest, fastest) = self.limits_m_s(piece, share);
                (slowest, (fastest - slowest) / (grid.speeds - 1) as f64, grid.speeds)
            }
            Piece::Stop(leg) => {
                let longest_s = self.legs[leg].stop.map_or(0.0, |stop| stop.longest_s);
                (0.0, STOP_STEP_S, (longest_s / STOP_STEP_S) as usize + 1)
            }
        };
        let curve = self.tables[self.legs[piece.leg()].table].at(share);
        let tried = (0..count)
            .map(|i| first + i as f64 * step)
            .map(|chosen| (chosen, curve.power_w(chosen)))
            .collect();
        Ready { piece, curve, gain_j, tried, step, fastest_m_s: self.fastest_m_s(piece, share) }
    }

    /// What the drive takes on a piece begun at an instant in a flow, with what is chosen, less what a stop brings, and its end
    /// \[J\], \[s\]; with them whether every slower speed comes to the same.
    fn does(
        &self,
        ready: &Ready<'_>,
        (from_s, flow): (f64, Flow),
        (chosen, power_w): (f64, f64),
    ) -> Option<(f64, f64, bool)> {
        Some(match ready.piece {
            Piece::Way(leg, length_m) => {
                let powers_w = |speed: f64| ready.curve.power_w(speed);
                let (takes_s, drive_j, is_raised) = self.legs[leg].goes(
                    length_m,
                    (from_s, flow),
                    (chosen, power_w),
                    ready.fastest_m_s,
                    powers_w,
                )?;
                (drive_j, from_s + takes_s, is_raised)
            }
            Piece::Stop(_) => {
                let along = (chosen / STOP_STEP_S).max(0.0);
                let (place, last) = (along as usize, ready.gain_j.len() - 1);
                let (one, other) = (ready.gain_j[place.min(last)], ready.gain_j[(place + 1).min(last)]);
                (-one - (other - one) * (along - place as f64).min(1.0), from_s + chosen, false)
            }
        })
    }

    /// The leg and the length of a piece on which she has no sail.
    fn plain(&self, piece: Piece) -> Option<(&Leg, f64)> {
        match piece {
            Piece::Way(leg, length_m) => Some((&self.legs[leg], length_m)).filter(|way| way.0.sail.is_none()),
            Piece::Stop(_) => None,
        }
    }

    /// An instant with the flow that a piece then begins in.
    fn here(&self, piece: Piece, at_s: f64) -> (f64, Flow) {
        (at_s, self.legs[piece.leg()].stream.at(at_s))
    }

    /// The best choice from an instant by the energy to go: the best of a row, then closer between its neighbours by a parabola,
    /// or by golden section where one of them does not arrive or `is_exact` is wanted.
    fn chooses(
        &self,
        ready: &Ready<'_>,
        after: &ToGo,
        from_s: f64,
        costs: &mut Vec<f64>,
        is_exact: bool,
    ) -> (f64, f64) {
        const TURNS: (usize, usize) = (3, 24);
        let here = self.here(ready.piece, from_s);
        let cost_of = |chosen: (f64, f64)| match self.does(ready, here, chosen) {
            Some((drive_j, to_s, _)) => drive_j + after.at_j(to_s),
            None => f64::INFINITY,
        };
        let cost = |chosen: f64| cost_of((chosen, ready.curve.power_w(chosen)));
        costs.clear();
        costs.resize(ready.tried.len(), f64::INFINITY);
        let (way, last_s) = (self.plain(ready.piece), after.last_s);
        let is_way = matches!(ready.piece, Piece::Way(..));
        let mut at = 0;
        for (i, tried) in ready.tried.iter().enumerate().rev() {
            // By far the most are done in one stretch: the inner loop of it all.
            let in_one = way.and_then(|(leg, length_m)| leg.takes_in_one_s(length_m, here, tried.0));
            let done = match in_one {
                Some(takes_s) => Some((tried.1 * takes_s, from_s + takes_s, false)),
                None => self.does(ready, here, *tried),
            };
            let Some((drive_j, to_s, is_raised)) = done else { break };
            // Who goes slower is there later still.
            if is_way && to_s > last_s {
                break;
            }
            costs[i] = drive_j + after.at_j(to_s);
            at = if costs[i] < costs[at] { i } else { at };
            if is_raised {
                let cost = costs[i];
                costs[..i].fill(cost);
                break;
            }
        }
        let mut best = (costs[at], ready.tried[at].0);
        if matches!(ready.piece, Piece::Stop(_)) || !best.0.is_finite() || ready.step <= 0.0 {
            return best;
        }
        let last = ready.tried.len() - 1;
        let beside = (at > 0 && at < last).then(|| (costs[at - 1], costs[at + 1]));
        let tries = match beside {
            Some((before, next)) if !is_exact && before.is_finite() && next.is_finite() => {
                let bend = before - 2.0 * best.0 + next;
                let off = if bend > 0.0 { 0.5 * (before - next) / bend } else { 0.0 };
                let chosen = best.1 + off.clamp(-1.0, 1.0) * ready.step;
                [(cost(chosen), chosen), best]
            }
            _ => {
                let turns = if is_exact { TURNS.1 } else { TURNS.0 };
                golden(cost, (ready.tried[at.saturating_sub(1)].0, ready.tried[(at + 1).min(last)].0), turns)
            }
        };
        for found in tries {
            best = if found.0 < best.0 { found } else { best };
        }
        best
    }

    /// The energy to go from every end of a piece within `spans_s`, the charge at each being `shares`.
    ///
    /// `E_i(t) = min over v of P(v) dt + aboard(t, t + dt) + E_i+1(t + dt)`.
    /// # Source
    /// \[bellman1957\], from memory.
    /// # Valid for
    /// Power by the charge of `shares`, which a first plan gives.
    /// # Accuracy
    /// With the trace forwards and a second look within 0.1 % of `reference/passage/two_legs_deadline.csv`.
    /// # Errors
    /// None; where she does not come there the energy is infinite.
    #[must_use]
    pub fn policy(
        &self,
        pieces: &[Piece],
        shares: &[f64],
        gains: &Gains,
        spans_s: &[(f64, f64)],
        grid: Grid,
    ) -> Policy {
        let instants = |(from_s, to_s): (f64, f64)| {
            let step_s = (to_s - from_s) / (grid.instants - 1) as f64;
            if step_s > 0.0 { (step_s, 1.0 / step_s, grid.instants) } else { (0.0, 0.0, 1) }
        };
        let (mut ends, mut costs): (Vec<ToGo>, _) = (Vec::with_capacity(pieces.len() + 1), Vec::new());
        let end = spans_s.len() - 1;
        let (step_s, per_s, count) = instants(spans_s[end]);
        let first_s = spans_s[end].0;
        let waits_j = |at_s: f64| match self.window_s {
            (_, Some(close_s)) if at_s > close_s + 1e-6 * close_s.abs().max(1.0) => f64::INFINITY,
            (Some(open_s), _) => self.aboard.below_j(at_s.max(open_s)),
            _ => self.aboard.below_j(at_s),
        };
        let cost_j: Vec<f64> = (0..count).map(|i| waits_j(first_s + i as f64 * step_s)).collect();
        let last_s = if per_s > 0.0 { spans_s[end].1 + 1e-6 * step_s } else { f64::INFINITY };
        ends.push(ToGo { first_s, last_s, per_s, best: vec![0.0; cost_j.len()], cost_j });
        for (i, piece) in pieces.iter().enumerate().rev() {
            let (step_s, per_s, count) = instants(spans_s[i]);
            let first_s = spans_s[i].0;
            let after = &ends[ends.len() - 1];
            let ready = self.ready(*piece, shares[i], &gains[i], grid);
            let found = (0..count).map(|k| {
                let from_s = first_s + k as f64 * step_s;
                self.chooses(&ready, after, from_s, &mut costs, false)
            });
            let (cost_j, best) = found.unzip();
            let last_s = if per_s > 0.0 { spans_s[i].1 + 1e-6 * step_s } else { f64::INFINITY };
            ends.push(ToGo { first_s, last_s, per_s, cost_j, best });
        }
        ends.reverse();
        Policy { ends, aboard: self.aboard.clone() }
    }

    /// The plan from the departure on, by the energy to go.
    #[must_use]
    pub fn trace(
        &self,
        pieces: &[Piece],
        shares: &[f64],
        gains: &Gains,
        policy: &Policy,
        grid: Grid,
    ) -> Option<Plan> {
        let mut costs = Vec::new();
        self.forwards(pieces, shares, gains, grid, |ready, i, at_s| {
            let (cost, chosen) = self.chooses(ready, &policy.ends[i + 1], at_s, &mut costs, true);
            cost.is_finite().then_some(chosen)
        })
    }

    /// The plan of what is chosen.
    pub(super) fn replayed(
        &self,
        pieces: &[Piece],
        shares: &[f64],
        gains: &Gains,
        chosen: Vec<f64>,
        grid: Grid,
    ) -> Option<Plan> {
        self.forwards(pieces, shares, gains, grid, |_, i, _| Some(chosen[i]))
    }

    fn forwards(
        &self,
        pieces: &[Piece],
        shares: &[f64],
        gains: &Gains,
        grid: Grid,
        mut chooses: impl FnMut(&Ready<'_>, usize, f64) -> Option<f64>,
    ) -> Option<Plan> {
        let mut plan = Plan { at_s: vec![self.leaves_s], chosen: Vec::new(), energy_j: 0.0 };
        let mut at_s = self.leaves_s;
        for (i, piece) in pieces.iter().enumerate() {
            let ready = self.ready(*piece, shares[i], &gains[i], grid);
            let chosen = chooses(&ready, i, at_s)?;
            let here = self.here(*piece, at_s);
            let (drive_j, to_s, _) = self.does(&ready, here, (chosen, ready.curve.power_w(chosen)))?;
            plan.energy_j += drive_j + self.aboard.energy_j(at_s, to_s);
            plan.chosen.push(chosen);
            plan.at_s.push(to_s);
            at_s = to_s;
        }
        if let (Some(open_s), _) = self.window_s {
            plan.energy_j += self.aboard.energy_j(at_s, open_s.max(at_s));
        }
        Some(plan)
    }
}
