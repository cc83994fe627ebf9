//! Answers over all samples, on all cores. Each sample is a pure function of its number, so the result
//! is the same for any number of threads. Not for: what is sampled or computed.

use rayon::prelude::*;
use wakewright_core::boat::BoatSpec;
use wakewright_core::energy::{EnergyRequest, EnergyStudy, sample_energy, summarise_energy};
use wakewright_core::sail::{SailQuestions, SailStudy, sample_sail, summarise_sail};
use wakewright_core::spread::Sampler;
use wakewright_core::steady::BoatError;
use wakewright_core::study::{
    BankQuestions, BankStudy, Questions, Study, sample_answer, sample_bank, summarise, summarise_bank,
};

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
    summarise_sail(spec, questions, &answers)
}

/// What the bank holds and does, with `samples` samples under `seed`.
/// # Errors
/// As [`study`].
pub fn bank_study(
    spec: &BoatSpec,
    questions: &BankQuestions,
    samples: usize,
    seed: u64,
) -> Result<BankStudy, BoatError> {
    let sampler = Sampler::new(seed);
    let answers: Vec<_> =
        (0..samples as u64).into_par_iter().map(|sample| sample_bank(spec, sampler, sample)).collect();
    summarise_bank(spec, questions, &answers)
}

/// A year under `samples` weathers under `seed`.
/// # Errors
/// As [`study`].
pub fn energy_study(
    spec: &BoatSpec,
    request: &EnergyRequest,
    samples: usize,
    seed: u64,
) -> Result<EnergyStudy, BoatError> {
    let sampler = Sampler::new(seed);
    let answers: Vec<_> = (0..samples as u64)
        .into_par_iter()
        .map(|sample| sample_energy(spec, request, sampler, sample))
        .collect();
    summarise_energy(spec, request, &answers)
}
