//! Tables of any columns: separator, decimal comma, times and units are proposed from the head and
//! the first rows, confirmed once by the user, and remembered by the names of the columns.
//!
//! Not for: spreadsheets' own files.

mod guess;
mod mapping;
mod times;

use std::io::BufRead;

pub use guess::{Proposal, propose};
pub use mapping::{ColumnMapping, Mapping, TimeMapping};
pub use times::TimeFormat;

use super::LogError;
use super::bad::BadKind;
use super::line::Bounded;
use super::log::{Builder, Log, Source, TimeBase};
use super::notice::LogNotice;

/// Why a table cannot be read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
    /// No rows with the same number of columns.
    #[error("no table is seen here: no two rows have the same number of columns, two or more")]
    NoTable,
    /// The mapping names a unit that its quantity does not take.
    #[error("column {column}: {unit:?} is no unit of {measured}")]
    Unit {
        /// Column, from 1.
        column: usize,
        /// As written.
        unit: String,
        /// What the column measures.
        measured: &'static str,
    },
    /// The mapping cannot be read.
    #[error("the mapping cannot be read: {0}")]
    Mapping(String),
}

/// Reads a table by a mapping, row by row.
/// # Errors
/// [`LogError`]: the reader's own, or a unit in the mapping that does not fit.
pub fn read(reader: impl BufRead, mapping: &Mapping) -> Result<Log, LogError> {
    let columns = mapping.resolved()?;
    let mut builder = Builder::new();
    let mut rows = csv::ReaderBuilder::new()
        .delimiter(mapping.separator as u8)
        .has_headers(false)
        .flexible(true)
        .from_reader(Bounded::new(reader, b'\n'));
    let mut record = csv::ByteRecord::new();
    let mut lines = 0;
    loop {
        let line = rows.position().line();
        builder.line = line;
        match rows.read_byte_record(&mut record) {
            Ok(false) => break,
            Ok(true) => {}
            Err(error) => match error.into_kind() {
                csv::ErrorKind::Io(error) => return Err(error.into()),
                _ => {
                    builder.bad(BadKind::NotUnderstood);
                    continue;
                }
            },
        }
        lines = rows.position().line();
        let line = record.position().map_or(line, csv::Position::line);
        builder.line = line;
        if line <= mapping.head_line {
            continue;
        }
        if record.len() != mapping.heads.len() {
            builder.bad(BadKind::BadRow);
            continue;
        }
        builder.message(b"row");
        read_row(&record, mapping, &columns, &mut builder);
    }
    if mapping.time.as_ref().is_some_and(|time| time.lacks_zone()) {
        builder.notices.push(LogNotice::NoZone);
    }
    Ok(builder.finish(lines.saturating_sub(1)))
}

fn read_row(
    record: &csv::ByteRecord,
    mapping: &Mapping,
    columns: &[mapping::Resolved],
    builder: &mut Builder,
) {
    if let Some(time) = &mapping.time {
        match time.read(record) {
            Some((base, time_s)) => builder.set_time(base, time_s),
            None => {
                builder.bad(BadKind::BadTime);
                return;
            }
        }
    } else {
        builder.set_time(TimeBase::Lines, builder.line as f64);
    }
    for column in columns {
        let Some(cell) = record.get(column.index).map(<[u8]>::trim_ascii) else { continue };
        if cell.is_empty() {
            continue;
        }
        match guess::number(cell, mapping.decimal_comma) {
            Some(number) => {
                let si = column.sign * column.unit.to_si(number);
                builder.push(column.measured, Source::Column(column.index as u16), si);
            }
            // A dash or a word for "nothing" is no fault.
            None if guess::is_blank(cell) => {}
            None => builder.bad(BadKind::BadField),
        }
    }
}
