//! Drafts: the text of a boat document as it is being typed, one per boat and device.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::boats::boat_of;
use crate::error::Result;
use crate::{BoatId, Store, UnixMs};

/// What a device was typing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// The boat.
    pub boat: BoatId,
    /// The device, by the name that the caller gave it.
    pub device: String,
    /// The revision that the typing started from.
    pub base: u32,
    /// When this state was kept.
    pub time: UnixMs,
    /// The text as typed; it need not be a valid document.
    pub text: String,
}

const DRAFT_COLUMNS: &str = "boat_id, device, base, time_ms, text";

impl Store {
    /// Keeps what is being typed, in place of what this device typed before. It is on the disk
    /// when the call returns. A removed boat takes drafts too, so that typing is never lost.
    ///
    /// # Errors
    /// There is no such boat, or the store fails.
    pub fn keep_draft(
        &mut self,
        boat: BoatId,
        device: &str,
        base: u32,
        text: &str,
        time: UnixMs,
    ) -> Result<()> {
        self.write(|connection| {
            boat_of(connection, boat)?;
            // Whichever arrives last wins, whatever its time says: a clock that was set back must
            // not make the store refuse what is being typed.
            connection.execute(
                "INSERT INTO draft (boat_id, device, base, time_ms, text, turn)
                 VALUES (?1, ?2, ?3, ?4, ?5,
                         1 + coalesce((SELECT max(turn) FROM draft WHERE boat_id = ?1), 0))
                 ON CONFLICT (boat_id, device)
                 DO UPDATE SET base = excluded.base, time_ms = excluded.time_ms, text = excluded.text,
                               turn = excluded.turn",
                params![boat.0, device, base, time.0, text],
            )?;
            Ok(())
        })
    }

    /// What this device was typing, if anything.
    ///
    /// # Errors
    /// The store fails.
    pub fn draft(&self, boat: BoatId, device: &str) -> Result<Option<Draft>> {
        self.read(|connection| Ok(draft_of(connection, boat, device)?))
    }

    /// Everything that is being typed about a boat, newest first: in the order of arrival, whatever
    /// the clock said.
    ///
    /// # Errors
    /// The store fails.
    pub fn drafts(&self, boat: BoatId) -> Result<Vec<Draft>> {
        self.read(|connection| {
            let sql = format!(
                "SELECT {DRAFT_COLUMNS} FROM draft WHERE boat_id = ?1 ORDER BY turn DESC, time_ms DESC, device"
            );
            let mut statement = connection.prepare(&sql)?;
            let rows = statement.query_map([boat.0], draft_from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// Forgets what this device was typing, after it was saved or thrown away by hand.
    ///
    /// # Errors
    /// The store fails.
    pub fn drop_draft(&mut self, boat: BoatId, device: &str) -> Result<()> {
        self.write(|connection| {
            connection
                .execute("DELETE FROM draft WHERE boat_id = ?1 AND device = ?2", params![boat.0, device])?;
            Ok(())
        })
    }
}

fn draft_of(connection: &Connection, boat: BoatId, device: &str) -> rusqlite::Result<Option<Draft>> {
    let sql = format!("SELECT {DRAFT_COLUMNS} FROM draft WHERE boat_id = ?1 AND device = ?2");
    connection.query_row(&sql, params![boat.0, device], draft_from_row).optional()
}

fn draft_from_row(row: &Row<'_>) -> rusqlite::Result<Draft> {
    Ok(Draft {
        boat: BoatId(row.get(0)?),
        device: row.get(1)?,
        base: row.get(2)?,
        time: UnixMs(row.get(3)?),
        text: row.get(4)?,
    })
}
