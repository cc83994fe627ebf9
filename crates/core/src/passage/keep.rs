//! A plan as a helmsman keeps it: speeds in tenths of a knot, a few steps on each leg. Not for: the plan itself.

use wakewright_units::factors::KNOT_M_S;

use super::course::{Course, Piece};
use super::plan::Plan;
use super::supply::{Left, Supply};
use super::voyage::Run;

/// A step: one speed over several pieces of a leg, or a stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// First piece, and the one after the last.
    pub pieces: (usize, usize),
    /// The leg.
    pub leg: usize,
    /// Speed through the water \[m/s\]; none at a stop.
    pub speed_m_s: Option<f64>,
}

/// The plan in steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// In their order.
    pub steps: Vec<Step>,
    /// Speed of each piece \[m/s\]; of a stop, when she leaves it \[s\].
    pub chosen: Vec<f64>,
    /// Gone through.
    pub run: Run,
}

const TENTH_M_S: f64 = 0.1 * KNOT_M_S;
/// Speeds this far apart are kept as one.
const APART_M_S: f64 = 0.4 * KNOT_M_S;
/// A step that lasts less goes with its neighbour \[s\].
const SHORTEST_S: f64 = 900.0;

impl Course<'_> {
    /// What is chosen on a piece by a kept plan, at an instant.
    #[must_use]
    pub fn keeps(&self, pieces: &[Piece], chosen: &[f64], piece: usize, at_s: f64) -> f64 {
        match pieces[piece] {
            Piece::Way(..) => chosen[piece],
            Piece::Stop(_) => (chosen[piece] - at_s).max(0.0),
        }
    }

    /// `plan` in steps; a tenth of a knot faster in all of them where she would come too late by it.
    #[must_use]
    pub fn kept(&self, pieces: &[Piece], plan: &Plan, supply: &Supply, left: &Left) -> Kept {
        const FASTER: usize = 12;
        const RAISED: usize = 60;
        let mut steps = steps(pieces, plan);
        let is_late = |run: &Run| {
            const CLOSE_S: f64 = 30.0;
            let there_s = run.at_s.last().copied().unwrap_or(0.0);
            self.window_s.1.is_some_and(|close_s| there_s > close_s + CLOSE_S)
        };
        let (mut turn, mut raised) = (0, 0);
        loop {
            let mut chosen = vec![0.0; pieces.len()];
            for step in &steps {
                let (from, to) = step.pieces;
                chosen[from..to].fill(step.speed_m_s.unwrap_or(plan.at_s[to]));
            }
            let choose = |piece: usize, at_s: f64| self.keeps(pieces, &chosen, piece, at_s);
            let run =
                self.run(pieces, supply, (self.leaves_s, left), |stands| choose(stands.piece, stands.at_s));
            // A step that does not stem the stream is no plan: it is raised until she gets on.
            let mut is_raised = false;
            for step in &mut steps {
                let Some(speed) = step.speed_m_s.as_mut() else { continue };
                let stands = (step.pieces.0..step.pieces.1.min(run.at_s.len()))
                    .find_map(|i| self.raised(pieces[i], run.at_s[i], *speed, run.shares[i]));
                if let Some(found) = stands.filter(|_| raised < RAISED) {
                    *speed = (found / TENTH_M_S).ceil() * TENTH_M_S;
                    is_raised = true;
                }
            }
            if is_raised {
                raised += 1;
                continue;
            }
            if turn >= FASTER || !is_late(&run) {
                return Kept { steps, chosen, run };
            }
            turn += 1;
            steps.iter_mut().filter_map(|step| step.speed_m_s.as_mut()).for_each(|speed| *speed += TENTH_M_S);
        }
    }
}

fn steps(pieces: &[Piece], plan: &Plan) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let mut limits = (0.0, 0.0);
    for (i, piece) in pieces.iter().enumerate() {
        let leg = piece.leg();
        match piece {
            Piece::Stop(_) => steps.push(Step { pieces: (i, i + 1), leg, speed_m_s: None }),
            Piece::Way(..) => {
                let speed = plan.chosen[i];
                let (low, high) = (speed.min(limits.0), speed.max(limits.1));
                match steps.last_mut() {
                    Some(last) if last.leg == leg && last.speed_m_s.is_some() && high - low <= APART_M_S => {
                        last.pieces.1 = i + 1;
                        limits = (low, high);
                    }
                    _ => {
                        steps.push(Step { pieces: (i, i + 1), leg, speed_m_s: Some(speed) });
                        limits = (speed, speed);
                    }
                }
            }
        }
    }
    while let Some(short) = steps.iter().position(|step| joins(step, &steps, plan).is_some()) {
        let Some(with) = joins(&steps[short], &steps, plan) else { break };
        let gone = steps[short];
        let into = &mut steps[with];
        into.pieces = (into.pieces.0.min(gone.pieces.0), into.pieces.1.max(gone.pieces.1));
        steps.remove(short);
    }
    for step in steps.iter_mut().filter(|step| step.speed_m_s.is_some()) {
        let span = step.pieces.0..step.pieces.1;
        let time = |i: usize| plan.at_s[i + 1] - plan.at_s[i];
        let whole: f64 = span.clone().map(time).sum();
        let mean = span.map(|i| plan.chosen[i] * time(i)).sum::<f64>() / whole.max(1e-9);
        step.speed_m_s = Some((mean / TENTH_M_S).round() * TENTH_M_S);
    }
    // What comes to the same tenth is one step.
    steps.dedup_by(|next, last| {
        let is_same = next.leg == last.leg
            && next.speed_m_s.zip(last.speed_m_s).is_some_and(|(next, last)| (next - last).abs() < 1e-9);
        if is_same {
            last.pieces.1 = next.pieces.1;
        }
        is_same
    });
    steps
}

/// The neighbour on the same leg with which a short step goes.
fn joins(step: &Step, steps: &[Step], plan: &Plan) -> Option<usize> {
    let lasts_s = plan.at_s[step.pieces.1] - plan.at_s[step.pieces.0];
    let speed = step.speed_m_s.filter(|_| lasts_s < SHORTEST_S)?;
    let beside = |other: &Step| {
        other.leg == step.leg
            && other.speed_m_s.is_some()
            && (other.pieces.1 == step.pieces.0 || other.pieces.0 == step.pieces.1)
    };
    let near = steps.iter().enumerate().filter(|(_, other)| beside(other));
    let off = |other: &Step| (other.speed_m_s.unwrap_or(speed) - speed).abs();
    near.min_by(|a, b| off(a.1).total_cmp(&off(b.1))).map(|(place, _)| place)
}
