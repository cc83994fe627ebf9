//! The rows of what is asked of a bank. Not for: filling them.

use crate::battery::{Charging, OnePackLost, StoppedBy};
use crate::sheet::Word;
use crate::spread::Interval;
use crate::steady::Limit;

/// A load at which the bank is run down.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadOnBank {
    /// Which.
    pub load: Word,
    /// Power at the terminals \[W\].
    pub power_w: f64,
    /// Energy from full to the reserve at the bank's own temperature \[J\]; `None` when it can't carry the load.
    pub usable_j: Option<Interval>,
}

/// What the bank holds at one temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldRow {
    /// Of the cells \[K\].
    pub temperature_k: f64,
    /// What it may be charged with at this temperature.
    pub charging: ChargeAtTemperature,
    /// Energy from full to the reserve \[J\] and what ended it, one for each load; `None` when it can't
    /// carry the load at all.
    pub energy_j: Vec<Option<(f64, StoppedBy)>>,
}

/// What the cells' temperature lets into a bank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ChargeAtTemperature {
    /// Nothing: too cold or too hot.
    Nothing,
    /// No more than this: the cells are cold \[A\].
    AtMostA(f64),
    /// As much as source, protection and volts allow.
    Free,
}

/// A source of charge.
#[derive(Debug, Clone, PartialEq)]
pub struct ChargeSource {
    /// In words.
    pub words: String,
    /// Into the bank's terminals \[W\].
    pub power_w: f64,
    /// It gives that power for hours; the sun of a noon does not.
    pub is_steady: bool,
}

/// One kind of pack in the parallel group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PackRow {
    /// How many alike.
    pub count: u32,
    /// Capacity of one as aged \[C\].
    pub capacity_coulomb: f64,
    /// Capacity left over that when new.
    pub health: f64,
    /// Current of one at full throttle \[A\].
    pub current_a: f64,
    /// That over its protection's limit; 0 without one.
    pub share_of_limit: f64,
}

/// Full throttle at one state of charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SagRow {
    /// State of charge.
    pub state_of_charge: f64,
    /// Volts at rest.
    pub rest_v: f64,
    /// Volts under that load, at the controller.
    pub loaded_v: f64,
    /// Speed through the water \[m/s\].
    pub speed_m_s: f64,
    /// What stops her.
    pub limit: Limit,
}

/// One throttle position, before and after one pack has dropped out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LostRow {
    /// Throttle.
    pub throttle: f64,
    /// Power out of the bank with all packs \[W\].
    pub power_w: f64,
    /// Speed with all packs \[m/s\].
    pub speed_m_s: f64,
    /// What the others carry at that same power.
    pub outcome: OnePackLost,
    /// Speed and what binds once the drive has settled on the rest \[m/s\]; `None` when it can't move her.
    pub left: Option<(f64, Limit)>,
}

/// One source of charge.
#[derive(Debug, Clone, PartialEq)]
pub struct ChargeRow {
    /// In words.
    pub words: String,
    /// Power at the bank's terminals \[W\].
    pub power_w: f64,
    /// It gives that power for hours; without, there are no hours to tell.
    pub is_steady: bool,
    /// From the reserve to 80 %; `None` when no charge is taken.
    pub to_eighty: Option<Charging>,
    /// From the reserve to full.
    pub to_full: Option<Charging>,
}

/// What is left after years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgeRow {
    /// From now.
    pub years: f64,
    /// Capacity over the rated one.
    pub health: Interval,
    /// Energy at the cruising load from full to the reserve \[J\].
    pub energy_j: Option<Interval>,
}

/// A bank of other voltage (or a spare one), used after the first.
#[derive(Debug, Clone, PartialEq)]
pub struct FurtherRow {
    /// Its group in the document.
    pub name: String,
    /// Name-plate voltage \[V\].
    pub nominal_v: f64,
    /// Speed at full throttle on it \[m/s\], and what binds.
    pub full_throttle: Option<(f64, Limit)>,
    /// At cruising speed: seconds and joules from its charge to the reserve.
    pub cruising: Option<(f64, f64)>,
}
