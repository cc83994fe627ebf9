//! The joined samples of a trial as a table. Not for: the table's place on a disk.

use std::fmt::Write as _;

use wakewright_logs::Measured;
use wakewright_logs::trial::TrialReading;
use wakewright_units::{UnitSystem, unit_for};

use crate::logs::time_text;

/// The joined samples as CSV: time, then one column for each quantity with its unit in the head;
/// empty where nothing is known. The program reads it back.
#[must_use]
pub fn samples_csv(reading: &TrialReading, units: UnitSystem) -> String {
    let mut measured: Vec<Measured> = reading
        .outings
        .iter()
        .flat_map(|outing| outing.series.iter().map(|series| series.measured))
        .collect();
    measured.sort_unstable();
    measured.dedup();
    let mut out = "time".to_owned();
    for quantity in &measured {
        let unit = unit_for(quantity.quantity(), units).symbol();
        let _ = write!(out, ",{} ({unit})", quantity.word().replace('-', " "));
    }
    out.push('\n');
    for outing in &reading.outings {
        let columns: Vec<Option<&[f64]>> =
            measured.iter().map(|m| outing.of(*m).map(|series| series.values.as_slice())).collect();
        for step in 0..outing.steps {
            out += &time_text(outing.time_base, outing.time_s(step));
            for (column, quantity) in columns.iter().zip(&measured) {
                out.push(',');
                if let Some(value) = column.map(|values| values[step]).filter(|value| value.is_finite()) {
                    let _ = write!(out, "{}", rounded(unit_for(quantity.quantity(), units).from_si(value)));
                }
            }
            out.push('\n');
        }
    }
    out
}

/// Nine significant digits: a position to a hand's breadth, and more than any other sensor gives.
fn rounded(value: f64) -> f64 {
    if value == 0.0 {
        return 0.0;
    }
    let scale = 10.0_f64.powi(8 - value.abs().log10().floor() as i32);
    (value * scale).round() / scale
}
