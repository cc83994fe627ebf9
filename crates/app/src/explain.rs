//! What a figure stands on, looked up in the document. Not for: the figure's formula (`Figure::origin`).

use wakewright_core::boat::Input;
use wakewright_core::study::Figure;
use wakewright_records::boat::{FieldKind, Origin, Presence, field_named};
use wakewright_report::text::InputLine;

use crate::boats::Loaded;
use crate::sources::citation;

/// The inputs of `figure` as the document has them.
#[must_use]
pub fn inputs_of(figure: Figure, boat: &Loaded) -> Vec<InputLine> {
    figure.origin().inputs.iter().map(|key| input_line(key, boat)).collect()
}

/// The sources of `figure` with their citations.
#[must_use]
pub fn sources_of(figure: Figure) -> Vec<(String, String)> {
    figure.origin().sources.iter().map(|key| ((*key).to_owned(), citation(key))).collect()
}

fn input_line(key: &str, boat: &Loaded) -> InputLine {
    let Some(field) = field_named(key) else {
        let known = Input::ALL.iter().find(|input| input.key() == key);
        let label = known.map_or(key, |input| input.words()).to_owned();
        let spread = boat.spec.uncertain.iter().find(|u| Some(&u.input) == known).map(|u| u.spread);
        let value =
            spread.map_or_else(String::new, |s| format!("{:.3} ({:.3} to {:.3})", s.median, s.p10, s.p90));
        return InputLine { key: key.to_owned(), label, value, origin: "the method's own spread".to_owned() };
    };
    let (section, name) = key.split_once('.').unwrap_or((key, ""));
    let rows = boat.document.rows(section);
    let addresses: Vec<String> = if rows.is_empty() {
        vec![key.to_owned()]
    } else {
        rows.iter().map(|row| row.address_of(name)).collect()
    };
    let values: Vec<String> =
        addresses.iter().filter_map(|a| boat.document.typed(a).map(str::to_owned)).collect();
    let (value, origin) = if values.is_empty() {
        not_written(key, field.presence, boat)
    } else {
        let is_assumed = addresses.iter().any(|a| boat.document.origin(a) == Some(Origin::Assumed));
        let how = match field.kind {
            FieldKind::Quantity(_) if is_assumed => "assumed",
            FieldKind::Quantity(_) => "measured",
            _ => "stated",
        };
        (values.join(", "), how.to_owned())
    };
    InputLine { key: key.to_owned(), label: field.label.to_owned(), value, origin }
}

fn not_written(key: &str, presence: Presence, boat: &Loaded) -> (String, String) {
    let spread = boat.spec.uncertain.iter().find(|u| u.input.key() == key).map(|u| u.spread);
    let number = |si: f64| field_named(key).map_or_else(String::new, |field| field.value_text(si));
    match presence {
        Presence::Default(text) => (text.to_owned(), "usual value".to_owned()),
        Presence::Estimated { how, .. } => {
            (spread.map_or_else(String::new, |s| number(s.median)), format!("estimated from {how}"))
        }
        _ => (String::new(), "not given".to_owned()),
    }
}
