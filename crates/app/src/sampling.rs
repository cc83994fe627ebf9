//! Answers over all draws, on all cores. Each draw is a pure function of its number, so the result
//! is the same for any number of threads. Not for: what is drawn or computed.

use rayon::prelude::*;
use wakewright_core::boat::{BoatError, BoatSpec};
use wakewright_core::sail::{SailQuestions, SailStudy, sample_sail, summarise_sail};
use wakewright_core::spread::Draws;
use wakewright_core::study::{Questions, Study, sample_answer, summarise};

/// Draws asked for when nothing else is said.
pub const DEFAULT_SAMPLES: usize = 2000;

/// Seed of all draws when nothing else is said.
pub const DEFAULT_SEED: u64 = 20_260_401;

/// Answers `questions` for `spec` with `samples` draws under `seed`.
/// # Errors
/// [`BoatError`] when the boat has no answer at its medians.
pub fn study(spec: &BoatSpec, questions: &Questions, samples: usize, seed: u64) -> Result<Study, BoatError> {
    let draws = Draws::new(seed);
    let answers: Vec<_> = (0..samples as u64)
        .into_par_iter()
        .map(|sample| sample_answer(spec, questions, draws, sample))
        .collect();
    summarise(spec, questions, draws, &answers)
}

/// What the propeller does under sail, with `samples` draws under `seed`.
/// # Errors
/// As [`study`].
pub fn sail_study(
    spec: &BoatSpec,
    questions: &SailQuestions,
    samples: usize,
    seed: u64,
) -> Result<SailStudy, BoatError> {
    let draws = Draws::new(seed);
    let answers: Vec<_> = (0..samples as u64)
        .into_par_iter()
        .map(|sample| sample_sail(spec, questions, draws, sample))
        .collect();
    summarise_sail(spec, questions, &answers)
}
