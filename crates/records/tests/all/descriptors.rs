//! Each descriptor is complete and agrees with itself, and what is made from it holds together.

use wakewright_records::boat::{
    BoatDocument, Field, FieldKind, Presence, SECTIONS, Severity, all_fields, field_listing, field_named,
    json_schema, manual_markdown, new_document, read_stated,
};

/// SI value of a text of a numeric field.
fn value(field: &Field, text: &str) -> f64 {
    match field.kind {
        FieldKind::Quantity(kind) => {
            read_stated(text, field, kind).unwrap_or_else(|e| panic!("{}: {text}: {e}", field.key)).value_si
        }
        _ => text.parse().unwrap_or_else(|e| panic!("{}: {text}: {e}", field.key)),
    }
}

fn is_number(field: &Field) -> bool {
    matches!(field.kind, FieldKind::Quantity(_) | FieldKind::Integer)
}

#[test]
fn each_field_is_complete() {
    let mut seen = Vec::new();
    for section in SECTIONS {
        for field in section.fields {
            assert!(!seen.contains(&field.key), "{} twice", field.key);
            seen.push(field.key);
            assert_eq!(field.section(), section.name, "{}", field.key);
            assert!(field.name().chars().all(|c| c.is_ascii_lowercase() || c == '_'), "{}", field.key);
            assert!(field.help.ends_with('.') && field.help.len() > 8, "{}: help", field.key);
            assert!(!field.example.is_empty() && field.label.is_ascii(), "{}: example or label", field.key);
            assert!(std::ptr::eq(field_named(field.key).unwrap(), field));
            if let FieldKind::Choice(choices) = field.kind {
                let fits = |text: &str| choices.iter().any(|choice| choice.word == text);
                assert!(fits(field.example), "{}: example", field.key);
                assert!(choices.iter().all(|choice| !choice.help.is_empty()));
                if let Presence::Default(text) = field.presence {
                    assert!(fits(text), "{}: default", field.key);
                }
            }
            if let Presence::Estimated { how, source } = field.presence {
                assert!(!how.is_empty() && !source.is_empty());
            }
        }
    }
    assert!(seen.len() > 90);
}

#[test]
fn examples_and_defaults_lie_within_the_limits() {
    for field in all_fields().filter(|field| is_number(field)) {
        let (low, high) = field.possible.unwrap_or_else(|| panic!("{}: no limits", field.key));
        assert!(low < high, "{}", field.key);
        if let Some((usual_low, usual_high)) = field.usual {
            assert!(low <= usual_low && usual_low < usual_high && usual_high <= high, "{}", field.key);
            let example = value(field, field.example);
            assert!((usual_low..=usual_high).contains(&example), "{}: example", field.key);
        }
        if let Presence::Default(text) = field.presence {
            assert!((low..=high).contains(&value(field, text)), "{}: default", field.key);
        }
    }
}

#[test]
fn an_assumed_value_is_never_surer_than_a_measured_one() {
    for field in all_fields().filter(|field| is_number(field)) {
        let at = value(field, field.example);
        let width = |rule: wakewright_records::boat::SpreadRule| {
            let spread = rule.around(at);
            spread.p90 - spread.p10
        };
        let (measured, assumed) = (width(field.spread_measured), width(field.spread_assumed));
        assert!(measured <= assumed + 1e-12, "{}: {measured} {assumed}", field.key);
    }
}

/// The example of every field, taken together as a document: each is read.
#[test]
fn the_examples_make_a_document() {
    let answers: Vec<(String, &str)> = SECTIONS
        .iter()
        .filter(|section| section.name != "towed")
        .flat_map(|section| section.fields.iter().map(move |field| (section, field)))
        .map(|(section, field)| {
            let row = if section.is_repeated { "[1]" } else { "" };
            (format!("{}{row}.{}", section.name, field.name()), field.example)
        })
        .collect();
    let borrowed: Vec<(&str, &str)> = answers.iter().map(|(key, text)| (key.as_str(), *text)).collect();
    let text = new_document(&borrowed);
    let (document, faults) = BoatDocument::parse_lenient(&text);
    let errors: Vec<_> = faults.iter().filter(|fault| fault.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:#?}\n{text}");
    let document = document.unwrap();
    for (address, typed) in &answers {
        assert_eq!(document.typed(address), Some(*typed), "{address}");
    }
}

#[test]
fn the_schema_has_every_field() {
    let schema = json_schema();
    for section in SECTIONS {
        let own = &schema["properties"][section.name];
        let table = if section.is_repeated { &own["items"] } else { own };
        for field in section.fields {
            let entry = &table["properties"][field.name()];
            assert!(entry["description"].is_string(), "{}", field.key);
            assert!(!entry["examples"][0].is_null(), "{}", field.key);
            if let FieldKind::Quantity(kind) = field.kind {
                assert_eq!(entry["x-unit-kind"], kind.word(), "{}", field.key);
            }
        }
    }
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
}

/// Each `(source)` of an estimate is a key of SOURCES.toml or one of the two marks.
#[test]
fn estimates_name_their_source() {
    for field in all_fields() {
        if let Presence::Estimated { source, .. } = field.presence {
            let is_key = source.len() > 4 && source[source.len() - 4..].bytes().all(|b| b.is_ascii_digit());
            let is_mark = matches!(source, "common practice, no source" | "from memory");
            assert!(is_key || is_mark, "{}: {source}", field.key);
        }
    }
}

#[test]
fn listing_names_every_field() {
    let listing = field_listing();
    for field in all_fields() {
        assert!(listing.contains(field.key), "{}", field.key);
    }
}

/// docs/boat-document.md is made from the descriptors. `WAKEWRIGHT_REFRESH=1` writes it anew.
#[test]
fn the_manual_page_is_up_to_date() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/boat-document.md");
    let made = manual_markdown();
    if std::env::var_os("WAKEWRIGHT_REFRESH").is_some() {
        std::fs::write(path, &made).unwrap();
    }
    let kept = std::fs::read_to_string(path).unwrap_or_default();
    assert!(kept == made, "docs/boat-document.md is out of date: run this test with WAKEWRIGHT_REFRESH=1");
}
