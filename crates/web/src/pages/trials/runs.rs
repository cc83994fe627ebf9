//! The runs of a trial: on the strip, as a table with pairs and stream, with what the day did to them;
//! and the places where those of a log are added, trimmed and dropped.

use maud::{Markup, PreEscaped, html};
use wakewright_core::sheet::Filled;
use wakewright_core::trial::{PairResult, TrialFacts};
use wakewright_logs::TimeBase;
use wakewright_logs::trial::{Correction, TrialAddress};
use wakewright_picture::{Frame, Picture, Theme};
use wakewright_rooms::draw::trial_strip;
use wakewright_rooms::room::Block;
use wakewright_rooms::trial::{days_block, runs_blocks};

use super::field::{Kind, TrialField};
use super::marks::RunsWindow;
use super::{OnTrial, sheet};
use crate::parts;
use wakewright_rooms::scene::strips;
use wakewright_rooms::trials::KeptTrial;

/// Stretches of log that are drawn; more than these are named.
const MOST_STRIPS: usize = 6;

/// The strips of the log.
#[must_use]
pub fn strip(kept: &KeptTrial, width_px: f64) -> Markup {
    let logs = strips(&kept.reading);
    let base = kept.reading.outings.first().map_or("time-of-day", |outing| match outing.time_base {
        TimeBase::Utc => "utc",
        TimeBase::TimeOfDay => "time-of-day",
        TimeBase::Elapsed | TimeBase::Lines => "elapsed",
    });
    let count = logs.len();
    html! {
        @for (number, log) in logs.iter().take(MOST_STRIPS).enumerate() {
            @let svg = trial_strip(log, width_px, parts::UNITS.get()).to_svg(&Frame::new(width_px, Theme::Page, &format!("strip-{number}")));
            figure.strip data-base=(base) {
                figcaption { "The log over time" @if count > 1 { ", stretch " (number + 1) " of " (count) } }
                (PreEscaped(svg))
                p.readout role="status" data-strip-text {}
            }
        }
        @if count > MOST_STRIPS { p.aside { (count - MOST_STRIPS) " more stretches are not drawn; their runs are in the table." } }
    }
}

/// The runs that are used, with pairs, stream and the day.
#[must_use]
pub fn results(on: &OnTrial, facts: &TrialFacts, sheets: &[Filled], window: RunsWindow) -> Markup {
    if facts.runs.is_empty() {
        return html! {};
    }
    let window = window.within(facts.runs.len());
    let shows = |pair: &PairResult| window.shows(pair.pair.first) || window.shows(pair.pair.second);
    let of_pairs = |pairs: &[PairResult]| pairs.iter().map(shows).collect::<Vec<bool>>();
    let (pairs, offered) = (of_pairs(&facts.analysis.pairs), of_pairs(&facts.analysis.offered));
    let blocks = runs_blocks(facts, sheets, &sheet()).into_iter().map(|block| match &block {
        Block::Sheet(filled) => match filled.key {
            "runs" => block.with_rows(|row| window.shows(row)),
            "pairs" => block.with_rows(|row| pairs.get(row) == Some(&true)),
            "offered_pairs" => block.with_rows(|row| offered.get(row) == Some(&true)),
            _ => block,
        },
        _ => block,
    });
    html! {
        div id="results" {
            @for block in blocks { (parts::block(&block)) }
            (window.links(on, facts.runs.len(), "with their pairs; all of them are in the sentence and the pictures", "results"))
        }
        (flags(&on.kept, window))
    }
}

/// What to say of single runs before they are used.
fn flags(kept: &KeptTrial, window: RunsWindow) -> Markup {
    html! {
        @for (place, stated) in kept.stated.iter().enumerate().filter(|(place, _)| window.shows(*place)) {
            @for flag in &stated.flags { p.notice { "Run " (place + 1) ": " (flag.words()) "." } }
        }
        @if kept.reading.conditions.is_confined { p.notice { "Made in a narrow channel: shown, and not used for causes." } }
    }
}

/// What the day did, with the switches that take it off.
#[must_use]
pub fn corrections(kept: &KeptTrial) -> Markup {
    html! {
        p.aside { "What is ticked is taken off the power of each run, so that it stands beside her document in still air and flat water." }
        div.ticks {
            @for correction in Correction::ALL {
                (TrialField { address: TrialAddress::Correct(correction), label: correction.label(), hint: "", kind: Kind::Switch }.markup(kept))
            }
        }
    }
}

/// What each correction does to each run.
#[must_use]
pub fn effects(on: &OnTrial, facts: &TrialFacts, sheets: &[Filled], window: RunsWindow) -> Markup {
    if facts.days.iter().all(|day| day.measured_w.is_none()) {
        return html! { p.aside { "No run has a power yet, so there is nothing to correct." } };
    }
    html! {
        @let window = window.within(facts.days.len());
        (parts::block(&days_block(facts, sheets).with_rows(|row| window.shows(row))))
        (window.links(on, facts.days.len(), "here at once", "corrections"))
        @if facts.days.iter().flat_map(|day| &day.parts).any(|part| part.watts.is_none()) { p.aside { "What is not known: note wind, waves, displacement or water under “The day”." } }
    }
}
