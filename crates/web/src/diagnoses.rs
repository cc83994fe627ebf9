//! Diagnoses of trials, held while nothing changes that they rest on, so that a page that is opened again
//! answers at once and two pages opened together compute once. Not for: diagnosing (`wakewright_rooms::diagnosing`).

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use wakewright_core::causes::{Diagnosis, Forecast};
use wakewright_store::BoatId;

use super::jobs::on_own_threads;

/// Diagnoses that are held.
const MOST_HELD: usize = 6;

/// What a diagnosis rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Basis {
    /// The boat.
    pub boat: BoatId,
    /// Revision of her document.
    pub revision: u32,
    /// Number of the trial that counts as now.
    pub number: u32,
    /// Number and version of every trial of hers.
    pub versions: Vec<(u32, u32)>,
    /// Earlier trials are left aside.
    pub is_alone: bool,
}

/// What was found.
#[derive(Debug)]
pub struct Found {
    /// The causes.
    pub diagnosis: Diagnosis,
    /// What the usual remedies will give, the most first.
    pub forecasts: Vec<Forecast>,
}

/// It, or why nothing can be found.
pub type Looked = Arc<OnceLock<Result<Found, String>>>;

/// All of them, the one asked for last at the end.
#[derive(Debug, Default)]
pub struct Diagnoses(Mutex<Vec<(Basis, Looked)>>);

impl Diagnoses {
    /// True when the answer is there and needs no computing.
    pub fn holds(&self, basis: &Basis) -> bool {
        let held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        held.iter().any(|(other, looked)| other == basis && looked.get().is_some())
    }

    /// The answer; `work` finds it if nobody has. Whoever asks meanwhile waits for the same answer.
    pub fn get(&self, basis: &Basis, work: impl FnOnce() -> Result<Found, String> + Send) -> Looked {
        let looked = {
            let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let place = held.iter().position(|(other, _)| other == basis);
            let looked = place.map(|place| held.remove(place).1).unwrap_or_default();
            // What rests on an older version of the same question is never asked for again.
            held.retain(|(other, _)| {
                other.boat != basis.boat
                    || other.number != basis.number
                    || other.is_alone != basis.is_alone
                    || other == basis
            });
            if held.len() >= MOST_HELD {
                held.remove(0);
            }
            held.push((basis.clone(), looked.clone()));
            looked
        };
        looked.get_or_init(|| on_own_threads(work));
        looked
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    fn basis(number: u32, version: u32) -> Basis {
        Basis { boat: BoatId(1), revision: 1, number, versions: vec![(number, version)], is_alone: false }
    }

    #[test]
    fn it_is_found_once_and_found_anew_when_the_trial_changes() {
        let diagnoses = Diagnoses::default();
        let count = AtomicUsize::new(0);
        let ask = |basis: &Basis| {
            let work = || {
                count.fetch_add(1, Ordering::Relaxed);
                std::thread::sleep(std::time::Duration::from_millis(20));
                Err("nothing".to_owned())
            };
            assert_eq!(diagnoses.get(basis, work).get().unwrap().as_ref().err().unwrap(), "nothing");
        };
        assert!(!diagnoses.holds(&basis(1, 1)));
        std::thread::scope(|scope| {
            for _ in 0..3 {
                scope.spawn(|| ask(&basis(1, 1)));
            }
        });
        assert_eq!(count.load(Ordering::Relaxed), 1);
        assert!(diagnoses.holds(&basis(1, 1)));
        ask(&basis(1, 2));
        assert_eq!(count.load(Ordering::Relaxed), 2);
        assert!(!diagnoses.holds(&basis(1, 1)), "the older version is let go");
        for number in 2..20 {
            ask(&basis(number, 1));
        }
        assert!(!diagnoses.holds(&basis(1, 2)) && diagnoses.holds(&basis(19, 1)), "only the last are held");
    }
}
