//! Tables with a line for each value: time, name and value, made into a row for each time.
//! Not for: what the names mean.

use std::collections::HashMap;
use std::io::BufRead;

use super::long_places::{LongPlaces, long_places};
use super::mapping::Mapping;
use super::rows::{Row, Rows, columns};
use super::separated::Separated;
use crate::LogError;
use crate::bad::BadKind;

/// A line for each value: those of one time make one row.
pub(super) struct LongRows<R: BufRead> {
    rows: Separated<R>,
    one: csv::ByteRecord,
    columns: HashMap<String, usize>,
    width: usize,
    places: Option<LongPlaces>,
    line: u64,
}

impl<R: BufRead> LongRows<R> {
    pub fn new(reader: R, mapping: &Mapping) -> Self {
        Self {
            rows: Separated::new(reader, mapping.separator),
            one: csv::ByteRecord::new(),
            columns: columns(mapping),
            width: mapping.heads.len(),
            places: None,
            line: 0,
        }
    }
}

impl<R: BufRead> Rows for LongRows<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        loop {
            let Some(row) = self.rows.next(&mut self.one)? else { return Ok(None) };
            self.line = row.line();
            let text = |at: usize| self.one.get(at).map(<[u8]>::trim_ascii).unwrap_or_default();
            let Some(places) = self.places else {
                let heads: Vec<String> = self
                    .one
                    .iter()
                    .map(|cell| String::from_utf8_lossy(cell).trim_start_matches('\u{feff}').to_owned())
                    .collect();
                self.places = long_places(&heads);
                continue;
            };
            let Some(name) = places.name_of(|at| String::from_utf8_lossy(text(at))) else { continue };
            record.clear();
            let plain = || LongPlaces { tag: None, ..places }.name_of(|at| String::from_utf8_lossy(text(at)));
            let column = self.columns.get(&name).copied().or_else(|| self.columns.get(&plain()?).copied());
            // A name that did not stand in the first part of the file: counted, not passed over.
            if column.is_none() {
                return Ok(Some(Row::Bad { line: self.line, kind: BadKind::NotUnderstood }));
            }
            for index in 0..self.width {
                record.push_field(match index {
                    0 => text(places.time),
                    index if Some(index) == column => text(places.value),
                    _ => b"",
                });
            }
            return Ok(Some(Row::Cells { line: self.line }));
        }
    }

    fn lines(&self) -> u64 {
        self.rows.lines()
    }
}
