//! Wiring: what each cable and fuse must carry, what a fault does, which rules hold. Not for: how it is reckoned.

mod diagram;
pub(crate) mod words;

use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::wiring::{FUSE_RATINGS_A, Prices, Size, Verdict, WIRING_SHEETS, WiringStudy};
use wakewright_records::boat::harness;
use wakewright_units::Quantity;

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Reply, Room, SAMPLES};
use crate::text::{Finding, Paper};
use crate::whatif::{Slider, cells_slider, counted, placed, sized, stock};

/// The room.
#[derive(Debug)]
pub struct Wiring;

static CARD: Card = Card {
    key: "wiring",
    title: "Wiring",
    about: "What each cable and fuse must carry, what a fault does, which rules hold",
    examples: &["myboat.toml", "myboat.toml --set cable[1].size=\"70 mm2\""],
    pictures: &[("wiring", "One-line diagram of the drive's wiring")],
    demo: "which cable, which fuse, and what does a fault do?",
    samples: SAMPLES,
};

static QUESTIONS: [Question; 2] = [
    Question::flag(
        "propose",
        "The lightest stock sizes, metric and of the American gauge, with fuses that pass the rules which need no sheet",
    ),
    Question {
        key: "price",
        value_name: Some("SIZE=COST"),
        help: "Price of a metre of conductor for --propose, in any money, again and again: \"50 mm2=11.40\"",
        read: |text| priced(text).map(|_| Reply::Texts(vec![text.trim().to_owned()])),
    },
];

/// A size with its price.
fn priced(text: &str) -> Result<(Size, f64), String> {
    let wrong = || format!("{text} is no price of a stock size; write \"50 mm2=11.40\"");
    let (size, cost) = text.split_once('=').ok_or_else(wrong)?;
    let size = Size::parse(size).ok_or_else(wrong)?;
    let cost: f64 = cost.trim().replace(',', ".").parse().map_err(|_| wrong())?;
    if cost.is_finite() && cost > 0.0 { Ok((size, cost)) } else { Err(wrong()) }
}

impl Room for Wiring {
    type Found = WiringStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<WiringStudy, NoAnswer> {
        let boat = asked.boat;
        let prices: Prices =
            asked.replies.texts("price").iter().filter_map(|text| priced(text).ok()).collect();
        let proposes = asked.replies.has("propose").then_some(&prices);
        WiringStudy::of(&boat.spec, harness(&boat.document, &boat.spec), proposes)
            .map_err(|error| NoAnswer::input(format!("{}: {error}.", boat.name)))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<WiringStudy>] {
        &WIRING_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &WiringStudy, paper: &Paper) -> Finding {
        words::finding(&asked.boat.name, study, paper)
    }

    fn blocks(&self, _: &Asked<'_>, study: &WiringStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let mut blocks = vec![
            Block::picture(
                "wiring",
                "Wiring, one line for both poles",
                Place::Chart,
                diagram::diagram(study, paper),
            ),
            Block::words("What fails", words::failing(&study.rules, paper)).grave(study.count(Verdict::Fails) > 0),
            Block::sheet(sheets, "proposed").remark(words::proposed_note(study)),
            Block::sheet(sheets, "cables").remark(words::cables_note(study)),
            Block::sheet(sheets, "faults").remark(
                "Greatest: all packs full and warm, cool copper, the charger on. One fewer: without one pack; at a pack's own \
                 terminals what all others give into it, which its own fuse carries. Least: one pack, cold and nearly empty, \
                 warm runs and joints. The upper end has the turning motor with it, at four times its rated current (from memory).",
            ),
            Block::sheet(sheets, "fuses").remark(
                "A rating that its sheet does not give here is the least that sheets of its class show.",
            ),
            Block::caution("When the protection opens while it brakes", words::dump_words(study, paper)),
            Block::words("Closing and joining", words::joining_words(study, paper)),
        ];
        blocks.push(Block::words("Heat and air", words::air_words(study)));
        blocks.push(Block::words("What is lost with what", words::lost_words(study)));
        let untold = study.count(Verdict::CannotTell).to_string();
        blocks.push(Block::words("What cannot be told", words::untold(&study.rules)).chief(untold));
        blocks.push(Block::sheet(sheets, "rules").remark(
            "No certificate. Known: how surely the rule is known here. 33 CFR 183 is written for boats with petrol engines and \
             is a yardstick.",
        ));
        blocks
    }

    fn notices<'f>(&self, study: &'f WiringStudy) -> &'f [Notice] {
        &study.notices
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let kept = asked.as_kept();
        let sizes =
            Size::all().filter(|size| (16.0..=125.0).contains(&size.area_mm2())).map(Size::words).collect();
        let ratings = FUSE_RATINGS_A.iter().filter(|a| **a >= 50.0).map(|a| format!("{a} A")).collect();
        let lengths = (1..=20).map(|half| format!("{} m", f64::from(half) / 2.0)).collect();
        let sliders = vec![
            sized(field::cable::first::SIZE, "size of the first run", sizes),
            sized(field::cable::first::LENGTH, "length of the first run", lengths),
            sized(field::fuse::first::RATING, "rating of the first fuse", ratings),
            counted(field::pack::first::COUNT, "packs", 1, 8),
            cells_slider(&kept.document),
            sized(field::wiring::ENGINE_SPACE, "air of the engine space", stock::warm_airs()),
        ];
        placed(sliders, &kept.document, asked.tried)
    }

    fn occasion(&self, _: &Asked<'_>, study: &WiringStudy, paper: &Paper) -> String {
        format!("With the bank at {} nominal", paper.quantity(study.wired.nominal_v, Quantity::Voltage))
    }
}
