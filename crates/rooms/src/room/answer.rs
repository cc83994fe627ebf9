//! A room whatever it finds: what terminal, page, files and `explain` ask of it.

use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Figure, Filled, Form, Head};
use wakewright_core::study::WidthShare;

use super::asked::Asked;
use super::block::Block;
use super::question::{Question, Typed};
use super::{Card, Room};
use crate::left_out::{Counted, told};
use crate::no_answer::NoAnswer;
use crate::shop::Over;
use crate::text::Finding;
use crate::text::Paper;
use crate::whatif::Slider;

/// An answer with everything that shows it.
#[derive(Debug)]
pub struct Answer {
    /// The sentence, and what goes with it.
    pub finding: Finding,
    /// The samples behind the bands.
    pub counted: Vec<Counted>,
    /// Every sheet, for files.
    pub sheets: Vec<Filled>,
    /// What stands below the finding; the sheets that text and page show are among it.
    pub blocks: Vec<Block>,
    /// What to read before the figures are used.
    pub notices: Vec<Notice>,
    /// The occasion on which the figures of lists are told.
    pub occasion: String,
    /// What makes the bands of figures wide, for those that were asked for.
    pub widths: Vec<WidthShare>,
    /// Files for other programs, by their kind.
    pub files: Vec<(&'static str, String)>,
    /// What could be looked for as well, taking long.
    pub left_to_look_for: Option<String>,
}

/// A sheet without its values, for schemas and lists.
#[derive(Debug, Clone)]
pub struct EmptySheet {
    /// Stable name for files.
    pub key: &'static str,
    /// What it shows.
    pub title: &'static str,
    /// In which form.
    pub form: Form,
    /// Its heads.
    pub heads: Vec<Head>,
}

/// A room, whatever it finds.
pub trait AnyRoom: Sync {
    /// What stands on its door.
    fn card(&self) -> &'static Card;

    /// What may be asked beyond the boat and changes on her.
    fn questions(&self) -> &'static [Question];

    /// Whether its command is asked of a place and not of a boat.
    fn is_of_place(&self) -> bool;

    /// How much of the shop stands behind its answer.
    fn over(&self) -> Over;

    /// Kinds of files for other programs.
    fn file_kinds(&self) -> &'static [&'static str];

    /// Its sheets without values.
    fn empty_sheets(&self) -> Vec<EmptySheet>;

    /// What can be tried on its page.
    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider>;

    /// What its page asks by fields to type in.
    fn typed(&self, asked: &Asked<'_>) -> Vec<Typed>;

    /// The answer; with the widths of one figure's band, where `opened` names it.
    /// # Errors
    /// Why there is none.
    fn answer(&self, asked: &Asked<'_>, opened: Option<&str>, paper: &Paper) -> Result<Answer, NoAnswer>;
}

impl<R: Room> AnyRoom for R {
    fn card(&self) -> &'static Card {
        Room::card(self)
    }

    fn questions(&self) -> &'static [Question] {
        Room::questions(self)
    }

    fn is_of_place(&self) -> bool {
        Room::is_of_place(self)
    }

    fn over(&self) -> Over {
        Room::over(self)
    }

    fn file_kinds(&self) -> &'static [&'static str] {
        Room::file_kinds(self)
    }

    fn empty_sheets(&self) -> Vec<EmptySheet> {
        empty_sheets(Room::sheets(self))
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        Room::sliders(self, asked)
    }

    fn typed(&self, asked: &Asked<'_>) -> Vec<Typed> {
        Room::typed(self, asked)
    }

    fn answer(&self, asked: &Asked<'_>, opened: Option<&str>, paper: &Paper) -> Result<Answer, NoAnswer> {
        Ok(answer_of(self, asked, &Room::answer(self, asked)?, opened, paper))
    }
}

/// Sheets without values.
#[must_use]
pub fn empty_sheets<F>(sheets: &[&dyn AnySheet<F>]) -> Vec<EmptySheet> {
    let empty = sheets.iter().map(|sheet| EmptySheet {
        key: sheet.key(),
        title: sheet.title(),
        form: sheet.form(),
        heads: sheet.heads(),
    });
    empty.collect()
}

/// Everything that shows what `room` has found.
#[must_use]
pub fn answer_of<R: Room>(
    room: &R,
    asked: &Asked<'_>,
    found: &R::Found,
    opened: Option<&str>,
    paper: &Paper,
) -> Answer {
    let sheets: Vec<Filled> = room.sheets().iter().map(|sheet| sheet.fill(found)).collect();
    let mut blocks = room.blocks(asked, found, &sheets, paper);
    let shown: Vec<&str> = blocks
        .iter()
        .filter_map(|block| match block {
            Block::Sheet(filled) => Some(filled.key),
            _ => None,
        })
        .collect();
    let rest: Vec<Filled> = sheets
        .iter()
        .filter(|sheet| sheet.form.is_shown() && !sheet.rows.is_empty() && !shown.contains(&sheet.key))
        .cloned()
        .collect();
    blocks.extend(rest.into_iter().map(Block::Sheet));
    let counted = room.samples(found);
    let mut finding = room.finding(asked, found, paper);
    if let Some(told) = told(&counted) {
        finding.sentence = format!("{told} {}", finding.sentence);
    }
    Answer {
        finding,
        counted,
        blocks,
        notices: room.notices(found).to_vec(),
        occasion: room.occasion(asked, found, paper),
        files: room.files(found),
        left_to_look_for: room.left_to_look_for(asked, found),
        widths: opened.map_or_else(Vec::new, |key| room.widths(found, key)),
        sheets,
    }
}

impl Answer {
    /// What is found beside the rooms, from a trial say: nothing of it opens on an occasion of its own.
    #[must_use]
    pub fn of_sheets(
        finding: Finding,
        sheets: Vec<Filled>,
        blocks: Vec<Block>,
        notices: Vec<Notice>,
    ) -> Self {
        Self {
            finding,
            sheets,
            blocks,
            notices,
            occasion: String::new(),
            widths: Vec::new(),
            files: Vec::new(),
            left_to_look_for: None,
            counted: Vec::new(),
        }
    }

    /// A figure of a list or of the one row of a sheet.
    #[must_use]
    pub fn single(&self, key: &str) -> Option<(&'static Figure, &wakewright_core::sheet::Value)> {
        let sheet = self.sheets.iter().find(|sheet| sheet.form.is_single() && sheet.column(key).is_some())?;
        let column = sheet.column(key)?;
        Some((sheet.heads[column].figure, sheet.rows.first()?.values.get(column)?))
    }
}
