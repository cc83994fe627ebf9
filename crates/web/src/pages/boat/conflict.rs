//! Two texts that started from the same revision: both side by side, field by field, until somebody
//! decides. Neither is lost, whatever is decided.

use maud::{Markup, html};
use wakewright_records::boat::Difference;
use wakewright_store::{Revision, SaveOutcome, SideId, SideRevision, diff_lines};

use super::compare::{differences, line_table, value};
use super::history::document;
use super::{AboutBoat, follow_name};
use crate::address;
use crate::error::WebError;
use crate::query::Query;
use crate::sent::{DO, DONE, Done, OfTwoTexts};
use crate::state::{Site, now};
use crate::words::field_words;
use wakewright_rooms::moment;

/// Start of the names of the choices; the address follows.
const PICK: &str = "pick:";

/// The page of one text kept aside.
///
/// # Errors
/// There is no such boat or text.
pub fn aside(site: &Site, slug: &str, id: i64) -> Result<AboutBoat, WebError> {
    let store = site.store();
    let entry = store.find_by_slug(slug)?;
    let side = store.side(SideId(id))?;
    if side.boat != entry.id {
        return Err(WebError::NoSuchPage);
    }
    let theirs = store.latest(entry.id)?;
    let base = store.get(entry.id, side.base)?;
    drop(store);
    let found = differences(&side.text, &theirs.text);
    let body = html! {
        h1.sentence {
            @match found.as_ref().map(Vec::len) {
                Some(0) => "Two texts were saved from the same revision; they agree in every field.",
                Some(1) => { "Two texts were saved from the same revision; they differ in " strong { "one field" } "." }
                Some(count) => { "Two texts were saved from the same revision; they differ in " strong { (count) " fields" } "." }
                None => "Two texts were saved from the same revision.",
            }
        }
        p.under-sentence {
            "Yours of " (moment::local(side.time)) " and the latest, revision " (theirs.head.number) " of "
            (moment::local(theirs.head.time)) ", both go back to revision " (side.base) ". Whatever you choose, both stay in her history."
        }
        @if side.settled.is_some() { p.notice { "This was decided already; it can be decided again." } }
        form method="post" action=(address::of_boat(slug, &format!("aside/{id}"))) {
            input type="hidden" name="base" value=(theirs.head.number);
            @if let Some(found) = &found { (choices(found, &base, &theirs, &side)) }
            div.buttons {
                @if found.as_ref().is_some_and(|found| !found.is_empty()) {
                    button.main name=(DO) value=(OfTwoTexts::Merge.word()) { "Keep as chosen above" }
                }
                button name=(DO) value=(OfTwoTexts::Mine.word()) formnovalidate { "Keep mine whole" }
                button name=(DO) value=(OfTwoTexts::Theirs.word()) formnovalidate { "Keep the latest whole" }
            }
        }
        (line_table(&diff_lines(&side.text, &theirs.text)))
    };
    Ok(AboutBoat { entry, body })
}

fn choices(found: &[Difference], base: &Revision, theirs: &Revision, side: &SideRevision) -> Markup {
    let base = document(&base.text);
    html! {
        @for difference in found {
            @let before = base.as_ref().and_then(|base| base.typed(&difference.address)).map(str::to_owned);
            @let name = format!("{PICK}{}", difference.address);
            // Where only one of the two changed it, that change is meant.
            @let (mine_changed, theirs_changed) = (difference.first != before, difference.second != before);
            fieldset.conflict {
                legend { (field_words(&difference.address)) }
                label.side {
                    span { input type="radio" name=(name) value="mine" required checked[mine_changed && !theirs_changed]; " yours, " (moment::local(side.time)) }
                    span.differs { (value(difference.first.as_ref())) }
                }
                label.side {
                    span { input type="radio" name=(name) value="theirs" required checked[theirs_changed && !mine_changed]; " revision " (theirs.head.number) }
                    span.differs { (value(difference.second.as_ref())) }
                }
                p.aside { "before: " (value(before.as_ref())) @if mine_changed && theirs_changed { "; changed by both" } }
            }
        }
    }
}

/// Decides; gives the address to go to.
///
/// # Errors
/// There is no such text, or the store fails.
pub fn settle(site: &Site, slug: &str, id: i64, form: &Query) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_by_slug(slug)?;
    let side = store.side(SideId(id))?;
    if side.boat != entry.id {
        return Err(WebError::NoSuchPage);
    }
    let base = form.number("base")?;
    let theirs = store.get(entry.id, base)?;
    let text = match OfTwoTexts::in_field(form, DO) {
        Some(OfTwoTexts::Mine) => side.text.clone(),
        Some(OfTwoTexts::Theirs) => theirs.text.clone(),
        Some(OfTwoTexts::Merge) => merged(&side.text, &theirs.text, form),
        None => {
            return Err(WebError::BadRequest("This form is not complete. Open the page anew.".to_owned()));
        }
    };
    let outcome = store.save(entry.id, base, &text, "two texts brought together", now())?;
    if let SaveOutcome::Conflict { kept: Some(again), .. } = outcome {
        // Somebody saved a third text meanwhile; the merged one is kept aside against it.
        store.settle(side.id, now())?;
        return Ok(address::of_boat(slug, &format!("aside/{}", again.0)));
    }
    store.settle(side.id, now())?;
    follow_name(&mut store, &entry, &text)?;
    Ok(address::of_boat(slug, &format!("boat?{DONE}={}", Done::Settled.word())))
}

/// The latest text with the fields of mine that were chosen.
fn merged(mine: &str, theirs: &str, form: &Query) -> String {
    let (Some(mine), Some(theirs)) = (document(mine), document(theirs)) else { return theirs.to_owned() };
    let picked: Vec<String> = form
        .pairs()
        .filter(|(_, value)| *value == "mine")
        .filter_map(|(name, _)| name.strip_prefix(PICK).map(str::to_owned))
        .collect();
    theirs.with_answers_of(&mine, &picked)
}
