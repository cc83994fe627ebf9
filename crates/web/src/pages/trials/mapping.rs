//! What the columns of a table mean, shown with its first rows and changed. Not for: guessing it.

use maud::{Markup, html};
use wakewright_logs::Measured;
use wakewright_logs::table::{Mapping, TimeFormat};
use wakewright_rooms::trial::TableFacts;

use super::act::Act;
use crate::sent::DO;

/// Start of the names of the form's fields; number of the log and field follow.
pub const MAPPING: &str = "map.";
/// Rows that are shown of each column.
const ROWS_SHOWN: usize = 3;
/// Seconds of an hour.
pub(super) const HOUR_S: f64 = 3600.0;

/// The form for log `number`.
#[must_use]
pub fn form(number: usize, mapping: &Mapping, table: Option<&TableFacts>) -> Markup {
    let name = |field: &str| format!("{MAPPING}{number}.{field}");
    let id = |field: &str| format!("map-{number}-{}", field.replace('.', "-"));
    let time = mapping.time.as_ref();
    let time_columns = time.map_or_else(String::new, |time| columns_text(&time.columns));
    let ahead =
        time.and_then(|time| time.ahead_of_utc_s).map_or_else(String::new, |s| format!("{} h", s / HOUR_S));
    let is_given = table.is_some_and(|table| table.is_confirmed);
    html! {
        div.mapping id={ "map-" (number) } {
            h4 { @if is_given { "Columns, as they were given" } @else { "Columns, as they are taken until said otherwise" } }
            div.note id={ "map-" (number) "-note" } {}
            div.scroll role="region" aria-label="Columns" tabindex="0" {
                table {
                    thead { tr { th scope="col" { "column" } th scope="col" { "first rows" } th scope="col" { "measures" }
                        th scope="col" { "in" } th scope="col" { "sign turned" } } }
                    tbody { @for (index, head) in mapping.heads.iter().enumerate() {
                        @let column = mapping.columns.iter().find(|column| column.column == index);
                        @let is_time = time.is_some_and(|time| time.columns.contains(&index));
                        @let called = if head.trim().is_empty() { format!("column {}", index + 1) } else { head.clone() };
                        tr {
                            th scope="row" { (called) }
                            td.rows { (rows_of(table, index)) }
                            td { @if is_time { "time" } @else {
                                select id=(id(&format!("{index}.measured"))) name=(name(&format!("{index}.measured"))) aria-label={ (called) " measures" } {
                                    option value="" selected[column.is_none()] { "not used" }
                                    @for measured in Measured::ALL {
                                        option value=(measured.word()) selected[column.is_some_and(|c| c.measured == *measured)] { (measured.label()) }
                                    }
                                }
                            } }
                            td { @if !is_time {
                                input.unit id=(id(&format!("{index}.unit"))) name=(name(&format!("{index}.unit"))) aria-label={ (called) ", unit" }
                                    value=(column.map_or("", |c| c.unit.as_str())) autocomplete="off" spellcheck="false";
                            } }
                            td { @if !is_time {
                                input type="checkbox" name=(name(&format!("{index}.negated"))) value="yes" aria-label={ (called) ", sign turned" }
                                    checked[column.is_some_and(|c| c.is_negated)];
                            } }
                        }
                    } }
                }
            }
            div.named {
                div.one { label for=(id("time")) { "Time stands in" }
                    select id=(id("time")) name=(name("time")) {
                        option value="" selected[time_columns.is_empty()] { "no column" }
                        @if time_columns.contains(',') { option value=(time_columns) selected { "date and time of day, as proposed" } }
                        @for (index, head) in mapping.heads.iter().enumerate() {
                            option value=(index) selected[time_columns == index.to_string()] { @if head.trim().is_empty() { "column " (index + 1) } @else { (head) } }
                        }
                    } }
                div.one { label for=(id("format")) { "Written as" }
                    select id=(id("format")) name=(name("format")) {
                        @for format in TimeFormat::ALL { option value=(format.label()) selected[time.is_some_and(|t| t.format == format)] { (format.label()) } }
                    } }
                @if !time.is_some_and(|time| time.has_zone) {
                    div.one { label for=(id("ahead")) { "Its clock is ahead of UTC by" }
                        input id=(id("ahead")) name=(name("ahead")) value=(ahead) placeholder="2 h in summer time" autocomplete="off"; }
                }
            }
            div.buttons { button name=(DO) value=(Act::Map(number).value()) { @if is_given { "Take them so" } @else { "Yes, take them so" } } }
        }
    }
}

fn columns_text(columns: &[usize]) -> String {
    columns.iter().map(usize::to_string).collect::<Vec<_>>().join(",")
}

fn rows_of(table: Option<&TableFacts>, column: usize) -> String {
    let rows = table.map(|table| table.preview.as_slice()).unwrap_or_default();
    let cells: Vec<&str> =
        rows.iter().take(ROWS_SHOWN).filter_map(|row| row.get(column)).map(String::as_str).collect();
    cells.join(" · ")
}
