//! Sheets of figures on the page of a room: a list whose figures open, and what a sheet says most where it is folded.
//! Not for: sheets as tables (`parts`).

use maud::{Markup, html};
use wakewright_core::sheet::{Filled, Form, Shown, Value};
use wakewright_rooms::sheets::cell_text;
use wakewright_rooms::text::Titled;
use wakewright_units::Quantity;

use super::OnPage;
use crate::parts;

impl OnPage<'_> {
    /// What a sheet says most: what the room named, else its first figure, else how many rows it has.
    pub(super) fn chief(&self, sheet: &Filled, titled: &Titled) -> String {
        if !sheet.chief.is_empty() {
            return sheet.chief.clone();
        }
        let values = sheet.rows.first().map(|row| row.values.as_slice()).unwrap_or_default();
        let first = sheet.heads.iter().zip(values).find(|(_, value)| **value != Value::Nothing);
        match (sheet.form, first) {
            (Form::List, Some((head, value))) => self.said(value, head.figure.quantity),
            _ => match titled.table.rows().len() {
                1 => "one row".to_owned(),
                rows => format!("{rows} rows"),
            },
        }
    }

    /// Figures with their bands; those that stand on a formula open to it.
    pub(super) fn list(&self, sheet: &Filled) -> Markup {
        let values = sheet.rows.first().map(|row| row.values.as_slice()).unwrap_or_default();
        let shown = sheet
            .heads
            .iter()
            .zip(values)
            .filter(|(head, value)| head.shown != Shown::InFiles && **value != Value::Nothing);
        html! {
            table.stacks {
                caption { (sheet.title) }
                thead { tr {
                    th scope="col" { "figure" }
                    th.number scope="col" { "value" }
                    th.number scope="col" { "80 % band" }
                } }
                tbody {
                    @for (head, value) in shown {
                        tr {
                            th scope="row" {
                                @if head.figure.opens() {
                                    (parts::origin_of(head.figure, self.slug, &self.query))
                                } @else { (head.figure.label) }
                            }
                            td.number { (self.said(value, head.figure.quantity)) }
                            td.number data-head="80 % band" { (self.band(value, head.figure.quantity)) }
                        }
                    }
                }
            }
            p.aside {
                @if !sheet.remark.is_empty() { (sheet.remark) " " }
                "Open a figure to see its formula, its sources and what it stands on."
            }
        }
    }

    fn said(&self, value: &Value, quantity: Quantity) -> String {
        value.interval().map_or_else(|| cell_text(value), |i| self.paper.quantity(i.value, quantity))
    }

    fn band(&self, value: &Value, quantity: Quantity) -> String {
        match value {
            Value::Band(interval) if interval.p10 < interval.p90 => self.paper.band(*interval, quantity),
            _ => "–".to_owned(),
        }
    }
}
