//! What a room says on a paper: asked as its page asks at rest, and of its answer what the paper takes.
//! Not for: which rooms a paper has.

use maud::{Markup, html};
use wakewright_core::notice::{Notice, Severity};
use wakewright_rooms::Rooms;
use wakewright_rooms::no_answer::NoAnswer;
use wakewright_rooms::room::{Answer, AnyRoom, Asked, Block, Replies};
use wakewright_rooms::sentence::{chief_of, first_sentence};
use wakewright_rooms::text::Paper;

use crate::Record;
use crate::block::Press;

/// What of a room is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Take {
    /// Nothing.
    Nothing,
    /// Its sentence, its cautions, the sheets and pictures of these keys and the words of these titles.
    Some(&'static [&'static str]),
    /// Everything.
    All,
}

/// A room with what it said.
pub struct Told {
    /// The room.
    pub room: &'static dyn AnyRoom,
    /// What of it is taken.
    pub take: Take,
    /// What it said.
    pub answer: Result<Answer, NoAnswer>,
    /// Whether its sentence opens the paper, and need not be said again.
    pub opens_paper: bool,
}

impl Told {
    /// Asks the room `key` with replies to its questions; nothing where there is none of this key, or nothing is taken.
    pub fn named(
        rooms: Rooms,
        (key, take): (&str, Take),
        replies: Replies,
        record: &Record,
        paper: &Paper,
    ) -> Option<Self> {
        let room = rooms.iter().copied().find(|room| room.card().key == key && take != Take::Nothing)?;
        Some(Self::ask(room, take, replies, record, paper))
    }

    /// Asks a room with replies to its questions.
    pub fn ask(
        room: &'static dyn AnyRoom,
        take: Take,
        replies: Replies,
        record: &Record,
        paper: &Paper,
    ) -> Self {
        let asked = Asked {
            replies,
            has_pictures: true,
            seeks_remedy: true,
            takes: match take {
                Take::Some(keys) => Some(keys),
                _ => None,
            },
            ..Asked::of(&record.boat, room.card().samples.usual)
        };
        Self { room, take, answer: room.answer(&asked, None, paper), opens_paper: false }
    }

    /// Key of the room.
    pub fn key(&self) -> &'static str {
        self.room.card().key
    }

    /// The answer, where there is one.
    pub fn answered(&self) -> Option<&Answer> {
        self.answer.as_ref().ok()
    }

    /// What stands below the sentence.
    fn blocks(&self) -> impl Iterator<Item = &Block> {
        let blocks = self.answered().into_iter().flat_map(|answer| &answer.blocks);
        blocks.filter(|block| match (self.take, block) {
            (Take::All, _) | (_, Block::Caution { .. }) => true,
            (Take::Some(keys), Block::Sheet(sheet)) => keys.contains(&sheet.key),
            (Take::Some(keys), Block::Picture { key, .. }) => keys.contains(key),
            (Take::Some(keys), Block::Words { title, .. }) => keys.contains(&title.as_str()),
            _ => false,
        })
    }

    /// Its section under `title`, with what is said `before` its sheets.
    pub fn section(&self, title: &str, press: &Press<'_>, before: &Markup) -> Markup {
        html! { section.part id=(self.key()) data-room=(self.key()) { h2 { (title) } (before) (self.contents(press)) } }
    }

    /// What its chapter is folded under: the figure that it found.
    pub fn chief(&self) -> String {
        match &self.answer {
            Err(_) => "no answer".to_owned(),
            Ok(answer) if answer.finding.figure.is_empty() => {
                chief_of([answer.finding.sentence.as_str()].into_iter())
            }
            Ok(answer) => answer.finding.figure.clone(),
        }
    }

    /// What nothing may fold away: what would end what binds, her own cautions, and weak ground that was not `said`.
    pub fn never_folded(&self, said: &mut Vec<String>) -> Markup {
        let blocks = self.answered().into_iter().flat_map(|answer| &answer.blocks);
        let notices = self.answered().into_iter().flat_map(|answer| &answer.notices);
        let weak = notices.filter(|notice| notice.severity() == Severity::Weak).map(Notice::text);
        let weak: Vec<String> = weak.filter(|text| !said.contains(text)).collect();
        said.extend(weak.iter().cloned());
        html! {
            @if let Some(remedy) = self.answered().and_then(|answer| answer.finding.remedy.as_ref()) { p { (remedy.words) } }
            @for block in blocks {
                @match block {
                    Block::Caution { title, text } => { p { strong.binds { (title) ": " } (text) } }
                    // What fails, each in its first sentence; what to do about it stands in the chapter.
                    Block::Words { title, text, is_grave: true, .. } => {
                        p { (title) ":" @for paragraph in text { " " (first_sentence(paragraph)) } }
                    }
                    _ => {}
                }
            }
            @for text in weak { p.aside { (text) } }
        }
    }

    /// What stands in its section; its sentence unless the paper opens with it.
    pub fn contents(&self, press: &Press<'_>) -> Markup {
        html! {
            @match &self.answer {
                Err(no) => { p { "No answer: " (no.message()) } }
                Ok(answer) => {
                    @if !self.opens_paper {
                        p.lead { strong.binds[answer.finding.fails] { (answer.finding.sentence) } }
                        @if !answer.finding.further.is_empty() { p { (answer.finding.further) } }
                    }
                    @if let Some(remedy) = &answer.finding.remedy { p { (remedy.words) } }
                    @for block in self.blocks() { (press.block(block)) }
                    @for notice in answer.notices.iter().filter(|n| n.severity() == Severity::Weak) { p.aside { (notice.text()) } }
                }
            }
        }
    }
}

/// Everything that is to be read with what was told.
pub fn notices(told: &[Told]) -> impl Iterator<Item = &Notice> {
    told.iter().filter_map(Told::answered).flat_map(|answer| &answer.notices)
}
