//! Blocks of label, tab and value, as monitors of batteries write them. Not for: what the labels mean.

use std::collections::HashMap;
use std::io::BufRead;

use super::mapping::Mapping;
use super::rows::{Row, Rows, columns, fill};
use crate::LogError;
use crate::bad::BadKind;
use crate::line::{Line, Lines};

/// Label and value of a line of a labelled block.
pub(super) fn label_line(line: &str) -> Option<(&str, &str)> {
    let (label, value) = line.split_once('\t')?;
    let is_label = !label.is_empty() && label.len() <= 24 && !label.contains(' ');
    (is_label && !value.contains('\t')).then(|| (label, value.trim()))
}

/// Blocks of label, tab and value; a block ends with its checksum or where its first label comes again.
pub(super) struct LabelRows<R> {
    lines: Lines<R>,
    cells: Vec<String>,
    columns: HashMap<String, usize>,
    first: Option<String>,
    /// A block is begun.
    is_open: bool,
    held: Option<(String, String)>,
    is_done: bool,
}

impl<R: BufRead> LabelRows<R> {
    pub fn new(reader: R, mapping: &Mapping) -> Self {
        Self {
            lines: Lines::new(reader),
            cells: vec![String::new(); mapping.heads.len()],
            columns: columns(mapping),
            first: None,
            is_open: false,
            held: None,
            is_done: false,
        }
    }

    fn put(&mut self, label: &str, value: &str) {
        if let Some(index) = self.columns.get(label) {
            self.cells[*index].clear();
            self.cells[*index].push_str(value);
        }
        self.is_open = true;
    }
}

impl<R: BufRead> Rows for LabelRows<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        if self.is_done {
            return Ok(None);
        }
        if let Some((label, value)) = self.held.take() {
            self.put(&label, &value);
        }
        loop {
            let number = self.lines.number + 1;
            let Some(line) = self.lines.next()? else {
                self.is_done = true;
                if !self.is_open {
                    return Ok(None);
                }
                self.is_open = false;
                fill(record, &mut self.cells);
                return Ok(Some(Row::Cells { line: number - 1 }));
            };
            let Line::Whole(bytes) = line else {
                return Ok(Some(Row::Bad { line: number, kind: BadKind::TooLong }));
            };
            let text = String::from_utf8_lossy(bytes).into_owned();
            if text.trim().is_empty() {
                continue;
            }
            // The checksum is a byte of any value: what is left of its line says nothing.
            if text.starts_with("Checksum\t") {
                if !self.is_open {
                    continue;
                }
                self.is_open = false;
                fill(record, &mut self.cells);
                return Ok(Some(Row::Cells { line: number }));
            }
            let Some((label, value)) = label_line(&text) else {
                return Ok(Some(Row::Bad { line: number, kind: BadKind::NotUnderstood }));
            };
            let is_first = self.first.get_or_insert_with(|| label.to_owned()) == label;
            if is_first && self.is_open {
                self.held = Some((label.to_owned(), value.to_owned()));
                self.is_open = false;
                fill(record, &mut self.cells);
                return Ok(Some(Row::Cells { line: number - 1 }));
            }
            self.put(label, value);
        }
    }

    fn lines(&self) -> u64 {
        self.lines.number
    }
}
