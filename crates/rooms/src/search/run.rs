//! A search on all cores: the space is cut into runs of propellers, each a pure function of its numbers,
//! so the front is the same for any number of threads. Nothing is written anywhere: a search that is
//! stopped leaves everything as it was. Not for: what is searched or how it is shown.

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use wakewright_core::boat::BoatSpec;
use wakewright_core::search::{Gain, Outcome, Partial, Preference, Refusals, Search, gain, gain_sample};
use wakewright_core::spread::Sampler;

use crate::room::Watch;

/// Propellers that one thread takes at a time.
const PROPELLERS_AT_A_TIME: usize = 4;

/// Runs `search` of the boat of `spec` with what its pick gains over `samples` samples; `None` when it was
/// cancelled.
pub fn run(
    search: &Search,
    preferences: &[Preference],
    spec: &BoatSpec,
    (samples, seed): (usize, u64),
    watch: &Watch<'_>,
) -> Option<Outcome> {
    let found = over_chunks(search, watch, |range| search.run(range), Partial::merge)?;
    let refusals = if found.front.is_empty() {
        Some(over_chunks(
            search,
            watch,
            |range| search.refusals(range),
            |all: &mut Refusals, part| all.merge(&part),
        )?)
    } else {
        None
    };
    let mut outcome = Outcome::new(search.clone(), found, refusals, preferences);
    outcome.gain = gain_of(spec, &outcome, samples, seed);
    Some(outcome)
}

fn over_chunks<T: Default + Send>(
    search: &Search,
    watch: &Watch<'_>,
    of: impl Fn(std::ops::Range<usize>) -> T + Sync + Send,
    merge: impl Fn(&mut T, T) + Sync + Send,
) -> Option<T> {
    let total = search.space().len();
    let chunk = PROPELLERS_AT_A_TIME * search.space().per_propeller();
    let done = AtomicUsize::new(0);
    let found = (0..total.div_ceil(chunk))
        .into_par_iter()
        .fold(T::default, |mut all, number| {
            if !watch.cancelled.load(Ordering::Relaxed) {
                let range = number * chunk..((number + 1) * chunk).min(total);
                let length = range.len();
                merge(&mut all, of(range));
                (watch.progress)(done.fetch_add(length, Ordering::Relaxed) + length, total);
            }
            all
        })
        .reduce(T::default, |mut all, part| {
            merge(&mut all, part);
            all
        });
    (!watch.cancelled.load(Ordering::Relaxed)).then_some(found)
}

/// What the pick of `outcome` gains over the boat of `spec`, over `samples` samples that both share.
fn gain_of(spec: &BoatSpec, outcome: &Outcome, samples: usize, seed: u64) -> Option<Gain> {
    let (present, picked) = (outcome.present.as_ref()?, outcome.picked()?);
    let base = BoatSpec { boat: present.boat.clone(), ..spec.clone() };
    let candidate = picked.spec(spec);
    let (cruise, sampler) = (outcome.search.cruise_m_s()[0], Sampler::new(seed));
    let rows: Vec<[Option<f64>; 3]> = (0..samples as u64)
        .into_par_iter()
        .filter_map(|sample| gain_sample((&base, &candidate), cruise, sampler, sample))
        .collect();
    Some(gain(present, picked, &rows))
}
