//! A passage gone through piece by piece with what is in the banks, and the plan that agrees with the charge it leaves her.
//! Not for: what is best from where (`plan`), spreads (`chance`).

use super::course::{Course, Grid, NoPlan, Piece, STOP_STEP_S, Spans};
use super::plan::{Gains, Plan, Policy};
use super::supply::{Left, Supply};

/// Pieces are cut up to so many times as many.
const MOST: usize = 4;
/// And into parts no shorter than this, the shortest step of a helmsman \[s\].
const PART_S: f64 = 900.0;

/// How it went.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// At the beginning of each piece, and at the end of the last \[s\]; shorter where she came to a stand.
    pub at_s: Vec<f64>,
    /// Share of all that the banks hold, there.
    pub shares: Vec<f64>,
    /// The banks, there.
    pub left: Vec<Left>,
    /// Whether she is there with a bank that gave what was asked.
    pub is_there: bool,
    /// Out of the banks for the drive \[J\].
    pub drive_j: f64,
}

/// Where she stands as a choice is made.
#[derive(Debug, Clone, Copy)]
pub struct Stands<'a> {
    /// The piece that begins.
    pub piece: usize,
    /// When \[s\].
    pub at_s: f64,
    /// What is left.
    pub left: &'a Left,
    /// Share of all that the banks hold.
    pub share: f64,
}

impl Course<'_> {
    /// Goes through `pieces` from `at_s` on with what `choose` gives for each: speed through the water, or how long she lies.
    /// A speed that she does not hold is the fastest that she does; one that does not stem the stream is raised as long as that lasts.
    pub fn run(
        &self,
        pieces: &[Piece],
        supply: &Supply,
        (at_s, left): (f64, &Left),
        mut choose: impl FnMut(Stands<'_>) -> f64,
    ) -> Run {
        let share = supply.share(left);
        let mut run = Run {
            at_s: vec![at_s],
            shares: vec![share],
            left: vec![left.clone()],
            is_there: true,
            drive_j: 0.0,
        };
        let (mut at_s, mut left, mut share) = (at_s, left.clone(), share);
        for (i, piece) in pieces.iter().enumerate() {
            let chosen = choose(Stands { piece: i, at_s, left: &left, share });
            let (to_s, energy_j) = match *piece {
                Piece::Stop(leg) => {
                    let charge_w = self.legs[leg].stop.map_or(0.0, |stop| stop.charge_w);
                    (at_s + chosen, -charge_w * chosen)
                }
                Piece::Way(leg, length_m) => {
                    let fastest = self.fastest_m_s(*piece, share);
                    let leg = &self.legs[leg];
                    let power_w = |speed: f64| self.tables[leg.table].power_w(speed, share);
                    let speed = chosen.min(fastest);
                    let (from, tried) = ((at_s, leg.stream.at(at_s)), (speed, power_w(speed)));
                    let gone = leg.goes(length_m, from, tried, fastest, power_w);
                    let Some((takes_s, drive_j, _)) = gone.filter(|gone| gone.1.is_finite()) else {
                        run.is_there = false;
                        return run;
                    };
                    run.drive_j += drive_j;
                    (at_s + takes_s, drive_j)
                }
            };
            let whole_j = energy_j + self.aboard.energy_j(at_s, to_s);
            run.is_there &= supply.take(&mut left, whole_j, to_s - at_s);
            (at_s, share) = (to_s, supply.share(&left));
            run.at_s.push(at_s);
            run.shares.push(share);
            run.left.push(left.clone());
        }
        run
    }

    /// The slowest of two speeds and what lies between at which she gets over so much of a leg from an instant on, and how long she and
    /// the motor take; none where not even the fastest gets her on.
    fn stems(
        &self,
        leg: usize,
        length_m: f64,
        at_s: f64,
        (slowest, fastest): (f64, f64),
    ) -> Option<(f64, (f64, f64))> {
        /// As near as a helmsman sets it \[m/s\].
        const NEAR_M_S: f64 = 0.02;
        let takes = |speed: f64| self.legs[leg].takes_s(length_m, at_s, speed);
        if let Some(found) = takes(slowest) {
            return Some((slowest, found));
        }
        let mut best = (fastest, takes(fastest)?);
        let mut low = slowest;
        while best.0 - low > NEAR_M_S {
            let middle = 0.5 * (low + best.0);
            match takes(middle) {
                Some(found) => best = (middle, found),
                None => low = middle,
            }
        }
        Some(best)
    }

    /// The speed at which a helmsman gets on with a piece where `speed_m_s` does not: the next tenth of a knot that does.
    pub(super) fn raised(&self, piece: Piece, at_s: f64, speed_m_s: f64, share: f64) -> Option<f64> {
        let Piece::Way(leg, length_m) = piece else { return None };
        let fastest = self.fastest_m_s(piece, share);
        let (found, _) = self.stems(leg, length_m, at_s, (speed_m_s.min(fastest), fastest))?;
        (found > speed_m_s + 1e-6).then_some(found)
    }

    /// What comes in at each stop of `pieces` by the time she lies there, from what is left as she comes to it.
    fn gains(&self, pieces: &[Piece], supply: &Supply, left: impl Fn(usize) -> Left) -> Gains {
        let of = |(i, piece): (usize, &Piece)| match *piece {
            Piece::Way(..) => Vec::new(),
            Piece::Stop(leg) => {
                let Some(stop) = self.legs[leg].stop else { return vec![0.0] };
                let left = left(i);
                let after = |step: usize| supply.taken_in_j(&left, stop.charge_w, step as f64 * STOP_STEP_S);
                (0..=(stop.longest_s / STOP_STEP_S) as usize).map(after).collect()
            }
        };
        pieces.iter().enumerate().map(of).collect()
    }
}

/// A plan, and what she is left with by it.
#[derive(Debug, Clone)]
pub struct Planned {
    /// The pieces of the way.
    pub pieces: Vec<Piece>,
    /// The plan.
    pub plan: Plan,
    /// Gone through with what is in the banks.
    pub run: Run,
    /// What is best elsewhere and at other times.
    pub policy: Policy,
    shares: Vec<f64>,
    gains: Gains,
}

impl Course<'_> {
    /// The plan of least energy at the charge that she then has: planned and gone through until charge and speeds agree.
    /// # Errors
    /// Why there is none.
    pub fn planned(&self, supply: &Supply, left: &Left, grid: Grid) -> Result<Planned, NoPlan> {
        const PASSES: usize = 6;
        const AGREES: f64 = 0.004;
        let pieces = self.pieces(grid);
        let mut shares = vec![supply.share(left); pieces.len() + 1];
        let mut at_stops = vec![left.clone(); pieces.len() + 1];
        let goes = |plan: &Plan| {
            self.run(&pieces, supply, (self.leaves_s, left), |stands| plan.chosen[stands.piece])
        };
        for pass in 0..PASSES {
            // The first look is for the charge along the way alone.
            let grid = if pass == 0 { grid.quick() } else { grid };
            let gains = self.gains(&pieces, supply, |i| at_stops[i].clone());
            let (spans, held) = self.spans_s(&pieces, &shares)?;
            let policy = self.policy(&pieces, &shares, &gains, &spans, grid);
            let plan =
                self.trace(&pieces, &shares, &gains, &policy, grid).ok_or(held.unwrap_or(NoPlan::NoWay));
            let plan = match plan {
                Err(_) if pass == 0 => continue,
                plan => plan?,
            };
            let run = goes(&plan);
            let off =
                shares.iter().zip(&run.shares).map(|(one, other)| (one - other).abs()).fold(0.0, f64::max);
            if run.shares.len() == shares.len() {
                shares.clone_from(&run.shares);
                at_stops.clone_from(&run.left);
            }
            if pass == 0 || grid.is_close && off > AGREES && pass + 1 < PASSES {
                continue;
            }
            if !grid.is_close {
                return Ok(Planned { run, pieces, plan, policy, shares, gains });
            }
            let found = Planned { run, pieces, plan, policy, shares, gains };
            return Ok(self.closer(found, spans, supply, left, grid));
        }
        Err(NoPlan::NoWay)
    }

    /// A plan looked at again and again in a strip of instants about it, the strip narrower each time that nothing is gained; then once
    /// more with the pieces cut up where she creeps.
    fn closer(&self, found: Planned, spans: Spans, supply: &Supply, left: &Left, grid: Grid) -> Planned {
        const LOOKS: usize = 16;
        const STEPS: f64 = 4.0;
        const NARROWER: f64 = 0.25;
        const GAINS: f64 = 2e-4;
        const CLOSE_S: f64 = 10.0;
        let per_step = (grid.instants - 1) as f64;
        let mut wide_s = spans.iter().map(|span| span.1 - span.0).fold(0.0, f64::max) * STEPS / per_step;
        let (mut best, mut spans, mut is_cut) = (found, spans, false);
        for _ in 0..LOOKS {
            let strip: Spans = spans
                .iter()
                .zip(&best.plan.at_s)
                .map(|((from_s, to_s), at_s)| {
                    ((at_s - wide_s).max(*from_s).min(*at_s), (at_s + wide_s).min(*to_s).max(*at_s))
                })
                .collect();
            let policy = self.policy(&best.pieces, &best.shares, &best.gains, &strip, grid);
            let plan = self.trace(&best.pieces, &best.shares, &best.gains, &policy, grid);
            let before_j = best.plan.energy_j;
            let gained_j = plan.filter(|plan| plan.energy_j < before_j).map(|plan| {
                best.plan = plan;
                before_j - best.plan.energy_j
            });
            if gained_j.is_some_and(|gained_j| gained_j > GAINS * before_j.abs()) {
                continue;
            }
            wide_s *= NARROWER;
            if wide_s > CLOSE_S * STEPS && gained_j.is_some() {
                continue;
            }
            if is_cut {
                break;
            }
            is_cut = true;
            wide_s = PART_S;
            if !self.cut_up(&mut best, &mut spans, grid) {
                break;
            }
        }
        if is_cut {
            best.policy = self.policy(&best.pieces, &best.shares, &best.gains, &spans, grid);
        }
        let chosen = &best.plan.chosen;
        best.run = self.run(&best.pieces, supply, (self.leaves_s, left), |stands| chosen[stands.piece]);
        best
    }

    /// Cuts pieces up where she creeps and the stream changes on one by much of what she makes over the ground: there one speed of the
    /// helmsman would be a poor choice for all of it. False where nothing is to be cut.
    fn cut_up(&self, best: &mut Planned, spans: &mut Spans, grid: Grid) -> bool {
        const CHANGES: f64 = 0.25;
        let plan = &best.plan;
        let count = |(i, piece): (usize, &Piece)| {
            let Piece::Way(leg, length_m) = *piece else { return 1 };
            let (from_s, to_s) = (plan.at_s[i], plan.at_s[i + 1]);
            let (one, other) = (self.legs[leg].stream.at(from_s), self.legs[leg].stream.at(to_s));
            let changes_m_s = (one.along_m_s - other.along_m_s).hypot(one.across_m_s - other.across_m_s);
            let lasts_s = to_s - from_s;
            (changes_m_s * lasts_s / (CHANGES * length_m)).min(lasts_s / PART_S).ceil().max(1.0) as usize
        };
        let counts: Vec<usize> = best.pieces.iter().enumerate().map(count).collect();
        let whole: usize = counts.iter().sum();
        if whole == best.pieces.len() || whole > MOST * grid.pieces {
            return false;
        }
        let of: Vec<usize> =
            counts.iter().enumerate().flat_map(|(i, count)| std::iter::repeat_n(i, *count)).collect();
        let part = |i: &usize| match best.pieces[*i] {
            Piece::Way(leg, length_m) => Piece::Way(leg, length_m / counts[*i] as f64),
            stop @ Piece::Stop(_) => stop,
        };
        let pieces: Vec<Piece> = of.iter().map(part).collect();
        let ends = || of.iter().copied().chain([best.pieces.len()]);
        let shares: Vec<f64> = ends().map(|i| best.shares[i]).collect();
        let gains: Gains = of.iter().map(|i| best.gains[*i].clone()).collect();
        let chosen = of.iter().map(|i| plan.chosen[*i]).collect();
        let Some(plan) = self.replayed(&pieces, &shares, &gains, chosen, grid) else { return false };
        let Ok((reach, _)) = self.spans_s(&pieces, &shares) else { return false };
        *spans = reach;
        *best = Planned { pieces, plan, shares, gains, policy: best.policy.clone(), run: best.run.clone() };
        true
    }

    /// What is best at every place and time of a course like that of `planned`, at the charge that its plan leaves her.
    /// # Errors
    /// Why there is nothing.
    pub fn policy_like(&self, planned: &Planned, grid: Grid) -> Result<Policy, NoPlan> {
        let (spans, _) = self.spans_s(&planned.pieces, &planned.shares)?;
        Ok(self.policy(&planned.pieces, &planned.shares, &planned.gains, &spans, grid))
    }
}
