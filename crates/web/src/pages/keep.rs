//! Keeping what was tried: as a new revision of the boat, as an alternative in her document, or as a boat
//! beside her.

use wakewright_records::boat::{Alternative, BoatDocument, Fault};
use wakewright_store::{Boat, SaveOutcome, StoreError};

use super::kept::{KEPT, REVISION, next};
use crate::address;
use crate::error::WebError;
use crate::query::Query;
use crate::sent::{As, DONE, Done};
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
    let kept_as = As::in_field(form, "as");
    if kept_as == Some(As::Copy) {
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
    let (text, note) = match kept_as {
        Some(As::Alternative) => {
            let name = free_name(&boat.loaded.document, form.get("name").unwrap_or(&note))?;
            to.append_pair(KEPT, &name);
            (alternative_text(boat, &tried, name, &note)?, format!("alternative: {note}"))
        }
        Some(As::Revision) => (text, note),
        Some(As::Copy) | None => {
            return Err(WebError::BadRequest("This form is not complete. Open the page anew.".to_owned()));
        }
    };
    save(site, &boat.entry, base, &text, &note, address::of_boat(&boat.entry.slug, &to.finish()))
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
            Ok(id) => {
                return Ok(address::of_boat(
                    &store.boat(id)?.slug,
                    &format!("drive?{DONE}={}", Done::Beside.word()),
                ));
            }
            Err(StoreError::NameTaken { .. }) => {}
            Err(error) => return Err(error.into()),
        }
    }
    Err(WebError::BadRequest(format!(
        "Nothing was kept: there are {MOST_NAMES} boats called {wished} already."
    )))
}
