//! Logs of the store, read, and kept at hand for the next page. Not for: putting them together.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use wakewright_logs::csv::Mapping;
use wakewright_logs::trial::LogUse;
use wakewright_store::{KeptLog, Store, StoreError};

use crate::logs::{Opened, read};

/// Logs that are kept read, in memory.
const SHELF_LENGTH: usize = 6;

/// A log by its digest and the mapping that it was read by.
type ShelfKey = (String, String);

/// Logs that were read lately, so that a page need not read them again.
#[derive(Debug, Default)]
pub struct LogShelf {
    read: Mutex<HashMap<ShelfKey, (u64, Arc<Opened>)>>,
}

impl LogShelf {
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
        let now = {
            let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
            let now = read.values().map(|(when, _)| *when).max().unwrap_or(0) + 1;
            if let Some((when, opened)) = read.get_mut(&key) {
                *when = now;
                return Ok(Arc::clone(opened));
            }
            now
        };
        let packed = store.packed_log(kept.id)?;
        let mappings: Vec<Mapping> = used.mapping.iter().cloned().collect();
        let came_packed = used.name.to_lowercase().ends_with(".gz");
        let opened = Arc::new(read(&used.name, packed.as_slice(), &mappings).came_packed(came_packed));
        let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        if read.len() >= SHELF_LENGTH
            && let Some(oldest) = read.iter().min_by_key(|(_, (when, _))| *when).map(|(key, _)| key.clone())
        {
            read.remove(&oldest);
        }
        read.insert(key, (now, Arc::clone(&opened)));
        Ok(opened)
    }
}
