//! What brings a boat onto the list, names her anew or takes her off.

use crate::address;
use crate::error::WebError;
use crate::query::Query;
use crate::state::{Site, now};
use wakewright_rooms::demo::{DEMO_BOAT, DEMO_RECORDS};
use wakewright_rooms::transfer::renamed;
use wakewright_store::{BoatId, StoreError};

/// Enters the invented boat, unless she is there; gives her slug.
///
/// # Errors
/// The store fails.
pub fn make_demo(site: &Site) -> Result<String, WebError> {
    let document = wakewright_rooms::boats::understand(DEMO_BOAT, "demo", &[])?;
    let mut store = site.store();
    match store.find(&document.name) {
        Ok(boat) => Ok(boat.slug),
        Err(StoreError::NoSuchBoat { .. }) => {
            let id = store.create(&document.name, DEMO_BOAT, "invented, to look at", now())?;
            for (kind, text) in DEMO_RECORDS {
                store.enter_record(id, kind, text, &[], now())?;
            }
            Ok(store.boat(id)?.slug)
        }
        Err(error) => Err(error.into()),
    }
}

/// Enters a copy; gives the address to go to.
///
/// # Errors
/// The name is taken or cannot be one, or the store fails.
pub fn copy(site: &Site, slug: &str, form: &Query) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_even_removed(slug)?;
    let name = form.get("name").unwrap_or_default();
    // Of a boat that was taken off the list meanwhile, what was typed about her is what is wanted.
    let typed = match form.get("typed") {
        Some(device) => store.draft(entry.id, device)?.map(|draft| draft.text),
        None => None,
    };
    let text = match typed {
        Some(text) => text,
        None => store.latest(entry.id)?.text,
    };
    let text = renamed(&text, name.trim());
    let id = store.create(name, &text, &format!("copied from {}", entry.name), now())?;
    Ok(address::of_boat(&store.boat(id)?.slug, "boat"))
}

/// Gives her another name, on the list and in her document; gives the address to go to.
///
/// # Errors
/// As [`copy`].
pub fn rename(site: &Site, slug: &str, form: &Query) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_by_slug(slug)?;
    let name = form.get("name").unwrap_or_default();
    store.rename(entry.id, name)?;
    let latest = store.latest(entry.id)?;
    let text = renamed(&latest.text, name.trim());
    store.save(entry.id, latest.head.number, &text, &format!("renamed from {}", entry.name), now())?;
    Ok("/".to_owned())
}

/// Takes her off the list; gives the address to go to.
///
/// # Errors
/// There is no such boat, or the store fails.
pub fn remove(site: &Site, slug: &str) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_by_slug(slug)?;
    store.remove(entry.id, now())?;
    Ok("/".to_owned())
}

/// Puts her back on the list; gives the address to go to.
///
/// # Errors
/// There is no such boat, or another has her name by now.
pub fn reinstate(site: &Site, form: &Query) -> Result<String, WebError> {
    let id = form.get("boat").and_then(|text| text.parse().ok()).ok_or(WebError::NoSuchPage)?;
    site.store().reinstate(BoatId(id))?;
    Ok("/".to_owned())
}
