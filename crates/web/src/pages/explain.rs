//! Where a figure comes from, as a page of its own or as the part that opens beneath the figure.

use maud::{Markup, html};
use wakewright_core::causes::causes_figure;
use wakewright_core::sheet::{Figure, Interval};
use wakewright_rooms::explain::{Known, Opened, figure_band, figure_words};
use wakewright_rooms::text::Paper;

use crate::error::WebError;
use crate::pages::{room, trials};
use crate::parts;
use crate::query::Query;
use crate::state::{BoatOnPage, Site};
use wakewright_rooms::explain::{figure_named, open, open_in};
use wakewright_rooms::no_answer::NoAnswer;
use wakewright_rooms::room::Asked;
use wakewright_rooms::whatif::Tried;

/// The part of an address that says which trial a figure is found from.
pub const TRIAL: &str = "trial";

/// The origin of the figure `key`.
///
/// # Errors
/// There is no such figure, or no result at her numbers.
pub fn contents(site: &Site, boat: &BoatOnPage, key: &str, query: &Query) -> Result<Markup, WebError> {
    let no_result = |no: NoAnswer| WebError::NoResult(no.message().to_owned());
    if let Some((room, figure)) = figure_named(site.rooms(), key) {
        let tried = room::tried(room, &boat.loaded, query);
        let asked = room::asked(room, boat, &tried, room.card().samples.settled);
        let asked = Asked { is_thorough: true, ..asked };
        return Ok(opened_part(&open_in(room, figure, &asked, &parts::paper()).map_err(no_result)?));
    }
    let figure = causes_figure(key).ok_or(WebError::NoSuchPage)?;
    let tried = Tried::new(&boat.loaded, query.all("set"), Vec::new());
    let of_trial = |figure| {
        trials::opened(site, &boat.entry.slug, query.get(TRIAL), figure)
            .map_err(|error| NoAnswer::input(error.to_string()))
    };
    Ok(opened_part(&open(figure, &tried.loaded, of_trial).map_err(no_result)?))
}

fn opened_part(opened: &Opened) -> Markup {
    let paper = parts::paper();
    let origin = &opened.origin;
    html! {
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
                            " " span class={ "mark " (mark_class(input.known)) } { (input.known) }
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
    }
}

/// The shape of the mark for how an input is known.
fn mark_class(known: Known) -> &'static str {
    match known {
        Known::Measured => "measured",
        Known::Plate => "plate",
        Known::Chosen => "chosen",
        Known::Assumed | Known::Usual => "assumed",
        Known::Estimated(_) | Known::OfMethod | Known::NotGiven => "estimated",
    }
}

/// Figures under `caption`, each of which opens to where it comes from; those without a value are left out.
/// `query` says for what they are told: changes tried, a trial.
pub fn openings(
    caption: &str,
    figures: &[(&'static Figure, Option<Interval>)],
    slug: &str,
    query: &str,
    paper: &Paper,
) -> Markup {
    html! {
        table.stacks {
            caption { (caption) }
            tbody {
                @for (figure, interval) in figures {
                    @if let Some(interval) = interval {
                        tr {
                            th scope="row" {
                                (parts::origin_of(figure, slug, query))
                            }
                            td.number { (figure_words(*interval, figure.quantity, paper)) }
                            td.number data-head="80 % band" {
                                (figure_band(*interval, figure.quantity, paper).unwrap_or_else(|| "–".to_owned()))
                            }
                        }
                    }
                }
            }
        }
    }
}
