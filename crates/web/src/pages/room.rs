//! The page of a room: its finding, its pictures beside the sliders, cautions where the hand goes, sheets
//! and words below; and the parts of it that follow a moving slider. What cannot be leaves the last good
//! result on view and says so, whether the document refuses it or there is no answer.
//! Not for: what a room finds.

pub mod longer;
mod sheets;

use std::sync::Arc;

use maud::{Markup, PreEscaped, html};
use wakewright_core::sheet::{Filled, Form, Value};
use wakewright_papers::HAS_PDF;
use wakewright_picture::{Frame, Theme};
use wakewright_rooms::boats::Loaded;
use wakewright_rooms::room::{Answer, AnyRoom, Asked, Block, Place, Replies, Typed};
use wakewright_rooms::sentence::{capitalised, chief_of};
use wakewright_rooms::sheets::titled_of;
use wakewright_rooms::shop::{Over, Shop};
use wakewright_rooms::text::{Finding, Paper};
use wakewright_rooms::whatif::Tried;

use crate::address;
use crate::error::WebError;
use crate::pages::gain::gain;
use crate::pages::sliders::slider_form;
use crate::parts::{self, Widths, live};
use crate::query::Query;
use crate::state::{BoatOnPage, Site};
use crate::visitor::Visitor;
use crate::words::in_page_words;

/// A table of more rows than these is opened on asking, on a wide page too.
const MOST_OPEN_ROWS: usize = 30;

/// Rooms whose answer is handed over.
const PAPERS: [&str; 1] = ["quote"];

/// So many times the samples of a moving slider take longer than a page may.
const LONG_WORK: usize = 20;

/// A room at a boat, with what the address asks.
#[derive(Clone, Copy)]
pub struct Door<'a> {
    /// The site, which holds what was answered lately.
    pub site: &'a Site,
    /// The room.
    pub room: &'static dyn AnyRoom,
    /// The boat as kept.
    pub boat: &'a BoatOnPage,
    /// The address.
    pub query: &'a Query,
    /// Who asks, on which screen.
    pub visitor: &'a Visitor,
}

/// What is tried on a boat by a query: changes, and replies to the questions of `room`.
pub fn tried(room: &'static dyn AnyRoom, kept: &Loaded, query: &Query) -> Tried {
    let is_question = |name: &str| room.questions().iter().any(|question| question.key == name);
    let own = query.pairs().filter(|(name, _)| is_question(name));
    let own = own.map(|(name, value)| (name.to_owned(), value.to_owned())).collect();
    Tried::new(kept, query.all("set"), own)
}

/// What is asked of `room` for what is tried; a reply that cannot be read counts as not given, since a
/// slider sends none that cannot.
pub fn asked<'a>(
    room: &'static dyn AnyRoom,
    BoatOnPage { loaded: kept, shop, .. }: &'a BoatOnPage,
    tried: &'a Tried,
    samples: usize,
) -> Asked<'a> {
    let pairs = tried.own.iter().map(|(name, value)| (name.as_str(), value.as_str()));
    Asked {
        replies: Replies::read(room.questions(), pairs).unwrap_or_default(),
        kept: tried.differs().then_some(kept),
        tried: &tried.changes,
        shop: Some(shop),
        has_pictures: true,
        is_thorough: false,
        seeks_remedy: samples >= room.card().samples.settled,
        ..Asked::of(&tried.loaded, samples)
    }
}

impl<'a> Door<'a> {
    fn address(&self) -> String {
        let key = self.room.card().key;
        if self.room.over() == Over::Boats {
            return format!("/{key}");
        }
        address::of_boat(&self.boat.entry.slug, key)
    }

    /// What is tried with its answer; without it, and with the reason among its faults, when it cannot be, or when
    /// something else must be typed.
    fn answer(&self, samples: usize) -> Result<(Tried, Came), WebError> {
        self.answer_with(samples, false)
    }

    /// The same, with what takes long where that is asked for.
    fn answer_with(&self, samples: usize, is_thorough: bool) -> Result<(Tried, Came), WebError> {
        let kept = &self.boat.loaded;
        let tried = tried(self.room, kept, self.query);
        if !tried.faults.is_empty() {
            return Ok((tried, Came::CannotBe));
        }
        let asked = Asked { is_thorough, ..asked(self.room, self.boat, &tried, samples) };
        let typed = self.room.typed(&asked);
        if let Some(why) = self.unread(&typed) {
            return Ok((tried, Came::Asks(why)));
        }
        if let Some(answer) = self.found_at_length(&tried) {
            return Ok((tried, Came::Answer(answer)));
        }
        match self.room.answer(&asked, None, &parts::paper()) {
            Ok(answer) => Ok((tried, Came::Answer(Arc::new(answer)))),
            Err(no) if tried.differs() => Ok((tried.refused(kept, no.message().to_owned()), Came::CannotBe)),
            Err(no) if !typed.is_empty() => Ok((tried, Came::Asks(no.message().to_owned()))),
            Err(no) => Err(WebError::NoResult(no.message().to_owned())),
        }
    }

    /// What is typed and cannot be read: the field, and what to write.
    fn unread(&self, typed: &[Typed]) -> Option<String> {
        // What sliders and addresses ask counts as much as what is typed.
        let keys = self.room.questions().iter().map(|question| question.key);
        let pairs = keys.filter_map(|key| Some((key, self.query.get(key).filter(|said| !said.is_empty())?)));
        let (key, why) = Replies::read(self.room.questions(), pairs).err()?;
        let label = typed.iter().find(|field| field.key == key).map_or(key, |field| field.label);
        Some(format!("{label}: {why}."))
    }

    /// The contents of the page.
    ///
    /// # Errors
    /// When there is no result at her own numbers.
    pub fn contents(&self) -> Result<Markup, WebError> {
        let takes = self.room.card().samples;
        // Where all samples take long, the page of her as kept stands at once with few where a script asks for all.
        let is_plain = self.query.pairs().all(|(name, _)| name == "width");
        let settles = self.visitor.has_script && is_plain && takes.quick * LONG_WORK < takes.settled;
        let samples = if settles { takes.quick } else { takes.settled };
        let (tried, came) = self.answer(samples)?;
        let kept = &self.boat.loaded;
        let answer = match came {
            Came::Answer(answer) => answer,
            Came::Asks(why) => return Ok(self.asks(&tried, &why)),
            Came::CannotBe => {
                let as_kept = Tried::new(kept, std::iter::empty(), tried.own.clone());
                let asked = asked(self.room, self.boat, &as_kept, samples);
                let answer = self.room.answer(&asked, None, &parts::paper());
                Arc::new(answer.map_err(|no| WebError::NoResult(no.message().to_owned()))?)
            }
        };
        let shown = OnPage::new(self, &tried, &answer, samples);
        let here = self.address();
        let last_good = if tried.faults.is_empty() { "" } else { "shows-last-good" };
        let sliders = self.form(&tried, samples, shown.widths);
        Ok(html! {
            div class={ "workbench " (last_good) } data-live-from=(format!("{here}/live")) data-page=(here) data-settles[settles] {
                @if tried.faults.is_empty() { (shown.finding()) } @else { (parts::cannot_be(&tried)) }
                div.chart { (shown.chart()) }
                div.under { (shown.cautions()) }
                div.controls { (sliders) (self.keep(&tried)) }
            }
            (self.rest(&shown, &tried))
            p.visually-hidden role="status" data-announce {}
        })
    }

    /// The fields and sliders.
    fn form(&self, tried: &Tried, samples: usize, widths: Widths) -> Markup {
        let asked = asked(self.room, self.boat, tried, samples);
        let typed = (self.room.typed(&asked), self.query);
        slider_form((&typed.0, typed.1), &self.room.sliders(&asked), &self.address(), widths.unfolds())
    }

    /// The page while something must be typed before there is an answer.
    fn asks(&self, tried: &Tried, why: &str) -> Markup {
        let here = self.address();
        let widths = Widths::of(parts::contents_width(self.query, self.visitor));
        html! {
            div.workbench data-live-from=(format!("{here}/live")) data-page=(here) {
                (asks_for(why))
                div.chart { (live("chart", &html! {})) }
                div.under { (live("cautions", &html! {})) }
                div.controls { (self.form(tried, self.room.card().samples.settled, widths)) (self.keep(tried)) }
            }
            (live("rest", &html! {}))
            p.visually-hidden role="status" data-announce {}
        }
    }

    /// The parts that follow the sliders; of what cannot be, only why.
    ///
    /// # Errors
    /// When there is no result at her own numbers.
    pub fn live(&self) -> Result<Markup, WebError> {
        let samples = self.room.card().samples;
        let samples = if self.query.get("quick").is_some() { samples.quick } else { samples.settled };
        let (tried, answer) = self.answer(samples)?;
        let parts = match &answer {
            Came::Answer(answer) => {
                let shown = OnPage::new(self, &tried, answer, samples);
                // What is out of sight while a slider moves is neither drawn nor sent.
                let is_seen = |part: &str| {
                    self.query
                        .get("unseen")
                        .is_none_or(|parts| !parts.split(' ').any(|unseen| unseen == part))
                };
                html! {
                    (shown.finding())
                    @if is_seen("chart") { (shown.chart()) }
                    (shown.cautions()) (self.keep(&tried))
                    @if is_seen("rest") { (self.rest(&shown, &tried)) }
                }
            }
            Came::Asks(why) => asks_for(why),
            Came::CannotBe => parts::impossible(&tried, &self.address()),
        };
        Ok(in_page_words(&parts, (self.room.over() != Over::Boats).then_some(&self.boat.entry.slug)))
    }

    /// What stands above and below a record of what was said: its finding with cautions, and the rest.
    ///
    /// # Errors
    /// When there is no result at her own numbers.
    pub fn said(&self) -> Result<(Markup, Markup), WebError> {
        let samples = self.room.card().samples.settled;
        let (tried, came) = self.answer(samples)?;
        Ok(match &came {
            Came::Answer(answer) => {
                let shown = OnPage::new(self, &tried, answer, samples);
                (html! { (shown.finding()) (shown.cautions()) }, shown.rest(&html! {}))
            }
            Came::Asks(why) => {
                (html! { (asks_for(why)) (live("cautions", &html! {})) }, live("rest", &html! {}))
            }
            Came::CannotBe => (parts::cannot_be(&tried), html! {}),
        })
    }

    /// One of its pictures as a file that stands by itself.
    ///
    /// # Errors
    /// There is no such picture, or no result.
    pub fn picture(&self, wanted: &str) -> Result<String, WebError> {
        const WIDTH_PX: f64 = 960.0;
        let (_, answer) = self.answer_with(self.room.card().samples.settled, true)?;
        let Came::Answer(answer) = answer else { return Err(WebError::NoSuchPage) };
        let found = answer.blocks.iter().find_map(|block| match block {
            Block::Picture { key, picture, .. } if *key == wanted => {
                Some(picture.to_svg(&Frame::new(WIDTH_PX, Theme::Light, key)))
            }
            _ => None,
        });
        found.ok_or(WebError::NoSuchPage)
    }

    /// A file of what is found, for other programs.
    ///
    /// # Errors
    /// There is no such file, or no result.
    pub fn file(&self, wanted: &str) -> Result<String, WebError> {
        let (_, answer) = self.answer(self.room.card().samples.settled)?;
        let Came::Answer(answer) = answer else { return Err(WebError::NoSuchPage) };
        let found = answer.files.iter().find(|(kind, _)| *kind == wanted);
        found.map(|(_, text)| text.clone()).ok_or(WebError::NoSuchPage)
    }

    /// What is tried gives over what is kept, where both findings have a figure.
    fn gain(&self, tried: &Tried, answer: &Answer, samples: usize) -> Option<String> {
        if !tried.differs() || answer.finding.figure.is_empty() {
            return None;
        }
        let kept = &self.boat.loaded;
        let query = parts::query_of_own(&tried.own, samples);
        let query = Query::parse(query.as_bytes());
        let of = ("figure as kept", self.room.card().key);
        let figure = self.site.once_beside(of, self.boat, (&query, self.visitor), || {
            let as_kept = Tried::new(kept, std::iter::empty(), tried.own.clone());
            let asked = Asked {
                has_pictures: false,
                seeks_remedy: false,
                ..asked(self.room, self.boat, &as_kept, samples)
            };
            let found = self.room.answer(&asked, None, &parts::paper());
            Ok(PreEscaped(found.map_or_else(|_| String::new(), |found| found.finding.figure)))
        });
        gain(&figure.ok()?.0, &answer.finding.figure)
    }

    /// What stands below, the way to what takes long first.
    fn rest(&self, shown: &OnPage<'_>, tried: &Tried) -> Markup {
        let further = shown.answer.left_to_look_for.as_ref();
        let further = further.map_or_else(|| html! {}, |what| self.way_to_look(what, tried));
        shown.rest(&further)
    }

    /// What is tried, and the ways to keep it.
    fn keep(&self, tried: &Tried) -> Markup {
        html! {
            (live("tried", &parts::tried_line(tried, &self.address())))
            (live("keep", &parts::keep_form(tried, &self.boat.entry.slug, self.boat.revision.head.number, self.room.card().key)))
        }
    }
}

/// What came of asking.
enum Came {
    /// An answer.
    Answer(Arc<Answer>),
    /// What is tried cannot be, for the faults that it has now.
    CannotBe,
    /// Something else must be typed.
    Asks(String),
}

/// In the place of the finding: what must be typed.
fn asks_for(why: &str) -> Markup {
    let why = why.trim();
    let (sentence, further) = why.split_once(". ").map_or((why, ""), |(one, rest)| (one, rest));
    let sentence = format!("{}.", capitalised(sentence).trim_end_matches('.'));
    parts::finding(&Finding { sentence, further: further.to_owned(), ..Finding::default() })
}

/// An answer on the page.
struct OnPage<'a> {
    answer: &'a Answer,
    slug: &'a str,
    here: String,
    query: String,
    widths: Widths,
    paper: Paper,
    gain: Option<String>,
    /// Whether it is handed over as a file.
    is_paper: bool,
    /// The boats that rows are of, where it is asked of all of them.
    shop: Option<&'a Shop>,
}

/// From the row of a boat to her page.
fn way_to(shop: &Shop, sheet: &Filled, row: usize) -> Markup {
    let named = match sheet.value(row, "fleet_boat") {
        Some(Value::Text(name)) => shop.boats.iter().find(|boat| boat.entry.name == *name),
        _ => None,
    };
    html! {
        @if let Some(boat) = named.filter(|_| sheet.key == "boats") {
            a href=(address::of_boat(&boat.entry.slug, "checkup")) {
                "Check-ups" span.visually-hidden { " of " (boat.entry.name) }
            }
        }
    }
}

/// A kind of file in short, and what it is for.
fn file_words(kind: &str) -> (&'static str, &'static str) {
    match kind {
        "ics" => ("calendar", "Save the tides advised for a calendar"),
        "gpx" => ("GPX", "Save route and plan as GPX"),
        _ => ("GeoJSON", "Save route and plan as GeoJSON"),
    }
}

impl<'a> OnPage<'a> {
    fn new(door: &'a Door<'_>, tried: &Tried, answer: &'a Answer, samples: usize) -> Self {
        Self {
            answer,
            slug: &door.boat.entry.slug,
            here: door.address(),
            query: parts::query_of(tried),
            widths: Widths::of(parts::contents_width(door.query, door.visitor)),
            paper: parts::paper(),
            is_paper: PAPERS.contains(&door.room.card().key),
            gain: door.gain(tried, answer, samples),
            shop: (door.room.over() == Over::Boats).then_some(&door.boat.shop),
        }
    }

    fn finding(&self) -> Markup {
        let remedy = self.answer.finding.remedy.as_ref();
        let way_out = remedy.map_or_else(|| html! {}, |r| parts::way_out(r, &self.here, &self.query));
        parts::finding_with(&self.answer.finding, self.gain.as_deref(), &way_out)
    }

    fn chart(&self) -> Markup {
        let charts = self.answer.blocks.iter().filter(|block| self.stands_above(block));
        let charts = charts.filter_map(|block| self.picture(block));
        live("chart", &html! { @for chart in charts { (chart) } })
    }

    /// Whether a picture stands above or beside the sliders: of those that may, on a phone the first.
    fn stands_above(&self, block: &Block) -> bool {
        let is_chart = |block: &&Block| matches!(block, Block::Picture { place: Place::Chart, .. });
        let first = self.answer.blocks.iter().find(is_chart);
        is_chart(&block) && (self.widths.unfolds() || first.is_some_and(|first| std::ptr::eq(first, block)))
    }

    fn picture(&self, block: &Block) -> Option<Markup> {
        let Block::Picture { key, caption, picture, place, .. } = block else { return None };
        let (width, further) = match place {
            Place::Chart => (self.widths.chart, self.files()),
            Place::Below => (self.widths.whole, html! {}),
        };
        let file = format!("{}/picture/{key}.svg?{}", self.here, self.query);
        Some(parts::figure_to_save(picture.as_ref(), width, key, caption, Some(&file), &further))
    }

    /// Ways to what is found as files for other programs, beside those to its picture.
    fn files(&self) -> Markup {
        html! {
            @for (kind, _) in &self.answer.files {
                @let (short, words) = file_words(kind);
                a.save href=(format!("{}/file/plan.{kind}?{}", self.here, self.query)) download aria-label=(words) { (short) } " "
            }
        }
    }

    fn cautions(&self) -> Markup {
        let own = self.answer.blocks.iter().filter_map(|block| match block {
            Block::Caution { title, text } => Some((title, text)),
            _ => None,
        });
        let grave = self.answer.blocks.iter().filter_map(|block| match block {
            Block::Words { title, text, is_grave: true, .. } => Some((title, text)),
            _ => None,
        });
        let cautions = html! {
            @for (title, text) in grave { section.fails { h2 { (title) } @for text in text { (parts::paragraph(text)) } } }
            @for (title, text) in own { div.caution { strong { (title) } p { (text) } } }
            (parts::cautions(&self.answer.notices))
        };
        live("cautions", &cautions)
    }

    /// Ways to what is said as a paper.
    fn ways_to_paper(&self) -> Markup {
        let to = |end: &str| format!("{}/file/paper.{end}?{}", self.here, self.query);
        html! {
            p.ways-on {
                a.button href=(to("html")) download { "Save as a file" }
                @if HAS_PDF { a.button href=(to("pdf")) download { "Save as PDF" } }
            }
        }
    }

    fn rest(&self, further: &Markup) -> Markup {
        let rest = html! {
            (further)
            @if self.is_paper { (self.ways_to_paper()) }
            @for block in &self.answer.blocks { (self.below(block)) }
            (parts::notices(&self.answer.notices, self.widths.unfolds()))
        };
        live("rest", &rest)
    }

    fn below(&self, block: &Block) -> Markup {
        match block {
            Block::Sheet(sheet) if sheet.rows.is_empty() => html! {},
            Block::Sheet(sheet) => {
                let titled = titled_of(sheet, &self.paper);
                let is_list = sheet.form == Form::List;
                let table = match self.shop {
                    _ if is_list => self.list(sheet),
                    Some(shop) => parts::block_with(block, &|row| way_to(shop, sheet, row)),
                    None => parts::titled(&titled),
                };
                let is_open = self.widths.unfolds() && sheet.rows.len() <= MOST_OPEN_ROWS;
                self.fold_as(sheet.key, &sheet.title, &self.chief(sheet, &titled), is_open, &table)
            }
            Block::Picture { key, caption, chief, .. } if !self.stands_above(block) => self
                .picture(block)
                .map_or_else(|| html! {}, |picture| self.fold(key, caption, chief, &picture)),
            Block::Words { title, text, chief, is_grave: false } => {
                let said = html! { @for text in text { (parts::paragraph(text)) } };
                let figure = || chief_of(text.iter().map(String::as_str));
                let chief = if chief.is_empty() { figure() } else { chief.clone() };
                if title.is_empty() { said } else { self.fold(title, title, &chief, &said) }
            }
            Block::Picture { .. } | Block::Words { .. } | Block::Caution { .. } | Block::Lines(_) => html! {},
        }
    }

    fn fold(&self, key: &str, title: &str, chief: &str, contents: &Markup) -> Markup {
        self.fold_as(key, title, chief, self.widths.unfolds(), contents)
    }

    /// What stands alone below, or opens a page of the shop, is what the page is for: it stands open.
    fn fold_as(&self, key: &str, title: &str, chief: &str, is_open: bool, contents: &Markup) -> Markup {
        let mut below = self.answer.blocks.iter().filter_map(Block::key_below);
        let is_chief = below.next() == Some(key) && (self.shop.is_some() || below.next().is_none());
        if is_chief {
            return parts::chief_part(title, contents);
        }
        parts::fold(key, title, chief, is_open, contents)
    }
}
