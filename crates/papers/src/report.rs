//! The report: what the rooms say of her to her owner, a fitter or a surveyor, cautions first. A room is taken up by one
//! line in [`PARTS`]. One room alone, asked as it was asked, is a paper too: the offer. Not for: what a room finds.

use maud::{Markup, html};
use rayon::prelude::*;
use wakewright_core::caution;
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::Origin;
use wakewright_picture::ALL_FACES;
use wakewright_rooms::Rooms;
use wakewright_rooms::no_answer::NoAnswer;
use wakewright_rooms::room::{AnyRoom, Card, Replies};
use wakewright_rooms::sentence::first_sentence;
use wakewright_rooms::sources::citation;
use wakewright_rooms::story::What;
use wakewright_rooms::text::{Finding, Paper};
use wakewright_rooms::wish::Wish;
use wakewright_units::Quantity;

use crate::block::{Press, cautions, scrolling};
use crate::evidence::{evidence, sources};
use crate::frame::{Head, file};
use crate::record::first_digits;
use crate::standing::Standing;
use crate::told::{Take, Told, notices};
use crate::{Record, VERSION};

/// For whom a report is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reader {
    /// Whose boat she is.
    Owner,
    /// Who works on her.
    Fitter,
    /// Who looks at her for somebody else.
    Surveyor,
}

impl Reader {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Owner, Self::Fitter, Self::Surveyor];

    /// The word of commands and addresses.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Owner => "owner",
            Self::Fitter => "fitter",
            Self::Surveyor => "surveyor",
        }
    }

    /// The reader of this word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|reader| reader.word() == word)
    }
}

/// A room on the report: for owner, fitter, surveyor; and its question that asks the day, where it has one: it is asked
/// the last day on which anything was kept of her, and not at all of a boat that comes from a file.
struct Part(&'static str, [Take; 3], Option<&'static str>);

/// Every room of the report, in its order.
static PARTS: [Part; 13] = [
    Part("drive", [Take::Some(&["torque", "full_throttle"]), Take::All, Take::All], None),
    Part("range", [Take::Some(&["range", "speeds", "figures"]), Take::All, Take::All], None),
    Part("bank", [Take::Some(&["one_pack_lost", "figures"]), Take::All, Take::All], None),
    Part(
        "energy",
        [Take::Some(&["year", "figures"]), Take::Some(&["year", "months", "figures"]), Take::Nothing],
        None,
    ),
    Part("sail", [Take::Some(&[]), Take::All, Take::Nothing], None),
    Part("wiring", [Take::Some(&[]), Take::All, Take::All], None),
    Part("controls", [Take::Some(&[]), Take::All, Take::All], None),
    Part("shaft", [Take::Nothing, Take::All, Take::All], None),
    Part("weights", [Take::Some(&["figures"]), Take::All, Take::All], None),
    Part("quote", [Take::Nothing, Take::Some(&["parts"]), Take::Some(&["parts"])], None),
    Part("options", [Take::Nothing, Take::All, Take::Nothing], None),
    Part("checkup", [Take::Some(&["figures", "values"]), Take::All, Take::All], Some("on")),
    Part("commission", [Take::Nothing, Take::All, Take::All], None),
];

/// Of the offer a report has the parts alone.
/// Something under its heading; on a page folded under it with its chief figure, where `page` tells whether that stands open.
fn headed((id, title, chief): (&str, &str, &str), page: Option<bool>, contents: &Markup) -> Markup {
    html! {
        @if let Some(is_open) = page {
            details.fold data-fold=(id) open[is_open] { summary { h2.title { (title) } " " span.chief { (chief) } } div { (contents) } }
        } @else { h2 { (title) } (contents) }
    }
}

fn title_of(told: &Told) -> &'static str {
    match told.room.card().title {
        "Offer" if !told.opens_paper => "Parts",
        title => title,
    }
}

/// Width of a picture on A4, px.
const WIDTH_PX: f64 = 672.0;

/// A report before it is written.
pub struct Report<'a> {
    rooms: Rooms,
    record: &'a Record,
    of: Of,
    paper: Paper,
    told: Vec<Told>,
    standing: Standing,
}

/// What a paper is: a report for somebody, or the answer of a room.
#[derive(Debug, Clone, Copy)]
enum Of {
    Reader(Reader),
    Room(&'static Card),
}

impl Of {
    fn word(self) -> &'static str {
        match self {
            Self::Reader(reader) => reader.word(),
            Self::Room(card) => card.key,
        }
    }

    fn title(self) -> String {
        match self {
            Self::Reader(reader) => format!("report for her {}", reader.word()),
            Self::Room(card) => card.title.to_lowercase(),
        }
    }
}

impl std::fmt::Debug for Report<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Report").field("of", &self.of).finish_non_exhaustive()
    }
}

impl<'a> Report<'a> {
    /// Asks the rooms; each as its page would.
    #[must_use]
    pub fn of(rooms: Rooms, record: &'a Record, reader: Reader, paper: &Paper) -> Self {
        let measured = Standing::of(&record.boat.document, std::iter::empty()).has_measured();
        let is_bare = !measured && record.story.is_empty();
        let of_reader = Reader::ALL.iter().position(|known| *known == reader).unwrap_or_default();
        let parts = &PARTS[..if is_bare { 1 } else { PARTS.len() }];
        // Side by side: while one room words or draws, another computes. Who waits for the paper waits for each.
        let wish = Wish::of_this_thread();
        let ask = |Part(key, takes, day): &Part| {
            let take = if is_bare { Take::Some(&[]) } else { takes[of_reader] };
            let room = rooms.iter().find(|room| room.card().key == *key)?;
            let asked = match day {
                Some(question) => vec![(*question, record.until.as_deref()?)],
                None => Vec::new(),
            };
            let replies = Replies::read(room.questions(), asked.into_iter()).unwrap_or_default();
            Told::named(rooms, (key, take), replies, record, paper)
        };
        let told: Vec<Told> = parts.par_iter().filter_map(|part| wish.during(|| ask(part))).collect();
        let standing = Standing::of(&record.boat.document, notices(&told));
        Self { rooms, record, of: Of::Reader(reader), paper: *paper, told, standing }
    }

    /// Of one room alone, with replies to its questions: everything it says.
    /// # Errors
    /// The room has no answer.
    pub fn of_room(
        rooms: Rooms,
        record: &'a Record,
        room: &'static dyn AnyRoom,
        replies: Replies,
        paper: &Paper,
    ) -> Result<Self, NoAnswer> {
        let Told { answer, .. } = Told::ask(room, Take::All, replies, record, paper);
        let told = vec![Told { room, take: Take::All, answer: Ok(answer?), opens_paper: true }];
        let standing = Standing::of(&record.boat.document, notices(&told));
        Ok(Self { rooms, record, of: Of::Room(room.card()), paper: *paper, told, standing })
    }

    /// What opens it: her story where she has been tried, else what the drive says; of one room, what it says.
    #[must_use]
    pub fn finding(&self) -> Finding {
        if let (Of::Room(_), Some(answer)) = (self.of, self.told.first().and_then(Told::answered)) {
            return answer.finding.clone();
        }
        let of_trials = self.record.story.finding(&self.record.boat.name, &self.paper);
        let of_drive = || self.told.iter().find_map(Told::answered).map(|answer| answer.finding.clone());
        if self.is_bare() {
            let sentence =
                format!("Nothing of {} is measured, and no trial is kept of her.", self.record.boat.name);
            let further = "What follows is an estimate from what was assumed, and short for that reason. Measure her waterline, beam, \
                           draught and weight, read the plates of motor and packs, and make a pair of runs: then there is something \
                           to report.";
            return Finding { sentence, further: further.to_owned(), ..Finding::default() };
        }
        of_trials.or_else(of_drive).unwrap_or_else(|| {
            let sentence =
                format!("Of {} nothing can be told as her document stands.", self.record.boat.name);
            Finding { sentence, ..Finding::default() }
        })
    }

    /// Of document, records and version, in full.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        self.record.fingerprint()
    }

    /// Whether it is short: nothing is measured, or one room was asked.
    fn is_bare(&self) -> bool {
        matches!(self.of, Of::Room(_)) || !self.standing.has_measured() && self.record.story.is_empty()
    }

    /// The file.
    #[must_use]
    pub fn to_html(&self) -> String {
        self.with_head(|head| {
            let body = html! { (self.contents(None)) p.foot { (head.foot) } };
            file(head, &body, "")
        })
    }

    /// The same as a tagged PDF.
    /// # Errors
    /// The program was built without the feature `pdf`, or a rule of PDF/UA-1 is broken.
    pub fn to_pdf(&self) -> Result<Vec<u8>, String> {
        self.with_head(|head| crate::pdf::file(head, &self.contents(None)))
    }

    fn with_head<T>(&self, write: impl FnOnce(&Head<'_>) -> T) -> T {
        let boat = &self.record.boat;
        let fingerprint = self.record.fingerprint();
        let foot = format!(
            "{}{} · {} · {} · Wakewright {VERSION}",
            boat.name,
            if self.is_invented() { " (invented)" } else { "" },
            self.revision_words(),
            first_digits(&fingerprint),
        );
        write(&Head {
            title: &format!("{}: {}", boat.name, self.of.title()),
            boat: &boat.name,
            of: self.of.word(),
            units: self.paper.units,
            fingerprint: &fingerprint,
            foot: &foot,
            day: self.record.revision.as_ref().map(|(_, day)| day.as_str()),
            faces: ALL_FACES,
        })
    }

    fn is_invented(&self) -> bool {
        self.record.boat.document.text(field::boat::INVENTED).is_some()
    }

    fn revision_words(&self) -> String {
        match &self.record.revision {
            Some((number, day)) => format!("revision {number} of {day}"),
            None => "from a file, no revision".to_owned(),
        }
    }

    /// What stands on it, without the file around. On a page, told by its width and whether its folds stand open, pictures
    /// are drawn no wider and chapters can be folded.
    #[must_use]
    pub fn contents(&self, page: Option<(f64, bool)>) -> Markup {
        let press =
            |room| Press { width_px: page.map_or(WIDTH_PX, |page| page.0.min(WIDTH_PX)), ..self.press(room) };
        // Verdicts, remedies, cautions and weak ground stand before the chapters, so that these can be folded.
        let chapter = |(id, title, chief): (&'static str, &str, &str), contents: &Markup| {
            let is_room = self.told.iter().any(|told| told.key() == id);
            html! {
                section.part id=(id) data-room=[is_room.then_some(id)] {
                    (headed((id, title, chief), page.map(|page| page.1), contents))
                }
            }
        };
        let boat = &self.record.boat;
        let finding = self.finding();
        let invented = boat.document.text(field::boat::INVENTED).unwrap_or_default();
        html! {
            div.top {
                span.name { bdi { (boat.name) } }
                span { (self.of.title()) ", " (self.revision_words()) }
            }
            h1.sentence { (finding.sentence) }
            @if !finding.further.is_empty() { p.lead { (finding.further) } }
            @if self.is_invented() {
                @let first = first_sentence(invented);
                p.invented { strong { "Invented. " } (first) span.on-wide { (invented[first.len()..]) } }
            }
            (self.front(page.map(|page| page.1)))
            @let steps = &self.record.story.steps;
            @if let Some(last) = steps.last().filter(|_| matches!(self.of, Of::Reader(_))) {
                (chapter(("story", "Trials and forecasts", &format!("{} kept, the last of {}", steps.len(), last.day)), &self.story(&press("story"))))
            } @else if !self.is_bare() {
                p { "No trial is kept of her: nothing here has been held against a run." }
            }
            @for told in &self.told {
                (chapter((told.key(), title_of(told), &told.chief()), &told.contents(&press(told.key()))))
            }
            @if !self.is_bare() {
                @let answered: Vec<&str> = self.told.iter().filter(|told| told.answer.is_ok()).map(Told::key).collect();
                @let (evidence, missing) = evidence(self.record, &answered);
                (chapter(("evidence", "Evidence by standard", &format!("{missing} missing")), &evidence))
                (chapter(("standing", "How each number is known", &self.standing.assumed()), &self.standing.markup()))
                @let sources = self.sources();
                (chapter(("sources", "Sources", &format!("{} of them", sources.len())), &html! {
                    ul { @for citation in sources { li { (citation) } } }
                    p.aside { "What stands on no source says so where it is used: from memory, or common practice." }
                }))
            }
            @let (document, note) = self.document();
            @match self.of {
                Of::Room(_) => {}
                Of::Reader(Reader::Owner) if note.is_empty() && (page.is_none() || !self.is_invented()) => {}
                Of::Reader(Reader::Owner) => (chapter(("document", "Written of her", &format!("{} words", note.split_whitespace().count())), &html! {
                    p.note { (note) }
                    @if page.is_some() { p.note.on-narrow { (invented) } }
                })),
                Of::Reader(_) => (chapter(("document", "Her document", &format!("{} lines", document.lines().count())), &html! { pre { (document) } })),
            }
            @let written_from = if page.is_some() { "Written from" } else { "What this paper was written from" };
            (chapter(("fingerprint", written_from, &first_digits(&self.record.fingerprint()).replace(' ', "\u{a0}")), &self.last()))
        }
    }

    /// Sentences of the rooms, how the figures stand, cautions; `page` tells whether the folds of a page stand open. On a narrow screen
    /// the sentences stand in their chapters, each folded under its figure, and here what nothing may fold away.
    fn front(&self, page: Option<bool>) -> Markup {
        let mut said = Vec::new();
        let mut cautions = cautions(notices(&self.told));
        // What stands above already stands there once.
        cautions.retain(|said| *said != caution::PAPER.text());
        let count = format!("{} cautions", cautions.len());
        let heading = "Before a hand is laid on any of it";
        html! {
            div.caution { h2.on-wide { "No certificate" } p { (caution::PAPER.text()) } }
            @if !self.is_bare() {
                h2.on-wide { "In short" }
                ul.short { @for told in &self.told {
                    @let never = if page.is_some() { told.never_folded(&mut said) } else { html! {} };
                    li.on-wide[never.0.is_empty()] { b { (title_of(told)) ": " }
                        span.on-wide { @match &told.answer {
                            Ok(answer) => { (answer.finding.sentence) }
                            Err(no) => { "no answer. " (no.message()) }
                        } }
                        @if !never.0.is_empty() { div.on-narrow { (never) } }
                    }
                } }
            }
            div.on-wide {
                h2 { "How these figures stand" }
                (self.standing.front())
                p.aside { "A band holds four times in five. \"Stands on\" counts how the inputs of a figure are known." }
            }
            @let all_of_them = html! { @for caution in &cautions { p { (caution) } } };
            @if page.is_some() {
                (headed(("cautions", heading, &count), page, &html! { div.caution.long { (all_of_them) } }))
            } @else {
                div.caution.long { h2 { (heading) } (all_of_them) }
            }
        }
    }

    /// Trials and forecasts against what came.
    fn story(&self, press: &Press<'_>) -> Markup {
        let story = &self.record.story;
        let speed = |si: f64| self.paper.decimals(si, Quantity::Speed, 1);
        html! {
                @if let Some(picture) = story.picture(&self.paper) {
                    (press.picture(&picture, "story", "What she made, and what was forecast"))
                }
                (scrolling("Trials and forecasts", &html! { table {
                    thead { tr { th scope="col" { "day" } th scope="col" { "what" } th.number scope="col" { "speed" } th.number scope="col" { "80 % band" } th.mark scope="col" { "stands on" } } }
                    tbody { @for step in &story.steps { tr {
                        th scope="row" { (step.day) }
                        @match &step.what {
                            What::Trial { done, fastest, is_full } => {
                                td { "trial " (step.number) @if !step.name.is_empty() { ", " (step.name) } @if !done.trim().is_empty() { ". Done before it: " (done.trim()) } }
                                td.number { (fastest.map_or_else(|| "–".to_owned(), |made| speed(made.value))) }
                                td.number { (fastest.filter(|made| made.p10 < made.p90).map_or_else(|| "–".to_owned(), |made| self.paper.band(made, Quantity::Speed))) }
                                td.mark { "measured" @if !is_full { ", throttle not noted as full" } }
                            }
                            What::Forecast(after) => {
                                td { "forecast: " (step.name) }
                                td.number { (speed(after.value)) }
                                td.number { (self.paper.band(*after, Quantity::Speed)) }
                                td.mark { "forecast" }
                            }
                        }
                    } } }
                } }))
        }
    }

    fn press(&self, room: &'static str) -> Press<'_> {
        Press { rooms: self.rooms, boat: &self.record.boat, paper: &self.paper, width_px: WIDTH_PX, room }
    }

    /// Every source of what it tells, in full.
    fn sources(&self) -> Vec<String> {
        let mut keys: Vec<&str> = sources().collect();
        for answer in self.told.iter().filter_map(Told::answered) {
            let figures = answer.sheets.iter().flat_map(|sheet| &sheet.heads).map(|head| head.figure.origin);
            let of_figures = figures.filter_map(|origin| match origin {
                Origin::Formula { sources, .. } => Some(sources),
                _ => None,
            });
            keys.extend(of_figures.flatten());
            keys.extend(answer.notices.iter().map(Notice::source));
        }
        keys.sort_unstable();
        keys.dedup();
        keys.iter().map(|key| citation(key)).filter(|text| !text.is_empty()).collect()
    }

    /// What was written of her: the whole document, and the note in it.
    fn document(&self) -> (&str, &str) {
        let document = &self.record.boat.document;
        (document.to_toml(), document.text(field::boat::NOTE).unwrap_or_default())
    }

    /// The fingerprint in full.
    fn last(&self) -> Markup {
        html! {
            p { (self.revision_words()) ", Wakewright " (VERSION) ". SHA-256 of document, records and version:" }
            p.fingerprint { (self.record.fingerprint()) }
            @match self.of {
                Of::Reader(_) => { p { "`wakewright report --verify FILE` says whether it is still what the program writes of her." } }
                Of::Room(_) => { p { "What was typed for this paper alone, as prices are, is kept nowhere and not in it: it cannot be \
                                       written again to be compared." } }
            }
            p { "A fingerprint is no signature: it shows whether something changed, never who wrote it or that it is true." }
        }
    }
}
