//! The sheets of what each speed costs and how far it carries; the figures of the range at the speed that is
//! told of. Not for: how they are worked out (`summary`, `beyond`).

use crate::field;
use wakewright_units::Quantity;

use super::drive_sheets::{REST_OF_STATE, state};
use super::figure::StateFigure;
use super::summary::{SpeedRow, Study};
use crate::sheet::{
    AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Via, figure_list, itself, plain,
};
use crate::spread::Interval;

/// Every sheet, in its order in files.
pub static RANGE_SHEETS: [&dyn AnySheet<Study>; 4] = [&SUMMARY, &FIGURES, &SPEEDS, &BEYOND];

figure_list! {
    /// The range at the speed that the finding tells of.
    RANGE_FIGURES of Study {
    /// Miles to the reserve.
    RANGE { "range", "miles to the reserve", Distance,
        formula: "V x the time in which the power at that speed, wind, waves and standing load in it, runs the bank from its charge to the \
                  reserve on its own curve",
        sources: ["bpx2023", "peukert2020", "keuning1998"],
        inputs: [field::bank::STATE_OF_CHARGE, field::bank::RESERVE, field::bank::HOUSE_LOAD, field::bank::TEMPERATURE, field::pack::CAPACITY, field::pack::COUNT, field::pack::HEALTH,
                 field::sea::HEAD_WIND, field::sea::SEA_MARGIN, field::hull::DISPLACEMENT, field::hull::BOTTOM],
        validity: "through the water; constant speed and load", value: |s| s.finding_row()?.distance_m }
    /// Miles with the sun.
    RANGE_WITH_SUN { "range_with_sun", "miles to the reserve with the sun by day", Distance,
        formula: "as the miles to the reserve, hour by hour from the hour of leaving, the power less what the panels give in that hour of the \
                  month",
        sources: ["bendt1981", "nrel2008", "erbs1982", "bpx2023"],
        inputs: [field::panel::POWER, field::panel::COUNT, field::panel::TILT, field::panel::SHADE, field::place::LATITUDE, field::place::CLIMATE, field::week::LEAVES_AT,
                 field::bank::HOUSE_LOAD],
        validity: "the same day again and again, sampled from the days of the month; no end is shown as such after thirty days",
        value: |s| s.finding_row()?.with_sun_m() }
    /// Miles on sun alone.
    MILES_ON_SUN { "miles_a_day_on_sun", "miles a day without touching the bank", Distance,
        formula: "(sun of the day - loads aboard of the day) x what of it comes out of the bank again / drive energy for each mile, at most 24 h \
                  at that speed",
        sources: ["bendt1981", "nrel2008", "keuning1998"],
        inputs: [field::panel::POWER, field::panel::COUNT, field::place::LATITUDE, field::place::CLIMATE, field::house::POWER, field::hull::DISPLACEMENT],
        validity: "as the sun and the drive", value: |s| s.finding_row()?.beyond.sun_alone_day_m }
    /// Miles after years.
    RANGE_AFTER_YEARS { "range_after_years", "miles to the reserve after years", Distance,
        formula: "as the miles to the reserve, the packs' health less the yearly loss x years", sources: ["ageing2022", "bpx2023"],
        inputs: [field::pack::CHEMISTRY, field::pack::HEALTH, field::bank::STATE_OF_CHARGE, field::bank::RESERVE],
        validity: "lying charged at mild temperatures; cycling takes its own. A capacity test goes before it",
        value: |s| s.finding_row()?.beyond.aged_m }
    }
}

static FIGURES: Sheet<Study, Study> = Sheet {
    key: "figures",
    title: "Miles at the speed that is told of",
    form: Form::List,
    columns: &[&RANGE_FIGURES],
    rows: itself,
    tone: plain,
};

static STATE_OF_CHARGE: Figure =
    Figure::asked("state_of_charge", "charge", "state of charge at the start", Quantity::Share);
static RESERVE: Figure = Figure::asked("reserve", "reserve", "state of charge that stays", Quantity::Share);
static HOUSE_LOAD: Figure = Figure::asked("house_load", "standing", "standing loads", Quantity::Power);
static SUN_MONTH: Figure = Figure::plain("sun_month", "month", "month of the sun, 1 to 12", Origin::Asked);
static LEAVES_AT: Figure = Figure::asked(
    "leaves_at",
    "leaves at",
    "hour of leaving beneath that sun, local mean time",
    Quantity::Duration,
);
static YEARS: Figure = Figure::asked("years", "years", "years of ageing", Quantity::Ratio);
static FULL_THROTTLE: Figure = Figure {
    key: "full_throttle",
    head: "full",
    label: "speed at full throttle",
    quantity: Quantity::Speed,
    origin: Origin::Of("speed"),
};
static FINDING_SPEED: Figure =
    Figure::asked("finding_speed", "speed", "speed that the finding tells of", Quantity::Speed);

type OfStudy = Column<Study>;

static SUMMARY: Sheet<Study, Study> = Sheet {
    key: "summary",
    title: "What the miles stand on",
    form: Form::Files,
    columns: &[&List(&[
        OfStudy::number(&STATE_OF_CHARGE, |s| Some(s.boat.bank.state_of_charge)),
        OfStudy::number(&RESERVE, |s| Some(s.boat.reserve)),
        OfStudy::number(&HOUSE_LOAD, |s| Some(s.standing_load_w)),
        OfStudy::count(&SUN_MONTH, |s| Some(u64::from(s.questions.beyond.sun.as_ref()?.month))),
        OfStudy::number(&LEAVES_AT, |s| Some(f64::from(s.questions.beyond.sun.as_ref()?.leaves_at) * HOUR_S)),
        OfStudy::number(&YEARS, |s| s.questions.beyond.years),
        OfStudy::number(&FULL_THROTTLE, |s| Some(s.at_full(StateFigure::Speed).value)),
        OfStudy::number(&FINDING_SPEED, |s| Some(s.finding_row()?.speed_m_s)),
    ])],
    rows: itself,
    tone: plain,
};

const HOUR_S: f64 = 3600.0;

static SPEED: Figure = Figure::asked("speed", "speed", "speed through the water", Quantity::Speed);
static HOURS: Figure = Figure {
    key: "duration",
    head: "time",
    label: "time to the reserve",
    quantity: Quantity::Duration,
    origin: Origin::Of("range"),
};
static REACHED_IN: Figure = Figure {
    key: "reached_in",
    head: "reached\nin",
    label: "share of samples in which she reaches the speed",
    quantity: Quantity::Share,
    origin: Origin::Of("speed"),
};
static IS_ENDLESS: Figure = Figure::plain(
    "range_with_sun_is_endless",
    "no end",
    "sun and loads hold each other: the miles with the sun are cut off after thirty days",
    Origin::Of("range_with_sun"),
);

type OfRow = Column<SpeedRow>;

static SPEEDS: Sheet<Study, SpeedRow> = Sheet {
    key: "speeds",
    title: "Speed by speed",
    form: Form::Table,
    columns: &[
        &List(&[OfRow::number(&SPEED, |r| Some(r.speed_m_s)).decimals(2)]),
        &Via { of: |r: &SpeedRow| (!r.figures.is_empty()).then_some(&r.figures), columns: &OF_SPEED },
        &List(&[
            OfRow::value(&HOURS, |r| r.duration_s).decimals(1),
            OfRow::band(&RANGE, |r| r.distance_m).head("miles"),
            OfRow::band(&RANGE_WITH_SUN, |r| r.beyond.with_sun_m).in_files(),
            OfRow::flag(&IS_ENDLESS, |r| Some(r.with_sun_m()?.value.is_infinite())).in_files(),
            OfRow::band(&MILES_ON_SUN, |r| r.beyond.sun_alone_day_m).in_files(),
            OfRow::band(&RANGE_AFTER_YEARS, |r| r.beyond.aged_m).in_files(),
            OfRow::number(&REACHED_IN, |r| Some(r.share_in_reach)),
        ]),
        &Via { of: |r: &SpeedRow| (!r.figures.is_empty()).then_some(&r.figures), columns: &REST_OF_STATE },
    ],
    rows: |study, see| study.speeds.iter().for_each(see),
    tone: row_tone,
};

fn row_tone(_: &Study, row: &SpeedRow) -> Tone {
    if row.distance_m.is_none() {
        Tone::Faint
    } else if row.is_full {
        Tone::Strong
    } else {
        Tone::Plain
    }
}

static OF_SPEED: List<Vec<Interval>> = List(&[
    state!(ShaftSpeed, value),
    state!(ShaftTorque).in_files(),
    state!(DeliveredPower).in_files(),
    state!(BankPower),
    state!(BankCurrent).in_files(),
    state!(EnergyPerMile, value).head("energy"),
]);

static BEYOND: Sheet<Study, SpeedRow> = Sheet {
    key: "beyond",
    title: "With the sun, and after years",
    form: Form::Table,
    columns: &[&List(&[
        OfRow::number(&SPEED, |r| Some(r.speed_m_s)).decimals(2),
        OfRow::value(&RANGE, |r| r.distance_m).head("miles"),
        OfRow::band(&RANGE_WITH_SUN, SpeedRow::with_sun_m).head("with\nsun"),
        OfRow::band(&MILES_ON_SUN, |r| r.beyond.sun_alone_day_m).head("on sun\na day"),
        OfRow::band(&RANGE_AFTER_YEARS, |r| r.beyond.aged_m).head("after\nyears"),
    ])],
    rows: |study, see| {
        if !study.questions.beyond.is_empty() {
            study.speeds.iter().filter(|row| row.distance_m.is_some()).for_each(see);
        }
    },
    tone: row_tone,
};
