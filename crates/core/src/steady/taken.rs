//! Samples that have no answer: how many, and why. Every study counts them alike, so that no band is told without
//! those that it leaves out. Not for: wording of the finding.

use super::error::BoatError;
use super::prepared::PreparedBoat;
use super::solve::SteadyError;
use crate::boat::Boat;
use crate::drive::DriveError;
use crate::sheet::Word;

/// Why a sample has no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NoSample {
    /// The wind drives her back.
    DrivenBack,
    /// A limit is passed at rest already.
    CannotMove,
    /// The motor's plate contradicts itself.
    Plate,
    /// Other figures of her document contradict each other.
    Figures,
    /// The balance has no solution.
    Balance,
}

impl NoSample {
    /// Name for files, and a clause that says what happens in such a case.
    #[must_use]
    pub fn word(self) -> Word {
        let (key, words) = match self {
            Self::DrivenBack => ("driven_back", "she cannot stem the wind"),
            Self::CannotMove => ("cannot_move", "she cannot leave, a limit being passed at rest"),
            Self::Plate => ("plate", "what is told and estimated of the motor does not go together"),
            Self::Figures => ("figures", "what is told and estimated of her does not go together"),
            Self::Balance => ("balance", "there is no steady state"),
        };
        Word { key, words }
    }

    /// Why `boat` has no answer.
    fn of(boat: &Boat) -> Self {
        let error = match PreparedBoat::new(boat) {
            Ok(prepared) => match prepared.value.full_throttle() {
                Err(error) => BoatError::from(error),
                Ok(_) => return Self::Balance,
            },
            Err(error) => error,
        };
        match error {
            BoatError::Steady(SteadyError::DrivenBack { .. }) => Self::DrivenBack,
            BoatError::Steady(SteadyError::CannotMove { .. }) => Self::CannotMove,
            BoatError::Steady(_) => Self::Balance,
            BoatError::Drive(DriveError::PlateContradictsItself { .. }) => Self::Plate,
            _ => Self::Figures,
        }
    }
}

/// Samples that were taken, and those of them without an answer.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Taken {
    /// Samples asked for.
    pub asked: usize,
    /// Those without an answer by reason, most frequent first.
    pub without: Vec<(NoSample, usize)>,
}

impl Taken {
    /// Counts `samples`; `boat` is the boat of a sample.
    pub fn of<T>(samples: &[Option<T>], boat: impl Fn(u64) -> Boat) -> Self {
        let mut without: Vec<(NoSample, usize)> = Vec::new();
        for (i, _) in samples.iter().enumerate().filter(|(_, sample)| sample.is_none()) {
            let reason = NoSample::of(&boat(i as u64));
            match without.iter_mut().find(|(known, _)| *known == reason) {
                Some((_, count)) => *count += 1,
                None => without.push((reason, 1)),
            }
        }
        without.sort_by_key(|(reason, count)| (std::cmp::Reverse(*count), *reason));
        Self { asked: samples.len(), without }
    }

    /// Samples without an answer.
    #[must_use]
    pub fn left_out(&self) -> usize {
        self.without.iter().map(|(_, count)| count).sum()
    }
}
