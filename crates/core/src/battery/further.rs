//! A bank that is used after the drive's own is down to its reserve. Not for: packs in parallel (`bank`).

use super::{Bank, PackGroup};

/// A bank beside the drive's.
#[derive(Debug, Clone, PartialEq)]
pub struct FurtherBank {
    /// Its group in the document.
    pub name: String,
    /// Its packs.
    pub bank: Bank,
}

/// Nominal volts over those of the drive's bank between which a bank is one to switch over to. A house battery of 12 V would
/// turn the shaft slowly, and nobody wires it so. Judgement, no source.
const VOLTS_OF_A_DRIVE: std::ops::RangeInclusive<f64> = 0.6..=1.5;

/// Lead that is drawn below half of its charge ages fast.
const LEAST_OF_LEAD: f64 = 0.5;

impl FurtherBank {
    /// True where it can take the place of `drive` when that is at its reserve, by its nominal volts.
    #[must_use]
    pub fn follows(&self, drive: &Bank) -> bool {
        VOLTS_OF_A_DRIVE.contains(&(self.nominal_v() / nominal_v(drive)))
    }

    /// What stays in it: the reserve of the drive's bank, lead never below half. Common practice, no source.
    #[must_use]
    pub fn reserve(&self, of_drive: f64) -> f64 {
        if self.bank.has_lead() { of_drive.max(LEAST_OF_LEAD) } else { of_drive }
    }

    /// Nominal volts of its first packs.
    #[must_use]
    pub fn nominal_v(&self) -> f64 {
        nominal_v(&self.bank)
    }
}

fn nominal_v(bank: &Bank) -> f64 {
    bank.groups.first().map_or(0.0, PackGroup::nominal_voltage_v)
}
