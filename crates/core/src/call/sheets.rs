//! Tables of a call. Not for: sentences.

use wakewright_units::Quantity;

use super::weigh::{CallStudy, Next, Standing};
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Word};

/// Every sheet, in its order in files.
pub static CALL_SHEETS: [&dyn AnySheet<CallStudy>; 2] = [&PARTS, &QUESTIONS];

static PLACE: Figure = Figure::plain(
    "failed_place",
    "what",
    "what may have failed",
    Origin::Because("it belongs to the figure beside it"),
);
static PART: Figure = Figure::plain(
    "failed_parts",
    "parts",
    "parts of that place, the most likely first",
    Origin::Because("it belongs to the figure beside it"),
);
static SHARE: Figure = Figure {
    key: "failed_place_share",
    head: "likely",
    label: "how likely it is what failed, one part being taken to have failed",
    quantity: Quantity::Share,
    origin: Origin::Formula {
        formula: "P(part | answers) ~ P(part) x product of P(answer | part); 12 % of answers taken as wrong",
        sources: &[],
        inputs: &[],
        validity: "one part; shares of parts and answers are common practice, no source; volts and amps by her bank and steady state",
    },
};
static TO_DO: Figure = Figure::plain(
    "failed_place_to_do",
    "what to do",
    "what is done, its caution first",
    Origin::Because("it belongs to the figure beside it"),
);
static LABEL: Figure = Figure::plain(
    "next_question_label",
    "question",
    "what it asks of",
    Origin::Because("it belongs to the figure beside it"),
);
static ASK: Figure = Figure::plain(
    "next_question",
    "asked",
    "question that is left",
    Origin::Because("it belongs to the figure beside it"),
);
static FLAG: Figure = Figure::plain(
    "next_question_flag",
    "answer by",
    "name of the question",
    Origin::Because("it belongs to the figure beside it"),
);
static GAIN: Figure = Figure {
    key: "question_gain",
    head: "tells,\nbits",
    label: "bits that its answer is expected to tell",
    quantity: Quantity::Ratio,
    origin: Origin::Formula {
        formula: "sum over parts and answers of P(part) P(answer | part) log2(P(answer | part) / P(answer))",
        sources: &[],
        inputs: &[],
        validity: "as the shares of the parts; the order counts how readily it is answered, too",
    },
};

type OfPart = Column<Standing>;
type OfNext = Column<Next>;

static PARTS: Sheet<CallStudy, Standing> = Sheet {
    key: "parts",
    title: "What it may be",
    form: Form::Table,
    columns: &[&List(&[
        OfPart::word(&PLACE, |one| Some(Word { key: one.key(), words: one.words() })),
        OfPart::number(&SHARE, |one| Some(one.share)),
        OfPart::texts(&PART, |one| one.parts.iter().map(|(part, _)| part.key.to_owned()).collect())
            .in_files(),
        OfPart::texts(&TO_DO, Standing::to_do).in_files(),
    ])],
    rows: |study, see| study.standing.iter().for_each(see),
    tone: |_, one| if one.share < 0.02 { Tone::Faint } else { Tone::Plain },
};

static QUESTIONS: Sheet<CallStudy, Next> = Sheet {
    key: "questions",
    title: "What tells most next",
    form: Form::Table,
    columns: &[&List(&[
        OfNext::text(&LABEL, |next| Some(next.ask.label.to_owned())),
        OfNext::text(&ASK, |next| Some(next.ask.question.to_owned())).in_files(),
        OfNext::text(&FLAG, |next| Some(next.ask.key.to_owned())).in_files(),
        OfNext::number(&GAIN, |next| Some(next.gain_bit)).decimals(2),
    ])],
    rows: |study, see| study.next.iter().for_each(see),
    tone: |_, _| Tone::Plain,
};
