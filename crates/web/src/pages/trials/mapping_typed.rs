//! What a form says of the columns of a table. Not for: showing it.

use super::field::sentence;
use super::mapping::{HOUR_S, MAPPING};
use crate::query::Query;
use wakewright_logs::Measured;
use wakewright_logs::table::{ColumnMapping, Mapping, TimeFormat, TimeMapping};
use wakewright_units::{Quantity, UnitSystem, accepted_units, parse_typed, unit_for};

/// The mapping of log `number` as a form has it, on the ground of `base`; `None` where the form has
/// nothing of it.
///
/// # Errors
/// In words, what does not fit.
pub fn from_form(number: usize, base: &Mapping, form: &Query) -> Option<Result<Mapping, String>> {
    let start = format!("{MAPPING}{number}.");
    form.pairs().any(|(name, _)| name.starts_with(&start)).then(|| read(&start, base, form))
}

fn read(start: &str, base: &Mapping, form: &Query) -> Result<Mapping, String> {
    let get = |field: &str| form.get(&format!("{start}{field}")).map(str::trim);
    let mut columns = Vec::new();
    for (index, head) in base.heads.iter().enumerate() {
        let Some(word) = get(&format!("{index}.measured")).filter(|word| !word.is_empty()) else { continue };
        let measured = Measured::ALL.iter().copied().find(|measured| measured.word() == word);
        let measured = measured.ok_or_else(|| format!("{head}: nothing called {word} is measured"))?;
        let typed = get(&format!("{index}.unit")).unwrap_or_default();
        let usual = unit_for(measured.quantity(), UnitSystem::Trade).symbol();
        let unit = if typed.is_empty() { usual } else { typed };
        if measured.quantity().unit(unit).is_none() {
            let units = accepted_units(measured.quantity().dimension());
            return Err(sentence(&format!(
                "{head}: {unit} is no unit of {}; one of {units}",
                measured.label()
            )));
        }
        let is_negated = get(&format!("{index}.negated")) == Some("yes");
        // What a form does not ask stays as it was proposed.
        let known = base.columns.iter().find(|column| column.column == index && column.measured == measured);
        let known = known.cloned().unwrap_or_else(|| ColumnMapping::new(index, measured, unit));
        columns.push(ColumnMapping { unit: unit.to_owned(), is_negated, ..known });
    }
    let time = time(&get, base)?;
    let taken = time.as_ref().map(|time| time.columns.clone()).unwrap_or_default();
    columns.retain(|column| !taken.contains(&column.column));
    Ok(Mapping { columns, time, ..base.clone() })
}

pub(super) fn time<'f>(
    get: &impl Fn(&str) -> Option<&'f str>,
    base: &Mapping,
) -> Result<Option<TimeMapping>, String> {
    let Some(text) = get("time").filter(|text| !text.is_empty()) else { return Ok(None) };
    let columns: Vec<usize> = text.split(',').filter_map(|column| column.parse().ok()).collect();
    if columns.is_empty() || columns.len() > 2 || columns.iter().any(|column| *column >= base.heads.len()) {
        return Err("Time: there is no such column.".to_owned());
    }
    let label = get("format").unwrap_or_default();
    let format = TimeFormat::ALL.into_iter().find(|format| format.label() == label);
    let format = format.ok_or_else(|| format!("Time: it is not known how {label:?} is written."))?;
    let same = base.time.as_ref().filter(|time| time.columns == columns && time.format == format);
    let ahead_of_utc_s = match get("ahead").filter(|text| !text.is_empty()) {
        None => None,
        Some(text) => Some(hours(text)?),
    };
    let same = same.cloned().unwrap_or_else(|| TimeMapping::new(columns, format, false));
    Ok(Some(TimeMapping { ahead_of_utc_s, ..same }))
}

fn hours(text: &str) -> Result<f64, String> {
    let bare = text.trim_start_matches('+').replace(',', ".");
    let written = if bare.parse::<f64>().is_ok() {
        format!("{bare} h")
    } else {
        text.trim_start_matches('+').to_owned()
    };
    parse_typed(&written, Quantity::Duration)
        .ok()
        .filter(|seconds| seconds.abs() <= 15.0 * HOUR_S)
        .ok_or_else(|| format!("{text:?} is no difference of clocks; write 2 h, or -5 h."))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn base() -> Mapping {
        Mapping {
            separator: ',',
            decimal_comma: false,
            head_line: 1,
            heads: ["time", "speed", "U"].map(str::to_owned).to_vec(),
            time: Some(TimeMapping::new(vec![0], TimeFormat::Iso, false)),
            columns: Vec::new(),
            ..Mapping::default()
        }
    }

    #[test]
    fn columns_units_signs_and_clock_come_from_the_form() {
        let form = Query::parse(
            b"map.0.1.measured=speed-over-ground&map.0.1.unit=km/h&map.0.2.measured=voltage&map.0.2.unit=&map.0.2.negated=yes\
              &map.0.time=0&map.0.format=year-month-day&map.0.ahead=%2B2",
        );
        let mapping = from_form(0, &base(), &form).unwrap().unwrap();
        assert_eq!(mapping.columns.len(), 2);
        assert_eq!((mapping.columns[0].unit.as_str(), mapping.columns[1].unit.as_str()), ("km/h", "V"));
        assert!(mapping.columns[1].is_negated);
        assert_eq!(mapping.time.unwrap().ahead_of_utc_s, Some(7200.0));
        assert!(from_form(1, &base(), &form).is_none());
    }

    #[test]
    fn a_unit_that_does_not_fit_says_which_do() {
        let form = Query::parse(b"map.0.2.measured=voltage&map.0.2.unit=kn");
        let why = from_form(0, &base(), &form).unwrap().unwrap_err();
        assert!(why.contains("kn is no unit of voltage of the bank; one of") && why.contains('V'), "{why}");
        let form = Query::parse(b"map.0.time=0&map.0.format=year-month-day&map.0.ahead=soon");
        assert!(from_form(0, &base(), &form).unwrap().is_err());
    }
}
