//! A mapping proposed from a table's head and first rows, with what is in doubt. Where head and
//! values leave more than one reading, the proposal takes one and says which others there are.
//! Not for: deciding; the user confirms.

use std::io::Cursor;

use super::decimals::{Decimals, decimals_of};
use super::heads::{count, sheet_of};
use super::label_rows::label_line;
use super::line_protocol::protocol_line;
use super::long_places::{is_long, long_text};
use super::mapping::{ColumnMapping, Mapping, Shape};
use super::named_rows::{label_rows, long_rows, object_rows, protocol_rows};
use super::numbers::number_in;
use super::rows::{Row, Rows};
use super::separated::{ALIGNED, Separated, WORDS_ALIGNED};
use super::time_column::time_of;
use super::time_counts::own_clocks;
use super::times::TimeFormat;
use super::unit_said::{UnitSaid, split_unit, unit_named};
use super::words::{Idea, ideas, words};
use super::{TableError, settle};

/// Rows that are looked at.
pub(super) const ROWS_SEEN: usize = 400;
/// Rows of the preview.
const ROWS_SHOWN: usize = 5;
/// Columns of a table; more are those of no boat.
pub(super) const MOST_COLUMNS: usize = 1000;

/// What a whole number may count: `0.01 A`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Step {
    pub word: &'static str,
    pub unit: &'static str,
    pub scale: f64,
}

/// What the first rows leave open about a column.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Doubt {
    /// Under which an answer is remembered.
    pub key: String,
    pub column: usize,
    pub kind: DoubtKind,
}

/// The readings that there are, the one that was taken first.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum DoubtKind {
    /// Which part of the date stands first.
    DateOrder(Vec<TimeFormat>),
    /// What a clock or a count is.
    Clock(Vec<TimeFormat>),
    /// Whether this mark parts decimals or thousands.
    Decimals(char),
    /// Units that fit the values of these columns.
    Unit(Vec<&'static str>, Vec<usize>),
    /// Steps that whole numbers without a unit may count in, as a share of a unit: words, unit, share.
    Scale(Vec<Step>, usize),
    /// Her speed of now, or that of a stream.
    Stream(usize),
    /// Turns of the motor, or of the shaft.
    Turns(usize),
    /// Sources whose rows stand in one table.
    Rows(Vec<String>),
    /// Columns of one quantity that do not say the same.
    Which(Vec<usize>),
    /// Columns that may not be what they look like: taken, all of them, or left.
    Taken(Vec<ColumnMapping>),
    /// Volts, amps or watts of the motor, taken because nothing tells the battery's.
    MotorSide(Vec<usize>),
    /// The battery's amps are those of the drive less what this column gives: to be added, or taken off where the battery's
    /// count negative.
    Net { given: usize, is_less: bool },
    /// No column holds a time.
    NoTime,
    /// No column says what it measures.
    NoColumns,
}

/// A mapping to be confirmed.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// What was made of the table.
    pub mapping: Mapping,
    /// The first rows as they stand.
    pub preview: Vec<Vec<String>>,
    /// What is left open.
    pub(crate) doubts: Vec<Doubt>,
    /// Columns that look like a quantity and were left, each with the reason.
    pub remarks: Vec<String>,
}

/// The first rows of a table as cells.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Sheet {
    pub heads: Vec<String>,
    pub head_line: u64,
    /// Line and cells.
    pub rows: Vec<(u64, Vec<String>)>,
    pub decimal_comma: bool,
    pub is_foreign: bool,
    /// A date that stands once above the names, and how it is written.
    pub date_above: Option<(String, TimeFormat)>,
    /// What is to be said about it.
    pub remarks: Vec<String>,
}

impl Sheet {
    /// Cells of a column in which something stands.
    pub fn column(&self, column: usize) -> Vec<&str> {
        let cells = self.rows.iter().filter_map(|(_, cells)| cells.get(column).map(|cell| cell.trim()));
        cells.filter(|cell| !super::numbers::is_blank(cell)).collect()
    }

    /// Whether a column's decimals are written with a comma.
    pub fn decimal_comma_of(&self, column: usize) -> bool {
        match decimals_of(self.column(column).into_iter()) {
            Some(Decimals::Comma) => true,
            Some(Decimals::Point) => false,
            _ => self.decimal_comma,
        }
    }
}

/// Proposes a mapping from the first bytes of a table (some kilobytes).
/// # Errors
/// [`TableError::NoTable`].
pub fn propose(head: &[u8]) -> Result<Proposal, TableError> {
    let text = String::from_utf8_lossy(head);
    let text = text.trim_start_matches('\u{feff}');
    match shape_of(text) {
        Shape::Objects => propose_named(object_rows(text), Shape::Objects, ','),
        Shape::LineProtocol => propose_named(protocol_rows(text), Shape::LineProtocol, ','),
        Shape::Labels => propose_named(label_rows(text), Shape::Labels, '\t'),
        Shape::Long => {
            let (separator, _) = separator_of(text).ok_or(TableError::NoTable)?;
            propose_named(long_rows(text, separator), Shape::Long, separator)
        }
        Shape::Separated | Shape::Given => {
            let (separator, width) = separator_of(text).ok_or(TableError::NoTable)?;
            let rows = separated_rows(text, separator, ROWS_SEEN);
            propose_sheet(sheet_of(rows, width), separator, Shape::Separated, separator == ',')
        }
    }
}

/// Proposes a mapping for rows that a program gives, the head among them.
pub(crate) fn propose_rows(rows: &[Vec<String>]) -> Result<Proposal, TableError> {
    if rows.first().is_some_and(|heads| is_long(heads))
        && let Ok(text) = long_text(rows.iter().cloned().map(Ok))
        && let Ok(proposal) = propose(text.as_bytes())
        && proposal.mapping.shape == Shape::Long
    {
        return Ok(proposal);
    }
    let rows: Vec<(u64, Vec<String>)> =
        rows.iter().enumerate().map(|(i, cells)| (i as u64 + 1, cells.clone())).collect();
    // The widest row: sheets fill what is missing with empty cells.
    let width = rows.iter().map(|(_, cells)| cells.len()).max().unwrap_or(0);
    if width < 2 {
        return Err(TableError::NoTable);
    }
    propose_sheet(sheet_of(rows, width), ',', Shape::Given, false)
}

fn propose_named(
    found: Option<(Vec<String>, Vec<Vec<String>>)>,
    shape: Shape,
    separator: char,
) -> Result<Proposal, TableError> {
    let (heads, rows) =
        found.filter(|(heads, rows)| heads.len() >= 2 && !rows.is_empty()).ok_or(TableError::NoTable)?;
    let rows = rows.into_iter().enumerate().map(|(i, cells)| (i as u64 + 1, cells)).collect();
    let sheet = Sheet { heads, rows, ..Sheet::default() };
    propose_sheet(sheet, separator, shape, shape != Shape::Long)
}

fn propose_sheet(
    mut sheet: Sheet,
    separator: char,
    shape: Shape,
    is_point: bool,
) -> Result<Proposal, TableError> {
    if sheet.heads.len() > MOST_COLUMNS {
        return Err(TableError::NoTable);
    }
    sheet.decimal_comma = has_decimal_commas(&sheet, is_point);
    sheet.is_foreign = is_foreign(&sheet.heads);
    let mut doubts = Vec::new();
    let mut remarks = std::mem::take(&mut sheet.remarks);
    let time = if shape == Shape::Labels { named_time(&sheet) } else { time_of(&sheet, &mut doubts) };
    remarks.extend(time.as_ref().and_then(|time| super::time_said::other_clock(&sheet, time)));
    let parted = super::parted::part(&mut sheet, time.as_ref(), &mut doubts);
    let mut taken: Vec<usize> = time.as_ref().map(|time| time.columns.clone()).unwrap_or_default();
    let mut clocks = own_clocks(&sheet, time.as_ref());
    taken.extend(clocks.iter().flat_map(|clock| clock.time.columns.clone()));
    taken.extend(parted.iter().map(|parted| parted.column));
    let columns = settle::columns_of(&sheet, &taken, shape, &mut doubts, &mut remarks);
    for clock in &mut clocks {
        clock.columns.retain(|column| columns.iter().any(|taken| taken.column == *column));
    }
    clocks.retain(|clock| !clock.columns.is_empty());
    if time.is_none() && shape != Shape::Labels {
        doubts.push(Doubt { key: "time".to_owned(), column: 0, kind: DoubtKind::NoTime });
    }
    if columns.is_empty() {
        doubts.push(Doubt { key: "columns".to_owned(), column: 0, kind: DoubtKind::NoColumns });
    }
    let preview = sheet.rows.iter().take(ROWS_SHOWN).map(|(_, cells)| cells.clone()).collect();
    Ok(Proposal {
        mapping: Mapping {
            separator,
            decimal_comma: sheet.decimal_comma,
            head_line: sheet.head_line,
            heads: sheet.heads,
            time,
            columns,
            clocks,
            parted,
            shape,
            ..Mapping::default()
        },
        preview,
        doubts,
        remarks,
    })
}

/// The time of labelled blocks, which hold counters of other things: only what is called a time is one.
fn named_time(sheet: &Sheet) -> Option<super::mapping::TimeMapping> {
    let mut doubts = Vec::new();
    let says = |column: &usize| {
        words(&sheet.heads[*column])
            .iter()
            .flat_map(|word| ideas(word))
            .any(|i| matches!(i, Idea::Time | Idea::Date))
    };
    time_of(sheet, &mut doubts).filter(|time| doubts.is_empty() && time.columns.iter().all(says))
}

/// How the rows stand in a text.
pub(crate) fn shape_of(text: &str) -> Shape {
    let mut lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    let first = lines.next().unwrap_or_default();
    if first.starts_with(['{', '[']) && !first.starts_with("[[") {
        return Shape::Objects;
    }
    let some: Vec<&str> = text.lines().filter(|line| !line.trim().is_empty()).take(60).collect();
    let protocol = some
        .iter()
        .filter(|line| !line.starts_with('#') && protocol_line(line, &mut |_, _| ()).is_some())
        .count();
    if 2 * protocol > some.len() {
        return Shape::LineProtocol;
    }
    let labels: Vec<(&str, &str)> = some.iter().filter_map(|line| label_line(line)).collect();
    let mut distinct: Vec<&str> = labels.iter().map(|(label, _)| *label).collect();
    distinct.sort_unstable();
    distinct.dedup();
    let is_worded = labels
        .iter()
        .all(|(label, _)| label.chars().any(char::is_alphabetic) && !label.contains([':', '.', ',']));
    if 4 * labels.len() > 3 * some.len() && distinct.len() >= 3 && distinct.len() < labels.len() && is_worded
    {
        return Shape::Labels;
    }
    if let Some((separator, _)) = separator_of(text) {
        let head =
            text.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#')).unwrap_or(first);
        let heads: Vec<String> = split_line(head, separator);
        if is_long(&heads) {
            return Shape::Long;
        }
    }
    Shape::Separated
}

/// Cells of one line, quotes as usual.
pub(super) fn split_line(line: &str, separator: char) -> Vec<String> {
    separated_rows(line, separator, 1).pop().map(|(_, cells)| cells).unwrap_or_default()
}

/// Rows of a text with their lines.
pub(super) fn separated_rows(text: &str, separator: char, most: usize) -> Vec<(u64, Vec<String>)> {
    let mut rows = Separated::new(Cursor::new(text.as_bytes()), separator);
    let mut record = csv::ByteRecord::new();
    let mut all = Vec::new();
    while let Ok(Some(row)) = rows.next(&mut record) {
        if let Row::Cells { line } = row {
            all.push((
                line,
                record.iter().map(|cell| String::from_utf8_lossy(cell).trim().to_owned()).collect(),
            ));
        }
        if all.len() >= most {
            break;
        }
    }
    all
}

/// The separator that gives most rows the same number of columns, and that number.
pub(crate) fn separator_of(text: &str) -> Option<(char, usize)> {
    let mut best: Option<(usize, char, usize)> = None;
    let mut rows_seen = 0;
    for separator in [';', '\t', ',', '|'] {
        let widths: Vec<usize> =
            separated_rows(text, separator, ROWS_SEEN).iter().map(|(_, cells)| cells.len()).collect();
        rows_seen = rows_seen.max(widths.len());
        let Some(width) = widths.iter().copied().filter(|w| *w > 1).max_by_key(|w| count(&widths, *w)) else {
            continue;
        };
        let rows = count(&widths, width);
        // The first of equals holds: commas may be decimals.
        if rows >= 2 && best.is_none_or(|(most, ..)| rows > most) {
            best = Some((rows, separator, width));
        }
    }
    let best = best.filter(|(rows, ..)| 2 * rows >= rows_seen);
    best.map(|(_, separator, width)| (separator, width)).or_else(|| aligned(text))
}

/// Columns that stand under each other, blanks between: one where all rows have as many words, else two and more.
fn aligned(text: &str) -> Option<(char, usize)> {
    const LEAST: usize = 3;
    let fits = |separator: char, share: usize| {
        let rows = separated_rows(text, separator, ROWS_SEEN);
        let widths: Vec<usize> = rows.iter().map(|(_, cells)| cells.len()).collect();
        let width = widths.iter().copied().filter(|w| *w >= LEAST).max_by_key(|w| count(&widths, *w))?;
        let fits = count(&widths, width);
        (fits >= LEAST && 100 * fits >= share * widths.len()).then_some((separator, width))
    };
    fits(WORDS_ALIGNED, 100).or_else(|| fits(ALIGNED, 90))
}

/// Whether most columns that tell write decimals with a comma.
fn has_decimal_commas(sheet: &Sheet, is_point: bool) -> bool {
    let (mut comma, mut point) = (0, 0);
    for column in 0..sheet.heads.len() {
        let cells = sheet.column(column);
        // Dates and places have marks of their own.
        let plain: Vec<&str> = cells
            .iter()
            .copied()
            .filter(|c| {
                number_in(c, c.contains(',') && !c.contains('.'))
                    .is_some_and(|(_, rest)| rest.is_empty() || unit_named(rest).is_some())
            })
            .collect();
        match decimals_of(plain.into_iter()) {
            Some(Decimals::Comma) => comma += 1,
            Some(Decimals::Point) => point += 1,
            _ => {}
        }
    }
    if comma == 0 && point == 0 {
        return false;
    }
    if is_point && comma > 0 && point == 0 {
        // Quoted cells between commas.
        return true;
    }
    comma > point
}

/// Words that stand in no English table.
fn is_foreign(heads: &[String]) -> bool {
    const WORDS: [&str; 34] = [
        "spannung",
        "strom",
        "drehzahl",
        "zeit",
        "datum",
        "geschwindigkeit",
        "fahrt",
        "tension",
        "courant",
        "vitesse",
        "heure",
        "spanning",
        "stroom",
        "snelheid",
        "tijd",
        "corriente",
        "velocidad",
        "hora",
        "fecha",
        "corrente",
        "velocita",
        "leistung",
        "hastighet",
        "tid",
        "spaending",
        "hastighed",
        "spenning",
        "jannite",
        "virta",
        "nopeus",
        "aika",
        "tensao",
        "puissance",
        "vermogen",
    ];
    heads
        .iter()
        .flat_map(|head| words(head))
        .any(|word| WORDS.iter().any(|known| word == *known || (known.len() > 5 && word.contains(known))))
}

/// The unit that a name says, if it says one that is known.
pub(super) fn unit_said(head: &str) -> UnitSaid {
    split_unit(head).1
}
