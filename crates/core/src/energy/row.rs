//! All that she can draw on over a year: the drive's bank, and those that are used one after the other once it is at its reserve, under one
//! share of charge. Not for: what goes through one bank (`store`), a plan that keeps each bank's own charge (`passage::Supply`).

use super::store::{One, Passed};
use crate::battery::{Bank, BankError};
use crate::boat::Boat;

/// Her banks, ready for many hours.
#[derive(Debug, Clone)]
pub struct Store {
    banks: Vec<One>,
    /// From the last charge up to full: which part of which bank is used there.
    parts: Vec<Part>,
    /// Charge from empty to full, of all \[C\].
    pub capacity_coulomb: f64,
    /// Share of all with every bank at its reserve, where there are several.
    at_reserve: Option<f64>,
    /// Share of all as she is.
    pub start: f64,
}

/// A stretch of the share of all in which one bank is used.
#[derive(Debug, Clone, Copy)]
struct Part {
    bank: usize,
    /// The share of all where it begins and ends, from below.
    share: (f64, f64),
    /// The bank's own charge there.
    own: (f64, f64),
}

impl Part {
    fn own(&self, share: f64) -> f64 {
        let along = (share - self.share.0) / (self.share.1 - self.share.0);
        self.own.0 + (self.own.1 - self.own.0) * along
    }

    fn share(&self, own: f64) -> f64 {
        let along = (own - self.own.0) / (self.own.1 - self.own.0);
        self.share.0 + (self.share.1 - self.share.0) * along
    }
}

/// Within rounding of the end of a part.
const AT_END: f64 = 1e-9;
/// Of what is asked, so little is nothing.
const NOTHING: f64 = 1e-9;

impl Store {
    /// Of one bank at its temperature.
    /// # Errors
    /// As [`Bank::check`].
    pub fn new(bank: &Bank) -> Result<Self, BankError> {
        Self::row(&[(bank, 0.0)])
    }

    /// Of all banks of a boat that are used one after the other, each down to its reserve, then below it in the same order; filled the
    /// other way round. A bank whose volts cut out before its reserve gives no more in that hour, nor do those after it.
    /// # Errors
    /// As [`Bank::check`].
    pub fn of(boat: &Boat) -> Result<Self, BankError> {
        let further = boat.further.iter().filter(|further| further.follows(&boat.bank));
        let further = further.map(|further| (&further.bank, further.reserve(boat.reserve)));
        Self::row(&std::iter::once((&boat.bank, boat.reserve)).chain(further).collect::<Vec<_>>())
    }

    fn row(row: &[(&Bank, f64)]) -> Result<Self, BankError> {
        let banks = row.iter().map(|(bank, _)| One::new(bank)).collect::<Result<Vec<_>, _>>()?;
        let capacity_coulomb: f64 = banks.iter().map(|bank| bank.capacity_coulomb).sum();
        let last_first = || row.iter().enumerate().rev();
        let below = last_first().map(|(bank, (_, reserve))| (bank, (0.0, *reserve)));
        let above = last_first().map(|(bank, (_, reserve))| (bank, (*reserve, 1.0)));
        let mut from = 0.0;
        let parts = below.chain(above).filter(|(_, own)| own.1 > own.0).map(|(bank, own)| {
            let to = from + (own.1 - own.0) * banks[bank].capacity_coulomb / capacity_coulomb;
            let share = (from, to);
            from = to;
            Part { bank, share, own }
        });
        let parts = parts.collect();
        let weighed = |of: &dyn Fn(usize) -> f64| -> f64 {
            (0..banks.len()).map(|bank| of(bank) * banks[bank].capacity_coulomb / capacity_coulomb).sum()
        };
        let (at_reserve, start) = match row {
            [(bank, _)] => (None, bank.state_of_charge),
            _ => (Some(weighed(&|bank| row[bank].1)), weighed(&|bank| row[bank].0.state_of_charge)),
        };
        Ok(Self { parts, capacity_coulomb, at_reserve, start, banks })
    }

    /// Share of all at which the drive stops: that of the drive's bank where it is the only one.
    #[must_use]
    pub fn reserve(&self, of_drive: f64) -> f64 {
        self.at_reserve.unwrap_or(of_drive)
    }

    /// Energy between empty and a share of all, at rest volts \[J\].
    #[must_use]
    pub fn held_j(&self, share: f64) -> f64 {
        if let [one] = self.banks.as_slice() {
            return one.held_j(share);
        }
        let of = |part: &Part| {
            let (bank, to) = (&self.banks[part.bank], share.clamp(part.share.0, part.share.1));
            bank.held_j(part.own(to)) - bank.held_j(part.own.0)
        };
        self.parts.iter().map(of).sum()
    }

    /// Offers (positive) or asks (negative) `power_w` at the terminals for `duration_s`; takes or gives as much of it as can be, down to
    /// the last of the charge.
    #[must_use]
    pub fn step(&self, share: f64, power_w: f64, duration_s: f64) -> Passed {
        match self.banks.as_slice() {
            [one] => one.step(share, power_w, duration_s),
            _ => self.passes(share, (power_w, duration_s), 0.0, One::step_down_to),
        }
    }

    /// [`Self::step`] within what the packs' protection lets out: no further down than `floor`, and not beyond the charge at which their
    /// volts under this load meet the cut-out.
    #[must_use]
    pub fn step_above(&self, share: f64, power_w: f64, duration_s: f64, floor: f64) -> Passed {
        match self.banks.as_slice() {
            [one] => one.step_above(share, power_w, duration_s, floor),
            _ => self.passes(share, (power_w, duration_s), floor, One::step_above),
        }
    }

    /// Bank after bank: what one does not give or take for being at its end the next one does in the rest of the time.
    fn passes(
        &self,
        share: f64,
        (power_w, duration_s): (f64, f64),
        floor: f64,
        down: fn(&One, f64, f64, f64, f64) -> Passed,
    ) -> Passed {
        let mut all = Passed { state_of_charge: share, ..Passed::default() };
        let mut left_s = duration_s;
        let is_up = power_w >= 0.0;
        let parts: Vec<&Part> =
            if is_up { self.parts.iter().collect() } else { self.parts.iter().rev().collect() };
        for part in parts {
            let at = all.state_of_charge;
            let is_there =
                if is_up { at < part.share.1 - AT_END } else { at > part.share.0.max(floor) + AT_END };
            if !is_there || left_s <= NOTHING * duration_s {
                continue;
            }
            let (one, own) = (&self.banks[part.bank], part.own(at.clamp(part.share.0, part.share.1)));
            let end = part.own(if is_up { part.share.1 } else { part.share.0.max(floor) });
            let mut passed =
                if is_up { one.step(own, power_w, left_s) } else { down(one, own, power_w, left_s, end) };
            let mut took_s = left_s;
            if is_up && passed.state_of_charge > end {
                took_s *= (end - own) / (passed.state_of_charge - own);
                passed = one.step(own, power_w, took_s);
            } else if !is_up && passed.state_of_charge <= end + AT_END {
                took_s = (passed.terminal_j / power_w).clamp(0.0, left_s);
            }
            all.terminal_j += passed.terminal_j;
            all.lost_j += passed.lost_j;
            all.terminal_coulomb += passed.terminal_coulomb;
            all.lost_coulomb += passed.lost_coulomb;
            let is_at_end = (passed.state_of_charge - end).abs() < 1e-6;
            all.state_of_charge = part.share(passed.state_of_charge).clamp(0.0, 1.0);
            left_s -= took_s;
            if !is_at_end {
                break;
            }
        }
        all
    }
}
