//! Long work that runs behind a page: how far it is, how it ended, how it is stopped.

use super::jobs::PATIENCE;
use super::parts::percent;
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};
use wakewright_core::search::Outcome;
use wakewright_rooms::room::{Answer, Watch};
use wakewright_store::BoatId;
use wakewright_units::format_number;

/// Long work and how far it has come.
#[derive(Debug)]
pub struct Job {
    /// Its name in addresses.
    pub name: String,
    /// The boat.
    pub boat: BoatId,
    /// The revision that it is about.
    pub revision: u32,
    pub(super) done: AtomicUsize,
    pub(super) total: AtomicUsize,
    pub(super) is_cancelled: AtomicBool,
    pub(super) begun: Instant,
    /// Milliseconds from the beginning to the last time that somebody asked.
    pub(super) asked_ms: AtomicU64,
    pub(super) end: Mutex<Option<End>>,
}

/// How it ended.
#[derive(Debug, Clone)]
pub enum End {
    /// A search found this, or that nothing can be found.
    Searched(Arc<Outcome>),
    /// A room answered this, with all that takes long, to what was asked in one line.
    Answered(String, Arc<Answer>),
    /// It was stopped.
    Stopped,
    /// It failed; this must not be.
    Failed,
}

/// How far it has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Parts done.
    pub done: usize,
    /// Parts in all.
    pub total: usize,
    /// Seconds left, if they are known.
    pub left_s: Option<f64>,
}

impl Progress {
    /// In words.
    pub fn words(&self) -> String {
        let share = percent(self.done as f64 / self.total.max(1) as f64);
        match self.left_s {
            Some(left) => format!("{share} done, about {} s left.", format_number(left.ceil(), 0)),
            None => format!("{share} done."),
        }
    }
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

    /// The same, and waits for that: they look up within a fraction of a second.
    pub fn stop_now(&self) {
        self.stop();
        for _ in 0..100 {
            if self.end().is_some() {
                break;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
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

    pub(super) fn run(&self, work: impl FnOnce(&Watch<'_>) -> Option<End>) -> End {
        let progress = |done: usize, total: usize| {
            self.done.fetch_max(done, Ordering::Relaxed);
            self.total.store(total, Ordering::Relaxed);
            if self.is_forgotten() {
                self.stop();
            }
        };
        work(&Watch { progress: &progress, cancelled: &self.is_cancelled }).unwrap_or(End::Stopped)
    }
}
