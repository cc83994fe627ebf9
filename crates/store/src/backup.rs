//! Backup of the whole store to one file, and back.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use rusqlite::backup::Backup;
use rusqlite::{Connection, OpenFlags};

use crate::error::{Result, StoreError};
use crate::files::{put_in_place as put_file_in_place, refuse_live_store, unfinished_beside, with_suffix};
use crate::private::make_new_private;
use crate::store::{
    check_health, check_texts, refuse_incomplete, refuse_newer, refuse_other_files, refuse_stray,
};
use crate::{Store, UnixMs};

/// Whether a file in the way may go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Overwrite {
    /// Leave it and say so.
    Refuse,
    /// Replace it.
    Replace,
}

/// What a restore did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// Where the store as it was before is kept; `None` when there was none.
    pub kept_aside: Option<PathBuf>,
}

impl Store {
    /// Writes the whole store, as it is at this moment, to one file that stands alone. Others may
    /// go on reading and writing meanwhile. A file in the way is replaced only once the new one is
    /// complete and found healthy.
    ///
    /// # Errors
    /// [`StoreError::FileExists`], [`StoreError::SameFile`], [`StoreError::LiveStore`], or reading or writing fails.
    pub fn backup(&self, file: impl AsRef<Path>, overwrite: Overwrite) -> Result<()> {
        let file = file.as_ref();
        if same_file(file, self.path()) {
            return Err(StoreError::SameFile { path: file.to_owned() });
        }
        if overwrite == Overwrite::Refuse && file.exists() {
            return Err(StoreError::FileExists { path: file.to_owned() });
        }
        refuse_live_store(file)?;
        let unfinished = unfinished_beside(file);
        let about_file = |error| match error {
            StoreError::DiskFull { path } if path == unfinished => {
                StoreError::DiskFull { path: file.to_owned() }
            }
            other => other,
        };
        let copied = write_standalone_copy(self.connection(), self.path(), &unfinished).map_err(about_file);
        let written = copied.and_then(|()| {
            put_file_in_place(&unfinished, file, overwrite).map_err(|e| match e.kind() {
                std::io::ErrorKind::AlreadyExists => StoreError::FileExists { path: file.to_owned() },
                _ => StoreError::from_io(file, e),
            })
        });
        if written.is_err() {
            // Best effort: the error that matters is the first one.
            let _ = std::fs::remove_file(&unfinished);
        }
        written
    }

    /// Puts the contents of `backup` in place of the store at `path`. The backup is checked first;
    /// the store as it was is kept beside the new one under a name with the date.
    ///
    /// A healthy store is replaced in one transaction, so that programs which have it open simply
    /// see the restored boats. A damaged one, or a file that is no store, is moved aside.
    ///
    /// # Errors
    /// The backup is no store, is damaged or newer than this program; or the store is locked or
    /// cannot be written. Then the store is as it was.
    pub fn restore(path: impl AsRef<Path>, backup: impl AsRef<Path>, now: UnixMs) -> Result<Restored> {
        let (path, backup) = (path.as_ref(), backup.as_ref());
        if same_file(path, backup) {
            return Err(StoreError::SameFile { path: backup.to_owned() });
        }
        let incoming = unfinished_beside(path);
        let result = take_in(backup, &incoming).and_then(|()| {
            let aside = free_dated_name(path, now)?;
            put_in_place(path, &incoming, &aside)
        });
        let _ = std::fs::remove_file(&incoming);
        result
    }
}

/// A checked copy of `backup`, brought up to date, at `incoming`.
fn take_in(backup: &Path, incoming: &Path) -> Result<()> {
    // Asked for its own sake: a missing or an empty file is no backup, though it can become a store.
    let length = std::fs::metadata(backup).map_err(|e| StoreError::from_io(backup, e))?.len();
    refuse_other_files(backup)?;
    if length == 0 {
        return Err(StoreError::NotAStore { path: backup.to_owned(), why: "it is empty".to_owned() });
    }
    let source = Connection::open_with_flags(backup, OpenFlags::SQLITE_OPEN_READ_ONLY)
        .map_err(|e| StoreError::from_database(backup, e))?;
    refuse_newer(&source, backup)?;
    refuse_incomplete(&source, backup)?;
    // Before anything that is planned by it runs.
    refuse_stray(&source, backup)?;
    check_health(&source, backup)?;
    write_standalone_copy(&source, backup, incoming)?;
    let current = Connection::open(incoming).map_err(|e| StoreError::from_database(incoming, e))?;
    crate::schema::migrate(&current).map_err(|fault| fault.at(incoming))?;
    check_texts(&current, backup)
}

fn put_in_place(path: &Path, incoming: &Path, aside: &Path) -> Result<Restored> {
    if !path.exists() {
        rename(incoming, path)?;
        return Ok(Restored { kept_aside: None });
    }
    match Store::open(path).and_then(|store| store.check().map(|()| store)) {
        Ok(mut store) => {
            store.backup(aside, Overwrite::Refuse)?;
            let source = Connection::open(incoming).map_err(|e| StoreError::from_database(incoming, e))?;
            copy_all(&source, store.connection_mut()).map_err(|e| StoreError::from_database(path, e))?;
        }
        Err(StoreError::Damaged { .. } | StoreError::NotAStore { .. }) => {
            rename(path, aside)?;
            for suffix in ["-wal", "-shm"] {
                let beside = with_suffix(path, suffix);
                if beside.exists() {
                    rename(&beside, &with_suffix(aside, suffix))?;
                }
            }
            rename(incoming, path)?;
        }
        Err(other) => return Err(other),
    }
    Ok(Restored { kept_aside: Some(aside.to_owned()) })
}

/// Copies all pages in one step, which is one snapshot of the source and one transaction on the
/// target.
fn copy_all(source: &Connection, target: &mut Connection) -> rusqlite::Result<()> {
    use rusqlite::backup::StepResult;
    let busy = |code| rusqlite::Error::SqliteFailure(rusqlite::ffi::Error::new(code), None);
    match Backup::new(source, target)?.step(-1)? {
        StepResult::Done => Ok(()),
        StepResult::Locked => Err(busy(rusqlite::ffi::SQLITE_LOCKED)),
        _ => Err(busy(rusqlite::ffi::SQLITE_BUSY)),
    }
}

/// Writes a copy without write-ahead log, so that the one file is all there is.
fn write_standalone_copy(source: &Connection, source_path: &Path, file: &Path) -> Result<()> {
    make_new_private(file).map_err(|e| StoreError::from_io(file, e))?;
    let at = |e| StoreError::from_database(file, e);
    let mut target = Connection::open(file).map_err(at)?;
    copy_all(source, &mut target).map_err(|e| match e.sqlite_error_code() {
        Some(rusqlite::ErrorCode::DatabaseCorrupt) => StoreError::from_database(source_path, e),
        _ => at(e),
    })?;
    target.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(())).map_err(at)?;
    check_health(&target, file)?;
    target.close().map_err(|(_, e)| at(e))
}

/// `boats.sqlite` becomes `boats-before-2026-05-01-063000.sqlite`; a number follows when taken.
fn free_dated_name(path: &Path, now: UnixMs) -> Result<PathBuf> {
    let stamp: String = Connection::open_in_memory()
        .and_then(|c| {
            c.query_row(
                "SELECT coalesce(strftime('%Y-%m-%d-%H%M%S', ?1 / 1000, 'unixepoch'), 'unknown')",
                [now.0],
                |row| row.get(0),
            )
        })
        .map_err(|e| StoreError::from_database(path, e))?;
    let mut count = 1;
    loop {
        let again = if count == 1 { String::new() } else { format!("-{count}") };
        let mut name = path.file_stem().map(OsString::from).unwrap_or_default();
        name.push(format!("-before-{stamp}{again}"));
        if let Some(extension) = path.extension() {
            name.push(".");
            name.push(extension);
        }
        let candidate = path.with_file_name(name);
        if !candidate.exists() {
            return Ok(candidate);
        }
        count += 1;
    }
}

fn rename(from: &Path, to: &Path) -> Result<()> {
    std::fs::rename(from, to).map_err(|e| StoreError::from_io(to, e))
}

fn same_file(a: &Path, b: &Path) -> bool {
    matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
}
