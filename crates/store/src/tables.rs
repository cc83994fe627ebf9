//! What tables a file holds, against what it ought to hold.

use super::schema::{STEPS, VERSION, version};
use rusqlite::Connection;

/// Tables that a file of a version has, with the versions from the first to the last.
const TABLES: [(&str, i64, i64); 12] = [
    ("boat", 1, VERSION),
    ("revision", 1, VERSION),
    ("draft", 2, VERSION),
    ("side_revision", 2, VERSION),
    ("trial", 3, 5),
    ("trial_log", 3, 5),
    ("answer", 3, VERSION),
    ("forecast", 3, VERSION),
    ("record", 5, VERSION),
    ("photograph", 5, 5),
    ("enclosure", 6, VERSION),
    ("record_revision", 7, VERSION),
];

/// All tables of this version.
pub(crate) fn tables() -> impl Iterator<Item = &'static str> {
    TABLES.iter().filter(|(.., last)| *last == VERSION).map(|(name, ..)| *name)
}

/// The first table that a file of its version should have and does not; the version itself is one
/// that was never written when it is below 1.
pub(crate) fn missing_table(connection: &Connection) -> rusqlite::Result<Option<&'static str>> {
    let version = version(connection)?.max(1);
    for (name, since, last) in TABLES {
        let sql = "SELECT EXISTS (SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?1)";
        if (since..=last).contains(&version)
            && !connection.query_row(sql, [name], |row| row.get::<_, bool>(0))?
        {
            return Ok(Some(name));
        }
    }
    Ok(None)
}

/// What stands in the plan of a file that is not in that of a store of its version, or stands there otherwise: a
/// trigger, a view, a table, an index. A file that came from elsewhere would bring it to work here.
pub(crate) fn stray_entry(connection: &Connection) -> rusqlite::Result<Option<String>> {
    let version = version(connection)?;
    let fresh = Connection::open_in_memory()?;
    for step in STEPS.iter().take(usize::try_from(version).unwrap_or(0)) {
        fresh.execute_batch(step)?;
    }
    let ours = entries(&fresh)?;
    let stray = entries(connection)?.into_iter().find(|entry| !ours.contains(entry));
    Ok(stray.map(|(kind, name, _)| format!("{kind} {name}")))
}

type PlanEntry = (String, String, Option<String>);

/// Kind, name and text of all that the file's plan has, but for counts by which queries are planned.
fn entries(connection: &Connection) -> rusqlite::Result<Vec<PlanEntry>> {
    let mut statement = connection.prepare("SELECT type, name, sql FROM sqlite_schema")?;
    let entries = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    entries
        .filter(|entry| {
            !entry.as_ref().is_ok_and(|(kind, name, _): &PlanEntry| {
                kind == "table" && ["sqlite_stat1", "sqlite_stat4"].contains(&name.as_str())
            })
        })
        .collect()
}
