//! Figures of a passage: the steps of the plan, the points of the route, other departures.

use wakewright_core::field;
use wakewright_core::passage::PassageRow;
use wakewright_core::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, itself, plain};
use wakewright_units::Quantity;

use super::reckoned::{Departure, Found, StepRow};

struct OfStep<'a> {
    found: &'a Found,
    row: &'a StepRow,
}

struct StepLine {
    what: String,
    from: String,
    until: String,
    row: StepRow,
}

struct PointLine {
    point: String,
    at: String,
    row: PassageRow,
    is_weakest: bool,
}

struct DepartureLine {
    leaves: String,
    row: Departure,
    is_best: bool,
}

static ENERGY: Figure = Figure {
    key: "passage_energy",
    head: "energy",
    label: "energy out of the bank, less what sun and stops bring in",
    quantity: Quantity::Energy,
    origin: Origin::Formula {
        formula: "min over v(x, t) of sum P(v, charge) dt + loads - sun - charging, dx/dt = c_along + sqrt(v^2 - c_across^2), arrival inside \
                  the window; backwards over distance and time, again until charge and speeds agree",
        sources: &["bellman1957", "vincenty1975"],
        inputs: &[
            field::bank::STATE_OF_CHARGE,
            field::bank::HOUSE_LOAD,
            field::bank::RESERVE,
            field::sea::HEAD_WIND,
            field::sea::SEA_MARGIN,
            field::hull::BOTTOM,
        ],
        validity: "streams the same all along a leg; steady state at each speed; within 0.5 % of exhaustive search; stream 25 % and 0.2 kn, its \
                   time 20 min, charge 4 % (80 % bands, own estimate, no source)",
    },
};
const fn part(key: &'static str, head: &'static str, label: &'static str, quantity: Quantity) -> Figure {
    Figure::part(key, head, label, quantity, "passage_energy")
}
const fn text(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::plain(key, head, label, Origin::Of("passage_energy"))
}
static LEG: Figure = text("leg", "leg", "where the leg goes, or the stop");
static FROM: Figure = text("from", "from", "from when the step is kept");
static UNTIL: Figure = text("until", "until", "until when the step is kept");
static LENGTH: Figure = part("leg_length", "miles", "over the ground", Quantity::Distance);
static SPEED: Figure = part("speed_through_water", "speed", "speed through the water", Quantity::Speed);
static SHAFT: Figure =
    part("shaft_speed", "shaft", "speed of the propeller shaft", Quantity::RotationalSpeed);
static GROUND: Figure =
    part("speed_over_ground", "over ground", "mean speed over the ground", Quantity::Speed);
static LEFT: Figure = part(
    "charge_at_end",
    "left",
    "share of all that the banks hold at its end, as expected",
    Quantity::Share,
);
static POINT: Figure = text("point", "point", "point of the route");
static WHEN: Figure = text("when", "when", "when she is there, the plan kept");
static AFTER: Figure =
    part("after", "after", "from leaving until she is there, the plan kept", Quantity::Duration);
static CHARGE: Figure = part(
    "charge_left",
    "left",
    "share of all that the banks hold there, 0 where she does not come there",
    Quantity::Share,
);
static ABOVE_KEPT: Figure = Figure {
    key: "above_kept_share",
    head: "plan kept",
    label: "probability of being there without having fallen to the reserve, the plan kept",
    quantity: Quantity::Share,
    origin: Origin::Formula {
        formula: "share of samples of boat, charge, sun, wind and streams in which the least of left - reserve on the way is above 0",
        sources: &["bellman1957"],
        inputs: &[
            field::bank::STATE_OF_CHARGE,
            field::bank::RESERVE,
            field::bank::HOUSE_LOAD,
            field::sea::HEAD_WIND,
            field::hull::BOTTOM,
        ],
        validity: "steps as kept; held against simulated passages, of which docs/passage.md tells how many arrived; what the sea does is not in it",
    },
};
static ABOVE_ANEW: Figure = Figure::part(
    "above_anew_share",
    "speed anew",
    "the same, the speed chosen anew each half hour",
    Quantity::Share,
    "above_kept_share",
);
static LEAVES: Figure = text("leaves", "leave", "she leaves");
static TAKES: Figure = part("takes", "under way", "from leaving to arriving", Quantity::Duration);
static TAKEN: Figure = part("energy", "energy", "energy out of the bank", Quantity::Energy);
static DISTANCE: Figure = part("distance", "miles", "the whole way over the ground", Quantity::Distance);
static HOURS: Figure =
    part("under_way", "under way", "from leaving to arriving, stops among it", Quantity::Duration);
static ARRIVAL: Figure = part(
    "charge_on_arrival",
    "left",
    "share of all that the banks hold on arrival, the plan kept",
    Quantity::Share,
);
static PER_MILE: Figure =
    part("energy_per_mile", "per mile", "energy for a mile over the ground", Quantity::EnergyPerDistance);
static TURN: Figure = part(
    "turn_back_after",
    "turn back",
    "until when she can turn and be back above the reserve in nine cases of ten",
    Quantity::Duration,
);
static NIGHT: Figure =
    part("night", "in the dark", "under way between sunset and sunrise", Quantity::Duration);

type OfLine = Column<StepLine>;
type OfPoint = Column<PointLine>;
type OfDeparture = Column<DepartureLine>;
type OfAll = Column<Found>;

/// Every sheet.
pub static SHEETS: [&dyn AnySheet<Found>; 4] = [&STEPS, &POINTS, &DEPARTURES, &FIGURES];

static FIGURES: Sheet<Found, Found> = Sheet {
    key: "figures",
    title: "The passage",
    form: Form::List,
    columns: &[&List(&[
        OfAll::number(&ENERGY, |found| Some(found.planned.plan.energy_j)),
        OfAll::number(&PER_MILE, |found| Some(found.planned.plan.energy_j / found.distance_m())),
        OfAll::number(&DISTANCE, |found| Some(found.distance_m())),
        OfAll::number(&HOURS, |found| found.kept.run.at_s.last().copied()),
        OfAll::band(&ARRIVAL, |found| Some(found.study.rows.last()?.share)),
        OfAll::number(&ABOVE_KEPT, |found| Some(found.study.rows.last()?.above_kept)),
        OfAll::number(&ABOVE_ANEW, |found| Some(found.study.rows.last()?.above_anew)),
        OfAll::number(&TURN, |found| Some(found.turn?.at_s)),
        OfAll::number(&NIGHT, |found| found.night_s.filter(|night| *night > 60.0)),
    ])],
    rows: itself,
    tone: plain,
};

static STEPS: Sheet<Found, StepLine> = Sheet {
    key: "steps",
    title: "The plan as it is kept",
    form: Form::Table,
    columns: &[&List(&[
        OfLine::text(&LEG, |line| Some(line.what.clone())),
        OfLine::text(&FROM, |line| Some(line.from.clone())),
        OfLine::text(&UNTIL, |line| Some(line.until.clone())).in_files(),
        OfLine::number(&SPEED, |line| line.row.speed_m_s).decimals(1),
        OfLine::number(&SHAFT, |line| line.row.shaft_rev_s),
        OfLine::number(&GROUND, |line| {
            let takes_s = line.row.ends_s - line.row.begins_s;
            line.row.speed_m_s.map(|_| line.row.length_m / takes_s)
        })
        .decimals(1),
        OfLine::number(&LENGTH, |line| line.row.speed_m_s.map(|_| line.row.length_m)).in_files(),
        OfLine::number(&LEFT, |line| Some(line.row.share)),
    ])],
    rows: |found, see| found.steps.iter().for_each(|row| see(&OfStep { found, row }.line())),
    tone: plain,
};

impl OfStep<'_> {
    fn line(&self) -> StepLine {
        let to = self.found.point(self.row.leg + 1);
        let is_stop = self.row.speed_m_s.is_none();
        StepLine {
            what: if is_stop { format!("at {to}") } else { format!("to {to}") },
            from: self.found.case.clock(self.row.begins_s),
            until: self.found.case.clock(self.row.ends_s),
            row: self.row.clone(),
        }
    }
}

static POINTS: Sheet<Found, PointLine> = Sheet {
    key: "points",
    title: "How sure, point by point",
    form: Form::Table,
    columns: &[&List(&[
        OfPoint::text(&POINT, |line| Some(line.point.clone())),
        OfPoint::text(&WHEN, |line| Some(line.at.clone())),
        OfPoint::band(&AFTER, |line| Some(line.row.at_s).filter(|at| at.value.is_finite())).in_files(),
        OfPoint::band(&CHARGE, |line| Some(line.row.share)),
        OfPoint::number(&ABOVE_KEPT, |line| Some(line.row.above_kept)),
        OfPoint::number(&ABOVE_ANEW, |line| Some(line.row.above_anew)),
    ])],
    rows: |found, see| {
        let weakest = found.study.weakest();
        for (place, row) in found.study.rows.iter().enumerate() {
            see(&PointLine {
                point: found.point(place).to_owned(),
                at: found.case.clock(row.at_s.value),
                row: *row,
                is_weakest: place > 0 && weakest == Some(place - 1),
            });
        }
    },
    tone: |_, line| if line.is_weakest { Tone::Strong } else { Tone::Plain },
};

static DEPARTURES: Sheet<Found, DepartureLine> = Sheet {
    key: "departures",
    title: "Departures hour by hour",
    form: Form::FileTable,
    columns: &[&List(&[
        OfDeparture::text(&LEAVES, |line| Some(line.leaves.clone())),
        OfDeparture::number(&TAKES, |line| Some(line.row.takes_s)),
        OfDeparture::number(&TAKEN, |line| Some(line.row.energy_j)),
        OfDeparture::number(&LEFT, |line| Some(line.row.share)),
    ])],
    rows: |found, see| {
        let best = found.best_departure().copied();
        for row in &found.departures {
            let leaves = found.case.local(row.leaves_s).strftime("%a %d %b %H:%M").to_string();
            see(&DepartureLine { leaves, row: *row, is_best: best == Some(*row) });
        }
    },
    tone: |_, line| if line.is_best { Tone::Strong } else { Tone::Plain },
};
