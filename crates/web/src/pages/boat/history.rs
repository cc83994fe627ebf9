//! Her revisions: the list, two of them compared, one brought back, the last one undone, one
//! written to a file. Nothing here deletes.

use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use wakewright_records::boat::BoatDocument;
use wakewright_store::SaveOutcome;

use super::{AboutBoat, follow_name};
use crate::address;
use crate::error::WebError;
use crate::query::Query;
use crate::sent::{DONE, Done};
use crate::state::{Site, now};
use wakewright_rooms::moment;
use wakewright_rooms::transfer::file_name;

/// The list of revisions.
///
/// # Errors
/// There is no such boat.
pub fn history(site: &Site, slug: &str) -> Result<AboutBoat, WebError> {
    let store = site.store();
    let entry = store.find_by_slug(slug)?;
    let heads = store.revisions(entry.id)?;
    let asides = store.sides(entry.id)?;
    drop(store);
    let latest = heads.first().map_or(1, |head| head.number);
    let to = |rest: &str| address::of_boat(slug, rest);
    let body = html! {
        h1.sentence { (entry.name) " has " strong { (heads.len()) @if heads.len() == 1 { " revision" } @else { " revisions" } } "; none is ever changed or deleted." }
        @if latest > 1 {
            form method="post" action=(to("undo")) {
                input type="hidden" name="base" value=(latest);
                p.buttons { button { "Undo the last revision" } }
            }
        }
        form method="get" action=(to("compare")) id="compare" {}
        div.scroll { table.stacks {
            caption { "Revisions, the newest first" }
            thead { tr {
                th scope="col" { "number" } th scope="col" { "saved" } th scope="col" { "note" }
                th scope="col" { "compare from" } th scope="col" { "to" } th scope="col" { span.visually-hidden { "what to do" } }
            } }
            tbody { @for head in &heads { @let has_note = !head.note.is_empty() || head.brings_back.is_some(); tr {
                th scope="row" { "Revision " (head.number) @if head.number == latest { " (now)" } }
                td data-head="saved" { (moment::local(head.time)) }
                td data-head=[has_note.then_some("note")] { (head.note) @if let Some(former) = head.brings_back { " (equals revision " (former) ")" } }
                td data-head="from" { (choice("old", head.number, head.number + 1 == latest || latest == 1)) }
                td data-head="to" { (choice("new", head.number, head.number == latest)) }
                td.wide {
                    a.button.small href=(to(&format!("document.toml?revision={}", head.number))) download { "Download" span.visually-hidden { " revision " (head.number) } }
                    @if head.number != latest {
                        " "
                        form.inline method="post" action=(to("bring-back")) {
                            input type="hidden" name="base" value=(latest);
                            button.small name="number" value=(head.number) { "Bring back" span.visually-hidden { " revision " (head.number) } }
                        }
                    }
                }
            } } }
        } }
        p.buttons { button form="compare" { "Compare the two" } }
        @if !asides.is_empty() {
            h2 { "Kept aside" }
            p.aside { "Texts whose saving came too late, because somebody else had saved." }
            ul { @for side in &asides { li {
                a href=(to(&format!("aside/{}", side.id.0))) { "Text of " (moment::local(side.time)) ", from revision " (side.base) }
                @if side.settled.is_some() { ", decided" } @else { ", not decided yet" }
            } } }
        }
    };
    Ok(AboutBoat { entry, body })
}

fn choice(name: &str, number: u32, is_checked: bool) -> Markup {
    let words = if name == "old" { "compare from revision" } else { "compare to revision" };
    html! { label.tick {
        input form="compare" type="radio" name=(name) value=(number) checked[is_checked]
            aria-label={ (words) " " (number) };
    } }
}

/// The document in a text that is not too long to be one.
pub(super) fn document(text: &str) -> Option<BoatDocument> {
    (text.len() <= wakewright_records::boat::LONGEST_DOCUMENT_BYTES)
        .then(|| BoatDocument::parse_lenient(text).0)
        .flatten()
}

/// Goes back by one revision; gives the address to go to.
///
/// # Errors
/// There is nothing to undo, or the store fails.
pub fn undo(site: &Site, slug: &str, form: &Query) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_by_slug(slug)?;
    let outcome = store.undo(entry.id, form.number("base")?, "undone", now())?;
    let from = form.get("at").filter(|page| site.rooms().iter().any(|room| room.card().key == *page));
    brought(&mut store, &entry, &outcome, from.unwrap_or("boat"))
}

/// Adds a revision that equals a former one; gives the address to go to.
///
/// # Errors
/// There is no such revision, or the store fails.
pub fn bring_back(site: &Site, slug: &str, form: &Query) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_by_slug(slug)?;
    let number = form.number("number")?;
    let note = format!("revision {number} brought back");
    let outcome = store.bring_back(entry.id, number, form.number("base")?, &note, now())?;
    brought(&mut store, &entry, &outcome, "boat")
}

fn brought(
    store: &mut wakewright_store::Store,
    entry: &wakewright_store::Boat,
    outcome: &SaveOutcome,
    page: &str,
) -> Result<String, WebError> {
    match outcome {
        SaveOutcome::Conflict { theirs, .. } => Err(WebError::BadRequest(format!(
            "Revision {} was saved meanwhile, so nothing was done. Look at it first, then try again.",
            theirs.head.number
        ))),
        SaveOutcome::Unchanged { .. } => {
            Ok(address::of_boat(&entry.slug, &format!("{page}?{DONE}={}", Done::Unchanged.word())))
        }
        SaveOutcome::Saved(head) => {
            let text = store.get(entry.id, head.number)?.text;
            follow_name(store, entry, &text)?;
            Ok(address::of_boat(&entry.slug, &format!("{page}?{DONE}={}", Done::BroughtBack.word())))
        }
    }
}

/// A revision as a file.
///
/// # Errors
/// There is no such boat or revision.
pub fn download(site: &Site, slug: &str, query: &Query) -> Result<Response, WebError> {
    let store = site.store();
    let entry = store.find_by_slug(slug)?;
    let revision = match query.get("revision") {
        Some(_) => store.get(entry.id, query.number("revision")?)?,
        None => store.latest(entry.id)?,
    };
    let encoded: String = form_urlencoded::byte_serialize(file_name(&entry).as_bytes()).collect();
    let headers = [
        (CONTENT_TYPE, "application/toml; charset=utf-8".to_owned()),
        (CONTENT_DISPOSITION, format!("attachment; filename*=UTF-8''{encoded}")),
    ];
    Ok((headers, revision.text).into_response())
}
