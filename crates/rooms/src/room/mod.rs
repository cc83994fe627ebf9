//! A room: one question that a boat can be asked. It says what may be asked, what was found, in a sentence,
//! sheets of figures and pictures, and which cautions stand where. The command with its help, `--json`,
//! `--csv`, its schema, `explain`, `draw`, the page with its sliders, the navigation and the demo follow from
//! it. A room knows no terminal and no address.
//! Not for: the figures themselves (their domain's sheets in core).

mod answer;
mod asked;
mod block;
mod question;

pub use crate::sampling::Watch;
pub use answer::{Answer, AnyRoom, EmptySheet, answer_of, empty_sheets};
pub use asked::{Asked, Replies};
pub use block::{Block, Place};
pub use question::{
    Question, Reply, Typed, read_date, read_month, read_share_within, read_speed_within, read_years,
};

use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::study::WidthShare;

use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::shop::Over;
use crate::text::Finding;
use crate::text::Paper;
use crate::whatif::Slider;

/// What stands on the door of a room.
#[derive(Debug, Clone, Copy)]
pub struct Card {
    /// Subcommand, address, name of the format: one word.
    pub key: &'static str,
    /// Name in the navigation.
    pub title: &'static str,
    /// What it answers, in one line of help.
    pub about: &'static str,
    /// Arguments of an example each, without the program's name and the command.
    pub examples: &'static [&'static str],
    /// Its pictures: name for `draw`, and what each shows.
    pub pictures: &'static [(&'static str, &'static str)],
    /// The question with which it opens in the demo.
    pub demo: &'static str,
    /// Samples behind its bands.
    pub samples: Samples,
}

/// How many samples of the unsure inputs are taken.
#[derive(Debug, Clone, Copy)]
pub struct Samples {
    /// By a command, when nothing else is said.
    pub usual: usize,
    /// The fewest and the most that may be asked for.
    pub range: (usize, usize),
    /// By a page at rest.
    pub settled: usize,
    /// By a page whose slider moves.
    pub quick: usize,
}

impl Samples {
    /// Of as many as rooms in general are asked for, those of this one: a room that is content with fewer takes
    /// no more.
    #[must_use]
    pub fn of_general(&self, samples: usize) -> usize {
        if self.usual < SAMPLES.usual { samples.min(self.usual) } else { samples }
    }
}

/// Samples of most rooms.
pub const SAMPLES: Samples = Samples { usual: 2000, range: (50, 200_000), settled: 1000, quick: 60 };

/// A question that a boat can be asked.
pub trait Room: Sync {
    /// What is found.
    type Found: Send + 'static;

    /// What stands on its door.
    fn card(&self) -> &'static Card;

    /// What may be asked beyond the boat and changes on her.
    fn questions(&self) -> &'static [Question] {
        &[]
    }

    /// Whether its command is asked of a place, by the question `place`, and not of a boat. On the page of a boat the
    /// place is where she lies unless another is typed.
    fn is_of_place(&self) -> bool {
        false
    }

    /// How much of the shop stands behind its answer.
    fn over(&self) -> Over {
        Over::HerAlone
    }

    /// Computes the answer.
    /// # Errors
    /// Why there is none.
    fn answer(&self, asked: &Asked<'_>) -> Result<Self::Found, NoAnswer>;

    /// The sheets of what is found, in their order in files.
    fn sheets(&self) -> &'static [&'static dyn AnySheet<Self::Found>];

    /// The sentence that opens everything, and what goes with it.
    fn finding(&self, asked: &Asked<'_>, found: &Self::Found, paper: &Paper) -> Finding;

    /// What stands below the finding, in its order in the text and on the page. Of `sheets`, filled, those
    /// that no block shows follow by themselves.
    fn blocks(&self, asked: &Asked<'_>, found: &Self::Found, sheets: &[Filled], paper: &Paper) -> Vec<Block>;

    /// Files for other programs in which what is found can be had, by their kind.
    fn file_kinds(&self) -> &'static [&'static str] {
        &[]
    }

    /// Those files; one that cannot be made is left out.
    fn files(&self, _found: &Self::Found) -> Vec<(&'static str, String)> {
        Vec::new()
    }

    /// What to read before the figures are used.
    fn notices<'f>(&self, found: &'f Self::Found) -> &'f [Notice];

    /// The samples behind its bands: those without an answer are told first, in text, page and files.
    fn samples(&self, _found: &Self::Found) -> Vec<Counted> {
        Vec::new()
    }

    /// What can be tried on its page.
    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider>;

    /// What its page asks by fields to type in.
    fn typed(&self, _asked: &Asked<'_>) -> Vec<Typed> {
        Vec::new()
    }

    /// On which occasion the figures of its lists are told: "At full throttle".
    fn occasion(&self, asked: &Asked<'_>, found: &Self::Found, paper: &Paper) -> String;

    /// What could be looked for beyond what is found, taking long; none where it was, or where there is nothing.
    fn left_to_look_for(&self, _asked: &Asked<'_>, _found: &Self::Found) -> Option<String> {
        None
    }

    /// What makes a figure's band wide, largest first.
    fn widths(&self, _found: &Self::Found, _key: &str) -> Vec<WidthShare> {
        Vec::new()
    }
}
