//! How far long work has come, on the error channel. Not for: the work.

use std::io::{IsTerminal, Write};
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// Progress and time left on the error channel: in a terminal only, and after a second.
pub struct Meter {
    start: Instant,
    shown: Mutex<Option<Instant>>,
    is_terminal: bool,
}

impl Meter {
    /// From now.
    pub fn new() -> Self {
        Self { start: Instant::now(), shown: Mutex::new(None), is_terminal: std::io::stderr().is_terminal() }
    }

    /// `done` of `total`.
    pub fn show(&self, done: usize, total: usize) {
        const PATIENCE: Duration = Duration::from_secs(1);
        const PAUSE: Duration = Duration::from_millis(200);
        if !self.is_terminal || self.start.elapsed() < PATIENCE {
            return;
        }
        // Whoever finds another thread writing has nothing newer to say.
        let Ok(mut shown) = self.shown.try_lock() else { return };
        if shown.is_some_and(|before| before.elapsed() < PAUSE) {
            return;
        }
        *shown = Some(Instant::now());
        let share = done as f64 / total as f64;
        let left_s = self.start.elapsed().as_secs_f64() * (1.0 - share) / share;
        let _ = write!(std::io::stderr(), "\r{:3.0} % of {total}, {left_s:.0} s left ", 100.0 * share);
    }

    /// Takes it off the screen.
    pub fn wipe(&self) {
        if self.shown.lock().is_ok_and(|shown| shown.is_some()) {
            let _ = write!(std::io::stderr(), "\r{:60}\r", "");
        }
    }
}
