//! A page with sliders: a result, what is tried on it, and the parts that follow a moving slider. What
//! cannot be leaves the last good result on view and says so, whether the document refuses it or the
//! balance has no answer. Not for: what a page shows (`drive`, `range`).

use maud::{Markup, html};

use crate::web::address;
use crate::web::error::WebError;
use crate::web::parts::{self, QUICK_DRAWS, SETTLED_DRAWS};
use crate::web::query::Query;
use crate::web::state::BoatOnPage;
use crate::web::whatif::Tried;

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

/// The contents of the page `name`; `view` draws it for what is tried, with so many draws.
///
/// # Errors
/// When there is no result at her own numbers.
pub fn contents(
    boat: &BoatOnPage,
    query: &Query,
    name: &str,
    sliders: impl Fn(&Tried) -> Markup,
    view: impl Fn(&Tried, usize) -> Result<Parts, WebError>,
) -> Result<Markup, WebError> {
    let (tried, drawn) = answer(boat, query, &view, SETTLED_DRAWS)?;
    let parts = match drawn {
        Some(parts) => parts,
        None => view(&tried, SETTLED_DRAWS)?,
    };
    let here = address::of_boat(&boat.entry.slug, name);
    let live_from = address::of_boat(&boat.entry.slug, &format!("{name}/live"));
    let last_good = if tried.faults.is_empty() { "" } else { "shows-last-good" };
    Ok(html! {
        div class={ "workbench " (last_good) } data-live-from=(live_from) data-page=(here) {
            @if tried.faults.is_empty() { (parts.finding) } @else { (parts::cannot_be(&tried)) }
            div.chart { (parts.chart) }
            div.under { (parts.cautions) }
            div.controls { (sliders(&tried)) (parts.keep) }
        }
        (parts.rest)
        p.visually-hidden role="status" data-announce {}
    })
}

/// The parts that follow the sliders of the page `name`; of what cannot be, only why.
///
/// # Errors
/// When there is no result at her own numbers.
pub fn live_parts(
    boat: &BoatOnPage,
    query: &Query,
    name: &str,
    view: impl Fn(&Tried, usize) -> Result<Parts, WebError>,
) -> Result<Markup, WebError> {
    let draws = if query.get("quick").is_some() { QUICK_DRAWS } else { SETTLED_DRAWS };
    let (tried, drawn) = answer(boat, query, &view, draws)?;
    Ok(match drawn {
        Some(parts) => {
            html! { (parts.finding) (parts.chart) (parts.cautions) (parts.keep) (parts.rest) }
        }
        None => parts::impossible(&tried, &address::of_boat(&boat.entry.slug, name)),
    })
}

/// What is tried with its parts; without them, and with the reason among its faults, when it cannot be.
fn answer(
    boat: &BoatOnPage,
    query: &Query,
    view: &impl Fn(&Tried, usize) -> Result<Parts, WebError>,
    draws: usize,
) -> Result<(Tried, Option<Parts>), WebError> {
    let tried = Tried::new(&boat.loaded, query);
    if !tried.faults.is_empty() {
        return Ok((tried, None));
    }
    match view(&tried, draws) {
        Err(WebError::NoResult(why)) if tried.differs() => Ok((tried.refused(&boat.loaded, why), None)),
        Err(error) => Err(error),
        Ok(parts) => Ok((tried, Some(parts))),
    }
}
