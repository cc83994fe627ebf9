//! Files that are written beside and renamed, files that belong to a store, who may read them, and
//! the order in which drafts arrived.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::Path;

use wakewright_store::{Overwrite, Store, StoreError, UnixMs, write_file};

fn store_with_a_boat(path: &Path) -> Store {
    let mut store = Store::open(path).unwrap();
    store.create("Heron", "a = 1\n", "", UnixMs(1)).unwrap();
    store
}

#[test]
fn a_live_stores_own_files_are_never_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let other = folder.path().join("other.sqlite");
    let (mine, theirs) = (store_with_a_boat(&path), store_with_a_boat(&other));
    for name in ["boats.sqlite-wal", "boats.sqlite-shm", "boats.sqlite-journal", "other.sqlite"] {
        let target = folder.path().join(name);
        let refused = mine.backup(&target, Overwrite::Replace);
        assert!(matches!(refused, Err(StoreError::LiveStore { .. })), "{name}: {refused:?}");
        let refused = write_file(&target, b"a picture", Overwrite::Replace);
        assert!(matches!(refused, Err(StoreError::LiveStore { .. })), "{name}: {refused:?}");
    }
    let refused = write_file(&path, b"a picture", Overwrite::Replace);
    assert!(matches!(refused, Err(StoreError::LiveStore { .. })), "{refused:?}");
    assert_eq!((mine.list().unwrap().len(), theirs.list().unwrap().len()), (1, 1));
    mine.check().unwrap();
    // A store that nobody has open is a backup, and may be replaced by another.
    drop(theirs);
    mine.backup(&other, Overwrite::Replace).unwrap();
}

#[test]
fn a_file_is_replaced_whole_and_only_when_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("campion.toml");
    write_file(&file, b"old", Overwrite::Refuse).unwrap();
    assert!(matches!(write_file(&file, b"new", Overwrite::Refuse), Err(StoreError::FileExists { .. })));
    assert_eq!(std::fs::read(&file).unwrap(), b"old");
    write_file(&file, b"new", Overwrite::Replace).unwrap();
    assert_eq!(std::fs::read(&file).unwrap(), b"new");
    assert!(write_file(&folder.path().join("no/such/file"), b"x", Overwrite::Replace).is_err());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
}

#[test]
fn what_a_killed_program_left_beside_a_file_stands_in_nobodys_way() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("campion.toml");
    for count in 0..200 {
        let left = folder.path().join(format!("campion.toml.{}-{count}.unfinished", std::process::id()));
        std::fs::write(left, "half of").unwrap();
    }
    let left = folder.path().join(format!("campion.toml.{}.unfinished", std::process::id()));
    std::fs::write(left, "half of").unwrap();
    write_file(&file, b"whole", Overwrite::Refuse).unwrap();
    assert_eq!(std::fs::read(&file).unwrap(), b"whole");
    // Threads that write one file at once each write it whole.
    std::thread::scope(|scope| {
        for writer in 0..8_u8 {
            let file = &file;
            scope.spawn(move || write_file(file, &[b'a' + writer; 100_000], Overwrite::Replace).unwrap());
        }
    });
    let bytes = std::fs::read(&file).unwrap();
    assert!(bytes.len() == 100_000 && bytes.iter().all(|byte| *byte == bytes[0]));
}

#[cfg(unix)]
#[test]
fn a_link_stays_one_and_the_file_keeps_its_permissions() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let (file, link) = (folder.path().join("campion.toml"), folder.path().join("link.toml"));
    std::fs::write(&file, "old").unwrap();
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o640)).unwrap();
    std::os::unix::fs::symlink(&file, &link).unwrap();
    write_file(&link, b"new", Overwrite::Replace).unwrap();
    assert!(link.symlink_metadata().unwrap().file_type().is_symlink());
    assert_eq!(std::fs::read(&file).unwrap(), b"new");
    assert_eq!(file.metadata().unwrap().permissions().mode() & 0o777, 0o640);
}

#[cfg(unix)]
#[test]
fn store_folder_and_backup_are_their_owners_alone() {
    use std::os::unix::fs::PermissionsExt;
    let mode = |path: &Path| path.metadata().unwrap().permissions().mode() & 0o777;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("data/deep/boats.sqlite");
    let store = store_with_a_boat(&path);
    let backup = folder.path().join("backup.sqlite");
    store.backup(&backup, Overwrite::Refuse).unwrap();
    assert_eq!(mode(path.parent().unwrap()), 0o700);
    for file in [&path, &folder.path().join("data/deep/boats.sqlite-wal"), &backup] {
        assert_eq!(mode(file), 0o600, "{}", file.display());
    }
    drop(store);
    // One that was open to all before is closed when it is opened.
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o644)).unwrap();
    Store::open(&path).unwrap();
    assert_eq!(mode(&path), 0o600);
}

#[test]
fn a_file_with_the_mark_but_without_tables_is_no_backup() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let store = store_with_a_boat(&path);
    for version in [0, 1, wakewright_store::VERSION] {
        let marked = folder.path().join(format!("marked{version}.sqlite"));
        let foreign = rusqlite::Connection::open(&marked).unwrap();
        foreign
            .execute_batch(&format!(
                "PRAGMA application_id = {}; PRAGMA user_version = {version}; CREATE TABLE t (x);",
                0x576b_5772
            ))
            .unwrap();
        drop(foreign);
        let refused = Store::restore(&path, &marked, UnixMs(2));
        assert!(matches!(refused, Err(StoreError::Damaged { .. })), "{version}: {refused:?}");
        assert_eq!(store.list().unwrap().len(), 1);
    }
    assert_eq!(
        std::fs::read_dir(folder.path())
            .unwrap()
            .filter(|e| { e.as_ref().unwrap().file_name().to_string_lossy().contains("before") })
            .count(),
        0
    );
}

#[test]
fn a_clock_that_was_set_back_does_not_make_the_older_draft_the_newer() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = store_with_a_boat(&folder.path().join("boats.sqlite"));
    let boat = store.list().unwrap()[0].boat.id;
    store.keep_draft(boat, "phone", 1, "first", UnixMs(5000)).unwrap();
    store.keep_draft(boat, "laptop", 1, "second", UnixMs(1000)).unwrap();
    let order = |store: &Store| store.drafts(boat).unwrap().into_iter().map(|d| d.text).collect::<Vec<_>>();
    assert_eq!(order(&store), ["second", "first"]);
    store.keep_draft(boat, "phone", 1, "third", UnixMs(-7)).unwrap();
    assert_eq!(order(&store), ["third", "second"]);
}

#[test]
fn a_clock_before_1970_is_answered() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let mut store = store_with_a_boat(&path);
    let early = UnixMs(-1_000_000_000_000);
    let boat = store.create("Tern", "t", "", early).unwrap();
    assert_eq!(store.latest(boat).unwrap().head.time, early);
    let backup = folder.path().join("backup.sqlite");
    store.backup(&backup, Overwrite::Refuse).unwrap();
    let aside = Store::restore(&path, &backup, early).unwrap().kept_aside.unwrap();
    assert_eq!(aside.file_name().unwrap(), "boats-before-1938-04-24-221320.sqlite");
}

#[test]
fn a_removed_boat_takes_what_is_typed_and_says_when_she_went() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = store_with_a_boat(&folder.path().join("boats.sqlite"));
    let boat = store.list().unwrap()[0].boat.clone();
    store.remove(boat.id, UnixMs(77)).unwrap();
    let found = store.find_by_slug(&boat.slug);
    assert!(matches!(found, Err(StoreError::BoatRemoved { id, at: UnixMs(77), .. }) if id == boat.id));
    assert_eq!(store.find_even_removed(&boat.slug).unwrap().id, boat.id);
    store.keep_draft(boat.id, "phone", 1, "typed", UnixMs(78)).unwrap();
    store.reinstate(boat.id).unwrap();
    assert_eq!(store.draft(boat.id, "phone").unwrap().unwrap().text, "typed");
}

#[test]
fn writers_of_one_program_take_turns() {
    let folder = tempfile::tempdir().unwrap();
    let store = store_with_a_boat(&folder.path().join("boats.sqlite"));
    let boat = store.list().unwrap()[0].boat.id;
    std::thread::scope(|scope| {
        for writer in 0..8 {
            let mut own = store.again().unwrap();
            scope.spawn(move || {
                for n in 0..25 {
                    own.keep_draft(boat, &format!("device {writer}"), 1, &n.to_string(), UnixMs(n)).unwrap();
                }
            });
        }
    });
    assert_eq!(store.drafts(boat).unwrap().len(), 8);
}
