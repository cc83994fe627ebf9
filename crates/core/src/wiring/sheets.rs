//! The sheets of the wiring. Not for: how they are worked out (`study`).

use wakewright_units::Quantity;

use super::bus::BusMoment;
use super::fault::FaultAt;
use super::figure::WIRING_FIGURES;
use super::harness::{Cable, Fuse};
use super::judge::FuseRow;
use super::lost::Lost;
use super::propose::Proposed;
use super::protection::FuseClass;
use super::rule::{Judged, Verdict};
use super::study::{CableRow, WiringStudy};
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Word, itself, plain};

/// Every sheet, in its order in files.
pub static WIRING_SHEETS: [&dyn AnySheet<WiringStudy>; 10] =
    [&SUMMARY, &FIGURES, &RULES, &CABLES, &FAULTS, &FUSES, &LOST, &PROPOSED, &SCHEDULE, &BUS];

static FIGURES: Sheet<WiringStudy, WiringStudy> = Sheet {
    key: "figures",
    title: "Wiring",
    form: Form::List,
    columns: &[&WIRING_FIGURES],
    rows: itself,
    tone: plain,
};

const COUNTED: Origin = Origin::Because("a count of the rules on view");
const NAMED: Origin = Origin::Asked;

pub(crate) static PASSED: Figure = Figure::plain("rules_pass", "pass", "rules that pass", COUNTED);
pub(crate) static FAILED: Figure = Figure::plain("rules_fail", "fail", "rules that fail", COUNTED);
pub(crate) static UNTOLD: Figure =
    Figure::plain("rules_cannot_tell", "cannot tell", "rules that cannot be told", COUNTED);
pub(crate) static HURTS: Figure =
    Figure::plain("can_hurt", "can hurt", "something that fails can hurt", COUNTED);
static ASSUMED: Figure =
    Figure::plain("is_assumed", "assumed", "no cable is told: the network is assumed", NAMED);
static NOMINAL: Figure =
    Figure::asked("nominal_volts", "nominal", "nominal volts on the plate", Quantity::Voltage);

static SUMMARY: Sheet<WiringStudy, WiringStudy> = Sheet {
    key: "summary",
    title: "What came of it",
    form: Form::Files,
    columns: &[&List(&[
        Column::count(&PASSED, |s: &WiringStudy| Some(s.count(Verdict::Passes) as u64)),
        Column::count(&FAILED, |s: &WiringStudy| Some(s.count(Verdict::Fails) as u64)),
        Column::count(&UNTOLD, |s: &WiringStudy| Some(s.count(Verdict::CannotTell) as u64)),
        Column::flag(&HURTS, |s: &WiringStudy| Some(s.hurts())),
        Column::flag(&ASSUMED, |s: &WiringStudy| Some(s.wired.harness.is_assumed)),
        Column::number(&NOMINAL, |s: &WiringStudy| Some(s.wired.nominal_v)),
    ])],
    rows: itself,
    tone: plain,
};

static RULE: Figure = Figure::plain("rule", "rule", "which rule", NAMED);
static HOLDS: Figure = Figure::plain("must_hold", "must hold", "what must hold", NAMED);
static PART: Figure = Figure::plain("part", "part", "which part", NAMED);
pub(crate) static VERDICT: Figure = Figure::plain(
    "verdict",
    "verdict",
    "what came of it",
    Origin::Because("found against limit, as the rule says"),
);
static FOUND: Figure = Figure::plain(
    "found",
    "found",
    "the figure found",
    Origin::Because("as the figures of cables, faults and fuses on view"),
);
static LIMIT: Figure = Figure::plain(
    "limit",
    "limit",
    "what it may be",
    Origin::Because("as the rule's basis says, or the part's own sheet"),
);
static BASIS: Figure = Figure::plain("basis", "basis", "what the rule stands on", NAMED);
static GROUND: Figure = Figure::plain("known_by", "known", "how surely the rule is known", NAMED);
static CAN_HURT: Figure =
    Figure::plain("rule_can_hurt", "can hurt", "somebody or something can be hurt where it fails", NAMED);
static NOTE: Figure = Figure::plain("note", "note", "what else has to be known", NAMED);
static REMEDY: Figure = Figure::plain("remedy", "remedy", "what to do", NAMED);

type OfRule = Column<Judged>;

/// What is told of a rule that was applied.
pub(crate) static RULE_COLUMNS: List<Judged> = List(&[
    OfRule::word(&VERDICT, |r| Some(r.verdict.word())),
    OfRule::text(&PART, |r| Some(r.part.clone())),
    OfRule::text(&RULE, |r| Some(r.kind.words().key.replace('_', " "))),
    OfRule::text(&HOLDS, |r| Some(r.kind.words().words.to_owned())).in_files(),
    OfRule::number_of(&FOUND, |r| Some((r.kind.words().quantity, r.found?))),
    OfRule::number_of(&LIMIT, |r| Some((r.kind.words().quantity, r.limit?))),
    OfRule::text(&BASIS, |r| Some(r.kind.words().basis.to_owned())).in_files(),
    OfRule::word(&GROUND, |r| Some(r.kind.words().ground.word())),
    OfRule::flag(&CAN_HURT, |r| Some(r.kind.words().can_hurt)).in_files(),
    OfRule::text(&NOTE, |r| Some(r.note.clone())).in_files(),
    OfRule::text(&REMEDY, |r| (r.verdict != Verdict::Passes).then(|| r.kind.words().remedy.to_owned()))
        .in_files(),
]);

static RULES: Sheet<WiringStudy, Judged> = Sheet {
    key: "rules",
    title: "Rules",
    form: Form::Table,
    columns: &[&RULE_COLUMNS],
    rows: |study, see| study.rules.iter().for_each(see),
    tone: |_, rule| rule.verdict.tone(),
};

impl Verdict {
    /// How a row that came out so stands out.
    #[must_use]
    pub fn tone(self) -> Tone {
        match self {
            Self::Fails => Tone::Binds,
            Self::CannotTell => Tone::Faint,
            Self::Passes => Tone::Plain,
        }
    }
}

static CABLE: Figure = Figure::plain("cable", "cable", "run of cable", NAMED);
static FROM: Figure = Figure::plain("from", "from", "where it begins", NAMED);
static TO: Figure = Figure::plain("to", "to", "where it ends", NAMED);
static SERVICE: Figure = Figure::plain("service", "for", "what it is for", NAMED);
static LENGTH: Figure = Figure::asked("length", "length", "length one way", Quantity::Length);
static APART: Figure = Figure::part(
    "apart",
    "apart",
    "straight between its ends, where it is told where both stand",
    Quantity::Length,
    "cable_loop",
);
static SIZE: Figure = Figure::plain("size", "size", "size as told", NAMED);
static NEEDED: Figure = Figure::plain(
    "needed_metric",
    "least",
    "smallest metric size that carries and does not lose too much",
    Origin::Of("cable_loop"),
);
static NEEDED_GAUGE: Figure = Figure::plain(
    "needed_gauge",
    "least",
    "smallest gauge that carries and does not lose too much",
    Origin::Of("cable_loop"),
);
static HOURS: Figure = Figure::part(
    "current_for_hours",
    "hours",
    "what it carries for hours, with one pack lost where that is more; one boat in ten passes it",
    Quantity::Current,
    "cable_loop",
);
static MINUTES: Figure = Figure::part(
    "current_for_minutes",
    "minutes",
    "what it carries for minutes, at the controller's limits",
    Quantity::Current,
    "cable_loop",
);
static ONE_LOST: Figure = Figure::part(
    "current_one_lost",
    "one lost",
    "what it carries for hours with one pack lost",
    Quantity::Current,
    "cable_loop",
);
static ALLOWED: Figure = Figure::part(
    "current_allowed",
    "may",
    "what it may carry for hours where it lies",
    Quantity::Current,
    "cable_loop",
);
static DROP: Figure =
    Figure::part("drop", "loses", "volts that it loses for hours", Quantity::Voltage, "cable_loop");
static HEAT: Figure = Figure::part("heat", "heat", "heat of it for hours", Quantity::Power, "cable_loop");

/// A run by value, since a sheet's rows hold nothing borrowed.
struct CableLine {
    cable: Cable,
    row: CableRow,
    apart_m: Option<f64>,
}

type OfCable = Column<CableLine>;

static CABLES: Sheet<WiringStudy, CableLine> = Sheet {
    key: "cables",
    title: "Runs of cable",
    form: Form::Table,
    columns: &[&List(&[
        OfCable::text(&CABLE, |c| Some(c.cable.name.clone())),
        OfCable::text(&FROM, |c| Some(c.cable.from.clone())).in_files(),
        OfCable::text(&TO, |c| Some(c.cable.to.clone())).in_files(),
        OfCable::word(&SERVICE, |c| Some(c.cable.service.word())).in_files(),
        OfCable::number(&LENGTH, |c| Some(c.cable.length_m)),
        OfCable::number(&APART, |c| c.apart_m).in_files(),
        OfCable::text(&SIZE, |c| Some(c.cable.size?.words())),
        OfCable::text(&NEEDED, |c| Some(c.row.needed[0]?.words())),
        OfCable::text(&NEEDED_GAUGE, |c| Some(c.row.needed[1]?.words())).in_files(),
        OfCable::number(&HOURS, |c| c.row.carried.worst_hours_a()),
        OfCable::number(&MINUTES, |c| c.row.carried.known_minutes_a()),
        OfCable::number(&ONE_LOST, |c| Some(c.row.carried.one_lost_a).filter(|lost| *lost > 0.0)).in_files(),
        OfCable::number(&ALLOWED, |c| c.row.allowed_a),
        OfCable::number(&DROP, |c| c.row.drop_v).unit("V").decimals(2),
        OfCable::number(&HEAT, |c| c.row.heat_w),
    ])],
    rows: |study, see| {
        for row in &study.cables {
            let cable = &study.wired.harness.cables[row.cable];
            let apart_m = study.wired.harness.apart_m(cable);
            see(&CableLine { cable: cable.clone(), row: row.clone(), apart_m });
        }
    },
    tone: |_, line| match line.row.allowed_a {
        Some(allowed) if line.row.carried.worst_hours_a().is_some_and(|worst| allowed < worst) => Tone::Binds,
        _ => Tone::Plain,
    },
};

static PLACE: Figure = Figure::plain("place", "place", "where", NAMED);
static GREATEST: Figure = Figure::part(
    "greatest",
    "greatest",
    "the greatest short circuit there",
    Quantity::Current,
    "greatest_fault",
);
static FEWER: Figure = Figure::part(
    "one_fewer",
    "one fewer",
    "the same with one pack fewer; at a pack's own terminals what the others give into it",
    Quantity::Current,
    "greatest_fault",
);
static LEAST: Figure =
    Figure::part("least", "least", "the least short circuit there", Quantity::Current, "least_fault");

type OfFault = Column<FaultAt>;

static FAULTS: Sheet<WiringStudy, FaultAt> = Sheet {
    key: "faults",
    title: "Short circuits",
    form: Form::Table,
    columns: &[&List(&[
        OfFault::text(&PLACE, |f| Some(f.place.clone())),
        OfFault::band(&GREATEST, |f| Some(f.greatest)),
        OfFault::band(&FEWER, |f| Some(f.one_fewer)).value_only(),
        OfFault::number(&LEAST, |f| Some(f.least_a)),
    ])],
    rows: |study, see| study.faults.iter().for_each(see),
    tone: plain,
};

static FUSE: Figure = Figure::plain("fuse", "fuse", "fuse", NAMED);
static CLASS: Figure = Figure::plain("class", "class", "its class", NAMED);
static RATING: Figure = Figure::asked("rating", "rating", "rated current", Quantity::Current);
static FACES: Figure = Figure::part(
    "faces",
    "faces",
    "the greatest that it must break: what all others give into a shorted pack, too",
    Quantity::Current,
    "greatest_fault",
);
static BREAKS: Figure = Figure::asked(
    "breaks",
    "breaks",
    "what it breaks by its sheet, else the least of its class",
    Quantity::Current,
);
static SEES: Figure = Figure::part(
    "sees_at_least",
    "at least",
    "the least that must still melt it",
    Quantity::Current,
    "least_fault",
);
static MELTS: Figure =
    Figure::asked("melting_current", "melts at", "current at which it melts in 5 s", Quantity::Current);

/// A fuse by value.
struct FuseLine {
    fuse: Fuse,
    row: FuseRow,
}

type OfFuse = Column<FuseLine>;

static FUSES: Sheet<WiringStudy, FuseLine> = Sheet {
    key: "fuses",
    title: "Fuses",
    form: Form::Table,
    columns: &[&List(&[
        OfFuse::text(&FUSE, |f| Some(f.fuse.name.clone())),
        OfFuse::word(&CLASS, |f| Some(f.fuse.class.word())),
        OfFuse::number(&RATING, |f| Some(f.fuse.rating_a)),
        OfFuse::band(&FACES, |f| Some(f.row.faces.greatest)).value_only(),
        OfFuse::number(&BREAKS, |f| f.fuse.breaks_a.or(f.fuse.class.usual().map(|(_, amperes)| amperes))),
        OfFuse::number(&SEES, |f| Some(f.row.faces.least_a)),
        OfFuse::number(&MELTS, |f| f.fuse.melting_current_a),
    ])],
    rows: |study, see| {
        for row in &study.fuses {
            see(&FuseLine { fuse: study.wired.harness.fuses[row.fuse].clone(), row: *row });
        }
    },
    tone: plain,
};

static DUTY: Figure = Figure::plain("duty", "lost", "what is lost", NAMED);
static PARTS: Figure = Figure::plain(
    "parts",
    "with",
    "with these parts",
    Origin::Because("each part and each pair is taken out of the network in turn"),
);

static LOST: Sheet<WiringStudy, Lost> = Sheet {
    key: "lost",
    title: "What is lost with what",
    form: Form::FileTable,
    columns: &[&List(&[
        Column::text(&DUTY, |l: &Lost| Some(l.duty.to_owned())),
        Column::texts(&PARTS, |l: &Lost| l.parts.clone()),
    ])],
    rows: |study, see| study.lost.iter().for_each(see),
    tone: plain,
};

static ROW_OF: Figure = Figure::plain("is_metric", "metric", "of the metric row, else of the gauge", NAMED);
static COUNT: Figure = Figure::plain("runs", "runs", "how many such runs", NAMED);
static TAKE: Figure =
    Figure::plain("proposed_size", "take", "smallest stock size that passes", Origin::Of("cable_loop"));
static TAKE_FUSE: Figure =
    Figure::part("proposed_rating", "fuse", "rating of its fuse", Quantity::Current, "cable_loop");
static TAKE_CLASS: Figure =
    Figure::plain("proposed_class", "class", "class of its fuse", Origin::Of("greatest_fault"));
static COST: Figure = Figure::plain(
    "cost",
    "cost",
    "cost of the conductors of all such runs, at the prices typed",
    Origin::Because("metres of conductor times the price of its size"),
);
static COPPER: Figure =
    Figure::part("copper", "copper", "copper of all such runs", Quantity::Mass, "cable_loop");

type OfProposed = Column<Proposed>;

static PROPOSED: Sheet<WiringStudy, Proposed> = Sheet {
    key: "proposed",
    title: "What would pass",
    form: Form::Table,
    columns: &[&List(&[
        OfProposed::text(&CABLE, |p| Some(p.cable.clone())),
        OfProposed::count(&COUNT, |p| Some(p.count as u64)),
        OfProposed::flag(&ROW_OF, |p| Some(p.is_metric)).in_files(),
        OfProposed::text(&TAKE, |p| Some(p.size?.words())),
        OfProposed::number(&TAKE_FUSE, |p| p.rating_a),
        OfProposed::word(&TAKE_CLASS, |p| Some(p.class?.word())),
        OfProposed::number(&FACES, |p| p.faces_a),
        OfProposed::number(&COPPER, |p| Some(p.mass_kg)),
        OfProposed::number(&HEAT, |p| Some(p.heat_w)),
        OfProposed::number(&COST, |p| p.cost).decimals(2),
    ])],
    rows: |study, see| study.proposed.iter().for_each(see),
    tone: |_, row| if row.size.is_none() { Tone::Binds } else { Tone::Plain },
};

static NUMBER: Figure = Figure::plain("number", "no.", "number on both ends", NAMED);
static LUGS: Figure = Figure::plain(
    "lugs",
    "lugs",
    "lugs of each run at its beginning and at its end, with their studs",
    NAMED,
);
static COLOUR: Figure = Figure::plain("colour", "colour", "colour of its conductors (from memory)", NAMED);
static LABEL: Figure = Figure::plain("label", "label", "what its label says", NAMED);
static FUSED_BY: Figure = Figure::plain("fused_by", "fuse", "its fuse", NAMED);

/// A conductor run in the boatyard's list.
struct ScheduleLine {
    number: usize,
    cable: Cable,
    packs: usize,
    fuse: Option<Fuse>,
}

type OfLine = Column<ScheduleLine>;

static SCHEDULE: Sheet<WiringStudy, ScheduleLine> = Sheet {
    key: "schedule",
    title: "Cable schedule for the boatyard",
    form: Form::FileTable,
    columns: &[&List(&[
        OfLine::count(&NUMBER, |l| Some(l.number as u64)),
        OfLine::text(&CABLE, |l| Some(l.cable.name.clone())),
        OfLine::count(&COUNT, |l| Some(l.packs as u64)),
        OfLine::text(&FROM, |l| Some(l.cable.from.clone())),
        OfLine::text(&TO, |l| Some(l.cable.to.clone())),
        OfLine::text(&SIZE, |l| Some(l.cable.size?.words())),
        OfLine::number(&LENGTH, |l| Some(l.cable.length_m)),
        OfLine::text(&LUGS, |l| Some(l.lugs())),
        OfLine::text(&COLOUR, |l| {
            Some(
                if l.conductors() == 3 { "phases marked 1, 2, 3" } else { "red; black or yellow" }.to_owned(),
            )
        }),
        OfLine::text(&FUSED_BY, |l| {
            l.fuse.as_ref().map(|fuse| format!("{}, {:.0} A", fuse.name, fuse.rating_a))
        }),
        OfLine::text(&LABEL, |l| Some(format!("{} {} to {}", l.number, l.cable.from, l.cable.to))),
    ])],
    rows: |study, see| {
        let harness = &study.wired.harness;
        for (place, cable) in harness.cables.iter().enumerate() {
            let packs = if cable.from == super::harness::PACK { study.wired.packs_ohm.len() } else { 1 };
            let fuse = harness.fuses_of(place).next().cloned();
            see(&ScheduleLine { number: place + 1, cable: cable.clone(), packs, fuse });
        }
    },
    tone: plain,
};

impl ScheduleLine {
    /// `2 x 70 mm2 M8, 2 x 70 mm2 M10`: those of its beginning and of its end.
    fn lugs(&self) -> String {
        let (count, size) =
            (self.conductors(), self.cable.size.map_or_else(String::new, |size| size.words()));
        let lug = |stud: &str| format!("{count} x {size} {stud}").replace("  ", " ");
        let [from, to] = self.cable.studs.unwrap_or(["(stud not told)"; 2]);
        format!("{}, {}", lug(from), lug(to))
    }

    /// Conductors of the run: two, of motor leads three.
    fn conductors(&self) -> usize {
        if self.cable.service == super::harness::Service::Phase { 3 } else { 2 }
    }
}

static TIME: Figure =
    Figure::part("time", "time", "since the protection opened", Quantity::Instant, "load_dump_time");
static BUS_V: Figure =
    Figure::part("bus_volts", "bus", "volts of the bus", Quantity::Voltage, "load_dump_time");

static BUS: Sheet<WiringStudy, BusMoment> = Sheet {
    key: "load_dump",
    title: "Volts when the protection opens while the controller brakes",
    form: Form::FileTable,
    columns: &[&List(&[
        Column::number(&TIME, |m: &BusMoment| Some(m.time_s)),
        Column::number(&BUS_V, |m: &BusMoment| Some(m.bus_v)),
    ])],
    // The steps are a thousandth of the rise; files take one in fifty and the last.
    rows: |study, see| {
        let moments = &study.dump.braking.moments;
        let last = moments.len().saturating_sub(1);
        moments
            .iter()
            .enumerate()
            .filter(|(k, _)| k % 50 == 0 || *k == last)
            .for_each(|(_, moment)| see(moment));
    },
    tone: plain,
};

impl FuseClass {
    /// For files and reading.
    #[must_use]
    pub fn word(self) -> Word {
        let (key, words) = match self {
            Self::Blade => ("blade", "blade"),
            Self::Midi => ("midi", "small bolt-down"),
            Self::Mega => ("mega", "large bolt-down"),
            Self::Anl => ("anl", "strip"),
            Self::Terminal => ("terminal", "on the stud"),
            Self::T => ("class_t", "class T"),
            Self::KnifeBlade => ("knife_blade", "gG knife blade"),
            Self::Semiconductor => ("semiconductor", "semiconductor"),
            Self::Vehicle => ("vehicle", "vehicle bolt-down"),
            Self::Breaker => ("breaker", "breaker"),
        };
        Word { key, words }
    }
}
