//! Running over a range of candidates. Not for: splitting the range over threads, showing results.
//!
//! # What is left out, and why no member of the front is lost
//! A whole block is refused at once when a limit is exceeded that all of its candidates share: the
//! propeller's (room, thrust, cavitation), the voltage's, the motor's at the fastest cruising speed. Each of
//! them would be refused by itself for the same cause, since every share rises with speed. A curve ends with
//! the nodes at which propeller, hull method or motor have stopped her, or the motor needs more volts than
//! any bank has at rest: no bank brings her past them. Everything else is worked out. A bound that skips rows
//! which cannot come onto the front was tried; asking it cost more than the rows.

use std::ops::Range;

use super::curve::{Curve, Point, Train};
use super::demand::Demand;
use super::front::{Front, Merits};
use super::limits::{CAUSE_COUNT, Cause, Refusals, Tally};
use super::prepared::Search;
use super::space::Place;

/// What was found in a part of the space.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Partial {
    /// Candidates that no other of the part beats.
    pub front: Front,
    /// How many were looked at, and what refused how many.
    pub tally: Tally,
    /// At [`Depth::FullThrottle`], where nothing else is kept of them: the sum of all top speeds \[m/s\].
    pub sum_of_speeds_m_s: f64,
}

impl Partial {
    /// Adds another part; the order does not matter.
    pub fn merge(&mut self, other: Self) {
        self.front.merge(other.front);
        self.tally.merge(&other.tally);
        self.sum_of_speeds_m_s += other.sum_of_speeds_m_s;
    }
}

/// How far the work on each candidate goes; each includes the ones before. For benches and tests.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// What hull and propeller ask.
    Demand,
    /// The motor and the bank at the cruising speeds, and all limits.
    Limits,
    /// Full throttle of every candidate within the limits.
    FullThrottle,
    /// The front of them.
    Front,
}

/// One block: candidates that share propeller, motor and reduction.
struct Block<'a> {
    demand: &'a Demand,
    propeller: usize,
    machine: usize,
    reduction: usize,
    train: &'a Train,
    /// The motor at the fastest of the cruising speeds, where every share is greatest.
    fastest: Point,
}

impl Search {
    /// The front of the candidates in `range`, and what refused the others.
    #[must_use]
    pub fn run(&self, range: Range<usize>) -> Partial {
        self.run_to(range, Depth::Front)
    }

    /// As [`Self::run`], with as much work on each candidate as `depth` says; [`Self::run`] goes all the way.
    #[must_use]
    pub fn run_to(&self, range: Range<usize>, depth: Depth) -> Partial {
        let mut found = Partial::default();
        let mut curve = Curve::empty();
        let range = range.start..range.end.min(self.space.len());
        let per_propeller = self.space.per_propeller();
        for propeller in range.start / per_propeller..range.end.div_ceil(per_propeller) {
            let here = overlap(&range, propeller * per_propeller, per_propeller);
            found.tally.candidates += here.len() as u64;
            let demand = Demand::new(self, &self.space.propellers[propeller], true);
            if depth == Depth::Demand {
                continue;
            }
            if let Some(cause) = demand.first_violation() {
                found.tally.refuse(cause, here.len());
                continue;
            }
            self.run_propeller(&mut found, &mut curve, &demand, propeller, here, depth);
        }
        found
    }

    fn run_propeller(
        &self,
        found: &mut Partial,
        curve: &mut Curve,
        demand: &Demand,
        propeller: usize,
        range: Range<usize>,
        depth: Depth,
    ) {
        let per_block = self.space.cells.len() * self.space.packs.len();
        for machine in 0..self.space.machines.len() {
            for reduction in 0..self.space.reductions.len() {
                let start = self.space.index(Place { propeller, machine, reduction, cells: 0, packs: 0 });
                let here = overlap(&range, start, per_block);
                if here.is_empty() {
                    continue;
                }
                let block = self.block(demand, (propeller, machine, reduction));
                self.run_block(found, curve, &block, start, &here, depth);
            }
        }
    }

    fn block<'a>(
        &'a self,
        demand: &'a Demand,
        (propeller, machine, reduction): (usize, usize, usize),
    ) -> Block<'a> {
        let train = &self.trains[machine * self.space.reductions.len() + reduction];
        let (rev_s, torque_n_m) = demand.cruise[self.fastest_cruise];
        Block { demand, propeller, machine, reduction, train, fastest: train.at(rev_s, torque_n_m) }
    }

    fn run_block(
        &self,
        found: &mut Partial,
        curve: &mut Curve,
        block: &Block<'_>,
        start: usize,
        here: &Range<usize>,
        depth: Depth,
    ) {
        let by_motor = block.fastest.first_violation();
        // Asked only of blocks in which a bank is within the limits, which most have not.
        let mut cruising = None;
        let packs = self.space.packs.len();
        for cells in 0..self.space.cells.len() {
            let row = overlap(here, start + cells * packs, packs);
            if row.is_empty() {
                continue;
            }
            if let Some(cause) = first_over(&self.cells_shares(block.machine, cells)).or(by_motor) {
                found.tally.refuse(cause, row.len());
                continue;
            }
            for index in row {
                let bank = self.bank(cells, index - start - cells * packs);
                if let Some(cause) = self.first_of_bank(block, bank) {
                    found.tally.refuse(cause, 1);
                    continue;
                }
                found.tally.within += 1;
                if depth == Depth::Limits {
                    continue;
                }
                let cruising = cruising.get_or_insert_with(|| {
                    curve.fill(block.train, block.demand, &self.grid_m_s, self.highest_v);
                    let (rev_s, torque_n_m) = block.demand.cruise[0];
                    block.train.at(rev_s, torque_n_m)
                });
                let top_speed_m_s = curve.top_speed_m_s(&self.grid_m_s, self.supply(block.machine, bank));
                let merits = self.merits(block, bank, cruising, top_speed_m_s);
                if depth == Depth::FullThrottle {
                    found.sum_of_speeds_m_s += top_speed_m_s;
                    continue;
                }
                found.front.insert(index, merits);
            }
        }
    }

    fn cells_shares(&self, machine: usize, cells: usize) -> [(Cause, f64); 2] {
        let speed = self.motor_speed[machine * self.space.cells.len() + cells];
        [(Cause::Touch, self.touch[cells]), (Cause::MotorSpeed, speed)]
    }

    #[inline]
    fn first_of_bank(&self, block: &Block<'_>, bank: usize) -> Option<Cause> {
        let supply = self.supply(block.machine, bank);
        let is_within = block.fastest.drive_power_w(supply.loss_scale) <= supply.most_w
            && supply.volts_share(block.fastest.bus_v, block.fastest.drive_power_w(supply.loss_scale)) <= 1.0;
        if !is_within {
            return first_over(&supply.shares(&block.fastest));
        }
        first_over(&self.own_shares(block, bank))
    }

    fn own_shares(&self, block: &Block<'_>, bank: usize) -> [(Cause, f64); 2] {
        [
            (Cause::Mass, self.mass_kg(block.machine, bank) / self.demands.most_mass_kg),
            (Cause::Budget, self.cost(block, bank) / self.demands.budget),
        ]
    }

    fn cost(&self, block: &Block<'_>, bank: usize) -> f64 {
        self.costs.propellers[block.propeller]
            + self.costs.machines[block.machine]
            + self.costs.reductions[block.reduction]
            + self.costs.banks[bank]
    }

    fn merits(&self, block: &Block<'_>, bank: usize, cruising: &Point, top_speed_m_s: f64) -> Merits {
        let supply = self.supply(block.machine, bank);
        Merits {
            energy_per_metre_j: (cruising.drive_power_w(supply.loss_scale) + supply.house_w)
                / self.cruise_m_s[0],
            top_speed_m_s,
            mass_kg: self.mass_kg(block.machine, bank),
            cost: self.cost(block, bank),
            tip_speed_m_s: block.demand.tip_speed_m_s,
        }
    }

    /// Every limit of every candidate in `range` by itself: what a search that found nothing is asked for.
    #[must_use]
    pub fn refusals(&self, range: Range<usize>) -> Refusals {
        let mut refusals = Refusals::default();
        let mut demand: Option<(usize, Demand)> = None;
        for index in range.start..range.end.min(self.space.len()) {
            let place = self.space.place(index);
            let of_propeller = match demand.take() {
                Some((propeller, known)) if propeller == place.propeller => known,
                _ => Demand::new(self, &self.space.propellers[place.propeller], false),
            };
            refusals.add(&self.shares(&of_propeller, place), index);
            demand = Some((place.propeller, of_propeller));
        }
        refusals
    }

    /// Share of every limit at the fastest cruising speed, indexed by [`Cause`].
    fn shares(&self, demand: &Demand, place: Place) -> [f64; CAUSE_COUNT] {
        let mut shares = [0.0; CAUSE_COUNT];
        let mut note = |found: &[(Cause, f64)]| {
            for &(cause, share) in found {
                shares[cause as usize] = share.max(shares[cause as usize]);
            }
        };
        note(&demand.shares);
        note(&self.cells_shares(place.machine, place.cells));
        let block = self.block(demand, (place.propeller, place.machine, place.reduction));
        let bank = self.bank(place.cells, place.packs);
        note(&self.own_shares(&block, bank));
        // Without thrust there is no point at which motor and bank could be judged.
        if demand.shares[1].1 <= 1.0 {
            note(&block.fastest.shares());
            note(&self.supply(place.machine, bank).shares(&block.fastest));
        }
        shares
    }
}

fn first_over(shares: &[(Cause, f64)]) -> Option<Cause> {
    shares.iter().find(|(_, share)| *share > 1.0).map(|(cause, _)| *cause)
}

/// The part of `range` that lies in `length` numbers from `start`.
fn overlap(range: &Range<usize>, start: usize, length: usize) -> Range<usize> {
    let (from, to) = (range.start.max(start), range.end.min(start + length));
    from..to.max(from)
}
