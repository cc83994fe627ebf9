//! Rows of a table, whatever shape they have in the file: separated cells, objects, a line for each
//! value, labelled blocks. Not for: what the cells mean.

use std::collections::HashMap;
use std::io::{self, BufRead};

use super::mapping::{Mapping, Shape};
use crate::LogError;
use crate::bad::BadKind;
use crate::json::{self, Objects};
use crate::line::{Bounded, Line, Lines};

/// A row that was come to; its cells stand in the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Row {
    Cells { line: u64 },
    Bad { line: u64, kind: BadKind },
}

impl Row {
    pub fn line(self) -> u64 {
        let (Self::Cells { line } | Self::Bad { line, .. }) = self;
        line
    }
}

/// Rows, one after the other.
pub(crate) trait Rows {
    /// The next row; `None` at the end.
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError>;

    /// Lines that were read so far.
    fn lines(&self) -> u64;
}

/// The rows of a file whose shape and columns are known.
pub(crate) fn of<'a>(reader: impl BufRead + 'a, mapping: &Mapping) -> Box<dyn Rows + 'a> {
    match mapping.shape {
        Shape::Separated | Shape::Given => Box::new(Separated::new(reader, mapping.separator)),
        Shape::Objects => Box::new(ObjectRows {
            objects: Objects::of_rows(reader),
            columns: columns(mapping),
            cells: vec![String::new(); mapping.heads.len()],
        }),
        Shape::Long => Box::new(LongRows::new(reader, mapping)),
        Shape::LineProtocol => Box::new(ProtocolRows {
            lines: Lines::new(reader),
            cells: vec![String::new(); mapping.heads.len()],
            columns: columns(mapping),
        }),
        Shape::Labels => Box::new(LabelRows::new(reader, mapping)),
    }
}

fn columns(mapping: &Mapping) -> HashMap<String, usize> {
    mapping.heads.iter().enumerate().map(|(index, head)| (head.clone(), index)).collect()
}

/// Cells between separators, quotes as usual, lines ending in any way.
pub(super) struct Separated<R: BufRead> {
    rows: csv::Reader<Bounded<R>>,
}

impl<R: BufRead> Separated<R> {
    pub fn new(reader: R, separator: char) -> Self {
        let rows = csv::ReaderBuilder::new()
            .delimiter(if separator.is_ascii() { separator as u8 } else { b',' })
            .has_headers(false)
            .flexible(true)
            .from_reader(Bounded::new(reader, b'\n'));
        Self { rows }
    }
}

impl<R: BufRead> Rows for Separated<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        let before = self.rows.position().line();
        match self.rows.read_byte_record(record) {
            Ok(false) => Ok(None),
            Ok(true) => Ok(Some(Row::Cells { line: record.position().map_or(before, csv::Position::line) })),
            Err(error) => match error.into_kind() {
                csv::ErrorKind::Io(error) => Err(error.into()),
                _ => Ok(Some(Row::Bad { line: before, kind: BadKind::NotUnderstood })),
            },
        }
    }

    fn lines(&self) -> u64 {
        self.rows.position().line().saturating_sub(1)
    }
}

fn fill(record: &mut csv::ByteRecord, cells: &mut [String]) {
    record.clear();
    for cell in cells {
        record.push_field(cell.as_bytes());
        cell.clear();
    }
}

/// Objects whose names are the columns.
struct ObjectRows<R> {
    objects: Objects<R>,
    columns: HashMap<String, usize>,
    cells: Vec<String>,
}

impl<R: BufRead> Rows for ObjectRows<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        let Some(object) = self.objects.next()? else { return Ok(None) };
        let line = object.line;
        let Ok(bytes) = object.bytes else {
            return Ok(Some(Row::Bad { line, kind: BadKind::TooLong }));
        };
        let (columns, cells) = (&self.columns, &mut self.cells);
        let read = json::flatten(bytes, &mut |name, value| {
            if let Some(index) = columns.get(name) {
                cells[*index].push_str(value);
            }
        });
        fill(record, &mut self.cells);
        Ok(Some(if read { Row::Cells { line } } else { Row::Bad { line, kind: BadKind::NotUnderstood } }))
    }

    fn lines(&self) -> u64 {
        self.objects.number
    }
}

/// Which cells of a long table hold time, name and value; a unit may have a column of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct LongPlaces {
    pub time: usize,
    pub name: usize,
    pub value: usize,
    pub unit: Option<usize>,
}

/// The places in the columns' names of a long table.
pub(super) fn long_places(heads: &[String]) -> Option<LongPlaces> {
    let find = |words: &[&str]| {
        heads.iter().position(|head| {
            let bare = head.split(['(', '[']).next().unwrap_or_default();
            words.contains(&crate::fold::fold(bare.trim()).as_str())
        })
    };
    Some(LongPlaces {
        time: find(&[
            "time",
            "timestamp",
            "date",
            "datetime",
            "ts",
            "zeit",
            "zeitstempel",
            "datum",
            "heure",
            "tijd",
            "hora",
            "ora",
            "tid",
            "aika",
            "tempo",
            "last_changed",
            "last_updated",
            "_time",
            "tijdstip",
            "tidpunkt",
            "tidspunkt",
            "fecha",
            "data",
            "horodatage",
            "messzeit",
            "zeitpunkt",
            "date/time",
            "date time",
            "date et heure",
            "fecha y hora",
        ])?,
        name: find(&[
            "name",
            "channel",
            "signal",
            "metric",
            "entity_id",
            "entity",
            "sensor",
            "variable",
            "key",
            "parameter",
            "topic",
            "kanal",
            "field",
            "_field",
            "tag",
            "measurement",
            "nom",
            "nombre",
            "nome",
            "naam",
            "namn",
            "navn",
            "nimi",
            "path",
            "item",
            "series",
            "messgrosse",
            "grosse",
            "bezeichnung",
            "grandeur",
            "grootheid",
            "magnitud",
            "grandezza",
            "grandeza",
            "storhet",
            "storrelse",
            "suure",
            "quantity",
            "measure",
            "point",
            "label",
            "sensor_name",
            "channel name",
        ])?,
        value: find(&[
            "value", "state", "val", "_value", "wert", "valeur", "valor", "valore", "waarde", "varde",
            "verdi", "vaerdi", "arvo", "messwert",
        ])?,
        unit: find(&[
            "unit",
            "units",
            "einheit",
            "unite",
            "unidad",
            "unita",
            "eenheid",
            "enhet",
            "enhed",
            "yksikko",
            "unidade",
            "unit_of_measurement",
        ]),
    })
}

/// A line for each value: those of one time make one row.
struct LongRows<R: BufRead> {
    rows: Separated<R>,
    one: csv::ByteRecord,
    columns: HashMap<String, usize>,
    width: usize,
    places: Option<LongPlaces>,
    line: u64,
}

impl<R: BufRead> LongRows<R> {
    fn new(reader: R, mapping: &Mapping) -> Self {
        Self {
            rows: Separated::new(reader, mapping.separator),
            one: csv::ByteRecord::new(),
            columns: columns(mapping),
            width: mapping.heads.len(),
            places: None,
            line: 0,
        }
    }
}

impl<R: BufRead> Rows for LongRows<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        loop {
            let Some(row) = self.rows.next(&mut self.one)? else { return Ok(None) };
            self.line = row.line();
            let text = |at: usize| self.one.get(at).map(<[u8]>::trim_ascii).unwrap_or_default();
            let Some(places) = self.places else {
                let heads: Vec<String> = self
                    .one
                    .iter()
                    .map(|cell| String::from_utf8_lossy(cell).trim_start_matches('\u{feff}').to_owned())
                    .collect();
                self.places = long_places(&heads);
                continue;
            };
            let name = String::from_utf8_lossy(text(places.name));
            let name = match places.unit.map(text).filter(|unit| !unit.is_empty()) {
                Some(unit) => format!("{name} [{}]", String::from_utf8_lossy(unit)),
                None => name.into_owned(),
            };
            record.clear();
            let column = self.columns.get(&name).copied();
            for index in 0..self.width {
                record.push_field(match index {
                    0 => text(places.time),
                    index if Some(index) == column => text(places.value),
                    _ => b"",
                });
            }
            return Ok(Some(Row::Cells { line: self.line }));
        }
    }

    fn lines(&self) -> u64 {
        self.rows.lines()
    }
}

/// Where a mark stands that no backslash and no quotes hold.
fn bare_mark(text: &str, mark: char, has_quotes: bool) -> Option<usize> {
    if !has_quotes {
        return text.find(mark);
    }
    let (mut is_text, mut is_escaped) = (false, false);
    text.char_indices().find_map(|(at, c)| {
        match c {
            _ if is_escaped => is_escaped = false,
            '\\' => is_escaped = true,
            '"' => is_text = !is_text,
            _ if c == mark && !is_text => return Some(at),
            _ => {}
        }
        None
    })
}

/// Parts between commas that no backslash and no quotes hold.
fn bare_parts(text: &str, has_quotes: bool) -> impl Iterator<Item = &str> {
    let mut rest = Some(text);
    std::iter::from_fn(move || {
        let text = rest?;
        let Some(at) = bare_mark(text, ',', has_quotes) else { return rest.take() };
        rest = Some(&text[at + 1..]);
        Some(&text[..at])
    })
}

/// `measurement,tag=a field=1.5,other=2i 1795615385000000000`: names and values of a line, its time.
pub(super) fn protocol_line<'a>(line: &'a str, sink: &mut dyn FnMut(&str, &'a str)) -> Option<&'a str> {
    let has_quotes = line.contains(['\\', '"']);
    let (series, rest) = line.split_at(bare_mark(line, ' ', has_quotes)?);
    let (fields, time) = rest[1..].split_at(bare_mark(&rest[1..], ' ', has_quotes)?);
    let time = time.trim();
    if time.is_empty()
        || !time.trim_start_matches('-').bytes().all(|b| b.is_ascii_digit())
        || !fields.contains('=')
    {
        return None;
    }
    let mut of = bare_parts(series, has_quotes);
    let mut name = of.next()?.replace('\\', "");
    for tag in of {
        name.push(' ');
        name.push_str(&tag.split_once('=')?.1.replace('\\', ""));
    }
    for field in bare_parts(fields, has_quotes) {
        let (key, value) = field.split_once('=')?;
        let value = value.trim_matches('"');
        let value = value.strip_suffix('i').filter(|v| v.parse::<i64>().is_ok()).unwrap_or(value);
        if key == "value" {
            sink(&name, value);
        } else {
            sink(&format!("{name} {key}"), value);
        }
    }
    Some(time)
}

struct ProtocolRows<R> {
    lines: Lines<R>,
    cells: Vec<String>,
    columns: HashMap<String, usize>,
}

impl<R: BufRead> Rows for ProtocolRows<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        loop {
            let number = self.lines.number + 1;
            let Some(line) = self.lines.next()? else { return Ok(None) };
            let Line::Whole(bytes) = line else {
                return Ok(Some(Row::Bad { line: number, kind: BadKind::TooLong }));
            };
            let text = String::from_utf8_lossy(bytes);
            let text = text.trim();
            if text.is_empty() || text.starts_with('#') {
                continue;
            }
            let (columns, cells) = (&self.columns, &mut self.cells);
            let time = protocol_line(text, &mut |name, value| {
                if let Some(index) = columns.get(name) {
                    cells[*index].push_str(value);
                }
            });
            let Some(time) = time else {
                fill(record, cells);
                return Ok(Some(Row::Bad { line: number, kind: BadKind::NotUnderstood }));
            };
            if let Some(first) = cells.first_mut() {
                first.push_str(time);
            }
            fill(record, cells);
            return Ok(Some(Row::Cells { line: number }));
        }
    }

    fn lines(&self) -> u64 {
        self.lines.number
    }
}

/// Label and value of a line of a labelled block.
pub(super) fn label_line(line: &str) -> Option<(&str, &str)> {
    let (label, value) = line.split_once('\t')?;
    let is_label = !label.is_empty() && label.len() <= 24 && !label.contains(' ');
    (is_label && !value.contains('\t')).then(|| (label, value.trim()))
}

/// Blocks of label, tab and value; a block ends with its checksum or where its first label comes again.
struct LabelRows<R> {
    lines: Lines<R>,
    cells: Vec<String>,
    columns: HashMap<String, usize>,
    first: Option<String>,
    /// A block is begun.
    is_open: bool,
    held: Option<(String, String)>,
    is_done: bool,
}

impl<R: BufRead> LabelRows<R> {
    fn new(reader: R, mapping: &Mapping) -> Self {
        Self {
            lines: Lines::new(reader),
            cells: vec![String::new(); mapping.heads.len()],
            columns: columns(mapping),
            first: None,
            is_open: false,
            held: None,
            is_done: false,
        }
    }

    fn put(&mut self, label: &str, value: &str) {
        if let Some(index) = self.columns.get(label) {
            self.cells[*index].clear();
            self.cells[*index].push_str(value);
        }
        self.is_open = true;
    }
}

impl<R: BufRead> Rows for LabelRows<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        if self.is_done {
            return Ok(None);
        }
        if let Some((label, value)) = self.held.take() {
            self.put(&label, &value);
        }
        loop {
            let number = self.lines.number + 1;
            let Some(line) = self.lines.next()? else {
                self.is_done = true;
                if !self.is_open {
                    return Ok(None);
                }
                self.is_open = false;
                fill(record, &mut self.cells);
                return Ok(Some(Row::Cells { line: number - 1 }));
            };
            let Line::Whole(bytes) = line else {
                return Ok(Some(Row::Bad { line: number, kind: BadKind::TooLong }));
            };
            let text = String::from_utf8_lossy(bytes).into_owned();
            if text.trim().is_empty() {
                continue;
            }
            // The checksum is a byte of any value: what is left of its line says nothing.
            if text.starts_with("Checksum\t") {
                if !self.is_open {
                    continue;
                }
                self.is_open = false;
                fill(record, &mut self.cells);
                return Ok(Some(Row::Cells { line: number }));
            }
            let Some((label, value)) = label_line(&text) else {
                return Ok(Some(Row::Bad { line: number, kind: BadKind::NotUnderstood }));
            };
            let is_first = self.first.get_or_insert_with(|| label.to_owned()) == label;
            if is_first && self.is_open {
                self.held = Some((label.to_owned(), value.to_owned()));
                self.is_open = false;
                fill(record, &mut self.cells);
                return Ok(Some(Row::Cells { line: number - 1 }));
            }
            self.put(label, value);
        }
    }

    fn lines(&self) -> u64 {
        self.lines.number
    }
}

/// Rows that are at hand, or come from a source that gives them one by one.
pub(crate) struct Given<I> {
    rows: I,
    line: u64,
}

impl<I: Iterator<Item = io::Result<Vec<String>>>> Given<I> {
    pub fn new(rows: I) -> Self {
        Self { rows, line: 0 }
    }
}

impl<I: Iterator<Item = io::Result<Vec<String>>>> Rows for Given<I> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        let Some(cells) = self.rows.next() else { return Ok(None) };
        self.line += 1;
        record.clear();
        for cell in cells? {
            record.push_field(cell.as_bytes());
        }
        Ok(Some(Row::Cells { line: self.line }))
    }

    fn lines(&self) -> u64 {
        self.line
    }
}
