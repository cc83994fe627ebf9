//! The store: one SQLite file in the user's data folder that holds the boats, every revision of
//! each boat document, what is being typed, and what lost a collision between two devices.
//!
//! Not for: judging whether a document is a valid boat. The text is opaque here. Not for clocks
//! either: every write takes its time from the caller.
//!
//! # What is promised
//! - **History is append-only.** A revision is never changed or deleted (the file itself refuses);
//!   undoing and bringing back add a revision equal to a former one; a removed boat can be
//!   reinstated.
//! - **Neither of two devices loses.** A save states the revision it started from. When another
//!   save came first, the later text is kept as a [`SideRevision`] and both are handed back.
//! - **Nobody else reads it.** The file, and the folders made for it, are their owner's alone.
//! - **What was acknowledged is on the disk.** Every write is one transaction, and the call
//!   returns after it is committed. See [`Store`] for what that means on a crash or power loss.

#![deny(missing_docs)]

mod answers;
mod backup;
mod boats;
mod compare;
mod drafts;
mod error;
mod files;
mod forecasts;
mod location;
mod names;
mod private;
mod records;
mod revisions;
mod schema;
mod side;
mod store;
mod tables;

pub use backup::{Overwrite, Restored};
pub use boats::{Boat, BoatId, BoatSummary};
pub use compare::{DiffLine, LineChange, diff_lines};
pub use drafts::Draft;
pub use error::{Result, StoreError};
pub use files::write_file;
pub use forecasts::{ForecastId, KeptForecast};
pub use location::{DATA_VARIABLE, default_path};
pub use records::{
    EnclosureId, KeptEnclosure, NewEnclosure, Record, RecordId, RecordRevision, RecordSave, TRIAL_KIND,
};
pub use revisions::{Revision, RevisionHead, SaveOutcome};
pub use schema::VERSION;
pub use side::{SideId, SideRevision};
pub use store::{Store, is_store};

/// An instant: milliseconds since 1970-01-01 00:00 UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UnixMs(pub i64);
