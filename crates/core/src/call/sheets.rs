//! Tables of a call. Not for: sentences.

use wakewright_units::Quantity;

use super::score::CallScore;
use super::weigh::{CallStudy, Next, Standing};
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Word};

/// Every sheet, in its order in files.
pub static CALL_SHEETS: [&dyn AnySheet<CallStudy>; 3] = [&PARTS, &QUESTIONS, &SCORES];

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

const SCORED: Origin = Origin::Formula {
    formula: "of kept calls of the store, each as it was told before its end was known",
    sources: &[],
    inputs: &[],
    validity: "by place; calls whose end somebody wrote, which need not be like those whose end nobody did",
};
static CALLS: Figure = Figure {
    key: "calls_scored",
    head: "calls",
    label: "kept calls whose end is known",
    quantity: Quantity::Ratio,
    origin: SCORED,
};
static FIRST: Figure = Figure {
    key: "call_first",
    head: "first",
    label: "share of them in which the place was named first",
    quantity: Quantity::Share,
    origin: SCORED,
};
static AMONG_THREE: Figure = Figure {
    key: "call_among_three",
    head: "of three",
    label: "share of them in which it was among the first three",
    quantity: Quantity::Share,
    origin: SCORED,
};
static LEFT: Figure = Figure {
    key: "call_bits_left",
    head: "bits\nleft",
    label: "bits that were left to learn when it came out, mean",
    quantity: Quantity::Ratio,
    origin: Origin::Formula {
        formula: "-mean of log2 P(place that it was)",
        sources: &["good1952"],
        inputs: &[],
        validity: "0 where it was certain, 1 where it was even; a place below 0.1 % counts as that",
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

type OfScore = Column<CallScore>;

/// How often calls were right.
pub static SCORE_COLUMNS: List<CallScore> = List(&[
    OfScore::count(&CALLS, |score| Some(score.calls as u64)),
    OfScore::number(&FIRST, |score| score.share(score.first)),
    OfScore::number(&AMONG_THREE, |score| score.share(score.among_three)),
    OfScore::number(&LEFT, CallScore::mean_left_bit).decimals(1),
]);

static SCORES: Sheet<CallStudy, CallScore> = Sheet {
    key: "scores",
    title: "How often kept calls were right",
    form: Form::Table,
    columns: &[&SCORE_COLUMNS],
    rows: |study, see| {
        if study.score.calls > 0 {
            see(&study.score);
        }
    },
    tone: |_, _| Tone::Plain,
};
