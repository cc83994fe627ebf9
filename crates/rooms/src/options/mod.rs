//! Options: alternatives laid beside the boat as she is. Not for: comparing them (`wakewright_core::options`).

mod finding;
mod laying;
mod picture;
mod sections;
mod table;

pub use finding::{Beside, mass_words, shaft_power_words, work_words};
pub(crate) use finding::{alternative_words, options_finding};
pub use laying::{lay, read_speeds, usual_speed};
pub use sections::{Line, sections, sureness};

use wakewright_core::notice::Notice;
use wakewright_core::options::{Comparison, OPTIONS_SHEETS};
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::study::{STATE, StateFigure};
use wakewright_records::boat::Fault;

use crate::draw::shaft_power_picture;
use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Reply, Room, SAMPLES};
use crate::text::Finding;
use crate::text::Paper;
use crate::whatif::Slider;

/// The room.
#[derive(Debug)]
pub struct Options;

static CARD: Card = Card {
    key: "options",
    title: "Options",
    about: "Alternatives laid beside her: what each gives, by how much and how sure",
    examples: &[
        "myboat.toml",
        "myboat.toml --speeds \"3 kn,4 kn\" --try \"finer: propeller.pitch=13 in\" --try \"geared: reduction.ratio=2.8\"",
    ],
    pictures: &[
        ("speed-difference", "What each alternative gives in top speed"),
        ("energy-difference", "What each alternative takes or saves in energy at cruising speed"),
        ("shafts", "Torque at the shaft as she is and with an alternative"),
    ],
    demo: "pulleys, less pitch or a larger controller?",
    samples: SAMPLES,
};

static QUESTIONS: [Question; 3] = [
    Question {
        key: "try",
        value_name: Some("NAME: FIELD=VALUE; ..."),
        help: "An alternative beside those of the document: a name, a colon, changes set off by semicolons",
        read: |text| laying::read_try(text).map(|_| Reply::Texts(vec![text.to_owned()])),
    },
    Question {
        key: "speeds",
        value_name: Some("SPEEDS"),
        help: "Speeds for power, energy and range, set off by commas; else the document's cruising speed",
        read: |text| read_speeds(text).map(Reply::Numbers),
    },
    Question {
        key: "alternative",
        value_name: Some("NAME"),
        help: "Alternative whose shaft is drawn beside hers; the fastest when left out",
        read: |text| Ok(Reply::Text(text.to_owned())),
    },
];

impl Room for Options {
    type Found = Comparison;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Comparison, NoAnswer> {
        let mut alternatives = asked.boat.document.alternatives();
        for text in asked.replies.texts("try") {
            let tried = laying::read_try(text).map_err(NoAnswer::Input)?;
            if alternatives.iter().any(|other| other.name == tried.name) {
                let problem = format!("--try {text}: there is an alternative \"{}\" already", tried.name);
                return Err(NoAnswer::Input(problem));
            }
            // What else is wrong with it is said where it is computed.
            let changed = asked.boat.document.with_changes(&tried.changes).ok();
            let doubts = changed.map_or_else(Vec::new, |it| it.doubtful_since(Some(&asked.boat.document)));
            let doubt =
                |fault: &Fault| format!("--try {}: {}. {}\n", tried.name, fault.problem, fault.advice);
            if !doubts.is_empty() {
                return Err(NoAnswer::Input(doubts.iter().map(doubt).collect()));
            }
            alternatives.push(tried);
        }
        if let Some(chosen) = asked.replies.text("alternative")
            && alternatives.iter().all(|alternative| alternative.name != chosen)
        {
            let names: Vec<&str> = alternatives.iter().map(|alternative| alternative.name.as_str()).collect();
            let known = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
            let problem = format!("--alternative {chosen}: there is none of that name; there are: {known}");
            return Err(NoAnswer::Input(problem));
        }
        let usual = [usual_speed(&asked.boat.spec)];
        let speeds = Some(asked.replies.numbers("speeds")).filter(|speeds| !speeds.is_empty());
        lay(asked.boat, &alternatives, speeds.unwrap_or(&usual), (asked.samples, asked.seed))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Comparison>] {
        &OPTIONS_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, found: &Comparison, paper: &Paper) -> Finding {
        finding::options_finding(&Beside::of(asked.boat, found, paper))
    }

    fn blocks(&self, asked: &Asked<'_>, found: &Comparison, _: &[Filled], paper: &Paper) -> Vec<Block> {
        let beside = Beside::of(asked.boat, found, paper);
        let laid = (1..found.columns.len()).map(|number| finding::alternative_words(&beside, number));
        let mut blocks = vec![
            Block::words("Laid beside her", laid.collect::<Vec<String>>()),
            Block::Lines(table::options_tables(&beside)),
        ];
        for (key, m) in ["speed-difference", "energy-difference"].into_iter().zip(beside.goals()) {
            if let Some(picture) = picture::differences_picture(&beside, m) {
                let caption = format!("Difference of {}", beside.words(m));
                blocks.push(Block::picture(key, &caption, Place::Below, picture));
            }
        }
        let named = asked.replies.text("alternative");
        let chosen = found.columns.iter().skip(1).position(|laid| Some(laid.name.as_str()) == named);
        let chosen = chosen.map_or_else(|| fastest(found), |place| place + 1);
        if let Some(plot) = shaft_power_picture(found, chosen, paper) {
            let caption = "Torque against shaft speed, with what each drive can reach";
            blocks.push(Block::picture("shafts", caption, Place::Below, plot));
        }
        blocks.push(Block::words("Why they differ at the shaft", shaft_power_words(found, paper)));
        blocks
    }

    fn notices<'f>(&self, found: &'f Comparison) -> &'f [Notice] {
        &found.notices
    }

    fn samples(&self, found: &Comparison) -> Vec<Counted> {
        let columns = found.columns.iter();
        columns.map(|laid| Counted { who: laid.name.clone(), taken: laid.taken.clone() }).collect()
    }

    fn sliders(&self, _: &Asked<'_>) -> Vec<Slider> {
        Vec::new()
    }

    fn occasion(&self, _: &Asked<'_>, _: &Comparison, _: &Paper) -> String {
        "As she is".to_owned()
    }
}

/// Number of the alternative that makes most speed.
#[must_use]
pub fn fastest(found: &Comparison) -> usize {
    let m = found.index_of(&STATE[StateFigure::Speed as usize], None);
    let speed = |number: usize| m.and_then(|m| found.columns[number].values[m]).map_or(0.0, |at| at.value);
    (1..found.columns.len()).max_by(|&a, &b| speed(a).total_cmp(&speed(b))).unwrap_or(1)
}
