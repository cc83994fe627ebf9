//! What the columns of a table mean, as it is confirmed once and remembered. Not for: guessing it.

use serde::{Deserialize, Serialize};
use wakewright_units::Unit;

use super::TableError;
use super::times::TimeFormat;
use crate::log::TimeBase;
use crate::measured::Measured;

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
}

impl TimeMapping {
    /// True when the zone is neither written nor told.
    #[must_use]
    pub fn lacks_zone(&self) -> bool {
        !self.has_zone && self.ahead_of_utc_s.is_none() && self.format.needs_zone()
    }

    pub(super) fn read(&self, record: &csv::ByteRecord) -> Option<(TimeBase, f64)> {
        let cell = |index: &usize| record.get(*index).and_then(|cell| std::str::from_utf8(cell).ok());
        let (base, time_s, has_zone) = match self.columns.as_slice() {
            [one] => self.format.read(cell(one)?)?,
            [date, time] => self.format.read_two(cell(date)?, cell(time)?)?,
            _ => return None,
        };
        let ahead = if has_zone { 0.0 } else { self.ahead_of_utc_s.unwrap_or(0.0) };
        Some((base, time_s - ahead))
    }
}

/// What a table's columns mean.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Mapping {
    /// Between columns.
    pub separator: char,
    /// Decimals are written with a comma.
    pub decimal_comma: bool,
    /// Line of the column names, from 1; 0 when there are none.
    pub head_line: u64,
    /// Column names: what a table from the same source is known by.
    pub heads: Vec<String>,
    /// Where the time stands; `None` when there is none.
    pub time: Option<TimeMapping>,
    /// Columns that are used.
    pub columns: Vec<ColumnMapping>,
}

/// A column ready for reading.
pub(super) struct Resolved {
    pub index: usize,
    pub measured: Measured,
    pub unit: &'static Unit,
    pub sign: f64,
}

impl Mapping {
    /// Text under which the mapping is remembered: tables with the same columns come from the same
    /// source.
    #[must_use]
    pub fn source_key(&self) -> String {
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
                Ok(Resolved { index: column.column, measured: column.measured, unit, sign })
            })
            .collect()
    }
}
