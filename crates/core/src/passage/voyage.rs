//! A passage gone through piece by piece with what is in the banks, and the plan that agrees with the charge it leaves her.
//! Not for: what is best from where (`plan`), spreads (`chance`).

use super::course::{Course, Grid, NoPlan, Piece, STOP_STEP_S};
use super::plan::{Gains, Plan, Policy};
use super::supply::{Left, Supply};

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
    /// A speed that she does not hold is the fastest that she does; one that does not stem the stream is raised to it.
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
                    let Some((speed, (takes_s, motor_s))) =
                        self.stems(leg, length_m, at_s, (chosen.min(fastest), fastest))
                    else {
                        run.is_there = false;
                        return run;
                    };
                    let power_w = if motor_s > 0.0 {
                        self.tables[self.legs[leg].table].power_w(speed, share)
                    } else {
                        0.0
                    };
                    if !power_w.is_finite() {
                        run.is_there = false;
                        return run;
                    }
                    run.drive_j += power_w * motor_s;
                    (at_s + takes_s, power_w * motor_s)
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
            let strip = self.strip_s(&plan, &spans, grid);
            let closer = self.policy(&pieces, &shares, &gains, &strip, grid);
            let closer = self.trace(&pieces, &shares, &gains, &closer, grid);
            let plan = closer.filter(|closer| closer.energy_j < plan.energy_j).unwrap_or(plan);
            return Ok(Planned { run: goes(&plan), pieces, plan, policy, shares, gains });
        }
        Err(NoPlan::NoWay)
    }

    /// What is best at every place and time of a course like that of `planned`, at the charge that its plan leaves her.
    /// # Errors
    /// Why there is nothing.
    pub fn policy_like(&self, planned: &Planned, grid: Grid) -> Result<Policy, NoPlan> {
        let (spans, _) = self.spans_s(&planned.pieces, &planned.shares)?;
        Ok(self.policy(&planned.pieces, &planned.shares, &planned.gains, &spans, grid))
    }
}
