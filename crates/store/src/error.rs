//! What can go wrong with the store, worded for the one who has to put it right.

use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;
use thiserror::Error;

use crate::location::DATA_VARIABLE;
use crate::{BoatId, UnixMs};

/// Result of a call on the store.
pub type Result<T> = std::result::Result<T, StoreError>;

/// Why the store could not do what was asked. Each text says what is wrong and what to do.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum StoreError {
    /// The file is something else; it was not touched.
    #[error("{} is not a boat store ({why}). It was left as it is; choose another file, or move it away.", path.display())]
    NotAStore {
        /// The file.
        path: PathBuf,
        /// What gave it away.
        why: String,
    },
    /// The file was written by a later version of the program; it was not changed.
    #[error("{} was written by a newer version of the program (store version {found}; this program knows up to {known}). Use the newer program; the file was not changed.", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Version in the file.
        found: i64,
        /// Highest version known here.
        known: i64,
    },
    /// The file is a store, but its contents are broken.
    #[error("{} is damaged ({detail}). Copy the file to a safe place first, then restore the last backup.", path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// First finding.
        detail: String,
    },
    /// Somebody else holds the write lock for longer than we wait.
    #[error("{} is in use by another program that is writing to it. Nothing was changed; close the other program and try again.", path.display())]
    Locked {
        /// The file.
        path: PathBuf,
    },
    /// Another file, or none, has the name of the store that is open.
    #[error("{} was removed or replaced while this program had it open. Nothing was changed: what it would write would be lost. Copy what was typed last, then start the program anew to go on with the file that is there now.", path.display())]
    Replaced {
        /// The file.
        path: PathBuf,
    },
    /// No room left.
    #[error("{}: the disk is full, or no more of it may be used. Nothing was changed; free some space and try again.", path.display())]
    DiskFull {
        /// The file.
        path: PathBuf,
    },
    /// File or folder cannot be written.
    #[error("{} cannot be written: the file or its folder is read-only for you. Change the permissions, or set {DATA_VARIABLE} to a folder that you may write to.", path.display())]
    ReadOnly {
        /// The file.
        path: PathBuf,
    },
    /// The system names no folder for the user's data.
    #[error("The system does not say where your data folder is. Set {DATA_VARIABLE} to the folder to use.")]
    NoDataFolder,
    /// No boat of that name.
    #[error("There is no boat called \"{wanted}\". {}", near_sentence(near))]
    NoSuchBoat {
        /// What was asked for.
        wanted: String,
        /// Names that come near, best first; empty when there is none.
        near: Vec<String>,
    },
    /// Another boat has that name (capitals do not matter).
    #[error("There is already a boat called \"{name}\". Choose another name, or rename that one first.")]
    NameTaken {
        /// The name as the other boat bears it.
        name: String,
    },
    /// Not usable as a name.
    #[error("\"{name}\" cannot be a boat's name: {why}.")]
    BadName {
        /// What was given.
        name: String,
        /// The rule that it breaks.
        why: &'static str,
    },
    /// The boat was removed; it still exists.
    #[error("\"{name}\" was removed. Her history is kept: reinstate her first, then try again.")]
    BoatRemoved {
        /// The boat's name.
        name: String,
        /// Her number.
        id: BoatId,
        /// When she was removed.
        at: UnixMs,
    },
    /// No revision of that number.
    #[error("\"{boat}\" has no revision {wanted}; her revisions run from 1 to {latest}.")]
    NoSuchRevision {
        /// The boat's name.
        boat: String,
        /// Number asked for.
        wanted: u32,
        /// Highest number there is.
        latest: u32,
    },
    /// No side revision of that number.
    #[error("There is no text kept aside under number {wanted}.")]
    NoSuchSide {
        /// Number asked for.
        wanted: i64,
    },
    /// A record that is not there.
    #[error("\"{boat}\" has no {kind} {wanted}. List hers to see their numbers.")]
    NoSuchRecord {
        /// The boat.
        boat: String,
        /// The kind that was asked for.
        kind: String,
        /// The number that was asked for.
        wanted: u32,
    },
    /// Something that belongs to a record is not there.
    #[error(
        "There is no {what} under number {wanted}. It may have been taken off meanwhile; load the list again."
    )]
    NoSuchEntry {
        /// What was looked for.
        what: &'static str,
        /// The number that was asked for.
        wanted: i64,
    },
    /// Undo has come to the first revision.
    #[error("\"{boat}\" is at her first revision; there is nothing before it to go back to.")]
    NothingToUndo {
        /// The boat's name.
        boat: String,
    },
    /// A file is in the way.
    #[error("{} exists already and was left as it is. Choose another name, or say that it may be overwritten.", path.display())]
    FileExists {
        /// The file.
        path: PathBuf,
    },
    /// A file of a store was named as a target.
    #[error("{} belongs to a boat store, which may be in use; it was left as it is. Choose another file.", path.display())]
    LiveStore {
        /// The file.
        path: PathBuf,
    },
    /// The store itself was named as its own backup.
    #[error("{} is the store itself. Choose another file for the backup.", path.display())]
    SameFile {
        /// The file.
        path: PathBuf,
    },
    /// A file operation failed in another way.
    #[error("{}: {source}. Check that the folder exists, that the disk is connected and that you may write there.", path.display())]
    File {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The database failed in another way.
    #[error("{}: the store failed with \"{source}\". Nothing of this step was kept; try again, and make a backup.", path.display())]
    Database {
        /// The file.
        path: PathBuf,
        /// What the database said.
        source: rusqlite::Error,
    },
}

/// Whether a failure of the system came of writing or of making a file longer.
fn is_write(source: &rusqlite::Error) -> bool {
    use rusqlite::ffi::{SQLITE_IOERR_SHMSIZE, SQLITE_IOERR_TRUNCATE, SQLITE_IOERR_WRITE};
    source.sqlite_error().is_some_and(|e| {
        [SQLITE_IOERR_WRITE, SQLITE_IOERR_SHMSIZE, SQLITE_IOERR_TRUNCATE].contains(&e.extended_code)
    })
}

fn near_sentence(near: &[String]) -> String {
    if near.is_empty() {
        "List the boats to see their names.".to_owned()
    } else {
        format!("Did you mean {}?", near.join(" or "))
    }
}

impl StoreError {
    /// Words a database error about the file at `path`.
    pub(crate) fn from_database(path: &Path, source: rusqlite::Error) -> Self {
        let path = path.to_owned();
        match source.sqlite_error_code() {
            Some(ErrorCode::CannotOpen)
                if path.parent().is_some_and(|folder| !folder.as_os_str().is_empty() && !folder.exists()) =>
            {
                Self::File {
                    path,
                    source: std::io::Error::new(std::io::ErrorKind::NotFound, "there is no such folder"),
                }
            }
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Locked { path },
            Some(ErrorCode::DiskFull) => Self::DiskFull { path },
            // What the system lets nobody write any more, beside the file or in it: its disk or what may be used of it is full.
            Some(ErrorCode::SystemIoFailure) if is_write(&source) => Self::DiskFull { path },
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen) => {
                Self::ReadOnly { path }
            }
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged { path, detail: source.to_string() },
            Some(ErrorCode::NotADatabase) => Self::NotAStore { path, why: source.to_string() },
            _ => Self::Database { path, source },
        }
    }

    /// Words a file error about `path`.
    pub(crate) fn from_io(path: &Path, source: std::io::Error) -> Self {
        use std::io::ErrorKind as Kind;
        let path = path.to_owned();
        match source.kind() {
            Kind::PermissionDenied | Kind::ReadOnlyFilesystem => Self::ReadOnly { path },
            Kind::StorageFull | Kind::QuotaExceeded => Self::DiskFull { path },
            _ => Self::File { path, source },
        }
    }
}

/// Failure inside a transaction, before the file's path is known.
#[derive(Debug)]
pub(crate) enum Fault {
    Database(rusqlite::Error),
    Store(StoreError),
}

impl From<rusqlite::Error> for Fault {
    fn from(source: rusqlite::Error) -> Self {
        Self::Database(source)
    }
}

impl From<StoreError> for Fault {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

impl Fault {
    pub(crate) fn at(self, path: &Path) -> StoreError {
        match self {
            Self::Database(source) => StoreError::from_database(path, source),
            Self::Store(error) => error,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_system_failure_says_what_to_do() {
        let path = Path::new("boats.sqlite");
        let worded = |code: i32| {
            let source = rusqlite::Error::SqliteFailure(rusqlite::ffi::Error::new(code), None);
            StoreError::from_database(path, source).to_string()
        };
        assert!(worded(rusqlite::ffi::SQLITE_BUSY).contains("close the other program"));
        assert!(worded(rusqlite::ffi::SQLITE_FULL).contains("free some space"));
        assert!(worded(rusqlite::ffi::SQLITE_IOERR_SHMSIZE).contains("free some space"));
        assert!(worded(rusqlite::ffi::SQLITE_READONLY_DIRECTORY).contains("read-only"));
        assert!(worded(rusqlite::ffi::SQLITE_CORRUPT).contains("restore the last backup"));
        assert!(worded(rusqlite::ffi::SQLITE_IOERR_READ).contains("try again"));
    }
}
