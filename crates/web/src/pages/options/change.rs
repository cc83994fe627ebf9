//! What a form of the Options page asks for: an alternative kept, moved or taken out, as a revision of the
//! document. What cannot be comes back as typed, with the reason at its field.

use maud::Markup;
use wakewright_records::boat::BoatDocument;

use super::alternative::{alternative_of, changed};
use super::page;
use super::typed::Typed;
use crate::address;
use crate::error::WebError;
use crate::pages::keep::save;
use crate::pages::kept::{REVISION, next};
use crate::query::Query;
use crate::sent::{DO, DONE, Done, OfAlternative};
use crate::state::{BoatOnPage, Site};
use crate::visitor::Visitor;
use crate::words::fault_words;

/// What comes of a form.
#[derive(Debug)]
pub enum Sent {
    /// It was done; the address to show next.
    Done(String),
    /// The page again, with the form as typed.
    Again {
        /// The contents.
        body: Markup,
        /// True when nothing was wrong with it.
        is_fine: bool,
    },
}

/// Does what the form asks for.
///
/// # Errors
/// The form is not one of ours, or the store fails.
pub fn change(site: &Site, boat: &BoatOnPage, form: &Query, visitor: &Visitor) -> Result<Sent, WebError> {
    let mut typed = Typed::from_form(form);
    let again = |typed: &Typed, is_fine: bool| {
        Ok(Sent::Again { body: page(site.rooms(), boat, &Query::default(), visitor, Some(typed))?, is_fine })
    };
    let Some(asked) = OfAlternative::in_field(form, DO) else { return Err(stray()) };
    if asked == OfAlternative::MoreLines {
        typed.spare = 6;
        return again(&typed, true);
    }
    let base = form.number("base")?;
    let revision = site.store().get(boat.entry.id, base)?;
    let document = BoatDocument::parse(&revision.text).map_err(|_| stray())?;
    let (wanted, note, told) = match (asked, typed.number) {
        (OfAlternative::Remove, Some(number)) => {
            (document.without_alternative(number), format!("{} taken out", typed.name), Done::Removed)
        }
        (OfAlternative::Earlier, Some(number)) => (
            document.with_alternatives_exchanged(number.saturating_sub(1), number),
            moved(&typed),
            Done::Moved,
        ),
        (OfAlternative::Later, Some(number)) => {
            (document.with_alternatives_exchanged(number, number + 1), moved(&typed), Done::Moved)
        }
        (OfAlternative::Keep, _) => {
            let wanted = match alternative_of(&mut typed, &document) {
                Some(wanted) => changed(&mut typed, &document, &boat.loaded, &wanted),
                None => None,
            };
            let Some(wanted) = wanted else { return again(&typed, false) };
            (Ok(wanted), format!("alternative: {}", typed.name), Done::Kept)
        }
        (OfAlternative::Remove | OfAlternative::Earlier | OfAlternative::Later, None)
        | (OfAlternative::MoreLines, _) => {
            return Err(stray());
        }
    };
    let wanted = wanted.map_err(|faults| {
        let why: Vec<String> = faults.iter().map(fault_words).collect();
        WebError::BadRequest(format!("Nothing was changed: {}", why.join(" ")))
    })?;
    let to = address::of_boat(
        &boat.entry.slug,
        &format!("options?{DONE}={}&{REVISION}={}", told.word(), next(base)),
    );
    save(site, &boat.entry, base, wanted.to_toml(), &note, to).map(Sent::Done)
}

fn stray() -> WebError {
    WebError::BadRequest("This form is not complete. Open the page anew.".to_owned())
}

fn moved(typed: &Typed) -> String {
    format!("{} moved", typed.name)
}
