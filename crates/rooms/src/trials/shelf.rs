//! Logs of the store, read, and kept at hand for the next page. Not for: putting them together.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use wakewright_core::trial::TrialAnalysis;
use wakewright_logs::table::Mapping;
use wakewright_logs::trial::{LogUse, TrialReading};
use wakewright_store::{KeptLog, Store, StoreError};

use crate::logs::{Opened, read};

/// Logs that are kept read, in memory.
const SHELF_LENGTH: usize = 6;

/// A log by its digest and the mapping that it was read by.
type ShelfKey = (String, String);

/// A log on the shelf, from when somebody began to read it: whoever asks meanwhile waits for that reading.
type Place = Arc<OnceLock<Arc<Opened>>>;

/// Trials that are kept put together, in memory.
const JOINED_LENGTH: usize = 3;

/// A trial's logs joined, its runs found and paired.
#[derive(Debug)]
pub(super) struct Joined {
    pub reading: Arc<TrialReading>,
    pub analysis: TrialAnalysis,
}

/// A trial put together, or being so, by all that it follows from.
type JoinedPlace = (String, Arc<OnceLock<Arc<Joined>>>);

/// Logs that were read lately, and trials put together of them, so that a page need not do it again.
#[derive(Debug, Default)]
pub struct LogShelf {
    read: Mutex<HashMap<ShelfKey, (u64, Place)>>,
    /// The one asked for last at the end.
    joined: Mutex<Vec<JoinedPlace>>,
}

impl LogShelf {
    /// What `join` makes, unless that was made for the same `key` lately; whoever asks meanwhile waits
    /// for it.
    pub(super) fn joined(&self, key: &str, join: impl FnOnce() -> Joined) -> Arc<Joined> {
        let place = {
            let mut joined = self.joined.lock().unwrap_or_else(PoisonError::into_inner);
            let found = joined.iter().position(|(known, _)| known == key);
            let entry = found.map_or_else(|| (key.to_owned(), Arc::default()), |at| joined.remove(at));
            if joined.len() >= JOINED_LENGTH {
                joined.remove(0);
            }
            let place = Arc::clone(&entry.1);
            joined.push(entry);
            place
        };
        Arc::clone(place.get_or_init(|| Arc::new(join())))
    }

    /// The log `kept`, read as `used` says.
    /// # Errors
    /// The store fails.
    pub(super) fn get(
        &self,
        store: &Store,
        kept: &KeptLog,
        used: &LogUse,
    ) -> Result<Arc<Opened>, StoreError> {
        let key = (used.digest.clone(), used.mapping.as_ref().map_or_else(String::new, Mapping::to_json));
        let place = {
            let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
            let now = read.values().map(|(when, _)| *when).max().unwrap_or(0) + 1;
            if read.len() >= SHELF_LENGTH
                && !read.contains_key(&key)
                && let Some(oldest) =
                    read.iter().min_by_key(|(_, (when, _))| *when).map(|(key, _)| key.clone())
            {
                read.remove(&oldest);
            }
            let (when, place) = read.entry(key).or_default();
            *when = now;
            Arc::clone(place)
        };
        if let Some(opened) = place.get() {
            return Ok(Arc::clone(opened));
        }
        let packed = store.packed_log(kept.id)?;
        let opened = place.get_or_init(|| {
            let mappings: Vec<Mapping> = used.mapping.iter().cloned().collect();
            let came_packed = used.name.to_lowercase().ends_with(".gz");
            Arc::new(read(&used.name, packed.as_slice(), &mappings).came_packed(came_packed))
        });
        Ok(Arc::clone(opened))
    }
}
