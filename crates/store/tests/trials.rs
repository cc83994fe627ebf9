//! Trials, logs, answers and forecasts: kept, numbered, never lost, back from a backup.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};

use rusqlite::Connection;
use tempfile::TempDir;
use wakewright_store::{BoatId, NewLog, Overwrite, Store, StoreError, TrialSave, UnixMs};

const CHILD_VARIABLE: &str = "WAKEWRIGHT_TEST_CHILD_KEEPS_LOGS_IN";

fn store() -> (TempDir, Store, BoatId) {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
    let boat = store.create("Heron", "a = 1\n", "", UnixMs(1)).unwrap();
    (folder, store, boat)
}

fn log<'a>(name: &'a str, digest: &'a str, packed: &'a [u8]) -> NewLog<'a> {
    NewLog { name, plain_bytes: 10 * packed.len() as u64, digest, packed }
}

#[test]
fn a_trial_is_numbered_changed_and_removed() {
    let (_folder, mut store, boat) = store();
    let first = store.enter_trial(boat, "one", &[log("a.log", "d1", b"abc")], UnixMs(2)).unwrap();
    let second = store.enter_trial(boat, "two", &[], UnixMs(3)).unwrap();
    assert_eq!((first.number, second.number), (1, 2));
    store.remove_trial(second.id, UnixMs(4)).unwrap();
    let third = store.enter_trial(boat, "three", &[], UnixMs(5)).unwrap();
    assert_eq!(third.number, 3, "a number is never given twice");
    let numbers: Vec<u32> = store.trials(boat).unwrap().iter().map(|trial| trial.number).collect();
    assert_eq!(numbers, [1, 3]);
    store.reinstate_trial(second.id).unwrap();
    assert_eq!(store.trials(boat).unwrap().len(), 3);

    assert_eq!(store.save_trial(first.id, 1, "one!", UnixMs(6)).unwrap(), TrialSave::Saved(2));
    match store.save_trial(first.id, 1, "mine", UnixMs(7)).unwrap() {
        TrialSave::Overtaken(theirs) => assert_eq!((theirs.text.as_str(), theirs.version), ("one!", 2)),
        TrialSave::Saved(_) => panic!("the later save must not win unseen"),
    }
    assert_eq!(store.save_trial(first.id, 1, "one!", UnixMs(8)).unwrap(), TrialSave::Saved(2), "same text");
    let missing = store.trial(boat, 9).unwrap_err();
    assert!(matches!(missing, StoreError::NoSuchTrial { wanted: 9, .. }), "{missing}");
    assert!(missing.to_string().contains("List her trials"));
}

#[test]
fn a_log_is_kept_once_and_comes_back() {
    let (_folder, mut store, boat) = store();
    let trial = store.enter_trial(boat, "", &[log("a.log", "d1", b"abc")], UnixMs(2)).unwrap().id;
    let both = [log("copy.log", "d1", b"abc"), log("b.csv", "d2", b"defg")];
    assert_eq!(store.extend_trial(trial, 1, "two logs", &both, UnixMs(3)).unwrap(), TrialSave::Saved(2));
    let late = store.extend_trial(trial, 1, "mine", &[log("c.csv", "d3", b"h")], UnixMs(4)).unwrap();
    assert!(matches!(late, TrialSave::Overtaken(_)), "neither text nor log of a late save");
    let again = store.logs(trial).unwrap()[0].id;
    let logs = store.logs(trial).unwrap();
    assert_eq!(logs.len(), 2);
    assert_eq!((logs[0].id, logs[0].packed_bytes, logs[0].plain_bytes), (again, 3, 30));
    store.remove_log(again, UnixMs(5)).unwrap();
    assert_eq!(store.logs(trial).unwrap().len(), 1);
    store.extend_trial(trial, 2, "back", &[log("a.log", "d1", b"abc")], UnixMs(6)).unwrap();
    assert_eq!(store.packed_log(again).unwrap(), b"abc");
    assert_eq!(store.logs(trial).unwrap().len(), 2);
}

#[test]
fn what_is_kept_cannot_be_deleted_and_comes_back_from_a_backup() {
    let (folder, mut store, boat) = store();
    store.enter_trial(boat, "text", &[log("a.log", "d1", b"abc")], UnixMs(2)).unwrap();
    store.remember("columns", "time,volts", "{}", UnixMs(3)).unwrap();
    store.remember("columns", "time,volts", "{\"a\":1}", UnixMs(4)).unwrap();
    let forecast = store.keep_forecast(boat, "0.4 kn", UnixMs(5)).unwrap();
    let raw = Connection::open(store.path()).unwrap();
    assert!(raw.execute("DELETE FROM trial", []).is_err());
    assert!(raw.execute("UPDATE forecast SET text = 'better'", []).is_err());
    assert!(raw.execute("DELETE FROM forecast", []).is_err());

    let backup = folder.path().join("backup");
    store.backup(&backup, Overwrite::Refuse).unwrap();
    let other = folder.path().join("other.sqlite");
    Store::restore(&other, &backup, UnixMs(6)).unwrap();
    let mut restored = Store::open(&other).unwrap();
    let trial = restored.trial(boat, 1).unwrap();
    assert_eq!(trial.text, "text");
    assert_eq!(restored.packed_log(restored.logs(trial.id).unwrap()[0].id).unwrap(), b"abc");
    assert_eq!(restored.remembered("columns", "time,volts").unwrap().as_deref(), Some("{\"a\":1}"));
    assert_eq!(restored.all_remembered("columns").unwrap().len(), 1);
    assert_eq!(restored.forecasts(boat).unwrap()[0].text, "0.4 kn");
    restored.put_forecast_aside(forecast, UnixMs(7)).unwrap();
    assert!(restored.forecasts(boat).unwrap().is_empty());
}

/// The child's part: keeps logs until it is killed. Does nothing when run as an ordinary test.
#[test]
fn child_keeps_logs_until_killed() {
    let Ok(path) = std::env::var(CHILD_VARIABLE) else { return };
    let mut store = Store::open(path).unwrap();
    let boat = store.find("Heron").unwrap().id;
    let packed = vec![7_u8; 3_000_000];
    let mut out = std::io::stdout().lock();
    for round in 0_u32.. {
        let digest = format!("d{round}");
        writeln!(out, "begins").unwrap();
        store.enter_trial(boat, "text", &[log("a.log", &digest, &packed)], UnixMs(2)).unwrap();
    }
}

#[test]
fn killed_while_a_log_is_kept_leaves_whole_trials_only() {
    let (_folder, store, boat) = store();
    for wait_ms in [0, 5, 15, 40] {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "child_keeps_logs_until_killed", "--nocapture", "--test-threads=1"])
            .env(CHILD_VARIABLE, store.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines().map(|line| line.unwrap());
        assert!(lines.any(|line| line.contains("begins")), "the child wrote nothing");
        std::thread::sleep(std::time::Duration::from_millis(wait_ms));
        child.kill().unwrap();
        child.wait().unwrap();
        store.check().unwrap();
        for trial in store.trials(boat).unwrap() {
            let logs = store.logs(trial.id).unwrap();
            assert_eq!(logs.len(), 1, "trial {} is whole", trial.number);
            assert_eq!(logs[0].packed_bytes, 3_000_000);
        }
    }
}
