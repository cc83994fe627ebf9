//! The sheets of the controls. Not for: how they are worked out (`study`).

use wakewright_units::Quantity;

use super::event::Event;
use super::figure::{BUS_HIGHEST, CONTROLS_FIGURES};
use super::reversing::ReversalMoment;
use super::study::ControlsStudy;
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, itself, plain};
use crate::wiring::{FAILED, HURTS, Judged, PASSED, RULE_COLUMNS, UNTOLD, VERDICT, Verdict};

/// Every sheet, in its order in files.
pub static CONTROLS_SHEETS: [&dyn AnySheet<ControlsStudy>; 7] =
    [&SUMMARY, &EVENTS, &RULES, &FIGURES, &REVERSING, &COURSES, &LEVER];

static FIGURES: Sheet<ControlsStudy, ControlsStudy> = Sheet {
    key: "figures",
    title: "Controls",
    form: Form::List,
    columns: &[&CONTROLS_FIGURES],
    rows: itself,
    tone: plain,
};

type OfAll = Column<ControlsStudy>;

static SUMMARY: Sheet<ControlsStudy, ControlsStudy> = Sheet {
    key: "summary",
    title: "What came of it",
    form: Form::Files,
    columns: &[&List(&[
        OfAll::count(&PASSED, |s| Some(s.count(Verdict::Passes) as u64)),
        OfAll::count(&FAILED, |s| Some(s.count(Verdict::Fails) as u64)),
        OfAll::count(&UNTOLD, |s| Some(s.count(Verdict::CannotTell) as u64)),
        OfAll::flag(&HURTS, |s| Some(s.hurts())),
    ])],
    rows: itself,
    tone: plain,
};

static EVENT: Figure = Figure::plain("event", "event", "what happens", Origin::Asked);
static BEFORE: Figure =
    Figure::part("volts_before", "before", "volts of the bus before", Quantity::Voltage, "volts_highest");
static LOWEST: Figure = Figure::part(
    "volts_lowest",
    "lowest",
    "lowest volts of the bus in the first 20 ms",
    Quantity::Voltage,
    "volts_highest",
);
static AFTER: Figure = Figure::part(
    "volts_after",
    "10 s",
    "volts of the bus after 10 s, at the most",
    Quantity::Voltage,
    "volts_highest",
);
static STANDS: Figure =
    Figure::asked("stands", "stands", "what stands least of all that sees them", Quantity::Voltage);
static WHAT: Figure = Figure::plain("weakest", "weakest", "which part that is", Origin::Asked);
static SEES: Figure = Figure::plain("crew_sees", "crew sees", "what the crew sees", Origin::Asked);
static ACTS: Figure = Figure::plain("acts", "acts", "which protection acts", Origin::Asked);
static LEFT: Figure = Figure::plain("left", "left", "what is left", Origin::Of("volts_highest"));
static WHY: Figure = Figure::plain("why", "why", "why it came out so", Origin::Of("volts_highest"));
static TO_DO: Figure = Figure::plain("event_remedy", "remedy", "what to do", Origin::Asked);
static WAY: Figure = Figure::part(
    "way_before",
    "way",
    "way that she makes before it is noticed",
    Quantity::Length,
    "reversing_stop_way",
);

type OfEvent = Column<Event>;

static EVENTS: Sheet<ControlsStudy, Event> = Sheet {
    key: "events",
    title: "Events",
    form: Form::Table,
    columns: &[&List(&[
        OfEvent::word(&VERDICT, |e| Some(e.verdict.word())),
        OfEvent::word(&EVENT, |e| Some(e.kind.word())),
        OfEvent::number(&BEFORE, |e| Some(e.volts.before_v)).in_files(),
        OfEvent::number(&BUS_HIGHEST, |e| e.volts.highest_v).head("20 ms").decimals(0),
        OfEvent::number(&LOWEST, |e| e.volts.lowest_v).in_files(),
        OfEvent::number(&AFTER, |e| e.volts.after_v()).decimals(0),
        OfEvent::number(&STANDS, |e| e.weakest.as_ref()?.stands_v).decimals(0),
        OfEvent::text(&WHAT, |e| Some(e.weakest.as_ref()?.name.clone())).in_files(),
        OfEvent::text(&SEES, |e| Some(e.kind.words().sees.to_owned())).in_files(),
        OfEvent::text(&ACTS, |e| Some(e.kind.words().acts.to_owned())).in_files(),
        OfEvent::text(&LEFT, |e| Some(e.left.clone())).in_files(),
        OfEvent::text(&WHY, |e| Some(e.why.clone())).in_files(),
        OfEvent::number(&WAY, |e| e.way_m).in_files(),
        OfEvent::text(&TO_DO, |e| (e.verdict != Verdict::Passes).then(|| e.kind.words().remedy.to_owned()))
            .in_files(),
    ])],
    rows: |study, see| study.events.iter().for_each(see),
    tone: |_, event| event.verdict.tone(),
};

static RULES: Sheet<ControlsStudy, Judged> = Sheet {
    key: "rules",
    title: "The lever's rules",
    form: Form::Table,
    columns: &[&RULE_COLUMNS],
    rows: |study, see| study.rules.iter().for_each(see),
    tone: |_, rule| rule.verdict.tone(),
};

const fn turning(key: &'static str, head: &'static str, label: &'static str, of: Quantity) -> Figure {
    Figure::part(key, head, label, of, "reversing_torque")
}
static SECONDS: Figure = turning("seconds", "time", "since the lever went over", Quantity::ShortDuration);
static DEMAND: Figure = turning("demand", "demand", "what it asks for", Quantity::Share);
static SHAFT: Figure = turning("shaft_speed", "shaft", "propeller shaft", Quantity::RotationalSpeed);
static TORQUE: Figure =
    turning("shaft_torque_then", "torque", "torque in the propeller shaft", Quantity::Torque);
static THRUST: Figure = turning("thrust_then", "thrust", "thrust", Quantity::Force);
static SPEED: Figure = turning("way_then", "way", "her way through the water", Quantity::Speed);

type OfMoment = Column<ReversalMoment>;

static REVERSING: Sheet<ControlsStudy, ReversalMoment> = Sheet {
    key: "reversing",
    title: "From full ahead to full astern",
    form: Form::FileTable,
    columns: &[&List(&[
        OfMoment::number(&SECONDS, |m| Some(m.time_s)),
        OfMoment::number(&DEMAND, |m| Some(m.demand)),
        OfMoment::number(&SHAFT, |m| Some(m.shaft_rev_s)),
        OfMoment::number(&TORQUE, |m| Some(m.shaft_n_m)),
        OfMoment::number(&THRUST, |m| Some(m.thrust_n)),
        OfMoment::number(&SPEED, |m| Some(m.speed_m_s)),
    ])],
    // Twenty a second are for the picture; files take four.
    rows: |study, see| {
        let moments = study.reversal.iter().flat_map(|one| &one.told.moments);
        moments.step_by(5).for_each(see);
    },
    tone: plain,
};

/// Volts of an event at a moment.
struct CoursePoint {
    event: &'static str,
    time_s: f64,
    bus_v: f64,
}

static INSTANT: Figure =
    Figure::part("instant", "time", "since it happened", Quantity::Instant, "volts_highest");
static BUS_V: Figure =
    Figure::part("bus_then", "bus", "volts of the bus", Quantity::Voltage, "volts_highest");

static COURSES: Sheet<ControlsStudy, CoursePoint> = Sheet {
    key: "courses",
    title: "Volts of the bus by time",
    form: Form::FileTable,
    columns: &[&List(&[
        Column::text(&EVENT, |p: &CoursePoint| Some(p.event.to_owned())),
        Column::number(&INSTANT, |p: &CoursePoint| Some(p.time_s)),
        Column::number(&BUS_V, |p: &CoursePoint| Some(p.bus_v)),
    ])],
    rows: |study, see| {
        for event in &study.events {
            for (time_s, bus_v) in event.volts.first.iter().chain(&event.volts.later) {
                see(&CoursePoint { event: event.kind.words().key, time_s: *time_s, bus_v: *bus_v });
            }
        }
    },
    tone: plain,
};

static TRAVEL: Figure =
    Figure::plain("lever", "lever", "lever, full astern -1 to full ahead 1", Origin::Asked);
static ASKS: Figure = Figure::plain(
    "lever_demand",
    "demand",
    "what it asks for",
    Origin::Because("dead band, least demand and a straight line, as they are told"),
);

static LEVER: Sheet<ControlsStudy, (f64, f64)> = Sheet {
    key: "lever",
    title: "Demand against lever",
    form: Form::FileTable,
    columns: &[&List(&[
        Column::number(&TRAVEL, |p: &(f64, f64)| Some(p.0)),
        Column::number(&ASKS, |p: &(f64, f64)| Some(p.1)),
    ])],
    rows: |study, see| {
        (-20..=20).map(|k| f64::from(k) / 20.0).for_each(|x| see(&(x, study.controls.demand(x))));
    },
    tone: plain,
};
