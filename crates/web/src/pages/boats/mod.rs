//! The list of boats, and all that brings one onto it or takes her off.

mod act;
mod import;
mod new;

pub use act::{copy, make_demo, reinstate, remove, rename};
pub use import::{Came, Parcel, Sent, import};
pub use new::{make, questions};

use maud::{Markup, html};
use wakewright_core::field;
use wakewright_records::boat::BoatDocument;
use wakewright_store::BoatSummary;

use crate::address;
use crate::error::WebError;
use crate::state::Site;
use wakewright_rooms::moment;

/// A boat with what her document says of her.
struct Line {
    summary: BoatSummary,
    kind: String,
    is_invented: bool,
}

/// The contents of the page.
///
/// # Errors
/// The store fails.
pub fn contents(site: &Site) -> Result<Markup, WebError> {
    let (lines, removed) = {
        let store = site.store();
        let mut lines = Vec::new();
        for summary in store.list()? {
            let text = store.latest(summary.boat.id)?.text;
            // Two words of each document are shown: the rest of it need not be read and judged.
            let document = BoatDocument::parse_lenient(boat_section(&text)).0;
            let said = |key: &str| document.as_ref().and_then(|d| d.text(key)).map(str::to_owned);
            lines.push(Line {
                kind: said(field::boat::TYPE).unwrap_or_default(),
                is_invented: said(field::boat::INVENTED).is_some(),
                summary,
            });
        }
        (lines, store.removed()?)
    };
    Ok(html! {
        h1.sentence {
            @match lines.len() {
                0 => "No boat yet. Describe one, or look at an invented one first.",
                1 => { strong { "One boat" } " in this shop." }
                count => { strong { (count) " boats" } " in this shop." }
            }
        }
        @if lines.is_empty() {
            p.lead { "For electric drives in boats: how fast and how far she goes, what stops her, what would help, from a tape measure and the plates. "
                "Each figure has a band that says how sure it is, and opens to where it comes from. Everything stays on this computer." }
        }
        div.buttons {
            a.button.main href="/new" { "Describe a new boat" }
            form method="post" action="/demo" { button { "Look at an invented boat" } }
        }
        @if !lines.is_empty() { (table(&lines)) }
        (import::form(None))
        (safekeeping())
        @if !removed.is_empty() {
            h2 { "Removed" }
            p.aside { "Everything of theirs is kept." }
            ul.plain { @for line in &removed { li {
                form.inline method="post" action="/reinstate" {
                    (line.boat.name) " "
                    button.small name="boat" value=(line.boat.id.0) { "Reinstate" span.visually-hidden { " " (line.boat.name) } }
                }
            } } }
        }
    })
}

/// Ways to keep everything safe, and to other devices.
fn safekeeping() -> Markup {
    html! {
        details.part {
            summary { h2 { "Back up, restore, share" } }
            p { a.button href="/backup" download { "Back up all boats" } }
            p.aside { "One file with every boat, revision, log and photograph. A boat alone, with all that is hers, is under “More”." }
            form method="post" action="/restore" enctype="multipart/form-data" {
                p { label for="backup-file" { "A file that a backup wrote" } input id="backup-file" type="file" name="file" required; }
                p { label.tick { input type="checkbox" name="sure" required; " its boats in the place of all that are here; these are kept beside it in a file with the date" } }
                div.buttons { button { "Restore" } }
            }
            p.aside { "Phones and other computers on this network work on the same boats when the program is started with "
                code { "wakewright serve --share" } ", which shows the address and the code." }
        }
    }
}

/// The lines of the section `[boat]`; the whole text where it is not written as one.
fn boat_section(text: &str) -> &str {
    let starts = |line: &str, with: &str| line.trim_start().starts_with(with);
    let mut at = 0;
    let mut from = None;
    for line in text.split_inclusive('\n') {
        match from {
            None if starts(line, "[boat]") => from = Some(at),
            Some(from) if starts(line, "[") => return &text[from..at],
            _ => {}
        }
        at += line.len();
    }
    from.map_or(text, |from| &text[from..])
}

fn table(lines: &[Line]) -> Markup {
    html! {
        table.stacks.boats {
            caption { "Boats" }
            thead { tr {
                th scope="col" { "name" } th scope="col" { "kind" } th scope="col" { "last change" }
                th.number scope="col" { "revisions" } th scope="col" { span.visually-hidden { "what to do" } }
            } }
            tbody { @for line in lines {
                @let boat = &line.summary.boat;
                tr {
                    th scope="row" {
                        a.boat-name href=(address::of_boat(&boat.slug, "boat")) { (boat.name) }
                        @if line.is_invented { " " span.mark.invented { "invented" } }
                    }
                    td.wide data-head="kind" { (line.kind) }
                    td data-head="last change" { (moment::local(line.summary.latest_time)) }
                    td.number data-head="revisions" { a href=(address::of_boat(&boat.slug, "history")) { (line.summary.revisions) span.visually-hidden { " revisions of " (boat.name) } } }
                    td.wide { (more(line)) }
                }
            } }
        }
    }
}

/// What else can be done with a boat.
fn more(line: &Line) -> Markup {
    let boat = &line.summary.boat;
    let to = |rest: &str| address::of_boat(&boat.slug, rest);
    let id = boat.id.0;
    html! {
        details.more {
            summary { "More" span.visually-hidden { " for " (boat.name) } }
            div.more-inner {
                p { a.button href=(to("drive")) { "Drive" } " " a.button href=(to("range")) { "Range" } " "
                    a.button href=(to("document.toml")) download { "Document" } " " a.button href=(to("archive.zip")) download { "Archive" } }
                form method="post" action=(to("copy")) {
                    label for={ "copy-" (id) } { "Copy under the name" }
                    input id={ "copy-" (id) } name="name" required maxlength="80" value={ (boat.name) " (copy)" };
                    button { "Copy" }
                }
                form method="post" action=(to("rename")) {
                    label for={ "rename-" (id) } { "New name" }
                    input id={ "rename-" (id) } name="name" required maxlength="80" value=(boat.name);
                    button { "Rename" }
                }
                form method="post" action=(to("remove")) { button { "Take her off the list" } }
            }
        }
    }
}
