//! Side revisions: texts that lost a collision. Kept beside the history until somebody has looked
//! at them, and after.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::error::{Fault, Result, StoreError};
use crate::{BoatId, Store, UnixMs};

/// Number of a side revision.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SideId(pub i64);

/// A text whose save came too late.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SideRevision {
    /// Its number.
    pub id: SideId,
    /// The boat.
    pub boat: BoatId,
    /// The revision that it was made from.
    pub base: u32,
    /// The revision that was the latest when it was to be saved.
    pub against: u32,
    /// When it was to be saved.
    pub time: UnixMs,
    /// What was said about it.
    pub note: String,
    /// The document.
    pub text: String,
    /// When somebody decided about it, if so.
    pub settled: Option<UnixMs>,
}

const SIDE_COLUMNS: &str = "id, boat_id, base, against, time_ms, note, text, settled_ms";

impl Store {
    /// Texts of a boat that nobody has decided about yet, oldest first.
    ///
    /// # Errors
    /// The store fails.
    pub fn unsettled(&self, boat: BoatId) -> Result<Vec<SideRevision>> {
        self.sides_where(boat, "AND settled_ms IS NULL")
    }

    /// All texts of a boat that were ever kept aside, oldest first.
    ///
    /// # Errors
    /// The store fails.
    pub fn sides(&self, boat: BoatId) -> Result<Vec<SideRevision>> {
        self.sides_where(boat, "")
    }

    /// One text kept aside.
    ///
    /// # Errors
    /// [`StoreError::NoSuchSide`].
    pub fn side(&self, id: SideId) -> Result<SideRevision> {
        self.read(|connection| {
            let sql = format!("SELECT {SIDE_COLUMNS} FROM side_revision WHERE id = ?1");
            let found = connection.query_row(&sql, [id.0], side_from_row).optional()?;
            found.ok_or_else(|| StoreError::NoSuchSide { wanted: id.0 }.into())
        })
    }

    /// Marks a text kept aside as decided about (merged by hand, or not wanted). It stays readable.
    ///
    /// # Errors
    /// [`StoreError::NoSuchSide`].
    pub fn settle(&mut self, id: SideId, time: UnixMs) -> Result<()> {
        self.write(|connection| {
            let changed = connection
                .execute("UPDATE side_revision SET settled_ms = ?2 WHERE id = ?1", params![id.0, time.0])?;
            if changed == 0 {
                return Err(StoreError::NoSuchSide { wanted: id.0 }.into());
            }
            Ok(())
        })
    }

    fn sides_where(&self, boat: BoatId, condition: &str) -> Result<Vec<SideRevision>> {
        self.read(|connection| {
            let sql = format!(
                "SELECT {SIDE_COLUMNS} FROM side_revision WHERE boat_id = ?1 {condition} ORDER BY id"
            );
            let mut statement = connection.prepare(&sql)?;
            let rows = statement.query_map([boat.0], side_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }
}

/// Keeps `text` aside; a repeated attempt to save the same text is kept once.
pub(crate) fn keep_aside(
    connection: &Connection,
    boat: BoatId,
    base: u32,
    against: u32,
    text: &str,
    note: &str,
    time: UnixMs,
) -> std::result::Result<SideId, Fault> {
    let known = connection
        .query_row(
            "SELECT id FROM side_revision
             WHERE boat_id = ?1 AND base = ?2 AND text = ?3 AND settled_ms IS NULL",
            params![boat.0, base, text],
            |row| row.get(0),
        )
        .optional()?;
    if let Some(id) = known {
        return Ok(SideId(id));
    }
    connection.execute(
        "INSERT INTO side_revision (boat_id, base, against, time_ms, note, text)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        params![boat.0, base, against, time.0, note, text],
    )?;
    Ok(SideId(connection.last_insert_rowid()))
}

fn side_from_row(row: &Row<'_>) -> rusqlite::Result<SideRevision> {
    Ok(SideRevision {
        id: SideId(row.get(0)?),
        boat: BoatId(row.get(1)?),
        base: row.get(2)?,
        against: row.get(3)?,
        time: UnixMs(row.get(4)?),
        note: row.get(5)?,
        text: row.get(6)?,
        settled: row.get::<_, Option<i64>>(7)?.map(UnixMs),
    })
}
