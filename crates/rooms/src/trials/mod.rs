//! Trials of the store: logs brought in, what was answered about a source taken over, a trial put together.
//! For the commands and the page alike.
//! Not for: the meaning of runs (`wakewright_core::trial`) or the causes of a shortfall.

mod growing;
mod kept;
mod pack;
mod questions;
mod shelf;
mod table;

pub use growing::{growth_trials, trial_streams};
pub use kept::KeptTrial;
pub use pack::{IncomingLog, PackedLog, pack};
pub(crate) use pack::{digest_of, unpacked_digest};
pub use questions::{Answer, other_bank};
pub use shelf::LogShelf;
pub use table::samples_csv;

use wakewright_logs::TimeBase;
use wakewright_logs::table::Mapping;
use wakewright_logs::trial::{LogUse, TrialDocument};
use wakewright_store::{BoatId, NewEnclosure, Record, RecordSave, Store, StoreError, TRIAL_KIND, UnixMs};

use crate::logs::{Opened, time_text};
use crate::no_answer::NoAnswer;

/// Under which answers about the columns of tables are remembered.
const MAPPINGS: &str = "columns of a table";
/// Under which it is remembered that a source writes current out of the bank as negative.
const TURNED: &str = "current out is negative";
/// What is remembered there of a source whose sign stands as it is written.
const AS_WRITTEN: &str = "as written";
/// Under which channels of a source that are not believed are remembered.
const LEFT_OUT: &str = "channels left out";

/// What goes wrong with a trial.
#[derive(Debug, thiserror::Error)]
pub enum TrialError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The log.
    #[error("{name}: {why}")]
    Log {
        /// Its name.
        name: String,
        /// Why, and what to do.
        why: String,
    },
    /// The text in the store is no trial.
    #[error("trial {number} cannot be read: {why}")]
    Document {
        /// Its number.
        number: u32,
        /// Why.
        why: String,
    },
    /// Whoever asked for it went away before its logs were read.
    #[error("nobody waits for this trial any more")]
    NobodyWaits,
    /// Somebody else saved first.
    #[error("trial {0} was changed by another device meanwhile; look at it and try again.")]
    Overtaken(u32),
}

impl From<TrialError> for NoAnswer {
    fn from(error: TrialError) -> Self {
        Self::Input(error.to_string())
    }
}

/// Mappings that were confirmed before.
/// # Errors
/// The store fails.
pub fn known_mappings(store: &Store) -> Result<Vec<Mapping>, StoreError> {
    let texts = store.all_remembered(MAPPINGS)?;
    Ok(texts.iter().filter_map(|text| Mapping::from_json(text).ok()).collect())
}

/// Remembers what the columns of tables like this one mean.
/// # Errors
/// The store fails.
pub fn remember_mapping(store: &mut Store, mapping: &Mapping, time: UnixMs) -> Result<(), StoreError> {
    store.remember(MAPPINGS, &mapping.source_key(), &mapping.to_json(), time)
}

/// What a log is known by: its columns, else its messages. Logs from one source share it.
fn source_of(opened: &Opened) -> String {
    match (opened.mapping.as_ref().filter(|_| opened.is_table()), &opened.log) {
        (Some(mapping), _) => mapping.source_key(),
        (None, Ok(log)) => log.channels.iter().map(|channel| channel.key()).collect::<Vec<_>>().join(" "),
        (None, Err(_)) => String::new(),
    }
}

/// Forgets what was answered about logs of the source of `opened`.
/// # Errors
/// The store fails.
pub fn forget_source(store: &mut Store, opened: &Opened, time: UnixMs) -> Result<(), StoreError> {
    let source = source_of(opened);
    if let Some(mapping) = &opened.mapping {
        store.remember(MAPPINGS, &mapping.source_key(), "", time)?;
    }
    store.remember(LEFT_OUT, &source, "", time)?;
    store.remember(TURNED, &source, "no", time)
}

/// What is taken as it was said before of logs of this source, but for the questions `told` now; `None` where nothing is.
/// # Errors
/// The store fails.
pub fn remembered_words(store: &Store, opened: &Opened, told: &[&str]) -> Result<Option<String>, StoreError> {
    let source = source_of(opened);
    let mapping = opened.mapping.as_ref().filter(|_| opened.is_mapping_told());
    let mut all: Vec<String> = Vec::new();
    if let Some(mapping) = mapping {
        for key in mapping.answered.iter().filter(|key| !told.contains(&key.as_str())) {
            all.push(match (key.as_str(), &mapping.battery, &mapping.part) {
                ("battery", Some(battery), _) => format!("battery={battery}"),
                ("part", _, Some(part)) => format!("part={}", part.name),
                _ => key.clone(),
            });
        }
    }
    all.extend(
        store
            .remembered(LEFT_OUT, &source)?
            .iter()
            .flat_map(|keys| keys.lines())
            .map(|key| format!("without {key}")),
    );
    match store.remembered(TURNED, &source)?.as_deref() {
        Some("yes") => all.push("amps turned round".to_owned()),
        Some(AS_WRITTEN) => all.push("amps as they are written".to_owned()),
        _ => {}
    }
    Ok((!all.is_empty()).then(|| {
        format!(
            "{}: taken as last time, for a file of the same source: {}. Another --answer changes one; --forget asks all of it anew.",
            opened.file,
            all.join(", ")
        )
    }))
}

/// Puts logs into a new trial, or into that of `number`, all or nothing. What was answered before
/// about logs of the same source is taken over.
/// # Errors
/// [`TrialError`]; then nothing was changed.
pub fn keep_logs(
    store: &mut Store,
    boat: BoatId,
    number: Option<u32>,
    logs: &[PackedLog],
    title: &str,
    time: UnixMs,
) -> Result<Record, TrialError> {
    let kept = match number {
        Some(number) => Some(store.record(boat, TRIAL_KIND, number)?),
        None => None,
    };
    let mut document = match &kept {
        Some(trial) => document_of(trial)?,
        None => TrialDocument::titled(title),
    };
    for log in logs {
        take_up(store, &mut document, log)?;
    }
    let new: Vec<NewEnclosure<'_>> = logs.iter().map(PackedLog::new_log).collect();
    let Some(trial) = kept else {
        return Ok(store.enter_record(boat, TRIAL_KIND, &document.to_json(), &new, time)?);
    };
    match store.save_record(trial.id, trial.version, &document.to_json(), &new, time)? {
        RecordSave::Saved(_) => Ok(store.record(boat, TRIAL_KIND, trial.number)?),
        RecordSave::Overtaken(theirs) => Err(TrialError::Overtaken(theirs.number)),
    }
}

/// Enters `log` in the document, with what is known of its source.
fn take_up(store: &Store, document: &mut TrialDocument, log: &PackedLog) -> Result<(), TrialError> {
    if document.log_mut(&log.digest).is_some() {
        return Ok(());
    }
    let source = source_of(&log.opened);
    let left_out = store.remembered(LEFT_OUT, &source)?.unwrap_or_default();
    document.logs.push(LogUse {
        digest: log.digest.clone(),
        name: log.name.clone(),
        shift: String::new(),
        mapping: log.opened.mapping.clone().filter(|_| log.opened.is_mapping_told()),
        left_out: left_out.lines().map(str::to_owned).collect(),
    });
    let turned = store.remembered(TURNED, &source)?;
    document.meter.is_current_turned |= turned.as_deref() == Some("yes");
    document.meter.is_current_as_written |= turned.as_deref() == Some(AS_WRITTEN);
    if document.date.trim().is_empty()
        && let Ok(read) = &log.opened.log
        && read.time_base == TimeBase::Utc
        && let Some((from_s, _)) = read.span_s()
    {
        document.date = time_text(TimeBase::Utc, from_s).chars().take(10).collect();
    }
    Ok(())
}

/// The document in a trial's text.
/// # Errors
/// [`TrialError::Document`].
pub fn document_of(trial: &Record) -> Result<TrialDocument, TrialError> {
    TrialDocument::from_json(&trial.text)
        .map_err(|error| TrialError::Document { number: trial.number, why: error.to_string() })
}
