//! What the user once answered and need not be asked again, by subject and key.
//! Not for: what an answer means.

use rusqlite::{OptionalExtension, params};

use crate::error::Result;
use crate::{Store, UnixMs};

impl Store {
    /// Remembers `text` as the answer about `key`, in place of an earlier one.
    ///
    /// # Errors
    /// The store fails.
    pub fn remember(&mut self, subject: &str, key: &str, text: &str, time: UnixMs) -> Result<()> {
        self.write(|connection| {
            connection.execute(
                "INSERT INTO answer (subject, key, time_ms, text) VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (subject, key)
                 DO UPDATE SET time_ms = excluded.time_ms, text = excluded.text",
                params![subject, key, time.0, text],
            )?;
            Ok(())
        })
    }

    /// What was answered about `key`, if anything.
    ///
    /// # Errors
    /// The store fails.
    pub fn remembered(&self, subject: &str, key: &str) -> Result<Option<String>> {
        self.read(|connection| {
            let sql = "SELECT text FROM answer WHERE subject = ?1 AND key = ?2";
            Ok(connection.query_row(sql, [subject, key], |row| row.get(0)).optional()?)
        })
    }

    /// All answers of a subject, the latest first.
    ///
    /// # Errors
    /// The store fails.
    pub fn all_remembered(&self, subject: &str) -> Result<Vec<String>> {
        self.read(|connection| {
            let sql = "SELECT text FROM answer WHERE subject = ?1 ORDER BY time_ms DESC, key";
            let mut statement = connection.prepare(sql)?;
            let rows = statement.query_map([subject], |row| row.get(0))?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }
}
