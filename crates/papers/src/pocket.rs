//! The pocket sheet: one file that a phone keeps and opens without a network: range, the way home, one pack lost, steps
//! in an emergency, tides to dry out on, cables and fuses, forms to fill in. Everything in it was reckoned beforehand and
//! says for what it holds. Not for: what a room finds.

use maud::{Markup, html};
use wakewright_core::call::RED;
use wakewright_core::caution;
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{Filled, Shown, Value};
use wakewright_picture::SANS;
use wakewright_rooms::Rooms;
use wakewright_rooms::room::{Answer, Block, Replies};
use wakewright_rooms::sentence::capitalised;
use wakewright_rooms::sheets::{cell_text, titled_of};
use wakewright_rooms::text::Paper;

use crate::block::{Press, cautions, printed, scrolling};
use crate::frame::{Head, file};
use crate::record::first_digits;
use crate::told::{Take, Told, notices};
use crate::{Record, VERSION};

static SCRIPT: &str = include_str!("pocket.js");

/// Width of a picture on a phone, px.
const WIDTH_PX: f64 = 328.0;

/// Under which title a room stands, and what of it.
struct Part(&'static str, &'static str, Take);

static PARTS: [Part; 4] = [
    Part("range", "How far", Take::Some(&["range", "", "speeds"])),
    Part("bank", "One pack lost", Take::Some(&["one_pack_lost"])),
    Part("energy", "When to plug in", Take::Some(&["months"])),
    Part("wiring", "Cables and fuses", Take::Some(&["What fails", "cables", "fuses"])),
];

/// Ways home that are reckoned beforehand: miles over the ground, stream, charge.
const MILES: [&str; 2] = ["3", "6"];
const STREAMS: [&str; 3] = ["slack", "1 kn against", "2 kn against"];
const CHARGES: [&str; 2] = ["80 %", "50 %"];

/// What is done where a call has no word for it: common practice, no source.
static RUNS_ON: (&str, &str) = (
    "she drives and does not stop",
    "Key off, then the stop at the helm; the main switch only when both fail. Anchor ready, warn those around her.",
);

/// What is done first, as on a call: signs that ask for the same stand together.
fn emergencies() -> Vec<(String, &'static str)> {
    let mut found: Vec<(String, &'static str)> = Vec::new();
    for red in &RED {
        let Notice::Remark { text, .. } = red.to_do else { continue };
        match found.iter_mut().find(|(_, to_do)| *to_do == text) {
            Some((words, _)) => *words += &format!(", {}", red.words),
            None => found.push((red.words.to_owned(), text)),
        }
    }
    found.push((RUNS_ON.0.to_owned(), RUNS_ON.1));
    found.into_iter().map(|(words, to_do)| (capitalised(&words), to_do)).collect()
}

/// Days of tides that stand on it, as far as their table reaches.
const MOST_DAYS: &str = "60";

/// A form that the phone keeps: name, title, and its fields by name, label and whether it has several lines.
struct Form(&'static str, &'static str, &'static [(&'static str, &'static str, bool)]);

static FORMS: [Form; 2] = [
    Form(
        "checkup",
        "Check-up",
        &[
            ("date", "Day, like 2026-05-02", false),
            ("who", "Who looked", false),
            ("note", "What was looked at, measured and found", true),
        ],
    ),
    Form(
        "call",
        "Call",
        &[
            ("date", "Day and hour", false),
            ("who", "Who calls, from where", false),
            ("happens", "What happens, in his words", true),
            ("shown", "What display and meters show", true),
            ("tried", "What was tried, and what came of it", true),
            ("note", "What was advised", true),
        ],
    ),
];

/// A place where she dries out, as its question is asked: place, ground, table, zone, first day, by the keys of the
/// room's questions.
#[derive(Debug, Clone)]
pub struct DryOut {
    /// Keys and texts.
    pub replies: Vec<(&'static str, String)>,
}

/// A pocket sheet before it is written.
pub struct Pocket<'a> {
    rooms: Rooms,
    record: &'a Record,
    paper: Paper,
    told: Vec<Told>,
    home: Vec<([&'static str; 3], Told)>,
    dry: Option<Told>,
}

impl std::fmt::Debug for Pocket<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Pocket").field("boat", &self.record.boat.name).finish_non_exhaustive()
    }
}

impl<'a> Pocket<'a> {
    /// Asks the rooms.
    /// # Errors
    /// A reply for the place that cannot be read, or why it has no answer.
    pub fn of(
        rooms: Rooms,
        record: &'a Record,
        paper: &Paper,
        dry_out: Option<&DryOut>,
    ) -> Result<Self, String> {
        let told = PARTS
            .iter()
            .filter_map(|Part(key, _, take)| {
                Told::named(rooms, (key, *take), Replies::default(), record, paper)
            })
            .collect();
        let ask = |key: &str, take, pairs: &[(&str, &str)]| {
            let room = rooms.iter().find(|room| room.card().key == key);
            let questions = room.map_or(&[][..], |room| room.questions());
            let replies = Replies::read(questions, pairs.iter().copied());
            let replies = replies.map_err(|(name, why)| format!("--{name}: {why}"))?;
            Ok::<_, String>(Told::named(rooms, (key, take), replies, record, paper))
        };
        let mut home = Vec::new();
        for charge in CHARGES {
            for miles in MILES {
                for stream in STREAMS {
                    // Of no hour of the day: midnight stands for now, and no hour is shown.
                    let pairs = [("miles", miles), ("stream", stream), ("charge", charge), ("now", "00:00")];
                    home.extend(
                        ask("gethome", Take::All, &pairs)?.map(|told| ([charge, miles, stream], told)),
                    );
                }
            }
        }
        let dry = match dry_out {
            Some(dry_out) => {
                let typed = dry_out.replies.iter().map(|(name, text)| (*name, text.as_str()));
                ask("dryout", Take::Some(&[]), &typed.chain([("days", MOST_DAYS)]).collect::<Vec<_>>())?
            }
            None => None,
        };
        if let Some(Err(no)) = dry.as_ref().map(|told| &told.answer) {
            return Err(no.message().to_owned());
        }
        Ok(Self { rooms, record, paper: *paper, told, home, dry })
    }

    /// The file.
    #[must_use]
    pub fn to_html(&self) -> String {
        let boat = &self.record.boat;
        let fingerprint = self.record.fingerprint();
        let foot = format!("{} · {} · Wakewright {VERSION}", boat.name, first_digits(&fingerprint));
        let head = Head {
            title: &format!("{}: pocket sheet", boat.name),
            boat: &boat.name,
            of: "pocket",
            units: self.paper.units,
            fingerprint: &fingerprint,
            foot: &foot,
            day: None,
            faces: SANS,
        };
        file(
            &head,
            &html! { div.pocket data-boat=(boat.name) { (self.contents()) p.foot { (foot) } } },
            SCRIPT,
        )
    }

    fn contents(&self) -> Markup {
        let boat = &self.record.boat;
        let holds = match &self.record.revision {
            Some((number, day)) => format!("her document as revision {number} of {day} has it"),
            None => "her document as it stood in its file".to_owned(),
        };
        html! {
            div.top { h1.name { bdi { (boat.name) } } span { "pocket sheet" } }
            @if let Some(invented) = boat.document.text(field::boat::INVENTED) { p.invented { strong { "Invented. " } (invented) } }
            p.lead { "Holds for " (holds) ", until anything of it changes: load, bottom, propeller, bank. It was reckoned \
                beforehand and knows nothing of today." }
            nav.jumps aria-label="On this sheet" {
                a href="#emergency" { "Emergency" }
                @for Part(key, title, _) in &PARTS { a href={ "#" (key) } { (title) } }
                a href="#home" { "Way home" }
                @if self.dry.is_some() { a href="#dryout" { "Drying out" } }
                @for Form(key, title, _) in &FORMS { a href={ "#" (key) } { (title) } }
            }
            section.part id="emergency" {
                h2 { "Emergency" }
                @for (sign, steps) in emergencies() { div.caution { strong { (sign) } p { (steps) } } }
            }
            @for told in &self.told { (self.part(told)) }
            (self.home())
            (self.dry())
            @for form in &FORMS { (fill_in(form)) }
            section.part id="cautions" {
                h2 { "Before a hand is laid on any of it" }
                div.caution.long {
                    @let all = self.home.iter().take(1).map(|(_, told)| told).chain(&self.dry).filter_map(Told::answered);
                    @let all = all.flat_map(|answer| &answer.notices);
                    @for caution in cautions([caution::PAPER].iter().chain(notices(&self.told)).chain(all)) { p { (caution) } }
                }
            }
        }
    }

    fn press(&self, room: &'static str) -> Press<'_> {
        Press { rooms: self.rooms, boat: &self.record.boat, paper: &self.paper, width_px: WIDTH_PX, room }
    }

    fn part(&self, told: &Told) -> Markup {
        let title =
            PARTS.iter().find(|Part(key, ..)| *key == told.key()).map_or("", |Part(_, title, _)| title);
        told.section(
            title,
            &self.press(told.key()),
            &html! {
                @if let Some(answer) = told.answered() { p.aside { "For: " (answer.occasion) "." } }
            },
        )
    }

    /// The same list of the way home, asked for each case.
    fn home(&self) -> Markup {
        let Some(heads) = self.home.iter().find_map(|(_, told)| Some(&list_of(told.answered()?)?.heads))
        else {
            return html! {};
        };
        const KEYS: [&str; 4] =
            ["charge_on_arrival", "above_reserve_share", "least_energy_speed", "sure_home_speed"];
        let shown =
            heads.iter().filter(|head| KEYS.contains(&head.figure.key) && head.shown != Shown::InFiles);
        let shown: Vec<_> = shown.map(|head| head.figure).collect();
        html! {
            section.part id="home" data-room="gethome" {
                h2 { "Way home" }
                p { "Miles over the ground, one stream all the way, wind and reserve as in her document; at the speed of least energy. \
                     Not for navigation." }
                (scrolling("Way home", &html! { table.cases {
                    thead { tr {
                        th scope="col" { "in the bank" } th scope="col" { "miles" } th scope="col" { "stream" }
                        @for figure in &shown { th.number scope="col" { (figure.label) } }
                    } }
                    tbody { @for (case, told) in &self.home { tr data-case=(case.join("|")) {
                        @for said in case { th scope="row" { (said) } }
                        @match &told.answer {
                            Err(no) => { td colspan=(shown.len()) { (no.message()) } }
                            Ok(answer) => { @for figure in &shown {
                                td.number data-figure=(figure.key) { (self.cell(answer, figure.key)) }
                            } }
                        }
                    } } }
                } }))
            }
        }
    }

    /// A figure of an answer's list with its band.
    fn cell(&self, answer: &Answer, key: &str) -> String {
        let Some((figure, value)) = answer.single(key) else { return "–".to_owned() };
        match (value, value.interval()) {
            (Value::Band(band), Some(interval)) if band.p10 < band.p90 => format!(
                "{} ({})",
                self.paper.quantity(interval.value, figure.quantity),
                self.paper.band(*band, figure.quantity)
            ),
            (_, Some(interval)) => self.paper.quantity(interval.value, figure.quantity),
            (value, None) => printed(&cell_text(value)),
        }
    }

    /// Tides on which she takes the ground, each with the instant at which it is past.
    fn dry(&self) -> Markup {
        let Some((told, answer)) = self.dry.as_ref().and_then(|told| Some((told, told.answered()?))) else {
            return html! {};
        };
        let tides = answer.blocks.iter().find_map(|block| match block {
            Block::Sheet(sheet) if sheet.key == "tides" => Some(sheet),
            _ => None,
        });
        let Some(tides) = tides else { return told.section("Drying out", &self.press("dryout"), &html! {}) };
        let until = |row: usize| {
            let instants = ["floats_utc", "afloat_utc", "wet_utc", "touches_utc"];
            instants.iter().find_map(|key| match tides.value(row, key)? {
                Value::Text(instant) => Some(instant.clone()),
                _ => None,
            })
        };
        let last = (0..tides.rows.len()).filter_map(until).max().unwrap_or_default();
        let titled = titled_of(tides, &self.paper);
        told.section("Drying out", &self.press("dryout"), &html! {
            p.until data-until=(last) { "Until " strong { (last.get(..10).unwrap_or("the end of its table")) } }
            p.aside { (answer.occasion) ". No tide beyond that day stands here: write the sheet anew." }
            (scrolling(&titled.title, &html! { table {
                thead { tr { @for (head, _) in titled.table.columns() { th scope="col" { (head.replace('\n', " ")) } } } }
                tbody { @for (row, (_, cells)) in titled.table.rows().iter().enumerate() {
                    tr data-until=(until(row).unwrap_or_default()) { @for cell in cells { td { (printed(cell)) } } }
                } }
            } }))
            @if !titled.note.is_empty() { p.aside { (titled.note) } }
        })
    }
}

/// The list of figures of an answer.
fn list_of(answer: &Answer) -> Option<&Filled> {
    answer.sheets.iter().find(|sheet| sheet.key == "figures")
}

/// A form: without scripts it prints, with them it is kept and leaves as a file.
fn fill_in(Form(key, title, fields): &Form) -> Markup {
    html! {
        section.part id=(key) {
            h2 { (title) }
            form.keeps data-form=(key) {
                p.kept role="status" { "Without scripts nothing typed here is kept: print it, or write it down." }
                @for (name, label, is_long) in *fields {
                    label for={ (key) "-" (name) } { (label) }
                    @if *is_long { textarea id={ (key) "-" (name) } name=(name) rows="4" {} }
                    @else { input id={ (key) "-" (name) } name=(name) autocomplete="off"; }
                }
                p.on-screen {
                    button type="button" data-save hidden { "Save as a file" } " "
                    button type="button" data-empty hidden { "Empty the form" }
                }
            }
        }
    }
}
