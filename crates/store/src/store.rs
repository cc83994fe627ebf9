//! Opening the file, and the two ways in which everything else reaches it: read and write.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use crate::error::{Fault, Result, StoreError};
use crate::{location, schema};

/// How long a call waits for another writer before it gives up.
const PATIENCE: Duration = Duration::from_secs(5);

/// First bytes of every SQLite 3 file.
const MAGIC: &[u8; 16] = b"SQLite format 3\0";
/// Where the database header keeps the application id (big-endian).
const APPLICATION_ID_AT: usize = 68;
const HEADER_LENGTH: usize = 100;

/// An open store. One per thread, or one behind a lock; several on the same file are fine, in one
/// program or in several.
///
/// # Durability
/// Write-ahead log with `synchronous = FULL`.
/// - *The program is killed or crashes:* what a call has acknowledged is found again. The log
///   record was handed to the operating system before the call returned, and outlives the
///   program. A write under way is either wholly there or not at all. So what the page loses is
///   only what it has not handed over: keep a draft at least once a second.
/// - *Power fails:* with `NORMAL` the log would be synced to the disk at checkpoints only, and the
///   last commits could vanish (without damage to the file). `FULL` syncs the log at every commit.
///   A laptop on a boat does run flat, and a save is a matter of milliseconds either way, so the
///   stronger setting is used. It holds as far as the disk tells the truth about syncing.
#[derive(Debug)]
pub struct Store {
    connection: Connection,
    path: PathBuf,
}

impl Store {
    /// Opens the store at `path`; makes it, and the folders above it, when there is none; brings an
    /// older one up to date.
    ///
    /// # Errors
    /// [`StoreError::NotAStore`] and [`StoreError::Newer`] leave the file as it is. Otherwise a
    /// damaged, locked or read-only file, a full disk, or a folder that cannot be made.
    pub fn open(path: impl AsRef<Path>) -> Result<Self> {
        let path = path.as_ref();
        if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty()) {
            std::fs::create_dir_all(folder).map_err(|e| StoreError::from_io(folder, e))?;
        }
        refuse_other_files(path)?;
        let at = |e| StoreError::from_database(path, e);
        let connection = Connection::open_with_flags(
            path,
            OpenFlags::SQLITE_OPEN_READ_WRITE
                | OpenFlags::SQLITE_OPEN_CREATE
                | OpenFlags::SQLITE_OPEN_NO_MUTEX,
        )
        .map_err(at)?;
        connection.busy_timeout(PATIENCE).map_err(at)?;
        refuse_newer(&connection, path)?;
        // The first tables are written before the log is switched on, so that the mark by which
        // the file is recognised is in the file proper from the start.
        schema::migrate(&connection).map_err(|fault| fault.at(path))?;
        switch_to_write_ahead_log(&connection).map_err(at)?;
        connection
            .execute_batch(
                "PRAGMA synchronous = FULL; PRAGMA fullfsync = ON; PRAGMA foreign_keys = ON;
                 PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON;",
            )
            .map_err(at)?;
        Ok(Self { connection, path: path.to_owned() })
    }

    /// Opens the store at [`default_path`](crate::default_path).
    ///
    /// # Errors
    /// As [`Store::open`], or when the system names no data folder.
    pub fn open_default() -> Result<Self> {
        Self::open(location::default_path()?)
    }

    /// The file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Sets how long a call waits for another writer before [`StoreError::Locked`] (5 s at first).
    ///
    /// # Errors
    /// When the database refuses.
    pub fn wait_for_others(&self, patience: Duration) -> Result<()> {
        self.read(|connection| Ok(connection.busy_timeout(patience)?))
    }

    /// Looks through the whole file for damage. It reads all of it: about half a second per GB when
    /// the file is in memory, as long as reading takes otherwise.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] with the first finding.
    pub fn check(&self) -> Result<()> {
        check_health(&self.connection, &self.path)
    }

    pub(crate) fn connection(&self) -> &Connection {
        &self.connection
    }

    pub(crate) fn connection_mut(&mut self) -> &mut Connection {
        &mut self.connection
    }

    pub(crate) fn read<T>(
        &self,
        work: impl FnOnce(&Connection) -> std::result::Result<T, Fault>,
    ) -> Result<T> {
        work(&self.connection).map_err(|fault| fault.at(&self.path))
    }

    /// Runs `work` in one transaction that holds the write lock from the start, so that what it
    /// reads cannot change before it writes. Nothing is kept when it fails.
    pub(crate) fn write<T>(
        &mut self,
        work: impl FnOnce(&Transaction<'_>) -> std::result::Result<T, Fault>,
    ) -> Result<T> {
        let path = &self.path;
        let at = |e| StoreError::from_database(path, e);
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(at)?;
        let value = work(&transaction).map_err(|fault| fault.at(path))?;
        transaction.commit().map_err(at)?;
        Ok(value)
    }
}

/// Judges by the bytes alone, because opening a foreign database could already change it.
/// A missing or an empty file will become a store.
pub(crate) fn refuse_other_files(path: &Path) -> Result<()> {
    let refuse = |why: &str| Err(StoreError::NotAStore { path: path.to_owned(), why: why.to_owned() });
    let file = match File::open(path) {
        Ok(file) => file,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(e) => return Err(StoreError::from_io(path, e)),
    };
    let at = |e| StoreError::from_io(path, e);
    if !file.metadata().map_err(at)?.is_file() {
        return refuse("it is not a plain file");
    }
    let mut header = Vec::with_capacity(HEADER_LENGTH);
    file.take(HEADER_LENGTH as u64).read_to_end(&mut header).map_err(at)?;
    if header.is_empty() {
        return Ok(());
    }
    if !header.starts_with(MAGIC) {
        return refuse("it is no database");
    }
    let mark = schema::APPLICATION_ID.to_be_bytes();
    if header.get(APPLICATION_ID_AT..APPLICATION_ID_AT + mark.len()) != Some(mark.as_slice()) {
        return refuse("it is a database of another program");
    }
    Ok(())
}

pub(crate) fn refuse_newer(connection: &Connection, path: &Path) -> Result<()> {
    let found = schema::version(connection).map_err(|e| StoreError::from_database(path, e))?;
    if found > schema::VERSION {
        return Err(StoreError::Newer { path: path.to_owned(), found, known: schema::VERSION });
    }
    Ok(())
}

pub(crate) fn check_health(connection: &Connection, path: &Path) -> Result<()> {
    let at = |e| StoreError::from_database(path, e);
    let damaged = |detail| Err(StoreError::Damaged { path: path.to_owned(), detail });
    let finding: String =
        connection.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0)).map_err(at)?;
    if finding != "ok" {
        return damaged(finding);
    }
    let orphans: i64 = connection
        .query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get(0))
        .map_err(at)?;
    if orphans > 0 {
        return damaged(format!("{orphans} entries belong to no boat"));
    }
    Ok(())
}

/// The switch wants the file to itself for a moment and does not wait by its own means.
fn switch_to_write_ahead_log(connection: &Connection) -> rusqlite::Result<()> {
    let started = Instant::now();
    loop {
        let switched = connection.query_row("PRAGMA journal_mode = WAL", [], |row| row.get::<_, String>(0));
        match switched {
            Err(e)
                if e.sqlite_error_code() == Some(rusqlite::ErrorCode::DatabaseBusy)
                    && started.elapsed() < PATIENCE =>
            {
                std::thread::sleep(Duration::from_millis(10));
            }
            other => return other.map(|_| ()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::UnixMs;

    #[test]
    fn a_full_disk_keeps_what_was_there() {
        let folder = tempfile::tempdir().unwrap();
        let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
        let boat = store.create("Heron", "a = 1\n", "", UnixMs(1)).unwrap();
        // Stands in for a full disk: the database may not grow any further.
        let pages: i64 = store.connection.query_row("PRAGMA page_count", [], |r| r.get(0)).unwrap();
        let limit = format!("PRAGMA max_page_count = {pages}");
        store.connection.query_row(&limit, [], |_| Ok(())).unwrap();
        let outcome = store.save(boat, 1, &"x = 1\n".repeat(100_000), "", UnixMs(2));
        assert!(matches!(outcome, Err(StoreError::DiskFull { .. })), "{outcome:?}");
        assert_eq!(store.latest(boat).unwrap().text, "a = 1\n");
        store.check().unwrap();
    }

    #[test]
    fn every_commit_is_synced() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(folder.path().join("boats.sqlite")).unwrap();
        let ask = |pragma: &str| -> String {
            store.connection.query_row(pragma, [], |r| r.get_ref(0).map(|v| format!("{v:?}"))).unwrap()
        };
        assert!(ask("PRAGMA journal_mode").contains("Text"));
        assert_eq!(ask("PRAGMA synchronous"), "Integer(2)");
        assert_eq!(ask("PRAGMA foreign_keys"), "Integer(1)");
    }
}
