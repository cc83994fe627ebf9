//! The sheets of alternatives laid side by side. Not for: how they are compared (`compare`), and the table
//! that has a column for each of them.

use wakewright_units::{Quantity, file_unit};

use super::compare::{Comparison, Difference, Laid, Verdict};
use super::floating::MassMove;
use super::measure::Measure;
use crate::propeller::CHANGE_OF_PROPELLER;
use crate::sheet::{AnySheet, Better, Column, Figure, Form, Interval, List, Origin, Sheet, Word, plain};
use crate::steady::Limit;
use crate::study::{BINDING_LIMIT, BURST_SPEED, SAMPLES_LEFT_OUT};

/// Every sheet, in its order in files.
pub static OPTIONS_SHEETS: [&dyn AnySheet<Comparison>; 5] = [&ROWS, &ALTERNATIVES, &MASSES, &REACH, &BINDS];

static VARIANT: Figure =
    Figure::plain("variant", "", "the boat as she is, or an alternative by its name", Origin::Asked);
static SPEED: Figure =
    Figure::asked("speed", "speed", "speed that was asked for; none at full throttle", Quantity::Speed);
static MEASURE: Figure =
    Figure::plain("measure", "figure", "figure with its unit, as in all files", Origin::Asked);
const ITS_OWN: Origin = Origin::Because("it is the figure that the row names, which opens by its own name");
static VALUE: Figure = Figure::plain("value", "value", "in that unit", ITS_OWN);
static DIFFERENCE: Figure = Figure::plain(
    "difference",
    "difference",
    "more than the boat as she is, sample by sample, in that unit",
    ITS_OWN,
);
const OF_SAMPLES: Origin = Origin::Because("it is a count of the samples");
static ABOVE: Figure = share("above_in", "share of the samples in which it is more; equal ones count half");
static BETTER: Figure =
    share("better_in", "share of the samples in which it is better; none where neither way is");
static IN_REACH: Figure = share("in_reach", "share of the samples in which she reaches the speed");
static BINDS_IN: Figure = share("binds_in", "share of the samples in which it stops her at full throttle");
static VERDICT: Figure = Figure::plain("verdict", "verdict", "what the difference means", OF_SAMPLES);
static NOTE: Figure = Figure::plain("note", "note", "its note", Origin::Asked);
static CHANGES: Figure = Figure::plain("changes", "changes", "what changes, in words", Origin::Asked);
static COST: Figure = Figure::plain("cost", "cost", "cost with its currency, as typed", Origin::Asked);
static SAME_POWER_SHAFT: Figure = of_speed(
    "same_power_shaft_speed",
    "shaft speed at which her own propeller would take as much power",
    Quantity::RotationalSpeed,
);
static SAME_POWER_VOLTS: Figure =
    of_speed("same_power_bank_volts", "volts under load that the drive wants for that", Quantity::Voltage);
static WHAT: Figure = Figure::plain("what", "what", "what comes aboard or leaves her", Origin::Asked);
static MASS: Figure = Figure::asked("mass", "mass", "its mass, below zero when it leaves", Quantity::Mass);
static AFT: Figure =
    Figure::asked("aft", "aft", "its middle aft of the fore end of the waterline", Quantity::Length);
static HEIGHT: Figure = Figure::asked("height", "height", "its middle above the waterline", Quantity::Length);

const fn share(key: &'static str, label: &'static str) -> Figure {
    Figure { key, head: "", label, quantity: Quantity::Share, origin: OF_SAMPLES }
}

const fn of_speed(key: &'static str, label: &'static str, quantity: Quantity) -> Figure {
    Figure { key, head: "", label, quantity, origin: Origin::Of("speed") }
}

type OfRow = Column<Row>;
type OfLaid = Column<Laid>;
type OfPart = Column<Part>;

/// A measure of one boat.
struct Row {
    variant: String,
    speed_m_s: Option<f64>,
    measure: Measure,
    value: Interval,
    difference: Option<Difference>,
}

impl Row {
    /// In the unit of files; a difference knows no zero of a scale.
    fn in_files(&self, si: Interval, is_difference: bool) -> Interval {
        let (_, unit) = file_unit(self.measure.of.figure.quantity);
        let of = |si: f64| if is_difference { si / unit.factor } else { unit.from_si(si) };
        Interval { value: of(si.value), p10: of(si.p10), p90: of(si.p90) }
    }
}

fn verdict_word(verdict: Verdict) -> Word {
    let (key, words) = match verdict {
        Verdict::Better => ("better", "better"),
        Verdict::Worse => ("worse", "worse"),
        Verdict::Differs => ("differs", "differs"),
        Verdict::Noise => ("noise", "within the noise"),
        Verdict::Same => ("same", "the same"),
    };
    Word { key, words }
}

static ROWS: Sheet<Comparison, Row> = Sheet {
    key: "rows",
    title: "Each figure of each of them, and how far it lies from the boat as she is",
    form: Form::FileTable,
    columns: &[&List(&[
        OfRow::text(&VARIANT, |r| Some(r.variant.clone())),
        OfRow::number(&SPEED, |r| r.speed_m_s),
        OfRow::text(&MEASURE, |r| Some(r.measure.of.figure.file_name())),
        OfRow::band(&VALUE, |r| Some(r.in_files(r.value, false))),
        OfRow::band(&DIFFERENCE, |r| Some(r.in_files(r.difference?.interval, true))),
        OfRow::number(&ABOVE, |r| Some(r.difference?.above_in)),
        OfRow::number(&BETTER, |r| {
            let better = r.measure.of.better;
            Some(r.difference?.better_in(better)).filter(|_| better != Better::Neither)
        }),
        OfRow::word(&VERDICT, |r| Some(verdict_word(r.difference?.verdict(r.measure.of.better)))),
    ])],
    rows: |found, see| {
        for laid in &found.columns {
            for (m, &measure) in found.measures.iter().enumerate() {
                let Some(value) = laid.values[m] else { continue };
                see(&Row {
                    variant: laid.name.clone(),
                    speed_m_s: measure.speed.and_then(|i| found.speeds_m_s.get(i).copied()),
                    measure,
                    value,
                    difference: laid.differences.get(m).copied().flatten(),
                });
            }
        }
    },
    tone: plain,
};

static ALTERNATIVES: Sheet<Comparison, Laid> = Sheet {
    key: "alternatives",
    title: "The boat as she is, and what is laid beside her",
    form: Form::FileTable,
    columns: &[&List(&[
        OfLaid::text(&VARIANT, |l| Some(l.name.clone())),
        OfLaid::text(&NOTE, |l| l.about.note.clone()),
        OfLaid::text(&CHANGES, |l| Some(l.about.changes.join("; "))),
        OfLaid::text(&COST, |l| l.about.cost.clone()),
        OfLaid::word(&CHANGE_OF_PROPELLER, |l| Some(l.work.word())),
        OfLaid::word(&BINDING_LIMIT, |l| Some(l.full.held.limit.word())),
        OfLaid::number(&BURST_SPEED, |l| Some(l.full.burst.as_ref()?.state.speed_m_s)),
        OfLaid::number(&SAME_POWER_SHAFT, |l| Some(l.same_power?.state.shaft_rev_s)),
        OfLaid::number(&SAME_POWER_VOLTS, |l| Some(l.same_power?.bank_v)),
        OfLaid::count(&SAMPLES_LEFT_OUT, |l| Some(l.taken.left_out() as u64)),
    ])],
    rows: |found, see| found.columns.iter().for_each(see),
    tone: plain,
};

/// A part of what is told of one of them: a mass, how often a speed is reached, how often a limit binds.
struct Part {
    variant: String,
    mass: Option<MassMove>,
    speed_m_s: Option<f64>,
    limit: Option<Limit>,
    share: f64,
}

impl Part {
    fn of(laid: &Laid) -> Self {
        Self { variant: laid.name.clone(), mass: None, speed_m_s: None, limit: None, share: 0.0 }
    }
}

const OF_VARIANT: OfPart = OfPart::text(&VARIANT, |p| Some(p.variant.clone()));

static MASSES: Sheet<Comparison, Part> = Sheet {
    key: "masses",
    title: "What comes aboard or leaves her",
    form: Form::FileTable,
    columns: &[&List(&[
        OF_VARIANT,
        OfPart::text(&WHAT, |p| Some(p.mass.as_ref()?.what.clone())),
        OfPart::number(&MASS, |p| Some(p.mass.as_ref()?.mass_kg)),
        OfPart::number(&AFT, |p| p.mass.as_ref()?.aft_m),
        OfPart::number(&HEIGHT, |p| p.mass.as_ref()?.height_m),
    ])],
    rows: |found, see| {
        for laid in &found.columns {
            laid.masses.iter().for_each(|mass| see(&Part { mass: Some(mass.clone()), ..Part::of(laid) }));
        }
    },
    tone: plain,
};

static REACH: Sheet<Comparison, Part> = Sheet {
    key: "reach",
    title: "How often each reaches the speeds asked for",
    form: Form::FileTable,
    columns: &[&List(&[
        OF_VARIANT,
        OfPart::number(&SPEED, |p| p.speed_m_s),
        OfPart::number(&IN_REACH, |p| Some(p.share)),
    ])],
    rows: |found, see| {
        for laid in &found.columns {
            for (&speed, &share) in found.speeds_m_s.iter().zip(&laid.in_reach) {
                see(&Part { speed_m_s: Some(speed), share, ..Part::of(laid) });
            }
        }
    },
    tone: plain,
};

static BINDS: Sheet<Comparison, Part> = Sheet {
    key: "binds",
    title: "How often each limit stops each of them",
    form: Form::FileTable,
    columns: &[&List(&[
        OF_VARIANT,
        OfPart::word(&BINDING_LIMIT, |p| p.limit.map(Limit::word)),
        OfPart::number(&BINDS_IN, |p| Some(p.share)),
    ])],
    rows: |found, see| {
        for laid in &found.columns {
            for &(limit, share) in &laid.binds_in {
                see(&Part { limit: Some(limit), share, ..Part::of(laid) });
            }
        }
    },
    tone: plain,
};
