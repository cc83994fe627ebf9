//! Records and their photographs: numbered by kind, never lost, back from a backup, whole after a kill.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};

use rusqlite::Connection;
use tempfile::TempDir;
use wakewright_store::{BoatId, NewEnclosure, Overwrite, RecordSave, Store, StoreError, UnixMs};

const CHILD_VARIABLE: &str = "WAKEWRIGHT_TEST_CHILD_KEEPS_PHOTOGRAPHS_IN";
const KIND: &str = "checkup";

fn store() -> (TempDir, Store, BoatId) {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
    let boat = store.create("Heron", "a = 1\n", "", UnixMs(1)).unwrap();
    (folder, store, boat)
}

fn photograph<'a>(digest: &'a str, bytes: &'a [u8]) -> NewEnclosure<'a> {
    NewEnclosure { name: "gland.jpg", place: "", plain_bytes: bytes.len() as u64, digest, bytes }
}

#[test]
fn a_record_is_numbered_by_kind_changed_and_removed() {
    let (_folder, mut store, boat) = store();
    let first = store.enter_record(boat, KIND, "one", &[], UnixMs(2)).unwrap();
    let second = store.enter_record(boat, KIND, "two", &[], UnixMs(3)).unwrap();
    let call = store.enter_record(boat, "call", "she won't go", &[], UnixMs(3)).unwrap();
    assert_eq!((first.number, second.number, call.number), (1, 2, 1));
    store.shelve_record(second.id, Some(UnixMs(4))).unwrap();
    assert_eq!(
        store.enter_record(boat, KIND, "three", &[], UnixMs(5)).unwrap().number,
        3,
        "never given twice"
    );
    let shelved: Vec<bool> = store
        .records_and_removed(boat)
        .unwrap()
        .iter()
        .filter(|record| record.kind == KIND)
        .map(|record| record.removed.is_some())
        .collect();
    assert_eq!(shelved, [false, true, false]);
    store.shelve_record(second.id, None).unwrap();
    assert_eq!(store.record(boat, KIND, 2).unwrap().removed, None);

    assert_eq!(store.save_record(first.id, 1, "one!", &[], UnixMs(6)).unwrap(), RecordSave::Saved(2));
    match store.save_record(first.id, 1, "mine", &[], UnixMs(7)).unwrap() {
        RecordSave::Overtaken(theirs) => assert_eq!((theirs.text.as_str(), theirs.version), ("one!", 2)),
        RecordSave::Saved(_) => panic!("the later save must not win unseen"),
    }
    // What was being typed is no revision; what stood for a minute is.
    assert!(store.record_revisions(first.id).unwrap().is_empty());
    assert_eq!(store.save_record(first.id, 2, "two!", &[], UnixMs(60_006)).unwrap(), RecordSave::Saved(3));
    assert_eq!(store.save_record(first.id, 3, "two", &[], UnixMs(60_007)).unwrap(), RecordSave::Saved(4));
    let before: Vec<_> =
        store.record_revisions(first.id).unwrap().into_iter().map(|one| (one.version, one.text)).collect();
    assert_eq!(before, [(2, "one!".to_owned())]);
    let missing = store.record(boat, KIND, 9).unwrap_err();
    assert!(matches!(missing, StoreError::NoSuchRecord { wanted: 9, .. }), "{missing}");
    store.remove(boat, UnixMs(8)).unwrap();
    assert!(store.enter_record(boat, KIND, "", &[], UnixMs(9)).is_err(), "a boat that was removed");
}

#[test]
fn photographs_are_kept_once_and_come_back_from_a_backup() {
    let (folder, mut store, boat) = store();
    let other_boat = store.create("Plover", "a = 1\n", "", UnixMs(1)).unwrap();
    let record = store.enter_record(boat, KIND, "text", &[], UnixMs(2)).unwrap().id;
    let gland = store.add_enclosure(record, &photograph("d1", b"abc"), UnixMs(3)).unwrap();
    assert_eq!(store.add_enclosure(record, &photograph("d1", b"abc"), UnixMs(4)).unwrap(), gland);
    let anode = store.add_enclosure(record, &photograph("d2", b"defg"), UnixMs(4)).unwrap();
    store.take_off_enclosure(record, gland, UnixMs(5)).unwrap();
    assert_eq!(store.enclosures(record).unwrap().iter().map(|kept| kept.id).collect::<Vec<_>>(), [anode]);
    assert_eq!(store.add_enclosure(record, &photograph("d1", b"abc"), UnixMs(6)).unwrap(), gland, "back");
    assert!(store.enclosed(other_boat, gland).is_err(), "another boat's");
    let raw = Connection::open(store.path()).unwrap();
    for refused in
        ["DELETE FROM enclosure", "DELETE FROM record", "UPDATE enclosure SET bytes = x'00' WHERE id = 1"]
    {
        assert!(raw.execute(refused, []).is_err(), "{refused}");
    }

    let backup = folder.path().join("backup");
    store.backup(&backup, Overwrite::Refuse).unwrap();
    let other = folder.path().join("other.sqlite");
    Store::restore(&other, &backup, UnixMs(6)).unwrap();
    let restored = Store::open(&other).unwrap();
    assert_eq!(restored.record(boat, KIND, 1).unwrap().text, "text");
    assert_eq!(restored.enclosures(record).unwrap().len(), 2);
    assert_eq!(restored.enclosed(boat, anode).unwrap(), b"defg");
}

/// The child's part: keeps photographs until it is killed. Does nothing when run as an ordinary test.
#[test]
fn child_keeps_photographs_until_killed() {
    let Ok(path) = std::env::var(CHILD_VARIABLE) else { return };
    let mut store = Store::open(path).unwrap();
    let boat = store.find("Heron").unwrap().id;
    let record = store.record(boat, KIND, 1).unwrap().id;
    let bytes = vec![7_u8; 3_000_000];
    let mut out = std::io::stdout().lock();
    for round in 0_u32.. {
        let digest = format!("{}-{round}", std::process::id());
        let kept = store.add_enclosure(record, &photograph(&digest, &bytes), UnixMs(2)).unwrap();
        writeln!(out, "kept {}", kept.0).unwrap();
    }
}

#[test]
fn killed_in_mid_upload_loses_no_earlier_photograph() {
    let (_folder, mut store, boat) = store();
    let record = store.enter_record(boat, KIND, "text", &[], UnixMs(2)).unwrap().id;
    for wait_ms in [0, 5, 15, 40] {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "child_keeps_photographs_until_killed", "--nocapture", "--test-threads=1"])
            .env(CHILD_VARIABLE, store.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        while !line.contains("kept ") {
            line.clear();
            assert!(out.read_line(&mut line).unwrap() > 0, "the child wrote nothing");
        }
        std::thread::sleep(std::time::Duration::from_millis(wait_ms));
        child.kill().unwrap();
        child.wait().unwrap();
        store.check().unwrap();
        let told: Vec<i64> = std::iter::once(line)
            .chain(out.lines().map(Result::unwrap))
            .filter_map(|line| line.split("kept ").nth(1)?.trim().parse().ok())
            .collect();
        let kept = store.enclosures(record).unwrap();
        for id in told {
            assert!(kept.iter().any(|kept| kept.id.0 == id), "photograph {id} was acknowledged");
        }
        assert!(kept.iter().all(|kept| kept.kept_bytes == 3_000_000));
    }
}
