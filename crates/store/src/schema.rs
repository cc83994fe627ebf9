//! The tables, and the numbered steps that bring an older file up to date.
//!
//! A step is never edited once it has been released; a change is a new step at the end.

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::error::Fault;

/// Marks the file as ours in the database header ("WkWr").
pub(crate) const APPLICATION_ID: i32 = 0x576b_5772;

/// Version of the tables that this program writes.
pub const VERSION: i64 = STEPS.len() as i64;

/// Step n (counted from 1) leads from version n - 1 to version n.
const STEPS: &[&str] = &[
    // 1: boats and their revisions.
    "CREATE TABLE boat (
         id INTEGER PRIMARY KEY AUTOINCREMENT,
         name TEXT NOT NULL,
         name_key TEXT NOT NULL,
         slug TEXT NOT NULL UNIQUE,
         created_ms INTEGER NOT NULL,
         removed_ms INTEGER
     ) STRICT;
     CREATE UNIQUE INDEX boat_in_use_by_name ON boat (name_key) WHERE removed_ms IS NULL;
     CREATE TRIGGER boat_is_kept BEFORE DELETE ON boat
         BEGIN SELECT RAISE(ABORT, 'a boat is never deleted, only removed'); END;

     CREATE TABLE revision (
         boat_id INTEGER NOT NULL REFERENCES boat (id),
         number INTEGER NOT NULL CHECK (number >= 1),
         time_ms INTEGER NOT NULL,
         note TEXT NOT NULL,
         text TEXT NOT NULL,
         UNIQUE (boat_id, number)
     ) STRICT;
     CREATE TRIGGER revision_is_kept BEFORE DELETE ON revision
         BEGIN SELECT RAISE(ABORT, 'a revision is never deleted'); END;
     CREATE TRIGGER revision_is_final BEFORE UPDATE ON revision
         BEGIN SELECT RAISE(ABORT, 'a revision is never changed'); END;",
    // 2: which former revision a revision brings back (so that undo can walk), what is being
    //    typed, and texts that lost a collision.
    "ALTER TABLE revision ADD COLUMN brings_back INTEGER;

     CREATE TABLE draft (
         boat_id INTEGER NOT NULL REFERENCES boat (id),
         device TEXT NOT NULL,
         base INTEGER NOT NULL,
         time_ms INTEGER NOT NULL,
         text TEXT NOT NULL,
         PRIMARY KEY (boat_id, device)
     ) STRICT;

     CREATE TABLE side_revision (
         id INTEGER PRIMARY KEY AUTOINCREMENT,
         boat_id INTEGER NOT NULL REFERENCES boat (id),
         base INTEGER NOT NULL,
         against INTEGER NOT NULL,
         time_ms INTEGER NOT NULL,
         note TEXT NOT NULL,
         text TEXT NOT NULL,
         settled_ms INTEGER
     ) STRICT;
     CREATE INDEX side_revision_by_boat ON side_revision (boat_id, id);
     CREATE TRIGGER side_revision_is_kept BEFORE DELETE ON side_revision
         BEGIN SELECT RAISE(ABORT, 'a text kept aside is never deleted, only settled'); END;",
];

/// Version of the tables in the file; 0 for an empty one.
pub(crate) fn version(connection: &Connection) -> rusqlite::Result<i64> {
    connection.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// Brings the tables up to [`VERSION`], all steps or none.
pub(crate) fn migrate(connection: &Connection) -> Result<(), Fault> {
    if version(connection)? == VERSION {
        return Ok(());
    }
    let transaction = Transaction::new_unchecked(connection, TransactionBehavior::Immediate)?;
    // Asked again under the lock: another program may have migrated while we waited.
    let found = version(&transaction)?;
    let done = usize::try_from(found).unwrap_or(0);
    for step in STEPS.iter().skip(done) {
        transaction.execute_batch(step)?;
    }
    if found < VERSION {
        transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
        transaction.pragma_update(None, "user_version", VERSION)?;
    }
    transaction.commit()?;
    Ok(())
}
