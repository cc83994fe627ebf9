//! The sheets of a search. Not for: which of the front are shown.

use wakewright_units::Quantity;

use super::exact::Candidate;
use super::front::{COST, DRIVE_MASS, PARTS_CHANGED, TOP_SPEED};
use super::limits::Cause;
use super::outcome::Outcome;
use crate::propeller::CHANGE_OF_PROPELLER;
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Word, itself, plain};
use crate::study::{BINDING_LIMIT, RANGE, STATE, StateFigure};

/// Every sheet, in its order in files.
pub static SEARCH_SHEETS: [&dyn AnySheet<Outcome>; 5] = [&SUMMARY, &GAIN, &PRESENT, &FRONT, &REFUSALS];

const COUNT: Origin = Origin::Because("it is a count of the search");

static CANDIDATES: Figure = Figure::plain("candidates", "candidates", "candidates looked at", COUNT);
static WITHIN: Figure = Figure::plain("within_limits", "within", "candidates within every limit", COUNT);
static CRUISE: Figure = Figure::asked(
    "cruise",
    "cruise",
    "speeds that each must hold for hours; the first counts for the energy per mile",
    Quantity::Speed,
);
static HAS_PRICES: Figure =
    Figure::plain("has_prices", "prices", "cost is by prices that were given", Origin::Asked);
static PICK: Figure = Figure::plain("picked", "pick", "place of the pick on the Pareto front, from 0", COUNT);
static MORE_SPEED: Figure = Figure {
    key: "more_speed",
    head: "more",
    label: "top speed more than now",
    quantity: Quantity::Speed,
    origin: Origin::Of("speed"),
};
static MORE_ENERGY: Figure = Figure {
    key: "more_energy_per_mile",
    head: "more",
    label: "energy per mile more than now",
    quantity: Quantity::EnergyPerDistance,
    origin: Origin::Of("energy_per_mile"),
};

type OfOutcome = Column<Outcome>;
type OfCandidate = Column<Candidate>;
type OfCause = Column<Refused>;

static SUMMARY: Sheet<Outcome, Outcome> = Sheet {
    key: "summary",
    title: "What was searched",
    form: Form::Files,
    columns: &[&List(&[
        OfOutcome::count(&CANDIDATES, |o| Some(o.tally.candidates)),
        OfOutcome::count(&WITHIN, |o| Some(o.tally.within)),
        OfOutcome::numbers(&CRUISE, |o| o.search.cruise_m_s().map(Some).to_vec()),
        OfOutcome::flag(&HAS_PRICES, |o| Some(o.search.has_prices())),
        OfOutcome::count(&PICK, |o| Some(o.pick?.position as u64)),
    ])],
    rows: itself,
    tone: plain,
};

static GAIN: Sheet<Outcome, Outcome> = Sheet {
    key: "gain",
    title: "What the pick gains over the boat as she is",
    form: Form::Files,
    columns: &[&List(&[
        OfOutcome::band(&TOP_SPEED, |o| Some(o.gain?.top_speed_m_s)),
        OfOutcome::band(&MORE_SPEED, |o| Some(o.gain?.more_speed_m_s)),
        OfOutcome::band(&MORE_ENERGY, |o| Some(o.gain?.more_energy_j_m)),
    ])],
    rows: |outcome, see| {
        if outcome.gain.is_some() {
            see(outcome);
        }
    },
    tone: plain,
};

const fn as_stated(key: &'static str, label: &'static str, quantity: Quantity) -> Figure {
    Figure { key, head: label, label, quantity, origin: Origin::Asked }
}

static IS_PICKED: Figure = Figure::plain("is_picked", "pick", "it is the pick", COUNT);
static FORBIDDEN: Figure = Figure::plain("forbidden", "not so", "what must not be so of it", Origin::Asked);
static INDEX: Figure = Figure::plain("index", "number", "its number in the space searched", COUNT);
static DIAMETER: Figure = as_stated("diameter", "propeller diameter", Quantity::PropellerLength);
static PITCH: Figure = as_stated("pitch", "propeller pitch", Quantity::PropellerLength);
static BLADES: Figure = as_stated("blades", "blades", Quantity::Ratio);
static AREA_RATIO: Figure = as_stated("area_ratio", "expanded area ratio", Quantity::Ratio);
static IS_FOLDING: Figure = as_stated("is_folding", "blades fold or feather", Quantity::Ratio);
static RATIO: Figure = as_stated("ratio", "reduction", Quantity::Ratio);
static MOTOR: Figure = as_stated("motor", "motor by type and rating", Quantity::Ratio);
static CELLS: Figure = as_stated("cells_in_series", "cells in series", Quantity::Ratio);
static PACKS: Figure = as_stated("packs", "packs in parallel", Quantity::Ratio);
static ENERGY_AT_CRUISE: Figure = Figure {
    key: "energy_at_cruise",
    head: "energy",
    label: "energy per mile at each of the cruising speeds",
    quantity: Quantity::EnergyPerDistance,
    origin: Origin::Of("energy_per_mile"),
};

const ENERGY: &Figure = &STATE[StateFigure::EnergyPerMile as usize];
const SHAFT_SPEED: &Figure = &STATE[StateFigure::ShaftSpeed as usize];
const TIP_SPEED: &Figure = &STATE[StateFigure::TipSpeed as usize];

/// A candidate by the steady state: energy, range and tip speed at the first cruising speed, the shaft at
/// full throttle.
static OF_CANDIDATE: List<Candidate> = List(&[
    OfCandidate::flag(&IS_PICKED, |c| Some(c.is_picked)),
    OfCandidate::text(&FORBIDDEN, |c| {
        let topics: Vec<&str> = c.forbidden.iter().map(|finding| finding.topic).collect();
        (!topics.is_empty()).then(|| topics.join("; "))
    }),
    OfCandidate::count(&INDEX, |c| Some(c.index? as u64)),
    OfCandidate::number(&DIAMETER, |c| Some(c.boat.propeller.diameter_m)),
    OfCandidate::number(&PITCH, |c| Some(c.boat.propeller.pitch_m)),
    OfCandidate::count(&BLADES, |c| Some(c.boat.propeller.blades.into())),
    OfCandidate::number(&AREA_RATIO, |c| Some(c.boat.propeller.area_ratio)),
    OfCandidate::flag(&IS_FOLDING, |c| Some(c.boat.propeller.pattern.is_stowed_under_sail())),
    OfCandidate::word(&CHANGE_OF_PROPELLER, |c| Some(c.change.propeller.word())),
    OfCandidate::number(&RATIO, |c| Some(c.boat.drive_line.ratio)),
    OfCandidate::text(&MOTOR, |c| Some(c.motor.clone())),
    OfCandidate::count(&CELLS, |c| Some(c.boat.bank.groups.first()?.cells_in_series.into())),
    OfCandidate::count(&PACKS, |c| {
        Some(c.boat.bank.groups.iter().map(|group| u64::from(group.packs_in_parallel)).sum())
    }),
    OfCandidate::count(&PARTS_CHANGED, |c| Some(c.change.parts().into())),
    OfCandidate::number(ENERGY, |c| Some(c.merits.energy_per_metre_j)),
    OfCandidate::numbers(&ENERGY_AT_CRUISE, |c| {
        c.cruise.iter().map(|bound| Some(bound.state.energy_per_metre_j())).collect()
    }),
    OfCandidate::number(&TOP_SPEED, |c| Some(c.merits.top_speed_m_s)),
    OfCandidate::word(&BINDING_LIMIT, |c| Some(c.full.held.limit.word())),
    OfCandidate::number(SHAFT_SPEED, |c| Some(c.full.held.state.shaft_rev_s)),
    OfCandidate::number(&RANGE, Candidate::distance_m),
    OfCandidate::number(TIP_SPEED, |c| Some(c.merits.tip_speed_m_s)),
    OfCandidate::number(&DRIVE_MASS, |c| Some(c.merits.mass_kg)),
    OfCandidate::number(&COST, |c| Some(c.merits.cost)),
]);

static PRESENT: Sheet<Outcome, Candidate> = Sheet {
    key: "present",
    title: "The boat as she is",
    form: Form::Files,
    columns: &[&OF_CANDIDATE],
    rows: |outcome, see| outcome.present.iter().for_each(see),
    tone: plain,
};

static FRONT: Sheet<Outcome, Candidate> = Sheet {
    key: "front",
    title: "Pareto front, thriftiest first",
    form: Form::FileTable,
    columns: &[&OF_CANDIDATE],
    rows: |outcome, see| outcome.candidates.iter().for_each(see),
    tone: |_, candidate| if candidate.is_picked { Tone::Passes } else { Tone::Plain },
};

/// How many a limit refuses.
struct Refused {
    cause: Cause,
    first: u64,
    at_all: Option<u64>,
    alone: Option<u64>,
    nearest: Option<f64>,
}

static CAUSE: Figure = Figure::plain("limit", "limit", "what refuses them", Origin::Asked);
static FIRST: Figure =
    Figure::plain("refused_first", "fail by it\nfirst", "candidates that fail by it first", COUNT);
static AT_ALL: Figure =
    Figure::plain("refused", "fail by\nit at all", "candidates that fail by it at all", COUNT);
static ALONE: Figure =
    Figure::plain("refused_alone", "by it\nalone", "candidates that fail by nothing else", COUNT);
static NEAREST: Figure = Figure {
    key: "nearest",
    head: "nearest",
    label: "share of the limit that the nearest of those needs, above 1",
    quantity: Quantity::Share,
    origin: Origin::Because("it is the least of what the search found"),
};

static REFUSALS: Sheet<Outcome, Refused> = Sheet {
    key: "refused",
    title: "What refuses how many",
    form: Form::Table,
    columns: &[&List(&[
        OfCause::word(&CAUSE, |r| Some(Word { key: r.cause.key(), words: r.cause.words() })),
        OfCause::count(&AT_ALL, |r| r.at_all),
        OfCause::count(&ALONE, |r| r.alone),
        OfCause::number(&NEAREST, |r| r.nearest).in_files(),
        OfCause::count(&FIRST, |r| Some(r.first)),
    ])],
    rows: |outcome, see| {
        let of = |cause: Cause| {
            let (place, all) = (cause as usize, outcome.refusals);
            Refused {
                cause,
                first: outcome.tally.refused[place],
                at_all: all.map(|all| all.violated[place]),
                alone: all.map(|all| all.alone[place]),
                nearest: all.and_then(|all| all.nearest[place]).map(|(share, _)| share),
            }
        };
        let mut rows: Vec<Refused> = Cause::ALL.into_iter().map(of).collect();
        rows.retain(|row| row.first > 0 || row.at_all.is_some_and(|count| count > 0));
        rows.sort_by_key(|row| (std::cmp::Reverse(row.at_all.unwrap_or(row.first)), row.cause));
        rows.iter().for_each(see);
    },
    tone: plain,
};
