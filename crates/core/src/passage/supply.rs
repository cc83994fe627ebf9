//! All that she can draw on under way: the drive's bank, then each bank that is used after it, and what is left in them.
//! Not for: which banks follow the drive's (`battery::FurtherBank`).

use crate::battery::BankError;
use crate::boat::Boat;
use crate::energy::Store;

/// Banks in the order in which they are used.
#[derive(Debug, Clone)]
pub struct Supply {
    banks: Vec<InUse>,
}

/// A bank, what it holds full \[J\], and the charge that stays in it.
#[derive(Debug, Clone)]
struct InUse {
    store: Store,
    holds_j: f64,
    reserve: f64,
}

/// State of charge of each bank.
#[derive(Debug, Clone, PartialEq)]
pub struct Left(Vec<f64>);

/// A charge at which her power is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Which bank is in use, from 0.
    pub bank: usize,
    /// Its state of charge.
    pub charge: f64,
    /// Share of all that the banks hold.
    pub share: f64,
}

impl Held {
    /// Her on that bank at that charge.
    #[must_use]
    pub fn boat(&self, boat: &Boat) -> Boat {
        let mut then = boat.clone();
        let mut following = boat.further.iter().filter(|further| further.follows(&boat.bank));
        if let Some(further) = self.bank.checked_sub(1).and_then(|place| following.nth(place)) {
            then.bank = further.bank.clone();
        }
        then.bank.state_of_charge = self.charge;
        then
    }
}

/// A bank counts as giving what is asked down to this share of it.
const GIVES: f64 = 0.98;

impl Supply {
    /// Of a boat, and what is in it as she is.
    /// # Errors
    /// As [`Store::new`].
    pub fn of(boat: &Boat) -> Result<(Self, Left), BankError> {
        let further = boat.further.iter().filter(|further| further.follows(&boat.bank));
        let further = further.map(|further| (&further.bank, further.reserve(boat.reserve)));
        let mut banks = Vec::new();
        let mut left = Vec::new();
        for (bank, reserve) in std::iter::once((&boat.bank, boat.reserve)).chain(further) {
            let store = Store::new(bank)?;
            banks.push(InUse { holds_j: store.held_j(1.0), store, reserve });
            left.push(bank.state_of_charge);
        }
        Ok((Self { banks }, Left(left)))
    }

    fn weighed(&self, charges: impl Iterator<Item = f64>) -> f64 {
        let held: f64 = self.banks.iter().zip(charges).map(|(bank, charge)| bank.holds_j * charge).sum();
        held / self.banks.iter().map(|bank| bank.holds_j).sum::<f64>()
    }

    /// Share of all that the banks hold with each at its reserve.
    #[must_use]
    pub fn reserve_share(&self) -> f64 {
        self.weighed(self.banks.iter().map(|bank| bank.reserve))
    }

    /// Share of all that the banks hold.
    #[must_use]
    pub fn share(&self, left: &Left) -> f64 {
        self.weighed(left.0.iter().copied())
    }

    /// Energy above the reserve of every bank \[J\].
    #[must_use]
    pub fn above_reserve_j(&self, left: &Left) -> f64 {
        let above =
            |(bank, charge): (&InUse, &f64)| bank.store.held_j(*charge) - bank.store.held_j(bank.reserve);
        self.banks.iter().zip(&left.0).map(above).sum()
    }

    /// Down to which charge a bank is used before the next one.
    fn floor(&self, bank: usize) -> f64 {
        if bank + 1 < self.banks.len() { self.banks[bank].reserve } else { 0.0 }
    }

    /// Takes an energy out at a steady power over a time (negative: brings it in) \[J\], \[s\]; false where the banks do not give
    /// it.
    pub fn take(&self, left: &mut Left, energy_j: f64, time_s: f64) -> bool {
        if time_s <= 0.0 {
            return true;
        }
        let mut wanted_j = energy_j;
        for (place, InUse { store, .. }) in self.banks.iter().enumerate() {
            let charge = &mut left.0[place];
            let is_in_use = if wanted_j > 0.0 { *charge > self.floor(place) + 1e-9 } else { *charge < 1.0 };
            if !is_in_use {
                continue;
            }
            let passed =
                store.step_above(*charge, -wanted_j / time_s, time_s, self.floor(place).min(*charge));
            *charge = passed.state_of_charge;
            wanted_j += passed.terminal_j;
            // What a full bank does not take is lost; what an empty one does not give the next one has to.
            if energy_j <= 0.0 || wanted_j <= (1.0 - GIVES) * energy_j {
                return true;
            }
        }
        energy_j <= 0.0
    }

    /// What comes in at a steady power over a time, from a charge on \[J\].
    #[must_use]
    pub fn taken_in_j(&self, left: &Left, power_w: f64, time_s: f64) -> f64 {
        let mut then = left.clone();
        self.take(&mut then, -power_w * time_s, time_s);
        let held = |left: &Left| -> f64 {
            self.banks.iter().zip(&left.0).map(|(bank, charge)| bank.store.held_j(*charge)).sum()
        };
        held(&then) - held(left)
    }

    /// Charges from what is left down to nothing at which her power is looked at, `steps` for each bank.
    #[must_use]
    pub fn looked_at(&self, left: &Left, steps: usize) -> Vec<Held> {
        let mut found = Vec::new();
        let mut then = left.clone();
        for bank in 0..self.banks.len() {
            let (from, to) = (then.0[bank], self.floor(bank).max(0.02).min(then.0[bank]));
            for step in 0..steps {
                let charge = from + (to - from) * step as f64 / (steps - 1).max(1) as f64;
                then.0[bank] = charge;
                found.push(Held { bank, charge, share: self.share(&then) });
            }
        }
        found
    }
}
