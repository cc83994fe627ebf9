//! Trials, logs, answers and forecasts: kept, numbered, never lost, back from a backup.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};

use rusqlite::Connection;
use tempfile::TempDir;
use wakewright_store::{BoatId, NewEnclosure, Overwrite, RecordSave, Store, TRIAL_KIND, UnixMs};

const CHILD_VARIABLE: &str = "WAKEWRIGHT_TEST_CHILD_KEEPS_LOGS_IN";

fn store() -> (TempDir, Store, BoatId) {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
    let boat = store.create("Heron", "a = 1\n", "", UnixMs(1)).unwrap();
    (folder, store, boat)
}

fn log<'a>(name: &'a str, digest: &'a str, packed: &'a [u8]) -> NewEnclosure<'a> {
    NewEnclosure { name, place: "", plain_bytes: 10 * packed.len() as u64, digest, bytes: packed }
}

#[test]
fn a_log_is_kept_once_and_comes_back() {
    let (_folder, mut store, boat) = store();
    let trial =
        store.enter_record(boat, TRIAL_KIND, "", &[log("a.log", "d1", b"abc")], UnixMs(2)).unwrap().id;
    let both = [log("copy.log", "d1", b"abc"), log("b.csv", "d2", b"defg")];
    assert_eq!(store.save_record(trial, 1, "two logs", &both, UnixMs(3)).unwrap(), RecordSave::Saved(2));
    let late = store.save_record(trial, 1, "mine", &[log("c.csv", "d3", b"h")], UnixMs(4)).unwrap();
    assert!(matches!(late, RecordSave::Overtaken(_)), "neither text nor log of a late save");
    let again = store.enclosures(trial).unwrap()[0].id;
    let logs = store.enclosures(trial).unwrap();
    assert_eq!(logs.len(), 2);
    assert_eq!((logs[0].id, logs[0].kept_bytes, logs[0].plain_bytes), (again, 3, 30));
    store.take_off_enclosure(trial, again, UnixMs(5)).unwrap();
    assert_eq!(store.enclosures(trial).unwrap().len(), 1);
    store.save_record(trial, 2, "back", &[log("a.log", "d1", b"abc")], UnixMs(6)).unwrap();
    assert_eq!(store.enclosed(boat, again).unwrap(), b"abc");
    assert_eq!(store.enclosures(trial).unwrap().len(), 2);
}

#[test]
fn what_is_kept_cannot_be_deleted_and_comes_back_from_a_backup() {
    let (folder, mut store, boat) = store();
    store.enter_record(boat, TRIAL_KIND, "text", &[log("a.log", "d1", b"abc")], UnixMs(2)).unwrap();
    store.remember("columns", "time,volts", "{}", UnixMs(3)).unwrap();
    store.remember("columns", "time,volts", "{\"a\":1}", UnixMs(4)).unwrap();
    let forecast = store.keep_forecast(boat, "0.4 kn", UnixMs(5)).unwrap();
    let raw = Connection::open(store.path()).unwrap();
    assert!(raw.execute("DELETE FROM enclosure", []).is_err());
    assert!(raw.execute("UPDATE forecast SET text = 'better'", []).is_err());
    assert!(raw.execute("DELETE FROM forecast", []).is_err());

    let backup = folder.path().join("backup");
    store.backup(&backup, Overwrite::Refuse).unwrap();
    let other = folder.path().join("other.sqlite");
    Store::restore(&other, &backup, UnixMs(6)).unwrap();
    let mut restored = Store::open(&other).unwrap();
    let trial = restored.record(boat, TRIAL_KIND, 1).unwrap();
    assert_eq!(trial.text, "text");
    assert_eq!(restored.enclosed(boat, restored.enclosures(trial.id).unwrap()[0].id).unwrap(), b"abc");
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
        store.enter_record(boat, TRIAL_KIND, "text", &[log("a.log", &digest, &packed)], UnixMs(2)).unwrap();
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
        for trial in store.records(boat, TRIAL_KIND).unwrap() {
            let logs = store.enclosures(trial.id).unwrap();
            assert_eq!(logs.len(), 1, "trial {} is whole", trial.number);
            assert_eq!(logs[0].kept_bytes, 3_000_000);
        }
    }
}
