//! Tables of the commissioning. Not for: sentences.

use wakewright_units::Quantity;

use super::study::{CardRow, CommissionStudy, DropRow, FlagRow, PointRow, SuspectRow};
use crate::field;
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Word};
use crate::wiring::Verdict;

/// Every sheet, in its order in files.
pub static COMMISSION_SHEETS: [&dyn AnySheet<CommissionStudy>; 5] =
    [&READINGS, &RUNS, &TRIED, &SUSPECTS, &CARD];

static WHAT: Figure = Figure::plain(
    "reading_what",
    "reading",
    "what is read",
    Origin::Because("it belongs to the figure beside it"),
);
static EXPECTED: Figure = Figure {
    key: "reading_expected",
    head: "should be",
    label: "what the meter should read",
    quantity: Quantity::Ratio,
    origin: Origin::Formula {
        formula: "80 % band of the reading over the samples of the drive, with the instrument's own error in each",
        sources: &[],
        inputs: &[field::bank::STATE_OF_CHARGE, field::propeller::PITCH, field::bank::CABLE_RESISTANCE],
        validity: "first seconds at full lever, warm magnets as when run for hours; instruments from memory; made fast in open water",
    },
};
static READ: Figure = Figure::plain("reading_read", "read", "what was read", Origin::Asked);
static VERDICT: Figure = Figure::plain(
    "reading_verdict",
    "verdict",
    "passes, fails, or cannot be told",
    Origin::Because("it belongs to the figure beside it"),
);
static TO_DO: Figure = Figure::plain(
    "reading_to_do",
    "what to do",
    "what is done",
    Origin::Because("it belongs to the figure beside it"),
);
static CAUTION: Figure = Figure::plain(
    "reading_caution",
    "caution",
    "what can hurt there",
    Origin::Because("it belongs to the figure beside it"),
);
static FLAG: Figure = Figure::plain(
    "reading_flag",
    "told by",
    "name under which it is told",
    Origin::Because("it belongs to the figure beside it"),
);
static RUN: Figure = Figure::plain(
    "run_read",
    "run",
    "run over which it is measured",
    Origin::Because("it belongs to the figure beside it"),
);
static DROP: Figure = Figure {
    key: "run_drop",
    head: "should be,\nmV",
    label: "volts over the run, both conductors and joints, at full lever against a quay",
    quantity: Quantity::Ratio,
    origin: Origin::Formula {
        formula: "R I of the run in the network of packs and runs, warm, with half a milliohm of joints",
        sources: &[],
        inputs: &[field::cable::LENGTH, field::cable::SIZE],
        validity: "of packs side by side the one that carries most; resistance of a run within a fifth; joints from memory",
    },
};
static DROP_READ: Figure = Figure::plain("run_drop_read", "read,\nmV", "millivolts read", Origin::Asked);
static DROP_VERDICT: Figure = Figure::plain(
    "run_drop_verdict",
    "verdict",
    "whether the run passes",
    Origin::Because("it belongs to the figure beside it"),
);
static TRIED_FLAG: Figure = Figure::plain("tried", "told by", "name under which it is told", Origin::Asked);
static TRIED_WHAT: Figure = Figure::plain("tried_what", "what must be so", "what must be so", Origin::Asked);
static TRIED_VERDICT: Figure = Figure::plain("tried_verdict", "verdict", "whether it is so", Origin::Asked);
static SUSPECT: Figure = Figure::plain(
    "suspect",
    "what explains it",
    "part that may explain the readings",
    Origin::Because("it belongs to the figure beside it"),
);
static SUSPECT_SHARE: Figure = Figure {
    key: "suspect_share",
    head: "likely",
    label: "how likely this part explains the readings, of all in the list",
    quantity: Quantity::Share,
    origin: Origin::Formula {
        formula: "P(part) x normal density of the readings with mean and covariance of the part's samples and the instruments' errors",
        sources: &[],
        inputs: &[],
        validity: "one part; how often and how bad are common practice, no source",
    },
};
static LOOK: Figure = Figure::plain(
    "suspect_look",
    "look at",
    "what to look at",
    Origin::Because("it belongs to the figure beside it"),
);
static AT: Figure = Figure::plain(
    "card_at",
    "lever",
    "where the lever stands",
    Origin::Because("it belongs to the figure beside it"),
);
static SPEED: Figure = Figure::part(
    "card_speed",
    "speed",
    "speed through the water that the trial should show",
    Quantity::Speed,
    "speed",
);
static SHAFT: Figure = Figure::part(
    "card_shaft",
    "shaft",
    "revolutions that it should show",
    Quantity::RotationalSpeed,
    "shaft_speed",
);
static AMPS: Figure =
    Figure::part("card_amps", "amps", "amps that it should show", Quantity::Current, "bank_current");
static VOLTS: Figure = Figure::part(
    "card_volts",
    "volts",
    "volts that it should show at the controller",
    Quantity::Voltage,
    "bank_volts",
);

type OfPoint = Column<PointRow>;
type OfDrop = Column<DropRow>;
type OfFlag = Column<FlagRow>;
type OfSuspect = Column<SuspectRow>;
type OfCard = Column<CardRow>;

const fn tone(verdict: Option<Verdict>) -> Tone {
    match verdict {
        Some(Verdict::Fails) => Tone::Strong,
        _ => Tone::Plain,
    }
}

static READINGS: Sheet<CommissionStudy, PointRow> = Sheet {
    key: "readings",
    title: "What the meters should read",
    form: Form::Table,
    columns: &[&List(&[
        OfPoint::text(&WHAT, |row| Some(row.point.label.to_owned())),
        OfPoint::band_of(&EXPECTED, |row| Some((row.point.quantity, row.expected?))),
        OfPoint::number_of(&READ, |row| Some((row.point.quantity, row.read?))),
        OfPoint::word(&VERDICT, |row| Some(row.verdict?.word())),
        OfPoint::text(&FLAG, |row| Some(row.point.key.to_owned())).in_files(),
        OfPoint::text(&TO_DO, |row| Some(row.point.to_do.to_owned())).in_files(),
        OfPoint::text(&CAUTION, |row| Some(row.point.caution.text())).in_files(),
    ])],
    rows: |study, see| study.points.iter().for_each(see),
    tone: |_, row| tone(row.verdict),
};

static RUNS: Sheet<CommissionStudy, DropRow> = Sheet {
    key: "runs",
    title: "Over each run, full lever against a quay",
    form: Form::Table,
    columns: &[&List(&[
        OfDrop::text(&RUN, |row| Some(row.name.clone())),
        OfDrop::band(&DROP, |row| Some(row.expected?.scaled(1000.0))).decimals(0),
        OfDrop::number(&DROP_READ, |row| Some(1000.0 * row.read?)).decimals(0),
        OfDrop::word(&DROP_VERDICT, |row| Some(row.verdict?.word())),
    ])],
    rows: |study, see| study.drops.iter().for_each(see),
    tone: |_, row| tone(row.verdict),
};

static TRIED: Sheet<CommissionStudy, FlagRow> = Sheet {
    key: "tried",
    title: "What must be so",
    form: Form::Table,
    columns: &[&List(&[
        OfFlag::text(&TRIED_FLAG, |row| Some(row.key.to_owned())),
        OfFlag::text(&TRIED_WHAT, |row| Some(row.to_do.to_owned())).in_files(),
        OfFlag::word(&TRIED_VERDICT, |row| Some(row.verdict?.word())),
    ])],
    rows: |study, see| study.flags.iter().for_each(see),
    tone: |_, row| tone(row.verdict),
};

static SUSPECTS: Sheet<CommissionStudy, SuspectRow> = Sheet {
    key: "suspects",
    title: "What explains the readings",
    form: Form::Table,
    columns: &[&List(&[
        OfSuspect::text(&SUSPECT, |row| Some(row.words.clone())),
        OfSuspect::number(&SUSPECT_SHARE, |row| Some(row.share)),
        OfSuspect::word(&LOOK, |row| row.suspect.map(|one| Word { key: one.key(), words: one.look_at() }))
            .in_files(),
    ])],
    rows: |study, see| study.suspects.iter().for_each(see),
    tone: |_, row| if row.share < 0.02 { Tone::Faint } else { Tone::Plain },
};

static CARD: Sheet<CommissionStudy, CardRow> = Sheet {
    key: "card",
    title: "Card for the trial afloat",
    form: Form::Table,
    columns: &[&List(&[
        OfCard::text(&AT, |row| Some(row.at.to_owned())),
        OfCard::band(&SPEED, |row| Some(row.speed_m_s)),
        OfCard::band(&SHAFT, |row| Some(row.shaft_rev_s)),
        OfCard::band(&AMPS, |row| Some(row.bank_a)),
        OfCard::value(&VOLTS, |row| Some(row.bank_v)),
    ])],
    rows: |study, see| study.card.iter().for_each(see),
    tone: |_, _| Tone::Plain,
};
