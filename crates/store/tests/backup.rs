//! Backup and restore of a healthy store.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use rusqlite::Connection;
use wakewright_store::{Overwrite, SaveOutcome, Store, StoreError, UnixMs, VERSION};

/// 2026-05-01 06:30:00 UTC.
const MAY_MORNING: UnixMs = UnixMs(1_777_617_000_000);

#[test]
fn a_backup_stands_alone_and_comes_back_under_open_programs() {
    let folder = tempfile::tempdir().unwrap();
    let (path, backup) = (folder.path().join("boats.sqlite"), folder.path().join("usb/backup.sqlite"));
    std::fs::create_dir(folder.path().join("usb")).unwrap();
    let mut store = Store::open(&path).unwrap();
    let boat = store.create("Heron", "a", "", UnixMs(1)).unwrap();
    store.backup(&backup, Overwrite::Refuse).unwrap();
    assert_eq!(std::fs::read_dir(folder.path().join("usb")).unwrap().count(), 1, "one file is all");
    store.save(boat, 1, "b", "", UnixMs(2)).unwrap();
    store.create("Tern", "t", "", UnixMs(3)).unwrap();

    let restored = Store::restore(&path, &backup, MAY_MORNING).unwrap();
    let aside = restored.kept_aside.unwrap();
    assert_eq!(aside.file_name().unwrap(), "boats-before-2026-05-01-063000.sqlite");
    // The program that had it open sees the restored state and goes on from there.
    assert_eq!(store.list().unwrap().len(), 1);
    assert_eq!(store.latest(boat).unwrap().text, "a");
    assert!(matches!(store.save(boat, 1, "c", "", UnixMs(4)), Ok(SaveOutcome::Saved(_))));
    store.check().unwrap();
    let before = Store::open(&aside).unwrap();
    assert_eq!((before.list().unwrap().len(), before.latest(boat).unwrap().text.as_str()), (2, "b"));

    // A second one in the same second gets its own name.
    let again = Store::restore(&path, &backup, MAY_MORNING).unwrap().kept_aside.unwrap();
    assert_eq!(again.file_name().unwrap(), "boats-before-2026-05-01-063000-2.sqlite");
    let left: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|n| n.contains("incoming") || n.contains("unfinished"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_file_in_the_way_is_replaced_only_when_told() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(folder.path().join("boats.sqlite")).unwrap();
    let file = folder.path().join("backup.sqlite");
    std::fs::write(&file, "precious").unwrap();
    assert!(matches!(store.backup(&file, Overwrite::Refuse), Err(StoreError::FileExists { .. })));
    assert_eq!(std::fs::read(&file).unwrap(), b"precious");
    store.backup(&file, Overwrite::Replace).unwrap();
    Store::open(&file).unwrap();
    let itself = store.backup(store.path(), Overwrite::Replace);
    assert!(matches!(itself, Err(StoreError::SameFile { .. })));
    assert!(store.backup(folder.path().join("no/such/folder/b.sqlite"), Overwrite::Refuse).is_err());
}

#[test]
fn a_bad_backup_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let mut store = Store::open(&path).unwrap();
    let boat = store.create("Heron", &"a = 1\n".repeat(5000), "", UnixMs(1)).unwrap();
    let file = |name: &str| folder.path().join(name);
    std::fs::write(file("empty"), "").unwrap();
    std::fs::write(file("letter"), "Dear owner").unwrap();
    store.backup(file("newer"), Overwrite::Refuse).unwrap();
    Connection::open(file("newer")).unwrap().pragma_update(None, "user_version", VERSION + 1).unwrap();
    store.backup(file("damaged"), Overwrite::Refuse).unwrap();
    let mut bytes = std::fs::read(file("damaged")).unwrap();
    bytes[8192..20000].fill(0x5a);
    std::fs::write(file("damaged"), bytes).unwrap();

    let why = |name: &str| Store::restore(&path, file(name), MAY_MORNING).unwrap_err();
    assert!(matches!(why("missing"), StoreError::File { .. }));
    assert!(matches!(why("empty"), StoreError::NotAStore { .. }));
    assert!(matches!(why("letter"), StoreError::NotAStore { .. }));
    assert!(matches!(why("newer"), StoreError::Newer { .. }));
    assert!(matches!(why("damaged"), StoreError::Damaged { .. }));
    assert!(store.latest(boat).unwrap().text.starts_with("a = 1"));
    assert_eq!(
        std::fs::read_dir(folder.path())
            .unwrap()
            .filter(|e| { e.as_ref().unwrap().file_name().to_string_lossy().contains("before") })
            .count(),
        0
    );
}

#[test]
fn an_old_backup_is_brought_up_to_date_and_a_missing_store_is_made() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let old = folder.path().join("old.sqlite");
    std::fs::copy(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/version-1.store"), &old).unwrap();
    let before = std::fs::read(&old).unwrap();
    assert_eq!(Store::restore(&path, &old, MAY_MORNING).unwrap().kept_aside, None);
    let mut store = Store::open(&path).unwrap();
    let boat = store.find("Grey Heron").unwrap().id;
    store.keep_draft(boat, "phone", 3, "x", UnixMs(1)).unwrap();
    assert_eq!(std::fs::read(&old).unwrap(), before, "the backup is left as it was");
}
