//! What all pages share: the store, behind one lock, and the way to a boat.
//! Not for: what a page makes of her.

use std::collections::HashMap;
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::time::{Duration, Instant};

use maud::Markup;
use wakewright_store::{Boat, BoatId, Revision, RevisionHead, Store, UnixMs};

use super::answers::{Answers, Question};
use super::diagnoses::Diagnoses;
use super::error::WebError;
use super::jobs::Jobs;
use super::letters::Letters;
use super::parts::{UNITS, contents_width, paper};
use super::query::Query;
use super::stores::{HeldStore, Idle, Stores};
use super::turns::Turns;
use super::visitor::{ASKED_IN, Visitor, units_word};
use wakewright_records::dated::PLACE_KIND;
use wakewright_rooms::Rooms;
use wakewright_rooms::boats::{LoadError, Loaded, understand};
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::room::{AnyRoom, Asked};
use wakewright_rooms::shop::{Over, Shop, trials_named};
use wakewright_rooms::trials::{LogShelf, growth_trials, trial_streams};
use wakewright_rooms::wish::Wish;

/// The site. Handlers run their work with [`Site::run`], where it may wait and compute.
pub struct Site {
    rooms: Rooms,
    stores: Stores,
    jobs: Jobs,
    shelf: LogShelf,
    diagnoses: Diagnoses,
    letters: Letters,
    answers: Answers,
    turns: Turns,
    /// Boats as their revisions have them, the one read last at the end: to read a document costs more than most answers.
    read_lately: Mutex<Vec<Loaded>>,
    /// Trials whose forecasts are to be held once nothing more of them is typed: since when nothing was.
    to_hold: Mutex<HashMap<(String, Option<u32>), Instant>>,
}

/// For so long nothing is typed before a trial counts as kept.
const QUIET: Duration = Duration::from_millis(1500);

/// Gives a wish up when whoever had it goes away.
struct Asker(Wish);

impl Drop for Asker {
    fn drop(&mut self) {
        self.0.give_up();
    }
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
    /// As much of the shop as the room looks over.
    pub shop: Shop,
}

impl Site {
    /// Around an open store.
    pub fn new(store: Store, rooms: Rooms) -> Self {
        Self {
            rooms,
            stores: Stores {
                idle: Mutex::new(Idle { stores: vec![store], made: 1 }),
                given_back: Condvar::new(),
            },
            jobs: Jobs::default(),
            shelf: LogShelf::default(),
            diagnoses: Diagnoses::default(),
            letters: Letters::default(),
            answers: Answers::default(),
            turns: Turns::default(),
            read_lately: Mutex::default(),
            to_hold: Mutex::default(),
        }
    }

    /// The questions that a boat can be asked.
    pub fn rooms(&self) -> Rooms {
        self.rooms
    }

    /// Does `work` behind the pages once nobody has asked for it again for a while.
    pub fn once_quiet(
        self: Arc<Self>,
        trial: (String, Option<u32>),
        work: impl FnOnce(&Self, &str, Option<u32>) -> Result<(), WebError> + Send + 'static,
    ) {
        let waiting = |site: &Self, trial: &(String, Option<u32>)| {
            let mut all = site.to_hold.lock().unwrap_or_else(PoisonError::into_inner);
            let is_quiet = all.get(trial).is_none_or(|since| since.elapsed() >= QUIET);
            is_quiet.then(|| all.remove(trial));
            !is_quiet
        };
        let mut all = self.to_hold.lock().unwrap_or_else(PoisonError::into_inner);
        let is_waited_for = all.insert(trial.clone(), Instant::now()).is_some();
        drop(all);
        if is_waited_for {
            return;
        }
        std::thread::spawn(move || {
            while waiting(&self, &trial) {
                std::thread::sleep(QUIET);
            }
            // Nobody waits for it: what fails is tried again when the trial is kept again.
            drop(work(&self, &trial.0, trial.1));
        });
    }

    /// The store, for as long as the answer is held. Each holder has a connection of its own, so that
    /// none waits while another reads; writers take turns for the length of their transaction.
    pub fn store(&self) -> HeldStore<'_> {
        HeldStore { stores: &self.stores, store: Some(self.stores.take()) }
    }

    /// Logs that were read lately.
    pub fn shelf(&self) -> &LogShelf {
        &self.shelf
    }

    /// Causes that were looked into.
    pub fn diagnoses(&self) -> &Diagnoses {
        &self.diagnoses
    }

    /// The order of what pages send while they are typed in.
    pub fn letters(&self) -> &Letters {
        &self.letters
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
        let units = ASKED_IN.try_with(|units| *units).unwrap_or_default();
        let work = move || {
            UNITS.set(units);
            work(&self)
        };
        tokio::task::spawn_blocking(work).await.unwrap_or(Err(WebError::BrokenOff))
    }

    /// As [`Self::run`] for work that changes nothing: once whoever asked has gone away, its logs are not
    /// read on, and computing is broken off.
    ///
    /// # Errors
    /// As [`Self::run`].
    pub async fn run_while_wanted<T: Send + 'static>(
        self: Arc<Self>,
        work: impl FnOnce(&Self) -> Result<T, WebError> + Send + 'static,
    ) -> Result<T, WebError> {
        let wish = Wish::default();
        let _asker = Asker(wish.clone());
        self.run(move |site| wish.during(|| work(site))).await
    }

    /// The answer of kind `of` about the boat, computed unless an equal question was asked lately.
    ///
    /// # Errors
    /// Those of `work`.
    pub fn once(
        &self,
        of: (&'static str, &'static str),
        boat: &BoatOnPage,
        (query, visitor): (&Query, &Visitor),
        work: impl FnOnce() -> Result<Markup, WebError>,
    ) -> Result<Markup, WebError> {
        self.answers.get(question(of, boat, query, visitor), || self.turns.take(work))
    }

    /// The same beside an answer that has its turn already.
    ///
    /// # Errors
    /// Those of `work`.
    pub fn once_beside(
        &self,
        of: (&'static str, &'static str),
        boat: &BoatOnPage,
        (query, visitor): (&Query, &Visitor),
        work: impl FnOnce() -> Result<Markup, WebError>,
    ) -> Result<Markup, WebError> {
        self.answers.get(question(of, boat, query, visitor), work)
    }

    /// Computes `work` when its turn comes.
    ///
    /// # Errors
    /// Those of `work`, and that too much is asked at once.
    pub fn in_turn<T>(&self, work: impl FnOnce() -> Result<T, WebError>) -> Result<T, WebError> {
        self.turns.take(work)
    }

    /// The boat of this slug as her latest revision has her.
    ///
    /// # Errors
    /// There is no such boat; [`WebError::Unfinished`] when her document has faults.
    pub fn boat(&self, slug: &str) -> Result<BoatOnPage, WebError> {
        let (entry, revision) = self.latest(slug)?;
        let loaded = self.understood(&entry, &revision.text)?;
        let store = self.store();
        let (records, shop_places) = (store.all_records(entry.id)?, store.records_of_all(PLACE_KIND)?);
        let loaded = Loaded { records, shop_places: Ok(shop_places), ..loaded };
        Ok(BoatOnPage { entry, revision, loaded, shop: Shop::default() })
    }

    /// The boat that `text` describes, read anew unless it was read lately.
    fn understood(&self, entry: &Boat, text: &str) -> Result<Loaded, WebError> {
        /// So many boats are worked on at a time.
        const KEPT: usize = 12;
        let lately = |read: &[Loaded]| {
            read.iter().position(|boat| boat.place == entry.name && boat.document.to_toml() == text)
        };
        let mut read = self.read_lately.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(at) = lately(&read) {
            let boat = read.remove(at);
            read.push(boat.clone());
            return Ok(boat);
        }
        drop(read);
        let boat = understand(text, &entry.name, &[]).map_err(|error| match error {
            LoadError::Faulty { .. } => {
                WebError::Unfinished { slug: entry.slug.clone(), name: entry.name.clone() }
            }
            error => error.into(),
        })?;
        let mut read = self.read_lately.lock().unwrap_or_else(PoisonError::into_inner);
        if read.len() == KEPT {
            read.remove(0);
        }
        read.push(boat.clone());
        Ok(boat)
    }

    /// The same for a room, with as much of the shop as it looks over, and the streams of the trials that the query names.
    ///
    /// # Errors
    /// As [`Self::boat`].
    pub fn boat_for(&self, room: &dyn AnyRoom, slug: &str, query: &Query) -> Result<BoatOnPage, WebError> {
        let boat = self.boat(slug)?;
        let store = self.store();
        let mut shop = Shop::read(&store, room.over())?;
        if room.over() == Over::HerTrials {
            shop.trials = growth_trials((&store, self.shelf()), boat.entry.id, &boat.loaded);
        }
        let trials = trials_named(query.pairs().map(|(_, said)| said));
        shop.streams = trial_streams((&store, self.shelf()), boat.entry.id, &trials);
        Ok(BoatOnPage { shop, ..boat })
    }

    /// What a room that is asked of the shop gets in the place of a boat: one that nobody has stands in for her.
    ///
    /// # Errors
    /// The store fails.
    pub fn shop_for(&self, room: &dyn AnyRoom) -> Result<BoatOnPage, WebError> {
        let shop = Shop::read(&self.store(), room.over())?;
        let entry = Boat {
            id: BoatId(0),
            name: String::new(),
            slug: String::new(),
            created: UnixMs(0),
            removed: None,
        };
        let head = RevisionHead {
            number: 0,
            time: UnixMs(0),
            note: String::new(),
            brings_back: None,
            length_bytes: 0,
        };
        let revision = Revision { head, text: String::new() };
        Ok(BoatOnPage { entry, revision, loaded: understand(DEMO_BOAT, "", &[])?, shop })
    }

    /// Asks the rooms of the shop once, so that they have read its boats.
    ///
    /// # Errors
    /// The store fails.
    pub fn look_over(&self) -> Result<(), WebError> {
        for room in self.rooms.iter().filter(|room| room.over() == Over::Boats) {
            let BoatOnPage { loaded, shop, .. } = self.shop_for(*room)?;
            // What there is to say against it is said on its page.
            drop(room.answer(&Asked { shop: Some(&shop), ..Asked::of(&loaded, 1) }, None, &paper()));
        }
        Ok(())
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

/// All that an answer follows from.
fn question(
    of: (&'static str, &'static str),
    boat: &BoatOnPage,
    query: &Query,
    visitor: &Visitor,
) -> Question {
    Question {
        of,
        boat: (boat.entry.slug.clone(), boat.entry.name.clone()),
        revision: (boat.revision.head.number, boat.revision.head.note.clone()),
        text: boat.revision.text.clone(),
        records: boat
            .loaded
            .records
            .iter()
            .chain(boat.loaded.shop_places.iter().flatten())
            .map(|record| (record.id.0, record.version))
            .chain(boat.shop.marks())
            .collect(),
        asked: query
            .pairs()
            .chain([("", units_word(visitor.units)), ("", if visitor.has_script { "script" } else { "" })])
            .map(|(name, value)| (name.to_owned(), value.to_owned()))
            .collect(),
        width_bits: contents_width(query, visitor).to_bits(),
    }
}
