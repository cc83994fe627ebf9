//! An answer as comma-separated values: the sheet that is asked for, its figures in the units of all files,
//! a band in three columns.

use wakewright_core::sheet::{Filled, Kind, Value};
use wakewright_units::file_unit;

use super::json::file_name;

/// A sheet, its heads in the first line.
#[must_use]
pub fn answer_csv(sheet: &Filled) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut heads = Vec::new();
    for head in &sheet.heads {
        let name = file_name(head);
        if matches!(head.kind, Kind::Band | Kind::BandOf) {
            heads.extend([name.clone(), format!("{name}_p10"), format!("{name}_p90")]);
        } else {
            heads.push(name);
        }
    }
    // Writing into memory cannot fail, and every record has the length of the first.
    let _ = writer.write_record(&heads);
    for row in &sheet.rows {
        let mut cells: Vec<String> = Vec::with_capacity(heads.len());
        for (head, value) in sheet.heads.iter().zip(&row.values) {
            let (_, unit) = file_unit(head.figure.quantity);
            let written = |value: f64| if value.is_finite() { digits(value) } else { String::new() };
            let number = |si: f64| written(unit.from_si(si));
            let number_of = |of, si| written(file_unit(of).1.from_si(si));
            match value {
                Value::Band(band) => cells.extend([band.value, band.p10, band.p90].map(number)),
                Value::BandOf(of, band) => {
                    cells.extend([band.value, band.p10, band.p90].map(|si| number_of(*of, si)));
                }
                Value::NumberOf(of, si) => cells.push(number_of(*of, *si)),
                Value::Nothing if matches!(head.kind, Kind::Band | Kind::BandOf) => {
                    cells.extend([const { String::new() }; 3]);
                }
                Value::Nothing => cells.push(String::new()),
                Value::Number(si) => cells.push(number(*si)),
                Value::Numbers(all) => {
                    let all: Vec<String> = all.iter().map(|si| si.map_or_else(String::new, number)).collect();
                    cells.push(all.join(" "));
                }
                Value::Count(count) => cells.push(count.to_string()),
                Value::Flag(flag) => cells.push(flag.to_string()),
                Value::Word(word) => cells.push(word.key.to_owned()),
                Value::Text(text) => cells.push(harmless(text)),
                Value::Counts(all) => {
                    cells.push(all.iter().map(u64::to_string).collect::<Vec<_>>().join(" "));
                }
                Value::Texts(all) => cells.push(harmless(&all.join("; "))),
            }
        }
        let _ = writer.write_record(&cells);
    }
    writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
}

/// Seven significant digits are more than any figure here deserves.
fn digits(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let decimals = (6 - value.abs().log10().floor() as i32).clamp(0, 12) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Text that a spreadsheet would take for a formula is made plain text.
fn harmless(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_owned() }
}
