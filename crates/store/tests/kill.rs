//! Killed in the middle of writing: everything that was acknowledged is found again.
//!
//! Says nothing about power loss, which no test can make; see the durability section of `Store`.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};
use std::time::Duration;

use wakewright_store::{SaveOutcome, Store, UnixMs};

const CHILD_VARIABLE: &str = "WAKEWRIGHT_TEST_CHILD_WRITES_TO";
const ROUNDS: u64 = 12;

fn text_of(number: u32) -> String {
    format!("revision = {number}\n{}", "filler = \"0123456789\"\n".repeat((number % 97) as usize * 20))
}

/// The child's part: writes until it is killed, and says so after each write. Does nothing when run
/// as an ordinary test.
#[test]
fn child_writes_until_killed() {
    let Ok(path) = std::env::var(CHILD_VARIABLE) else { return };
    let mut store = Store::open(path).unwrap();
    let boat = store.find("Heron").unwrap().id;
    let mut base = store.latest(boat).unwrap().head.number;
    let mut out = std::io::stdout().lock();
    loop {
        let next = base + 1;
        store.keep_draft(boat, "phone", base, &text_of(next), UnixMs(i64::from(next))).unwrap();
        writeln!(out, "draft {next}").unwrap();
        let saved = store.save(boat, base, &text_of(next), "", UnixMs(i64::from(next))).unwrap();
        assert!(matches!(saved, SaveOutcome::Saved(_)));
        writeln!(out, "saved {next}").unwrap();
        base = next;
    }
}

#[test]
fn what_was_acknowledged_survives_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let boat = Store::open(&path).unwrap().create("Heron", &text_of(1), "", UnixMs(1)).unwrap();
    let mut acknowledged = 1;
    for round in 0..ROUNDS {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "child_writes_until_killed", "--nocapture", "--test-threads=1"])
            .env(CHILD_VARIABLE, &path)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines().map(|l| l.unwrap());
        let mut draft = 0;
        let mut note = |line: &str| {
            // The test runner's own words stand before the first report, on the same line.
            let number = |mark| line.split_once(mark).and_then(|(_, n): (_, &str)| n.parse::<u32>().ok());
            draft = number("draft ").unwrap_or(draft);
            acknowledged = number("saved ").unwrap_or(acknowledged);
            number("saved ").is_some()
        };
        assert!(lines.by_ref().any(|line| note(&line)), "the child wrote nothing");
        std::thread::sleep(Duration::from_millis(15 + 23 * round));
        child.kill().unwrap();
        child.wait().unwrap();
        for line in lines {
            note(&line);
        }

        let store = Store::open(&path).unwrap();
        store.check().unwrap();
        let latest = store.latest(boat).unwrap().head.number;
        // One more may have been committed before the child could say so.
        assert!(latest == acknowledged || latest == acknowledged + 1, "{latest} after {acknowledged}");
        for number in 1..=latest {
            assert_eq!(store.get(boat, number).unwrap().text, text_of(number));
        }
        let kept = store.draft(boat, "phone").unwrap().unwrap();
        assert_eq!(kept.text, text_of(kept.base + 1), "a draft is whole");
        assert!(kept.base + 1 == draft || kept.base == draft, "draft {} after {draft}", kept.base + 1);
        acknowledged = latest;
    }
    println!("killed {ROUNDS} times, {acknowledged} revisions, none lost");
}
