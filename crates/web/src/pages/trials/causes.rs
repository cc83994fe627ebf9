//! Why she is slow: what each cause takes, what to do next, what a remedy will give, forecasts kept and
//! held, and what the trial knows better than her document. The diagnosis takes a second or two, so the
//! page stands first and asks for it. Not for: the parts (`causes_parts`), the inference, its words.

use maud::{Markup, html};
use wakewright_rooms::causes::causes_finding;

use super::causes_found::{basis, look, whole};
use super::causes_parts::{self};
use super::{OnTrial, sheet};
use wakewright_store::TRIAL_KIND;

use crate::error::WebError;
use crate::pages::boat::AboutBoat;
use crate::query::Query;
use crate::state::Site;
use crate::visitor::Visitor;
use wakewright_rooms::explain::{OfTrial, of_diagnosis};
use wakewright_rooms::story::Story;

/// Name of the form field that holds a remedy of one's own.
pub const OWN_REMEDY: &str = "remedy";

/// The page: whole when the answer is held, else the place for it.
///
/// # Errors
/// There is no such boat or trial.
pub fn contents(
    site: &Site,
    slug: &str,
    number: u32,
    query: &Query,
    visitor: &Visitor,
) -> Result<AboutBoat, WebError> {
    let on = OnTrial::load(site, slug, number)?;
    let is_there = site.diagnoses().holds(&basis(site, &on, false)?) || query.get("now").is_some();
    let said = causes_parts::done(query, slug);
    let body = if is_there || on.loaded.is_none() {
        html! { (said) (whole(site, &on, query, visitor)?) }
    } else {
        let place = |rest: &str| {
            let own = query.get(OWN_REMEDY).map_or_else(String::new, |own| {
                form_urlencoded::Serializer::new(String::new()).append_pair(OWN_REMEDY, own).finish()
            });
            on.address(&format!("{rest}{own}"))
        };
        html! {
            (said)
            div data-later=(place("/causes/part?")) {
                h1.sentence { "Looking into what makes " (on.entry.name) " as fast as she is." }
                p.under-sentence role="status" { "Thousands of boats such as she may be are sailed through this trial; it takes a few seconds." }
                noscript { p { a.button href=(place("/causes?now=&")) { "Show what was found" } } }
            }
        }
    };
    Ok(AboutBoat { entry: on.entry, body })
}

/// What the place is filled with.
///
/// # Errors
/// There is no such boat or trial.
pub fn part(
    site: &Site,
    slug: &str,
    number: u32,
    query: &Query,
    visitor: &Visitor,
) -> Result<Markup, WebError> {
    whole(site, &OnTrial::load(site, slug, number)?, query, visitor)
}

/// The place on the trial's own page where the sentence appears; empty while no run can be used.
pub fn teaser(on: &OnTrial) -> Markup {
    let has_runs = !on.kept.reading.used().is_empty();
    html! {
        @if has_runs && on.loaded.is_some() {
            div.teaser data-later=(on.address("/causes/brief")) {
                p.ways-on { a.button href=(on.address("/causes")) { "Why: causes, next run, remedies" } }
            }
        }
    }
}

/// The sentence alone, with the way to the rest.
///
/// # Errors
/// There is no such boat or trial.
pub fn brief(site: &Site, slug: &str, number: u32) -> Result<Markup, WebError> {
    let on = OnTrial::load(site, slug, number)?;
    let looked = look(site, &on, false)?;
    let said = match looked.get() {
        Some(Ok(found)) => causes_finding(&on.entry.name, &found.diagnosis, &sheet()).sentence,
        Some(Err(why)) => format!("No cause can be found. {}", super::field::sentence(why)),
        None => String::new(),
    };
    let story = {
        let store = site.store();
        Story::of_store(&store, site.shelf(), on.entry.id)?.up_to(number)
    };
    // Of the first trial the story is what the page itself says.
    let before = story.has_before().then(|| story.finding(&on.entry.name, &sheet())).flatten();
    Ok(html! {
        @if let Some(before) = before { p.lead { (before.sentence) } p.aside { (before.further) } }
        p.lead { (said) }
        p.ways-on { a.button href=(on.address("/causes")) { "Why: causes, next run, remedies" } }
    })
}

/// A figure that was found from trial `number` of the boat of this slug, the latest when not given.
///
/// # Errors
/// There is no such boat or trial, or no cause can be found from it.
pub fn opened(
    site: &Site,
    slug: &str,
    number: Option<&str>,
    figure: &'static wakewright_core::sheet::Figure,
) -> Result<OfTrial, WebError> {
    let latest = || -> Result<Option<u32>, WebError> {
        let store = site.store();
        let trials = store.records(store.find_by_slug(slug)?.id, TRIAL_KIND)?;
        Ok(trials.iter().map(|trial| trial.number).max())
    };
    let number = match number {
        Some(text) => text.parse().ok(),
        None => latest()?,
    };
    let number = number.ok_or_else(|| {
        WebError::NoResult("This figure is found from trials; she has none of that number yet.".to_owned())
    })?;
    let on = OnTrial::load(site, slug, number)?;
    match look(site, &on, false)?.get() {
        Some(Ok(found)) => Ok(of_diagnosis(figure, &found.diagnosis)),
        Some(Err(why)) => Err(WebError::NoResult(super::field::sentence(why))),
        None => Err(WebError::BrokenOff),
    }
}
