//! The list of a boat's trials.

use super::logs;
use super::{of_trial, sheet};
use crate::address;
use crate::error::WebError;
use crate::pages::boat::AboutBoat;
use crate::parts::{self, contents_width};
use crate::query::Query;
use crate::state::Site;
use crate::visitor::Visitor;
use maud::{Markup, html};
use wakewright_core::caution::of_trials;
use wakewright_rooms::moment;
use wakewright_rooms::story::Story;
use wakewright_rooms::trial::trial_finding;
use wakewright_rooms::trials::{KeptTrial, LogShelf, document_of};
use wakewright_store::{Boat, Record, Store, TRIAL_KIND};

/// Logs of trials on a list are read up to this size together; beyond, a trial is only named.
const READ_FOR_LIST_BYTES: u64 = 16_000_000;

/// The list.
///
/// # Errors
/// There is no such boat, or the store fails.
pub fn list(site: &Site, slug: &str, query: &Query, visitor: &Visitor) -> Result<AboutBoat, WebError> {
    let store = site.store();
    let entry = store.find_by_slug(slug)?;
    let trials = store.records(entry.id, TRIAL_KIND)?;
    let removed = store.removed_records(entry.id, TRIAL_KIND)?;
    let mut left_bytes = READ_FOR_LIST_BYTES;
    let mut lines = Vec::new();
    for trial in trials.iter().rev() {
        lines.push((trial, line(&store, site.shelf(), &entry, trial, &mut left_bytes)?));
    }
    let story = Story::of_store(&store, site.shelf(), entry.id)?;
    let told = story.finding(&entry.name, &sheet());
    let width_px = contents_width(query, visitor);
    let to = |rest: &str| address::of_boat(slug, rest);
    let body = html! {
        @if let Some(told) = &told { (parts::finding(told)) } @else { h1.sentence {
            @match trials.len() {
                0 => { "No trial of " (entry.name) " yet. Bring in a log, or write down runs as they are made." }
                1 => { (entry.name) " has been tried " strong { "once" } "." }
                count => { (entry.name) " has been tried " strong { (count) " times" } "." }
            }
        } }
        @if let Some(picture) = story.picture(&sheet()) { (parts::figure(&picture, width_px, "story", "What she made, and what was forecast")) }
        p.under-sentence { "Two runs for each setting, one with the stream and one against it; three minutes each, straight, at one throttle setting." }
        form.buttons method="post" action=(to("trials")) {
            button.main { "Write down runs" }
        }
        (parts::cautions_for("Before she runs", &of_trials()))
        @if !lines.is_empty() {
            ol.trials {
                @for (trial, line) in &lines {
                    li {
                        h2 { a href=(of_trial(slug, trial.number, "")) { (line.label) } }
                        p { (line.sentence) }
                        p.aside { "Trial " (trial.number) "; " (line.what) ", changed " (moment::local(trial.changed)) "." }
                        form.inline method="post" action=(of_trial(slug, trial.number, "/remove")) {
                            button.small { "Take it off the list" span.visually-hidden { ": " (line.label) } }
                        }
                    }
                }
            }
        }
        h2 { "Bring in logs" }
        (logs::upload_form(slug, None))
        @if !removed.is_empty() {
            h2 { "Removed" }
            p.aside { "Everything of theirs is kept." }
            ul.plain { @for trial in &removed { li {
                @let label = document_of(trial).map_or_else(|_| format!("trial {}", trial.number), |d| d.label());
                form.inline method="post" action=(of_trial(slug, trial.number, "/reinstate")) {
                    (label) " " button.small { "Reinstate" span.visually-hidden { " " (label) } }
                }
            } } }
        }
    };
    drop(store);
    Ok(AboutBoat { entry, body })
}

/// What the list says of a trial.
struct Line {
    label: String,
    sentence: String,
    what: String,
}

fn line(
    store: &Store,
    shelf: &LogShelf,
    boat: &Boat,
    trial: &Record,
    left_bytes: &mut u64,
) -> Result<Line, WebError> {
    let document = match document_of(trial) {
        Ok(document) => document,
        Err(error) => {
            return Ok(Line {
                label: format!("trial {}", trial.number),
                sentence: format!("{error}."),
                what: "unread".to_owned(),
            });
        }
    };
    let bytes: u64 = store.enclosures(trial.id)?.iter().map(|log| log.plain_bytes).sum();
    let sentence = if bytes <= *left_bytes {
        *left_bytes -= bytes;
        let kept = KeptTrial::load(store, shelf, boat.id, trial.number, None)?;
        if kept.document.notebook.is_empty() && kept.document.logs.is_empty() {
            "Nothing is written down yet.".to_owned()
        } else {
            trial_finding(&kept.facts(&sheet()), &sheet()).sentence
        }
    } else {
        "Its logs are large; open it to have them read.".to_owned()
    };
    let count = |number: usize, one: &str, many: &str| match number {
        0 => format!("no {many}"),
        1 => format!("one {one}"),
        number => format!("{number} {many}"),
    };
    let what = format!(
        "{}, {}",
        count(document.logs.len(), "log", "logs"),
        count(document.notebook.len(), "written run", "written runs")
    );
    Ok(Line { label: document.label(), sentence, what })
}

/// The story of a boat on her first page, asked for once that stands; empty where she was never tried.
///
/// # Errors
/// There is no such boat, or the store fails.
pub fn story(site: &Site, slug: &str, query: &Query, visitor: &Visitor) -> Result<Markup, WebError> {
    let (entry, story) = {
        let store = site.store();
        let entry = store.find_by_slug(slug)?;
        let story = Story::of_store(&store, site.shelf(), entry.id)?;
        (entry, story)
    };
    let Some(told) = story.finding(&entry.name, &sheet()) else { return Ok(html! {}) };
    let width_px = contents_width(query, visitor);
    let told_whole = html! {
        p.lead { (told.sentence) }
        p.aside { (told.further) }
        @if let Some(picture) = story.picture(&sheet()) { (parts::figure(&picture, width_px, "story", "What she made, and what was forecast")) }
        p.ways-on { a.button href=(address::of_boat(slug, "trials")) { "All her trials" } }
    };
    Ok(parts::fold("story", "Her story", &told.figure, parts::Widths::of(width_px).unfolds(), &told_whole))
}
