//! Rows of a table whose cells are parted by a mark, tabs and aligned columns included.

use super::rows::{Row, Rows};
use crate::LogError;
use crate::bad::BadKind;
use crate::bounded::Bounded;
use std::io::{self, BufRead};

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
