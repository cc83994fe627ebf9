//! The lines of a form of the Options page: a field of the document, and what to set it to.

use super::form::SPARE_LINES;
use super::typed::{Place, Typed};
use maud::{Markup, html};
use wakewright_records::boat::{BoatDocument, Field, FieldKind, SECTIONS, field_named};
use wakewright_rooms::whatif::kept_text;

/// Sections that alternatives usually change; any other field that one names is offered as well.
const OFFERED: [&str; 9] =
    ["propeller", "reduction", "motor", "controller", "pack", "bank", "hull", "sea", "use"];

pub(super) fn named_fields(typed: &Typed, id: &str) -> Markup {
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

pub(super) fn lines(document: &BoatDocument, typed: &Typed, id: &str) -> Markup {
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
