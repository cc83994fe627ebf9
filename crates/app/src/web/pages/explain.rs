//! Where a figure comes from, as a page of its own or as the part that opens beneath the figure.

use maud::{Markup, html};
use wakewright_core::study::{Figure, Questions};

use crate::explain::{inputs_of, sources_of};
use crate::sampling;
use crate::web::error::WebError;
use crate::web::parts::{self, SETTLED_DRAWS};
use crate::web::query::Query;
use crate::web::state::BoatOnPage;
use crate::web::whatif::Tried;

/// The origin of the figure `key`.
///
/// # Errors
/// There is no such figure, or no result at her numbers.
pub fn contents(boat: &BoatOnPage, key: &str, query: &Query) -> Result<Markup, WebError> {
    let figure = Figure::from_key(key).ok_or(WebError::NoSuchPage)?;
    let tried = Tried::new(&boat.loaded, query);
    let loaded = &tried.loaded;
    let study = sampling::study(&loaded.spec, &Questions::default(), SETTLED_DRAWS, sampling::DEFAULT_SEED)
        .map_err(|error| WebError::NoResult(format!("{}: {error}.", boat.entry.name)))?;
    let paper = parts::paper();
    let origin = figure.origin();
    let interval = study.at_full(figure);
    let widths = study.width_of(figure);
    Ok(html! {
        p {
            "At full throttle, " (origin.label) " is " strong { (paper.quantity(interval.value, origin.quantity)) }
            ", four times in five " (paper.band(interval, origin.quantity)) "."
        }
        dl {
            dt { "Formula" } dd { (origin.formula) }
            dt { "Source" }
            dd { @for (key, citation) in sources_of(figure) { p { (citation) " " span.aside { "[" (key) "]" } } } }
            dt { "Stands on" }
            dd {
                ul.inputs {
                    @for input in inputs_of(figure, loaded) {
                        li {
                            (input.label)
                            @if !input.value.is_empty() { ": " strong { (input.value) } }
                            " " span class={ "mark " (mark_class(&input.origin)) } { (input.origin) }
                        }
                    }
                }
            }
            dt { "Holds for" } dd { (origin.validity) }
            @if !widths.is_empty() {
                dt { "Unsure by" }
                dd {
                    @for (place, width) in widths.iter().take(5).enumerate() {
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
