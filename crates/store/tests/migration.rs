//! From an empty file, from files of former versions, and from one that is too new.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::Path;

use rusqlite::Connection;
use wakewright_store::{SaveOutcome, Store, StoreError, TRIAL_KIND, UnixMs, VERSION};

fn shape(path: &Path) -> Vec<String> {
    let raw = Connection::open(path).unwrap();
    let mut statement = raw
        .prepare(
            "SELECT m.type || ' ' || m.name || ' ' || coalesce(group_concat(c.name || ' ' || c.type), '')
             FROM sqlite_schema AS m LEFT JOIN pragma_table_info(m.name) AS c
             GROUP BY m.type, m.name ORDER BY 1",
        )
        .unwrap();
    statement.query_map([], |r| r.get(0)).unwrap().collect::<Result<_, _>>().unwrap()
}

#[test]
fn an_empty_file_becomes_a_store() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    std::fs::write(&path, "").unwrap();
    assert!(Store::open(&path).unwrap().list().unwrap().is_empty());
    let raw = Connection::open(&path).unwrap();
    let version: i64 = raw.query_row("PRAGMA user_version", [], |r| r.get(0)).unwrap();
    let journal: String = raw.query_row("PRAGMA journal_mode", [], |r| r.get(0)).unwrap();
    assert_eq!((version, journal.as_str()), (VERSION, "wal"));
}

#[test]
fn a_version_1_file_keeps_everything() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    std::fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version-1.store"), &path).unwrap();
    let mut store = Store::open(&path).unwrap();
    let boat = store.find("grey heron").unwrap().id;
    let heads = store.revisions(boat).unwrap();
    let seen: Vec<_> = heads.iter().map(|h| (h.number, h.note.as_str(), h.brings_back)).collect();
    assert_eq!(seen, [(3, "note 3", None), (2, "note 2", None), (1, "note 1", None)]);
    assert_eq!(heads[0].time, UnixMs(1_700_000_180_000));
    assert_eq!(store.get(boat, 2).unwrap().text, "name = \"Grey Heron\"\npitch = \"13 in\"\n");
    assert_eq!(store.removed().unwrap()[0].boat.name, "Étoile");
    // What version 1 did not know works on it.
    store.keep_draft(boat, "phone", 3, "x", UnixMs(1)).unwrap();
    assert!(matches!(store.undo(boat, 3, "", UnixMs(2)), Ok(SaveOutcome::Saved(_))));
    store.check().unwrap();
    drop(store);

    let fresh = folder.path().join("fresh.sqlite");
    drop(Store::open(&fresh).unwrap());
    assert_eq!(shape(&path), shape(&fresh), "migrated and fresh files have the same tables");
}

#[test]
fn a_version_2_file_takes_trials() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    std::fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version-2.store"), &path).unwrap();
    let mut store = Store::open(&path).unwrap();
    let boat = store.find("Grey Heron").unwrap().id;
    assert_eq!(store.revisions(boat).unwrap().len(), 2);
    assert_eq!(store.draft(boat, "phone").unwrap().unwrap().text, "pitch = \"14");
    assert!(store.records(boat, TRIAL_KIND).unwrap().is_empty());
    assert_eq!(store.enter_record(boat, TRIAL_KIND, "{}", &[], UnixMs(1)).unwrap().number, 1);
    store.check().unwrap();
    drop(store);

    let fresh = folder.path().join("fresh.sqlite");
    drop(Store::open(&fresh).unwrap());
    assert_eq!(shape(&path), shape(&fresh), "migrated and fresh files have the same tables");
}

#[test]
fn a_newer_store_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    Store::open(&path).unwrap().create("Heron", "a", "", UnixMs(1)).unwrap();
    Connection::open(&path).unwrap().pragma_update(None, "user_version", VERSION + 1).unwrap();
    let before = std::fs::read(&path).unwrap();
    let error = Store::open(&path).unwrap_err();
    assert!(matches!(error, StoreError::Newer { found, .. } if found == VERSION + 1));
    assert!(error.to_string().contains("newer version of the program"));
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

/// A store as the program of version 3 wrote it, with four boats, a draft and a trial.
#[test]
fn a_store_of_before_opens_with_all_that_is_in_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    std::fs::write(&path, include_bytes!("data/version_3.store")).unwrap();
    let store = Store::open(&path).unwrap();
    let names: Vec<String> = store.list().unwrap().into_iter().map(|line| line.boat.name).collect();
    assert_eq!(names, ["Doubtful Wagtail", "Grey Wagtail", "Reed Bunting", "Sandmartin"]);
    let oldest = store.find("Grey Wagtail").unwrap().id;
    // Her document was 4201 bytes long, with these values in it.
    let doubtful = store.latest(store.find("Doubtful Wagtail").unwrap().id).unwrap().text;
    assert_eq!(doubtful.len(), 4201);
    for value in ["\"1.200 W\"", "\"1,120 W\"", "\"1.100 W\"", "\"1,032 W ± 1.500 W\""] {
        assert!(doubtful.contains(value), "{value}");
    }
    let drafts = store.drafts(oldest).unwrap();
    assert_eq!(drafts.len(), 1);
    assert!(drafts[0].text.contains("house_load = \"61 W\""));
    let trials = store.records(oldest, TRIAL_KIND).unwrap();
    assert_eq!((trials.len(), store.enclosures(trials[0].id).unwrap().len()), (1, 1));
    store.check().unwrap();
}
