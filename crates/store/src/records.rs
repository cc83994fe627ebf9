//! Dated records of a boat's life with the drive, of any kind: trials, check-ups, commissionings, calls; each a text with the
//! logs or photographs that stand with it. Not for: what the text says, nor what a file shows or carries.

use rusqlite::{Connection, OptionalExtension, Row, ToSql, params};

use crate::boats::{boat_in_use, boat_of};
use crate::error::{Fault, Result, StoreError};
use crate::{BoatId, Store, UnixMs};

/// The kind under which trials are kept: those of former versions were made records of it.
pub const TRIAL_KIND: &str = "trial";

/// A record by its number in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecordId(pub i64);

/// A log or a photograph by its number in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EnclosureId(pub i64);

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

/// A log or a photograph to be kept.
#[derive(Debug, Clone, Copy)]
pub struct NewEnclosure<'a> {
    /// Name of the file.
    pub name: &'a str,
    /// Which entry of the record it belongs to; empty for the whole of it.
    pub place: &'a str,
    /// Bytes before packing.
    pub plain_bytes: u64,
    /// Digest of the file as it came, by which one sent twice is known.
    pub digest: &'a str,
    /// The bytes, as they are to be kept.
    pub bytes: &'a [u8],
}

/// A log or a photograph that is kept, without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptEnclosure {
    /// Its number.
    pub id: EnclosureId,
    /// The record.
    pub record: RecordId,
    /// Name of the file.
    pub name: String,
    /// Which entry of the record it belongs to; empty for the whole of it.
    pub place: String,
    /// When it came in.
    pub added: UnixMs,
    /// Bytes before packing.
    pub plain_bytes: u64,
    /// Bytes in the store.
    pub kept_bytes: u64,
    /// Digest of the file as it came.
    pub digest: String,
}

/// What stood in a record before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordRevision {
    /// Which of its versions.
    pub version: u32,
    /// Since when it stood.
    pub time: UnixMs,
    /// The text.
    pub text: String,
}

/// A text that stood for less than this was being typed and is no revision of its own.
const TYPING_MS: i64 = 60_000;

const COLUMNS: &str = "id, boat_id, kind, number, created_ms, removed_ms, version, changed_ms, text";

impl Store {
    /// Enters a record of a kind with its files, all or nothing.
    ///
    /// # Errors
    /// The boat is not there or was removed, or the store fails.
    pub fn enter_record(
        &mut self,
        boat: BoatId,
        kind: &str,
        text: &str,
        files: &[NewEnclosure<'_>],
        time: UnixMs,
    ) -> Result<Record> {
        self.write(|connection| {
            boat_in_use(connection, boat)?;
            connection.execute(
                "INSERT INTO record (boat_id, kind, number, created_ms, version, changed_ms, text)
                 VALUES (?1, ?2, 1 + coalesce((SELECT max(number) FROM record WHERE boat_id = ?1 AND kind = ?2), 0),
                         ?3, 1, ?3, ?4)",
                params![boat.0, kind, time.0, text],
            )?;
            let record = record_of(connection, RecordId(connection.last_insert_rowid()))?;
            files.iter().try_for_each(|file| enclose(connection, record.id, file, time).map(|_| ()))?;
            Ok(record)
        })
    }

    /// Saves the text of a record that was read at version `base` and adds files to it, all or nothing. A file whose
    /// digest is there already is not kept twice; one that was taken off is back.
    ///
    /// # Errors
    /// There is no such record, or the store fails.
    pub fn save_record(
        &mut self,
        record: RecordId,
        base: u32,
        text: &str,
        files: &[NewEnclosure<'_>],
        time: UnixMs,
    ) -> Result<RecordSave> {
        self.write(|connection| {
            let found = record_of(connection, record)?;
            let is_same = found.text == text;
            if found.version != base && !is_same {
                return Ok(RecordSave::Overtaken(Box::new(found)));
            }
            if !is_same {
                if time.0 - found.changed.0 >= TYPING_MS {
                    connection.execute(
                        "INSERT INTO record_revision (record_id, version, time_ms, text) VALUES (?1, ?2, ?3, ?4)",
                        params![record.0, found.version, found.changed.0, found.text],
                    )?;
                }
                connection.execute(
                    "UPDATE record SET text = ?2, version = version + 1, changed_ms = ?3 WHERE id = ?1",
                    params![record.0, text, time.0],
                )?;
            }
            files.iter().try_for_each(|file| enclose(connection, record, file, time).map(|_| ()))?;
            Ok(RecordSave::Saved(found.version + u32::from(!is_same)))
        })
    }

    /// Records of a kind of a boat by number, without those removed.
    ///
    /// # Errors
    /// The store fails.
    pub fn records(&self, boat: BoatId, kind: &str) -> Result<Vec<Record>> {
        self.records_where("boat_id = ?1 AND kind = ?2 AND removed_ms IS NULL", &[&boat.0, &kind])
    }

    /// Records of a kind of a boat that were removed.
    ///
    /// # Errors
    /// The store fails.
    pub fn removed_records(&self, boat: BoatId, kind: &str) -> Result<Vec<Record>> {
        self.records_where("boat_id = ?1 AND kind = ?2 AND removed_ms IS NOT NULL", &[&boat.0, &kind])
    }

    /// Records of every kind, by kind and number, those removed among them.
    ///
    /// # Errors
    /// The store fails.
    pub fn records_and_removed(&self, boat: BoatId) -> Result<Vec<Record>> {
        self.records_where("boat_id = ?1", &[&boat.0])
    }

    /// Records of every kind that were not removed, by kind and number.
    ///
    /// # Errors
    /// The store fails.
    pub fn all_records(&self, boat: BoatId) -> Result<Vec<Record>> {
        self.records_where("boat_id = ?1 AND removed_ms IS NULL", &[&boat.0])
    }

    /// Records of a kind of every boat in use, by boat, kind and number, without those removed.
    ///
    /// # Errors
    /// The store fails.
    pub fn records_of_all(&self, kind: &str) -> Result<Vec<Record>> {
        let in_use = "kind = ?1 AND removed_ms IS NULL
                      AND boat_id IN (SELECT id FROM boat WHERE removed_ms IS NULL)";
        self.records_where(in_use, &[&kind])
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

    /// What stood in a record before for a minute or longer, newest first.
    ///
    /// # Errors
    /// The store fails.
    pub fn record_revisions(&self, record: RecordId) -> Result<Vec<RecordRevision>> {
        self.read(|connection| {
            let sql =
                "SELECT version, time_ms, text FROM record_revision WHERE record_id = ?1 ORDER BY version DESC";
            let mut statement = connection.prepare(sql)?;
            let rows = statement.query_map([record.0], |row| {
                Ok(RecordRevision { version: row.get(0)?, time: UnixMs(row.get(1)?), text: row.get(2)? })
            })?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
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

    /// Adds a file to a record. One whose digest is there already at that place is not kept twice; one that was taken
    /// off is back.
    ///
    /// # Errors
    /// There is no such record, or the store fails.
    pub fn add_enclosure(
        &mut self,
        record: RecordId,
        new: &NewEnclosure<'_>,
        time: UnixMs,
    ) -> Result<EnclosureId> {
        self.write(|connection| {
            record_of(connection, record)?;
            enclose(connection, record, new, time)
        })
    }

    /// Files of a record in the order in which they came, without those taken off.
    ///
    /// # Errors
    /// The store fails.
    pub fn enclosures(&self, record: RecordId) -> Result<Vec<KeptEnclosure>> {
        self.read(|connection| {
            let sql =
                "SELECT id, record_id, name, place, added_ms, plain_bytes, length(bytes), digest FROM enclosure
                 WHERE record_id = ?1 AND removed_ms IS NULL ORDER BY id";
            let mut statement = connection.prepare(sql)?;
            let rows = statement.query_map([record.0], enclosure_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// The bytes of a file of a boat.
    ///
    /// # Errors
    /// The boat has no such file, or the store fails.
    pub fn enclosed(&self, boat: BoatId, enclosure: EnclosureId) -> Result<Vec<u8>> {
        self.read(|connection| {
            let sql = "SELECT bytes FROM enclosure JOIN record ON record.id = record_id
                       WHERE enclosure.id = ?1 AND boat_id = ?2";
            let found = connection.query_row(sql, [enclosure.0, boat.0], |row| row.get(0)).optional()?;
            found.ok_or_else(|| no_enclosure(enclosure).into())
        })
    }

    /// Takes a file off its record; it is kept.
    ///
    /// # Errors
    /// The record has no such file, or the store fails.
    pub fn take_off_enclosure(
        &mut self,
        record: RecordId,
        enclosure: EnclosureId,
        time: UnixMs,
    ) -> Result<()> {
        self.write(|connection| {
            let sql = "UPDATE enclosure SET removed_ms = ?3 WHERE id = ?1 AND record_id = ?2";
            match connection.execute(sql, [enclosure.0, record.0, time.0])? {
                0 => Err(no_enclosure(enclosure).into()),
                _ => Ok(()),
            }
        })
    }

    fn records_where(&self, condition: &str, values: &[&dyn ToSql]) -> Result<Vec<Record>> {
        self.read(|connection| {
            let sql =
                format!("SELECT {COLUMNS} FROM record WHERE {condition} ORDER BY boat_id, kind, number");
            let mut statement = connection.prepare(&sql)?;
            let rows = statement.query_map(values, record_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }
}

fn no_enclosure(enclosure: EnclosureId) -> StoreError {
    StoreError::NoSuchEntry { what: "log or photograph", wanted: enclosure.0 }
}

fn record_of(connection: &Connection, record: RecordId) -> std::result::Result<Record, Fault> {
    let sql = format!("SELECT {COLUMNS} FROM record WHERE id = ?1");
    match connection.query_row(&sql, [record.0], record_from_row).optional()? {
        Some(found) => Ok(found),
        None => Err(StoreError::NoSuchEntry { what: "record", wanted: record.0 }.into()),
    }
}

fn enclose(
    connection: &Connection,
    record: RecordId,
    new: &NewEnclosure<'_>,
    time: UnixMs,
) -> std::result::Result<EnclosureId, Fault> {
    let same = "UPDATE enclosure SET removed_ms = NULL WHERE record_id = ?1 AND digest = ?2 AND place = ?3 RETURNING id";
    let there = connection.query_row(same, params![record.0, new.digest, new.place], |row| row.get(0));
    if let Some(id) = there.optional()? {
        return Ok(EnclosureId(id));
    }
    connection.execute(
        "INSERT INTO enclosure (record_id, name, place, added_ms, plain_bytes, digest, bytes)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        params![
            record.0,
            new.name,
            new.place,
            time.0,
            i64::try_from(new.plain_bytes).unwrap_or(i64::MAX),
            new.digest,
            new.bytes
        ],
    )?;
    Ok(EnclosureId(connection.last_insert_rowid()))
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

fn enclosure_from_row(row: &Row<'_>) -> rusqlite::Result<KeptEnclosure> {
    let size = |bytes: i64| u64::try_from(bytes).unwrap_or(0);
    Ok(KeptEnclosure {
        id: EnclosureId(row.get(0)?),
        record: RecordId(row.get(1)?),
        name: row.get(2)?,
        place: row.get(3)?,
        added: UnixMs(row.get(4)?),
        plain_bytes: size(row.get(5)?),
        kept_bytes: size(row.get(6)?),
        digest: row.get(7)?,
    })
}
