//! Tables of the shop's boats. Not for: sentences.

use wakewright_units::Quantity;

use super::study::{Coverage, FleetBoat, FleetStudy, Held, Rank};
use crate::call::{CallScore, SCORE_COLUMNS};
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, plain};

/// Every sheet, in its order in files.
pub static FLEET_SHEETS: [&dyn AnySheet<FleetStudy>; 5] = [&BOATS, &COVERAGE, &FAILED, &RANKS, &CALLS];

const NOTED: Origin = Origin::Because("it is what was found and noted at her check-ups");
const BY_TESTS: &str = "capacity_by_tests";
const BY_LINE: Origin = Origin::Of("capacity_fall");
const HELD: Origin = Origin::Because("it is a count of her kept forecasts and of the trials after them");

static NAME: Figure = Figure::plain("fleet_boat", "boat", "her name", Origin::Asked);
static LAST: Figure = Figure::plain("fleet_looked_at", "looked at", "day of the last look", NOTED);
static DUE: Figure = Figure::plain("fleet_due", "due", "items of her list that are due", NOTED);
static ACT: Figure =
    Figure::plain("fleet_act_now", "act\nnow", "items that had to be put right before she goes", NOTED);
static HOLDS: Figure = Figure::part(
    "fleet_holds",
    "holds",
    "capacity by its tests, over the rated one",
    Quantity::Share,
    BY_TESTS,
);
static FALL: Figure = Figure::part(
    "fleet_falls",
    "a year",
    "capacity lost in a year, over the rated one",
    Quantity::Share,
    "capacity_fall",
);
static FADES: Figure = Figure::plain("fleet_fades", "fades", "the tests show a loss", BY_LINE);
static WORN: Figure =
    Figure::plain("fleet_worn", "worn", "bank counts as worn, as often before as after", BY_LINE);
static FORECASTS: Figure =
    Figure::plain("fleet_held", "held", "forecasts of speed at full throttle that were held", HELD);
static OUTSIDE: Figure =
    Figure::plain("fleet_outside", "out", "of them outside their 80 % band, one in five by chance", HELD);
static WAITING: Figure =
    Figure::plain("fleet_waiting", "waiting", "forecasts that no later trial was held against", HELD);

type OfBoat = Column<FleetBoat>;

static BOATS: Sheet<FleetStudy, FleetBoat> = Sheet {
    key: "boats",
    title: "The boats",
    form: Form::Table,
    columns: &[&List(&[
        OfBoat::text(&NAME, |b| Some(b.name.clone())),
        OfBoat::text(&LAST, |b| Some(b.last?.to_string())).in_files(),
        OfBoat::count(&DUE, |b| Some(b.due() as u64)),
        OfBoat::count(&ACT, |b| Some(b.act_now() as u64)),
        OfBoat::value(&HOLDS, |b| b.upkeep.capacity_now()),
        OfBoat::value(&FALL, |b| b.upkeep.fall_per_year()).decimals(1),
        OfBoat::flag(&FADES, |b| b.upkeep.fade.is_ok().then(|| b.fades())).in_files(),
        OfBoat::text(&WORN, |b| Some(b.upkeep.worn?.middle?.to_string())),
        OfBoat::count(&FORECASTS, |b| Some(b.forecasts().0 as u64)).in_files(),
        OfBoat::count(&OUTSIDE, |b| Some(b.forecasts().1 as u64)),
        OfBoat::count(&WAITING, |b| Some(b.waiting as u64)).in_files(),
    ])],
    rows: |fleet, see| fleet.boats.iter().for_each(see),
    tone: |_, boat| if boat.act_now() > 0 || boat.is_worn() { Tone::Strong } else { Tone::Plain },
};

static MEASURE: Figure = Figure::plain(
    "fleet_measure",
    "what was forecast",
    "what was forecast",
    Origin::Because("it names the row"),
);
static COUNT: Figure = Figure::plain("fleet_forecasts", "held", "forecasts of it that were held", HELD);
static INSIDE: Figure = Figure {
    key: "fleet_inside",
    head: "inside",
    label: "share of them inside their 80 % band, and what it would be in the long run",
    quantity: Quantity::Share,
    origin: Origin::Formula {
        formula: "(p + z²/2n ± z sqrt(p (1 - p)/n + z²/4n²)) / (1 + z²/n), z = 1.28",
        sources: &["wilson1927", "newcombe1998"],
        inputs: &[],
        validity: "forecasts that are independent; those of one trial share its readings, and the band is then too narrow. Each counts once, by the first \
                   trial after it that it was held against",
    },
};
const SCORED: Origin = Origin::Formula {
    formula: "mean over forecasts of twice the mean quantile loss, of 19 quantiles at equal steps",
    sources: &["gneiting2007"],
    inputs: &[],
    validity: "in the unit of the measure",
};
static CRPS: Figure =
    Figure::plain("fleet_crps", "score", "mean ranked probability score, 0 is perfect", SCORED);
static CRPS_NO_CHANGE: Figure = Figure::plain(
    "fleet_crps_no_change",
    "no change",
    "the same for a forecast of no change with the same band",
    SCORED,
);

type OfCoverage = Column<Coverage>;

static COVERAGE: Sheet<FleetStudy, Coverage> = Sheet {
    key: "coverage",
    title: "How forecasts fared",
    form: Form::Table,
    columns: &[&List(&[
        OfCoverage::word(&MEASURE, |c| Some(c.measure.word())),
        OfCoverage::count(&COUNT, |c| Some(c.held as u64)),
        OfCoverage::band(&INSIDE, |c| Some(c.share())),
        OfCoverage::number_of(&CRPS, |c| Some((c.measure.quantity(), c.crps))),
        OfCoverage::number_of(&CRPS_NO_CHANGE, |c| Some((c.measure.quantity(), c.crps_no_change))),
    ])],
    rows: |fleet, see| fleet.coverage.iter().for_each(see),
    tone: plain,
};

static MADE: Figure = Figure::plain("failed_made_on", "made on", "day on which it was made", KEPT);
static REMEDY: Figure = Figure::plain("failed_remedy", "work", "the work that it was of", KEPT);
static TRIAL: Figure =
    Figure::plain("failed_trial", "trial", "number of the trial that it was held against", KEPT);
static FORETOLD: Figure = Figure::plain("failed_foretold", "foretold", "what was foretold", KEPT);
static CAME: Figure = Figure::plain("failed_found", "found", "what was found", KEPT);
const KEPT: Origin = Origin::Because("it is what was kept when the forecast was made and held");

type OfFailed = Column<(String, Held)>;

static FAILED: Sheet<FleetStudy, (String, Held)> = Sheet {
    key: "failed",
    title: "Forecasts outside their band",
    form: Form::Table,
    columns: &[&List(&[
        OfFailed::text(&NAME, |(boat, _)| Some(boat.clone())),
        OfFailed::text(&MADE, |(_, held)| Some(held.made_on.clone())),
        OfFailed::text(&REMEDY, |(_, held)| Some(held.remedy.clone())),
        OfFailed::word(&MEASURE, |(_, held)| Some(held.measure.word())).in_files(),
        OfFailed::count(&TRIAL, |(_, held)| Some(u64::from(held.trial))).in_files(),
        OfFailed::band_of(&FORETOLD, |(_, held)| Some((held.measure.quantity(), held.forecast))),
        OfFailed::number_of(&CAME, |(_, held)| Some((held.measure.quantity(), held.outcome))),
    ])],
    rows: |fleet, see| fleet.failed().for_each(|(boat, held)| see(&(boat.name.clone(), held.clone()))),
    tone: plain,
};

const RANKED: Origin = Origin::Formula {
    formula: "(boats below + (boats beside, herself among them) / 2) / boats",
    sources: &["hazen1914"],
    inputs: &[],
    validity: "among the shop's own boats that have the figure: no sample of any others",
};

const fn rank(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure { key, head, label, quantity: Quantity::Share, origin: RANKED }
}

static RANK_HOLDS: Figure =
    rank("rank_holds", "bank\nholds", "share of boats whose bank holds less of its rating");
static RANK_FALLS: Figure = rank("rank_falls", "loses", "share of boats whose bank loses less in a year");
static RANK_CRUISE: Figure = rank(
    "rank_cruise",
    "takes",
    "share of boats that take less energy for a mile and tonne at their cruising speed, as their documents have them",
);
const fn of_boats(key: &'static str) -> Figure {
    Figure::plain(key, "of", "boats that have the figure", Origin::Because("it is a count of boats"))
}
static OF_HOLDS: Figure = of_boats("rank_holds_boats");
static OF_FALLS: Figure = of_boats("rank_falls_boats");
static OF_CRUISE: Figure = of_boats("rank_cruise_boats");

/// A boat with her ranks.
struct Ranked {
    name: String,
    ranks: [Option<Rank>; 3],
}

impl Ranked {
    fn share(&self, figure: usize) -> Option<f64> {
        Some(self.ranks[figure]?.share)
    }

    fn of(&self, figure: usize) -> Option<u64> {
        Some(self.ranks[figure]?.of as u64)
    }
}

type OfRanked = Column<Ranked>;

static RANKS: Sheet<FleetStudy, Ranked> = Sheet {
    key: "ranks",
    title: "Where each stands among them",
    form: Form::Table,
    columns: &[&List(&[
        OfRanked::text(&NAME, |r| Some(r.name.clone())),
        OfRanked::number(&RANK_HOLDS, |r| r.share(0)),
        OfRanked::count(&OF_HOLDS, |r| r.of(0)),
        OfRanked::number(&RANK_FALLS, |r| r.share(1)),
        OfRanked::count(&OF_FALLS, |r| r.of(1)),
        OfRanked::number(&RANK_CRUISE, |r| r.share(2)),
        OfRanked::count(&OF_CRUISE, |r| r.of(2)),
    ])],
    rows: |fleet, see| {
        let is_more = fleet.boats.len() > 1;
        fleet.boats.iter().filter(|_| is_more).for_each(|boat| {
            see(&Ranked {
                name: boat.name.clone(),
                ranks: std::array::from_fn(|figure| fleet.rank(boat, figure)),
            });
        });
    },
    tone: plain,
};

static CALLS: Sheet<FleetStudy, CallScore> = Sheet {
    key: "calls",
    title: "How often kept calls were right",
    form: Form::Table,
    columns: &[&SCORE_COLUMNS],
    rows: |fleet, see| {
        if fleet.calls.calls > 0 {
            see(&fleet.calls);
        }
    },
    tone: plain,
};
