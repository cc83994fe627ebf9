//! The forms of the Options page: one for each alternative and one for a new one. A change is a field of
//! the document with its new value, typed in any unit. Not for: what is done with them (`change`).

use maud::{Markup, html};
use wakewright_records::boat::{Alternative, BoatDocument, Change, Field, FieldKind, SECTIONS, field_named};

use crate::address;
use crate::query::Query;
use crate::state::BoatOnPage;
use wakewright_rooms::whatif::{Tried, as_alternative, kept_text};

/// Sections that alternatives usually change; any other field that one names is offered as well.
const OFFERED: [&str; 9] =
    ["propeller", "reduction", "motor", "controller", "pack", "bank", "hull", "sea", "use"];

/// Empty lines below the changes.
const SPARE_LINES: usize = 2;

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

    fn of(number: usize, alternative: &Alternative, cost: &str) -> Self {
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
    fn tried(document: &BoatDocument, tried: &Tried) -> Self {
        let words: Vec<String> =
            tried.changes.iter().map(|change| format!("{} {}", change.to, change.label)).collect();
        Self {
            name: words.join(", "),
            lines: lines_of(&as_alternative(document, &tried.changes)),
            ..Self::default()
        }
    }

    fn id(&self) -> String {
        self.number.map_or_else(|| "new".to_owned(), |number| format!("alternative-{number}"))
    }

    fn note_at(&self, place: Place) -> Markup {
        html! {
            @for (_, words) in self.faults.iter().filter(|(at, _)| *at == place) { p.fault { (words) } }
        }
    }

    fn is_wrong(&self, place: Place) -> Option<&'static str> {
        self.faults.iter().any(|(at, _)| *at == place).then_some("true")
    }
}

fn lines_of(changes: &[Change]) -> Vec<(String, String)> {
    changes.iter().map(|change| (change.address.clone(), change.text.clone())).collect()
}

/// A form for each alternative in the document, and one for a new one. `typed` stands in the place of the
/// one that it came from.
pub fn forms(boat: &BoatOnPage, tried: &Tried, typed: Option<&Typed>) -> Markup {
    let document = &boat.loaded.document;
    let alternatives = document.alternatives();
    let count = alternatives.len();
    let own = typed.filter(|typed| typed.number.is_none());
    let is_tried = tried.differs();
    let fresh = if is_tried { Typed::tried(document, tried) } else { Typed::default() };
    html! {
        section.alternatives {
            h2 id="alternatives" { "The alternatives in her document" }
            @for (number, alternative) in (1..).zip(&alternatives) {
                @let cost = document.typed(&format!("alternative[{number}].cost")).unwrap_or_default();
                @let as_kept = Typed::of(number, alternative, cost);
                @let shown = typed.filter(|typed| typed.number == Some(number));
                (form(boat, shown.unwrap_or(&as_kept), shown.is_some(), count))
            }
            (form(boat, own.unwrap_or(&fresh), own.is_some() || is_tried, count))
        }
    }
}

fn form(boat: &BoatOnPage, typed: &Typed, is_open: bool, count: usize) -> Markup {
    let id = typed.id();
    let heading = match typed.number {
        Some(_) => typed.name.as_str(),
        None => "A new alternative",
    };
    html! {
        details.part id=(id) open[is_open] {
            summary {
                h3 { (heading) }
                @if typed.number.is_some() {
                    span.count { (typed.lines.len()) @if typed.lines.len() == 1 { " change" } @else { " changes" } }
                }
            }
            form.alternative method="post" action=(address::of_boat(&boat.entry.slug, "options")) autocomplete="off" data-remember=(id) {
                input type="hidden" name="base" value=(boat.revision.head.number);
                @if let Some(number) = typed.number { input type="hidden" name="number" value=(number); }
                // The first button is the one that Enter presses.
                button.visually-hidden name="do" value="keep" tabindex="-1" aria-hidden="true" { "Keep" }
                @if !typed.faults.is_empty() {
                    div.caution role="alert" {
                        strong { "Nothing was kept; what you typed is still here." }
                        (typed.note_at(Place::Whole))
                    }
                }
                div.named { (named_fields(typed, &id)) }
                (lines(&boat.loaded.document, typed, &id))
                (buttons(typed, count))
            }
        }
    }
}

fn named_fields(typed: &Typed, id: &str) -> Markup {
    html! {
        div.one {
            label for={ (id) "-name" } { "name" }
            input id={ (id) "-name" } name="name" value=(typed.name) aria-invalid=[typed.is_wrong(Place::Name)]
                aria-describedby={ (id) "-name-note" };
            div.note id={ (id) "-name-note" } { (typed.note_at(Place::Name)) }
        }
        div.one {
            label for={ (id) "-cost" } { "cost, with its currency" }
            input id={ (id) "-cost" } name="cost" value=(typed.cost) placeholder="250 EUR"
                aria-invalid=[typed.is_wrong(Place::Cost)] aria-describedby={ (id) "-cost-note" };
            div.note id={ (id) "-cost-note" } { (typed.note_at(Place::Cost)) }
        }
        div.one.wide {
            label for={ (id) "-note" } { "note" }
            input id={ (id) "-note" } name="note" value=(typed.note);
        }
    }
}

fn lines(document: &BoatDocument, typed: &Typed, id: &str) -> Markup {
    let spare = SPARE_LINES.max(typed.spare);
    let empty = (String::new(), String::new());
    let shown = typed.lines.iter().chain(std::iter::repeat_n(&empty, spare));
    html! {
        fieldset.changes {
            legend { "What is changed; everything else stays as it is" }
            @for (place, (field, value)) in shown.enumerate() {
                @let note = format!("{id}-line-{place}");
                @let wrong = typed.is_wrong(Place::Line(place));
                div.change {
                    select name="field" aria-label={ "field of change " (place + 1) } aria-describedby=(note) aria-invalid=[wrong] {
                        option value="" { "no change" }
                        (choices(document, field))
                    }
                    input name="value" value=(value) spellcheck="false" aria-label={ "new value of change " (place + 1) }
                        placeholder="new value" aria-describedby=(note) aria-invalid=[wrong];
                    div.note id=(note) { (typed.note_at(Place::Line(place))) }
                }
            }
        }
    }
}

/// The fields that may be chosen, each with its value now.
fn choices(document: &BoatDocument, chosen: &str) -> Markup {
    let mut is_there = chosen.is_empty();
    let groups: Vec<(String, Vec<(String, &Field)>)> = OFFERED
        .iter()
        .filter_map(|name| SECTIONS.iter().find(|section| section.name == *name))
        .flat_map(|section| {
            let fields = |place: &str| -> Vec<(String, &Field)> {
                let is_figure = |field: &&Field| {
                    !matches!(field.kind, FieldKind::Text | FieldKind::Date | FieldKind::Changes)
                };
                let at = |field| (format!("{place}.{}", Field::name(field)), field);
                section.fields.iter().filter(is_figure).map(at).collect()
            };
            if !section.is_repeated {
                return vec![(section.heading.to_owned(), fields(section.name))];
            }
            let rows = document.rows(section.name);
            (1..)
                .zip(&rows)
                .map(|(number, row)| {
                    let heading = if rows.len() == 1 {
                        section.heading.to_owned()
                    } else {
                        format!("{} {number}", section.heading)
                    };
                    (heading, fields(row.address()))
                })
                .collect()
        })
        .collect();
    let option = |address: &str, label: &str| {
        let now = kept_text(document, address).filter(|text| !text.is_empty());
        html! {
            option value=(address) selected[address == chosen] {
                (label) @if let Some(now) = now { " (now " (now) ")" }
            }
        }
    };
    let listed: Vec<Markup> = groups
        .iter()
        .map(|(heading, fields)| {
            is_there |= fields.iter().any(|(address, _)| address == chosen);
            html! {
                optgroup label=(heading) { @for (address, field) in fields { (option(address, field.label)) } }
            }
        })
        .collect();
    html! {
        @for group in &listed { (group) }
        @if !is_there {
            (option(chosen, field_named(chosen).map_or(chosen, |field| field.label)))
        }
    }
}

fn buttons(typed: &Typed, count: usize) -> Markup {
    html! {
        div.buttons {
            button.main name="do" value="keep" { @if typed.number.is_some() { "Keep the changes" } @else { "Lay it beside her" } }
            button name="do" value="more" { "More lines" }
            @if let Some(number) = typed.number {
                @if number > 1 { button name="do" value="earlier" { "Move before" } }
                @if number < count { button name="do" value="later" { "Move behind" } }
                button name="do" value="remove" { "Take out" }
            }
        }
    }
}
