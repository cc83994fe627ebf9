//! A room made for a test: what a newcomer writes to add a question, and nothing else.

use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{
    AnySheet, Column, Figure, Filled, Form, List, Origin, Sheet, Tone, itself, plain,
};
use wakewright_rooms::no_answer::NoAnswer;
use wakewright_rooms::room::{AnyRoom, Asked, Block, Card, Question, Reply, Room, SAMPLES};
use wakewright_rooms::text::Finding;
use wakewright_rooms::text::Paper;
use wakewright_rooms::whatif::{Slider, placed, sized, stock};
use wakewright_units::Quantity;

/// The questions of a program with one question.
pub static TOYS: [&dyn AnyRoom; 1] = [&Toy];

/// How long she is, some times over.
#[derive(Debug)]
pub struct Toy;

/// What was found.
#[derive(Debug)]
pub struct Lengths {
    length_m: f64,
    times: Vec<f64>,
}

static ALL_TOLD: Figure = Figure {
    key: "all_lengths",
    head: "all",
    label: "all her lengths in a row",
    quantity: Quantity::Length,
    origin: Origin::Formula {
        formula: "L (1 + 2 + ... + n)",
        sources: &["common practice, no source"],
        inputs: &[field::hull::LENGTH_WATERLINE],
        validity: "exact",
    },
};
static TIMES: Figure = Figure::asked("times", "times", "how many times", Quantity::Ratio);
static LENGTH: Figure = Figure {
    key: "length_so_many_times",
    head: "length",
    label: "her length so many times",
    quantity: Quantity::Length,
    origin: Origin::Of("all_lengths"),
};

struct Row {
    times: f64,
    length_m: f64,
}

type OfFound = Column<Lengths>;
type OfRow = Column<Row>;

static FIGURES: Sheet<Lengths, Lengths> = Sheet {
    key: "figures",
    title: "All together",
    form: Form::List,
    columns: &[&List(&[OfFound::number(&ALL_TOLD, |found| {
        Some(found.times.iter().sum::<f64>() * found.length_m)
    })])],
    rows: itself,
    tone: plain,
};
static LENGTHS: Sheet<Lengths, Row> = Sheet {
    key: "lengths",
    title: "One after the other",
    form: Form::Table,
    columns: &[&List(&[
        OfRow::number(&TIMES, |row| Some(row.times)),
        OfRow::number(&LENGTH, |row| Some(row.length_m)),
    ])],
    rows: |found, see| {
        for &times in &found.times {
            see(&Row { times, length_m: times * found.length_m });
        }
    },
    tone: |_, row| if row.times > 1.0 { Tone::Plain } else { Tone::Strong },
};

static CARD: Card = Card {
    key: "toy",
    title: "Toy",
    about: "How long she is, some times over",
    examples: &["myboat.toml --most 3"],
    pictures: &[],
    demo: "how long is she, some times over?",
    samples: SAMPLES,
};

impl Room for Toy {
    type Found = Lengths;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        static QUESTIONS: [Question; 1] = [Question {
            key: "most",
            value_name: Some("TIMES"),
            help: "How many times at most",
            read: |text| match text.parse() {
                Ok(times @ 1..=9) => Ok(Reply::Whole(times)),
                _ => Err("give a whole number from 1 to 9".to_owned()),
            },
        }];
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Lengths, NoAnswer> {
        let most = asked.replies.whole("most").unwrap_or(2);
        if most == 9 {
            return Err(NoAnswer::Finding(format!("{} is not that long.", asked.boat.name)));
        }
        Ok(Lengths {
            length_m: asked.boat.spec.boat.form.length_waterline_m,
            times: (1..=most).map(f64::from).collect(),
        })
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Lengths>] {
        static SHEETS: [&dyn AnySheet<Lengths>; 2] = [&FIGURES, &LENGTHS];
        &SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, found: &Lengths, paper: &Paper) -> Finding {
        let length = paper.quantity(found.length_m, Quantity::Length);
        Finding {
            sentence: format!("{} is {length} long on the water.", asked.boat.name),
            figure: length,
            ..Finding::default()
        }
    }

    fn blocks(&self, _: &Asked<'_>, _: &Lengths, _: &[Filled], _: &Paper) -> Vec<Block> {
        vec![Block::caution("Before she is sawn in two", "Do not.".to_owned())]
    }

    fn notices<'f>(&self, _: &'f Lengths) -> &'f [Notice] {
        &[]
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let sliders = vec![sized(field::sea::HEAD_WIND, "wind from ahead", stock::winds())];
        placed(sliders, &asked.as_kept().document, asked.tried)
    }

    fn occasion(&self, _: &Asked<'_>, _: &Lengths, _: &Paper) -> String {
        "Afloat".to_owned()
    }
}
