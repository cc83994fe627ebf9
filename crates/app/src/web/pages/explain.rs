//! Where a figure comes from, as a page of its own or as the part that opens beneath the figure.

use maud::{Markup, html};
use wakewright_core::study::Opening;
use wakewright_report::text::{figure_band, figure_words};

use crate::cli::Failure;
use crate::explain::{Occasion, open};
use crate::sampling;
use crate::web::error::WebError;
use crate::web::pages::trials;
use crate::web::parts::{self, SETTLED_SAMPLES};
use crate::web::query::Query;
use crate::web::state::{BoatOnPage, Site};
use crate::web::whatif::{Tried, month_of, years_of};

/// The part of an address that says which trial a figure is found from.
pub const TRIAL: &str = "trial";

/// The origin of the figure `key`.
///
/// # Errors
/// There is no such figure, or no result at her numbers.
pub fn contents(site: &Site, boat: &BoatOnPage, key: &str, query: &Query) -> Result<Markup, WebError> {
    let opening = Opening::from_key(key).ok_or(WebError::NoSuchPage)?;
    let tried = Tried::new(&boat.loaded, query);
    let asked = Occasion {
        month: month_of(query),
        years: years_of(query),
        samples: SETTLED_SAMPLES,
        seed: sampling::DEFAULT_SEED,
    };
    let of_trial = |figure| {
        trials::opened(site, &boat.entry.slug, query.get(TRIAL), figure)
            .map_err(|error| Failure::input(error.to_string()))
    };
    let opened = open(opening, &tried.loaded, &asked, of_trial)
        .map_err(|failure| WebError::NoResult(failure.message))?;
    let paper = parts::paper();
    let origin = &opened.origin;
    Ok(html! {
        p {
            (opened.occasion) ", " (origin.label)
            @match opened.interval {
                Some(interval) => {
                    " is " strong { (figure_words(interval, origin.quantity, &paper)) }
                    @if let Some(band) = figure_band(interval, origin.quantity, &paper) { ", four times in five " (band) }
                    "."
                }
                None => " has no value.",
            }
        }
        dl {
            dt { "Formula" } dd { (origin.formula) }
            dt { "Source" }
            dd { @for (key, citation) in &opened.sources { p { (citation) " " span.aside { "[" (key) "]" } } } }
            dt { "Stands on" }
            dd {
                ul.inputs {
                    @for input in &opened.inputs {
                        li {
                            (input.label)
                            @if !input.value.is_empty() { ": " strong { (input.value) } }
                            " " span class={ "mark " (mark_class(&input.origin)) } { (input.origin) }
                        }
                    }
                }
            }
            dt { "Holds for" } dd { (origin.validity) }
            @if !opened.widths.is_empty() {
                dt { "Unsure by" }
                dd {
                    @for (place, width) in opened.widths.iter().take(5).enumerate() {
                        @if place > 0 { ", " } (width.input.words()) " " (parts::percent(width.share))
                    }
                }
            }
        }
    })
}

/// The shape of the mark for how an input is known.
fn mark_class(origin: &str) -> &'static str {
    match origin {
        "measured" | "stated" => "measured",
        "assumed" | "usual value" => "assumed",
        _ => "estimated",
    }
}
