//! One hour of the bank: who gives, who takes, who is left out. The day, the year and the weeks on sun alone
//! all run on it. Not for: what sun and loads are in that hour.

use super::HOUR_S;
use super::plan::Shore;
use super::row::Store;
use super::store::Passed;

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
    /// The drive \[W\].
    pub drive_w: f64,
    /// The loads \[W\].
    pub house_w: f64,
    /// Through the bank.
    pub passed: Passed,
}

/// Charge within which the bank counts as at its reserve: rounding.
pub(super) const AT_RESERVE: f64 = 1e-9;

/// Sun serves first, then regeneration, then the shore; the loads before the drive. The drive stops at
/// `reserve`, the loads run on to where the packs cut out. She plugs in when the bank is at the stated charge
/// and she is not under way, and unplugs when it is filled as stated or she leaves.
pub(super) fn serve(
    store: &Store,
    (shore, reserve): (&Shore, f64),
    charge: f64,
    was_plugged: bool,
    asked: &Asked,
) -> Served {
    let supply_w = asked.sun_w + asked.regeneration_w;
    if asked.drive_w > 0.0 && charge >= reserve - AT_RESERVE {
        let own_w = supply_w - asked.house_w - asked.drive_w;
        let passed = store.step_above(charge, own_w, HOUR_S, reserve);
        let over_w = passed.terminal_j / HOUR_S - own_w;
        // A bank that gives so little that the loads would go short has nothing for the drive.
        if over_w < asked.drive_w {
            return Served {
                is_plugged: false,
                shore_w: 0.0,
                surplus_w: (-over_w).max(0.0),
                drive_w: asked.drive_w - over_w.max(0.0),
                house_w: asked.house_w,
                passed,
            };
        }
    }
    let own_w = supply_w - asked.house_w;
    let is_plugged =
        !asked.is_away && charge < shore.until && (was_plugged || charge <= shore.plug_in_at + AT_RESERVE);
    let offered_w = if is_plugged { own_w + shore.charge_w } else { own_w };
    let passed = store.step_above(charge, offered_w, HOUR_S, 0.0);
    let taken_w = passed.terminal_j / HOUR_S;
    // The shore gives what the bank takes beyond what is left of sun and regeneration.
    let shore_w = if is_plugged { (taken_w - own_w).clamp(0.0, shore.charge_w) } else { 0.0 };
    let over_w = taken_w - own_w - shore_w;
    Served {
        is_plugged,
        shore_w,
        surplus_w: (-over_w).max(0.0),
        drive_w: 0.0,
        house_w: asked.house_w - over_w.max(0.0),
        passed,
    }
}
