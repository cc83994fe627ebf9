//! The first rows of tables whose values carry their own names: JSON objects, protocols, labels, long tables.
//! Not for: what the names mean (`meaning`).

use std::borrow::Cow;
use std::io::Cursor;

use super::label_rows::label_line;
use super::line_protocol::protocol_line;
use super::long_places::long_places;
use super::propose::{MOST_COLUMNS, ROWS_SEEN, separated_rows};
use super::words::LONGEST_NAME;
use crate::json::Objects;
use crate::json_flat::flatten;

pub(super) fn object_rows(text: &str) -> Option<(Vec<String>, Vec<Vec<String>>)> {
    let mut objects = Objects::of_rows(Cursor::new(text.as_bytes()));
    let mut rows = Vec::new();
    while let Ok(Some(object)) = objects.next() {
        let mut row = Vec::new();
        if let Ok(bytes) = object.bytes
            && flatten(bytes, &mut |name, value| {
                // No column of a log has so long a name, and what is asked of many of them takes its time.
                if name.len() <= LONGEST_NAME {
                    row.push((name.to_owned(), value.to_owned()));
                }
            })
        {
            rows.push(row);
        }
        if rows.len() >= ROWS_SEEN {
            break;
        }
    }
    named_rows(rows, None)
}

pub(super) fn protocol_rows(text: &str) -> Option<(Vec<String>, Vec<Vec<String>>)> {
    const TIME: &str = "time [ns]";
    let rows = text
        .lines()
        .take(ROWS_SEEN)
        .filter_map(|line| {
            let mut row = Vec::new();
            let time =
                protocol_line(line.trim(), &mut |name, value| row.push((name.to_owned(), value.to_owned())))?;
            row.push((TIME.to_owned(), time.to_owned()));
            Some(row)
        })
        .collect();
    named_rows(rows, Some(TIME))
}

pub(super) fn label_rows(text: &str) -> Option<(Vec<String>, Vec<Vec<String>>)> {
    let mut rows = vec![Vec::new()];
    for (label, value) in text.lines().take(8 * ROWS_SEEN).filter_map(label_line) {
        let begins = rows
            .last()
            .is_some_and(|row: &Vec<(String, String)>| row.iter().any(|(known, _)| known == label));
        if begins {
            rows.push(Vec::new());
        }
        if label != "Checksum"
            && let Some(row) = rows.last_mut()
        {
            row.push((label.to_owned(), value.to_owned()));
        }
    }
    named_rows(rows, None)
}

pub(super) fn long_rows(text: &str, separator: char) -> Option<(Vec<String>, Vec<Vec<String>>)> {
    // Series may stand one after the other: all names of the first part are seen.
    let mut lines = separated_rows(text, separator, usize::MAX)
        .into_iter()
        .skip_while(|(_, cells)| cells.first().is_some_and(|cell| cell.starts_with('#')));
    let (_, heads) = lines.next()?;
    let mut places = long_places(&heads)?;
    let lines: Vec<(u64, Vec<String>)> = lines.collect();
    // A column that says the same on every line tells nothing apart.
    let mut tags: Vec<&str> = places
        .tag
        .map(|tag| lines.iter().filter_map(|(_, cells)| cells.get(tag).map(String::as_str)).collect())
        .unwrap_or_default();
    tags.sort_unstable();
    tags.dedup();
    const MOST_TAGS: usize = 8;
    if !(2..=MOST_TAGS).contains(&tags.len()) {
        places.tag = None;
    }
    let time = heads.get(places.time)?.clone();
    let rows = lines
        .iter()
        .filter_map(|(_, cells)| {
            let cell = |at: usize| Cow::Borrowed(cells.get(at).map(String::as_str).unwrap_or_default());
            let name = places.name_of(cell)?;
            Some(vec![
                (time.clone(), cells.get(places.time)?.clone()),
                (name, cells.get(places.value)?.clone()),
            ])
        })
        .collect();
    named_rows(rows, Some(&time))
}

fn named_rows(
    rows: Vec<Vec<(String, String)>>,
    first: Option<&str>,
) -> Option<(Vec<String>, Vec<Vec<String>>)> {
    let mut heads: Vec<String> = first.map(str::to_owned).into_iter().collect();
    let mut places = std::collections::HashMap::new();
    for (index, head) in heads.iter().enumerate() {
        places.insert(head.clone(), index);
    }
    let mut all = Vec::new();
    for row in rows {
        let mut cells = Vec::new();
        for (name, value) in row {
            let place = *places.entry(name.clone()).or_insert_with(|| {
                heads.push(name);
                heads.len() - 1
            });
            if cells.len() <= place {
                cells.resize(place + 1, String::new());
            }
            cells[place] = value;
        }
        if heads.len() > MOST_COLUMNS {
            return None;
        }
        all.push(cells);
    }
    let width = heads.len();
    all.iter_mut().for_each(|cells: &mut Vec<String>| cells.resize(width, String::new()));
    Some((heads, all))
}
