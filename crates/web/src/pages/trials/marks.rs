//! The runs of a trial as they are marked by hand: bounds, labels, what is left out. Not for: what they show.

use super::OnTrial;
use super::act::Act;
use super::field::{Kind, TYPED, TrialField, faults_of, id_of, note};
use crate::query::Query;
use crate::sent::DO;
use maud::{Markup, html};
use wakewright_logs::trial::{MarkPart, RunMark, RunOrigin, RunState, TrialAddress, YES};
use wakewright_rooms::trials::KeptTrial;

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
            button name=(DO) value=(Act::SetRuns.value()) { "Set these runs" }
            @if kept.document.marks.is_some() { button.quiet name=(DO) value=(Act::FindRuns.value()) { "Find them anew" } }
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
    pub(super) fn within(self, count: usize) -> Self {
        if self.0 < count { self } else { Self(0) }
    }

    pub(super) fn shows(self, place: usize) -> bool {
        (self.0..self.0 + Self::LENGTH).contains(&place)
    }

    /// The ways to the other runs, where there are more than stand here.
    pub(super) fn links(self, on: &OnTrial, count: usize, what: &str, place: &str) -> Markup {
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
