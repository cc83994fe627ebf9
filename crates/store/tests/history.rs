//! Boats and their append-only history, seen from outside.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::time::Instant;

use wakewright_store::{BoatId, LineChange, SaveOutcome, Store, StoreError, UnixMs};

fn store() -> (tempfile::TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(folder.path().join("boats.sqlite")).unwrap();
    (folder, store)
}

fn saved(outcome: SaveOutcome) -> u32 {
    match outcome {
        SaveOutcome::Saved(head) => head.number,
        other => panic!("not saved: {other:?}"),
    }
}

fn boat_with(store: &mut Store, texts: &[&str]) -> BoatId {
    let boat = store.create("Grey Heron", texts[0], "first", UnixMs(1)).unwrap();
    for (base, text) in (1..).zip(&texts[1..]) {
        saved(store.save(boat, base, text, "", UnixMs(i64::from(base) + 1)).unwrap());
    }
    boat
}

#[test]
fn a_boat_is_entered_listed_renamed_copied_removed_and_reinstated() {
    let (_folder, mut store) = store();
    let boat = boat_with(&mut store, &["a", "b"]);
    let list = store.list().unwrap();
    assert_eq!(list.len(), 1);
    assert_eq!((list[0].latest, list[0].revisions, list[0].latest_time), (2, 2, UnixMs(2)));
    assert_eq!(list[0].boat.slug, "grey-heron");

    store.rename(boat, "Blue  Heron ").unwrap();
    let renamed = store.find("BLUE heron").unwrap();
    assert_eq!((renamed.name.as_str(), renamed.slug.as_str()), ("Blue Heron", "grey-heron"));
    store.rename(boat, "blue heron").unwrap();

    let copy = store.copy(boat, "Grey Heron", "copied", UnixMs(9)).unwrap();
    assert_eq!(store.boat(copy).unwrap().slug, "grey-heron-2");
    assert_eq!(store.latest(copy).unwrap().text, "b");
    assert_eq!(store.revisions(copy).unwrap().len(), 1);

    store.remove(boat, UnixMs(10)).unwrap();
    assert_eq!(store.list().unwrap().len(), 1);
    assert_eq!(store.removed().unwrap()[0].boat.removed, Some(UnixMs(10)));
    let refused = store.save(boat, 2, "c", "", UnixMs(11));
    assert!(matches!(refused, Err(StoreError::BoatRemoved { .. })));
    store.keep_draft(boat, "phone", 2, "c", UnixMs(11)).unwrap();

    store.reinstate(boat).unwrap();
    assert_eq!(store.get(boat, 1).unwrap().text, "a");
    assert_eq!(store.draft(boat, "phone").unwrap().unwrap().text, "c");
}

#[test]
fn a_name_is_given_once_and_a_misspelt_one_offers_the_right_one() {
    let (_folder, mut store) = store();
    let boat = boat_with(&mut store, &["a"]);
    let taken = store.create("GREY HERON", "b", "", UnixMs(2));
    assert!(matches!(taken, Err(StoreError::NameTaken { ref name }) if name == "Grey Heron"));
    let message = store.find("Gray Heron").unwrap_err().to_string();
    assert!(message.contains("Did you mean Grey Heron?"), "{message}");

    store.remove(boat, UnixMs(3)).unwrap();
    let second = store.create("Grey Heron", "b", "", UnixMs(4)).unwrap();
    assert!(matches!(store.reinstate(boat), Err(StoreError::NameTaken { .. })));
    store.rename(boat, "Old Heron").unwrap();
    store.reinstate(boat).unwrap();
    assert_eq!(store.find("grey heron").unwrap().id, second);
    assert_eq!(store.find_by_slug("grey-heron").unwrap().id, boat);
}

#[test]
fn saving_the_same_text_adds_nothing() {
    let (_folder, mut store) = store();
    let boat = boat_with(&mut store, &["a", "b"]);
    assert_eq!(store.save(boat, 2, "b", "", UnixMs(9)).unwrap(), SaveOutcome::Unchanged { latest: 2 });
    // Opened at 1, nothing typed, saved: the other's revision 2 stands and nobody has lost.
    assert_eq!(store.save(boat, 1, "a", "", UnixMs(9)).unwrap(), SaveOutcome::Unchanged { latest: 2 });
    assert_eq!(store.revisions(boat).unwrap().len(), 2);
    assert!(store.sides(boat).unwrap().is_empty());
}

#[test]
fn undo_walks_back_and_loses_nothing() {
    let (_folder, mut store) = store();
    let boat = boat_with(&mut store, &["a", "b", "c"]);
    assert_eq!(saved(store.undo(boat, 3, "undo", UnixMs(10)).unwrap()), 4);
    assert_eq!(store.latest(boat).unwrap().text, "b");
    assert_eq!(saved(store.undo(boat, 4, "undo", UnixMs(11)).unwrap()), 5);
    assert_eq!(store.latest(boat).unwrap().text, "a");
    assert!(matches!(store.undo(boat, 5, "", UnixMs(12)), Err(StoreError::NothingToUndo { .. })));
    assert_eq!(saved(store.bring_back(boat, 3, 5, "", UnixMs(13)).unwrap()), 6);
    let latest = store.latest(boat).unwrap();
    assert_eq!((latest.text.as_str(), latest.head.brings_back), ("c", Some(3)));
    let all: Vec<String> = (1..=6).map(|n| store.get(boat, n).unwrap().text).collect();
    assert_eq!(all, ["a", "b", "c", "b", "a", "c"]);
    // Edited after an undo: undo leads to what was there before the edit.
    assert_eq!(saved(store.undo(boat, 6, "", UnixMs(14)).unwrap()), 7);
    assert_eq!(saved(store.save(boat, 7, "d", "", UnixMs(15)).unwrap()), 8);
    assert_eq!(saved(store.undo(boat, 8, "", UnixMs(16)).unwrap()), 9);
    assert_eq!(store.latest(boat).unwrap().text, "b");
}

#[test]
fn undo_does_not_undo_what_another_device_has_saved() {
    let (_folder, mut store) = store();
    let boat = boat_with(&mut store, &["a", "b", "c"]);
    let outcome = store.undo(boat, 2, "", UnixMs(10)).unwrap();
    assert!(
        matches!(outcome, SaveOutcome::Conflict { ref theirs, kept: None, .. } if theirs.text == "c"),
        "{outcome:?}"
    );
    assert_eq!(store.revisions(boat).unwrap().len(), 3);
}

#[test]
fn a_missing_revision_names_the_range() {
    let (_folder, mut store) = store();
    let boat = boat_with(&mut store, &["a", "b"]);
    let message = store.get(boat, 7).unwrap_err().to_string();
    assert!(message.contains("no revision 7") && message.contains("1 to 2"), "{message}");
    assert!(matches!(store.get(BoatId(99), 1), Err(StoreError::NoSuchBoat { .. })));
    assert!(matches!(store.revisions(BoatId(99)), Err(StoreError::NoSuchBoat { .. })));
    assert!(matches!(
        store.keep_draft(BoatId(99), "phone", 1, "", UnixMs(1)),
        Err(StoreError::NoSuchBoat { .. })
    ));
}

#[test]
fn revisions_are_compared_line_by_line() {
    let (_folder, mut store) = store();
    let boat = boat_with(&mut store, &["x = 1\ny = 2\n", "x = 1\ny = 3\n"]);
    let changes: Vec<LineChange> = store.compare(boat, 1, 2).unwrap().iter().map(|l| l.change).collect();
    assert_eq!(changes, [LineChange::Same, LineChange::Removed, LineChange::Added]);
}

#[test]
fn the_file_itself_refuses_to_change_history() {
    let (folder, mut store) = store();
    boat_with(&mut store, &["a", "b"]);
    let raw = rusqlite::Connection::open(folder.path().join("boats.sqlite")).unwrap();
    for sql in ["DELETE FROM revision", "UPDATE revision SET text = 'x'", "DELETE FROM boat"] {
        assert!(raw.execute(sql, []).is_err(), "{sql}");
    }
}

#[test]
fn drafts_are_kept_per_device() {
    let (_folder, mut store) = store();
    let boat = boat_with(&mut store, &["a"]);
    store.keep_draft(boat, "phone", 1, "ab", UnixMs(5)).unwrap();
    store.keep_draft(boat, "laptop", 1, "ac", UnixMs(6)).unwrap();
    // The clock was set back in between: what is typed last still wins.
    store.keep_draft(boat, "phone", 1, "abc", UnixMs(2)).unwrap();
    assert_eq!(store.draft(boat, "phone").unwrap().unwrap().text, "abc");
    let devices: Vec<String> = store.drafts(boat).unwrap().into_iter().map(|d| d.device).collect();
    assert_eq!(devices, ["phone", "laptop"], "and comes first");
    store.drop_draft(boat, "phone").unwrap();
    assert_eq!(store.draft(boat, "phone").unwrap(), None);
}

/// Prints how long thousands of revisions take; nothing is asserted about speed.
#[test]
fn thousands_of_revisions() {
    const REVISIONS: u32 = 3000;
    let (folder, mut store) = store();
    let text = |n: u32| format!("revision = {n}\n{}", "length_waterline = \"9.6 m\"\n".repeat(150));
    let boat = store.create("Heron", &text(1), "", UnixMs(0)).unwrap();
    let started = Instant::now();
    for base in 1..REVISIONS {
        saved(store.save(boat, base, &text(base + 1), "", UnixMs(i64::from(base))).unwrap());
    }
    println!("{REVISIONS} saves of 4 kB: {:?} each", started.elapsed() / REVISIONS);
    let timed = |what: &str, work: &dyn Fn()| {
        let started = Instant::now();
        work();
        println!("{what}: {:?}", started.elapsed());
    };
    timed("list of boats", &|| assert_eq!(store.list().unwrap()[0].revisions, REVISIONS));
    timed("list of revisions", &|| assert_eq!(store.revisions(boat).unwrap().len(), 3000));
    timed("latest", &|| assert_eq!(store.latest(boat).unwrap().text, text(REVISIONS)));
    timed("one in the middle", &|| assert_eq!(store.get(boat, 1500).unwrap().text, text(1500)));
    timed("compare two", &|| assert_eq!(store.compare(boat, 1, REVISIONS).unwrap().len(), 152));
    timed("open", &|| drop(Store::open(folder.path().join("boats.sqlite")).unwrap()));
    timed("whole check", &|| store.check().unwrap());
    let bytes = std::fs::metadata(folder.path().join("boats.sqlite")).unwrap().len();
    println!("file: {} MB", bytes / 1_000_000);
}
