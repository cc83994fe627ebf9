//! The boats of a shop as its store has them, for rooms that look over all of them. Not for: one boat (`boats`).

use wakewright_core::growth::GrowthTrial;
use wakewright_core::trial::StreamVector;
use wakewright_records::checkup::CHECKUP_KIND;
use wakewright_records::dated::{CALL_KIND, HELD_KIND};
use wakewright_store::{Boat, BoatId, KeptForecast, Record, Store, StoreError};

/// How much of the shop stands behind what a room answers of a boat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over {
    /// The boat alone.
    HerAlone,
    /// Her trials, put together.
    HerTrials,
    /// The calls of all boats, by which calls are scored.
    Calls,
    /// Every boat: it is asked of the shop and of no boat.
    Boats,
}

/// A boat of the shop as she is kept.
#[derive(Debug, Clone)]
pub struct ShopBoat {
    /// Her entry.
    pub entry: Boat,
    /// Her latest revision, by its number.
    pub revision: u32,
    /// What that says.
    pub text: String,
    /// Check-ups, and forecasts that were held.
    pub records: Vec<Record>,
    /// Forecasts.
    pub forecasts: Vec<KeptForecast>,
}

/// The stream that a trial of hers found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialStream {
    /// Number of the trial.
    pub number: u32,
    /// First and last of its runs, where its clock tells the day \[s since 1970\].
    pub from_to_s: Option<(f64, f64)>,
    /// The stream that its pairs share, and half the band of it \[m/s\]; none where they share none.
    pub found: Option<(StreamVector, f64)>,
}

/// So a stream names a trial.
pub const AS_TRIAL: &str = "as trial ";
/// Numbers of the trials that something said names as where a stream is from.
#[must_use]
pub fn trials_named<'t>(said: impl Iterator<Item = &'t str>) -> Vec<u32> {
    let number = |rest: &str| rest.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok();
    let mut named: Vec<u32> =
        said.flat_map(|text| text.split(AS_TRIAL).skip(1).filter_map(number).collect::<Vec<_>>()).collect();
    named.sort_unstable();
    named.dedup();
    named
}

/// As much of the shop as was asked for.
#[derive(Debug, Clone, Default)]
pub struct Shop {
    /// Calls of all boats.
    pub calls: Vec<Record>,
    /// The boats.
    pub boats: Vec<ShopBoat>,
    /// Trials of one boat of which it is known how long she had been clean.
    pub trials: Vec<GrowthTrial>,
    /// Streams that trials of one boat found.
    pub streams: Vec<TrialStream>,
}

impl Shop {
    /// What a room looks over.
    /// # Errors
    /// The store fails.
    pub fn read(store: &Store, over: Over) -> Result<Self, StoreError> {
        let mut shop = Self::default();
        if matches!(over, Over::Calls | Over::Boats) {
            shop.calls = store.records_of_all(CALL_KIND)?;
        }
        if over == Over::Boats {
            let mut records = store.records_of_all(CHECKUP_KIND)?;
            records.extend(store.records_of_all(HELD_KIND)?);
            for line in store.list()? {
                let id: BoatId = line.boat.id;
                let (hers, others) = records.into_iter().partition(|record| record.boat == id);
                records = others;
                let (revision, text) = (line.latest, store.latest(id)?.text);
                let forecasts = store.forecasts(id)?;
                shop.boats.push(ShopBoat { entry: line.boat, revision, text, records: hers, forecasts });
            }
        }
        Ok(shop)
    }

    /// Numbers and versions of all that stands in it: an answer that follows from it changes with them.
    pub fn marks(&self) -> impl Iterator<Item = (i64, u32)> {
        let records = self.calls.iter().chain(self.boats.iter().flat_map(|boat| &boat.records));
        let of_boats = self.boats.iter().flat_map(|boat| {
            let forecasts = boat.forecasts.iter().map(|kept| (-kept.id.0, u32::MAX));
            std::iter::once((-boat.entry.id.0, boat.revision)).chain(forecasts)
        });
        records.map(|record| (record.id.0, record.version)).chain(of_boats)
    }
}
