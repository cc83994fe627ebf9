//! Whether somebody still waits for what is being read or computed. Not for: who it is, or what it is.

use std::cell::RefCell;
use std::io::Read;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Somebody waits, until the wish is given up.
#[derive(Debug, Clone, Default)]
pub struct Wish(Arc<AtomicBool>);

thread_local! {
    /// The wish for which this thread works. Reading lies deep below whoever knows that one went away.
    static WORKS_FOR: RefCell<Wish> = RefCell::new(Wish::default());
}

impl Wish {
    /// Nobody waits any more.
    pub fn give_up(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it was given up.
    #[must_use]
    pub fn is_given_up(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }

    /// Does `work` for this wish: once it is given up, logs that it alone waits for are not read on, and what
    /// computes by [`crate::sampling`] is broken off.
    pub fn during<T>(&self, work: impl FnOnce() -> T) -> T {
        /// Puts the wish of before back, after a panic too.
        struct Before(Wish);
        impl Drop for Before {
            fn drop(&mut self) {
                WORKS_FOR.set(self.0.clone());
            }
        }
        let _before = Before(WORKS_FOR.replace(self.clone()));
        work()
    }

    /// That for which this thread works; one that is never given up where nobody said.
    #[must_use]
    pub fn of_this_thread() -> Self {
        WORKS_FOR.with_borrow(Self::clone)
    }

    /// Leaves the computation, whatever called it, when the wish was given up: it unwinds to where the work
    /// was begun, since nobody will read what any function between would make of it.
    pub(crate) fn leave_if_given_up(&self) {
        if self.is_given_up() {
            std::panic::resume_unwind(Box::new(NobodyWaits));
        }
    }
}

/// What unwinds a computation that nobody waits for; it is no fault, and no message is printed.
#[derive(Debug)]
pub struct NobodyWaits;

/// Bytes that end with an error as soon as nobody wants them.
pub(crate) struct Wanted<R, W> {
    pub bytes: R,
    pub is_wanted: W,
}

impl<R: Read, W: FnMut() -> bool> Read for Wanted<R, W> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        if !(self.is_wanted)() {
            return Err(std::io::Error::other("nobody waits for it any more"));
        }
        // Packed bytes stand for many lines: no more than these between two looks.
        const MOST: usize = 16 * 1024;
        let most = into.len().min(MOST);
        self.bytes.read(&mut into[..most])
    }
}
