//! The forms of the Options page: one for each alternative and one for a new one. A change is a field of
//! the document with its new value, typed in any unit. Not for: what is done with them (`change`).

use maud::{Markup, html};
use wakewright_records::boat::Change;

use super::lines::{lines, named_fields};
use super::typed::{Place, Typed};
use crate::address;
use crate::sent::{DO, OfAlternative};
use crate::state::BoatOnPage;
use wakewright_rooms::whatif::Tried;

/// Empty lines below the changes.
pub(super) const SPARE_LINES: usize = 2;

pub(super) fn lines_of(changes: &[Change]) -> Vec<(String, String)> {
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

pub(super) fn form(boat: &BoatOnPage, typed: &Typed, is_open: bool, count: usize) -> Markup {
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
                button.visually-hidden name=(DO) value=(OfAlternative::Keep.word()) tabindex="-1" aria-hidden="true" { "Keep" }
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

fn buttons(typed: &Typed, count: usize) -> Markup {
    html! {
        div.buttons {
            button.main name=(DO) value=(OfAlternative::Keep.word()) { @if typed.number.is_some() { "Keep the changes" } @else { "Lay it beside her" } }
            button name=(DO) value=(OfAlternative::MoreLines.word()) { "More lines" }
            @if let Some(number) = typed.number {
                @if number > 1 { button name=(DO) value=(OfAlternative::Earlier.word()) { "Move before" } }
                @if number < count { button name=(DO) value=(OfAlternative::Later.word()) { "Move behind" } }
                button name=(DO) value=(OfAlternative::Remove.word()) { "Take out" }
            }
        }
    }
}
