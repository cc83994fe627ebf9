//! Figures of the way home.

use wakewright_core::field;
use wakewright_core::passage::TryRow;
use wakewright_core::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, itself, plain};
use wakewright_units::Quantity;

use super::Found;

struct Row {
    row: TryRow,
    leaves: String,
    home: Option<String>,
    is_best: bool,
}

static LEFT: Figure = Figure {
    key: "charge_on_arrival",
    head: "left",
    label: "charge on arrival at the speed of least energy",
    quantity: Quantity::Share,
    origin: Origin::Formula {
        formula: "T from sum dt (v + c) = D; discharge of the bank at P(v) for T",
        sources: &["peukert2020"],
        inputs: &[
            field::bank::STATE_OF_CHARGE,
            field::bank::HOUSE_LOAD,
            field::sea::HEAD_WIND,
            field::hull::BOTTOM,
        ],
        validity: "one speed all the way, streams steady within a stage; stream 25 % and 0.2 kn, its time 20 min, wind 4 kn, charge 4 % (80 % \
                   bands, own estimate, no source)",
    },
};
const fn part(key: &'static str, head: &'static str, label: &'static str, quantity: Quantity) -> Figure {
    Figure::part(key, head, label, quantity, "charge_on_arrival")
}
const fn words(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::plain(key, head, label, Origin::Of("charge_on_arrival"))
}
static LEAVES: Figure = words("leaves", "leave", "she leaves");
static HOME: Figure = words("home", "home", "she is home");
static SPEED: Figure = part("speed_through_water", "speed", "speed through the water", Quantity::Speed);
static AFTER: Figure = part("after", "after", "from now until she is there", Quantity::Duration);
static CHARGE: Figure =
    part("charge_left", "left", "charge on arrival, 0 where she does not arrive", Quantity::Share);
static ABOVE: Figure = Figure {
    key: "above_reserve_share",
    head: "above reserve",
    label: "probability of arriving above the reserve",
    quantity: Quantity::Share,
    origin: Origin::Formula {
        formula: "share of samples of boat, charge, wind and stream in which charge on arrival is above the reserve",
        sources: &["peukert2020"],
        inputs: &[
            field::bank::STATE_OF_CHARGE,
            field::bank::RESERVE,
            field::bank::HOUSE_LOAD,
            field::sea::HEAD_WIND,
            field::hull::BOTTOM,
        ],
        validity: "one speed all the way; held against simulated ways home, of which docs/passage.md tells how many arrived",
    },
};
static THERE: Figure = Figure::part(
    "arrives_share",
    "arrives",
    "probability of arriving at all",
    Quantity::Share,
    "above_reserve_share",
);
static BEST: Figure =
    part("least_energy_speed", "least energy", "speed through the water of least energy", Quantity::Speed);
static FASTEST: Figure = part(
    "fastest_home_speed",
    "fastest",
    "faster than this she does not arrive above the reserve",
    Quantity::Speed,
);
static SURE: Figure = part(
    "sure_home_speed",
    "sure",
    "fastest speed with which nine cases of ten arrive above the reserve",
    Quantity::Speed,
);
static TURN: Figure = part(
    "turn_back_after",
    "turn back",
    "until when going back takes less than going on",
    Quantity::Duration,
);

type Of = Column<Row>;
type OfAll = Column<Found>;

/// Every sheet.
pub static SHEETS: [&dyn AnySheet<Found>; 3] = [&DEPARTURES, &SPEEDS, &FIGURES];

static FIGURES: Sheet<Found, Found> = Sheet {
    key: "figures",
    title: "The way home",
    form: Form::List,
    columns: &[&List(&[
        OfAll::band(&LEFT, |found| Some(found.best()?.charge)),
        OfAll::number(&BEST, |found| Some(found.study.rows.get(found.cheapest)?.tried.speed_m_s)).decimals(1),
        OfAll::number(&FASTEST, |found| found.fastest_m_s).decimals(1),
        OfAll::number(&SURE, |found| found.sure_m_s).decimals(1),
        OfAll::number(&ABOVE, |found| Some(found.best()?.above_share)),
        OfAll::number(&TURN, |found| found.turn_back_s),
    ])],
    rows: itself,
    tone: plain,
};

static SPEEDS: Sheet<Found, Row> = Sheet {
    key: "speeds",
    title: "Leaving now, speed by speed",
    form: Form::Table,
    columns: &[&List(&[
        Of::number(&SPEED, |row| Some(row.row.tried.speed_m_s)).decimals(1),
        Of::text(&HOME, |row| row.home.clone()),
        Of::band(&AFTER, |row| row.home.is_some().then_some(row.row.after_s)).in_files(),
        Of::band(&CHARGE, |row| Some(row.row.charge)),
        Of::number(&ABOVE, |row| Some(row.row.above_share)),
        Of::number(&THERE, |row| Some(row.row.there_share)),
    ])],
    rows: |found, see| {
        // Speeds at which she is home in no case say nothing.
        let is_ever_home = |row: &&TryRow| row.there_share >= 0.005;
        found.speeds().filter(is_ever_home).for_each(|row| see(&of(found, row)));
    },
    tone: |_, row| if row.is_best { Tone::Strong } else { Tone::Plain },
};

static DEPARTURES: Sheet<Found, Row> = Sheet {
    key: "departures",
    title: "Leaving now or later",
    form: Form::Table,
    columns: &[&List(&[
        Of::text(&LEAVES, |row| Some(row.leaves.clone())),
        Of::number(&SPEED, |row| Some(row.row.tried.speed_m_s)).decimals(1),
        Of::text(&HOME, |row| row.home.clone()),
        Of::band(&CHARGE, |row| Some(row.row.charge)),
        Of::number(&ABOVE, |row| Some(row.row.above_share)),
    ])],
    rows: |found, see| found.departures().for_each(|row| see(&of(found, row))),
    tone: |_, row| if row.is_best { Tone::Strong } else { Tone::Plain },
};

fn of(found: &Found, row: &TryRow) -> Row {
    Row {
        leaves: if row.tried.leaves_s > 0.0 { found.clock(row.tried.leaves_s) } else { "now".to_owned() },
        home: row.after_s.value.is_finite().then(|| found.clock(row.after_s.value)),
        is_best: found.best().is_some_and(|best| best.tried == row.tried),
        row: *row,
    }
}
