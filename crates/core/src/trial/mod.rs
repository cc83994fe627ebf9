//! Speed trials: what a run is, opposite pairs, the stream taken out, corrections to the stated
//! conditions. In the manner of the ship-trial guidelines, which were not written for small craft.
//!
//! Not for: reading logs or finding steady stretches in them (`wakewright-logs`), nor for causes
//! of a shortfall.

mod analysis;
mod constant_stream;
mod correct;
mod iterative;
mod pairs;
mod power_law;
mod run;
mod sailed;
mod sheets;
mod stated;
mod stream;

pub use analysis::{AlternatingResult, PairResult, TrialAnalysis, analyse_trial, shared_stream};
pub use constant_stream::{ConstantStream, constant_stream};
pub use correct::{
    AirDrag, WAVE_ENCOUNTER_LIMIT_RAD, WaterChange, added_wave_resistance_stawave1_n,
    power_at_displacement_w, power_without_resistance_w, water_resistance_change_n,
    wave_height_limit_stawave1_m, wind_resistance_change_n,
};
pub use iterative::{
    CurrentTerms, IterativeError, IterativeRun, StreamSolution, TIDAL_PERIOD_S, run_current_loops,
    solve_current_iterative,
};
pub use pairs::{OppositePair, PairBounds, match_opposite_runs, offered_pairs};
pub use power_law::{PowerLaw, fit_power_law};
pub use run::Run;
pub use sailed::{mark_sailed, sailed_text};
pub use sheets::{DayFacts, DayPart, LogRemark, REMARK_COLUMNS, RunFacts, TRIAL_SHEETS, TrialFacts};
pub use stated::{DayWatts, RunFlag, StatedBoat, TrialDay};
pub use stream::{GroundRun, StreamEstimate, StreamVector, double_run, double_run_by_vectors, mean_of_means};
