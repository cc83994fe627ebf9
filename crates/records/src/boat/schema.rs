//! The JSON Schema of the boat document, made from the descriptors.
//! Not for: checking a document (units and contradictions are beyond a schema).

use super::alternatives::changes_in;
use super::descriptor::{Field, FieldKind, Presence, Section};
use super::fields::SECTIONS;
use serde_json::{Map, Value, json};
use wakewright_units::{Dimension, Quantity, accepted_units, units_of};

/// The schema, draft 2020-12.
#[must_use]
pub fn json_schema() -> Value {
    let properties: Map<String, Value> =
        SECTIONS.iter().map(|section| (section.name.to_owned(), section_schema(section))).collect();
    let required: Vec<&str> = SECTIONS.iter().filter(|s| s.is_required).map(|s| s.name).collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Boat document",
        "description": "One boat with her drive, in trade units with the unit written in each value.",
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn section_schema(section: &Section) -> Value {
    let properties: Map<String, Value> =
        section.fields.iter().map(|field| (field.name().to_owned(), field_schema(field))).collect();
    let required: Vec<&str> =
        section.fields.iter().filter(|f| f.presence == Presence::Required).map(Field::name).collect();
    let table = json!({
        "title": section.heading,
        "description": section.help,
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    });
    if section.is_repeated {
        json!({ "title": section.heading, "description": section.help, "type": "array", "items": table })
    } else {
        table
    }
}

fn field_schema(field: &Field) -> Value {
    let mut schema = Map::new();
    schema.insert("title".to_owned(), json!(field.label));
    schema.insert("description".to_owned(), json!(super::template::field_remark(field)));
    match field.kind {
        FieldKind::Quantity(quantity) => quantity_schema(&mut schema, field, quantity),
        FieldKind::Integer => {
            schema.insert("type".to_owned(), json!(["integer", "string"]));
            if let Some((low, high)) = field.possible {
                schema.insert("minimum".to_owned(), json!(low as i64));
                schema.insert("maximum".to_owned(), json!(high as i64));
            }
            schema
                .insert("pattern".to_owned(), json!(r"^~?\s*\d+\s*(,\s*(measured|plate|chosen|assumed))?$"));
        }
        FieldKind::Choice(choices) => {
            schema.insert("type".to_owned(), json!("string"));
            let words: Vec<&str> = choices.iter().map(|choice| choice.word).collect();
            let help: Map<String, Value> =
                choices.iter().map(|choice| (choice.word.to_owned(), json!(choice.help))).collect();
            let pattern = format!(r"^~?\s*({})\s*(,\s*(measured|plate|chosen|assumed))?$", words.join("|"));
            schema.insert("pattern".to_owned(), json!(pattern));
            schema.insert("x-choices".to_owned(), Value::Object(help));
        }
        FieldKind::Text => {
            schema.insert("type".to_owned(), json!("string"));
        }
        FieldKind::Date => {
            schema.insert("type".to_owned(), json!("string"));
            schema.insert("format".to_owned(), json!("date"));
        }
        FieldKind::Flag => {
            schema.insert("type".to_owned(), json!("boolean"));
        }
        FieldKind::Changes => {
            schema.insert("type".to_owned(), json!("object"));
            let value = json!({ "type": ["string", "number", "boolean", "object"] });
            schema.insert("additionalProperties".to_owned(), value);
        }
    }
    if let Presence::Default(text) = field.presence {
        schema.insert("default".to_owned(), field_value(field, text));
    }
    schema.insert("examples".to_owned(), json!([field_value(field, field.example)]));
    Value::Object(schema)
}

/// A value as JSON: a number or a flag where the document has one, else text.
fn field_value(field: &Field, text: &str) -> Value {
    match field.kind {
        FieldKind::Integer => text.parse::<i64>().map_or_else(|_| json!(text), |number| json!(number)),
        FieldKind::Flag => json!(text == "true"),
        FieldKind::Changes => {
            let changes = changes_in(text).unwrap_or_default();
            Value::Object(changes.into_iter().map(|change| (change.address, json!(change.text))).collect())
        }
        _ => json!(text),
    }
}

fn quantity_schema(schema: &mut Map<String, Value>, field: &Field, quantity: Quantity) {
    let takes_plain = quantity.dimension() == Dimension::Ratio;
    schema.insert("type".to_owned(), if takes_plain { json!(["string", "number"]) } else { json!("string") });
    schema.insert("pattern".to_owned(), json!(r"^~?\s*[-+−]?[0-9½¼¾⅛⅜⅝⅞⅓⅔.,].*$"));
    schema.insert("x-unit-kind".to_owned(), json!(quantity.word()));
    schema.insert(
        "x-units".to_owned(),
        json!(accepted_units(quantity.dimension()).split(", ").collect::<Vec<_>>()),
    );
    if let Some(si) = units_of(quantity.dimension()).find(|unit| unit.factor == 1.0 && unit.offset == 0.0) {
        schema.insert("x-si-unit".to_owned(), json!(si.symbol()));
    }
    if let Some((low, high)) = field.possible {
        schema.insert("x-possible-si".to_owned(), json!([low, high]));
    }
    if let Some((low, high)) = field.usual {
        schema.insert("x-usual-si".to_owned(), json!([low, high]));
    }
}
