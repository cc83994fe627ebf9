//! Logs of the store, read, and kept at hand for the next page. Not for: putting them together.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use wakewright_core::trial::TrialAnalysis;
use wakewright_logs::table::Mapping;
use wakewright_logs::trial::{LogUse, TrialReading};
use wakewright_store::{BoatId, KeptEnclosure, Store};

use super::TrialError;
use crate::logs::{Opened, read};
use crate::wish::{Wanted, Wish};

/// Logs that are kept read, in memory.
const SHELF_LENGTH: usize = 6;

/// A log by its digest and the mapping that it was read by.
type ShelfKey = (String, String);

/// A log on the shelf, from when somebody began to read it: whoever asks meanwhile waits for that reading.
#[derive(Debug, Default)]
struct Place {
    /// Held while it is read.
    opened: Mutex<Option<Arc<Opened>>>,
    /// Of all who asked while it was not read yet.
    wishes: Mutex<Vec<Wish>>,
}

impl Place {
    fn is_wanted(&self) -> bool {
        let mut wishes = self.wishes.lock().unwrap_or_else(PoisonError::into_inner);
        wishes.retain(|wish| !wish.is_given_up());
        !wishes.is_empty()
    }
}

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
    read: Mutex<HashMap<ShelfKey, (u64, Arc<Place>)>>,
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

    /// The log `kept`, read as `used` says; reading stops when all who asked for it gave up.
    /// # Errors
    /// The store fails, or nobody waits any more.
    pub(super) fn get(
        &self,
        store: &Store,
        boat: BoatId,
        kept: &KeptEnclosure,
        used: &LogUse,
    ) -> Result<Arc<Opened>, TrialError> {
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
        let wish = Wish::of_this_thread();
        place.wishes.lock().unwrap_or_else(PoisonError::into_inner).push(wish.clone());
        let mut opened = place.opened.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(opened) = &*opened {
            place.wishes.lock().unwrap_or_else(PoisonError::into_inner).clear();
            return Ok(Arc::clone(opened));
        }
        if wish.is_given_up() {
            return Err(TrialError::NobodyWaits);
        }
        let packed = store.enclosed(boat, kept.id)?;
        let mappings: Vec<Mapping> = used.mapping.iter().cloned().collect();
        let came_packed = used.name.to_lowercase().ends_with(".gz");
        let mut was_dropped = false;
        let is_wanted = || {
            was_dropped |= !place.is_wanted();
            !was_dropped
        };
        let read = read(&used.name, Wanted { bytes: packed.as_slice(), is_wanted }, &mappings);
        if was_dropped {
            return Err(TrialError::NobodyWaits);
        }
        let read = Arc::new(read.came_packed(came_packed));
        *opened = Some(Arc::clone(&read));
        Ok(read)
    }
}

#[cfg(test)]
mod tests {
    use wakewright_logs::trial::TrialDocument;
    use wakewright_store::UnixMs;

    use super::super::{IncomingLog, KeptTrial, keep_logs, pack};
    use super::*;

    /// A log that nobody waits for is not read to its end, is not taken for read, and is read for who asks next.
    #[test]
    fn reading_stops_when_nobody_waits() {
        let folder = tempfile::tempdir().unwrap();
        let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
        let boat = store.create("Tern", crate::demo::DEMO_BOAT, "", UnixMs(1)).unwrap();
        let rows = (0..50_000).map(|second| format!("{second},51.2,{},4.1\n", 40 + second % 3));
        let path = folder.path().join("long.csv");
        std::fs::write(&path, format!("time s,volts,amps,speed kn\n{}", rows.collect::<String>())).unwrap();
        let log = pack(&IncomingLog { name: "long.csv".to_owned(), path }, &[]).unwrap();
        keep_logs(&mut store, boat, None, &[log], "", UnixMs(2)).unwrap();
        let shelf = LogShelf::default();
        let load = || KeptTrial::load(&store, &shelf, boat, 1, None);
        let gone = Wish::default();
        gone.give_up();
        assert!(matches!(gone.during(load), Err(TrialError::NobodyWaits)));
        // Given up while it is read: the second look of the reader finds nobody.
        let place = Place::default();
        let wish = Wish::default();
        place.wishes.lock().unwrap().push(wish.clone());
        let mut looks = 0;
        let is_wanted = || {
            looks += 1;
            if looks == 2 {
                wish.give_up();
            }
            place.is_wanted()
        };
        let endless = Wanted { bytes: std::io::repeat(b'\n'), is_wanted };
        assert!(read("endless.csv", endless, &[]).log.is_err());
        let kept = load().unwrap();
        assert_eq!(kept.opened[0].as_ref().unwrap().log.as_ref().unwrap().channels[0].values.len(), 50_000);
        assert_ne!(kept.document, TrialDocument::default());
    }
}
