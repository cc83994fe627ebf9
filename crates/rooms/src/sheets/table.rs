//! A filled sheet as a table of text, for terminal and page: units in the heads, one unit a column, columns
//! in which nothing stands left out.

use wakewright_core::sheet::{Filled, Form, Head, Interval, Kind, Shown, Tone, Value};
use wakewright_units::{Quantity, Unit, decimals_for_column, format_number, unit_for_column};

use crate::text::{Align, Ink, Paper, Table, Titled};

/// The table under its title, with its remark.
#[must_use]
pub fn titled_of(sheet: &Filled, paper: &Paper) -> Titled {
    Titled::new(sheet.title.clone(), table_of(sheet, paper), sheet.remark.clone())
}

/// The table.
#[must_use]
pub fn table_of(sheet: &Filled, paper: &Paper) -> Table {
    match sheet.form {
        Form::List | Form::Files => list_of(sheet, paper),
        Form::Table | Form::FileTable => rows_of(sheet, paper),
    }
}

/// A column as it is written.
struct Written<'a> {
    head: &'a Head,
    place: usize,
    unit: &'static Unit,
    decimals: usize,
}

impl<'a> Written<'a> {
    fn of(sheet: &'a Filled, place: usize, paper: &Paper) -> Self {
        let head = &sheet.heads[place];
        let sizes = sheet.rows.iter().filter_map(|row| row.values[place].interval()).map(|i| i.value.abs());
        let largest = sizes.filter(|size| size.is_finite()).fold(0.0, f64::max);
        let unit = unit_for_column(head.figure.quantity, paper.units, largest);
        let decimals = head.decimals.unwrap_or_else(|| decimals_for_column(unit));
        Self { head, place, unit, decimals }
    }

    fn is_share(&self) -> bool {
        self.head.figure.quantity == Quantity::Share
    }

    fn title(&self) -> String {
        let measured = matches!(self.head.kind, Kind::Band | Kind::Number);
        let symbol = if measured && !self.is_share() { self.unit.symbol() } else { "" };
        let head = self.head.head;
        let separator = if head.contains('\n') { ", " } else { "\n" };
        if symbol.is_empty() { head.to_owned() } else { format!("{head}{separator}{symbol}") }
    }

    fn number(&self, si: f64) -> String {
        format_number(self.unit.from_si(si), self.decimals)
    }

    fn cell(&self, value: &Value) -> String {
        match value.interval() {
            Some(interval) if self.is_share() => format!("{} %", self.number(interval.value)),
            Some(interval) => self.number(interval.value),
            None => cell_text(value),
        }
    }

    fn band(&self, value: &Value) -> String {
        let Value::Band(Interval { p10, p90, .. }) = value else { return String::new() };
        let (low, high) = (self.number(*p10), self.number(*p90));
        let high = if self.is_share() { format!("{high} %") } else { high };
        if low.starts_with('−') { format!("{low} to {high}") } else { format!("{low}-{high}") }
    }

    fn align(&self) -> Align {
        match self.head.kind {
            Kind::Word | Kind::Text | Kind::Flag => Align::Left,
            _ => Align::Right,
        }
    }
}

/// A cell that holds no quantity.
#[must_use]
pub fn cell_text(value: &Value) -> String {
    match value {
        Value::Nothing => "-".to_owned(),
        Value::Count(count) => format_number(*count as f64, 0),
        Value::Flag(true) => "yes".to_owned(),
        Value::Flag(false) => "no".to_owned(),
        Value::Word(word) => word.words.to_owned(),
        Value::Text(text) => text.clone(),
        Value::Band(_) | Value::Number(_) | Value::Numbers(_) => String::new(),
    }
}

fn ink(tone: Tone) -> Ink {
    match tone {
        Tone::Plain => Ink::Plain,
        Tone::Strong => Ink::Strong,
        Tone::Binds => Ink::Binds,
        Tone::Passes => Ink::Passes,
        Tone::Faint => Ink::Faint,
    }
}

fn rows_of(sheet: &Filled, paper: &Paper) -> Table {
    let has_any = |place: &usize| sheet.rows.iter().any(|row| row.values[*place] != Value::Nothing);
    let columns: Vec<Written<'_>> = (0..sheet.heads.len())
        .filter(|place| sheet.heads[*place].shown != Shown::InFiles)
        .filter(has_any)
        .map(|place| Written::of(sheet, place, paper))
        .collect();
    let is_band =
        |column: &Written<'_>| column.head.shown == Shown::ValueAndBand && column.head.kind == Kind::Band;
    let mut heads: Vec<(String, Align)> = Vec::new();
    for column in &columns {
        heads.push((column.title(), column.align()));
        if is_band(column) {
            heads.push(("80 % band".to_owned(), Align::Right));
        }
    }
    let heads: Vec<(&str, Align)> = heads.iter().map(|(head, align)| (head.as_str(), *align)).collect();
    let mut table = Table::new(&heads);
    for row in &sheet.rows {
        let mut cells = Vec::with_capacity(heads.len());
        for column in &columns {
            cells.push(column.cell(&row.values[column.place]));
            if is_band(column) {
                cells.push(column.band(&row.values[column.place]));
            }
        }
        table.row(ink(row.tone), cells);
    }
    table
}

fn list_of(sheet: &Filled, paper: &Paper) -> Table {
    let values = sheet.rows.first().map(|row| row.values.as_slice()).unwrap_or_default();
    let has_band = values.iter().any(|value| matches!(value, Value::Band(i) if i.p10 < i.p90));
    let band_head = if has_band { "80 % band" } else { "" };
    let mut table = Table::new(&[("", Align::Left), ("", Align::Right), (band_head, Align::Right)]);
    let Some(row) = sheet.rows.first() else { return table };
    for (head, value) in sheet.heads.iter().zip(&row.values) {
        if head.shown == Shown::InFiles || *value == Value::Nothing {
            continue;
        }
        let quantity = head.figure.quantity;
        let said = match value.interval() {
            Some(interval) => paper.quantity(interval.value, quantity),
            None => cell_text(value),
        };
        let band = match value {
            Value::Band(interval) if interval.p10 < interval.p90 => paper.band(*interval, quantity),
            _ => String::new(),
        };
        table.row(ink(row.tone), vec![head.figure.label.to_owned(), said, band]);
    }
    table
}
