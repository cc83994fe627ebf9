//! Tables with a line for each value: time, name and value, made into a row for each time.
//! Not for: what the names mean.

use std::borrow::Cow;
use std::collections::HashMap;
use std::io::BufRead;

use super::mapping::Mapping;
use super::rows::{Row, Rows, Separated, columns};
use crate::LogError;
use crate::bad::BadKind;

/// Which cells of a long table hold time, name and value; a unit may have a column of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct LongPlaces {
    pub time: usize,
    pub name: usize,
    pub value: usize,
    pub unit: Option<usize>,
    /// What a field belongs to, where that has a column of its own.
    pub group: Option<usize>,
}

impl LongPlaces {
    /// The name of a row's value, with its group and its unit; `None` for a remark or names that come again.
    pub fn name_of<'a>(&self, cell: impl Fn(usize) -> Cow<'a, str>) -> Option<String> {
        let name = cell(self.name);
        let is_head =
            long_places(&[cell(self.time).into_owned(), name.to_string(), cell(self.value).into_owned()]);
        if cell(0).starts_with('#') || is_head.is_some() {
            return None;
        }
        let group = self.group.map(&cell).filter(|group| !group.is_empty());
        let name = match group {
            Some(group) if name == "value" => group.into_owned(),
            Some(group) => format!("{group} {name}"),
            None => name.into_owned(),
        };
        Some(match self.unit.map(&cell).filter(|unit| !unit.is_empty()) {
            Some(unit) => format!("{name} [{unit}]"),
            None => name,
        })
    }
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
        group: find(&["_measurement"]),
    })
}

/// A line for each value: those of one time make one row.
pub(super) struct LongRows<R: BufRead> {
    rows: Separated<R>,
    one: csv::ByteRecord,
    columns: HashMap<String, usize>,
    width: usize,
    places: Option<LongPlaces>,
    line: u64,
}

impl<R: BufRead> LongRows<R> {
    pub fn new(reader: R, mapping: &Mapping) -> Self {
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
            let Some(name) = places.name_of(|at| String::from_utf8_lossy(text(at))) else { continue };
            record.clear();
            let column = self.columns.get(&name).copied();
            // A name that did not stand in the first part of the file: counted, not passed over.
            if column.is_none() {
                return Ok(Some(Row::Bad { line: self.line, kind: BadKind::NotUnderstood }));
            }
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
