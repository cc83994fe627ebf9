//! The bank over a year: a voltage behind a resistance that is filled and emptied hour by hour, down to a
//! floor or to where the packs cut out, with charge and energy kept account of.
//! Not for: limits of the drive (`steady`), banks one after the other (`row`).

use crate::battery::peukert::{current_that_takes, depletion_factor};
use crate::battery::{Acceptance, Bank, BankError};
use crate::numeric::solve_bracketed;

/// Pieces of the whole range of charge between which rest voltage is taken as straight.
const PIECES: usize = 200;

/// One bank, ready for many hours.
#[derive(Debug, Clone)]
pub(super) struct One {
    /// Rest volts at the nodes.
    rest_v: Vec<f64>,
    /// Energy below each node \[J\].
    below_j: Vec<f64>,
    /// Resistance at the nodes \[ohm\].
    resistance_ohm: Vec<f64>,
    /// Charge from empty to full \[C\].
    pub capacity_coulomb: f64,
    efficiency: f64,
    acceptance: Acceptance,
    charge_limit_a: f64,
    discharge_limit_a: f64,
    cable_ohm: f64,
    cut_out_v: f64,
    rating_s: f64,
    exponent: f64,
}

/// What went through the bank in one step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Passed {
    /// Energy into (positive) or out of (negative) the terminals \[J\].
    pub terminal_j: f64,
    /// Lost in resistance, charge efficiency and high rate \[J\].
    pub lost_j: f64,
    /// Charge through the terminals \[C\], positive in.
    pub terminal_coulomb: f64,
    /// Charge lost \[C\].
    pub lost_coulomb: f64,
    /// State of charge after it.
    pub state_of_charge: f64,
}

impl One {
    /// Of a bank at its temperature.
    /// # Errors
    /// As [`Bank::check`].
    pub fn new(bank: &Bank) -> Result<Self, BankError> {
        bank.check()?;
        let chemistry = bank.groups[0].chemistry;
        let mut at = Bank { state_of_charge: 0.5, ..bank.clone() };
        let middle = at.prepare()?;
        let (mut rest_v, mut resistance_ohm) = (Vec::new(), Vec::new());
        for node in 0..=PIECES {
            at.state_of_charge = node as f64 / PIECES as f64;
            let now = at.prepare_checked(chemistry);
            rest_v.push(now.open_circuit_v);
            resistance_ohm.push(now.resistance_ohm());
        }
        let piece_coulomb = middle.capacity_coulomb / PIECES as f64;
        let mut below_j = vec![0.0];
        for pair in rest_v.windows(2) {
            below_j.push(below_j.last().copied().unwrap_or(0.0) + 0.5 * (pair[0] + pair[1]) * piece_coulomb);
        }
        Ok(Self {
            rest_v,
            below_j,
            resistance_ohm,
            capacity_coulomb: middle.capacity_coulomb,
            efficiency: chemistry.coulombic_efficiency(bank.temperature_k),
            acceptance: Acceptance::of(chemistry, middle.capacity_coulomb),
            charge_limit_a: middle.charge_limit_a,
            discharge_limit_a: middle.discharge_limit_a,
            cable_ohm: middle.cable_resistance_ohm,
            cut_out_v: middle.low_voltage_v,
            rating_s: middle.rating_s,
            exponent: middle.peukert_exponent,
        })
    }

    fn place(state_of_charge: f64) -> (usize, f64) {
        let along = state_of_charge.clamp(0.0, 1.0) * PIECES as f64;
        let node = (along as usize).min(PIECES - 1);
        (node, along - node as f64)
    }

    fn rest_v(&self, state_of_charge: f64) -> f64 {
        let (node, part) = Self::place(state_of_charge);
        self.rest_v[node] + (self.rest_v[node + 1] - self.rest_v[node]) * part
    }

    /// Energy between empty and a state of charge, at rest volts \[J\].
    #[must_use]
    pub fn held_j(&self, state_of_charge: f64) -> f64 {
        self.held_at_j(Self::place(state_of_charge))
    }

    fn held_at_j(&self, (node, part): (usize, f64)) -> f64 {
        let low = self.rest_v[node];
        let slope = self.rest_v[node + 1] - low;
        self.below_j[node] + part * (low + 0.5 * slope * part) * self.capacity_coulomb / PIECES as f64
    }

    /// Offers (positive) or asks (negative) `power_w` at the terminals for `duration_s`; takes or gives as
    /// much of it as can be, down to the last of the charge.
    ///
    /// Volts are the mean over the step, so charge and energy close whatever the step's length.
    #[must_use]
    pub fn step(&self, state_of_charge: f64, power_w: f64, duration_s: f64) -> Passed {
        self.step_down_to(state_of_charge, power_w, duration_s, 0.0)
    }

    /// [`Self::step`] no further down than `floor`.
    #[must_use]
    pub fn step_down_to(&self, state_of_charge: f64, power_w: f64, duration_s: f64, floor: f64) -> Passed {
        let most_a = self.most_a(state_of_charge, power_w, duration_s, floor);
        self.pass(state_of_charge, power_w, duration_s, most_a)
    }

    /// [`Self::step`] within what the packs' protection lets out: no further down than `floor`, and not
    /// beyond the charge at which their volts under this load meet the cut-out.
    #[must_use]
    pub fn step_above(&self, state_of_charge: f64, power_w: f64, duration_s: f64, floor: f64) -> Passed {
        if power_w >= 0.0 {
            return self.step(state_of_charge, power_w, duration_s);
        }
        let most_down_to =
            |floor: f64| self.most_a(state_of_charge, power_w, duration_s, floor).min(self.discharge_limit_a);
        let passed = self.pass(state_of_charge, power_w, duration_s, most_down_to(floor));
        let current_a = -passed.terminal_coulomb / duration_s;
        let spare_v = |charge: f64| self.packs_v(charge, current_a) - self.cut_out_v;
        if spare_v(passed.state_of_charge) >= 0.0 {
            return passed;
        }
        let cut_out = if spare_v(state_of_charge) > 0.0 {
            solve_bracketed(spare_v, passed.state_of_charge, state_of_charge, 1e-9).unwrap_or(state_of_charge)
        } else {
            state_of_charge
        };
        self.pass(state_of_charge, power_w, duration_s, most_down_to(cut_out))
    }

    /// Volts at the packs, as their protection sees them, while they give a current \[V\].
    fn packs_v(&self, state_of_charge: f64, current_a: f64) -> f64 {
        let (node, part) = Self::place(state_of_charge);
        let (low, high) = (self.resistance_ohm[node], self.resistance_ohm[node + 1]);
        self.rest_v(state_of_charge) - current_a * (low + (high - low) * part - self.cable_ohm)
    }

    /// The step, with no more current than `most_a`.
    fn pass(&self, state_of_charge: f64, power_w: f64, duration_s: f64, most_a: f64) -> Passed {
        /// The mean volts settle by a factor of hundreds in each pass.
        const PASSES: usize = 16;
        /// The power asked for is met as closely; energy closes whatever this is.
        const SETTLED: f64 = 1e-9;
        let (node, part) = Self::place(state_of_charge);
        let resistance = self.resistance_ohm[node];
        let slope_v = self.rest_v[node + 1] - self.rest_v[node];
        let rest_v = self.rest_v[node] + slope_v * part;
        let held_j = self.held_at_j((node, part));
        // Mean rest volts from here to another state of charge.
        let mean_to_v = |to: f64| {
            let (end, step) = (Self::place(to), to - state_of_charge);
            // Within one piece the volts are straight; and a difference of two sums loses digits in short steps.
            if end.0 == node {
                return rest_v + 0.5 * slope_v * (end.1 - part);
            }
            if step.abs() < 1e-6 {
                return self.rest_v(0.5 * (state_of_charge + to));
            }
            (self.held_at_j(end) - held_j) / (step * self.capacity_coulomb)
        };
        let charge_of_a = duration_s / self.capacity_coulomb;
        let within =
            |wanted_a: f64| if power_w >= 0.0 { wanted_a.min(most_a) } else { wanted_a.max(-most_a) };
        let after = |current_a: f64| (state_of_charge + self.moved(current_a) * charge_of_a).clamp(0.0, 1.0);
        // The volts half way along, were the current that of the rested bank.
        let mut mean_v = mean_to_v(after(within(power_w / rest_v)));
        let mut current_a = 0.0;
        let mut next = state_of_charge;
        for _ in 0..PASSES {
            // P = E I + R I²; a demand beyond the most that the bank gives ends at half its volts.
            let under_root = (mean_v * mean_v + 4.0 * power_w * resistance).max(0.0);
            current_a = within(2.0 * power_w / (mean_v + under_root.sqrt()));
            next = after(current_a);
            let settled = mean_to_v(next);
            let is_settled = (settled - mean_v).abs() <= SETTLED * mean_v;
            mean_v = settled;
            if is_settled {
                break;
            }
        }
        let moved_coulomb = (next - state_of_charge) * self.capacity_coulomb;
        let terminal_coulomb = current_a * duration_s;
        let lost_coulomb = terminal_coulomb - moved_coulomb;
        Passed {
            terminal_j: (mean_v * current_a + resistance * current_a * current_a) * duration_s,
            lost_j: resistance * current_a * current_a * duration_s + mean_v * lost_coulomb,
            terminal_coulomb,
            lost_coulomb,
            state_of_charge: next,
        }
    }

    /// Charge that moves in the cells for a current at the terminals \[A\].
    fn moved(&self, current_a: f64) -> f64 {
        if current_a >= 0.0 {
            current_a * self.efficiency
        } else {
            current_a * depletion_factor(self.capacity_coulomb, self.rating_s, current_a, self.exponent)
        }
    }

    /// Most current that the step can take, or give down to `floor` \[A\].
    fn most_a(&self, state_of_charge: f64, power_w: f64, duration_s: f64, floor: f64) -> f64 {
        if power_w >= 0.0 {
            let room = (1.0 - state_of_charge) * self.capacity_coulomb / (self.efficiency * duration_s);
            self.charge_limit_a.min(self.acceptance.current_a(state_of_charge)).min(room).max(0.0)
        } else {
            let left_a = (state_of_charge - floor).max(0.0) * self.capacity_coulomb / duration_s;
            current_that_takes(self.capacity_coulomb, self.rating_s, left_a, self.exponent)
        }
    }
}
