//! Search: every stock propeller with every reduction, motor, voltage and number of packs that fits.
//! Not for: finding the front (`wakewright_core::search`).

mod candidate;
mod finding;
mod front;
mod run;
mod table;
mod wish;

pub use candidate::changes_of;
pub use finding::{candidate_remarks, candidate_words, compared_with, mass_words, size_words};
pub use front::{FrontScene, candidate_figures, front_picture, merit_key, merit_scale};
pub use run::run;
pub use wish::{Pattern, Wish, WishFault};

use std::sync::atomic::AtomicBool;

use wakewright_core::notice::Notice;
use wakewright_core::search::{Merit, Outcome, SEARCH_SHEETS};
use wakewright_core::sheet::{AnySheet, Filled};

use crate::boats::Loaded;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Reply, Room, SAMPLES, Watch};
use crate::text::Finding;
use crate::text::Paper;
use crate::whatif::Slider;

/// The room.
#[derive(Debug)]
pub struct Searching;

static CARD: Card = Card {
    key: "search",
    title: "Search",
    about: "Try every stock propeller and reduction; motors, voltages and numbers of packs where asked",
    examples: &[
        "myboat.toml --cruise \"4.5 kn\"",
        "myboat.toml --keep motor --keep voltage --keep packs --prefer range",
        "myboat.toml --price propeller=450 --price reduction=300 --keep motor --keep voltage --keep packs --budget 600",
    ],
    pictures: &[("front", "Pareto front: top speed against energy per mile")],
    demo: "which parts would serve her best?",
    samples: SAMPLES,
};

const fn text(key: &'static str, value_name: &'static str, help: &'static str) -> Question {
    Question { key, value_name: Some(value_name), help, read: |text| Ok(Reply::Text(text.to_owned())) }
}

/// May be asked again and again.
const fn texts(key: &'static str, value_name: &'static str, help: &'static str) -> Question {
    Question { key, value_name: Some(value_name), help, read: |text| Ok(Reply::Texts(vec![text.to_owned()])) }
}

fn read_within(text: &str, most: u32) -> Result<Reply, String> {
    match text.trim().parse::<u32>() {
        Ok(count) if (1..=most).contains(&count) => Ok(Reply::Whole(count)),
        _ => Err(format!("give a whole number from 1 to {most}")),
    }
}

/// Rows of the front in a terminal.
const USUAL_ROWS: u32 = 15;

static QUESTIONS: [Question; 17] = [
    texts(
        "cruise",
        "SPEED",
        "Speed that she must hold for hours; up to three, the first counts for the energy per mile",
    ),
    texts("prefer", "range|speed|quiet|light|cheap", "What matters most; again for what comes next"),
    texts(
        "keep",
        "propeller|reduction|motor|voltage|packs|nothing",
        "A part that stays as it is; motor, voltage and packs do where none is named, \"nothing\" frees them",
    ),
    text("diameter", "LENGTHS", "Diameters to try, for example \"12 in..14 in\""),
    text("pitch", "LENGTHS", "Pitches to try, for example \"12 in..16 in\""),
    text("blades", "LIST", "Numbers of blades to try, for example 3,4"),
    text("pattern", "fixed|folding", "Only propellers of this pattern"),
    text("ratios", "LIST", "Ratios to try, for example 2,2.5,3 or 2..3.5/0.1"),
    text("cells", "LIST", "Cells in series to try, for example 16,20"),
    text("packs", "LIST", "Packs in parallel to try, for example 2,3,4"),
    text(
        "largest",
        "LENGTH",
        "Largest propeller, when the document knows neither aperture nor tip clearance",
    ),
    text("mass", "MASS", "Heaviest motor and packs together"),
    text("budget", "AMOUNT", "Most that may be spent; needs the prices"),
    texts(
        "price",
        "ITEM=AMOUNT",
        "A price, ready aboard: propeller, folding-propeller, repitch, reduction, motor or pack",
    ),
    Question::flag("allow-over-60-v", "Try banks above 60 V too (dangerous to touch)"),
    Question {
        key: "threads",
        value_name: Some("THREADS"),
        help: "Threads (all cores when not given); the answer is the same",
        read: |text| read_within(text, 256),
    },
    Question {
        key: "rows",
        value_name: Some("ROWS"),
        help: "Rows of the table; 15 when not given",
        read: |text| read_within(text, 10_000),
    },
];

impl Room for Searching {
    type Found = Outcome;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Outcome, NoAnswer> {
        let is_said = !asked.replies.texts("keep").is_empty();
        let wish = Wish::of(&asked.replies).or_propeller_first(is_said, asked.boat);
        let search =
            wish.search(asked.boat).map_err(|faults| NoAnswer::Input(complaint(asked.boat, &faults)))?;
        let unwatched = Watch { progress: &|_, _| {}, cancelled: &AtomicBool::new(false) };
        let watch = asked.watch.unwrap_or(&unwatched);
        let samples = (asked.samples, asked.seed);
        let work = || run(&search, &wish.prefer, &asked.boat.spec, samples, watch);
        let found = match asked.replies.whole("threads") {
            None => work(),
            Some(threads) => rayon::ThreadPoolBuilder::new()
                .num_threads(threads as usize)
                .build()
                .map_err(|error| NoAnswer::Input(format!("{threads} threads: {error}")))?
                .install(work),
        };
        found.ok_or_else(|| NoAnswer::input("the search was stopped"))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Outcome>] {
        &SEARCH_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, outcome: &Outcome, paper: &Paper) -> Finding {
        finding::search_finding(&asked.boat.name, outcome, paper)
    }

    fn blocks(&self, asked: &Asked<'_>, outcome: &Outcome, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let rows = asked.replies.whole("rows").unwrap_or(USUAL_ROWS) as usize;
        let (title, remark) = match outcome.refusals {
            Some(_) => ("What refuses how many", "A candidate may fail by several."),
            None => ("What refused the others", "Each counts for the first that it fails."),
        };
        let mut blocks = vec![
            Block::Lines(table::front_text(outcome, rows, paper)),
            Block::sheet(sheets, "refused").title(title).remark(remark),
        ];
        if !outcome.candidates.is_empty() {
            let axes = (Merit::Energy, Merit::TopSpeed);
            let scene = FrontScene { outcome, axes, within: &[], chosen: None };
            let caption = "What no other beats in everything";
            blocks.push(Block::picture("front", caption, Place::Below, front_picture(&scene, paper)));
        }
        blocks
    }

    fn notices<'f>(&self, outcome: &'f Outcome) -> &'f [Notice] {
        outcome.search.notices()
    }

    fn sliders(&self, _: &Asked<'_>) -> Vec<Slider> {
        Vec::new()
    }

    fn occasion(&self, _: &Asked<'_>, _: &Outcome, _: &Paper) -> String {
        "As searched".to_owned()
    }
}

/// What is wrong with a wish, each under the name of its flag.
fn complaint(boat: &Loaded, faults: &[WishFault]) -> String {
    let unpriced: Vec<&WishFault> =
        faults.iter().filter(|fault| fault.field == "price" && !fault.typed.contains('=')).collect();
    if let (Some(first), true) = (unpriced.first(), unpriced.len() == faults.len()) {
        let flags: Vec<String> =
            unpriced.iter().map(|fault| format!("--price {}=...", fault.typed)).collect();
        return format!("{}; give {} (or --keep the part)", first.problem, flags.join(" "));
    }
    let said = |fault: &WishFault| match fault.field {
        "" => format!("{}: {}\n", boat.place, fault.problem),
        field => format!("--{field} {}: {}\n", fault.typed, fault.problem),
    };
    faults.iter().map(said).collect()
}

#[cfg(test)]
mod tests {
    use wakewright_core::search::{Keep, Preference};

    use super::*;

    /// What a question offers is what the search knows.
    #[test]
    fn words_offered_are_all_there_are() {
        let offered = |key: &str| {
            let question = QUESTIONS.iter().find(|question| question.key == key).unwrap();
            question.value_name.unwrap().split('|').map(str::to_owned).collect::<Vec<String>>()
        };
        assert_eq!(offered("prefer"), Preference::ALL.map(Preference::key));
        let parts: Vec<&str> = Keep::ALL.into_iter().map(Keep::key).chain(["nothing"]).collect();
        assert_eq!(offered("keep"), parts);
        assert_eq!(offered("pattern"), Pattern::ALL.map(Pattern::key));
    }
}
