//! A passage: the plan of least energy inside an arrival window, as a helmsman keeps it, how sure it is, and when to leave.
//! Not for: how it is computed (`wakewright_core::passage`), charts, depths.

mod asked;
mod chart;
mod files;
mod reckoned;
mod route;
mod sheets;
mod words;

use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};

use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Room, Samples, Typed};
use crate::text::{Finding, Paper};
use crate::whatif::Slider;
use reckoned::Found;

/// The room.
#[derive(Debug)]
pub struct Passage;

static CARD: Card = Card {
    key: "passage",
    title: "Passage",
    about: "A route with its streams: the plan that takes the least, how sure, and when to leave",
    examples: &[
        "myboat.toml route.gpx --leave 08:00 --arrive \"by 17:00\" --leg \"all: wind 8 kn\"",
        "myboat.toml route.txt --streams streams.txt --port \"Saint Malo\" --day 2026-10-02 --leave 08:00",
        "myboat.toml \"9 nm to the berth; stream 2 kn against until 00:30\" --leave 22:00 --charge \"61 %\"",
    ],
    pictures: &[
        ("passage", "What is left in the bank over the hours, with the points of the route"),
        ("departures", "What is left on arrival by the hour of leaving, over a fortnight"),
    ],
    demo: "does she make Port Aldis on what is in the bank, and when should she leave?",
    samples: Samples { usual: 500, range: (50, 20_000), settled: 500, quick: 40 },
};

impl Room for Passage {
    type Found = Found;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &asked::QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Found, NoAnswer> {
        // A page whose slider moves asks for few samples and waits for no fortnight.
        Found::of(asked, asked.is_thorough && asked.samples > CARD.samples.quick)
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Found>] {
        &sheets::SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, found: &Found, paper: &Paper) -> Finding {
        words::finding(&asked.boat.name, found, paper)
    }

    fn blocks(&self, asked: &Asked<'_>, found: &Found, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let sentence = words::finding(&asked.boat.name, found, paper).sentence;
        let mut blocks = vec![
            Block::picture(
                "passage",
                "What is left in the bank over the hours",
                Place::Chart,
                chart::left(found, sentence),
            ),
            Block::sheet(sheets, "steps").remark(words::of_steps(found)),
            Block::sheet(sheets, "points").remark(words::OF_POINTS),
        ];
        if let Some(best) = words::departures(found) {
            let plot = chart::departures(found, best.clone());
            let caption = "What is left on arrival by the hour of leaving";
            blocks.push(
                Block::picture("departures", caption, Place::Below, plot)
                    .chief(best.clone())
                    .in_text(format!("{best}\n")),
            );
        }
        blocks.push(Block::sheet(sheets, "figures"));
        blocks.push(Block::words("What stands behind it", words::basis(found, paper)));
        blocks
    }

    fn file_kinds(&self) -> &'static [&'static str] {
        &files::KINDS
    }

    fn files(&self, found: &Found) -> Vec<(&'static str, String)> {
        files::files(found)
    }

    fn notices<'f>(&self, found: &'f Found) -> &'f [Notice] {
        &found.case.notices
    }

    fn samples(&self, found: &Found) -> Vec<Counted> {
        Counted::one(&found.study.taken)
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        crate::gethome::sliders(asked)
    }

    fn typed(&self, _: &Asked<'_>) -> Vec<Typed> {
        asked::fields()
    }

    fn left_to_look_for(&self, asked: &Asked<'_>, found: &Found) -> Option<String> {
        let is_left = !asked.is_thorough && found.case.is_tidal();
        is_left.then(|| format!("the best departure of the next {} days", reckoned::days_tried(asked)))
    }

    fn occasion(&self, _: &Asked<'_>, found: &Found, _: &Paper) -> String {
        format!("Leaving at {}", found.case.clock(0.0))
    }
}
