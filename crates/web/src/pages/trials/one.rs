//! The page of one trial: what was found, the runs that carry it, and everything that is typed about
//! it. Not for: the parts themselves.

use maud::{Markup, html};

use wakewright_core::caution::of_trials;
use wakewright_core::trial::TRIAL_SHEETS;
use wakewright_logs::trial::{Condition, TrialAddress};
use wakewright_rooms::causes::filled;
use wakewright_rooms::trials::KeptTrial;

use super::act::Act;
use super::band::{Standing, standing};
use super::field::faults_of;
use super::marks::RunsWindow;
use super::{OnTrial, causes, log_list, logs, marks, notebook, runs, sheet};
use crate::address;
use crate::error::WebError;
use crate::pages::boat::AboutBoat;
use crate::parts::{self, Widths, contents_width, live};
use crate::query::Query;
use crate::sent::DO;
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
    let width_px = contents_width(query, visitor);
    let unfolds = Widths::of(width_px).unfolds();
    let parts = Parts::of(&on, width_px, window);
    let has_logs = !on.kept.document.logs.is_empty();
    let wants_blank = query.get("blank").is_some();
    let part = |key: &str, title: &str, is_open: bool, contents: &Markup| {
        html! {
            // What stands open on a phone is not folded there by the script.
            details.part id=(key) data-fold=[(unfolds || !is_open).then(|| format!("trial-{key}"))] open[is_open] {
                summary { h2 { (title) } (chief(key, &on.kept)) }
                (contents)
            }
        }
    };
    let rows = on.kept.document.notebook.len();
    let cards = html! {
        (notebook::cards(&on.kept, wants_blank))
        (parts::cautions_for("Before she runs", &of_trials()))
    };
    // On a phone a card or two stand open; more are asked for.
    let is_written_open = if unfolds { !has_logs || rows > 0 } else { wants_blank || !has_logs && rows < 2 };
    let written = part("written", "Runs written down", is_written_open, &cards);
    let pictures = html! { (parts.band) (parts.strip) };
    let in_log = html! {
        @if has_logs {
            (part("in-log", "Runs in the log", unfolds, &parts.marks))
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
            button.visually-hidden name=(DO) value=(Act::Keep.value()) tabindex="-1" aria-hidden="true" { "Keep" }
            (parts.questions)
            @if has_logs { (pictures) (in_log) (results) } @else { (written) (pictures) (results) }
            @let is_day_open = unfolds && on.kept.document.conditions.is_empty() || has_faulty_day(&on.kept);
            (part("day", "The day", is_day_open, &notebook::day(&on.kept)))
            @let corrections = html! { (runs::corrections(&on.kept)) (parts.effects) };
            @let has_corrections = !on.kept.document.corrections.is_empty();
            (part("corrections", "What the day did, taken off", unfolds && has_corrections, &corrections))
            @if has_logs { (written) }
            @if has_logs {
                (part("logs", "Logs", unfolds, &parts.logs))
            }
            div.keep { p id="status" role="status" { "Kept as it is typed." } noscript { button name=(DO) value=(Act::Keep.value()) { "Keep" } } }
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
    Ok(html! {
        (parts.finding) (parts.questions) (parts.band) (parts.strip) (parts.marks) (parts.results) (parts.effects) (parts.logs)
        @for key in ["written", "in-log", "day", "corrections", "logs"] { (chief(key, &on.kept)) }
    })
}

/// What a folded part says most, beside its name.
fn chief(key: &str, kept: &KeptTrial) -> Markup {
    let document = &kept.document;
    let counted = |count: usize, one: &str, more: &str| match count {
        0 => format!("no {one}"),
        1 => format!("one {one}"),
        count => format!("{count} {more}"),
    };
    let noted = Condition::ALL.iter().filter(|one| is_filled(kept, &TrialAddress::Condition(**one))).count();
    let words = match key {
        "written" => counted(document.notebook.len(), "run", "runs"),
        "in-log" => counted(kept.marks().len(), "run", "runs"),
        "day" => {
            let day = document.date.trim();
            let noted = format!("{} noted", counted(noted, "condition", "conditions"));
            if day.is_empty() { noted } else { format!("{day}, {noted}") }
        }
        "corrections" => counted(document.corrections.len(), "correction", "corrections"),
        _ => counted(document.logs.len(), "log", "logs"),
    };
    html! { span.chief data-live={ "chief-" (key) } { (words) } }
}

fn is_filled(kept: &KeptTrial, address: &TrialAddress) -> bool {
    kept.document.typed(address).is_some_and(|typed| !typed.trim().is_empty())
}

/// Whether something about the day cannot be read: then it is never folded away.
fn has_faulty_day(kept: &KeptTrial) -> bool {
    let conditions = Condition::ALL.map(TrialAddress::Condition);
    let day = [TrialAddress::Date, TrialAddress::Title, TrialAddress::Note];
    conditions.iter().chain(&day).any(|address| !faults_of(kept, address).is_empty())
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
        // On a phone what is longer than the sentence is folded under its chief figure.
        let is_wide = Widths::of(width_px).unfolds();
        let fold = |key: &str, title: &str, chief: &str, contents: &Markup| {
            if is_wide || contents.0.is_empty() {
                contents.clone()
            } else {
                parts::fold(key, title, chief, false, contents)
            }
        };
        let of_runs = |count: usize| if count == 1 { "one run".to_owned() } else { format!("{count} runs") };
        let strip = runs::strip(&on.kept, width_px);
        let results = runs::results(on, &facts, &sheets, window);
        let chief = format!("{}, {} in pairs", of_runs(facts.runs.len()), 2 * facts.analysis.pairs.len());
        let results = fold("trial-results", "Runs, pairs and stream", &chief, &results);
        let questions = html! {
            @for fault in loose { div.caution { strong { "The logs are not joined" } p { (super::field::sentence(&fault.problem)) } } }
            (throttle_question(&on.kept))
            (logs::questions(&on.kept))
        };
        Self {
            finding: parts::finding(&finding),
            questions: live("questions", &questions),
            band: live("band", &pictures),
            strip: live(
                "strip",
                &fold("strip", "The log over time", &of_runs(on.kept.marks().len()), &strip),
            ),
            marks: live("marks", &marks::marks(on, window)),
            results: live("results", &results),
            effects: live("effects", &runs::effects(on, &facts, &sheets, window)),
            logs: live("logs", &log_list::logs(&on.kept)),
        }
    }
}

/// Opposite neighbours of which no setting is known, and what to say of them; or that it was said.
fn throttle_question(kept: &KeptTrial) -> Markup {
    let button = |words: &str| html! { button.small name=(DO) value=(Act::HoldThrottle.value()) { (words) } };
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
