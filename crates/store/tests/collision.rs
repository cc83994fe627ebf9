//! Two devices on one boat: exactly one wins each round, and neither loses its text.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::{Arc, Barrier};
use std::thread;
use std::time::Duration;

use wakewright_store::{SaveOutcome, Store, StoreError, UnixMs};

#[test]
fn the_later_save_is_kept_aside_and_both_are_handed_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let mut laptop = Store::open(&path).unwrap();
    let mut phone = Store::open(&path).unwrap();
    let boat = laptop.create("Heron", "a", "", UnixMs(1)).unwrap();
    laptop.save(boat, 1, "laptop", "from the laptop", UnixMs(2)).unwrap();
    let outcome = phone.save(boat, 1, "phone", "from the phone", UnixMs(3)).unwrap();
    let SaveOutcome::Conflict { theirs, base, kept: Some(kept) } = outcome else {
        panic!("{outcome:?}");
    };
    assert_eq!((theirs.text.as_str(), theirs.head.number), ("laptop", 2));
    assert_eq!((base.text.as_str(), base.head.number), ("a", 1));
    let side = laptop.side(kept).unwrap();
    assert_eq!((side.text.as_str(), side.note.as_str()), ("phone", "from the phone"));
    assert_eq!((side.base, side.against), (1, 2));

    // Tried again without looking: kept once.
    phone.save(boat, 1, "phone", "from the phone", UnixMs(4)).unwrap();
    assert_eq!(phone.unsettled(boat).unwrap().len(), 1);
    // Merged by hand and saved from the new base.
    let merged = phone.save(boat, 2, "laptop and phone", "", UnixMs(5)).unwrap();
    assert!(matches!(merged, SaveOutcome::Saved(head) if head.number == 3));
    phone.settle(kept, UnixMs(6)).unwrap();
    assert!(laptop.unsettled(boat).unwrap().is_empty());
    assert_eq!(laptop.sides(boat).unwrap().len(), 1);
}

#[test]
fn two_writers_at_once_lose_nothing() {
    const WRITERS: usize = 4;
    const ROUNDS: u32 = 40;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let boat = Store::open(&path).unwrap().create("Heron", "start", "", UnixMs(0)).unwrap();
    let barrier = Arc::new(Barrier::new(WRITERS));
    let writers: Vec<_> = (0..WRITERS)
        .map(|writer| {
            let (path, barrier) = (path.clone(), Arc::clone(&barrier));
            thread::spawn(move || {
                let mut store = Store::open(path).unwrap();
                let mut wins = 0;
                let mut failures = Vec::new();
                for round in 0..ROUNDS {
                    barrier.wait();
                    let base = store.latest(boat).unwrap().head.number;
                    barrier.wait();
                    let text = format!("{writer} {round}");
                    // No panic in here: it would leave the others waiting at the barrier.
                    match store.save(boat, base, &text, "", UnixMs(1)) {
                        Ok(SaveOutcome::Saved(_)) => wins += 1,
                        Ok(SaveOutcome::Conflict { .. }) => {}
                        other => failures.push(other),
                    }
                }
                (wins, failures)
            })
        })
        .collect();
    let mut wins = 0;
    for writer in writers {
        let (won, failures) = writer.join().unwrap();
        assert!(failures.is_empty(), "{failures:?}");
        wins += won;
    }
    assert_eq!(wins, ROUNDS, "one winner per round");

    let store = Store::open(&path).unwrap();
    let latest = store.latest(boat).unwrap().head.number;
    let mut found: Vec<String> = (2..=latest).map(|n| store.get(boat, n).unwrap().text).collect();
    found.extend(store.sides(boat).unwrap().into_iter().map(|s| s.text));
    found.sort();
    let mut typed: Vec<String> =
        (0..WRITERS).flat_map(|w| (0..ROUNDS).map(move |r| format!("{w} {r}"))).collect();
    typed.sort();
    assert_eq!(found, typed);
    store.check().unwrap();
}

#[test]
fn opening_a_new_store_from_several_sides_at_once_makes_one() {
    for _ in 0..10 {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep/down/boats.sqlite");
        let barrier = Arc::new(Barrier::new(4));
        let openers: Vec<_> = (0..4)
            .map(|n| {
                let (path, barrier) = (path.clone(), Arc::clone(&barrier));
                thread::spawn(move || {
                    barrier.wait();
                    let mut store = Store::open(path).unwrap();
                    store.create(&format!("Heron {n}"), "a", "", UnixMs(0)).unwrap();
                })
            })
            .collect();
        openers.into_iter().for_each(|o| o.join().unwrap());
        assert_eq!(Store::open(&path).unwrap().list().unwrap().len(), 4);
    }
}

#[test]
fn a_store_locked_by_another_program_says_so_and_reading_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let mut store = Store::open(&path).unwrap();
    let boat = store.create("Heron", "a", "", UnixMs(1)).unwrap();
    let other = rusqlite::Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    store.wait_for_others(Duration::from_millis(50)).unwrap();
    let refused = store.save(boat, 1, "b", "", UnixMs(2));
    assert!(matches!(refused, Err(StoreError::Locked { .. })), "{refused:?}");
    assert_eq!(store.latest(boat).unwrap().text, "a");
    other.execute_batch("COMMIT").unwrap();
    assert!(matches!(store.save(boat, 1, "b", "", UnixMs(2)), Ok(SaveOutcome::Saved(_))));
}
