//! Where time, name and value stand in a table with a line for each value.

use std::borrow::Cow;

/// Which cells of a long table hold time, name and value; a unit may have a column of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct LongPlaces {
    pub time: usize,
    pub name: usize,
    pub value: usize,
    pub unit: Option<usize>,
    /// A column that says which of several.
    pub tag: Option<usize>,
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
        let name = match self.tag.map(&cell).filter(|tag| !tag.is_empty()) {
            Some(tag) if tag.bytes().all(|b| b.is_ascii_digit()) => format!("no. {tag} {name}"),
            Some(tag) => format!("{tag} {name}"),
            None => name,
        };
        Some(match self.unit.map(&cell).filter(|unit| !unit.is_empty()) {
            Some(unit) => format!("{name} [{unit}]"),
            None => name,
        })
    }
}

/// Whether these are the columns of a long table: few, but for exports whose names are their own.
pub(super) fn is_long(heads: &[String]) -> bool {
    const MOST: usize = 8;
    const MOST_OF_EXPORT: usize = 32;
    let is_export = heads.iter().any(|head| matches!(head.as_str(), "_field" | "entity_id"));
    heads.len() <= if is_export { MOST_OF_EXPORT } else { MOST } && long_places(heads).is_some()
}

/// Rows that a program gives as the text of a long table.
pub(crate) fn long_text(rows: impl Iterator<Item = std::io::Result<Vec<String>>>) -> std::io::Result<String> {
    let mut text = String::new();
    for row in rows {
        let cells: Vec<String> =
            row?.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\""))).collect();
        text += &cells.join(",");
        text.push('\n');
    }
    Ok(text)
}

/// The places in the columns' names of a long table.
pub(super) fn long_places(heads: &[String]) -> Option<LongPlaces> {
    let find = |words: &[&str]| {
        heads.iter().position(|head| {
            let bare = head.split(['(', '[']).next().unwrap_or_default();
            words.contains(&crate::fold::fold(bare.trim()).as_str())
        })
    };
    let mut places = LongPlaces {
        tag: None,
        time: find(&["last_updated_ts"]).or_else(|| {
            find(&[
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
            ])
        })?,
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
            "verdi", "vaerdi", "arvo", "messwert", "payload",
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
    };
    let others = [Some(places.time), Some(places.name), Some(places.value), places.unit, places.group];
    places.tag = (0..heads.len())
        .find(|column| !others.contains(&Some(*column)) && super::parted::names_source(&heads[*column]));
    Some(places)
}
