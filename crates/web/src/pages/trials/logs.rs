//! Logs of a trial: brought in as files, what is in each, what must be asked about them, how they are
//! taken. Not for: what the columns of a table mean (`mapping`).

use maud::{Markup, html};
use wakewright_core::notice::Severity;
use wakewright_logs::LogNotice;

use super::act::Act;
use super::passing::{UPLOAD_LIMIT_BYTES, Upload};
use super::{of_trial, sheet};
use wakewright_store::TRIAL_KIND;

use crate::address;
use crate::error::WebError;
use crate::sent::DO;
use crate::state::{Site, now};
use wakewright_rooms::logs::remark;
use wakewright_rooms::trials::{Answer, IncomingLog, KeptTrial, PackedLog, keep_logs, known_mappings, pack};

/// What became of it: an address to go to, or a page that says what is not in.
pub type Came = Result<String, Markup>;

/// Reads and keeps what was sent, as a new trial or with that of `number`. Files that are no logs are
/// refused by name; the others are kept.
///
/// # Errors
/// There is no such boat or trial, or the store fails.
pub fn bring_in(site: &Site, slug: &str, number: Option<u32>, upload: &Upload) -> Result<Came, WebError> {
    let (entry, mappings) = {
        let store = site.store();
        let entry = store.find_by_slug(slug)?;
        if let Some(number) = number {
            store.record(entry.id, TRIAL_KIND, number)?;
        }
        (entry, known_mappings(&store)?)
    };
    // Reading takes its time; the store is free for other devices meanwhile.
    let mut packed: Vec<PackedLog> = Vec::new();
    let mut refused: Vec<String> = Vec::new();
    for passing in &upload.files {
        let incoming = IncomingLog { name: passing.name.clone(), path: passing.path.clone() };
        match pack(&incoming, &mappings) {
            Ok(log) => packed.push(log),
            Err(error) => refused.push(error.to_string()),
        }
    }
    if upload.files.is_empty() {
        refused.push(
            "Choose a file: a log of the plotter or the bus, a track of the phone, a table of the meter"
                .to_owned(),
        );
    }
    let kept = if packed.is_empty() {
        None
    } else {
        Some(keep_logs(&mut site.store(), entry.id, number, &packed, "", now())?)
    };
    let to = match (&kept, number) {
        (Some(trial), _) => of_trial(slug, trial.number, "#logs"),
        (None, Some(number)) => of_trial(slug, number, ""),
        (None, None) => address::of_boat(slug, "trials"),
    };
    if refused.is_empty() {
        return Ok(Ok(to));
    }
    Ok(Err(html! {
        h1.sentence {
            @match packed.len() { 0 => "Nothing was kept.", 1 => "One log was kept.", n => { (n) " logs were kept." } }
            @if !packed.is_empty() { @match refused.len() { 1 => " One file was not.", n => { " " (n) " files were not." } } }
        }
        ul { @for why in &refused { li { (super::field::sentence(why)) } } }
        p { a href=(to) { @if kept.is_some() { "To the trial" } @else { "Back" } } }
        (upload_form(slug, kept.map(|trial| trial.number).or(number)))
    }))
}

/// The form that takes files.
#[must_use]
pub fn upload_form(slug: &str, number: Option<u32>) -> Markup {
    let to = match number {
        Some(number) => format!("{}/{number}", address::bring_in(slug)),
        None => address::bring_in(slug),
    };
    html! {
        form.bring-in method="post" action=(to) enctype="multipart/form-data" {
            p { label for="log-files" { "Logs" }
                input id="log-files" type="file" name="file" multiple required; }
            p.aside { "NMEA 0183, NMEA 2000 as text, GPX, tables of any columns; packed with gzip or not; up to "
                (UPLOAD_LIMIT_BYTES / 1_000_000) " MB at once. They are joined by their clocks and kept as they are." }
            div.buttons { button { @if number.is_some() { "Add to this trial" } @else { "Bring in as a new trial" } } }
        }
    }
}

/// Questions about the logs, each with its answers.
#[must_use]
pub fn questions(kept: &KeptTrial) -> Markup {
    let paper = sheet();
    let others = kept.reading.outings.iter().flat_map(|outing| &outing.notices);
    let joined: Vec<String> = others.map(|notice| remark(notice, &paper).text).collect();
    if kept.questions.is_empty() && joined.is_empty() {
        return html! {};
    }
    let several = kept.document.logs.len() > 1;
    html! {
        section.questions aria-label="Questions about the logs" {
            h2 { "To be answered" }
            ul.plain {
                @for question in &kept.questions {
                    @let said = remark(&question.notice, &paper);
                    @let is_choice = question.answers.iter().any(|answer| matches!(answer, Answer::Choose { .. }));
                    li.weak[said.severity != Severity::Note] {
                        p { @if several && let Some(used) = kept.document.logs.get(question.log) { strong { (used.name) ": " } } (said.text) }
                        @if !question.values.is_empty() { p.aside { "It holds " (question.values.join(", ")) "." } }
                        div.buttons.choices[is_choice] {
                            @for (place, answer) in question.answers.iter().enumerate() {
                                @match answer {
                                    Answer::LeaveOut(key) => button.small name=(DO) value=(Act::LeaveOut(question.log, key.clone()).value()) {
                                        "Leave out " (key.replace('/', " from ").replace('-', " ")) },
                                    Answer::TurnCurrent => button.small name=(DO) value=(Act::Turn.value()) {
                                        @if kept.document.meter.is_current_turned { "Do not turn its sign" } @else { "Current out of the bank is written negative" } },
                                    Answer::AddPacks => {
                                        button.small name=(DO) value=(Act::Beside.value()) { "Packs side by side: add their amps" }
                                        button.small name=(DO) value=(Act::Series.value()) { "Packs in series: add their volts" }
                                    },
                                    Answer::Choose { key, word, label, gives } => button.small name=(DO) value=(Act::Answer(question.log, format!("{key}={word}")).value()) {
                                        strong { (label) } @if !gives.is_empty() { span.line { (gives) @if place == 0 { "; taken until you say" } } } },
                                    Answer::Shift(seconds) => button.small name=(DO) value=(Act::Shift(question.log, *seconds).value()) { "Yes: add " (shift_words(*seconds)) " to its clock" },
                                    Answer::ClockAhead(seconds) => button.small name=(DO) value=(Act::Ahead(question.log, *seconds).value()) { (ahead_words(*seconds)) },
                                }
                            }
                            @if is_about_columns(&question.notice) { a href={ "#map-" (question.log) } { "To its columns" } }
                        }
                    }
                }
                @for text in &joined { li { p { (text) } } }
            }
            p.aside { "What is answered is remembered for logs of the same source." }
        }
    }
}

fn is_about_columns(notice: &LogNotice) -> bool {
    matches!(notice, LogNotice::NoZone | LogNotice::UnitsDoubtful { .. } | LogNotice::Question(_))
}

/// A shift of a clock as it is typed.
#[must_use]
pub fn shift_words(seconds: i32) -> String {
    let hours = f64::from(seconds) / 3600.0;
    format!("{hours} h")
}

fn ahead_words(seconds: i32) -> String {
    if seconds == 0 {
        return "The clock is UTC".to_owned();
    }
    let (sign, minutes) = (if seconds < 0 { '−' } else { '+' }, seconds.abs() / 60);
    format!("The clock is of this place, UTC {sign}{}:{:02}", minutes / 60, minutes % 60)
}
