//! Dated records of a boat's life with the drive, of any kind, each with its photographs.
//! Not for: what the text says, nor what a photograph shows or carries besides its picture.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::boats::{boat_in_use, boat_of};
use crate::error::{Fault, Result, StoreError};
use crate::{BoatId, Store, UnixMs};

/// A record by its number in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecordId(pub i64);

/// A photograph by its number in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PhotographId(pub i64);

/// A record as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Record {
    /// Its number in the file.
    pub id: RecordId,
    /// The boat.
    pub boat: BoatId,
    /// What it is a record of, in one word.
    pub kind: String,
    /// Its number among her records of that kind, from 1; never given twice.
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
pub enum RecordSave {
    /// Kept; this is the version now.
    Saved(u32),
    /// Somebody else saved first: this is theirs, and nothing was changed.
    Overtaken(Box<Record>),
}

/// A photograph to be kept.
#[derive(Debug, Clone, Copy)]
pub struct NewPhotograph<'a> {
    /// Name of the file.
    pub name: &'a str,
    /// Digest of the file as it came, by which one sent twice is known.
    pub digest: &'a str,
    /// The picture, as it is to be kept.
    pub bytes: &'a [u8],
}

/// A photograph that is kept, without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptPhotograph {
    /// Its number.
    pub id: PhotographId,
    /// The record.
    pub record: RecordId,
    /// Name of the file.
    pub name: String,
    /// When it came in.
    pub added: UnixMs,
    /// Bytes in the store.
    pub bytes: u64,
    /// Digest of the file as it came.
    pub digest: String,
}

const COLUMNS: &str = "id, boat_id, kind, number, created_ms, removed_ms, version, changed_ms, text";

impl Store {
    /// Enters a record of a kind.
    ///
    /// # Errors
    /// The boat is not there or was removed, or the store fails.
    pub fn enter_record(&mut self, boat: BoatId, kind: &str, text: &str, time: UnixMs) -> Result<Record> {
        self.write(|connection| {
            boat_in_use(connection, boat)?;
            connection.execute(
                "INSERT INTO record (boat_id, kind, number, created_ms, version, changed_ms, text)
                 VALUES (?1, ?2, 1 + coalesce((SELECT max(number) FROM record WHERE boat_id = ?1 AND kind = ?2), 0),
                         ?3, 1, ?3, ?4)",
                params![boat.0, kind, time.0, text],
            )?;
            record_of(connection, RecordId(connection.last_insert_rowid()))
        })
    }

    /// Saves the text of a record that was read at version `base`.
    ///
    /// # Errors
    /// There is no such record, or the store fails.
    pub fn save_record(
        &mut self,
        record: RecordId,
        base: u32,
        text: &str,
        time: UnixMs,
    ) -> Result<RecordSave> {
        self.write(|connection| {
            let found = record_of(connection, record)?;
            if found.text == text {
                return Ok(RecordSave::Saved(found.version));
            }
            if found.version != base {
                return Ok(RecordSave::Overtaken(Box::new(found)));
            }
            connection.execute(
                "UPDATE record SET text = ?2, version = version + 1, changed_ms = ?3 WHERE id = ?1",
                params![record.0, text, time.0],
            )?;
            Ok(RecordSave::Saved(base + 1))
        })
    }

    /// Records of a kind of a boat by number, those removed among them, each with when it was.
    ///
    /// # Errors
    /// The store fails.
    pub fn records(&self, boat: BoatId, kind: &str) -> Result<Vec<Record>> {
        self.read(|connection| {
            let sql =
                format!("SELECT {COLUMNS} FROM record WHERE boat_id = ?1 AND kind = ?2 ORDER BY number");
            let mut statement = connection.prepare(&sql)?;
            let rows = statement.query_map(params![boat.0, kind], record_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// Records of every kind that were not removed, by kind and number.
    ///
    /// # Errors
    /// The store fails.
    pub fn all_records(&self, boat: BoatId) -> Result<Vec<Record>> {
        self.read(|connection| {
            let sql = format!(
                "SELECT {COLUMNS} FROM record WHERE boat_id = ?1 AND removed_ms IS NULL ORDER BY kind, number"
            );
            let mut statement = connection.prepare(&sql)?;
            let rows = statement.query_map([boat.0], record_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// A record by its number among those of its kind of the boat, removed or not.
    ///
    /// # Errors
    /// There is no such record, or the store fails.
    pub fn record(&self, boat: BoatId, kind: &str, number: u32) -> Result<Record> {
        self.read(|connection| {
            let sql =
                format!("SELECT {COLUMNS} FROM record WHERE boat_id = ?1 AND kind = ?2 AND number = ?3");
            let found =
                connection.query_row(&sql, params![boat.0, kind, number], record_from_row).optional()?;
            if let Some(record) = found {
                return Ok(record);
            }
            let boat = boat_of(connection, boat)?.name;
            Err(StoreError::NoSuchRecord { boat, kind: kind.to_owned(), wanted: number }.into())
        })
    }

    /// Takes a record off the list, or puts it back with `None`; everything of it is kept.
    ///
    /// # Errors
    /// There is no such record, or the store fails.
    pub fn shelve_record(&mut self, record: RecordId, removed: Option<UnixMs>) -> Result<()> {
        self.write(|connection| {
            record_of(connection, record)?;
            let sql = "UPDATE record SET removed_ms = ?2 WHERE id = ?1";
            connection.execute(sql, params![record.0, removed.map(|time| time.0)])?;
            Ok(())
        })
    }

    /// Adds a photograph to a record. One whose digest is there already is not kept twice; one that was taken off
    /// is back.
    ///
    /// # Errors
    /// There is no such record, or the store fails.
    pub fn add_photograph(
        &mut self,
        record: RecordId,
        new: &NewPhotograph<'_>,
        time: UnixMs,
    ) -> Result<PhotographId> {
        self.write(|connection| {
            record_of(connection, record)?;
            let same = "UPDATE photograph SET removed_ms = NULL WHERE record_id = ?1 AND digest = ?2 RETURNING id";
            let there = connection.query_row(same, params![record.0, new.digest], |row| row.get(0));
            if let Some(id) = there.optional()? {
                return Ok(PhotographId(id));
            }
            connection.execute(
                "INSERT INTO photograph (record_id, name, added_ms, digest, bytes) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![record.0, new.name, time.0, new.digest, new.bytes],
            )?;
            Ok(PhotographId(connection.last_insert_rowid()))
        })
    }

    /// Photographs of a record in the order in which they came, without those taken off.
    ///
    /// # Errors
    /// The store fails.
    pub fn photographs(&self, record: RecordId) -> Result<Vec<KeptPhotograph>> {
        self.read(|connection| {
            let sql = "SELECT id, record_id, name, added_ms, length(bytes), digest FROM photograph
                       WHERE record_id = ?1 AND removed_ms IS NULL ORDER BY id";
            let mut statement = connection.prepare(sql)?;
            let rows = statement.query_map([record.0], photograph_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// The picture of a photograph of a boat.
    ///
    /// # Errors
    /// The boat has no such photograph, or the store fails.
    pub fn picture(&self, boat: BoatId, photograph: PhotographId) -> Result<Vec<u8>> {
        self.read(|connection| {
            let sql = "SELECT bytes FROM photograph JOIN record ON record.id = record_id
                       WHERE photograph.id = ?1 AND boat_id = ?2";
            let found = connection.query_row(sql, [photograph.0, boat.0], |row| row.get(0)).optional()?;
            found.ok_or_else(|| no_photograph(photograph).into())
        })
    }

    /// Takes a photograph off its record; it is kept.
    ///
    /// # Errors
    /// The record has no such photograph, or the store fails.
    pub fn take_off_photograph(
        &mut self,
        record: RecordId,
        photograph: PhotographId,
        time: UnixMs,
    ) -> Result<()> {
        self.write(|connection| {
            let sql = "UPDATE photograph SET removed_ms = ?3 WHERE id = ?1 AND record_id = ?2";
            match connection.execute(sql, [photograph.0, record.0, time.0])? {
                0 => Err(no_photograph(photograph).into()),
                _ => Ok(()),
            }
        })
    }
}

fn no_photograph(photograph: PhotographId) -> StoreError {
    StoreError::NoSuchEntry { what: "photograph", wanted: photograph.0 }
}

fn record_of(connection: &Connection, record: RecordId) -> std::result::Result<Record, Fault> {
    let sql = format!("SELECT {COLUMNS} FROM record WHERE id = ?1");
    match connection.query_row(&sql, [record.0], record_from_row).optional()? {
        Some(found) => Ok(found),
        None => Err(StoreError::NoSuchEntry { what: "record", wanted: record.0 }.into()),
    }
}

fn record_from_row(row: &Row<'_>) -> rusqlite::Result<Record> {
    Ok(Record {
        id: RecordId(row.get(0)?),
        boat: BoatId(row.get(1)?),
        kind: row.get(2)?,
        number: row.get(3)?,
        created: UnixMs(row.get(4)?),
        removed: row.get::<_, Option<i64>>(5)?.map(UnixMs),
        version: row.get(6)?,
        changed: UnixMs(row.get(7)?),
        text: row.get(8)?,
    })
}

fn photograph_from_row(row: &Row<'_>) -> rusqlite::Result<KeptPhotograph> {
    Ok(KeptPhotograph {
        id: PhotographId(row.get(0)?),
        record: RecordId(row.get(1)?),
        name: row.get(2)?,
        added: UnixMs(row.get(3)?),
        bytes: u64::try_from(row.get::<_, i64>(4)?).unwrap_or(0),
        digest: row.get(5)?,
    })
}
