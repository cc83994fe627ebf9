//! Rows of a table, whatever shape they have in the file; here those of separated cells and of objects.
//! Not for: what the cells mean.

use std::collections::HashMap;
use std::io::{self, BufRead};

use super::label_rows::LabelRows;
use super::line_protocol::ProtocolRows;
use super::long_rows::LongRows;
use super::mapping::{Mapping, Shape};
use crate::LogError;
use crate::bad::BadKind;
use crate::json::{self, Objects};
use crate::line::Bounded;

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

/// The separator of columns that are aligned with blanks.
pub(super) const ALIGNED: char = ' ';
/// Of columns of one word each, aligned or not.
pub(super) const WORDS_ALIGNED: char = '\u{b}';

/// Bytes in which so many blanks and more are one tab, and none stand before a line.
struct Tabbed<R> {
    reader: R,
    /// None where blanks are blanks.
    least: Option<usize>,
    blanks: usize,
    is_begun: bool,
    ready: std::collections::VecDeque<u8>,
}

impl<R: io::Read> io::Read for Tabbed<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let Some(least) = self.least else { return self.reader.read(into) };
        let mut piece = [0_u8; 8192];
        while self.ready.is_empty() {
            let length = self.reader.read(&mut piece)?;
            if length == 0 {
                return Ok(0);
            }
            for byte in &piece[..length] {
                match byte {
                    b' ' => self.blanks += 1,
                    b'\n' | b'\r' => {
                        (self.blanks, self.is_begun) = (0, false);
                        self.ready.push_back(*byte);
                    }
                    byte => {
                        match self.blanks {
                            0 => {}
                            _ if !self.is_begun => {}
                            few if few < least => self.ready.push_back(b' '),
                            _ => self.ready.push_back(b'\t'),
                        }
                        (self.blanks, self.is_begun) = (0, true);
                        self.ready.push_back(*byte);
                    }
                }
            }
        }
        self.ready.read(into)
    }
}

/// Cells between separators, quotes as usual, lines ending in any way.
pub(super) struct Separated<R: BufRead> {
    rows: csv::Reader<Tabbed<Bounded<R>>>,
}

impl<R: BufRead> Separated<R> {
    pub fn new(reader: R, separator: char) -> Self {
        let rows = csv::ReaderBuilder::new()
            .delimiter(match separator {
                ALIGNED | WORDS_ALIGNED => b'\t',
                separator if separator.is_ascii() => separator as u8,
                _ => b',',
            })
            .has_headers(false)
            .flexible(true)
            .from_reader(Tabbed {
                reader: Bounded::new(reader, b'\n'),
                least: match separator {
                    ALIGNED => Some(2),
                    WORDS_ALIGNED => Some(1),
                    _ => None,
                },
                blanks: 0,
                is_begun: false,
                ready: std::collections::VecDeque::new(),
            });
        Self { rows }
    }
}

impl<R: BufRead> Rows for Separated<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        let before = self.rows.position().line();
        match self.rows.read_byte_record(record) {
            Ok(false) => Ok(None),
            Ok(true) => Ok(Some(Row::Cells { line: record.position().map_or(before, csv::Position::line) })),
            Err(error) => match error.into_kind() {
                csv::ErrorKind::Io(error) => Err(error.into()),
                _ => Ok(Some(Row::Bad { line: before, kind: BadKind::NotUnderstood })),
            },
        }
    }

    fn lines(&self) -> u64 {
        self.rows.position().line().saturating_sub(1)
    }
}

pub(super) fn fill(record: &mut csv::ByteRecord, cells: &mut [String]) {
    record.clear();
    for cell in cells {
        record.push_field(cell.as_bytes());
        cell.clear();
    }
}

/// Objects whose names are the columns.
struct ObjectRows<R> {
    objects: Objects<R>,
    columns: HashMap<String, usize>,
    cells: Vec<String>,
}

impl<R: BufRead> Rows for ObjectRows<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        let Some(object) = self.objects.next()? else { return Ok(None) };
        let line = object.line;
        let Ok(bytes) = object.bytes else {
            return Ok(Some(Row::Bad { line, kind: BadKind::TooLong }));
        };
        let (columns, cells) = (&self.columns, &mut self.cells);
        let read = json::flatten(bytes, &mut |name, value| {
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
