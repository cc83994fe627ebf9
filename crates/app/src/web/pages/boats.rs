//! The list of boats, and all that makes a boat or takes her off the list.

use maud::{Markup, html};
use wakewright_store::StoreError;

use crate::cli::DEMO_BOAT;
use crate::web::address;
use crate::web::error::WebError;
use crate::web::state::{Site, now};

/// The contents of the page.
///
/// # Errors
/// The store fails.
pub fn contents(site: &Site) -> Result<Markup, WebError> {
    let boats = site.store().list()?;
    Ok(html! {
        p.sentence {
            @match boats.len() {
                0 => "No boats yet.",
                1 => "One boat.",
                count => { (count) " boats." }
            }
        }
        ul { @for line in &boats { li { a href=(address::of_boat(&line.boat.slug, "boat")) { (line.boat.name) } } } }
        form.buttons method="post" action="/boats/demo" { button { "Look at an invented boat" } }
    })
}

/// Enters the invented boat, unless she is there; gives her slug.
///
/// # Errors
/// The store fails.
pub fn make_demo(site: &Site) -> Result<String, WebError> {
    let document = crate::boats::understand(DEMO_BOAT, "demo", &[])?;
    let mut store = site.store();
    match store.find(&document.name) {
        Ok(boat) => Ok(boat.slug),
        Err(StoreError::NoSuchBoat { .. }) => {
            let id = store.create(&document.name, DEMO_BOAT, "invented, to look at", now())?;
            Ok(store.boat(id)?.slug)
        }
        Err(error) => Err(error.into()),
    }
}
