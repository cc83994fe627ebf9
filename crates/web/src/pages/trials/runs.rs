//! The runs of a trial: on the strip, as a table with pairs and stream, with what the day did to them;
//! and the places where those of a log are added, trimmed and dropped.

use maud::{Markup, PreEscaped, html};
use wakewright_core::sheet::Filled;
use wakewright_core::trial::{PairResult, TrialFacts};
use wakewright_logs::TimeBase;
use wakewright_logs::trial::{Correction, MarkPart, RunMark, RunOrigin, RunState, TrialAddress, YES};
use wakewright_picture::{Frame, Picture, Theme};
use wakewright_rooms::draw::trial_strip;
use wakewright_rooms::room::Block;
use wakewright_rooms::trial::{days_block, runs_blocks};
use wakewright_units::UnitSystem;

use super::act::Act;
use super::field::{Kind, TYPED, TrialField, faults_of, id_of, note};
use super::{OnTrial, sheet};
use crate::parts;
use crate::query::Query;
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
            @let svg = trial_strip(log, width_px, UnitSystem::Trade).to_svg(&Frame::new(width_px, Theme::Page, &format!("strip-{number}")));
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

/// From when to when each run of the log goes; one line more for a run to be added.
#[must_use]
pub fn marks(on: &OnTrial, window: RunsWindow) -> Markup {
    let kept = &on.kept;
    let found: Vec<RunMark> = marks_of(kept);
    let labels = labels(kept, found.len());
    let window = window.within(found.len());
    let shown = (0..found.len()).filter(|number| window.shows(*number));
    html! {
        p.aside {
            @match kept.document.marks {
                None => "These were found. Change one, and all of them are yours: they stay as you set them.",
                Some(_) => "Set by hand.",
            }
            " On the strip, drag an edge to trim a run, or drag across an empty stretch to add one."
        }
        div.marks-table role="group" aria-label="Runs in the log" {
            @for number in shown { (mark_row(kept, number, &found[number], &labels[number])) }
            (mark_row(kept, found.len(), &RunMark::default(), "new"))
        }
        (window.links(on, found.len(), "here at once; what is typed about the others stays", "in-log"))
        div.buttons {
            button name="do" value=(Act::SetRuns.value()) { "Set these runs" }
            @if kept.document.marks.is_some() { button.quiet name="do" value=(Act::FindRuns.value()) { "Find them anew" } }
        }
        @let least = TrialField { address: TrialAddress::LeastRun, label: "Shortest run that is found", hint: "60 s", kind: Kind::Text };
        div.named { (least.markup(kept)) }
    }
}

/// The runs of the log as marks, set or found.
#[must_use]
pub fn marks_of(kept: &KeptTrial) -> Vec<RunMark> {
    kept.marks()
}

/// Which runs stand on the page, from the first of them on: a season has thousands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunsWindow(usize);

impl RunsWindow {
    /// Runs that stand on the page at once.
    const LENGTH: usize = 200;

    /// Those that an address asks for; else the first ones.
    #[must_use]
    pub fn asked(query: &Query) -> Self {
        let first: usize = query.get("runs-from").and_then(|text| text.parse().ok()).unwrap_or(1);
        Self(first.saturating_sub(1) / Self::LENGTH * Self::LENGTH)
    }

    /// The same, or the first ones where there are no runs so far on.
    fn within(self, count: usize) -> Self {
        if self.0 < count { self } else { Self(0) }
    }

    fn shows(self, place: usize) -> bool {
        (self.0..self.0 + Self::LENGTH).contains(&place)
    }

    /// The ways to the other runs, where there are more than stand here.
    fn links(self, on: &OnTrial, count: usize, what: &str, place: &str) -> Markup {
        html! {
            @if count > Self::LENGTH {
                p.aside { "Of " (count) " runs " (Self::LENGTH) " stand " (what) ". "
                    @for begin in (0..count).step_by(Self::LENGTH) {
                        @let end = (begin + Self::LENGTH).min(count);
                        @if begin == self.0 { strong { (begin + 1) "–" (end) } }
                        @else { a href={ (on.address(&Self(begin).query())) "#" (place) } { (begin + 1) "–" (end) } } " "
                    }
                }
            }
        }
    }

    /// How an address asks for them; nothing for the first.
    #[must_use]
    pub fn query(self) -> String {
        if self.0 == 0 { String::new() } else { format!("?runs-from={}", self.0 + 1) }
    }
}

/// The number that each mark's run bears everywhere, from its place among the used.
fn labels(kept: &KeptTrial, count: usize) -> Vec<String> {
    let mut labels = vec!["not read".to_owned(); count];
    let (mut found, mut used) = (0, 0);
    for read in &kept.reading.runs {
        used += usize::from(read.state == RunState::Used);
        let mark = match read.origin {
            RunOrigin::Mark(mark) => mark,
            RunOrigin::Found => {
                found += 1;
                found - 1
            }
            RunOrigin::Notebook(_) => continue,
        };
        if let Some(label) = labels.get_mut(mark) {
            *label = if read.state == RunState::Used { format!("run {used}") } else { "dropped".to_owned() };
        }
    }
    labels
}

fn mark_row(kept: &KeptTrial, number: usize, mark: &RunMark, label: &str) -> Markup {
    let row = TrialAddress::Mark(number);
    let is_wrong = !faults_of(kept, &row).is_empty();
    let note_id = format!("{}-note", id_of(&row));
    let part = |part: MarkPart, words: &str| {
        let (address, value) = (TrialAddress::MarkPart(number, part), mark.typed(part));
        let (id, name) = (id_of(&address), address.name());
        html! {
            @match part {
                MarkPart::From | MarkPart::To => input id=(id) name={ (TYPED) (name) } value=(value) aria-label={ (label) ", " (words) } placeholder=(words)
                    autocomplete="off" spellcheck="false" aria-invalid=[is_wrong.then_some("true")] aria-describedby=(note_id);,
                MarkPart::Full | MarkPart::Dropped => label.tick { input type="hidden" name="switch" value=(name);
                    input type="checkbox" id=(id) name={ (TYPED) (name) } value=(YES) checked[value == YES] aria-label={ (label) ", " (words) };
                    span aria-hidden="true" { (words) } },
            }
        }
    };
    html! {
        div.mark-row data-mark=(number) {
            span.which { (label) }
            (part(MarkPart::From, "from"))
            (part(MarkPart::To, "to"))
            (part(MarkPart::Full, "full throttle"))
            (part(MarkPart::Dropped, "drop"))
            div.note id=(note_id) { (note(kept, &row)) }
        }
    }
}
