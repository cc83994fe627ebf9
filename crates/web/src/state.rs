//! What all pages share: the store, behind one lock, and the way to a boat.
//! Not for: what a page makes of her.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use wakewright_store::{Boat, Revision, Store, UnixMs};

use super::diagnoses::Diagnoses;
use super::error::WebError;
use super::jobs::Jobs;
use wakewright_rooms::Rooms;
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::trials::LogShelf;

/// The site. Handlers run their work with [`Site::run`], where it may wait and compute.
pub struct Site {
    rooms: Rooms,
    store: Mutex<Store>,
    jobs: Jobs,
    shelf: LogShelf,
    diagnoses: Diagnoses,
}

/// A boat of the store, read and understood.
#[derive(Debug)]
pub struct BoatOnPage {
    /// Her entry in the store.
    pub entry: Boat,
    /// The revision that is shown, what-ifs not among it.
    pub revision: Revision,
    /// Her, with the what-ifs.
    pub loaded: Loaded,
}

impl Site {
    /// Around an open store.
    pub fn new(store: Store, rooms: Rooms) -> Self {
        Self {
            rooms,
            store: Mutex::new(store),
            jobs: Jobs::default(),
            shelf: LogShelf::default(),
            diagnoses: Diagnoses::default(),
        }
    }

    /// The questions that a boat can be asked.
    pub fn rooms(&self) -> Rooms {
        self.rooms
    }

    /// The store, for as long as the answer is held.
    pub fn store(&self) -> MutexGuard<'_, Store> {
        // Every change is one transaction, so a panic elsewhere leaves the store whole.
        self.store.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Logs that were read lately.
    pub fn shelf(&self) -> &LogShelf {
        &self.shelf
    }

    /// Causes that were looked into.
    pub fn diagnoses(&self) -> &Diagnoses {
        &self.diagnoses
    }

    /// The searches that run or are held.
    pub fn jobs(&self) -> &Jobs {
        &self.jobs
    }

    /// Runs `work` where it may wait for the disk or compute, away from the tasks that answer.
    ///
    /// # Errors
    /// Those of `work`; [`WebError::BrokenOff`] when it did not come to an end.
    pub async fn run<T: Send + 'static>(
        self: Arc<Self>,
        work: impl FnOnce(&Self) -> Result<T, WebError> + Send + 'static,
    ) -> Result<T, WebError> {
        tokio::task::spawn_blocking(move || work(&self)).await.unwrap_or(Err(WebError::BrokenOff))
    }

    /// The boat of this slug as her latest revision has her, with the changes `sets`
    /// (`propeller.pitch=11 in`), which are not kept.
    ///
    /// # Errors
    /// There is no such boat; [`WebError::Document`] with every fault of her document.
    pub fn boat(&self, slug: &str, sets: &[String]) -> Result<BoatOnPage, WebError> {
        let (entry, revision) = self.latest(slug)?;
        let loaded = understand(&revision.text, &entry.name, sets)?;
        Ok(BoatOnPage { entry, revision, loaded })
    }

    /// The entry and the latest revision of the boat of this slug, whatever her document says.
    ///
    /// # Errors
    /// There is no such boat.
    pub fn latest(&self, slug: &str) -> Result<(Boat, Revision), WebError> {
        let store = self.store();
        let entry = store.find_by_slug(slug)?;
        let revision = store.latest(entry.id)?;
        Ok((entry, revision))
    }
}

/// This instant.
pub fn now() -> UnixMs {
    UnixMs(jiff::Timestamp::now().as_millisecond())
}
