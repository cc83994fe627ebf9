//! Boats: making, naming, copying, removing and finding them.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::error::{Fault, Result, StoreError};
use crate::revisions::insert_revision;
use crate::{Store, UnixMs, names, revisions};

/// A boat's own number; never used again for another boat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BoatId(pub i64);

/// A boat without her documents.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Boat {
    /// Her number.
    pub id: BoatId,
    /// Her name as typed.
    pub name: String,
    /// Her name in a web address. Given once: it survives renaming, so that links hold.
    pub slug: String,
    /// When she was entered.
    pub created: UnixMs,
    /// When she was removed, if she was.
    pub removed: Option<UnixMs>,
}

/// A line of the list of boats.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoatSummary {
    /// The boat.
    pub boat: Boat,
    /// Number of her latest revision.
    pub latest: u32,
    /// When that was saved.
    pub latest_time: UnixMs,
    /// How many revisions she has.
    pub revisions: u32,
}

const BOAT_COLUMNS: &str = "boat.id, boat.name, boat.slug, boat.created_ms, boat.removed_ms";

impl Store {
    /// Enters a boat with the first revision of her document.
    ///
    /// # Errors
    /// [`StoreError::NameTaken`], [`StoreError::BadName`], or the store fails.
    pub fn create(&mut self, name: &str, text: &str, note: &str, time: UnixMs) -> Result<BoatId> {
        self.write(|connection| insert_boat(connection, name, text, note, time))
    }

    /// Enters a boat whose first revision is the latest of `boat`.
    ///
    /// # Errors
    /// As [`Store::create`], or there is no such boat.
    pub fn copy(&mut self, boat: BoatId, new_name: &str, note: &str, time: UnixMs) -> Result<BoatId> {
        self.write(|connection| {
            let text = revisions::latest_of(connection, boat)?.text;
            insert_boat(connection, new_name, &text, note, time)
        })
    }

    /// Gives a boat another name; her slug stays.
    ///
    /// # Errors
    /// [`StoreError::NameTaken`], [`StoreError::BadName`], or there is no such boat.
    pub fn rename(&mut self, boat: BoatId, new_name: &str) -> Result<()> {
        self.write(|connection| {
            let name = names::tidy(new_name)?;
            boat_of(connection, boat)?;
            refuse_taken(connection, &name, Some(boat))?;
            connection.execute(
                "UPDATE boat SET name = ?2, name_key = ?3 WHERE id = ?1",
                params![boat.0, name, names::key(&name)],
            )?;
            Ok(())
        })
    }

    /// Takes a boat off the list. Everything of hers is kept; see [`Store::reinstate`].
    ///
    /// # Errors
    /// There is no such boat, or she is removed already.
    pub fn remove(&mut self, boat: BoatId, time: UnixMs) -> Result<()> {
        self.write(|connection| {
            boat_in_use(connection, boat)?;
            connection.execute("UPDATE boat SET removed_ms = ?2 WHERE id = ?1", params![boat.0, time.0])?;
            Ok(())
        })
    }

    /// Puts a removed boat back on the list; does nothing to one that is there.
    ///
    /// # Errors
    /// [`StoreError::NameTaken`] when another boat has got her name since: rename either first.
    pub fn reinstate(&mut self, boat: BoatId) -> Result<()> {
        self.write(|connection| {
            let found = boat_of(connection, boat)?;
            refuse_taken(connection, &found.name, Some(boat))?;
            connection.execute("UPDATE boat SET removed_ms = NULL WHERE id = ?1", [boat.0])?;
            Ok(())
        })
    }

    /// The boats in use, by name.
    ///
    /// # Errors
    /// The store fails.
    pub fn list(&self) -> Result<Vec<BoatSummary>> {
        self.summaries("boat.removed_ms IS NULL")
    }

    /// The removed boats, by name.
    ///
    /// # Errors
    /// The store fails.
    pub fn removed(&self) -> Result<Vec<BoatSummary>> {
        self.summaries("boat.removed_ms IS NOT NULL")
    }

    /// A boat by her number, removed or not.
    ///
    /// # Errors
    /// There is no such boat.
    pub fn boat(&self, boat: BoatId) -> Result<Boat> {
        self.read(|connection| boat_of(connection, boat))
    }

    /// A boat in use by her name; capitals and doubled spaces do not matter.
    ///
    /// # Errors
    /// [`StoreError::NoSuchBoat`] with the names that come near.
    pub fn find(&self, name: &str) -> Result<Boat> {
        self.read(|connection| match in_use_by_name(connection, name)? {
            Some(boat) => Ok(boat),
            None => Err(no_such_boat(connection, name)?),
        })
    }

    /// A boat in use by her slug.
    ///
    /// # Errors
    /// [`StoreError::BoatRemoved`]; [`StoreError::NoSuchBoat`] with the names that come near.
    pub fn find_by_slug(&self, slug: &str) -> Result<Boat> {
        self.read(|connection| match by_slug(connection, slug)? {
            Some(Boat { id, name, removed: Some(at), .. }) => {
                Err(StoreError::BoatRemoved { name, id, at }.into())
            }
            Some(boat) => Ok(boat),
            None => Err(no_such_boat(connection, slug)?),
        })
    }

    /// A boat by her slug, removed or not: what is typed about her is kept either way.
    ///
    /// # Errors
    /// [`StoreError::NoSuchBoat`] with the names that come near.
    pub fn find_even_removed(&self, slug: &str) -> Result<Boat> {
        self.read(|connection| match by_slug(connection, slug)? {
            Some(boat) => Ok(boat),
            None => Err(no_such_boat(connection, slug)?),
        })
    }

    fn summaries(&self, condition: &str) -> Result<Vec<BoatSummary>> {
        self.read(|connection| {
            let sql = format!(
                "SELECT {BOAT_COLUMNS}, latest.number, latest.time_ms,
                        (SELECT count(*) FROM revision WHERE boat_id = boat.id)
                 FROM boat JOIN revision AS latest ON latest.boat_id = boat.id
                  AND latest.number = (SELECT max(number) FROM revision WHERE boat_id = boat.id)
                 WHERE {condition} ORDER BY boat.name_key, boat.id"
            );
            let mut statement = connection.prepare(&sql)?;
            let rows = statement.query_map([], |row| {
                Ok(BoatSummary {
                    boat: boat_from_row(row)?,
                    latest: row.get(5)?,
                    latest_time: UnixMs(row.get(6)?),
                    revisions: row.get(7)?,
                })
            })?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }
}

fn by_slug(connection: &Connection, slug: &str) -> rusqlite::Result<Option<Boat>> {
    let sql = format!("SELECT {BOAT_COLUMNS} FROM boat WHERE slug = ?1");
    connection.query_row(&sql, [slug], boat_from_row).optional()
}

fn boat_from_row(row: &Row<'_>) -> rusqlite::Result<Boat> {
    Ok(Boat {
        id: BoatId(row.get(0)?),
        name: row.get(1)?,
        slug: row.get(2)?,
        created: UnixMs(row.get(3)?),
        removed: row.get::<_, Option<i64>>(4)?.map(UnixMs),
    })
}

/// The boat, removed or not.
pub(crate) fn boat_of(connection: &Connection, boat: BoatId) -> std::result::Result<Boat, Fault> {
    let sql = format!("SELECT {BOAT_COLUMNS} FROM boat WHERE id = ?1");
    match connection.query_row(&sql, [boat.0], boat_from_row).optional()? {
        Some(found) => Ok(found),
        None => Err(StoreError::NoSuchBoat { wanted: format!("number {}", boat.0), near: vec![] }.into()),
    }
}

/// The boat, unless she was removed.
pub(crate) fn boat_in_use(connection: &Connection, boat: BoatId) -> std::result::Result<Boat, Fault> {
    let found = boat_of(connection, boat)?;
    match found.removed {
        Some(at) => Err(StoreError::BoatRemoved { name: found.name, id: found.id, at }.into()),
        None => Ok(found),
    }
}

fn insert_boat(
    connection: &Connection,
    name: &str,
    text: &str,
    note: &str,
    time: UnixMs,
) -> std::result::Result<BoatId, Fault> {
    let name = names::tidy(name)?;
    refuse_taken(connection, &name, None)?;
    let slug = free_slug(connection, &name)?;
    connection.execute(
        "INSERT INTO boat (name, name_key, slug, created_ms) VALUES (?1, ?2, ?3, ?4)",
        params![name, names::key(&name), slug, time.0],
    )?;
    let boat = BoatId(connection.last_insert_rowid());
    insert_revision(connection, boat, 1, text, note, None, time)?;
    Ok(boat)
}

/// The name's slug, with a number after it when another boat, removed ones included, has it.
fn free_slug(connection: &Connection, name: &str) -> std::result::Result<String, Fault> {
    let plain = names::slug(name);
    let mut slug = plain.clone();
    let mut count = 1;
    while connection.query_row("SELECT EXISTS (SELECT 1 FROM boat WHERE slug = ?1)", [&slug], |r| r.get(0))? {
        count += 1;
        slug = format!("{plain}-{count}");
    }
    Ok(slug)
}

fn in_use_by_name(connection: &Connection, name: &str) -> rusqlite::Result<Option<Boat>> {
    let sql = format!("SELECT {BOAT_COLUMNS} FROM boat WHERE name_key = ?1 AND removed_ms IS NULL");
    connection.query_row(&sql, [names::key(name)], boat_from_row).optional()
}

fn refuse_taken(
    connection: &Connection,
    name: &str,
    except: Option<BoatId>,
) -> std::result::Result<(), Fault> {
    match in_use_by_name(connection, name)? {
        Some(other) if Some(other.id) != except => Err(StoreError::NameTaken { name: other.name }.into()),
        _ => Ok(()),
    }
}

fn no_such_boat(connection: &Connection, wanted: &str) -> std::result::Result<Fault, Fault> {
    let mut statement =
        connection.prepare("SELECT name FROM boat WHERE removed_ms IS NULL ORDER BY name_key")?;
    let names: Vec<String> = statement.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?;
    Ok(StoreError::NoSuchBoat { wanted: wanted.to_owned(), near: names::near(wanted, &names) }.into())
}
