//! Revisions: reading them, saving against a stated base, undoing, bringing back.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::boats::{boat_in_use, boat_of};
use crate::error::{Fault, Result, StoreError};
use crate::side::{SideId, keep_aside};
use crate::{BoatId, DiffLine, Store, UnixMs, diff_lines};

/// A revision without its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RevisionHead {
    /// 1 for the first, rising by 1.
    pub number: u32,
    /// When it was saved.
    pub time: UnixMs,
    /// What was said about it.
    pub note: String,
    /// The former revision that this one equals, when it was made by undoing or bringing back.
    pub brings_back: Option<u32>,
    /// Length of the text.
    pub length_bytes: u32,
}

/// A revision of a boat document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Revision {
    /// Number, time and note.
    pub head: RevisionHead,
    /// The document.
    pub text: String,
}

/// What became of a save.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SaveOutcome {
    /// A new revision.
    Saved(RevisionHead),
    /// Nothing to save: the text is the latest revision already, or is still what it started from.
    Unchanged {
        /// Number of the latest revision.
        latest: u32,
    },
    /// Somebody else saved since `base`. Their text is the latest revision; ours is kept aside.
    Conflict {
        /// The latest revision.
        theirs: Revision,
        /// The revision that both started from.
        base: Revision,
        /// Where our text is kept; `None` when there was none to lose (undo, bring back).
        kept: Option<SideId>,
    },
}

const HEAD_COLUMNS: &str = "number, time_ms, note, brings_back, octet_length(text)";

impl Store {
    /// The latest revision.
    ///
    /// # Errors
    /// There is no such boat.
    pub fn latest(&self, boat: BoatId) -> Result<Revision> {
        self.read(|connection| latest_of(connection, boat))
    }

    /// Revision `number`.
    ///
    /// # Errors
    /// [`StoreError::NoSuchRevision`] names the range that exists.
    pub fn get(&self, boat: BoatId, number: u32) -> Result<Revision> {
        self.read(|connection| revision_of(connection, boat, number))
    }

    /// All revisions, newest first, without their texts.
    ///
    /// # Errors
    /// There is no such boat.
    pub fn revisions(&self, boat: BoatId) -> Result<Vec<RevisionHead>> {
        self.read(|connection| {
            boat_of(connection, boat)?;
            let sql = format!("SELECT {HEAD_COLUMNS} FROM revision WHERE boat_id = ?1 ORDER BY number DESC");
            let mut statement = connection.prepare(&sql)?;
            let rows = statement.query_map([boat.0], head_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// Saves `text`, which was made from revision `base`.
    ///
    /// Of several devices that save from the same base, exactly one gets [`SaveOutcome::Saved`].
    ///
    /// # Errors
    /// [`StoreError::BoatRemoved`] (keep a draft meanwhile), [`StoreError::NoSuchRevision`] for
    /// `base`, or the store fails; then nothing was changed.
    pub fn save(
        &mut self,
        boat: BoatId,
        base: u32,
        text: &str,
        note: &str,
        time: UnixMs,
    ) -> Result<SaveOutcome> {
        self.write(|connection| {
            boat_in_use(connection, boat)?;
            let latest = latest_of(connection, boat)?;
            let base = revision_of(connection, boat, base)?;
            if text == latest.text || text == base.text {
                return Ok(SaveOutcome::Unchanged { latest: latest.head.number });
            }
            if base.head.number == latest.head.number {
                let number = latest.head.number + 1;
                let head = insert_revision(connection, boat, number, text, note, None, time)?;
                return Ok(SaveOutcome::Saved(head));
            }
            let against = latest.head.number;
            let kept = keep_aside(connection, boat, base.head.number, against, text, note, time)?;
            Ok(SaveOutcome::Conflict { theirs: latest, base, kept: Some(kept) })
        })
    }

    /// Goes back by one revision, by adding one that equals the revision before. Done again it goes
    /// back further. `base` is the revision that the user was looking at: if somebody saved since,
    /// nothing is undone.
    ///
    /// # Errors
    /// [`StoreError::NothingToUndo`] at the first revision, or as [`Store::save`].
    pub fn undo(&mut self, boat: BoatId, base: u32, note: &str, time: UnixMs) -> Result<SaveOutcome> {
        self.write(|connection| {
            let found = boat_in_use(connection, boat)?;
            let head = revision_of(connection, boat, base)?.head;
            let stands_at = head.brings_back.unwrap_or(head.number);
            if stands_at <= 1 {
                return Err(StoreError::NothingToUndo { boat: found.name }.into());
            }
            add_equal(connection, boat, stands_at - 1, base, note, time)
        })
    }

    /// Adds a revision that equals revision `number`. `base` as for [`Store::undo`].
    ///
    /// # Errors
    /// As [`Store::save`], and for `number`.
    pub fn bring_back(
        &mut self,
        boat: BoatId,
        number: u32,
        base: u32,
        note: &str,
        time: UnixMs,
    ) -> Result<SaveOutcome> {
        self.write(|connection| {
            boat_in_use(connection, boat)?;
            let latest = latest_of(connection, boat)?;
            if revision_of(connection, boat, number)?.text == latest.text {
                return Ok(SaveOutcome::Unchanged { latest: latest.head.number });
            }
            add_equal(connection, boat, number, base, note, time)
        })
    }

    /// The lines of revision `old` and `new`, each marked as same, removed or added.
    ///
    /// # Errors
    /// There is no such boat or revision.
    pub fn compare(&self, boat: BoatId, old: u32, new: u32) -> Result<Vec<DiffLine>> {
        Ok(diff_lines(&self.get(boat, old)?.text, &self.get(boat, new)?.text))
    }
}

/// Adds a revision equal to `number`, unless somebody saved since `base`.
fn add_equal(
    connection: &Connection,
    boat: BoatId,
    number: u32,
    base: u32,
    note: &str,
    time: UnixMs,
) -> std::result::Result<SaveOutcome, Fault> {
    let latest = latest_of(connection, boat)?;
    let base = revision_of(connection, boat, base)?;
    if base.head.number != latest.head.number {
        return Ok(SaveOutcome::Conflict { theirs: latest, base, kept: None });
    }
    let text = revision_of(connection, boat, number)?.text;
    let next = latest.head.number + 1;
    let head = insert_revision(connection, boat, next, &text, note, Some(number), time)?;
    Ok(SaveOutcome::Saved(head))
}

pub(crate) fn insert_revision(
    connection: &Connection,
    boat: BoatId,
    number: u32,
    text: &str,
    note: &str,
    brings_back: Option<u32>,
    time: UnixMs,
) -> std::result::Result<RevisionHead, Fault> {
    connection.execute(
        "INSERT INTO revision (boat_id, number, time_ms, note, text, brings_back)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        params![boat.0, number, time.0, note, text, brings_back],
    )?;
    Ok(RevisionHead { number, time, note: note.to_owned(), brings_back, length_bytes: length_bytes(text) })
}

pub(crate) fn latest_of(connection: &Connection, boat: BoatId) -> std::result::Result<Revision, Fault> {
    let sql =
        format!("SELECT {HEAD_COLUMNS}, text FROM revision WHERE boat_id = ?1 ORDER BY number DESC LIMIT 1");
    match connection.query_row(&sql, [boat.0], revision_from_row).optional()? {
        Some(revision) => Ok(revision),
        // A boat is entered together with her first revision, so it is the boat that is missing.
        None => Err(boat_of(connection, boat).err().unwrap_or(rusqlite::Error::QueryReturnedNoRows.into())),
    }
}

pub(crate) fn revision_of(
    connection: &Connection,
    boat: BoatId,
    number: u32,
) -> std::result::Result<Revision, Fault> {
    let sql = format!("SELECT {HEAD_COLUMNS}, text FROM revision WHERE boat_id = ?1 AND number = ?2");
    match connection.query_row(&sql, params![boat.0, number], revision_from_row).optional()? {
        Some(revision) => Ok(revision),
        None => {
            let latest = latest_of(connection, boat)?.head.number;
            let boat = boat_of(connection, boat)?.name;
            Err(StoreError::NoSuchRevision { boat, wanted: number, latest }.into())
        }
    }
}

/// A text longer than the database can hold does not get here.
fn length_bytes(text: &str) -> u32 {
    u32::try_from(text.len()).unwrap_or(u32::MAX)
}

fn head_from_row(row: &Row<'_>) -> rusqlite::Result<RevisionHead> {
    Ok(RevisionHead {
        number: row.get(0)?,
        time: UnixMs(row.get(1)?),
        note: row.get(2)?,
        brings_back: row.get(3)?,
        length_bytes: row.get(4)?,
    })
}

fn revision_from_row(row: &Row<'_>) -> rusqlite::Result<Revision> {
    Ok(Revision { head: head_from_row(row)?, text: row.get(5)? })
}
