//! Rows of several sources in one table, told apart by a column that names them: `battery`, `id`, `boat`. Those of
//! batteries are laid side by side; of others one source is taken, and asked about.
//! Not for: what the columns mean (`meaning`).

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::mapping::TimeMapping;
use super::meaning::meaning_of;
use super::numbers::number_in;
use super::propose::{Doubt, DoubtKind, Sheet};
use super::words::words;
use crate::checks::median;
use crate::measured::Measured as M;

/// How the rows of a table are told apart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Parted {
    /// The column that names the source, from 0.
    pub column: usize,
    /// Columns in the file; behind them stand those that are laid side by side.
    pub width: usize,
    /// Names of the sources.
    pub values: Vec<String>,
    /// Columns that each source has of its own; for each source one of each stands behind the file's.
    pub own: Vec<usize>,
    /// Only rows of this source are read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub only: Option<String>,
}

/// Sources in one table; more are no parts of one boat.
const MOST_SOURCES: usize = 8;
/// Middles that differ by less say the same.
const ALIKE: f64 = 0.03;

/// Words of a name that says which of several.
const NAMING: [&str; 30] = [
    "battery", "batterie", "batt", "bank", "pack", "bms", "id", "device", "unit", "source", "src", "sensor",
    "node", "instance", "vessel", "boat", "boot", "ship", "mmsi", "name", "module", "channel", "address",
    "addr", "topic", "motor", "engine", "side", "track", "target",
];

/// True for a name that says which of several.
pub(super) fn names_source(head: &str) -> bool {
    words(head).iter().any(|word| NAMING.contains(&word.as_str()))
}

impl Parted {
    /// A row with the cells of its source in their places; false where another source is read, or none is known.
    pub(super) fn lay(&self, record: &mut csv::ByteRecord) -> bool {
        let name = record.get(self.column).map(<[u8]>::trim_ascii).unwrap_or_default();
        if let Some(only) = &self.only {
            return name == only.as_bytes();
        }
        let Some(place) = self.values.iter().position(|value| value.as_bytes() == name) else { return false };
        let mut laid = csv::ByteRecord::with_capacity(
            record.as_slice().len(),
            self.width + self.values.len() * self.own.len(),
        );
        for column in 0..self.width {
            let cell = record.get(column).unwrap_or_default();
            laid.push_field(if self.own.contains(&column) { b"" } else { cell });
        }
        for value in 0..self.values.len() {
            for column in &self.own {
                laid.push_field(if value == place { record.get(*column).unwrap_or_default() } else { b"" });
            }
        }
        *record = laid;
        true
    }
}

/// The column that tells the rows apart, if there is one; the sheet is laid out by it.
pub(super) fn part(sheet: &mut Sheet, time: Option<&TimeMapping>, doubts: &mut Vec<Doubt>) -> Option<Parted> {
    let time = time?;
    let times: Vec<Option<f64>> = sheet.rows.iter().map(|(_, cells)| time_in(time, cells)).collect();
    let column = (0..sheet.heads.len())
        .filter(|column| !time.columns.contains(column))
        .find(|column| tells_apart(sheet, *column, &times))?;
    let values = values_of(sheet, column);
    let middles = |other: usize| -> Vec<f64> {
        let of = |value: &String| {
            let rows = sheet
                .rows
                .iter()
                .filter(|(_, cells)| cells.get(column).map(|c| c.trim()) == Some(value.as_str()));
            let cells = rows.filter_map(|(_, cells)| cells.get(other));
            median(
                &cells.filter_map(|cell| Some(number_in(cell, sheet.decimal_comma)?.0)).collect::<Vec<f64>>(),
            )
        };
        values.iter().filter_map(of).collect()
    };
    let differs = |middles: &[f64]| {
        let (low, high) = middles.iter().fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(*v), h.max(*v)));
        middles.len() > 1 && high - low > ALIKE * high.abs().max(low.abs())
    };
    let (mut own, mut is_of_boats) = (Vec::new(), false);
    for other in (0..sheet.heads.len()).filter(|other| *other != column && !time.columns.contains(other)) {
        let Some(meaning) = super::names::named(sheet, other) else { continue };
        let middles = middles(other);
        let is_batterys = matches!(
            meaning.measured,
            M::Voltage | M::Current | M::Power | M::StateOfCharge | M::BatteryTemperature
        );
        if is_batterys && middles.len() > 1 {
            own.push(other);
        }
        let moves = matches!(
            meaning.measured,
            M::SpeedOverGround | M::SpeedThroughWater | M::MotorSpeed | M::ShaftSpeed
        );
        is_of_boats |= moves && differs(&middles);
    }
    if !is_of_boats && !own.iter().any(|other| differs(&middles(*other))) {
        return None;
    }
    let width = sheet.heads.len();
    if is_of_boats {
        let kind = DoubtKind::Rows(values.clone());
        doubts.push(Doubt { key: format!("rows/{}", sheet.heads[column]), column, kind });
        let only = values.first().cloned();
        sheet.rows.retain(|(_, cells)| cells.get(column).map(|cell| cell.trim()) == only.as_deref());
        return Some(Parted { column, width, values, own: Vec::new(), only });
    }
    let parted = Parted { column, width, values, own, only: None };
    let head = sheet.heads[column].clone();
    for value in &parted.values {
        let is_number = value.bytes().all(|b| b.is_ascii_digit());
        for own in &parted.own {
            let of = if is_number { format!("{head} {value}") } else { value.clone() };
            sheet.heads.push(format!("{of} {}", sheet.heads[*own]));
        }
    }
    for (_, cells) in &mut sheet.rows {
        let mut record = csv::ByteRecord::from(cells.clone());
        if parted.lay(&mut record) {
            *cells = record.iter().map(|cell| String::from_utf8_lossy(cell).into_owned()).collect();
        }
    }
    Some(parted)
}

/// The time in a row.
pub(super) fn time_in(time: &TimeMapping, cells: &[String]) -> Option<f64> {
    let cell = |column: &usize| cells.get(*column).map(String::as_str);
    let written = match (time.columns.as_slice(), &time.date_above) {
        ([clock], Some(date)) => time.format.read(Some(date), cell(clock)?),
        ([clock], None) => time.format.read(None, cell(clock)?),
        ([date, clock], _) => time.format.read(Some(cell(date)?), cell(clock)?),
        _ => None,
    };
    Some(written?.time_s)
}

fn values_of(sheet: &Sheet, column: usize) -> Vec<String> {
    let mut values: Vec<String> = Vec::new();
    for cell in sheet.column(column) {
        if !values.iter().any(|known| known == cell) && values.len() <= MOST_SOURCES {
            values.push(cell.to_owned());
        }
    }
    values
}

/// Whether a column's few words stand beside each other at the same times, as those of sources do and states do not.
fn tells_apart(sheet: &Sheet, column: usize, times: &[Option<f64>]) -> bool {
    const LONGEST: usize = 60;
    const SIDES: [&str; 20] = [
        "n", "s", "e", "w", "o", "a", "v", "true", "false", "yes", "no", "on", "off", "ok", "valid",
        "invalid", "2d", "3d", "am", "pm",
    ];
    let values = values_of(sheet, column);
    // A measured column that stands still is no name.
    let (bare, said) = super::unit_said::split_unit(&sheet.heads[column]);
    let is_measured = said != super::unit_said::UnitSaid::None
        || meaning_of(&bare).is_some_and(|meaning| meaning.measured != M::HeadingMagnetic);
    if is_measured {
        return false;
    }
    let is_few = (2..=MOST_SOURCES).contains(&values.len());
    if !is_few
        || values.iter().any(|value| {
            value.len() > LONGEST
                || value.contains(['.', ','])
                    && (number_in(value, false).is_some() || number_in(value, true).is_some())
        })
    {
        return false;
    }
    let is_named = names_source(&sheet.heads[column]);
    let is_plain = values.iter().all(|value| value.bytes().any(|b| b.is_ascii_alphabetic()))
        && !values.iter().any(|value| SIDES.contains(&value.to_lowercase().as_str()));
    if !is_named && !is_plain {
        return false;
    }
    let mut spans: BTreeMap<&str, (f64, f64, usize)> = BTreeMap::new();
    let (mut changes, mut turns_back, mut rows, mut shared) = (0, 0, 0, 0);
    let mut before: Option<(&str, f64)> = None;
    let mut at: BTreeMap<u64, &str> = BTreeMap::new();
    for ((_, cells), time) in sheet.rows.iter().zip(times) {
        let (Some(cell), Some(time)) = (cells.get(column).map(|cell| cell.trim()), *time) else { continue };
        if cell.is_empty() {
            continue;
        }
        rows += 1;
        let span = spans.entry(cell).or_insert((time, time, 0));
        *span = (span.0.min(time), span.1.max(time), span.2 + 1);
        if let Some((name, earlier)) = before
            && name != cell
        {
            changes += 1;
            turns_back += usize::from(time < earlier);
        }
        before = Some((cell, time));
        shared += usize::from(*at.entry(time.to_bits()).or_insert(cell) != cell);
    }
    let Some((from, to)) = spans.values().fold(None, |all: Option<(f64, f64)>, (a, b, _)| {
        Some(all.map_or((*a, *b), |(from, to)| (from.max(*a), to.min(*b))))
    }) else {
        return false;
    };
    let is_spread = spans.len() == values.len() && spans.values().all(|(.., count)| *count >= 2) && to > from;
    let is_at_once = 3 * changes >= rows || turns_back > 0;
    let shares_stamps = 3 * shared >= rows;
    is_spread && is_at_once && (shares_stamps || is_named)
}
