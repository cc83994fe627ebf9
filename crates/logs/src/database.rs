//! Databases of one file: the rows of one table as text. A table whose rows have their names in
//! another is read with them. Not for: other tables that belong together, or writing.

use std::collections::BTreeMap;
use std::io::{self, Cursor, Read};

use rusqlite::types::ValueRef;
use rusqlite::{Connection, MAIN_DB};

use crate::LogError;
use crate::background::{GivenRows, rows_of};
use crate::parts::{MOST_PARTS, Part, ROWS_SEEN, choose};
use crate::table::Mapping;
use crate::unpack::whole;

/// Longest file of a database.
const LONGEST: u64 = 256 << 20;

/// Rows of the table that was told or tells most, its column names first.
/// # Errors
/// In words, when the file cannot be read, or holds no rows.
pub(crate) fn rows(reader: impl Read, told: &[Mapping]) -> Result<GivenRows, LogError> {
    let bytes = whole(reader, LONGEST, "a database")?;
    let said = |error: rusqlite::Error| {
        LogError::Io(io::Error::other(format!(
            "a database that cannot be read ({error}); save the table as CSV"
        )))
    };
    let length = bytes.len();
    let mut database = Connection::open_in_memory().map_err(said)?;
    // A file from a log that is still being written asks for its journal: as it stands, without.
    let mut bytes = bytes;
    if let Some(marks) = bytes.get_mut(18..20) {
        marks.fill(1);
    }
    database.deserialize_read_exact(MAIN_DB, Cursor::new(bytes), length, true).map_err(said)?;
    let tables: Vec<String> = {
        let mut statement = database
            .prepare("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name")
            .map_err(said)?;
        let names = statement.query_map([], |row| row.get(0)).map_err(said)?;
        names.collect::<Result<_, _>>().map_err(said)?
    };
    let named = joins(&database, &tables);
    let mut parts = Vec::new();
    for name in tables.into_iter().take(MOST_PARTS) {
        // A table that cannot be looked at is none of a log.
        let mut first = Vec::new();
        let looked = rows_of_table(&database, &name, named.get(&name), Some(ROWS_SEEN), &mut |row| {
            first.push(row);
            true
        });
        let count =
            database.query_row(&format!("SELECT count(*) FROM {}", quoted(&name)), [], |row| row.get(0));
        if looked.is_ok() {
            parts.push(Part { name, rows: count.unwrap_or(0), first });
        }
    }
    let chosen = choose(parts, told, "Table")
        .ok_or_else(|| LogError::Io(io::Error::other("the database holds no rows")))?;
    let table = chosen.name.clone();
    let rows = rows_of(move |give| {
        rows_of_table(&database, &table, named.get(&table), None, give).map_err(|e| e.to_string())
    });
    Ok(GivenRows::of_part(rows, chosen))
}

/// A table that holds the names of another's rows: `states` and `states_meta`, by the column of the number they share.
struct Names {
    table: String,
    name: String,
    by: String,
}

/// Tables whose rows have their names in another.
fn joins(database: &Connection, tables: &[String]) -> BTreeMap<String, Names> {
    const NAMES: [&str; 7] = ["entity_id", "name", "topic", "signal", "channel", "key", "metric"];
    let heads: Vec<(&String, Vec<String>)> =
        tables.iter().take(MOST_PARTS).filter_map(|t| Some((t, names_of(database, t).ok()?))).collect();
    let mut found = BTreeMap::new();
    for (table, columns) in &heads {
        let has_value = columns.iter().any(|c| matches!(c.as_str(), "state" | "value" | "val"));
        // Names that are their own, though they may be empty since a newer program keeps them apart.
        for (other, its) in heads.iter().filter(|(other, _)| has_value && other != table) {
            let name = its
                .iter()
                .find(|c| NAMES.contains(&c.as_str()) && (!columns.contains(c) || *c == "entity_id"));
            let by = its.iter().find(|c| c.ends_with("_id") && Some(*c) != name && columns.contains(c));
            if let (Some(name), Some(by)) = (name, by) {
                let names = Names { table: (*other).clone(), name: name.clone(), by: by.clone() };
                found.insert((*table).clone(), names);
            }
        }
    }
    found
}

/// Gives the names of a table's columns, then its rows, or the first of them.
fn rows_of_table(
    database: &Connection,
    table: &str,
    names: Option<&Names>,
    most: Option<usize>,
    give: &mut dyn FnMut(Vec<String>) -> bool,
) -> rusqlite::Result<()> {
    let limit = most.map_or_else(String::new, |most| format!(" LIMIT {most}"));
    let query = match names {
        None => format!("SELECT * FROM {}{limit}", quoted(table)),
        Some(names) => format!(
            "SELECT n.{}, t.* FROM {} t JOIN {} n ON n.{} = t.{}{limit}",
            quoted(&names.name),
            quoted(table),
            quoted(&names.table),
            quoted(&names.by),
            quoted(&names.by)
        ),
    };
    let mut statement = database.prepare(&query)?;
    let width = statement.column_count();
    let mut heads = names_of(database, table)?;
    if let Some(names) = names {
        // The other's name goes before an empty one of the table's own.
        heads.iter_mut().filter(|head| **head == names.name).for_each(String::clear);
        heads.insert(0, names.name.clone());
    }
    heads.resize(width, String::new());
    if !give(heads) {
        return Ok(());
    }
    let mut found = statement.query([])?;
    while let Some(row) = found.next()? {
        let cells = (0..width)
            .map(|column| {
                Ok(match row.get_ref(column)? {
                    ValueRef::Integer(number) => number.to_string(),
                    ValueRef::Real(number) => number.to_string(),
                    ValueRef::Text(text) => String::from_utf8_lossy(text).into_owned(),
                    ValueRef::Null | ValueRef::Blob(_) => String::new(),
                })
            })
            .collect::<rusqlite::Result<Vec<String>>>()?;
        if !give(cells) {
            break;
        }
    }
    Ok(())
}

/// Names of the columns, whatever their letters: those that are no UTF-8 are of western Europe.
fn names_of(database: &Connection, table: &str) -> rusqlite::Result<Vec<String>> {
    let mut statement =
        database.prepare("SELECT name FROM pragma_table_xinfo(?1) WHERE hidden <> 1 ORDER BY cid")?;
    let mut found = statement.query([table])?;
    let mut names = Vec::new();
    while let Some(row) = found.next()? {
        let bytes = row.get_ref(0)?.as_bytes().unwrap_or_default();
        names.push(match std::str::from_utf8(bytes) {
            Ok(name) => name.to_owned(),
            Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
        });
    }
    Ok(names)
}

fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "\"\""))
}
