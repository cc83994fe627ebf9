//! Sheets as JSON, one versioned format for each room, and the schema of it, both from the sheets' heads.
//! A figure has the same name and the same unit in every room.

use serde_json::{Map, Value as Json, json};
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{Figure, Filled, Head, Interval, Kind, Value};
use wakewright_units::{Unit, file_unit};

pub use crate::view::FORMAT_VERSION;

use crate::left_out::{self, Counted};
use crate::room::{Answer, AnyRoom, EmptySheet};
use crate::text::Finding;

/// The name of a figure in files: `drag_n`.
#[must_use]
pub fn file_name(head: &Head) -> String {
    match head.kind {
        Kind::Band | Kind::Number | Kind::Numbers => head.figure.file_name(),
        _ => head.figure.key.to_owned(),
    }
}

/// What was found, as JSON; `of` is the key of the room, or of the command that is none.
#[must_use]
pub fn answer_json(of: &str, boat: &str, answer: &Answer) -> Json {
    let result = sheets_json(&answer.sheets).into();
    found_json(of, boat, (&answer.finding, &answer.counted), result, &answer.notices)
}

/// What stands around every result.
#[must_use]
pub fn found_json(
    of: &str,
    boat: &str,
    (finding, counted): (&Finding, &[Counted]),
    result: Json,
    notices: &[Notice],
) -> Json {
    json!({
        "format": format!("wakewright/{of}"),
        "version": FORMAT_VERSION,
        "boat": boat,
        "finding": finding.sentence,
        "further": finding.further,
        "without_answer": left_out::as_json(counted),
        "result": result,
        "notices": notices.iter().map(notice_json).collect::<Vec<_>>(),
    })
}

/// Sheets by their keys.
#[must_use]
pub fn sheets_json(sheets: &[Filled]) -> Map<String, Json> {
    sheets.iter().map(|sheet| (sheet.key.to_owned(), sheet_json(sheet))).collect()
}

fn notice_json(notice: &Notice) -> Json {
    json!({ "severity": notice.severity().key(), "text": notice.text(), "source": notice.source() })
}

/// A sheet: an object where it has one row, else a list of them.
#[must_use]
pub fn sheet_json(sheet: &Filled) -> Json {
    let mut rows = sheet.rows.iter().map(|row| {
        let fields = sheet.heads.iter().zip(&row.values);
        Json::Object(fields.map(|(head, value)| (file_name(head), value_json(head.figure, value))).collect())
    });
    if sheet.form.is_single() { rows.next().unwrap_or(Json::Null) } else { Json::Array(rows.collect()) }
}

fn value_json(figure: &Figure, value: &Value) -> Json {
    let (_, unit) = file_unit(figure.quantity);
    // What is not finite has no number in JSON.
    let number = |si: f64| json!(unit.from_si(si));
    let band = |of: &Unit, Interval { value, p10, p90 }: Interval| json!({ "value": of.from_si(value), "p10": of.from_si(p10), "p90": of.from_si(p90) });
    match value {
        Value::Nothing => Json::Null,
        Value::Band(interval) => band(unit, *interval),
        Value::BandOf(of, interval) => band(file_unit(*of).1, *interval),
        Value::Number(si) => number(*si),
        Value::NumberOf(of, si) => json!(file_unit(*of).1.from_si(*si)),
        Value::Numbers(all) => all.iter().map(|si| si.map_or(Json::Null, number)).collect(),
        Value::Count(count) => json!(count),
        Value::Flag(flag) => json!(flag),
        Value::Word(word) => json!(word.key),
        Value::Text(text) => json!(text),
        Value::Counts(all) => json!(all),
        Value::Texts(all) => json!(all),
    }
}

/// The JSON Schema of a room's format.
#[must_use]
pub fn room_schema(room: &dyn AnyRoom) -> Json {
    let card = room.card();
    answer_schema(card.key, card.about, &sheets_schema(&room.empty_sheets()))
}

/// The schema of an object that has these sheets by their keys.
#[must_use]
pub fn sheets_schema(sheets: &[EmptySheet]) -> Json {
    let sheets: Map<String, Json> =
        sheets.iter().map(|sheet| (sheet.key.to_owned(), sheet_schema(sheet))).collect();
    let keys: Vec<&String> = sheets.keys().collect();
    json!({ "type": "object", "required": keys, "properties": sheets })
}

/// The schema of an answer whose result is as `result` says.
#[must_use]
pub fn answer_schema(of: &str, about: &str, result: &Json) -> Json {
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": format!("wakewright/{of}"),
        "description": about,
        "type": "object",
        "required": ["format", "version", "boat", "finding", "further", "without_answer", "result", "notices"],
        "properties": {
            "format": { "const": format!("wakewright/{of}") },
            "version": { "const": FORMAT_VERSION },
            "boat": { "type": "string", "description": "Name of the boat." },
            "finding": { "type": "string", "description": "The sentence that says what was found." },
            "further": { "type": "string", "description": "How sure, and what comes next." },
            "without_answer": left_out::schema(),
            "result": result,
            "notices": {
                "type": "array",
                "description": "What to read before the figures are used.",
                "items": {
                    "type": "object",
                    "properties": {
                        "severity": { "enum": ["note", "weak", "caution"] },
                        "text": { "type": "string" },
                        "source": { "type": "string" },
                    },
                },
            },
        },
    })
}

/// The schema of a sheet.
#[must_use]
pub fn sheet_schema(sheet: &EmptySheet) -> Json {
    let properties: Map<String, Json> =
        sheet.heads.iter().map(|head| (file_name(head), head_schema(head))).collect();
    let required: Vec<&String> = properties.keys().collect();
    let row = json!({ "type": "object", "required": required, "properties": properties });
    if sheet.form.is_single() {
        json!({ "description": sheet.title, "anyOf": [row, { "type": "null" }] })
    } else {
        json!({ "description": sheet.title, "type": "array", "items": row })
    }
}

fn head_schema(head: &Head) -> Json {
    let (_, unit) = file_unit(head.figure.quantity);
    let label = head.figure.label;
    let in_unit = match (head.kind, unit.symbol()) {
        (Kind::Band | Kind::Number | Kind::Numbers, symbol) if !symbol.is_empty() => {
            format!("{label} [{symbol}]")
        }
        _ => label.to_owned(),
    };
    let number = json!({ "type": ["number", "null"] });
    let mut schema = match head.kind {
        Kind::Band | Kind::BandOf => json!({
            "type": ["object", "null"],
            "required": ["value", "p10", "p90"],
            "properties": { "value": number, "p10": number, "p90": number },
        }),
        Kind::Number | Kind::NumberOf => number,
        Kind::Numbers => json!({ "type": "array", "items": number }),
        Kind::Count => json!({ "type": ["integer", "null"] }),
        Kind::Flag => json!({ "type": ["boolean", "null"] }),
        Kind::Word | Kind::Text => json!({ "type": ["string", "null"] }),
        Kind::Counts => json!({ "type": "array", "items": { "type": "integer" } }),
        Kind::Texts => json!({ "type": "array", "items": { "type": "string" } }),
    };
    schema["description"] = json!(in_unit);
    schema
}
