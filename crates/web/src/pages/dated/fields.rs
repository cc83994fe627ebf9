//! The pieces of a record's page: what is typed, the list of a check-up, photographs. Not for: the page and what it keeps.

use maud::{Markup, html};
use wakewright_core::call::{PARTS, STRANGE};
use wakewright_core::upkeep::{Found, Item, Stage};
use wakewright_records::checkup::TEST_FIELDS;
use wakewright_records::dated::OUTCOME;
use wakewright_rooms::photograph::LONGEST_PHOTOGRAPH_BYTES;
use wakewright_rooms::sentence::capitalised;

use super::{OnRecord, TYPED};
use crate::address;
use crate::parts;
use crate::parts::live;

/// The questions of its room.
pub(super) fn asked(on: &OnRecord) -> Markup {
    let fields = on.typed();
    html! { @if !fields.is_empty() { div.cells { @for field in &fields {
        @let at = on.kept.kind.address(field.key);
        @if field.lines > 1 { (long(on, &at, field.label, field.lines)) }
        @else if field.choices.is_empty() { (typed(on, &at, field.label, &field.usual, "text")) }
        @else { (choice(on, &at, field.label, &field.usual, &field.choices)) }
    } } } }
}

/// What it was in the end.
pub(super) fn outcome(on: &OnRecord) -> Markup {
    let mut parts: Vec<(&str, &str)> = PARTS.iter().map(|part| (part.key, part.words)).collect();
    parts.push((STRANGE, "none of these"));
    choice(on, OUTCOME, "What it was in the end", "not known yet", &parts)
}

/// The list of a check-up.
pub(super) fn checklist(on: &OnRecord, unfolds: bool) -> Markup {
    if on.kept.kind.room.is_some() {
        return html! {};
    }
    let items = on.items();
    let stages = Stage::ALL.into_iter().filter(|stage| items.iter().any(|item| item.stage == *stage));
    html! { @for stage in stages {
        details.part data-fold=[(unfolds).then(|| format!("checkup-{}", stage.words()))] open[unfolds || stage == Stage::Before] {
            summary { h2 { (stage.words()) } (chief(on, &items, stage)) }
            @for item in items.iter().filter(|item| item.stage == stage) { (entry(on, item)) }
            @if stage == Stage::Battery { (test(on)) }
        }
    } }
}

pub(super) fn finding(on: &OnRecord) -> Markup {
    let items = on.items();
    let of = |found: Found| on.reading.items.iter().filter(|at| at.found == Some(found)).count();
    let looked = of(Found::Good) + of(Found::Watch) + of(Found::ActNow);
    let further = match &on.reading.test {
        Some(test) => format!(
            "The test of the bank tells {} of what stands on it.",
            parts::paper().band(test.capacity.share, wakewright_units::Quantity::Share)
        ),
        None => String::new(),
    };
    live(
        "finding",
        &html! {
            h1.sentence { (looked) " of " (items.len()) " looked at: " (of(Found::ActNow)) " to act on now, " (of(Found::Watch)) " to watch." }
            @if !further.is_empty() { p.under-sentence { (further) } }
        },
    )
}

pub(super) fn chief(on: &OnRecord, items: &[&Item], stage: Stage) -> Markup {
    let of_stage = || items.iter().filter(|item| item.stage == stage);
    let is_said = |item: &&&Item| on.reading.items.iter().any(|at| at.item.key == item.key);
    let key = format!("chief-{}", stage.words().to_lowercase().replace(' ', "-"));
    live(&key, &html! { span.chief { (of_stage().filter(is_said).count()) " of " (of_stage().count()) } })
}

pub(super) fn id_of(address: &str) -> String {
    address.replace('.', "-")
}

pub(super) fn note(on: &OnRecord, address: &str) -> Markup {
    html! { @if let Some(problem) = on.fault(address) { p.fault { (problem) "." } } }
}

fn around(on: &OnRecord, address: &str, label: &str, control: &Markup) -> Markup {
    html! { div.one {
        label for=(id_of(address)) { (label) }
        (control)
        div.note id=(format!("{}-note", id_of(address))) { (note(on, address)) }
    } }
}

pub(super) fn typed(on: &OnRecord, address: &str, label: &str, hint: &str, mode: &str) -> Markup {
    let invalid = on.fault(address).map(|_| "true");
    let mode = (!mode.is_empty()).then_some(mode);
    around(
        on,
        address,
        label,
        &html! {
            input id=(id_of(address)) name=(format!("{TYPED}{address}")) value=(on.kept.document.get(address)) placeholder=(hint)
                autocomplete="off" spellcheck="false" inputmode=[mode] aria-invalid=[invalid]
                aria-describedby=(format!("{}-note", id_of(address)));
        },
    )
}

pub(super) fn long(on: &OnRecord, address: &str, label: &str, rows: u8) -> Markup {
    around(
        on,
        address,
        label,
        &html! {
            textarea id=(id_of(address)) name=(format!("{TYPED}{address}")) rows=(rows) { "\n" (on.kept.document.get(address)) }
        },
    )
}

/// One of some words; what was written otherwise stays among them.
fn choice(on: &OnRecord, address: &str, label: &str, empty: &str, choices: &[(&str, &str)]) -> Markup {
    let now = on.kept.document.get(address);
    around(
        on,
        address,
        label,
        &html! {
            select id=(id_of(address)) name=(format!("{TYPED}{address}")) {
                option value="" selected[now.is_empty()] { (empty) }
                @for (word, words) in choices { option value=(word) selected[*word == now] { (words) } }
                @if !now.is_empty() && choices.iter().all(|(word, _)| *word != now) { option value=(now) selected { (now) } }
            }
        },
    )
}

/// An item: what to do, what was found, its value, a note.
fn entry(on: &OnRecord, item: &Item) -> Markup {
    let at = |name: &str| format!("item.{}.{name}", item.key);
    let choices = Found::ALL.map(|found| (found.words(), found.words()));
    html! {
        fieldset.card {
            legend.visually-hidden { (item.key.replace('_', " ")) }
            p { (item.what) " " span.aside { "(" (item.standing.words()) ")" } }
            div.cells {
                (choice(on, &at("found"), "Found", "–", &choices))
                @if let Some(measured) = item.measured { (typed(on, &at("value"), &wakewright_rooms::sentence::capitalised(measured.what), "with its unit", "text")) }
                (typed(on, &at("note"), "Note", "", ""))
            }
        }
    }
}

/// The test of the bank.
fn test(on: &OnRecord) -> Markup {
    html! {
        fieldset.card {
            legend { "Test of the bank" }
            p.aside { "From full at one steady current down to the cut-off, in one go; charge it again at once." }
            div.cells { @for field in &TEST_FIELDS { (typed(on, &format!("test.{}", field.key), field.label, field.hint, "")) } }
        }
    }
}

pub(super) fn photographs(on: &OnRecord) -> Markup {
    let to = format!(
        "{}/kept/{}/{}",
        address::bring_in(&on.boat.entry.slug),
        on.kept.kind.key,
        on.kept.record.number
    );
    let places: Vec<(&str, String)> = match on.kept.kind.room {
        None => on.items().iter().map(|item| (item.key, capitalised(&item.key.replace('_', " ")))).collect(),
        Some(_) => on.typed().iter().map(|field| (field.key, field.label.to_owned())).collect(),
    };
    let of = |place: &str| {
        let known = places.iter().find(|(key, _)| *key == place);
        known.map_or(String::new(), |(_, words)| format!("{words}: "))
    };
    html! {
        h2 id="photographs" { "Photographs" }
        @if !on.photographs.is_empty() {
            ul.photographs { @for photograph in &on.photographs { li {
                a href=(on.address(&format!("/photographs/{}", photograph.id.0))) {
                    img src=(on.address(&format!("/photographs/{}", photograph.id.0))) alt=(photograph.name) loading="lazy";
                }
                p.aside { (of(&photograph.place)) (photograph.name) ", " (photograph.kept_bytes / 1000) " kB" }
                form.inline method="post" action=(on.address(&format!("/photographs/{}/remove", photograph.id.0))) {
                    button.small { "Take it off" span.visually-hidden { ": " (photograph.name) } }
                }
            } } }
        }
        form.bring-in method="post" action=(to) enctype="multipart/form-data" {
            // Sent before the files that they are about.
            label.tick { input type="checkbox" name="as-it-came" value="yes"; span { "Keep it as it came, with the place and time that it carries" } }
            p { label for="photographs-of" { "Of what" } select id="photographs-of" name="of" {
                option value="" { "the whole" }
                @for (key, words) in &places { option value=(key) { (words) } }
            } }
            p { label for="photographs-new" { "JPEG or PNG" } input id="photographs-new" type="file" name="file" accept="image/jpeg,image/png" multiple required; }
            p.aside { "Up to " (LONGEST_PHOTOGRAPH_BYTES / 1_000_000) " MB each. They are shrunk; place, time and camera are left out. They stay on this computer." }
            div.buttons { button { "Add" } }
        }
    }
}
