//! Where the names of the columns stand, with units in a row of their own, and which name belongs to which
//! cell where their numbers differ. Not for: what the names mean (`meaning`).

use super::numbers::number_in;
use super::position::{PositionOrder, order_said, says_position};
use super::propose::Sheet;
use super::unit_said::unit_named;
use crate::clock::{DateOrder, parse_stamp};
use crate::fold::fold;

/// Cells of a row without an empty last one, which a separator at the end of the row makes.
fn width_of(cells: &[String]) -> usize {
    cells.len() - usize::from(cells.len() > 1 && cells.last().is_some_and(String::is_empty))
}

pub(super) fn count(widths: &[usize], width: usize) -> usize {
    widths.iter().filter(|w| **w == width).count()
}

/// A number, a time, or a number with its unit.
pub(super) fn is_value(cell: &str) -> bool {
    let is_number = |comma: bool| {
        number_in(cell, comma).is_some_and(|(_, rest)| rest.is_empty() || unit_named(rest).is_some())
    };
    is_number(false)
        || is_number(true)
        || [DateOrder::Day, DateOrder::Year, DateOrder::Month]
            .iter()
            .any(|order| parse_stamp(cell, *order).is_some())
}

fn is_unit(cell: &str) -> bool {
    let bare = cell.trim().trim_matches(['[', ']', '(', ')']);
    unit_named(bare).is_some()
        || matches!(
            fold(bare).as_str(),
            "utc"
                | "-"
                | ""
                | "hh:mm:ss"
                | "yyyy-mm-dd"
                | "dd.mm.yyyy"
                | "iso8601"
                | "text"
                | "date"
                | "time"
                | "ts"
                | "rn"
        )
}

/// `Avg`, `Smp`: how a value was made, or which kind of number stands below, under names and units.
fn is_statistics(cells: &[String]) -> bool {
    const WORDS: [&str; 18] = [
        "", "avg", "smp", "min", "max", "std", "tot", "mean", "sample", "float", "double", "int", "integer",
        "string", "real", "text", "number", "datetime",
    ];
    cells.iter().any(|cell| !cell.is_empty())
        && cells.iter().all(|cell| WORDS.contains(&fold(cell.trim()).as_str()))
}

/// Column names (with units that stand in a row of their own) and the rows below them.
pub(super) fn sheet_of(rows: Vec<(u64, Vec<String>)>, width: usize) -> Sheet {
    let fits = |cells: &Vec<String>| width_of(cells) <= width && width_of(cells) + 1 >= width.min(3);
    let is_data = |cells: &Vec<String>| {
        let filled: Vec<&String> = cells.iter().filter(|cell| !cell.trim().is_empty()).collect();
        let values = filled.iter().filter(|cell| is_value(cell)).count();
        filled.len() >= 2.min(width) && values > 0 && 5 * values >= 2 * filled.len()
    };
    let first =
        rows.iter().position(|(_, cells)| width_of(cells) + 1 >= width && fits(cells) && is_data(cells));
    let Some(first) = first else {
        // Words only: a head without rows.
        let heads = rows.iter().find(|(_, cells)| width_of(cells) == width);
        let (head_line, heads) = heads.map_or((0, Vec::new()), |(line, cells)| (*line, cells.clone()));
        return Sheet { heads: padded(heads, width), head_line, ..Sheet::default() };
    };
    // `|-----|----:|` under the names.
    let is_ruler = |cells: &[String]| {
        cells.iter().any(|cell| cell.contains("--") || cell.contains("=="))
            && cells.iter().all(|cell| cell.chars().all(|c| matches!(c, '-' | '=' | ':' | '+' | ' ')))
    };
    let above: Vec<&(u64, Vec<String>)> = rows[..first]
        .iter()
        .filter(|(_, cells)| !is_ruler(cells))
        .filter(|(_, cells)| cells.iter().filter(|cell| !cell.is_empty()).count() >= 2.min(width))
        .filter(|(_, cells)| 2 * width_of(cells) > width)
        .filter(|(_, cells)| !is_statistics(cells))
        .collect();
    let is_units = |cells: &[String]| {
        cells.iter().all(|cell| is_unit(cell)) && cells.iter().any(|cell| !cell.is_empty())
    };
    let (mut heads, mut head_line) = (Vec::new(), 0);
    if let Some((line, last)) = above.last() {
        head_line = *line;
        heads = last.clone();
        let mut top = above.len() - 1;
        if let Some((_, before)) = above.len().checked_sub(2).map(|at| above[at]) {
            let names =
                |cells: &[String]| cells.iter().filter(|cell| !cell.is_empty() && !is_unit(cell)).count();
            if is_units(last) && names(before) > 0 {
                heads = joined(before, last);
                top -= 1;
            } else if is_units(before) && names(last) > 0 {
                heads = joined(last, before);
                top -= 1;
            }
        }
        if let Some((line, group)) = top.checked_sub(1).map(|at| above[at])
            && line + 1 == above[top].0
        {
            heads = grouped(group, heads);
        }
    }
    let ruler = rows[..first].iter().rev().find(|(_, cells)| is_ruler(cells) || is_statistics(cells));
    head_line = ruler.map_or(head_line, |(line, _)| head_line.max(*line));
    let body: Vec<(u64, Vec<String>)> =
        rows.iter().skip(first).filter(|(_, cells)| width_of(cells) <= width).cloned().collect();
    let date_above = super::time_said::date_above(&rows[..first]);
    let mut sheet = Sheet { head_line, rows: body, date_above, ..Sheet::default() };
    fit_heads(&mut sheet, heads, width);
    for head in &mut sheet.heads {
        *head = head.trim().trim_start_matches('#').trim().to_owned();
    }
    sheet
}

/// Names that come again word for word, under names of their groups: `House` over `Volts` and `Amps`.
fn grouped(group: &[String], heads: Vec<String>) -> Vec<String> {
    let is_again =
        |head: &String| !head.is_empty() && heads.iter().filter(|other| *other == head).count() > 1;
    let filled = group.iter().filter(|cell| !cell.is_empty()).count();
    // A group's name stands over its first column, or over each of its columns.
    let is_over_all = filled + 1 >= heads.len()
        && group
            .iter()
            .any(|name| !name.is_empty() && group.iter().filter(|other| *other == name).count() > 1);
    if filled < 2 || (filled >= heads.len() && !is_over_all) || !(is_over_all || heads.iter().any(is_again)) {
        return heads;
    }
    let mut last = "";
    let named = heads.iter().enumerate().map(|(i, head)| {
        if let Some(name) = group.get(i).filter(|name| !name.is_empty()) {
            last = name;
        }
        format!("{last} {head}").trim().to_owned()
    });
    named.collect()
}

fn unnamed(width: usize) -> Vec<String> {
    (1..=width).map(|i| format!("column {i}")).collect()
}

/// Names for all cells. Fewer names than cells: a position that is parted by the mark between columns, numbers of
/// the rows before them; else nobody knows which name belongs to which cell, and none is taken.
fn fit_heads(sheet: &mut Sheet, mut heads: Vec<String>, width: usize) {
    while heads.last().is_some_and(|head| head.trim().is_empty()) {
        heads.pop();
    }
    let filled = |column: usize| !sheet.column(column).is_empty();
    let cells = (0..width).rev().find(|column| filled(*column)).map_or(0, |last| last + 1);
    if heads.is_empty() {
        sheet.heads = unnamed(width);
        return;
    }
    if heads.len() >= cells {
        sheet.heads = padded(heads, width);
        return;
    }
    if heads.len() + 1 == cells {
        let numbers = |column: usize| -> Option<Vec<f64>> {
            let cells = sheet.column(column);
            cells
                .iter()
                .map(|cell| number_in(cell, false).filter(|(_, rest)| rest.is_empty()).map(|n| n.0))
                .collect()
        };
        let within = |column: usize, limit: f64| {
            numbers(column).is_some_and(|n| n.iter().all(|n| n.abs() <= limit && n.fract() != 0.0))
        };
        let position = heads.iter().position(|head| says_position(head)).filter(|at| {
            let is_longitude_first = order_said(&heads[*at]) == Some(PositionOrder::LongitudeFirst);
            let (first, second) = if is_longitude_first { (180.0, 90.0) } else { (90.0, 180.0) };
            within(*at, first) && within(at + 1, second)
        });
        if let Some(at) = position {
            let is_longitude_first = order_said(&heads[at]) == Some(PositionOrder::LongitudeFirst);
            let two = if is_longitude_first { ["longitude", "latitude"] } else { ["latitude", "longitude"] };
            heads.splice(at..=at, two.map(str::to_owned));
            sheet.heads = padded(heads, width);
            return;
        }
        let counts =
            |numbers: Vec<f64>| numbers.len() > 1 && numbers.windows(2).all(|two| two[1] - two[0] == 1.0);
        if numbers(0).is_some_and(counts) {
            heads.insert(0, String::new());
            sheet.heads = padded(heads, width);
            return;
        }
    }
    sheet.remarks.push(format!(
        "The heading has {} names and the rows {cells} cells: which name belongs to which cell is not known. \
         Commas in numbers or places may part them; save the table with semicolons.",
        heads.len()
    ));
    sheet.heads = unnamed(width);
}

fn padded(mut heads: Vec<String>, width: usize) -> Vec<String> {
    while heads.len() > width && heads.last().is_some_and(|head| head.trim().is_empty()) {
        heads.pop();
    }
    while heads.len() < width {
        heads.push(String::new());
    }
    heads
}

/// Names with the units of another row; a name over several columns holds for all of them.
fn joined(names: &[String], units: &[String]) -> Vec<String> {
    let filled = |cells: &[String]| cells.iter().filter(|cell| !cell.is_empty()).count();
    let is_spanning = filled(names) < filled(units);
    let mut last = String::new();
    (0..names.len().max(units.len()))
        .map(|i| {
            let name = names.get(i).filter(|name| !name.is_empty());
            if let Some(name) = name {
                last.clone_from(name);
            }
            let has_unit = units.get(i).is_some_and(|unit| !unit.trim().is_empty());
            let name = name
                .cloned()
                .unwrap_or_else(|| if is_spanning || has_unit { last.clone() } else { String::new() });
            match units.get(i).map(|unit| unit.trim_matches(['[', ']', '(', ')', ' '])) {
                Some(unit) if unit_named(unit).is_some() => format!("{name} [{unit}]"),
                Some(unit) if fold(unit) == "utc" => format!("{name} ({unit})"),
                _ => name,
            }
        })
        .collect()
}
