//! What is written about the logs and runs of a trial: uses, meters, marks.

use crate::join::Packs;
use crate::table::Mapping;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

worded! {
    /// A correction of runs to the stated conditions.
    Correction {
        Wind = "wind", "What the wind added.";
        Waves = "waves", "What the waves added.";
        Displacement = "displacement", "Heavier or lighter than stated.";
        Water = "water", "Other water than stated.";
    }
}

impl Correction {
    /// In words.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Wind => "wind, to still air",
            Self::Waves => "head waves, to flat water",
            Self::Displacement => "displacement, to that of the boat document",
            Self::Water => "water, to that of the boat document",
        }
    }
}

/// A text as it was typed, by the name of its field; empty texts are not kept.
pub type Written = BTreeMap<String, String>;

/// A log of the trial and how it is taken.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LogUse {
    /// Digest of its bytes, by which the store knows it.
    pub digest: String,
    /// Name of the file.
    pub name: String,
    /// Seconds to be added to its clock, as typed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub shift: String,
    /// What its columns mean, for a table, once somebody said so; until then a proposal is taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mapping: Option<Mapping>,
    /// Channels that are not believed: `voltage/column 3`.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub left_out: BTreeSet<String>,
}

/// What the meter shows beside the current of the drive.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Meter {
    /// What it shows while no current flows, as typed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub zero: String,
    /// Loads that are not the drive, as typed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub house: String,
    /// Current out of the bank is written as negative.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_current_turned: bool,
    /// Current out of the bank is written as positive: no log's sign is turned, though it seems to tell its own.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_current_as_written: bool,
    /// The logs are of packs side by side, whose amps are added.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub has_packs_beside: bool,
    /// The logs are of packs in series, whose volts are added.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub has_packs_in_series: bool,
}

impl Meter {
    /// What its logs are of together.
    #[must_use]
    pub fn packs(&self) -> Packs {
        match (self.has_packs_beside, self.has_packs_in_series) {
            (true, _) => Packs::Beside,
            (false, true) => Packs::Series,
            (false, false) => Packs::Apart,
        }
    }
}

/// A stretch of the log that is a run, set by hand.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct RunMark {
    /// From when, as typed: `2026-05-02 14:05:10`, `14:05:10` or seconds.
    pub from: String,
    /// To when.
    pub to: String,
    /// The throttle was fully open.
    #[serde(rename = "is_full_lever", default, skip_serializing_if = "std::ops::Not::not")]
    pub is_full_throttle: bool,
    /// Looked at and dropped.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_dropped: bool,
}
