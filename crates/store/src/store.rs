//! Opening the file, and the two ways in which everything else reaches it: read and write.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use rusqlite::types::ValueRef;
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use crate::error::{Fault, Result, StoreError};
use crate::files::with_suffix;
use crate::private::{self, make_private, make_private_folder};
use crate::{location, schema, tables};

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
    /// Writers of one program take turns here, in the order in which they came; the file's own lock
    /// would make them try again after a while.
    turn: Arc<Mutex<()>>,
    /// The file that was opened, however its name is used since.
    identity: Option<private::Identity>,
    /// Where a read-only file had to be copied to be read.
    _copy: Option<tempfile::TempDir>,
}

impl Store {
    /// Opens the store at `path`; makes it, and the folders above it, when there is none; brings an
    /// older one up to date.
    ///
    /// # Errors
    /// [`StoreError::NotAStore`] and [`StoreError::Newer`] leave the file as it is. Otherwise a
    /// damaged, locked or read-only file, a full disk, or a folder that cannot be made.
    pub fn open(path: impl AsRef<Path>) -> Result<Self> {
        Self::open_with(path.as_ref(), Arc::default())
    }

    /// The same store once more, for another thread: several read at once, and writers take turns.
    ///
    /// # Errors
    /// As [`Store::open`].
    pub fn again(&self) -> Result<Self> {
        self.refuse_replaced()?;
        match &self._copy {
            None if !self.is_read_only() => Self::open_with(&self.path, Arc::clone(&self.turn)),
            _ => Self::open_read_only(&self.path),
        }
    }

    fn open_with(path: &Path, turn: Arc<Mutex<()>>) -> Result<Self> {
        refuse_other_files(path)?;
        make_private_folder(path)
            .and_then(|()| make_private(path))
            .map_err(|e| StoreError::from_io(path, e))?;
        let connection = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        let at = |e| StoreError::from_database(path, e);
        refuse_newer(&connection, path)?;
        // The first tables are written before the log is switched on, so that the mark by which
        // the file is recognised is in the file proper from the start.
        schema::migrate(&connection).map_err(|fault| fault.at(path))?;
        refuse_incomplete(&connection, path)?;
        switch_to_write_ahead_log(&connection).map_err(at)?;
        connection
            .execute_batch(
                "PRAGMA synchronous = FULL; PRAGMA fullfsync = ON; PRAGMA foreign_keys = ON;
                 PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON;",
            )
            .map_err(at)?;
        let identity = private::identity(path);
        Ok(Self { connection, path: path.to_owned(), turn, identity, _copy: None })
    }

    /// Opens the store at `path` for reading and writing, or, when it or its folder is read-only or its disk is full,
    /// for reading alone: then every write is answered with [`StoreError::ReadOnly`].
    ///
    /// # Errors
    /// As [`Store::open`], but for a file that is only not writable.
    pub fn open_to_read(path: impl AsRef<Path>) -> Result<Self> {
        let path = path.as_ref();
        match Self::open(path) {
            Err(StoreError::ReadOnly { .. } | StoreError::DiskFull { .. }) if path.exists() => {
                Self::open_read_only(path)
            }
            opened => opened,
        }
    }

    /// Opens the store at `path` without writing anything there. What another program wrote last may
    /// lie beside the file, and an older version has to be brought up to date to be read: then a
    /// private copy is read.
    ///
    /// # Errors
    /// As [`Store::open`].
    pub fn open_read_only(path: &Path) -> Result<Self> {
        refuse_other_files(path)?;
        let at = |e| StoreError::from_database(path, e);
        let has_log = std::fs::metadata(with_suffix(path, "-wal")).is_ok_and(|about| about.len() > 0);
        let plain = if has_log { None } else { Some(connect_frozen(path)?) };
        let plain = match plain {
            Some(connection) => {
                refuse_newer(&connection, path)?;
                refuse_incomplete(&connection, path)?;
                (schema::version(&connection).map_err(at)? == schema::VERSION).then_some(connection)
            }
            None => None,
        };
        let (connection, copy) = match plain {
            Some(connection) => (connection, None),
            None => {
                let folder =
                    tempfile::tempdir().map_err(|e| StoreError::from_io(&std::env::temp_dir(), e))?;
                let copy = folder.path().join("boats.sqlite");
                for suffix in ["", "-wal"].iter().filter(|suffix| with_suffix(path, suffix).exists()) {
                    std::fs::copy(with_suffix(path, suffix), with_suffix(&copy, suffix))
                        .map_err(|e| StoreError::from_io(path, e))?;
                    allow_writing(&with_suffix(&copy, suffix)).map_err(|e| StoreError::from_io(&copy, e))?;
                }
                let connection = connect(&copy, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
                refuse_newer(&connection, path)?;
                schema::migrate(&connection).map_err(|fault| fault.at(path))?;
                refuse_incomplete(&connection, path)?;
                connection.execute_batch("PRAGMA query_only = ON;").map_err(at)?;
                (connection, Some(folder))
            }
        };
        Ok(Self { connection, path: path.to_owned(), turn: Arc::default(), identity: None, _copy: copy })
    }

    /// Whether nothing can be written.
    #[must_use]
    pub fn is_read_only(&self) -> bool {
        self._copy.is_some() || self.connection.is_readonly("main").unwrap_or(false)
    }

    /// Opens the store at [`default_path`](crate::default_path).
    ///
    /// # Errors
    /// As [`Store::open`], or when the system names no data folder.
    pub fn open_default() -> Result<Self> {
        Self::open(location::private_default_path()?)
    }

    /// As [`Store::open_default`], by [`Store::open_to_read`].
    ///
    /// # Errors
    /// As [`Store::open_to_read`].
    pub fn open_default_to_read() -> Result<Self> {
        Self::open_to_read(location::private_default_path()?)
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

    /// What is written to a file that has lost its name is gone when the program ends.
    fn refuse_replaced(&self) -> Result<()> {
        if self.identity.is_some() && private::identity(&self.path) != self.identity {
            return Err(StoreError::Replaced { path: self.path.clone() });
        }
        Ok(())
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
        // Work is one transaction, so a panic in it leaves nothing behind.
        let turn = Arc::clone(&self.turn);
        let _turn = turn.lock().unwrap_or_else(PoisonError::into_inner);
        self.refuse_replaced()?;
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
    let at = |e| StoreError::from_io(path, e);
    // Asked before it is opened: a pipe would be waited at.
    match std::fs::metadata(path) {
        Ok(about) if !about.is_file() => return refuse("it is not a plain file"),
        Ok(_) => {}
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(e) => return Err(at(e)),
    }
    let file = File::open(path).map_err(at)?;
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

/// Whether the file at `path` bears the mark of a store.
#[must_use]
pub fn is_store(path: &Path) -> bool {
    path.is_file()
        && std::fs::metadata(path).is_ok_and(|about| about.len() > 0)
        && refuse_other_files(path).is_ok()
}

fn connect(path: &Path, flags: OpenFlags) -> Result<Connection> {
    let at = |e| StoreError::from_database(path, e);
    let connection =
        Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX).map_err(at)?;
    connection.busy_timeout(PATIENCE).map_err(at)?;
    Ok(connection)
}

/// A connection to a file that is taken as one that nobody changes; nothing is put beside it.
fn connect_frozen(path: &Path) -> Result<Connection> {
    let full = path.canonicalize().map_err(|e| StoreError::from_io(path, e))?;
    // In the address of a file these signs have another meaning.
    let escaped = full.to_string_lossy().replace('%', "%25").replace('?', "%3f").replace('#', "%23");
    let address = format!("file:{escaped}?immutable=1");
    connect(Path::new(&address), OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI)
}

fn allow_writing(path: &Path) -> std::io::Result<()> {
    let mut permissions = std::fs::metadata(path)?.permissions();
    #[cfg(unix)]
    std::os::unix::fs::PermissionsExt::set_mode(&mut permissions, 0o600);
    #[cfg(not(unix))]
    permissions.set_readonly(false);
    std::fs::set_permissions(path, permissions)
}

/// A file with our mark but without our tables is none of ours, whatever made it.
pub(crate) fn refuse_incomplete(connection: &Connection, path: &Path) -> Result<()> {
    let missing = tables::missing_table(connection).map_err(|e| StoreError::from_database(path, e))?;
    match missing {
        Some(table) => {
            Err(StoreError::Damaged { path: path.to_owned(), detail: format!("it has no table of {table}") })
        }
        None => Ok(()),
    }
}

/// A backup that brings a plan of its own would have it work in the store.
pub(crate) fn refuse_stray(connection: &Connection, path: &Path) -> Result<()> {
    match tables::stray_entry(connection).map_err(|e| StoreError::from_database(path, e))? {
        Some(entry) => Err(StoreError::NotAStore {
            path: path.to_owned(),
            why: format!("it has a {entry}, which no store of boats has"),
        }),
        None => Ok(()),
    }
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

/// The database checks that a text is one only where it is read as one; a page would fail at it.
pub(crate) fn check_texts(connection: &Connection, path: &Path) -> Result<()> {
    for table in tables::tables() {
        let odd = odd_text(connection, table).map_err(|e| StoreError::from_database(path, e))?;
        if odd {
            let detail = format!("a text of {table} is not UTF-8");
            return Err(StoreError::Damaged { path: path.to_owned(), detail });
        }
    }
    Ok(())
}

fn odd_text(connection: &Connection, table: &str) -> rusqlite::Result<bool> {
    let mut statement = connection.prepare(&format!("SELECT * FROM {table}"))?;
    let columns = statement.column_count();
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        for column in 0..columns {
            if let ValueRef::Text(bytes) = row.get_ref(column)?
                && std::str::from_utf8(bytes).is_err()
            {
                return Ok(true);
            }
        }
    }
    Ok(false)
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

    /// Was acknowledged, and gone with the program: the file had lost its name to another, or was deleted.
    #[cfg(unix)]
    #[test]
    fn nothing_is_written_to_a_file_that_lost_its_name() {
        let folder = tempfile::tempdir().unwrap();
        let (path, other) = (folder.path().join("boats.sqlite"), folder.path().join("other.sqlite"));
        let mut store = Store::open(&path).unwrap();
        let boat = store.create("Heron", "a = 1\n", "", UnixMs(1)).unwrap();
        drop(Store::open(&other).unwrap());
        std::fs::rename(&other, &path).unwrap();
        let replaced = |outcome: Result<()>| matches!(outcome, Err(StoreError::Replaced { .. }));
        assert!(replaced(store.save(boat, 1, "a = 2\n", "", UnixMs(2)).map(drop)));
        assert!(replaced(store.keep_draft(boat, "a.b", 1, "a = 3\n", UnixMs(3))));
        assert!(replaced(store.again().map(drop)), "else one of two devices would write to each");
        assert_eq!(store.latest(boat).unwrap().text, "a = 1\n", "it can still be read");
        std::fs::remove_file(&path).unwrap();
        assert!(replaced(store.save(boat, 1, "a = 2\n", "", UnixMs(4)).map(drop)));
        assert!(!path.exists());
        drop(Store::open(&path).unwrap());
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
