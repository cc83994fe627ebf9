//! Answers over all samples, on all cores. Each sample is a pure function of its number, so the result
//! is the same for any number of threads. They are left when nobody waits for them any more.
//! Not for: what is sampled or computed.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use rayon::prelude::*;
use wakewright_core::boat::BoatSpec;
use wakewright_core::sail::{SailQuestions, SailStudy, sample_sail, summarise_sail};
use wakewright_core::spread::Sampler;
use wakewright_core::steady::BoatError;
use wakewright_core::study::{Questions, Study, sample_answer, summarise};

use crate::wish::Wish;

/// Samples asked for when nothing else is said.
pub const DEFAULT_SAMPLES: usize = 2000;

/// Seed of all samples when nothing else is said.
pub const DEFAULT_SEED: u64 = 20_260_401;

/// Answers `questions` for `spec` with `samples` samples under `seed`.
/// # Errors
/// [`BoatError`] when the boat has no answer as expected.
pub fn study(spec: &BoatSpec, questions: &Questions, samples: usize, seed: u64) -> Result<Study, BoatError> {
    let sampler = Sampler::new(seed);
    let answers = every(samples, seed, |sampler, sample| sample_answer(spec, questions, sampler, sample));
    summarise(spec, questions, sampler, &answers)
}

/// What the propeller does under sail, with `samples` samples under `seed`.
/// # Errors
/// As [`study`].
pub fn sail_study(
    spec: &BoatSpec,
    questions: &SailQuestions,
    samples: usize,
    seed: u64,
) -> Result<SailStudy, BoatError> {
    let sampler = Sampler::new(seed);
    let answers = every(samples, seed, |sampler, sample| sample_sail(spec, questions, sampler, sample));
    summarise_sail(spec, questions, sampler, &answers)
}

/// What `sample` makes of each number from 0 on, so many times under `seed`. Once the wish for which it is done
/// was given up, it is left by unwinding before the next sample.
pub fn every<T: Send>(samples: usize, seed: u64, sample: impl Fn(Sampler, u64) -> T + Sync) -> Vec<T> {
    let (sampler, wish) = (Sampler::new(seed), Wish::of_this_thread());
    let one = |number| {
        wish.leave_if_given_up();
        sample(sampler, number)
    };
    (0..samples as u64).into_par_iter().map(one).collect()
}

/// How far long work has come, and whether it is still wanted.
pub struct Watch<'a> {
    /// Called with what is done and what there is in all, from any thread.
    pub progress: &'a (dyn Fn(usize, usize) + Sync),
    /// Set from outside to stop.
    pub cancelled: &'a AtomicBool,
}

impl std::fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Watch").field("cancelled", self.cancelled).finish_non_exhaustive()
    }
}

/// The same for work that is watched: how far it is, and left once it is not wanted; `None` then.
pub fn every_watched<T: Send>(
    count: usize,
    watch: Option<&Watch<'_>>,
    one: impl Fn(u64) -> T + Sync,
) -> Option<Vec<T>> {
    let done = AtomicUsize::new(0);
    let is_cancelled = || watch.is_some_and(|watch| watch.cancelled.load(Ordering::Relaxed));
    let found = every(count, DEFAULT_SEED, |_, number| {
        let found = (!is_cancelled()).then(|| one(number))?;
        let done = done.fetch_add(1, Ordering::Relaxed) + 1;
        watch.inspect(|watch| (watch.progress)(done, count));
        Some(found)
    });
    found.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use std::panic::{AssertUnwindSafe, catch_unwind};

    use super::*;
    use crate::wish::NobodyWaits;

    /// It says how far it is, to the end; what is no longer wanted gives nothing.
    #[test]
    fn watched_work_tells_how_far_it_is_and_stops() {
        let (most, cancelled) = (AtomicUsize::new(0), AtomicBool::new(false));
        let progress = |done, total| {
            assert_eq!(total, 300);
            most.fetch_max(done, Ordering::Relaxed);
        };
        let watch = Watch { progress: &progress, cancelled: &cancelled };
        assert_eq!(every_watched(300, Some(&watch), |n| n).unwrap(), (0..300).collect::<Vec<_>>());
        assert_eq!(most.load(Ordering::Relaxed), 300);
        assert!(every_watched(300, Some(&watch), |_| cancelled.store(true, Ordering::Relaxed)).is_none());
        assert!(every_watched(300, Some(&watch), |n| n).is_none());
    }

    /// A question whose asker goes away is not computed to its end; one that is waited for is.
    #[test]
    fn computing_is_left_when_nobody_waits() {
        let (wish, count) = (Wish::default(), AtomicUsize::new(0));
        let leaving_at = |last: usize| {
            every(100_000, 1, |_, number| {
                if count.fetch_add(1, Ordering::Relaxed) == last {
                    wish.give_up();
                }
                number
            })
        };
        let left = catch_unwind(AssertUnwindSafe(|| wish.during(|| leaving_at(100))));
        assert!(left.unwrap_err().is::<NobodyWaits>());
        assert!(count.load(Ordering::Relaxed) < 1000, "{count:?} samples");
        let gone = catch_unwind(AssertUnwindSafe(|| wish.during(|| every(10, 1, |_, number| number))));
        assert!(gone.is_err());
        assert_eq!(every(10, 1, |_, number| number), (0..10).collect::<Vec<_>>());
    }
}
