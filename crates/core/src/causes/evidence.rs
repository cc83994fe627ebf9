//! What is known: the runs of one or more trials, and what was seen and noted on those days.
//! Not for: what follows from it.

use crate::boat::BoatSpec;
use crate::fouling::FoulingCondition;
use crate::steady::BoatError;
use crate::trial::Run;
use crate::water::Water;

/// Why a run is shown and not fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftOut {
    /// The water was too shallow.
    Shallow,
    /// Banks or walls close by.
    Confined,
    /// Somebody said so.
    ByHand,
    /// It has neither shaft speed nor power nor a throttle that is known to be fully open.
    NothingHeld,
    /// It has neither a speed nor a power beside what was held.
    NothingMeasured,
    /// Sails drove her.
    Sailed,
}

impl LeftOut {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Shallow => "in shallow water",
            Self::Confined => "between banks or walls",
            Self::ByHand => "left out by hand",
            Self::NothingHeld => "neither rpm nor power is known, nor that it was full throttle",
            Self::NothingMeasured => "nothing was measured beside what was held",
            Self::Sailed => "under sail, alone or beside the motor",
        }
    }
}

/// A run of a trial.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TrialRun {
    /// Its means.
    pub run: Run,
    /// The throttle was fully open.
    pub is_full_throttle: bool,
    /// Why it is not to be fitted.
    pub left_out: Option<LeftOut>,
}

/// What was seen and noted on the day. What nobody noted is `None`; nothing is taken for granted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Observed {
    /// Bottom, by a look.
    pub bottom: Option<FoulingCondition>,
    /// Blades, by a look or by hand.
    pub blades: Option<FoulingCondition>,
    /// Months since the bottom was last cleaned.
    pub months_since_cleaning: Option<f64>,
    /// Water she was in.
    pub water: Option<Water>,
    /// Its temperature \[K\], for how fast growth grows.
    pub water_temperature_k: Option<f64>,
    /// Displacement on that day \[kg\].
    pub displacement_kg: Option<f64>,
    /// True wind \[m/s\].
    pub true_wind_m_s: Option<f64>,
    /// Where it came from, from true north \[rad\].
    pub wind_from_rad: Option<f64>,
    /// Significant wave height \[m\].
    pub wave_height_m: Option<f64>,
    /// State of charge, 0..1.
    pub state_of_charge: Option<f64>,
    /// Volts of the bank at rest before the runs \[V\].
    pub rest_voltage_v: Option<f64>,
    /// The power that was measured holds the standing loads too: nobody took them off.
    pub is_house_in_power: bool,
}

/// One trial: an afternoon.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Epoch {
    /// What it is called.
    pub label: String,
    /// Day as it is written, `2026-05-02`.
    pub date: String,
    /// Its runs, in order of time.
    pub runs: Vec<TrialRun>,
    /// What was seen.
    pub observed: Observed,
    /// She as her document had her then, where that was otherwise than now. The latest trial has none: it is
    /// held against her document of today.
    pub then: Option<Box<BoatSpec>>,
    /// What to know of how it is read; empty when there is nothing.
    pub remark: String,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CausesError {
    /// No trial was given.
    #[error("there is no trial to look into; enter one first")]
    NoTrial,
    /// No run of a trial can be fitted.
    #[error(
        "no run of {label} says anything: {why}. What is needed is a run in open, deep water with a speed and with turns, volts, amps or the \
         lever fully open; where she lives in a canal, its depth and width with her sea"
    )]
    NothingToFit {
        /// Which trial.
        label: String,
        /// Why, in words.
        why: String,
    },
    /// The boat has no steady state as her document has her.
    #[error("as her document has her: {0}")]
    Boat(#[from] BoatError),
    /// Some run has no steady state.
    #[error("run {run} of \"{label}\" cannot be reproduced: {why}")]
    Impossible {
        /// Which trial.
        label: String,
        /// Which run, from 1.
        run: usize,
        /// Why.
        why: String,
    },
    /// The samples are too few to be trusted.
    #[error(
        "the runs and what is known of her contradict each other so strongly that no figure can be trusted; look at the run list first"
    )]
    Contradiction,
}
