//! Backups that somebody else made, or made to harm.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::{Path, PathBuf};

use rusqlite::Connection;
use wakewright_store::{Overwrite, Store, StoreError, UnixMs};

struct Bench {
    folder: tempfile::TempDir,
    store: Store,
}

impl Bench {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
        store.create("Heron", "a = 1\n", "", UnixMs(1)).unwrap();
        Self { folder, store }
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// A backup in which `sql` was done.
    fn backup_with(&self, name: &str, sql: &str) -> PathBuf {
        let file = self.at(name);
        self.store.backup(&file, Overwrite::Refuse).unwrap();
        let connection = Connection::open(&file).unwrap();
        connection.execute_batch(sql).unwrap();
        connection.close().unwrap();
        file
    }

    /// As [`Self::backup_with`], what forbids to change revisions lifted for `sql` and put back.
    fn forged(&self, name: &str, sql: &str) -> PathBuf {
        let connection = Connection::open(self.backup_with("plan.sqlite", "")).unwrap();
        let mut triggers =
            connection.prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").unwrap();
        let triggers = triggers.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
        let triggers: Vec<(String, String)> = triggers.map(Result::unwrap).collect();
        let lift: String = triggers.iter().map(|(name, _)| format!("DROP TRIGGER {name};")).collect();
        let put_back: String = triggers.iter().map(|(_, sql)| format!("{sql};")).collect();
        std::fs::remove_file(self.at("plan.sqlite")).unwrap();
        self.backup_with(name, &format!("PRAGMA foreign_keys = OFF; {lift} {sql}; {put_back}"))
    }

    fn restore(&self, file: &Path) -> Result<(), StoreError> {
        Store::restore(self.at("boats.sqlite"), file, UnixMs(2)).map(|_| ())
    }

    fn is_as_it_was(&self) -> bool {
        let names = std::fs::read_dir(self.folder.path()).unwrap();
        let names = names.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        self.store.find("Heron").is_ok_and(|boat| self.store.latest(boat.id).unwrap().text == "a = 1\n")
            && !names.into_iter().any(|name| name.contains("unfinished") || name.contains("before"))
    }
}

/// What came with the file would work in the store at the next save.
#[test]
fn a_backup_with_a_plan_of_its_own_is_refused_and_changes_nothing() {
    let bench = Bench::new();
    for (number, (what, sql)) in [
        ("trigger t", "CREATE TRIGGER t AFTER INSERT ON revision BEGIN DELETE FROM draft; END"),
        ("trigger forecast_is_kept", "DROP TRIGGER forecast_is_kept; CREATE TRIGGER forecast_is_kept BEFORE DELETE ON forecast BEGIN SELECT 1; END"),
        ("view v", "CREATE VIEW v AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT * FROM n"),
        ("table more", "CREATE TABLE more (a)"),
        ("index i", "CREATE INDEX i ON boat (abs(id))"),
        ("table boat", "ALTER TABLE boat ADD COLUMN more TEXT DEFAULT 'x'"),
        ("table boat", "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = replace(sql, 'name TEXT', 'name ANY') WHERE name = 'boat'"),
    ]
    .into_iter()
    .enumerate()
    {
        let file = bench.backup_with(&format!("{number}.sqlite"), sql);
        let why = bench.restore(&file).unwrap_err();
        assert!(matches!(&why, StoreError::NotAStore { why, .. } if why.contains(what)), "{sql}: {why}");
        assert!(bench.is_as_it_was(), "{sql}");
    }
}

#[test]
fn a_plan_that_cannot_be_read_is_damage() {
    let bench = Bench::new();
    for (number, sql) in [
        "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = 'CREATE TABLE boat (' WHERE name = 'boat'",
        "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET rootpage = 99999 WHERE name = 'revision'",
        "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET rootpage = (SELECT rootpage FROM sqlite_schema WHERE name = 'boat') WHERE name = 'revision'",
        "PRAGMA writable_schema = ON; DELETE FROM sqlite_schema WHERE name = 'draft'",
        "PRAGMA user_version = -7",
        "PRAGMA user_version = 1",
        "PRAGMA foreign_keys = OFF; INSERT INTO draft (boat_id, device, base, text, time_ms) VALUES (77, 'x', 1, '', 1)",
    ]
    .into_iter()
    .enumerate()
    {
        let file = bench.backup_with(&format!("{number}.sqlite"), sql);
        assert!(bench.restore(&file).is_err(), "{sql}");
        assert!(bench.is_as_it_was(), "{sql}");
    }
}

/// Numbers and names that no program of ours writes are answered, or refused with a reason.
#[test]
fn values_out_of_all_bounds_are_answered() {
    for (number, sql) in [
        "UPDATE revision SET number = 9223372036854775807",
        "UPDATE revision SET time_ms = -9223372036854775808",
        "UPDATE boat SET slug = '../../etc/passwd', name = char(27) || '[2J' || char(0)",
        "UPDATE boat SET removed_ms = 9223372036854775807",
    ]
    .into_iter()
    .enumerate()
    {
        let bench = Bench::new();
        let file = bench.forged(&format!("{number}.sqlite"), sql);
        if bench.restore(&file).is_ok() {
            let store = Store::open(bench.at("boats.sqlite")).unwrap();
            for line in store.list().unwrap_or_default() {
                let _ = store.revisions(line.boat.id).map(|all| all.len());
                let _ = store.latest(line.boat.id).map(|latest| latest.text.len());
            }
        }
    }
}

#[test]
fn a_text_that_is_none_is_damage() {
    let bench = Bench::new();
    let file = bench.forged("odd.sqlite", "UPDATE revision SET text = CAST(x'ff00fe' AS TEXT)");
    assert!(matches!(bench.restore(&file), Err(StoreError::Damaged { .. })));
    assert!(bench.is_as_it_was());
}

/// A link under a name that the restore passes through led it to write somewhere else.
#[test]
fn a_link_in_the_way_is_not_followed() {
    let bench = Bench::new();
    let (file, elsewhere) = (bench.at("backup.sqlite"), bench.at("elsewhere"));
    bench.store.backup(&file, Overwrite::Refuse).unwrap();
    for suffix in ["incoming", &format!("{}-0.unfinished", std::process::id())] {
        std::os::unix::fs::symlink(&elsewhere, bench.at(&format!("boats.sqlite.{suffix}"))).unwrap();
    }
    bench.restore(&file).unwrap();
    assert!(!elsewhere.exists());
    std::os::unix::fs::symlink(&elsewhere, bench.at("link.sqlite")).unwrap();
    assert!(bench.store.backup(bench.at("link.sqlite"), Overwrite::Refuse).is_err());
    assert!(!elsewhere.exists());
}

/// A pipe under the name of a store or a backup was waited at for ever.
#[test]
fn a_pipe_is_refused_at_once() {
    let bench = Bench::new();
    let pipe = bench.at("pipe");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    assert!(matches!(bench.restore(&pipe), Err(StoreError::NotAStore { .. })));
    assert!(matches!(Store::open(&pipe), Err(StoreError::NotAStore { .. })));
    assert!(bench.is_as_it_was());
}
