//! The page of one trial: what was found, the runs that carry it, and everything that is typed about
//! it. Not for: the parts themselves.

use maud::{Markup, html};

use wakewright_core::caution::of_trials;
use wakewright_core::trial::TRIAL_SHEETS;
use wakewright_logs::trial::TrialAddress;
use wakewright_rooms::causes::filled;
use wakewright_rooms::trials::KeptTrial;

use super::act::Act;
use super::band::{Standing, standing};
use super::field::faults_of;
use super::runs::RunsWindow;
use super::{OnTrial, causes, logs, notebook, runs, sheet};
use crate::address;
use crate::error::WebError;
use crate::pages::boat::AboutBoat;
use crate::parts::{self, contents_width, live};
use crate::query::Query;
use crate::state::Site;
use crate::visitor::Visitor;

/// The page.
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
    let window = RunsWindow::asked(query);
    let parts = Parts::of(&on, contents_width(query, visitor), window);
    let has_logs = !on.kept.document.logs.is_empty();
    let wants_blank = query.get("blank").is_some();
    let written = html! {
        details.part id="written" open[!has_logs || !on.kept.document.notebook.is_empty()] {
            summary { h2 { "Runs written down" } }
            (notebook::cards(&on.kept, wants_blank))
            (parts::cautions_for("Before she runs", &of_trials()))
        }
    };
    let pictures = html! { (parts.band) (parts.strip) };
    let in_log = html! {
        @if has_logs {
            details.part id="in-log" open { summary { h2 { "Runs in the log" } } (parts.marks) }
        }
    };
    let results = html! { (parts.results) };
    let body = html! {
        (parts.finding)
        (causes::teaser(&on))
        (done(query))
        form.trial id="survey" method="post" action=(on.address("")) autocomplete="off"
            data-draft=(on.address("/draft")) data-parts=(on.address(&format!("/live{}", window.query()))) data-trial {
            input type="hidden" name="version" value=(on.kept.trial.version);
            input type="hidden" name="whole" value="yes";
            // The first button is the one that Enter presses.
            button.visually-hidden name="do" value=(Act::Keep.value()) tabindex="-1" aria-hidden="true" { "Keep" }
            (parts.questions)
            @if has_logs { (pictures) (in_log) (results) } @else { (written) (pictures) (results) }
            details.part id="day" open[on.kept.document.conditions.is_empty()] {
                summary { h2 { "The day" } }
                (notebook::day(&on.kept))
            }
            details.part id="corrections" open[!on.kept.document.corrections.is_empty()] {
                summary { h2 { "What the day did, taken off" } }
                (runs::corrections(&on.kept))
                (parts.effects)
            }
            @if has_logs { (written) }
            @if has_logs {
                details.part id="logs" open { summary { h2 { "Logs" } } (parts.logs) }
            }
            div.keep { p id="status" role="status" { "Kept as it is typed." } noscript { button name="do" value=(Act::Keep.value()) { "Keep" } } }
        }
        h2 { @if has_logs { "Another log" } @else { "A log of it" } }
        (logs::upload_form(slug, Some(number)))
        (ways(&on))
    };
    Ok(AboutBoat { entry: on.entry, body })
}

/// What follows what is typed, without the page around it.
///
/// # Errors
/// There is no such boat or trial.
pub fn live_parts(
    site: &Site,
    slug: &str,
    number: u32,
    query: &Query,
    visitor: &Visitor,
) -> Result<Markup, WebError> {
    let on = OnTrial::load(site, slug, number)?;
    let parts = Parts::of(&on, contents_width(query, visitor), RunsWindow::asked(query));
    Ok(
        html! { (parts.finding) (parts.questions) (parts.band) (parts.strip) (parts.marks) (parts.results) (parts.effects) (parts.logs) },
    )
}

/// The parts that follow what is typed.
struct Parts {
    finding: Markup,
    questions: Markup,
    band: Markup,
    strip: Markup,
    marks: Markup,
    results: Markup,
    effects: Markup,
    logs: Markup,
}

impl Parts {
    fn of(on: &OnTrial, width_px: f64, window: RunsWindow) -> Self {
        let facts = on.kept.facts(&sheet());
        let Standing { finding, pictures } = standing(on, &facts, width_px);
        let sheets = filled(&TRIAL_SHEETS, &facts);
        let loose = faults_of(&on.kept, &TrialAddress::Logs);
        let questions = html! {
            @for fault in loose { div.caution { strong { "The logs are not joined" } p { (super::field::sentence(&fault.problem)) } } }
            (throttle_question(&on.kept))
            (logs::questions(&on.kept))
        };
        Self {
            finding: parts::finding(&finding),
            questions: live("questions", &questions),
            band: live("band", &pictures),
            strip: live("strip", &runs::strip(&on.kept, width_px)),
            marks: live("marks", &runs::marks(on, window)),
            results: live("results", &runs::results(on, &facts, &sheets, window)),
            effects: live("effects", &runs::effects(on, &facts, &sheets, window)),
            logs: live("logs", &logs::logs(&on.kept)),
        }
    }
}

/// Opposite neighbours of which no setting is known, and what to say of them; or that it was said.
fn throttle_question(kept: &KeptTrial) -> Markup {
    let button = |words: &str| html! { button.small name="do" value=(Act::HoldThrottle.value()) { (words) } };
    let count = kept.analysis.offered.len();
    html! {
        @if kept.document.is_throttle_held {
            section.questions aria-label="The throttle" {
                p { "Opposite runs without a reading of the motor count as pairs: the throttle was not touched, as you say." }
                div.buttons { (button("Take that back")) }
            }
        } @else if count > 0 {
            section.questions aria-label="The throttle" {
                p { @if count == 1 { "Two opposite neighbours" } @else { (count) " pairs of opposite neighbours" }
                    " have no reading of the motor. They are pairs if the throttle was not touched between them." }
                div.buttons { (button("It was not touched")) }
            }
        }
    }
}

/// What the last step did.
fn done(query: &Query) -> Markup {
    let text = match query.get("done") {
        Some("aside") => {
            "Another page or device had changed some of this meanwhile. What you sent is in its place, and what stood there is in the note."
        }
        Some("refused") => "Some of what was sent is longer than a trial holds, and was not taken.",
        Some("answered") => "Answered, and remembered for logs of the same source.",
        Some("set") => "The runs are yours now; they stay as you set them.",
        _ => return html! {},
    };
    html! { p.notice role="status" { (text) } }
}

fn ways(on: &OnTrial) -> Markup {
    let slug = &on.entry.slug;
    html! {
        h2 { "Elsewhere" }
        p.ways-on {
            a.button href=(address::of_boat(slug, "trials")) { "All her trials" }
            @if !on.kept.reading.outings.is_empty() { a.button href=(on.address("/samples.csv")) download { "Joined samples (CSV)" } }
            a.button href=(on.address("/trial.json")) download { "This trial (JSON)" }
        }
        @if on.kept.trial.removed.is_some() {
            form method="post" action=(on.address("/reinstate")) { button { "Reinstate this trial" } }
        } @else {
            form method="post" action=(on.address("/remove")) { button.quiet { "Take this trial off the list" } }
        }
    }
}
