//! A filled sheet as a table of text, for terminal and page: units in the heads, one unit a column, columns
//! in which nothing stands left out.

use wakewright_core::sheet::{Filled, Form, Head, Interval, Kind, Shown, Tone, Value};
use wakewright_units::{
    Quantity, Unit, UnitSystem, decimals_for_column, format_number, unit_for_column, unit_named,
};

use crate::text::{Align, Ink, NO_END, Paper, Table, Titled};

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
        Form::Across => across_of(sheet, paper),
        Form::Table | Form::FileTable => rows_of(sheet, paper),
    }
}

/// Durations in days are told where none is less \[s\].
const HALF_DAY_S: f64 = 43_200.0;

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
        let sizes: Vec<f64> = sizes.filter(|size| size.is_finite()).collect();
        let quantity = head.figure.quantity;
        let largest = sizes.iter().copied().fold(0.0, f64::max);
        // Two days in one row are no reason to write half an hour of another as 0.0 days.
        let has_hours = quantity == Quantity::Duration && sizes.iter().any(|size| *size < HALF_DAY_S);
        let largest = if has_hours { largest.min(HALF_DAY_S) } else { largest };
        let fitting = || unit_for_column(quantity, paper.units, largest);
        let unit = head.unit.map_or_else(fitting, |symbol| unit_named(quantity, symbol));
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
        if si == f64::INFINITY && matches!(self.head.figure.quantity, Quantity::Distance | Quantity::Duration)
        {
            return NO_END.to_owned();
        }
        format_number(self.unit.from_si(si), self.decimals)
    }

    fn cell(&self, value: &Value) -> String {
        match value.interval() {
            Some(interval) if self.is_share() => format!("{} %", self.number(interval.value)),
            Some(interval) => self.number(interval.value),
            None => cell_text(value),
        }
    }

    fn band(&self, value: &Value, paper: &Paper) -> String {
        if let Value::BandOf(of, interval) = value {
            return paper.band(*interval, *of);
        }
        let Value::Band(Interval { p10, p90, .. }) = value else { return String::new() };
        let (low, high) = (self.number(*p10), self.number(*p90));
        let high = if self.is_share() { format!("{high} %") } else { high };
        if low.starts_with('−') { format!("{low} to {high}") } else { format!("{low}-{high}") }
    }

    fn has_band(&self) -> bool {
        self.head.shown == Shown::ValueAndBand && matches!(self.head.kind, Kind::Band | Kind::BandOf)
    }

    fn align(&self) -> Align {
        match self.head.kind {
            Kind::Word | Kind::Text | Kind::Flag | Kind::Counts | Kind::Texts => Align::Left,
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
        Value::Counts(all) => all.iter().map(u64::to_string).collect::<Vec<_>>().join("+"),
        Value::Texts(all) => all.join(", "),
        Value::NumberOf(..) | Value::BandOf(..) | Value::Band(_) | Value::Number(_) | Value::Numbers(_) => {
            String::new()
        }
    }
}

/// A value with its unit; of a reading or forecast of speed hundredths of a knot count, of a play or a gap tenths of a
/// millimetre.
fn of_its_own(si: f64, quantity: Quantity, paper: &Paper) -> String {
    /// Below this a tenth of a millimetre counts \[m\].
    const PLAY_M: f64 = 0.01;
    match quantity {
        Quantity::Speed => paper.decimals(si, quantity, 2),
        Quantity::SmallLength if si.abs() < PLAY_M && paper.units != UnitSystem::Us => {
            paper.decimals(si, quantity, 1)
        }
        _ => paper.quantity(si, quantity),
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

/// Columns in which anything stands that is not for files alone.
fn columns_of<'a>(sheet: &'a Filled, paper: &Paper) -> Vec<Written<'a>> {
    let is_nothing = |value: &Value| match value {
        Value::Nothing => true,
        Value::Counts(all) => all.is_empty(),
        Value::Texts(all) => all.is_empty(),
        _ => false,
    };
    let has_any = |place: &usize| sheet.rows.iter().any(|row| !is_nothing(&row.values[*place]));
    (0..sheet.heads.len())
        .filter(|place| sheet.heads[*place].shown != Shown::InFiles)
        .filter(has_any)
        .map(|place| Written::of(sheet, place, paper))
        .collect()
}

/// What the rows are named by stands in the heads, a figure in each row, its band in a row below it.
fn across_of(sheet: &Filled, paper: &Paper) -> Table {
    let columns = columns_of(sheet, paper);
    let Some((names, figures)) = columns.split_first() else { return Table::new(&[]) };
    let of = |column: &Written<'_>, cell: &dyn Fn(&Value) -> String| {
        sheet.rows.iter().map(|row| cell(&row.values[column.place])).collect::<Vec<_>>()
    };
    let heads: Vec<String> = of(names, &cell_text).iter().map(|name| broken(name, 11).join("\n")).collect();
    let heads = heads.iter().map(|head| (head.as_str(), Align::Left));
    let mut table = Table::new(&std::iter::once(("", Align::Left)).chain(heads).collect::<Vec<_>>());
    table.is_across = true;
    for column in figures {
        let label = column.title().replace('\n', ", ");
        let line = |label: String, cells: Vec<String>| std::iter::once(label).chain(cells).collect();
        table.row(Ink::Plain, line(label, of(column, &|value| column.cell(value))));
        if column.has_band() {
            table.row(
                Ink::Faint,
                line("  80 % band".to_owned(), of(column, &|value| column.band(value, paper))),
            );
        }
    }
    table
}

fn rows_of(sheet: &Filled, paper: &Paper) -> Table {
    let columns = columns_of(sheet, paper);
    let mut heads: Vec<(String, Align)> = Vec::new();
    for column in &columns {
        heads.push((column.title(), column.align()));
        if column.has_band() {
            heads.push(("80 %\nband".to_owned(), Align::Right));
        }
    }
    let heads: Vec<(&str, Align)> = heads.iter().map(|(head, align)| (head.as_str(), *align)).collect();
    let mut table = Table::new(&heads);
    for row in &sheet.rows {
        let mut cells = Vec::with_capacity(heads.len());
        for column in &columns {
            let value = &row.values[column.place];
            cells.push(match value {
                Value::NumberOf(of, si) => of_its_own(*si, *of, paper),
                Value::BandOf(of, interval) => of_its_own(interval.value, *of, paper),
                value => column.cell(value),
            });
            if column.has_band() {
                cells.push(column.band(value, paper));
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
    let mut lines = Vec::new();
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
        lines.push((head.figure.label, said, band));
    }
    let widest = |of: fn(&(&str, String, String)) -> usize| lines.iter().map(of).max().unwrap_or(0);
    let beside =
        widest(|line| line.1.chars().count()) + widest(|line| line.2.chars().count()).max(band_head.len());
    // Two blanks before the table and between its columns.
    let room = paper.width.saturating_sub(beside + 6).max(20);
    for (label, said, band) in lines {
        let mut parts = broken(label, room);
        let first = if parts.is_empty() { String::new() } else { parts.remove(0) };
        table.row(ink(row.tone), vec![first, said, band]);
        for part in parts {
            table.row(ink(row.tone), vec![format!("  {part}"), String::new(), String::new()]);
        }
    }
    table
}

/// `text` in lines of at most `width` characters, those after the first two less; a longer word stands alone.
fn broken(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let room = if lines.len() > 1 { width - 2 } else { width };
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::unit_named;
    use crate::ROOMS;

    #[test]
    fn columns_keep_units_of_their_own_quantity() {
        let heads = ROOMS.iter().flat_map(|room| room.empty_sheets()).flat_map(|sheet| sheet.heads);
        for head in heads {
            let Some(symbol) = head.unit else { continue };
            assert_eq!(unit_named(head.figure.quantity, symbol).symbol(), symbol, "{}", head.figure.key);
        }
    }
}
