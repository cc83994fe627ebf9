//! An alternative as it is typed: its name, what it changes, where it goes.

use super::form::lines_of;
use crate::query::Query;
use maud::{Markup, html};
use wakewright_records::boat::{Alternative, BoatDocument};
use wakewright_rooms::whatif::{Tried, as_alternative};

/// A form as it was typed.
#[derive(Debug, Default)]
pub struct Typed {
    /// Number of the alternative in the document; `None` for a new one.
    pub number: Option<usize>,
    /// Its name.
    pub name: String,
    /// Its cost.
    pub cost: String,
    /// Its note.
    pub note: String,
    /// Address and value of each change.
    pub lines: Vec<(String, String)>,
    /// What is wrong, and where.
    pub faults: Vec<(Place, String)>,
    /// More empty lines were asked for.
    pub spare: usize,
}

/// Where a fault belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The name.
    Name,
    /// The cost.
    Cost,
    /// A change, by its line.
    Line(usize),
    /// The whole.
    Whole,
}

impl Typed {
    /// From the fields of a form.
    pub fn from_form(form: &Query) -> Self {
        let text = |name: &str| form.get(name).unwrap_or_default().trim().to_owned();
        let lines: Vec<(String, String)> = form
            .all("field")
            .zip(form.all("value"))
            .map(|(field, value)| (field.trim().to_owned(), value.trim().to_owned()))
            .collect();
        Self {
            number: form.get("number").and_then(|number| number.parse().ok()),
            name: text("name"),
            cost: text("cost"),
            note: text("note").replace("\r\n", "\n"),
            lines,
            ..Self::default()
        }
    }

    pub(super) fn of(number: usize, alternative: &Alternative, cost: &str) -> Self {
        Self {
            number: Some(number),
            name: alternative.name.clone(),
            cost: cost.to_owned(),
            note: alternative.note.clone().unwrap_or_default(),
            lines: lines_of(&alternative.changes),
            ..Self::default()
        }
    }

    /// A new one with what is tried in the address.
    pub(super) fn tried(document: &BoatDocument, tried: &Tried) -> Self {
        let words: Vec<String> =
            tried.changes.iter().map(|change| format!("{} {}", change.to, change.label)).collect();
        Self {
            name: words.join(", "),
            lines: lines_of(&as_alternative(document, &tried.changes)),
            ..Self::default()
        }
    }

    pub(super) fn id(&self) -> String {
        self.number.map_or_else(|| "new".to_owned(), |number| format!("alternative-{number}"))
    }

    pub(super) fn note_at(&self, place: Place) -> Markup {
        html! {
            @for (_, words) in self.faults.iter().filter(|(at, _)| *at == place) { p.fault { (words) } }
        }
    }

    pub(super) fn is_wrong(&self, place: Place) -> Option<&'static str> {
        self.faults.iter().any(|(at, _)| *at == place).then_some("true")
    }
}
