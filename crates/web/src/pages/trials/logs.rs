//! Logs of a trial: brought in as files, what is in each, what must be asked about them, how they are
//! taken. Not for: what the columns of a table mean (`mapping`).

use std::fs::{File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;

use maud::{Markup, html};
use wakewright_core::notice::Severity;
use wakewright_logs::LogNotice;
use wakewright_logs::trial::TrialAddress;
use wakewright_rooms::trial::{ChannelFacts, LogFacts, duration_text};
use wakewright_units::{UnitSystem, format_number, unit_for};

use super::act::Act;
use super::field::{Kind, TrialField};
use super::{mapping, of_trial, sheet};
use crate::address;
use crate::error::WebError;
use crate::state::{Site, now};
use crate::visitor::random_name;
use wakewright_rooms::logs::{log_facts, remark};
use wakewright_rooms::trials::{Answer, IncomingLog, KeptTrial, PackedLog, keep_logs, known_mappings, pack};

/// All files of one sending may be this large together.
pub const UPLOAD_LIMIT_BYTES: usize = 300_000_000;

/// And on their way so long, over a weak wireless network.
pub const UPLOAD_TIME: Duration = Duration::from_secs(15 * 60);

/// A file on its way in, on the disk and not in memory; gone when it is dropped.
#[derive(Debug)]
struct Passing {
    name: String,
    path: PathBuf,
    file: File,
}

impl Drop for Passing {
    fn drop(&mut self) {
        // What cannot be removed is left to the system, whose folder it is.
        let _ = std::fs::remove_file(&self.path);
    }
}

const PASSING_PREFIX: &str = "wakewright-log-";
/// A sending is over by then, whole or not.
const LEFT_OVER_AFTER: Duration = Duration::from_secs(24 * 3600);

/// Removes what a server that was killed left of files on their way in.
pub fn sweep_left_over() {
    let Ok(entries) = std::fs::read_dir(std::env::temp_dir()) else { return };
    for entry in entries.flatten() {
        let is_ours = entry.file_name().to_string_lossy().starts_with(PASSING_PREFIX);
        let age = entry.metadata().and_then(|about| about.modified()).ok().and_then(|at| at.elapsed().ok());
        if is_ours && age.is_some_and(|age| age > LEFT_OVER_AFTER) {
            // What cannot be removed belongs to somebody else.
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// What was sent.
#[derive(Debug, Default)]
pub struct Upload {
    files: Vec<Passing>,
}

impl Upload {
    /// Begins a file; what arrives next belongs to it.
    ///
    /// # Errors
    /// The disk.
    pub fn begin(&mut self, name: &str) -> std::io::Result<()> {
        let path = std::env::temp_dir().join(format!("{PASSING_PREFIX}{}", random_name()));
        let mut options = OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let file = options.open(&path)?;
        let bare =
            Path::new(name).file_name().map_or_else(|| name.to_owned(), |n| n.to_string_lossy().into_owned());
        self.files.push(Passing { name: bare, path, file });
        Ok(())
    }

    /// Adds to the file that was begun last.
    ///
    /// # Errors
    /// The disk.
    pub fn add(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        self.files.last_mut().map_or(Ok(()), |passing| passing.file.write_all(bytes))
    }
}

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
            store.trial(entry.id, number)?;
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
                                    Answer::LeaveOut(key) => button.small name="do" value=(Act::LeaveOut(question.log, key.clone()).value()) {
                                        "Leave out " (key.replace('/', " from ").replace('-', " ")) },
                                    Answer::TurnCurrent => button.small name="do" value=(Act::Turn.value()) {
                                        @if kept.document.meter.is_current_turned { "Do not turn its sign" } @else { "Current out of the bank is written negative" } },
                                    Answer::Choose { key, word, label, gives } => button.small name="do" value=(Act::Answer(question.log, format!("{key}={word}")).value()) {
                                        strong { (label) } @if !gives.is_empty() { span.line { (gives) @if place == 0 { "; taken until you say" } } } },
                                    Answer::Shift(seconds) => button.small name="do" value=(Act::Shift(question.log, *seconds).value()) { "Yes: add " (shift_words(*seconds)) " to its clock" },
                                    Answer::ClockAhead(seconds) => button.small name="do" value=(Act::Ahead(question.log, *seconds).value()) { (ahead_words(*seconds)) },
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

/// What is in each log, and how it is taken.
#[must_use]
pub fn logs(kept: &KeptTrial) -> Markup {
    html! {
        @for (number, used) in kept.document.logs.iter().enumerate() {
            @let opened = kept.opened.get(number).and_then(|opened| opened.as_deref());
            details.part.log open[kept.document.logs.len() == 1] {
                summary { h3 { (used.name) }
                    @if let Some(Some(log)) = kept.logs.get(number) { span.count { (size(log.plain_bytes)) ", kept in " (size(log.packed_bytes)) } } }
                @match opened {
                    None => p.notice { "Its bytes are not in this store; bring the file in again." },
                    Some(opened) => { (facts(kept, number, &log_facts(opened, &sheet()))) },
                }
                div.named { (TrialField { address: TrialAddress::Shift(number), label: "Add to its clock", hint: "20 s, or -1 h", kind: Kind::Text }.markup(kept)) }
                @if let Some(map) = opened.filter(|opened| opened.is_table()).and_then(|opened| opened.mapping.as_ref()) { (mapping::form(number, map, opened.and_then(|o| log_facts(o, &sheet()).table).as_ref())) }
                p { button.quiet name="do" value=(Act::RemoveLog(number).value()) { "Take this log off the trial" } }
            }
        }
        @if !kept.document.logs.is_empty() {
            h3 { "The meter" }
            div.named {
                (TrialField { address: TrialAddress::MeterZero, label: "It shows with no current flowing", hint: "0.4 A", kind: Kind::Number }.markup(kept))
                (TrialField { address: TrialAddress::MeterHouse, label: "Loads beside the drive", hint: "180 W", kind: Kind::Number }.markup(kept))
                (TrialField { address: TrialAddress::MeterTurned, label: "Current out of the bank is written negative", hint: "", kind: Kind::Switch }.markup(kept))
            }
        }
    }
}

fn size(bytes: u64) -> String {
    match bytes {
        0..10_000 => format!("{bytes} bytes"),
        10_000..10_000_000 => format!("{} kB", bytes / 1000),
        _ => format!("{} MB", bytes / 1_000_000),
    }
}

fn facts(kept: &KeptTrial, number: usize, facts: &LogFacts) -> Markup {
    html! {
        p { (facts.sentence()) }
        @if !facts.channels.is_empty() {
            div.scroll role="region" aria-label={ "What " (facts.file) " holds" } tabindex="0" {
                table.channels {
                    caption { "What was measured" }
                    thead { tr { th scope="col" { "what" } th scope="col" { "from" } @for head in ["count", "least", "middle", "most"] { th.number scope="col" { (head) } }
                        th scope="col" { "unit" } th.number scope="col" { "longest gap" } th scope="col" { "not believed" } } }
                    tbody { @for channel in &facts.channels { (channel_row(kept, number, channel)) } }
                }
            }
        }
        @if !facts.bad.is_empty() {
            table.stacks {
                caption { "What could not be used" }
                thead { tr { th scope="col" { "what" } th.number scope="col" { "count" } th scope="col" { "lines" } } }
                tbody { @for bad in &facts.bad { tr { th scope="row" { (bad.label) } td.number data-head="count" { (format_number(bad.count as f64, 0)) }
                    td data-head="lines" { @let lines: Vec<String> = bad.first_lines.iter().map(u64::to_string).collect();
                        (lines.join(", ")) @if bad.count > bad.first_lines.len() as u64 { " …" } } } } }
            }
        }
    }
}

fn channel_row(kept: &KeptTrial, number: usize, channel: &ChannelFacts) -> Markup {
    let unit = unit_for(channel.quantity, UnitSystem::Trade);
    let size = channel.greatest.or(channel.middle);
    let decimals = usize::from(size.is_some_and(|si| unit.from_si(si).abs() < 100.0));
    let write =
        |si: Option<f64>| si.map_or_else(|| "–".to_owned(), |si| format_number(unit.from_si(si), decimals));
    let address = TrialAddress::LeftOut(number, channel.key.clone());
    html! {
        tr {
            th scope="row" { (channel.label) }
            td { (channel.source) }
            td.number { (format_number(channel.count as f64, 0)) }
            td.number { (write(channel.least)) }
            td.number { (write(channel.middle)) }
            td.number { (write(channel.greatest)) }
            td { (unit.symbol()) }
            td.number { (channel.longest_gap_s.map_or_else(|| "–".to_owned(), duration_text)) }
            td { (TrialField { address, label: "leave out", hint: "", kind: Kind::Switch }.markup(kept)) }
        }
    }
}
