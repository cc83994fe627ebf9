//! Trials of a boat: the text that describes each, and the logs it stands on, packed as they came.
//! Not for: what the text says, nor for reading logs.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::boats::{boat_in_use, boat_of};
use crate::error::{Fault, Result, StoreError};
use crate::{BoatId, Store, UnixMs};

/// A trial by its number in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TrialId(pub i64);

/// A log by its number in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LogId(pub i64);

/// A trial as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trial {
    /// Its number in the file.
    pub id: TrialId,
    /// The boat.
    pub boat: BoatId,
    /// Its number among her trials, from 1; never given twice.
    pub number: u32,
    /// When it was entered.
    pub created: UnixMs,
    /// When it was removed, if it was.
    pub removed: Option<UnixMs>,
    /// Counts the changes; a save states the one it started from.
    pub version: u32,
    /// When it was changed last.
    pub changed: UnixMs,
    /// The text; opaque here.
    pub text: String,
}

/// What became of a save.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TrialSave {
    /// Kept; this is the version now.
    Saved(u32),
    /// Somebody else saved first: this is theirs, and nothing was changed.
    Overtaken(Box<Trial>),
}

/// A log to be kept.
#[derive(Debug, Clone, Copy)]
pub struct NewLog<'a> {
    /// Name of the file.
    pub name: &'a str,
    /// Bytes before packing.
    pub plain_bytes: u64,
    /// Digest of the plain bytes, by which a file brought in twice is known.
    pub digest: &'a str,
    /// The bytes, packed.
    pub packed: &'a [u8],
}

/// A log that is kept, without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptLog {
    /// Its number.
    pub id: LogId,
    /// The trial.
    pub trial: TrialId,
    /// Name of the file.
    pub name: String,
    /// When it came in.
    pub added: UnixMs,
    /// Bytes before packing.
    pub plain_bytes: u64,
    /// Bytes in the store.
    pub packed_bytes: u64,
    /// Digest of the plain bytes.
    pub digest: String,
}

const TRIAL_COLUMNS: &str = "id, boat_id, number, created_ms, removed_ms, version, changed_ms, text";

impl Store {
    /// Enters a trial with its logs, all or nothing.
    ///
    /// # Errors
    /// The boat is not there or was removed, or the store fails.
    pub fn enter_trial(
        &mut self,
        boat: BoatId,
        text: &str,
        logs: &[NewLog<'_>],
        time: UnixMs,
    ) -> Result<Trial> {
        self.write(|connection| {
            boat_in_use(connection, boat)?;
            connection.execute(
                "INSERT INTO trial (boat_id, number, created_ms, version, changed_ms, text)
                 VALUES (?1, 1 + coalesce((SELECT max(number) FROM trial WHERE boat_id = ?1), 0), ?2, 1, ?2, ?3)",
                params![boat.0, time.0, text],
            )?;
            let trial = trial_of(connection, TrialId(connection.last_insert_rowid()))?;
            for log in logs {
                insert_log(connection, trial.id, log, time)?;
            }
            Ok(trial)
        })
    }

    /// Saves the text of a trial that was read at version `base`.
    ///
    /// # Errors
    /// There is no such trial, or the store fails.
    pub fn save_trial(&mut self, trial: TrialId, base: u32, text: &str, time: UnixMs) -> Result<TrialSave> {
        self.write(|connection| save(connection, trial, base, text, time))
    }

    /// Trials of a boat by number, without those removed.
    ///
    /// # Errors
    /// The store fails.
    pub fn trials(&self, boat: BoatId) -> Result<Vec<Trial>> {
        self.trials_where(boat, "removed_ms IS NULL")
    }

    /// Trials of a boat that were removed.
    ///
    /// # Errors
    /// The store fails.
    pub fn removed_trials(&self, boat: BoatId) -> Result<Vec<Trial>> {
        self.trials_where(boat, "removed_ms IS NOT NULL")
    }

    /// A trial by its number among those of the boat, removed or not.
    ///
    /// # Errors
    /// There is no such trial, or the store fails.
    pub fn trial(&self, boat: BoatId, number: u32) -> Result<Trial> {
        self.read(|connection| {
            let sql = format!("SELECT {TRIAL_COLUMNS} FROM trial WHERE boat_id = ?1 AND number = ?2");
            match connection.query_row(&sql, params![boat.0, number], trial_from_row).optional()? {
                Some(trial) => Ok(trial),
                None => {
                    let boat = boat_of(connection, boat)?.name;
                    Err(StoreError::NoSuchTrial { boat, wanted: number }.into())
                }
            }
        })
    }

    /// Takes a trial off the list; everything of it is kept.
    ///
    /// # Errors
    /// There is no such trial, or the store fails.
    pub fn remove_trial(&mut self, trial: TrialId, time: UnixMs) -> Result<()> {
        self.write(|connection| {
            trial_of(connection, trial)?;
            connection.execute("UPDATE trial SET removed_ms = ?2 WHERE id = ?1", params![trial.0, time.0])?;
            Ok(())
        })
    }

    /// Puts a removed trial back on the list.
    ///
    /// # Errors
    /// There is no such trial, or the store fails.
    pub fn reinstate_trial(&mut self, trial: TrialId) -> Result<()> {
        self.write(|connection| {
            trial_of(connection, trial)?;
            connection.execute("UPDATE trial SET removed_ms = NULL WHERE id = ?1", [trial.0])?;
            Ok(())
        })
    }

    /// Adds logs to a trial and saves its text, all or nothing: as [`Store::save_trial`]. A file whose digest is
    /// there already is not kept twice.
    ///
    /// # Errors
    /// There is no such trial, or the store fails.
    pub fn extend_trial(
        &mut self,
        trial: TrialId,
        base: u32,
        text: &str,
        logs: &[NewLog<'_>],
        time: UnixMs,
    ) -> Result<TrialSave> {
        self.write(|connection| {
            let saved = save(connection, trial, base, text, time)?;
            if matches!(saved, TrialSave::Saved(_)) {
                for log in logs {
                    insert_log(connection, trial, log, time)?;
                }
            }
            Ok(saved)
        })
    }

    /// Logs of a trial in the order in which they came, without those removed.
    ///
    /// # Errors
    /// The store fails.
    pub fn logs(&self, trial: TrialId) -> Result<Vec<KeptLog>> {
        self.read(|connection| {
            let sql =
                "SELECT id, trial_id, name, added_ms, plain_bytes, length(packed), digest FROM trial_log
                       WHERE trial_id = ?1 AND removed_ms IS NULL ORDER BY id";
            let mut statement = connection.prepare(sql)?;
            let rows = statement.query_map([trial.0], log_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// The packed bytes of a log.
    ///
    /// # Errors
    /// There is no such log, or the store fails.
    pub fn packed_log(&self, log: LogId) -> Result<Vec<u8>> {
        self.read(|connection| {
            let sql = "SELECT packed FROM trial_log WHERE id = ?1";
            match connection.query_row(sql, [log.0], |row| row.get(0)).optional()? {
                Some(packed) => Ok(packed),
                None => Err(StoreError::NoSuchEntry { what: "log", wanted: log.0 }.into()),
            }
        })
    }

    /// Takes a log off its trial; its bytes are kept.
    ///
    /// # Errors
    /// There is no such log, or the store fails.
    pub fn remove_log(&mut self, log: LogId, time: UnixMs) -> Result<()> {
        self.write(|connection| {
            let changed = connection
                .execute("UPDATE trial_log SET removed_ms = ?2 WHERE id = ?1", params![log.0, time.0])?;
            if changed == 0 {
                return Err(StoreError::NoSuchEntry { what: "log", wanted: log.0 }.into());
            }
            Ok(())
        })
    }

    fn trials_where(&self, boat: BoatId, condition: &str) -> Result<Vec<Trial>> {
        self.read(|connection| {
            let sql = format!(
                "SELECT {TRIAL_COLUMNS} FROM trial WHERE boat_id = ?1 AND {condition} ORDER BY number"
            );
            let mut statement = connection.prepare(&sql)?;
            let rows = statement.query_map([boat.0], trial_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }
}

fn save(
    connection: &Connection,
    trial: TrialId,
    base: u32,
    text: &str,
    time: UnixMs,
) -> std::result::Result<TrialSave, Fault> {
    let found = trial_of(connection, trial)?;
    if found.text == text {
        return Ok(TrialSave::Saved(found.version));
    }
    if found.version != base {
        return Ok(TrialSave::Overtaken(Box::new(found)));
    }
    connection.execute(
        "UPDATE trial SET text = ?2, version = version + 1, changed_ms = ?3 WHERE id = ?1",
        params![trial.0, text, time.0],
    )?;
    Ok(TrialSave::Saved(base + 1))
}

fn trial_of(connection: &Connection, trial: TrialId) -> std::result::Result<Trial, Fault> {
    let sql = format!("SELECT {TRIAL_COLUMNS} FROM trial WHERE id = ?1");
    match connection.query_row(&sql, [trial.0], trial_from_row).optional()? {
        Some(found) => Ok(found),
        None => Err(StoreError::NoSuchEntry { what: "trial", wanted: trial.0 }.into()),
    }
}

fn insert_log(
    connection: &Connection,
    trial: TrialId,
    log: &NewLog<'_>,
    time: UnixMs,
) -> std::result::Result<LogId, Fault> {
    let same = "SELECT id FROM trial_log WHERE trial_id = ?1 AND digest = ?2";
    if let Some(id) = connection.query_row(same, params![trial.0, log.digest], |r| r.get(0)).optional()? {
        // One that was taken off and is brought in again is back.
        connection.execute("UPDATE trial_log SET removed_ms = NULL WHERE id = ?1", [id])?;
        return Ok(LogId(id));
    }
    connection.execute(
        "INSERT INTO trial_log (trial_id, name, added_ms, plain_bytes, digest, packed)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        params![
            trial.0,
            log.name,
            time.0,
            i64::try_from(log.plain_bytes).unwrap_or(i64::MAX),
            log.digest,
            log.packed
        ],
    )?;
    Ok(LogId(connection.last_insert_rowid()))
}

fn trial_from_row(row: &Row<'_>) -> rusqlite::Result<Trial> {
    Ok(Trial {
        id: TrialId(row.get(0)?),
        boat: BoatId(row.get(1)?),
        number: row.get(2)?,
        created: UnixMs(row.get(3)?),
        removed: row.get::<_, Option<i64>>(4)?.map(UnixMs),
        version: row.get(5)?,
        changed: UnixMs(row.get(6)?),
        text: row.get(7)?,
    })
}

fn log_from_row(row: &Row<'_>) -> rusqlite::Result<KeptLog> {
    let size = |bytes: i64| u64::try_from(bytes).unwrap_or(0);
    Ok(KeptLog {
        id: LogId(row.get(0)?),
        trial: TrialId(row.get(1)?),
        name: row.get(2)?,
        added: UnixMs(row.get(3)?),
        plain_bytes: size(row.get(4)?),
        packed_bytes: size(row.get(5)?),
        digest: row.get(6)?,
    })
}
