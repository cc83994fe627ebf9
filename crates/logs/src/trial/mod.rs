//! The trial document: one afternoon on the water as it was written down, and the reading of it.
//!
//! Everything typed stands in it as typed, right or wrong; figures come out of it by reading. What
//! the logs of the trial hold is not repeated here: it says which logs, and how they are taken.
//! Not for: keeping it (the store does), nor for what the runs mean.

mod address;
mod conditions;
mod document;
mod edit;
mod marks;
mod read_run;
mod reading;
mod written;

pub use address::{MarkPart, TrialAddress};
pub use conditions::{Condition, ConditionField, ConditionKind, Conditions, NO, YES};
pub use document::{TrialDocument, TrialDocumentError};
pub use edit::LONGEST_TEXT;
pub use read_run::{ReadRun, RunOrigin, RunState};
pub use reading::{TrialFault, TrialReading, read_trial};
pub use written::{Correction, LogUse, Meter, RunMark, Written};
