//! Rows of a table, whatever shape they have in the file; here those of separated cells and of objects.
//! Not for: what the cells mean.

use std::collections::HashMap;
use std::io::{self, BufRead};

use super::label_rows::LabelRows;
use super::line_protocol::ProtocolRows;
use super::long_rows::LongRows;
use super::mapping::{Mapping, Shape};
use super::separated::{Separated, fill};
use crate::LogError;
use crate::bad::BadKind;
use crate::json::Objects;

/// A row that was come to; its cells stand in the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Row {
    Cells { line: u64 },
    Bad { line: u64, kind: BadKind },
}

impl Row {
    pub fn line(self) -> u64 {
        let (Self::Cells { line } | Self::Bad { line, .. }) = self;
        line
    }
}

/// Rows, one after the other.
pub(crate) trait Rows {
    /// The next row; `None` at the end.
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError>;

    /// Lines that were read so far.
    fn lines(&self) -> u64;
}

/// The rows of a file whose shape and columns are known.
pub(crate) fn of<'a>(reader: impl BufRead + 'a, mapping: &Mapping) -> Box<dyn Rows + 'a> {
    match mapping.shape {
        Shape::Separated | Shape::Given => Box::new(Separated::new(reader, mapping.separator)),
        Shape::Objects => Box::new(ObjectRows {
            objects: Objects::of_rows(reader),
            columns: columns(mapping),
            cells: vec![String::new(); mapping.heads.len()],
        }),
        Shape::Long => Box::new(LongRows::new(reader, mapping)),
        Shape::LineProtocol => Box::new(ProtocolRows::new(reader, mapping)),
        Shape::Labels => Box::new(LabelRows::new(reader, mapping)),
    }
}

pub(super) fn columns(mapping: &Mapping) -> HashMap<String, usize> {
    mapping.heads.iter().enumerate().map(|(index, head)| (head.clone(), index)).collect()
}

/// Objects whose names are the columns.
struct ObjectRows<R> {
    objects: Objects<R>,
    columns: HashMap<String, usize>,
    cells: Vec<String>,
}

impl<R: BufRead> Rows for ObjectRows<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        let Some(object) = self.objects.next()? else {
            let line = self.objects.number;
            let is_broken_off = std::mem::take(&mut self.objects.is_broken_off);
            return Ok(is_broken_off.then_some(Row::Bad { line, kind: BadKind::BrokenOff }));
        };
        let line = object.line;
        let Ok(bytes) = object.bytes else {
            return Ok(Some(Row::Bad { line, kind: BadKind::TooLong }));
        };
        let (columns, cells) = (&self.columns, &mut self.cells);
        let read = crate::json_flat::flatten(bytes, &mut |name, value| {
            if let Some(index) = columns.get(name) {
                cells[*index].push_str(value);
            }
        });
        fill(record, &mut self.cells);
        Ok(Some(if read { Row::Cells { line } } else { Row::Bad { line, kind: BadKind::NotUnderstood } }))
    }

    fn lines(&self) -> u64 {
        self.objects.number
    }
}

/// Rows that are at hand, or come from a source that gives them one by one.
pub(crate) struct Given<I> {
    rows: I,
    line: u64,
}

impl<I: Iterator<Item = io::Result<Vec<String>>>> Given<I> {
    pub fn new(rows: I) -> Self {
        Self { rows, line: 0 }
    }
}

impl<I: Iterator<Item = io::Result<Vec<String>>>> Rows for Given<I> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        let Some(cells) = self.rows.next() else { return Ok(None) };
        self.line += 1;
        record.clear();
        for cell in cells? {
            record.push_field(cell.as_bytes());
        }
        Ok(Some(Row::Cells { line: self.line }))
    }

    fn lines(&self) -> u64 {
        self.line
    }
}
