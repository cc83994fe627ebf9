//! The sheets of a shaft line. Not for: how they are worked out (`study`).

use wakewright_units::Quantity;

use super::figure::{HUB_GAP, SHAFT_FIGURES};
use super::pitch::Mean;
use super::study::{Avoid, Balance, ShaftStudy};
use crate::sheet::{AnySheet, Column, Figure, Form, Interval, List, Origin, Sheet, Tone, itself, plain};

/// Every sheet, in its order in files.
pub static SHAFT_SHEETS: [&dyn AnySheet<ShaftStudy>; 4] = [&FIGURES, &AVOID, &PITCHES, &BALANCES];

/// Half the band of the hub's gap, as a share of it; judgement.
const HUB_OFF: f64 = 0.3;

static FIGURES: Sheet<ShaftStudy, ShaftStudy> = Sheet {
    key: "figures",
    title: "The shaft line",
    form: Form::List,
    columns: &[
        &SHAFT_FIGURES,
        &List(&[Column::<ShaftStudy>::band(&HUB_GAP, |s| {
            let gap_m = s.gap_m?;
            let off = HUB_OFF * gap_m.abs();
            Some(Interval { value: gap_m, p10: gap_m - off, p90: gap_m + off })
        })
        .decimals(3)]),
    ],
    rows: itself,
    tone: plain,
};

static WHAT: Figure = Figure::plain(
    "shaft_beat",
    "what meets",
    "what meets there",
    Origin::Because("the name of a pair of beats"),
);
static AT: Figure =
    Figure::part("beat_at", "at", "where they meet", Quantity::RotationalSpeed, "first_whirling");
static FROM: Figure = Figure::part(
    "beat_from",
    "from",
    "pass, do not hold, from here",
    Quantity::RotationalSpeed,
    "first_whirling",
);
static TO: Figure = Figure::part("beat_to", "to", "to here", Quantity::RotationalSpeed, "first_whirling");

type OfAvoid = Column<Avoid>;

static AVOID: Sheet<ShaftStudy, Avoid> = Sheet {
    key: "avoid",
    title: "Shaft revolutions to pass and not to hold",
    form: Form::Table,
    columns: &[&List(&[
        OfAvoid::text(&WHAT, |one| Some(one.what.clone())),
        OfAvoid::number(&FROM, |one| Some(one.from_rev_s)),
        OfAvoid::number(&AT, |one| Some(one.at_rev_s)),
        OfAvoid::number(&TO, |one| Some(one.to_rev_s)),
    ])],
    rows: |study, see| study.avoid.iter().for_each(see),
    tone: |_, one| if one.is_reached { Tone::Plain } else { Tone::Faint },
};

static OF: Figure =
    Figure::plain("pitch_of", "of", "mean pitch of what", Origin::Because("the name of a blade"));
static MEAN: Figure =
    Figure::part("blade_pitch", "mean", "mean pitch of it", Quantity::PropellerLength, "mean_pitch");
static OFF: Figure = Figure::part("pitch_off", "off", "off the nominal pitch", Quantity::Share, "mean_pitch");
static CLASS: Figure = Figure::plain(
    "pitch_class",
    "class",
    "finest class of ISO 484-2 that it keeps",
    Origin::Because("a row of the standard's table"),
);

type OfMean = Column<Mean>;

static PITCHES: Sheet<ShaftStudy, Mean> = Sheet {
    key: "pitches",
    title: "Pitch as measured",
    form: Form::Table,
    columns: &[&List(&[
        OfMean::text(&OF, |one| Some(one.of.clone())),
        OfMean::number(&MEAN, |one| Some(one.pitch_m)).decimals(2),
        OfMean::number(&OFF, |one| Some(one.off)).decimals(1),
        OfMean::text(&CLASS, |one| {
            Some(one.class.map_or_else(|| "none".to_owned(), |class| format!("{class:?}")))
        }),
    ])],
    rows: |study, see| {
        study.asked.pitch.iter().flat_map(super::MeasuredPitch::means).for_each(|mean| see(&mean));
    },
    tone: plain,
};

static GRADE: Figure =
    Figure::plain("balance_grade", "grade", "grade of balance", Origin::Because("the name of a grade"));
static AT_TIP: Figure = Figure::computed(
    "imbalance_at_tip",
    "at the tip",
    "greatest imbalance, as a mass at the blade's tip",
    Quantity::Mass,
    Origin::Formula {
        formula: "min(C M / (R N^2), K M) by class; G M / (omega R) by grade",
        sources: &["iso484", "iso21940"],
        inputs: &[crate::field::propeller::DIAMETER],
        validity: "constants C and K from memory; at the revolutions of full throttle",
    },
);

type OfBalance = Column<Balance>;

static BALANCES: Sheet<ShaftStudy, Balance> = Sheet {
    key: "balance",
    title: "How far from balance the propeller may be",
    form: Form::Table,
    columns: &[&List(&[
        OfBalance::text(&GRADE, |one| Some(one.grade.to_owned())),
        OfBalance::number(&AT_TIP, |one| Some(one.at_tip_kg)).unit("g").decimals(1),
    ])],
    rows: |study, see| study.balance.iter().for_each(see),
    tone: plain,
};
