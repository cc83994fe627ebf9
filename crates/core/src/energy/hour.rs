//! One hour of the bank: who gives, who takes, who is left out. The day and the year both run on it.
//! Not for: what sun and loads are in that hour.

use super::HOUR_S;
use super::plan::Shore;
use super::store::{Passed, Store};

/// What comes and what is asked for in one hour, at the bank's terminals \[W\].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Asked {
    /// From the panels.
    pub sun_w: f64,
    /// From the propeller.
    pub regeneration_w: f64,
    /// Loads aboard.
    pub house_w: f64,
    /// Drive.
    pub drive_w: f64,
    /// Under way for a part of it.
    pub is_away: bool,
}

/// What became of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Served {
    /// On shore power.
    pub is_plugged: bool,
    /// From the shore \[W\].
    pub shore_w: f64,
    /// Of sun and regeneration, what the bank did not take \[W\].
    pub surplus_w: f64,
    /// Asked for and not served \[W\].
    pub missing_w: f64,
    /// Through the bank.
    pub passed: Passed,
}

impl Served {
    /// What is missing to the drive, which goes without first, and to the loads \[W\].
    pub fn missing_of(&self, asked: &Asked) -> (f64, f64) {
        let drive = self.missing_w.min(asked.drive_w);
        (drive, self.missing_w - drive)
    }
}

/// Sun serves first, then regeneration, then the shore. She plugs in when the bank is at the stated charge
/// and she is not under way, and unplugs when it is filled as stated or she leaves.
pub(super) fn serve(store: &Store, shore: &Shore, charge: f64, was_plugged: bool, asked: &Asked) -> Served {
    let own = asked.sun_w + asked.regeneration_w - asked.house_w - asked.drive_w;
    let is_plugged = !asked.is_away && charge < shore.until && (was_plugged || charge <= shore.plug_in_at);
    let offered = if is_plugged { own + shore.charge_w } else { own };
    let passed = store.step(charge, offered, HOUR_S);
    let taken_w = passed.terminal_j / HOUR_S;
    // The shore gives what the bank takes beyond what is left of sun and regeneration.
    let shore_w = if is_plugged { (taken_w - own).clamp(0.0, shore.charge_w) } else { 0.0 };
    Served {
        is_plugged,
        shore_w,
        surplus_w: (own + shore_w - taken_w).max(0.0),
        missing_w: (taken_w - own - shore_w).max(0.0),
        passed,
    }
}
