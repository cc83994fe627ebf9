//! The sheets of what stops her at full throttle and over the throttle, and the columns of a steady state that
//! every table of states shares. Not for: how the figures are worked out (`figure`, `summary`).

use wakewright_units::Quantity;

use super::figure::{STATE, StateFigure};
use super::summary::{LimitRow, SecondOpinion, Study, ThrottleRow};
use super::widths::WidthShare;
use crate::sail::BOLLARD_PULL;
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Via, Word, itself, plain};
use crate::spread::Interval;
use crate::steady::WattStep;

/// Every sheet, in its order in files.
pub static DRIVE_SHEETS: [&dyn AnySheet<Study>; 8] = [
    &SUMMARY,
    &FULL_THROTTLE,
    &LIMITS,
    &THROTTLE,
    &WITHOUT_WAY,
    &WATT_LADDER,
    &SECOND_OPINIONS,
    &WIDTH_OF_SPEED,
];

type OfStudy = Column<Study>;

/// A figure of a state as a column of its figures: `band`, or `value` where tables show no band.
macro_rules! state {
    ($figure:ident) => {
        state!($figure, band)
    };
    ($figure:ident, $shown:ident) => {
        $crate::sheet::Column::$shown(
            &$crate::study::STATE[$crate::study::StateFigure::$figure as usize],
            $crate::study::at::<{ $crate::study::StateFigure::$figure as usize }>,
        )
    };
}
pub(super) use state;

/// The figures of a state that no table of states shows.
pub(super) static REST_OF_STATE: List<Vec<Interval>> = List(&[
    state!(Resistance).in_files(),
    state!(Froude).in_files(),
    state!(Thrust).in_files(),
    state!(PropellerEfficiency).in_files(),
    state!(PropulsiveEfficiency).in_files(),
    state!(OverallEfficiency).in_files(),
    state!(Slip).in_files(),
    state!(MotorSpeed).in_files(),
    state!(MotorVolts).in_files(),
    state!(PhaseCurrent).in_files(),
    state!(WindingTemperature).in_files(),
    state!(BankVolts).in_files(),
    state!(TipSpeed).in_files(),
    state!(CavitationShare).in_files(),
]);

static BOLLARD_CURRENT: Figure = Figure {
    key: "bollard_current",
    head: "amps",
    label: "current out of the bank against a quay",
    quantity: Quantity::Current,
    origin: Origin::Of("bollard_pull"),
};
static BOLLARD_VOLTS: Figure = Figure {
    key: "bollard_volts",
    head: "volts",
    label: "volts of the bank against a quay",
    quantity: Quantity::Voltage,
    origin: Origin::Of("bollard_pull"),
};
static BOLLARD_SHAFT_SPEED: Figure = Figure {
    key: "bollard_shaft_speed",
    head: "shaft",
    label: "propeller shaft speed at that pull",
    quantity: Quantity::RotationalSpeed,
    origin: Origin::Of("bollard_pull"),
};

static FULL_THROTTLE: Sheet<Study, Study> = Sheet {
    key: "full_throttle",
    title: "At full throttle",
    form: Form::List,
    columns: &[
        &Via { of: |s: &Study| Some(&s.full), columns: &OF_FULL },
        &List(&[
            OfStudy::band(&BOLLARD_PULL, |s| s.bollard_n),
            OfStudy::number(&BOLLARD_SHAFT_SPEED, |s| Some(s.answers.bollard?.shaft_rev_s)),
            OfStudy::number(&BOLLARD_CURRENT, |s| Some(s.answers.bollard?.bank_a)),
            OfStudy::number(&BOLLARD_VOLTS, |s| Some(s.answers.bollard?.bank_v)),
        ]),
    ],
    rows: itself,
    tone: plain,
};

static OF_FULL: List<Vec<Interval>> = List(&[
    state!(Speed),
    state!(ShaftSpeed),
    state!(ShaftTorque),
    state!(DeliveredPower),
    state!(BankPower),
    state!(BankCurrent),
    state!(BankVolts),
    state!(MotorVolts),
    state!(PhaseCurrent),
    state!(WindingTemperature),
    state!(Thrust),
    state!(Resistance),
    state!(Slip),
    state!(PropellerEfficiency),
    state!(OverallEfficiency),
    state!(EnergyPerMile),
    state!(TipSpeed),
    state!(CavitationShare),
    state!(Froude).in_files(),
    state!(PropulsiveEfficiency).in_files(),
    state!(MotorSpeed).in_files(),
]);

/// What stops her at full throttle.
pub static BINDING_LIMIT: Figure =
    Figure::plain("binding_limit", "stops her", "limit that stops her", Origin::Of("speed"));
/// Speed for some minutes.
pub static BURST_SPEED: Figure =
    of_speed("burst_speed", "burst", "speed for some minutes, before the motor is hot");
static NEXT_LIMIT: Figure =
    Figure::plain("next_limit", "next", "limit that would stop her next", Origin::Of("speed"));
static NEXT_LIMIT_SPEED: Figure =
    of_speed("next_limit_speed", "next at", "speed at which the next limit would stop her");
static CELLS_POWER: Figure = of_bank_power("cells_power", "cells", "power out of the cells");
static SAMPLES: Figure = Figure::plain("samples", "samples", "samples of the unsure inputs", Origin::Asked);
/// Samples that contradicted themselves.
pub static SAMPLES_LEFT_OUT: Figure = Figure::plain(
    "samples_left_out",
    "left out",
    "samples that contradicted themselves and were left out",
    Origin::Because("a count of samples"),
);

const fn of_speed(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure { key, head, label, quantity: Quantity::Speed, origin: Origin::Of("speed") }
}

const fn of_bank_power(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure { key, head, label, quantity: Quantity::Power, origin: Origin::Of("bank_power") }
}

static SUMMARY: Sheet<Study, Study> = Sheet {
    key: "summary",
    title: "What stops her at full throttle",
    form: Form::Files,
    columns: &[&List(&[
        OfStudy::word(&BINDING_LIMIT, |s| Some(s.answers.full.held.limit.word())),
        OfStudy::number(&BURST_SPEED, |s| Some(s.burst_m_s?.value)),
        OfStudy::word(&NEXT_LIMIT, |s| Some(s.answers.full.next?.limit.word())),
        OfStudy::band(&NEXT_LIMIT_SPEED, |s| s.next_speed_m_s),
        OfStudy::number(&CELLS_POWER, |s| Some(s.ladder.cells_w)),
        OfStudy::count(&SAMPLES, |s| Some(s.samples.asked as u64)),
        OfStudy::count(&SAMPLES_LEFT_OUT, |s| Some(s.samples.left_out() as u64)),
    ])],
    rows: itself,
    tone: plain,
};

type OfLimit = Column<LimitRow>;

static LIMIT: Figure = Figure::plain("limit", "limit", "limit of the drive or the hull", Origin::Of("speed"));
static SHARE_USED: Figure = Figure {
    key: "used",
    head: "used",
    label: "share of the limit that is used at full throttle",
    quantity: Quantity::Share,
    origin: Origin::Of("speed"),
};
static ALONE_STOPS_AT: Figure =
    of_speed("alone_stops_at", "alone it stops\nher at", "speed at which this limit alone would stop her");
static BINDS_IN: Figure = Figure {
    key: "binds_in",
    head: "chance\nit binds",
    label: "share of samples in which it binds",
    quantity: Quantity::Share,
    origin: Origin::Of("speed"),
};
static REMEDY: Figure = Figure::plain(
    "remedy",
    "remedy",
    "what would move it",
    Origin::Because("words for the limit, not a figure"),
);

static LIMITS: Sheet<Study, LimitRow> = Sheet {
    key: "limits",
    title: "What can stop her",
    form: Form::Table,
    columns: &[&List(&[
        OfLimit::word(&LIMIT, |r| Some(r.limit.word())),
        OfLimit::number(&SHARE_USED, |r| Some(r.share_used)),
        OfLimit::number(&ALONE_STOPS_AT, |r| r.alone_m_s),
        OfLimit::number(&BINDS_IN, |r| Some(r.binds_in)),
        OfLimit::text(&REMEDY, |r| Some(r.limit.remedy().to_owned())).in_files(),
    ])],
    rows: |study, see| study.limits.iter().for_each(see),
    tone: |study, row| if row.limit == study.answers.full.held.limit { Tone::Binds } else { Tone::Plain },
};

static THROTTLE_AT: Figure =
    Figure::asked("throttle", "throttle", "how far the throttle is open", Quantity::Share);
static SHARE_AHEAD: Figure = Figure {
    key: "ahead_in",
    head: "ahead in",
    label: "share of samples in which she makes way",
    quantity: Quantity::Share,
    origin: Origin::Of("speed"),
};

static OF_THROTTLE: List<Vec<Interval>> = List(&[
    state!(Speed).decimals(1),
    state!(ShaftSpeed, value),
    state!(ShaftTorque, value).decimals(0),
    state!(DeliveredPower, value).head("at the\nshaft"),
    state!(BankPower, value).head("from the\nbank"),
    state!(BankCurrent, value).head("bank").decimals(0),
    state!(EnergyPerMile, value).head("energy"),
]);

static FIGURES_OF_THROTTLE: Via<ThrottleRow, Vec<Interval>> =
    Via { of: |row| Some(&row.figures), columns: &OF_THROTTLE };

static THROTTLE: Sheet<Study, ThrottleRow> = Sheet {
    key: "throttle",
    title: "Over the throttle",
    form: Form::Table,
    columns: &[
        &List(&[
            Column::<ThrottleRow>::number(&THROTTLE_AT, |r| Some(r.throttle)),
            Column::<ThrottleRow>::word(&BINDING_LIMIT, |r| Some(r.limit.word())).in_files(),
            Column::<ThrottleRow>::number(&SHARE_AHEAD, |r| Some(r.share_ahead)).in_files(),
        ]),
        &FIGURES_OF_THROTTLE,
        &Via { of: |row: &ThrottleRow| Some(&row.figures), columns: &REST_OF_STATE },
    ],
    rows: |study, see| study.throttles.iter().for_each(see),
    tone: plain,
};

/// A throttle position at which she makes no way.
struct NoWay {
    throttle: f64,
    why: String,
}

static WHY: Figure = Figure::plain("why", "why", "why she makes no way", Origin::Of("speed"));

static WITHOUT_WAY: Sheet<Study, NoWay> = Sheet {
    key: "throttle_without_way",
    title: "Throttle at which she makes no way",
    form: Form::FileTable,
    columns: &[&List(&[
        Column::<NoWay>::number(&THROTTLE_AT, |r| Some(r.throttle)),
        Column::<NoWay>::text(&WHY, |r| Some(r.why.clone())),
    ])],
    rows: |study, see| {
        for (throttle, why) in &study.throttles_without_way {
            see(&NoWay { throttle: *throttle, why: why.to_string() });
        }
    },
    tone: plain,
};

static STEP: Figure = Figure::plain("step", "step", "where the watts go", Origin::Of("overall_efficiency"));
static STEP_POWER: Figure = of_bank_power("power", "power", "power that goes there");
static REACHES_WATER: Figure =
    Figure::plain("reaches_water", "water", "spent on moving her", Origin::Of("overall_efficiency"));

static WATT_LADDER: Sheet<Study, WattStep> = Sheet {
    key: "watt_ladder",
    title: "Where each watt goes at full throttle, from the cells to the water",
    form: Form::FileTable,
    columns: &[&List(&[
        Column::<WattStep>::word(&STEP, |r| Some(r.word)),
        Column::<WattStep>::number(&STEP_POWER, |r| Some(r.power_w)),
        Column::<WattStep>::flag(&REACHES_WATER, |r| Some(r.end.reaches_water())),
    ])],
    rows: |study, see| study.ladder.steps().iter().for_each(see),
    tone: plain,
};

static METHOD: Figure = Figure::plain(
    "method",
    "method",
    "method for the waves that she makes",
    Origin::Because("the name of a method"),
);

static SECOND_OPINIONS: Sheet<Study, SecondOpinion> = Sheet {
    key: "second_opinions",
    title: "What rival methods for the hull's waves give at full throttle",
    form: Form::FileTable,
    columns: &[&List(&[
        Column::<SecondOpinion>::text(&METHOD, |r| Some(r.method.words().to_owned())),
        Column::<SecondOpinion>::number(&STATE[StateFigure::Resistance as usize], |r| Some(r.resistance_n)),
        Column::<SecondOpinion>::number(&STATE[StateFigure::Speed as usize], |r| Some(r.speed_m_s)),
    ])],
    rows: |study, see| study.second_opinions.iter().for_each(see),
    tone: plain,
};

static INPUT: Figure = Figure::plain(
    "input",
    "input",
    "field of the document, or a factor of the model",
    Origin::Because("the name of an input"),
);
static WIDTH: Figure = Figure {
    key: "variance",
    head: "share",
    label: "share of the variance of the top speed",
    quantity: Quantity::Share,
    origin: Origin::Of("speed"),
};

static WIDTH_OF_SPEED: Sheet<Study, WidthShare> = Sheet {
    key: "width_of_speed",
    title: "What makes the top speed's band wide",
    form: Form::FileTable,
    columns: &[&List(&[
        Column::<WidthShare>::word(&INPUT, |r| Some(Word { key: r.input.key(), words: r.input.words() })),
        Column::<WidthShare>::number(&WIDTH, |r| Some(r.share)),
    ])],
    rows: |study, see| study.width_of_speed.iter().for_each(see),
    tone: plain,
};
