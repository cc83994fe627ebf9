//! Trials of a boat as far as they tell how growth slows her, remembered, and the streams that they found. Not for: what is made of them
//! (`wakewright_core::growth`, `streams`).

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Mutex, PoisonError};

use wakewright_core::growth::GrowthTrial;
use wakewright_logs::TimeBase;
use wakewright_store::{BoatId, Record, Store, TRIAL_KIND};
use wakewright_units::factors::MONTH_S;

use super::{KeptTrial, LogShelf};
use crate::boats::{Loaded, water_k};
use crate::shop::TrialStream;

/// Her trials of which it is known how long she had been clean; one that cannot be read is left out.
#[must_use]
pub fn growth_trials((store, shelf): (&Store, &LogShelf), id: BoatId, boat: &Loaded) -> Vec<GrowthTrial> {
    let trials = boat.records.iter().filter(|record| record.kind == TRIAL_KIND);
    trials.filter_map(|trial| growth_trial((store, shelf), trial, id, boat)).collect()
}

/// The streams that trials of hers found, of those numbers; what cannot be read is left out.
#[must_use]
pub fn trial_streams((store, shelf): (&Store, &LogShelf), id: BoatId, numbers: &[u32]) -> Vec<TrialStream> {
    let of = |number: u32| {
        let kept = KeptTrial::load(store, shelf, id, number, None).ok()?;
        let is_dated = kept.reading.outings.first().is_some_and(|outing| outing.time_base == TimeBase::Utc);
        let runs = kept.reading.used();
        let from_s = runs.iter().map(|run| run.time_s - 0.5 * run.duration_s).fold(f64::INFINITY, f64::min);
        let to_s = runs.iter().map(|run| run.time_s + 0.5 * run.duration_s).fold(f64::NEG_INFINITY, f64::max);
        let found = kept.analysis.constant_stream.filter(|found| !found.is_lost_in_band());
        Some(TrialStream {
            number,
            from_to_s: (is_dated && to_s > from_s).then_some((from_s, to_s)),
            found: found.map(|found| (found.mean, found.band_m_s)),
        })
    };
    numbers.iter().filter_map(|number| of(*number)).collect()
}

/// Trials that are remembered: to read the logs of one takes longer than a page may.
const MOST_REMEMBERED: usize = 500;

/// Power by speed of a trial, with what wind, waves, load and water took of it off, and how long she had been clean.
fn growth_trial(
    (store, shelf): (&Store, &LogShelf),
    trial: &Record,
    id: BoatId,
    boat: &Loaded,
) -> Option<GrowthTrial> {
    static READ: Mutex<BTreeMap<u64, Option<GrowthTrial>>> = Mutex::new(BTreeMap::new());
    let mut mark = DefaultHasher::new();
    (&trial.text, boat.document.to_toml()).hash(&mut mark);
    let (mark, held) = (mark.finish(), || READ.lock().unwrap_or_else(PoisonError::into_inner));
    if let Some(known) = held().get(&mark) {
        return known.clone();
    }
    let read = || {
        let about = Some((&boat.document, &boat.spec));
        let kept = KeptTrial::load(store, shelf, id, trial.number, about).ok()?;
        let noted = &kept.reading.conditions;
        let runs = kept.stated.iter().filter_map(|stated| {
            let watts = &stated.watts;
            let day: f64 =
                [watts.wind_w, watts.waves_w, watts.displacement_w, watts.water_w].iter().flatten().sum();
            Some((stated.speed_m_s?, kept.reading.runs[stated.index].run.power_w? - day))
        });
        Some(GrowthTrial {
            months: noted.since_cleaning_s? / MONTH_S,
            water_k: noted.water_temperature_k.unwrap_or_else(|| water_k(boat)),
            runs: if noted.is_confined { Vec::new() } else { runs.collect() },
        })
    };
    let made = read();
    let mut all = held();
    if all.len() >= MOST_REMEMBERED {
        all.clear();
    }
    all.insert(mark, made.clone());
    made
}
