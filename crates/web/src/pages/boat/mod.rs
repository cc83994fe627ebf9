//! The Boat page: the survey sheet, kept as a draft while it is typed and as a revision when it is
//! wanted. Not for: reading the document.

mod compare;
mod conflict;
mod field;
mod history;
mod picture;
mod sheet;
mod unfinished;
mod verdict;

pub use compare::compare;
pub use conflict::{aside, settle};
pub use field::FieldOnSheet;
pub use history::{bring_back, download, history, undo};
pub use unfinished::unfinished;
pub use verdict::verdict;

use maud::{Markup, html};
use serde_json::{Map, Value, json};
use wakewright_core::field::boat;
use wakewright_records::boat::{BoatDocument, LONGEST_DOCUMENT_BYTES, Severity};
use wakewright_store::{Boat, SaveOutcome, Store, StoreError};

use crate::address;
use crate::error::WebError;
use crate::pages::kept::{REVISION, told_of};
use crate::query::Query;
use crate::sent::{DO, DONE, Done, OfSheet, View};
use crate::state::{Site, now};
use crate::visitor::Visitor;
use crate::working::{Reading, Typed, WorkingCopy, device};
use wakewright_rooms::moment;

/// Contents of a page about a boat.
#[derive(Debug)]
pub struct AboutBoat {
    /// Her entry.
    pub entry: Boat,
    /// The contents.
    pub body: Markup,
}

/// The contents of the page.
///
/// # Errors
/// There is no such boat.
pub fn contents(
    site: &Site,
    slug: &str,
    query: &Query,
    visitor: &Visitor,
    view: View,
) -> Result<AboutBoat, WebError> {
    let copy = WorkingCopy::open(site, slug, visitor, query)?;
    let reading = Reading::typed(&copy.text, &copy.base.text);
    let unsettled = site.store().unsettled(copy.entry.id)?;
    // What is no document at all can be put right as text only.
    let view = if reading.document.is_none() { View::Text } else { view };
    let to = |rest: &str| address::of_boat(slug, rest);
    let body = html! {
        h1.sentence id="sentence" { (sheet::sentence(&copy.entry.name, &reading)) }
        (done(query, &copy))
        @for side in &unsettled {
            div.caution role="note" {
                strong { "A text of " (moment::local(side.time)) " came too late and is kept aside." }
                p { "Somebody else had saved revision " (side.against) " meanwhile. "
                    a href=(to(&format!("aside/{}", side.id.0))) { "See both and decide" } }
            }
        }
        (restored(&copy, slug))
        div id="picture" { (picture::picture_or_last_good(&reading, &copy.base.text, visitor)) }
        form.survey id="survey" method="post" action=(to("boat")) autocomplete="off" data-draft=(to("draft")) {
            input type="hidden" name="view" value=(view.word());
            input type="hidden" name="draft" value=(copy.draft);
            input type="hidden" name="base" value=(copy.base.head.number);
            @if let Some((name, time)) = &copy.from {
                input type="hidden" name="from" value=(name);
                input type="hidden" name="from_time" value=(time.0);
            }
            // The first button is the one that Enter presses.
            button.visually-hidden name=(DO) value=(OfSheet::Check.value()) tabindex="-1" aria-hidden="true" { "Check" }
            nav.ways aria-label="Ways to look at the document" {
                ul {
                    li { a href=(to("boat")) aria-current=[(view == View::Sheet).then_some("true")] data-way="boat" { "As a sheet" } }
                    li { a href=(to("text")) aria-current=[(view == View::Text).then_some("true")] data-way="text" { "As text" } }
                    li { a href=(to("history")) { "Revisions" } }
                }
            }
            div id="findings" { (sheet::findings(&reading)) }
            @match view {
                View::Sheet => {
                    textarea name="text" hidden aria-label="The whole document" { "\n" (copy.text) }
                    (sheet::sheet(&reading, crate::parts::Widths::of(visitor.width_px).unfolds()))
                }
                View::Text => {
                    h2 { label for="text" { "The whole document" } }
                    p.aside { "The same document as the sheet; remarks behind # stay. Each value is written with its unit in quotes." }
                    textarea.document id="text" name="text" rows="30" spellcheck="false" { "\n" (copy.text) }
                }
            }
            (keep_bar(&copy))
        }
    };
    Ok(AboutBoat { entry: copy.entry, body })
}

/// What the last step did.
fn done(query: &Query, copy: &WorkingCopy) -> Markup {
    let text = match Done::in_field(query, DONE) {
        Some(Done::Kept | Done::BroughtBack) => {
            return told_of((&copy.entry.slug, "boat"), &copy.base.head, query, &html! {});
        }
        Some(Done::Unchanged) => "Nothing was different from the revision; there was nothing to keep.",
        Some(Done::Checked) => "Checked, and kept as a draft.",
        Some(Done::Doubtful) => {
            "Kept as a draft, not as a revision: a number typed new has two readings. Write it so that it has one."
        }
        Some(Done::Discarded) => "What was typed since the last revision was thrown away.",
        Some(Done::Settled) => "Decided. Both texts stay in her history.",
        Some(Done::NameTaken) => {
            "Kept. Another boat has that name, so this one stays on the list under her old one."
        }
        None | Some(Done::Beside | Done::Removed | Done::Moved) => return html! {},
    };
    html! { p.notice role="status" { (text) } }
}

fn restored(copy: &WorkingCopy, slug: &str) -> Markup {
    html! {
        @if let Some(time) = copy.typed {
            div.notice.restored role="note" {
                p { "What was typed up to " (moment::local_to_the_second(time)) " is not yet kept as a revision. It is here as it was." }
                @if copy.base.head.number != copy.latest {
                    p { "It was begun from revision " (copy.base.head.number) "; revision " (copy.latest)
                        " has been saved since. Keeping it shows both side by side." }
                }
                details {
                    summary { "Throw it away" }
                    p { "The sheet goes back to revision " (copy.latest) ". This cannot be undone." }
                    button form="survey" name=(DO) value=(OfSheet::Discard.value()) { "Throw away what was typed" }
                }
            }
        }
        @for (name, time) in &copy.on_other_pages {
            p.notice { "Another page on this device has typed up to " (moment::local_to_the_second(*time))
                " and not kept it: "
                a href=(address::of_boat(slug, &format!("boat?take={name}"))) { "take it up here" } "." }
        }
        @if !copy.elsewhere.is_empty() {
            p.notice {
                "Typed on another device and not kept there yet: "
                @for (index, draft) in copy.elsewhere.iter().enumerate() {
                    @let device = draft.device.replace('.', "-");
                    @if index > 0 { ", " }
                    a href=(address::of_boat(slug, &format!("compare?old={}&draft={device}", copy.latest))) {
                        "up to " (moment::local_to_the_second(draft.time))
                    }
                }
                "."
            }
        }
    }
}

fn keep_bar(copy: &WorkingCopy) -> Markup {
    html! {
        div.keep {
            // Filled by the script once the page stands, and again when a hand rests.
            p id="verdict" data-from=(address::of_boat(&copy.entry.slug, "verdict")) role="status" {}
            p id="status" role="status" {
                @match copy.typed {
                    Some(time) => { "Draft of " (moment::local_to_the_second(time)) "; from revision " (copy.base.head.number) "." }
                    None => { "Revision " (copy.base.head.number) " of " (moment::local(copy.base.head.time)) "." }
                }
            }
            label.visually-hidden for="keep-note" { "Note to the revision" }
            input id="keep-note" name="note" maxlength="500" placeholder="Note to the revision" autocomplete="off";
            button.main name=(DO) value=(OfSheet::Keep.value()) { "Keep as revision" }
            noscript { button name=(DO) value=(OfSheet::Check.value()) { "Check and keep as draft" } }
        }
    }
}

/// Does what a button of the form says; gives the address to go to.
///
/// # Errors
/// There is no such boat, or the store fails.
pub fn submit(site: &Site, slug: &str, form: &Query, visitor: &Visitor) -> Result<String, WebError> {
    site.letters().in_turn(form, |_| act(site, slug, form, visitor))
}

fn act(site: &Site, slug: &str, form: &Query, visitor: &Visitor) -> Result<String, WebError> {
    // No connection is held while the changes of a long form are put in.
    let entry = site.store().find_even_removed(slug)?;
    let mut typed = Typed::from_form(form, |number| site.store().get(entry.id, number))?;
    let has_doubts = !typed.doubts().is_empty();
    let mut store = site.store();
    if let Some(at) = entry.removed {
        typed.keep_as_draft(&mut store, &entry, visitor)?;
        let draft = device(visitor, &typed.draft);
        return Err(WebError::TakenOff {
            name: entry.name,
            id: entry.id,
            at,
            typed: (slug.to_owned(), draft),
        });
    }
    let word = View::of(form).word();
    let with_draft = |typed: &Typed, done: Option<Done>, place: &str| {
        let done = done.map_or_else(String::new, |done| format!("&{DONE}={}", done.word()));
        address::of_boat(slug, &format!("{word}?draft={}{done}{place}", typed.draft))
    };
    let asked = match form.get(DO) {
        None => Some(OfSheet::Check),
        Some(value) => OfSheet::of_value(value),
    };
    if asked == Some(OfSheet::Keep) && !has_doubts {
        return keep(&mut store, entry, &typed, form.get("note").unwrap_or_default(), visitor);
    }
    if asked == Some(OfSheet::Discard) {
        typed.drop_drafts(&mut store, &entry, visitor)?;
        return Ok(address::of_boat(slug, &format!("{word}?{DONE}={}", Done::Discarded.word())));
    }
    let place = match &asked {
        Some(OfSheet::Add(section)) => with_another(&mut typed, section),
        Some(OfSheet::Remove(place)) => without(&mut typed, place),
        None | Some(OfSheet::Keep | OfSheet::Check | OfSheet::Discard) => String::new(),
    };
    typed.keep_as_draft(&mut store, &entry, visitor)?;
    match asked {
        Some(OfSheet::Keep) => Ok(with_draft(&typed, Some(Done::Doubtful), "")),
        Some(OfSheet::Check) => Ok(with_draft(&typed, Some(Done::Checked), "")),
        Some(OfSheet::Discard | OfSheet::Add(_) | OfSheet::Remove(_)) => Ok(with_draft(&typed, None, &place)),
        // A button that no page has: what was typed is kept, and the page says that it is a draft.
        None => Ok(with_draft(&typed, None, "")),
    }
}

/// One more of a section in what is typed; gives its place on the page.
fn with_another(typed: &mut Typed, section: &str) -> String {
    let (Some(document), _) = BoatDocument::parse_lenient(&typed.text) else { return String::new() };
    let Some(text) = document.with_section(section) else { return String::new() };
    typed.text = text;
    format!("#part-{section}-{}", document.rows(section).len() + 1)
}

/// What is typed without what stands at a place; gives the place of its section on the page.
fn without(typed: &mut Typed, place: &str) -> String {
    let (Some(document), _) = BoatDocument::parse_lenient(&typed.text) else { return String::new() };
    let Some(text) = document.without_section(place) else { return String::new() };
    typed.text = text;
    format!("#part-{}", place.split('[').next().unwrap_or_default())
}

fn keep(
    store: &mut Store,
    entry: Boat,
    typed: &Typed,
    note: &str,
    visitor: &Visitor,
) -> Result<String, WebError> {
    if typed.text.len() > LONGEST_DOCUMENT_BYTES {
        typed.keep_as_draft(store, &entry, visitor)?;
        return Err(WebError::BadRequest(format!(
            "A boat document holds at most {} kB, and this one has {}: it is kept as a draft and not as a revision. Shorten the longest \
             note on her page As text, or throw the draft away there.",
            LONGEST_DOCUMENT_BYTES / 1000,
            typed.text.len() / 1000
        )));
    }
    let outcome = store.save(entry.id, typed.base, &typed.text, note.trim(), now())?;
    typed.drop_drafts(store, &entry, visitor)?;
    let done = match outcome {
        SaveOutcome::Saved(head) => {
            format!("{}&{REVISION}={}", follow_name(store, &entry, &typed.text)?.word(), head.number)
        }
        SaveOutcome::Unchanged { .. } => Done::Unchanged.word().to_owned(),
        SaveOutcome::Conflict { kept: Some(side), .. } => {
            return Ok(address::of_boat(&entry.slug, &format!("aside/{}", side.0)));
        }
        SaveOutcome::Conflict { kept: None, .. } => Done::Unchanged.word().to_owned(),
    };
    Ok(address::of_boat(&entry.slug, &format!("boat?{DONE}={done}")))
}

/// Lets the list of boats follow the name in the document, unless another boat has it.
fn follow_name(store: &mut Store, entry: &Boat, text: &str) -> Result<Done, WebError> {
    let (document, _) = BoatDocument::parse_lenient(text);
    let name = document.as_ref().and_then(|document| document.text(boat::NAME)).unwrap_or(&entry.name);
    if name.split_whitespace().eq(entry.name.split_whitespace()) {
        return Ok(Done::Kept);
    }
    match store.rename(entry.id, name) {
        Ok(()) => Ok(Done::Kept),
        Err(StoreError::NameTaken { .. } | StoreError::BadName { .. }) => Ok(Done::NameTaken),
        Err(error) => Err(error.into()),
    }
}

/// Keeps what is typed as a draft and says what was read, for pages that are open.
///
/// # Errors
/// There is no such boat, or the store fails.
pub fn draft(site: &Site, slug: &str, form: &Query, visitor: &Visitor) -> Result<Value, WebError> {
    let (entry, typed) = site.letters().in_turn(form, |is_overtaken| {
        let entry = site.store().find_even_removed(slug)?;
        let typed = Typed::from_form(form, |number| site.store().get(entry.id, number))?;
        if !is_overtaken {
            typed.keep_as_draft(&mut site.store(), &entry, visitor)?;
        }
        Ok::<_, WebError>((entry, typed))
    })?;
    let reading = Reading::typed(&typed.text, &typed.base_text);
    let status = match entry.removed {
        None => {
            format!("Draft kept {}; from revision {}.", moment::local_to_the_second(now()), typed.base)
        }
        Some(at) => format!(
            "{} was taken off the list at {}. What you type is kept: press the button to put her back or keep it as a \
             new boat.",
            entry.name,
            moment::local(at)
        ),
    };
    let mut fields = Map::new();
    if View::of(form) == View::Sheet {
        for field in sheet::fields(&reading) {
            let note = field.note().into_string();
            fields.insert(
                field.id(),
                json!({ "note": note, "invalid": field.is_invalid(), "mark": field.mark().word() }),
            );
        }
    }
    Ok(json!({
        "text": typed.text,
        "status": status,
        "sentence": sheet::sentence(&entry.name, &reading).into_string(),
        "findings": sheet::findings(&reading).into_string(),
        "errors": reading.faults.iter().filter(|f| f.severity == Severity::Error).count(),
        "picture": picture::picture(&reading, visitor).map(Markup::into_string),
        "fields": fields,
        "summaries": sheet::summaries(&reading).into_iter().collect::<std::collections::BTreeMap<_, _>>(),
    }))
}
