//! What the columns of a table mean, as it is confirmed once and remembered. Not for: guessing it.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};
use wakewright_units::Unit;

use super::TableError;
use super::letter::LetterO;
use super::parted::Parted;
use super::position::PositionOrder;
use super::times::{TimeFormat, Written};
use crate::measured::Measured;

/// How the rows of a table stand in its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// A line for a row, cells between separators.
    #[default]
    Separated,
    /// Objects of names and values, one after the other or in a list.
    Objects,
    /// A line for each value: its time, its name, the value.
    Long,
    /// Lines of a measurement with tags, fields and a time in nanoseconds.
    LineProtocol,
    /// Blocks of lines with a label, a tab and a value.
    Labels,
    /// Rows that a program gives: a sheet, a database.
    Given,
}

/// What one column measures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ColumnMapping {
    /// Which, from 0.
    pub column: usize,
    /// What it measures.
    pub measured: Measured,
    /// Its unit, as `wakewright-units` spells it.
    pub unit: String,
    /// True when the sign is to be turned (amps into the bank as positive, say).
    #[serde(default)]
    pub is_negated: bool,
    /// Its decimals are written with a comma (or not), where that differs from the table.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decimal_comma: Option<bool>,
    /// Column of the letter N, S, E or W that belongs to it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hemisphere: Option<usize>,
    /// Which battery or machine of several, as its name says; empty for the only one.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub of: String,
    /// Degrees and minutes in one number: 5423.5 is 54°23.5'.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_degrees_minutes: bool,
    /// Latitude and longitude stand in one cell, in this order where no letters tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub position: Option<PositionOrder>,
    /// What the letter O stands for.
    #[serde(default, skip_serializing_if = "LetterO::is_east")]
    pub letter_o: LetterO,
    /// What a step of its numbers is in its unit: hundredths of an amp are 0.01.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub scale: f64,
    /// Column that says in words whether the bank is charged or drawn from, where the amps carry no sign.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub direction: Option<usize>,
    /// Further columns that are added to it: cells in a row.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub plus: Vec<usize>,
    /// Those columns are taken off it instead.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_less: bool,
    /// It counts only where no battery's amps move with her speed and its own do.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_spare: bool,
}

fn one() -> f64 {
    1.0
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
fn is_one(scale: &f64) -> bool {
    *scale == 1.0
}

impl ColumnMapping {
    /// A column with nothing special about it.
    #[must_use]
    pub fn new(column: usize, measured: Measured, unit: &str) -> Self {
        Self {
            column,
            measured,
            unit: unit.to_owned(),
            is_negated: false,
            decimal_comma: None,
            hemisphere: None,
            of: String::new(),
            is_degrees_minutes: false,
            position: None,
            letter_o: LetterO::East,
            scale: 1.0,
            direction: None,
            plus: Vec::new(),
            is_less: false,
            is_spare: false,
        }
    }
}

/// Where the time stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TimeMapping {
    /// One column, or a date and a time column, from 0.
    pub columns: Vec<usize>,
    /// How it is written.
    pub format: TimeFormat,
    /// Seconds that the written clock is ahead of UTC; `None` while nobody has said.
    pub ahead_of_utc_s: Option<f64>,
    /// True when every time that was seen carries its zone.
    #[serde(default)]
    pub has_zone: bool,
    /// The date, where it stands once above the table.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date_above: Option<String>,
}

impl TimeMapping {
    /// Columns whose times are written in this way; no zone is told.
    #[must_use]
    pub fn new(columns: Vec<usize>, format: TimeFormat, has_zone: bool) -> Self {
        Self { columns, format, ahead_of_utc_s: None, has_zone, date_above: None }
    }

    /// True when the zone is neither written nor told.
    #[must_use]
    pub fn lacks_zone(&self) -> bool {
        !self.has_zone && self.ahead_of_utc_s.is_none() && self.format.needs_zone()
    }

    /// The time of a row; a date that stands once holds for the rows below it too.
    pub(super) fn read(&self, record: &csv::ByteRecord, above: &mut String) -> Option<Written> {
        let cell = |index: &usize| record.get(*index).and_then(|cell| std::str::from_utf8(cell).ok());
        let written = match self.columns.as_slice() {
            [time] => match &self.date_above {
                Some(date) => Written { is_carried: true, ..self.format.read(Some(date), cell(time)?)? },
                None => self.format.read(None, cell(time)?)?,
            },
            [date, time] => {
                let written = cell(date)?.trim();
                let (is_carried, is_repeated) = (written.is_empty(), written == above);
                if !is_carried && !is_repeated {
                    written.clone_into(above);
                }
                Written { is_carried, is_repeated, ..self.format.read(Some(above), cell(time)?)? }
            }
            _ => return None,
        };
        // A column that says UTC, like a time with its zone, is put on by nobody.
        Some(Written { has_zone: written.has_zone || self.has_zone, ..written })
    }
}

/// A time that belongs to some of a table's columns, where each instrument wrote its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OwnClock {
    /// Where it stands.
    pub time: TimeMapping,
    /// The columns that it holds for.
    pub columns: Vec<usize>,
}

/// Which of several tables or sheets of a file a mapping is of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FilePart {
    /// Its name.
    pub name: String,
    /// Names of all, by which a file of the same source is known.
    pub among: Vec<String>,
}

/// What a table's columns mean; of a log of another kind what was told about its sources.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Mapping {
    /// Between columns.
    pub separator: char,
    /// Decimals are written with a comma.
    pub decimal_comma: bool,
    /// Line of the column names (and of their units below it), from 1; 0 when there are none.
    pub head_line: u64,
    /// Column names: what a table from the same source is known by.
    pub heads: Vec<String>,
    /// Where the time stands; `None` when there is none.
    pub time: Option<TimeMapping>,
    /// Columns that are used.
    pub columns: Vec<ColumnMapping>,
    /// Columns that have a time of their own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub clocks: Vec<OwnClock>,
    /// Rows of several sources, told apart by a column.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parted: Option<Parted>,
    /// How rows stand in the file.
    #[serde(default)]
    pub shape: Shape,
    /// The battery whose volts and amps are the drive's, of several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub battery: Option<String>,
    /// Questions that were answered, by their key.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub answered: BTreeSet<String>,
    /// Which table or sheet of a file of several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<FilePart>,
}

impl Default for Mapping {
    fn default() -> Self {
        Self {
            separator: ',',
            decimal_comma: false,
            head_line: 0,
            heads: Vec::new(),
            time: None,
            columns: Vec::new(),
            clocks: Vec::new(),
            parted: None,
            shape: Shape::Separated,
            battery: None,
            answered: BTreeSet::new(),
            part: None,
        }
    }
}

/// A column ready for reading.
pub(super) struct Resolved {
    /// Where its cell stands.
    pub index: usize,
    /// Where it stood under the first heading: what its channel is called by.
    pub column: usize,
    pub scale: f64,
    pub direction: Option<usize>,
    pub plus: Vec<usize>,
    pub is_less: bool,
    pub measured: Measured,
    pub unit: &'static Unit,
    pub sign: f64,
    pub decimal_comma: bool,
    pub hemisphere: Option<usize>,
    pub is_degrees_minutes: bool,
    pub position: Option<PositionOrder>,
    pub letter_o: LetterO,
}

impl Mapping {
    /// Text under which the mapping is remembered: tables with the same columns, and files of the same tables or sheets,
    /// come from the same source.
    #[must_use]
    pub fn source_key(&self) -> String {
        if let Some(part) = &self.part {
            return format!("parts\u{1f}{}", part.among.join("\u{1f}"));
        }
        let heads: Vec<String> = self.heads.iter().map(|head| head.trim().to_lowercase()).collect();
        heads.join("\u{1f}")
    }

    /// As JSON, to be kept.
    #[must_use]
    pub fn to_json(&self) -> String {
        serde_json::to_string_pretty(self).unwrap_or_default()
    }

    /// From JSON that was kept.
    /// # Errors
    /// [`TableError::Mapping`], [`TableError::Unit`].
    pub fn from_json(text: &str) -> Result<Self, TableError> {
        let mapping: Self =
            serde_json::from_str(text).map_err(|error| TableError::Mapping(error.to_string()))?;
        if !mapping.separator.is_ascii() {
            return Err(TableError::Mapping(format!("{:?} cannot stand between columns", mapping.separator)));
        }
        mapping.resolved()?;
        Ok(mapping)
    }

    pub(super) fn resolved(&self) -> Result<Vec<Resolved>, TableError> {
        self.columns
            .iter()
            .map(|column| {
                let unit = column.measured.quantity().unit(&column.unit).ok_or_else(|| TableError::Unit {
                    column: column.column + 1,
                    unit: column.unit.clone(),
                    measured: column.measured.label(),
                })?;
                let sign = if column.is_negated { -1.0 } else { 1.0 };
                Ok(Resolved {
                    index: column.column,
                    column: column.column,
                    scale: column.scale,
                    direction: column.direction,
                    plus: column.plus.clone(),
                    is_less: column.is_less,
                    measured: column.measured,
                    unit,
                    sign,
                    decimal_comma: column.decimal_comma.unwrap_or(self.decimal_comma),
                    hemisphere: column.hemisphere,
                    is_degrees_minutes: column.is_degrees_minutes,
                    position: column.position,
                    letter_o: column.letter_o,
                })
            })
            .collect()
    }

    /// The column of this place, to be changed.
    pub(crate) fn column_mut(&mut self, column: usize) -> Option<&mut ColumnMapping> {
        self.columns.iter_mut().find(|c| c.column == column)
    }
}
