//! Keeping what was tried: as a new revision of the boat, as an alternative in her document, or as a boat
//! beside her.

use maud::{Markup, html};
use wakewright_records::boat::{Alternative, BoatDocument, Fault};
use wakewright_store::{Boat, RevisionHead, SaveOutcome, StoreError};

use crate::address;
use crate::error::WebError;
use crate::query::Query;
use crate::state::{BoatOnPage, Site, now};
use wakewright_rooms::transfer::renamed;
use wakewright_rooms::whatif::{Tried, as_alternative};

/// Tries for a free name beside a boat.
const MOST_NAMES: usize = 50;

/// Keeps what the form says; gives the address to show next.
///
/// # Errors
/// What was tried cannot be, somebody saved meanwhile, or the store fails.
pub fn keep(site: &Site, boat: &BoatOnPage, form: &Query) -> Result<String, WebError> {
    let tried = Tried::new(&boat.loaded, form.all("set"), Vec::new());
    if !tried.differs() {
        let why =
            if tried.faults.is_empty() { "nothing differs from what is kept" } else { "this cannot be" };
        return Err(WebError::BadRequest(format!("Nothing was kept: {why}.")));
    }
    // The whole is judged before it is kept: its alternatives must still make sense.
    let text = sound_text(BoatDocument::parse(tried.loaded.document.to_toml()))?;
    let words: Vec<String> =
        tried.changes.iter().map(|c| format!("{} {} instead of {}", c.label, c.to, c.from)).collect();
    let note = words.join(", ");
    if form.get("as") == Some("copy") {
        return keep_beside(
            site,
            form.get("copy").unwrap_or(&boat.entry.name),
            &text,
            &note,
            &boat.entry.name,
        );
    }
    let base = form.get("base").and_then(|base| base.parse().ok()).unwrap_or(boat.revision.head.number);
    let is_room = |key: &&str| site.rooms().iter().any(|room| room.card().key == *key);
    let mut to = form_urlencoded::Serializer::for_suffix(
        format!("{}?", form.get("room").filter(is_room).unwrap_or("drive")),
        0,
    );
    to.append_pair(REVISION, &next(base).to_string());
    let (text, note) = match form.get("as") {
        Some("alternative") => {
            let name = free_name(&boat.loaded.document, form.get("name").unwrap_or(&note))?;
            to.append_pair(KEPT, &name);
            (alternative_text(boat, &tried, name, &note)?, format!("alternative: {note}"))
        }
        _ => (text, note),
    };
    save(site, &boat.entry, base, &text, &note, address::of_boat(&boat.entry.slug, &to.finish()))
}

/// Name in an address of the alternative that was kept, or of the boat beside which this one was.
const KEPT: &str = "kept";
/// What an address says once a revision of before was brought back.
pub const BROUGHT_BACK: &str = "brought-back";
/// Name in an address of the revision in which something was kept.
const REVISION: &str = "revision";

/// Number of the revision that is saved on `base`.
pub fn next(base: u32) -> u32 {
    base.saturating_add(1)
}

/// What was kept last, as an address says, under which name, with the ways to compare it and to undo it;
/// nothing once another revision has followed.
pub fn told(boat: &BoatOnPage, query: &Query, page: &str) -> Markup {
    let (slug, document) = (&boat.entry.slug, &boat.loaded.document);
    if query.get("done") == Some("beside") && boat.revision.head.number == 1 {
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
    if query.get("done") == Some(BROUGHT_BACK) {
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

/// Saves `text` as a revision that was begun from `base`; gives `to`, or the address where both texts are
/// shown when somebody else saved meanwhile.
///
/// # Errors
/// The store fails.
pub fn save(
    site: &Site,
    entry: &Boat,
    base: u32,
    text: &str,
    note: &str,
    to: String,
) -> Result<String, WebError> {
    Ok(match site.store().save(entry.id, base, text, note, now())? {
        SaveOutcome::Saved(_) | SaveOutcome::Unchanged { .. } => to,
        SaveOutcome::Conflict { kept: Some(side), .. } => {
            address::of_boat(&entry.slug, &format!("aside/{}", side.0))
        }
        SaveOutcome::Conflict { kept: None, .. } => address::of_boat(&entry.slug, "boat"),
    })
}

/// Her document with what was tried as a further alternative of that name.
fn alternative_text(boat: &BoatOnPage, tried: &Tried, name: String, note: &str) -> Result<String, WebError> {
    let document = &boat.loaded.document;
    let changes = as_alternative(document, &tried.changes);
    let wanted = Alternative { name, note: Some(note.to_owned()), cost: None, changes };
    sound_text(document.with_alternative(&wanted))
}

/// `wished`, or with a number behind it where an alternative has that name.
///
/// # Errors
/// There are too many of that name.
pub fn free_name(document: &BoatDocument, wished: &str) -> Result<String, WebError> {
    let taken: Vec<String> =
        document.alternatives().into_iter().map(|alternative| alternative.name).collect();
    (1..=MOST_NAMES)
        .map(|number| if number == 1 { wished.to_owned() } else { format!("{wished} ({number})") })
        .find(|name| !taken.contains(name))
        .ok_or_else(|| {
            WebError::BadRequest(format!(
                "Nothing was kept: there are {MOST_NAMES} alternatives called {wished}."
            ))
        })
}

/// The text of a document that can be kept; else why not.
///
/// # Errors
/// The faults, in words.
pub fn sound_text(document: Result<BoatDocument, Vec<Fault>>) -> Result<String, WebError> {
    document.map(|document| document.to_toml().to_owned()).map_err(|faults| {
        let why: Vec<String> = faults.iter().map(|fault| format!("{fault}. {}", fault.advice)).collect();
        WebError::BadRequest(format!("Nothing was kept: {}", why.join(" ")))
    })
}

/// Enters the changed boat under `wished`, or with a number behind it where that is taken.
fn keep_beside(site: &Site, wished: &str, text: &str, note: &str, of: &str) -> Result<String, WebError> {
    let mut store = site.store();
    let note = format!("beside {of}: {note}");
    for number in 1..=MOST_NAMES {
        let name = if number == 1 { wished.to_owned() } else { format!("{wished} ({number})") };
        let named = renamed(text, &name);
        match store.create(&name, &named, &note, now()) {
            Ok(id) => return Ok(address::of_boat(&store.boat(id)?.slug, "drive?done=beside")),
            Err(StoreError::NameTaken { .. }) => {}
            Err(error) => return Err(error.into()),
        }
    }
    Err(WebError::BadRequest(format!(
        "Nothing was kept: there are {MOST_NAMES} boats called {wished} already."
    )))
}
