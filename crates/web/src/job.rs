//! One search that runs: how far it is, how it ended, how it is stopped.

use super::jobs::PATIENCE;
use super::parts::SETTLED_SAMPLES;
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};
use wakewright_core::boat::BoatSpec;
use wakewright_core::search::{Outcome, Preference, Search};
use wakewright_rooms::room::Watch;
use wakewright_rooms::sampling::DEFAULT_SEED;
use wakewright_rooms::search;
use wakewright_store::BoatId;

/// A search and how far it has come.
#[derive(Debug)]
pub struct Job {
    /// Its name in addresses.
    pub name: String,
    /// The boat.
    pub boat: BoatId,
    /// The revision that was searched.
    pub revision: u32,
    pub(super) done: AtomicUsize,
    pub(super) total: AtomicUsize,
    pub(super) is_cancelled: AtomicBool,
    pub(super) begun: Instant,
    /// Milliseconds from the beginning to the last time that somebody asked.
    pub(super) asked_ms: AtomicU64,
    pub(super) end: Mutex<Option<End>>,
}

/// How a search ended.
#[derive(Debug, Clone)]
pub enum End {
    /// It found this, or that nothing can be found.
    Found(Arc<Outcome>),
    /// It was stopped.
    Stopped,
    /// It failed; this must not be.
    Failed,
}

/// How far a search has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Candidates done.
    pub done: usize,
    /// Candidates in all.
    pub total: usize,
    /// Seconds left, if they are known.
    pub left_s: Option<f64>,
}

impl Job {
    /// How it ended; `None` while it runs. Whoever asks keeps it going.
    pub fn end(&self) -> Option<End> {
        self.asked_ms.store(self.age_ms(), Ordering::Relaxed);
        self.end.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// How far it has come.
    pub fn progress(&self) -> Progress {
        let (done, total) = (self.done.load(Ordering::Relaxed), self.total.load(Ordering::Relaxed));
        let share = done as f64 / total.max(1) as f64;
        let left_s = (done > 0).then(|| self.begun.elapsed().as_secs_f64() * (1.0 - share) / share);
        Progress { done, total, left_s }
    }

    /// Stops it as soon as its threads look up.
    pub fn stop(&self) {
        self.is_cancelled.store(true, Ordering::Relaxed);
    }

    fn age_ms(&self) -> u64 {
        u64::try_from(self.begun.elapsed().as_millis()).unwrap_or(u64::MAX)
    }

    fn is_forgotten(&self) -> bool {
        let since_ms = self.age_ms().saturating_sub(self.asked_ms.load(Ordering::Relaxed));
        Duration::from_millis(since_ms) > PATIENCE
    }

    pub(super) fn is_running(&self) -> bool {
        self.end.lock().unwrap_or_else(PoisonError::into_inner).is_none()
    }

    pub(super) fn run(&self, search: &Search, preferences: &[Preference], spec: &BoatSpec) -> End {
        let progress = |done: usize, total: usize| {
            self.done.fetch_max(done, Ordering::Relaxed);
            self.total.store(total, Ordering::Relaxed);
            if self.is_forgotten() {
                self.stop();
            }
        };
        let watch = Watch { progress: &progress, cancelled: &self.is_cancelled };
        let samples = (SETTLED_SAMPLES, DEFAULT_SEED);
        let found = search::run(search, preferences, spec, samples, &watch);
        found.map_or(End::Stopped, |outcome| End::Found(Arc::new(outcome)))
    }
}
