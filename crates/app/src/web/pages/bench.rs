//! A page with sliders: a result, what is tried on it, and the parts that follow a moving slider. What
//! cannot be leaves the last good result on view and says so, whether the document refuses it or the
//! balance has no answer. Not for: what a page shows (`drive`, `range`).

use maud::{Markup, html};

use crate::web::address;
use crate::web::error::WebError;
use crate::web::layout::Here;
use crate::web::parts::{self, QUICK_SAMPLES, SETTLED_SAMPLES};
use crate::web::query::Query;
use crate::web::state::BoatOnPage;
use crate::web::visitor::Visitor;
use crate::web::whatif::{Slider, Tried, slider_form};

/// The parts of a page, each under its own live name.
pub struct Parts {
    /// The sentence and what goes with it.
    pub finding: Markup,
    /// The picture beside the sliders.
    pub chart: Markup,
    /// Cautions, where the decision is taken.
    pub cautions: Markup,
    /// What is tried, and the ways to keep it.
    pub keep: Markup,
    /// What stands below.
    pub rest: Markup,
}

/// What is asked of a page.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The boat as kept.
    pub boat: &'a BoatOnPage,
    /// What is tried on her.
    pub tried: &'a Tried,
    /// The address, with what only this page knows.
    pub query: &'a Query,
    /// Who asks, on which screen.
    pub visitor: &'a Visitor,
    /// Samples of everything unsure.
    pub samples: usize,
}

/// What makes a page with sliders this page.
pub trait Bench {
    /// Its word in addresses.
    const WORD: &'static str;
    /// Its name on the page.
    const TITLE: &'static str;
    /// Its place in the list of pages.
    const HERE: Here;

    /// What can be tried on it.
    fn sliders(boat: &BoatOnPage, tried: &Tried, query: &Query) -> Vec<Slider>;

    /// Its parts for what is asked.
    ///
    /// # Errors
    /// When there is no result at her numbers.
    fn parts(asked: &Asked<'_>) -> Result<Parts, WebError>;

    /// Its contents; a page that has something else to show where no result can be had says so here.
    ///
    /// # Errors
    /// When there is no result at her own numbers.
    fn contents(boat: &BoatOnPage, query: &Query, visitor: &Visitor) -> Result<Markup, WebError>
    where
        Self: Sized,
    {
        contents::<Self>(boat, query, visitor)
    }
}

/// What is tried, and the ways to keep it; `further` stands with them.
pub fn keep<B: Bench>(boat: &BoatOnPage, tried: &Tried, further: &Markup) -> Markup {
    let slug = &boat.entry.slug;
    html! {
        (parts::live("tried", &parts::tried_line(tried, &address::of_boat(slug, B::WORD))))
        (parts::live("keep", &html! { (parts::keep_form(tried, slug, boat.revision.head.number)) (further) }))
    }
}

/// The contents of a page with sliders.
///
/// # Errors
/// When there is no result at her own numbers.
pub fn contents<B: Bench>(boat: &BoatOnPage, query: &Query, visitor: &Visitor) -> Result<Markup, WebError> {
    let (tried, drawn) = answer::<B>(boat, query, visitor, SETTLED_SAMPLES)?;
    let parts = match drawn {
        Some(parts) => parts,
        None => B::parts(&Asked { boat, tried: &tried, query, visitor, samples: SETTLED_SAMPLES })?,
    };
    let here = address::of_boat(&boat.entry.slug, B::WORD);
    let live_from = address::of_boat(&boat.entry.slug, &format!("{}/live", B::WORD));
    let last_good = if tried.faults.is_empty() { "" } else { "shows-last-good" };
    let sliders = slider_form(&B::sliders(boat, &tried, query), &here);
    Ok(html! {
        div class={ "workbench " (last_good) } data-live-from=(live_from) data-page=(here) {
            @if tried.faults.is_empty() { (parts.finding) } @else { (parts::cannot_be(&tried)) }
            div.chart { (parts.chart) }
            div.under { (parts.cautions) }
            div.controls { (sliders) (parts.keep) }
        }
        (parts.rest)
        p.visually-hidden role="status" data-announce {}
    })
}

/// The parts that follow the sliders of a page; of what cannot be, only why.
///
/// # Errors
/// When there is no result at her own numbers.
pub fn live_parts<B: Bench>(boat: &BoatOnPage, query: &Query, visitor: &Visitor) -> Result<Markup, WebError> {
    let samples = if query.get("quick").is_some() { QUICK_SAMPLES } else { SETTLED_SAMPLES };
    let (tried, drawn) = answer::<B>(boat, query, visitor, samples)?;
    Ok(match drawn {
        Some(parts) => {
            html! { (parts.finding) (parts.chart) (parts.cautions) (parts.keep) (parts.rest) }
        }
        None => parts::impossible(&tried, &address::of_boat(&boat.entry.slug, B::WORD)),
    })
}

/// What is tried with its parts; without them, and with the reason among its faults, when it cannot be.
fn answer<B: Bench>(
    boat: &BoatOnPage,
    query: &Query,
    visitor: &Visitor,
    samples: usize,
) -> Result<(Tried, Option<Parts>), WebError> {
    let tried = Tried::new(&boat.loaded, query);
    if !tried.faults.is_empty() {
        return Ok((tried, None));
    }
    match B::parts(&Asked { boat, tried: &tried, query, visitor, samples }) {
        Err(WebError::NoResult(why)) if tried.differs() => Ok((tried.refused(&boat.loaded, why), None)),
        Err(error) => Err(error),
        Ok(parts) => Ok((tried, Some(parts))),
    }
}
