//! Volts of single cells, one column each. Not for: volts of a bank.

use super::mapping::ColumnMapping;
use super::numbers::number_in;
use super::propose::{Sheet, unit_said};
use super::unit_said::UnitSaid;
use super::words::{Idea, ideas, words};
use crate::checks::median;
use crate::measured::Measured as M;

/// Volts of single cells, all together, where no column has the bank's.
pub(super) fn cells_in_a_row(sheet: &Sheet, times: &[usize]) -> Option<ColumnMapping> {
    const LEAST: usize = 3;
    /// A cell in use, from a flat one of any kind to a full one \[V\]; common practice, no source.
    const VOLTS: std::ops::Range<f64> = 1.0..5.0;
    let unit_of = |column: usize| {
        let head = &sheet.heads[column];
        let has = |idea: Idea| words(head).iter().flat_map(|word| ideas(word)).any(|i| i == idea);
        let said = match unit_said(head) {
            UnitSaid::Known(unit) => Some(M::Voltage.quantity().unit(unit.symbol())?.symbol()),
            _ => None,
        };
        let aside = [Idea::Extreme, Idea::Temperature, Idea::Amp, Idea::Charge, Idea::Status, Idea::Limit];
        if !has(Idea::Cell) || aside.into_iter().any(has) || !head.bytes().any(|b| b.is_ascii_digit()) {
            return None;
        }
        let cells = sheet.column(column);
        let comma = sheet.decimal_comma_of(column);
        let numbers: Vec<f64> = cells.iter().filter_map(|cell| Some(number_in(cell, comma)?.0)).collect();
        let middle = median(&numbers)?;
        let fits = |unit: &'static str| {
            let volts = M::Voltage.quantity().unit(unit)?.to_si(middle);
            VOLTS.contains(&volts).then_some((unit, comma))
        };
        said.map_or_else(|| fits("V").or_else(|| fits("mV")), fits)
    };
    let found: Vec<(usize, (&str, bool))> = (0..sheet.heads.len())
        .filter(|column| !times.contains(column))
        .filter_map(|column| Some((column, unit_of(column)?)))
        .collect();
    let ((first, (unit, comma)), others) = found.split_first()?;
    if others.len() + 1 < LEAST || others.iter().any(|(_, other)| other != &(*unit, *comma)) {
        return None;
    }
    let mut mapped = ColumnMapping::new(*first, M::Voltage, unit);
    mapped.plus = others.iter().map(|(column, _)| *column).collect();
    mapped.decimal_comma = (*comma != sheet.decimal_comma).then_some(*comma);
    Some(mapped)
}
