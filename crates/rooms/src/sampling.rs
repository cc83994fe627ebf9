//! Answers over all samples, on all cores. Each sample is a pure function of its number, so the result
//! is the same for any number of threads. Not for: what is sampled or computed.

use rayon::prelude::*;
use wakewright_core::boat::BoatSpec;
use wakewright_core::sail::{SailQuestions, SailStudy, sample_sail, summarise_sail};
use wakewright_core::spread::Sampler;
use wakewright_core::steady::BoatError;
use wakewright_core::study::{Questions, Study, sample_answer, summarise};

/// Samples asked for when nothing else is said.
pub const DEFAULT_SAMPLES: usize = 2000;

/// Seed of all samples when nothing else is said.
pub const DEFAULT_SEED: u64 = 20_260_401;

/// Answers `questions` for `spec` with `samples` samples under `seed`.
/// # Errors
/// [`BoatError`] when the boat has no answer at its medians.
pub fn study(spec: &BoatSpec, questions: &Questions, samples: usize, seed: u64) -> Result<Study, BoatError> {
    let sampler = Sampler::new(seed);
    let answers: Vec<_> = (0..samples as u64)
        .into_par_iter()
        .map(|sample| sample_answer(spec, questions, sampler, sample))
        .collect();
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
    let answers: Vec<_> = (0..samples as u64)
        .into_par_iter()
        .map(|sample| sample_sail(spec, questions, sampler, sample))
        .collect();
    summarise_sail(spec, questions, sampler, &answers)
}

/// What `sample` makes of each number from 0 on, so many times under `seed`.
pub fn every<T: Send>(samples: usize, seed: u64, sample: impl Fn(Sampler, u64) -> T + Sync) -> Vec<T> {
    let sampler = Sampler::new(seed);
    (0..samples as u64).into_par_iter().map(|number| sample(sampler, number)).collect()
}
