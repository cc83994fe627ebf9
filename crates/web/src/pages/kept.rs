//! What the page says after something was kept: under which name, the way to compare, the way back.

use crate::address;
use crate::query::Query;
use crate::sent::{DONE, Done};
use crate::state::BoatOnPage;
use maud::{Markup, html};
use wakewright_store::RevisionHead;

/// Name in an address of the alternative that was kept, or of the boat beside which this one was.
pub(super) const KEPT: &str = "kept";

/// Name in an address of the revision in which something was kept.
pub const REVISION: &str = "revision";

/// Number of the revision that is saved on `base`.
pub fn next(base: u32) -> u32 {
    base.saturating_add(1)
}

/// What was kept last, as an address says, under which name, with the ways to compare it and to undo it;
/// nothing once another revision has followed.
pub fn told(boat: &BoatOnPage, query: &Query, page: &str) -> Markup {
    let done = Done::in_field(query, DONE);
    let (slug, document) = (&boat.entry.slug, &boat.loaded.document);
    if done == Some(Done::Beside) && boat.revision.head.number == 1 {
        return html! {
            div.notice role="status" {
                "Kept as a boat of her own, “" (boat.entry.name) "”: " (boat.revision.head.note) ". "
                a href="/" { "All boats" } " "
                form.inline method="post" action=(address::of_boat(slug, "remove")) { button.small { "Take her off the list again" } }
            }
        };
    }
    let kept =
        query.get(KEPT).filter(|name| document.alternatives().iter().any(|other| other.name == **name));
    let words = kept.map_or_else(
        || html! {},
        |name| {
            html! {
                "“" (name) "” is kept as an alternative; she herself stays as she is. "
                a href=(address::of_boat(slug, "options")) { "Compare her alternatives" } ". "
            }
        },
    );
    told_of((slug, page), &boat.revision.head, query, &words)
}

/// The same of a revision of the boat of this slug, on the page of this word, `words` before it.
pub fn told_of((slug, page): (&str, &str), head: &RevisionHead, query: &Query, words: &Markup) -> Markup {
    if Done::in_field(query, DONE) == Some(Done::BroughtBack) {
        let said = "Brought back as a new revision; nothing was deleted.";
        return html! { p.notice role="status" { (said) } };
    }
    let number = query.get(REVISION).and_then(|number| number.parse::<u32>().ok());
    if number == Some(next(head.number)) {
        let said = "Nothing was different from what is kept; there was nothing to keep.";
        return html! { p.notice role="status" { (said) } };
    }
    if number != Some(head.number) || head.number < 2 {
        return html! {};
    }
    let compared = format!("compare?old={}&new={}", head.number - 1, head.number);
    html! {
        div.notice role="status" {
            (words)
            "Kept as revision " (head.number) @if !head.note.is_empty() { ": " (head.note) } ". "
            a href=(address::of_boat(slug, &compared)) { "Compare with the one before" } " "
            form.inline method="post" action=(address::of_boat(slug, "undo")) {
                input type="hidden" name="base" value=(head.number);
                input type="hidden" name="at" value=(page);
                button.small { "Undo" }
            }
        }
    }
}
