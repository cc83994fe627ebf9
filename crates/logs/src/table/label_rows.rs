//! Blocks of labels and values, as monitors of batteries write them. and what
//! their shortest labels stand for. Not for: other names (`meaning`).

use std::collections::HashMap;
use std::io::BufRead;

use super::mapping::Mapping;
use super::meaning::{Meaning, Part};
use super::numbers::number_in;
use super::propose::Sheet;
use super::rows::{Row, Rows, columns};
use super::separated::fill;
use crate::LogError;
use crate::bad::BadKind;
use crate::checks::median;
use crate::line::{Line, Lines};
use crate::measured::Measured as M;

/// Label and value of a line of a labelled block: a tab between them, or `SOC=985`, `SOC: 985`.
pub(super) fn label_line(line: &str) -> Option<(&str, &str)> {
    let (label, value) = line
        .split_once('\t')
        .or_else(|| line.split_once('='))
        .or_else(|| line.split_once(": "))
        .map(|(label, value)| (label.trim_end_matches([' ', ':']), value.trim()))?;
    let is_label = !label.is_empty() && label.len() <= 24 && !label.contains(' ');
    (is_label && !value.contains(['\t', '='])).then_some((label, value))
}

/// Blocks of labels and values; a block ends with its checksum or where its first label comes again.
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

/// Whose label it is, where blocks of several monitors stand in one file: `HQ1 V`.
fn parted_label(head: &str) -> (&str, &str) {
    head.rsplit_once(' ').unwrap_or(("", head))
}

/// What the short labels of batteries' monitors stand for: thousandths of volts and amps, and of the full charge.
/// It holds where volts are written so: whole numbers of thousands.
pub(super) struct LabelConvention {
    charge: Option<&'static str>,
}

impl LabelConvention {
    pub fn of(sheet: &Sheet) -> Option<Self> {
        let numbers = |label: &str| -> Option<Vec<f64>> {
            let of = (0..sheet.heads.len()).filter(|column| parted_label(&sheet.heads[*column]).1 == label);
            let cells: Vec<&str> = of.flat_map(|column| sheet.column(column)).collect();
            let found: Vec<f64> = cells
                .iter()
                .filter_map(|cell| number_in(cell, false).filter(|(_, rest)| rest.is_empty()).map(|(n, _)| n))
                .collect();
            (!found.is_empty() && found.len() == cells.len()).then_some(found)
        };
        let is_whole = |numbers: &[f64]| numbers.iter().all(|n| n.fract() == 0.0);
        let volts = numbers("V")?;
        if !is_whole(&volts) || median(&volts)? < 2000.0 {
            return None;
        }
        // Below a hundred the charge may be in hundredths all the same: that is asked.
        let charge = numbers("SOC").filter(|soc| {
            is_whole(soc) && soc.iter().any(|n| *n > 100.0) && soc.iter().all(|n| *n <= 1000.0)
        });
        Some(Self { charge: charge.map(|_| "‰") })
    }

    pub fn meaning_of(&self, label: &str) -> Option<Meaning> {
        let (of, label) = parted_label(label);
        let (measured, unit) = match label {
            "V" => (M::Voltage, "mV"),
            "I" => (M::Current, "mA"),
            "P" => (M::Power, "W"),
            "SOC" => (M::StateOfCharge, self.charge?),
            _ => return None,
        };
        Some(Meaning {
            measured,
            unit: measured.quantity().unit(unit),
            part: Part::Bank,
            of: of.to_owned(),
            is_drive: false,
            is_controllers: false,
            is_battery: false,
            is_total: false,
            is_out: false,
            is_mean: false,
            is_worded: true,
        })
    }
}
