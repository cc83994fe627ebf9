//! The open stores: a few, lent out one at a time, and given back.

use std::ops::{Deref, DerefMut};
use std::sync::{Condvar, Mutex, PoisonError};
use wakewright_store::Store;

/// Connections that may be open at once; one more holder waits until one is given back.
const MOST_STORES: usize = 24;

/// The connections that nobody holds.
#[derive(Debug)]
pub(super) struct Stores {
    pub(super) idle: Mutex<Idle>,
    pub(super) given_back: Condvar,
}

#[derive(Debug)]
pub(super) struct Idle {
    pub(super) stores: Vec<Store>,
    pub(super) made: usize,
}

impl Stores {
    pub(super) fn take(&self) -> Store {
        // Every change is one transaction, so a panic elsewhere leaves the stores whole.
        let mut idle = self.idle.lock().unwrap_or_else(PoisonError::into_inner);
        loop {
            if let Some(store) = idle.stores.pop() {
                // One is always left to make another from.
                if idle.stores.is_empty()
                    && idle.made < MOST_STORES
                    && let Ok(another) = store.again()
                {
                    idle.stores.push(another);
                    idle.made += 1;
                }
                return store;
            }
            idle = self.given_back.wait(idle).unwrap_or_else(PoisonError::into_inner);
        }
    }

    fn give_back(&self, store: Store) {
        self.idle.lock().unwrap_or_else(PoisonError::into_inner).stores.push(store);
        self.given_back.notify_one();
    }
}

/// A store that is held; it is given back when this goes.
#[derive(Debug)]
pub struct HeldStore<'a> {
    pub(super) stores: &'a Stores,
    /// `None` only while it is given back.
    pub(super) store: Option<Store>,
}

impl Deref for HeldStore<'_> {
    type Target = Store;

    fn deref(&self) -> &Store {
        self.store.as_ref().unwrap_or_else(|| unreachable!("held until dropped"))
    }
}

impl DerefMut for HeldStore<'_> {
    fn deref_mut(&mut self) -> &mut Store {
        self.store.as_mut().unwrap_or_else(|| unreachable!("held until dropped"))
    }
}

impl Drop for HeldStore<'_> {
    fn drop(&mut self) {
        if let Some(store) = self.store.take() {
            self.stores.give_back(store);
        }
    }
}
