//! Files that are no store, damaged stores, folders that cannot be written.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::Path;

use wakewright_store::{Store, StoreError, UnixMs};

fn healthy(path: &Path) {
    let mut store = Store::open(path).unwrap();
    for n in 0..50 {
        store.create(&format!("Heron {n}"), &"x = 1\n".repeat(500), "", UnixMs(n)).unwrap();
    }
}

#[test]
fn a_file_that_is_no_store_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let foreign = folder.path().join("foreign.sqlite");
    rusqlite::Connection::open(&foreign).unwrap().execute_batch("CREATE TABLE t (x)").unwrap();
    let files = [("letter.txt", b"Dear owner".to_vec()), ("short", b"SQLite format 3\0".to_vec())];
    for (name, bytes) in &files {
        std::fs::write(folder.path().join(name), bytes).unwrap();
    }
    for name in ["letter.txt", "short", "foreign.sqlite"] {
        let path = folder.path().join(name);
        let before = std::fs::read(&path).unwrap();
        let error = Store::open(&path).unwrap_err();
        assert!(matches!(error, StoreError::NotAStore { .. }), "{name}: {error:?}");
        assert_eq!(std::fs::read(&path).unwrap(), before, "{name}");
    }
    assert!(matches!(
        Store::open(folder.path()),
        Err(StoreError::NotAStore { .. } | StoreError::File { .. })
    ));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 3, "nothing was put beside them");
}

#[test]
fn damage_in_the_middle_is_found_and_the_backup_brings_it_all_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    let backup = folder.path().join("backup.sqlite");
    healthy(&path);
    Store::open(&path).unwrap().backup(&backup, wakewright_store::Overwrite::Refuse).unwrap();
    let mut bytes = std::fs::read(&path).unwrap();
    let middle = 4096..bytes.len() / 2;
    bytes[middle].fill(0xa5);
    std::fs::write(&path, &bytes).unwrap();

    let found = Store::open(&path).and_then(|s| s.check().and_then(|()| s.list().map(|_| ())));
    let error = found.unwrap_err();
    assert!(matches!(error, StoreError::Damaged { .. }), "{error:?}");
    assert!(error.to_string().contains("restore the last backup"));

    let kept = Store::restore(&path, &backup, UnixMs(0)).unwrap().kept_aside.unwrap();
    assert_eq!(kept.file_name().unwrap(), "boats-before-1970-01-01-000000.sqlite");
    assert_eq!(std::fs::read(&kept).unwrap(), bytes, "the damaged file is kept for whoever can read it");
    assert_eq!(Store::open(&path).unwrap().list().unwrap().len(), 50);
}

#[test]
fn a_file_cut_short_is_damaged() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    healthy(&path);
    let bytes = std::fs::read(&path).unwrap();
    std::fs::write(&path, &bytes[..bytes.len() / 3]).unwrap();
    let found = Store::open(&path).and_then(|s| s.check());
    assert!(matches!(found, Err(StoreError::Damaged { .. })), "{found:?}");
}

/// The administrator may write everywhere, so this part runs as a child without rights when the
/// tests run as administrator.
#[cfg(unix)]
mod read_only {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    use std::os::unix::process::CommandExt;
    use std::process::Command;

    use super::*;

    const CHILD_VARIABLE: &str = "WAKEWRIGHT_TEST_CHILD_OPENS";
    const NOBODY: u32 = 65534;

    #[test]
    fn child_opens() {
        let Ok(folder) = std::env::var(CHILD_VARIABLE) else { return };
        for name in ["old.sqlite", "new.sqlite", "deep/new.sqlite"] {
            let error = Store::open(Path::new(&folder).join(name)).unwrap_err();
            assert!(matches!(error, StoreError::ReadOnly { .. }), "{name}: {error:?}");
            assert!(error.to_string().contains("WAKEWRIGHT_DATA"));
        }
        // It can still be read, and says so when something is to be written.
        let mut store = Store::open_to_read(Path::new(&folder).join("old.sqlite")).unwrap();
        assert!(store.is_read_only());
        assert_eq!(store.list().unwrap().len(), 50);
        let refused = store.create("Tern", "t", "", UnixMs(1));
        assert!(matches!(refused, Err(StoreError::ReadOnly { .. })), "{refused:?}");
        assert_eq!(store.again().unwrap().list().unwrap().len(), 50);
    }

    #[test]
    fn a_read_only_folder_is_named_as_such() {
        let base = tempfile::tempdir().unwrap();
        let folder = base.path().join("data");
        std::fs::create_dir(&folder).unwrap();
        healthy(&folder.join("old.sqlite"));
        let mode = |path: &Path, mode| {
            std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
        };
        // A copy, because the folder of the test program may be closed to others.
        let program = base.path().join("program");
        std::fs::copy(std::env::current_exe().unwrap(), &program).unwrap();
        for (path, bits) in
            [(base.path(), 0o755), (&program, 0o755), (&folder.join("old.sqlite"), 0o444), (&folder, 0o555)]
        {
            mode(path, bits);
        }
        let mut child = Command::new(&program);
        child.args(["--exact", "read_only::child_opens", "--nocapture"]).env(CHILD_VARIABLE, &folder);
        if std::fs::metadata(base.path()).unwrap().uid() == 0 {
            child.uid(NOBODY).gid(NOBODY);
        }
        let output = child.output().unwrap();
        mode(&folder, 0o755);
        let said = String::from_utf8_lossy(&output.stdout);
        assert!(output.status.success() && said.contains("1 passed"), "{said}");
    }
}
