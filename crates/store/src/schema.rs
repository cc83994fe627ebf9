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
pub(super) const STEPS: &[&str] = &[
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
    // 3: trials with their logs, what was answered about a kind of log, and forecasts.
    "CREATE TABLE trial (
         id INTEGER PRIMARY KEY AUTOINCREMENT,
         boat_id INTEGER NOT NULL REFERENCES boat (id),
         number INTEGER NOT NULL CHECK (number >= 1),
         created_ms INTEGER NOT NULL,
         removed_ms INTEGER,
         version INTEGER NOT NULL CHECK (version >= 1),
         changed_ms INTEGER NOT NULL,
         text TEXT NOT NULL,
         UNIQUE (boat_id, number)
     ) STRICT;
     CREATE TRIGGER trial_is_kept BEFORE DELETE ON trial
         BEGIN SELECT RAISE(ABORT, 'a trial is never deleted, only removed'); END;

     CREATE TABLE trial_log (
         id INTEGER PRIMARY KEY AUTOINCREMENT,
         trial_id INTEGER NOT NULL REFERENCES trial (id),
         name TEXT NOT NULL,
         added_ms INTEGER NOT NULL,
         removed_ms INTEGER,
         plain_bytes INTEGER NOT NULL,
         digest TEXT NOT NULL,
         packed BLOB NOT NULL
     ) STRICT;
     CREATE INDEX trial_log_by_trial ON trial_log (trial_id, id);

     CREATE TABLE answer (
         subject TEXT NOT NULL,
         key TEXT NOT NULL,
         time_ms INTEGER NOT NULL,
         text TEXT NOT NULL,
         PRIMARY KEY (subject, key)
     ) STRICT;

     CREATE TABLE forecast (
         id INTEGER PRIMARY KEY AUTOINCREMENT,
         boat_id INTEGER NOT NULL REFERENCES boat (id),
         time_ms INTEGER NOT NULL,
         removed_ms INTEGER,
         text TEXT NOT NULL
     ) STRICT;
     CREATE INDEX forecast_by_boat ON forecast (boat_id, id);
     CREATE TRIGGER forecast_is_kept BEFORE DELETE ON forecast
         BEGIN SELECT RAISE(ABORT, 'a forecast is never deleted, only put aside'); END;
     CREATE TRIGGER forecast_is_final BEFORE UPDATE OF boat_id, time_ms, text ON forecast
         BEGIN SELECT RAISE(ABORT, 'a forecast is never changed'); END;",
    // 4: in which order drafts arrived; a clock that was set back does not tell it.
    "ALTER TABLE draft ADD COLUMN turn INTEGER NOT NULL DEFAULT 0;",
    // 5: dated records of her life with the drive, and the photographs that stand on them.
    "CREATE TABLE record (
         id INTEGER PRIMARY KEY AUTOINCREMENT,
         boat_id INTEGER NOT NULL REFERENCES boat (id),
         kind TEXT NOT NULL,
         number INTEGER NOT NULL CHECK (number >= 1),
         created_ms INTEGER NOT NULL,
         removed_ms INTEGER,
         version INTEGER NOT NULL CHECK (version >= 1),
         changed_ms INTEGER NOT NULL,
         text TEXT NOT NULL,
         UNIQUE (boat_id, kind, number)
     ) STRICT;
     CREATE TRIGGER record_is_kept BEFORE DELETE ON record
         BEGIN SELECT RAISE(ABORT, 'a record is never deleted, only removed'); END;

     CREATE TABLE photograph (
         id INTEGER PRIMARY KEY AUTOINCREMENT,
         record_id INTEGER NOT NULL REFERENCES record (id),
         name TEXT NOT NULL,
         added_ms INTEGER NOT NULL,
         removed_ms INTEGER,
         digest TEXT NOT NULL,
         bytes BLOB NOT NULL
     ) STRICT;
     CREATE INDEX photograph_by_record ON photograph (record_id, id);
     CREATE TRIGGER photograph_is_kept BEFORE DELETE ON photograph
         BEGIN SELECT RAISE(ABORT, 'a photograph is never deleted, only taken off'); END;
     CREATE TRIGGER photograph_is_final BEFORE UPDATE OF record_id, bytes ON photograph
         BEGIN SELECT RAISE(ABORT, 'a photograph is never changed'); END;",
    // 6: trials are records of a kind, and their logs stand with them as photographs do, each at its place in the record.
    "INSERT INTO record (boat_id, kind, number, created_ms, removed_ms, version, changed_ms, text)
         SELECT boat_id, 'trial', number, created_ms, removed_ms, version, changed_ms, text FROM trial ORDER BY id;
     CREATE TABLE enclosure (
         id INTEGER PRIMARY KEY AUTOINCREMENT,
         record_id INTEGER NOT NULL REFERENCES record (id),
         name TEXT NOT NULL,
         place TEXT NOT NULL,
         added_ms INTEGER NOT NULL,
         removed_ms INTEGER,
         plain_bytes INTEGER NOT NULL,
         digest TEXT NOT NULL,
         bytes BLOB NOT NULL
     ) STRICT;
     INSERT INTO enclosure (id, record_id, name, place, added_ms, removed_ms, plain_bytes, digest, bytes)
         SELECT id, record_id, name, '', added_ms, removed_ms, length(bytes), digest, bytes FROM photograph;
     INSERT INTO enclosure (record_id, name, place, added_ms, removed_ms, plain_bytes, digest, bytes)
         SELECT record.id, log.name, '', log.added_ms, log.removed_ms, log.plain_bytes, log.digest, log.packed
         FROM trial_log AS log JOIN trial ON trial.id = log.trial_id
         JOIN record ON record.boat_id = trial.boat_id AND record.kind = 'trial' AND record.number = trial.number
         ORDER BY log.id;
     CREATE INDEX enclosure_by_record ON enclosure (record_id, id);
     CREATE INDEX record_by_kind ON record (kind, boat_id);
     DROP TABLE photograph;
     DROP TABLE trial_log;
     DROP TABLE trial;
     CREATE TRIGGER enclosure_is_kept BEFORE DELETE ON enclosure
         BEGIN SELECT RAISE(ABORT, 'a log or photograph is never deleted, only taken off'); END;
     CREATE TRIGGER enclosure_is_final BEFORE UPDATE OF record_id, bytes ON enclosure
         BEGIN SELECT RAISE(ABORT, 'a log or photograph is never changed'); END;",
    // 7: what stood in a record before.
    "CREATE TABLE record_revision (
         record_id INTEGER NOT NULL REFERENCES record (id),
         version INTEGER NOT NULL CHECK (version >= 1),
         time_ms INTEGER NOT NULL,
         text TEXT NOT NULL,
         UNIQUE (record_id, version)
     ) STRICT;
     CREATE TRIGGER record_revision_is_kept BEFORE DELETE ON record_revision
         BEGIN SELECT RAISE(ABORT, 'a revision is never deleted'); END;
     CREATE TRIGGER record_revision_is_final BEFORE UPDATE ON record_revision
         BEGIN SELECT RAISE(ABORT, 'a revision is never changed'); END;",
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
