//! What a paper is made from: a boat's document with its revision, her trials and forecasts; and the fingerprint of it
//! all. Not for: what a paper says of them.

use sha2::{Digest, Sha256};
use wakewright_records::dated::HELD_KIND;
use wakewright_rooms::boats::{LoadError, Loaded, understand};
use wakewright_rooms::moment;
use wakewright_rooms::story::Story;
use wakewright_rooms::trials::{LogShelf, TrialError};
use wakewright_store::{Boat, Revision, Store, TRIAL_KIND};

use crate::VERSION;

/// A boat with everything that is kept of her.
#[derive(Debug)]
pub struct Record {
    /// Her.
    pub boat: Loaded,
    /// Number and day (`2026-05-02`, universal time) of the revision; none for a document from a file.
    pub revision: Option<(u32, String)>,
    /// The last day on which anything was kept of her, in universal time; none for a document from a file.
    pub until: Option<String>,
    /// Her trials and forecasts, one after the other.
    pub story: Story,
    /// Texts of trials, forecasts and dated records as they are kept, and the digests of the logs.
    kept: Vec<String>,
}

impl Record {
    /// Of a document that nothing else is kept with.
    #[must_use]
    pub fn of_file(boat: Loaded) -> Self {
        Self { boat, revision: None, until: None, story: Story::default(), kept: Vec::new() }
    }

    /// Of the boat `entry` in the store as `revision` has her.
    /// # Errors
    /// The document has faults, the store fails, or a trial in it cannot be read.
    pub fn of_store(
        store: &Store,
        shelf: &LogShelf,
        entry: &Boat,
        revision: &Revision,
    ) -> Result<Self, RecordError> {
        let boat = understand(&revision.text, &entry.name, &[])?;
        Self::of_loaded(store, shelf, entry, revision, boat)
    }

    /// As [`Self::of_store`] where her document was read already.
    /// # Errors
    /// The store fails, or a trial in it cannot be read.
    pub fn of_loaded(
        store: &Store,
        shelf: &LogShelf,
        entry: &Boat,
        revision: &Revision,
        boat: Loaded,
    ) -> Result<Self, RecordError> {
        let mut kept = Vec::new();
        for trial in store.records(entry.id, TRIAL_KIND).map_err(TrialError::from)? {
            kept.push(trial.text);
            let logs = store.enclosures(trial.id).map_err(TrialError::from)?;
            kept.extend(logs.into_iter().map(|log| log.digest));
        }
        kept.extend(store.forecasts(entry.id).map_err(TrialError::from)?.into_iter().map(|kept| kept.text));
        // How forecasts fared follows from the trials.
        let mut records: Vec<_> = boat.records.iter().collect();
        records.retain(|record| ![TRIAL_KIND, HELD_KIND].contains(&record.kind.as_str()));
        kept.extend(
            records.iter().map(|record| format!("{} {}\n{}", record.kind, record.number, record.text)),
        );
        let day = |time| moment::universal(time).chars().take(10).collect::<String>();
        let all = boat.records.iter().filter(|record| record.kind != HELD_KIND);
        let last = all.map(|record| record.changed).chain([revision.head.time]).max();
        let until = last.map(day);
        let day = day(revision.head.time);
        let story = Story::of_store(store, shelf, entry.id)?;
        Ok(Self { boat, revision: Some((revision.head.number, day)), until, story, kept })
    }

    /// SHA-256 of the program's version, the document and the records, in hexadecimal digits. Each text goes in behind its
    /// length, so that nothing can be moved from one into the next.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        self.fingerprint_with(self.boat.document.to_toml())
    }

    /// The same, had her document been `text`.
    pub(crate) fn fingerprint_with(&self, text: &str) -> String {
        let mut hash = Sha256::new();
        for text in [VERSION, text].into_iter().chain(self.kept.iter().map(String::as_str)) {
            hash.update((text.len() as u64).to_be_bytes());
            hash.update(text.as_bytes());
        }
        hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

/// Why a record could not be had.
#[derive(Debug)]
pub enum RecordError {
    /// Her document.
    Load(LoadError),
    /// A trial, or the store.
    Trial(TrialError),
}

impl From<LoadError> for RecordError {
    fn from(error: LoadError) -> Self {
        Self::Load(error)
    }
}

impl From<TrialError> for RecordError {
    fn from(error: TrialError) -> Self {
        Self::Trial(error)
    }
}

impl std::fmt::Display for RecordError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Load(error) => f.write_str(error.message().trim_end()),
            Self::Trial(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for RecordError {}

/// The first digits of a fingerprint, in groups of four: what stands on every page.
#[must_use]
pub fn first_digits(fingerprint: &str) -> String {
    format!("{} {} {}", &fingerprint[..4], &fingerprint[4..8], &fingerprint[8..12])
}
