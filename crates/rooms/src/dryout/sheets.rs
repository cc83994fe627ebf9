//! Figures of a dry-out: every tide on which she takes the ground, and the ways off of those to choose.

use wakewright_core::drying_out::{Moment, Visit, WayOff};
use wakewright_core::sheet::{
    AnySheet, Column, Figure, Form, Interval, List, Origin, Sheet, Tone, itself, plain,
};
use wakewright_units::Quantity;

use super::Found;

struct TideRow {
    day: String,
    touches: String,
    dry: String,
    wet: String,
    floats: String,
    utc: [Option<String>; 4],
    dry_s: f64,
    work_s: f64,
    on_m: f64,
    off_m: Option<f64>,
    floats_share: Option<f64>,
    is_chosen: bool,
}

struct WayRow {
    tide: String,
    high: String,
    utc: String,
    way: WayOff,
    level: Interval,
    is_first: bool,
}

static FLOATS_SHARE: Figure = Figure {
    key: "floats_share",
    head: "floats",
    label: "probability that she floats at the first water after the work",
    quantity: Quantity::Share,
    origin: FORMULA,
};
const FORMULA: Origin = Origin::Formula {
    formula: "P = Phi((HW - ground - draught)/s); by then: 1 - P(none before), one error of the level at every water and weather \
              that lasts",
    sources: &[],
    inputs: &[wakewright_core::field::hull::DRAUGHT],
    validity: "errors normal; weather first-order over 36 h (from memory), 0.15 m (common practice, no source); ground and draught \
               as typed",
};
/// Probability at the first water of the tide that is advised.
static FIRST: Figure = Figure {
    key: "floats_off_share",
    head: "floats off",
    label: "probability that she floats off at the first water, on the tide that is advised",
    quantity: Quantity::Share,
    origin: FORMULA,
};
const fn part(key: &'static str, head: &'static str, label: &'static str, quantity: Quantity) -> Figure {
    Figure::part(key, head, label, quantity, "floats_off_share")
}
const fn words(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::plain(key, head, label, Origin::Of("floats_off_share"))
}
static DAY: Figure = words("low_water", "tide", "low water, in the time of the place");
static TOUCHES: Figure = words("touches", "touches", "she touches, with half the 80 % band in minutes");
static DRY: Figure = words("dry", "dry", "the water leaves the work");
static WET: Figure = words("wet", "wet", "it is back there");
static AFLOAT: Figure = words("afloat", "afloat", "she floats");
static TOUCHES_UTC: Figure = words("touches_utc", "touches", "she touches, in universal time");
static DRY_UTC: Figure = words("dry_utc", "dry", "the water leaves the work, in universal time");
static WET_UTC: Figure = words("wet_utc", "wet", "it is back there, in universal time");
static AFLOAT_UTC: Figure = words("afloat_utc", "afloat", "she floats, in universal time");
static DRY_HOURS: Figure = part("dry_time", "dry", "dry at the work", Quantity::Duration);
static WORK_HOURS: Figure = part("work_time", "to work", "dry while work may be done", Quantity::Duration);
static ON_SPARE: Figure = part("spare_on", "on", "water to spare on the way on", Quantity::Length);
static OFF_SPARE: Figure =
    part("spare_off", "off", "water to spare at the first water after the work", Quantity::Length);
static TIDE: Figure = words("tide", "tide", "the tide that is chosen, by its low water");
static HIGH: Figure =
    words("high_water", "high water", "high water after the work, in the time of the place");
static HIGH_UTC: Figure = words("high_water_utc", "UTC", "high water after the work, in universal time");
static HIGH_LEVEL: Figure = part("high_level", "level", "its height above the datum", Quantity::Length);
static SPARE: Figure = part("spare", "spare", "water to spare", Quantity::Length);
static FLOATS_THEN: Figure =
    part("floats_then_share", "then", "probability that she floats at that water", Quantity::Share);
static BY_THEN: Figure =
    part("floats_by_then_share", "by then", "probability that she has floated by then", Quantity::Share);
static FLOATS_AT: Figure =
    part("floats_at", "floats at", "level of the water at which she floats", Quantity::Length);
static GROUND: Figure =
    part("ground", "ground", "the ground above the datum, sinking taken off", Quantity::Length);
static DRAUGHT: Figure = part("draught_then", "draught", "her draught", Quantity::Length);
static WORK_AT: Figure = part("work_at", "work", "level at which the work is dry", Quantity::Length);

type OfTide = Column<TideRow>;
type OfWay = Column<WayRow>;
type OfAll = Column<Found>;

/// Every sheet.
pub static SHEETS: [&dyn AnySheet<Found>; 3] = [&WAYS, &TIDES, &FIGURES];

static FIGURES: Sheet<Found, Found> = Sheet {
    key: "figures",
    title: "Levels",
    form: Form::List,
    columns: &[&List(&[
        OfAll::number(&FIRST, |found| Some(found.advised()?.first_off())),
        OfAll::band(&FLOATS_AT, |found| {
            Some(around(found.case.berth.floats_at_m(), found.case.error.whole_sd_m()))
        }),
        OfAll::band(&GROUND, |found| Some(within(found.case.ground_m))),
        OfAll::band(&DRAUGHT, |found| Some(within(found.case.draught_m))),
        OfAll::number(&WORK_AT, |found| Some(found.case.berth.ground_m + found.case.berth.work_above_keel_m)),
    ])],
    rows: itself,
    tone: plain,
};

static TIDES: Sheet<Found, TideRow> = Sheet {
    key: "tides",
    title: "Every tide on which she takes the ground",
    form: Form::Table,
    columns: &[&List(&[
        OfTide::text(&DAY, |row| Some(row.day.clone())),
        OfTide::text(&TOUCHES, |row| Some(row.touches.clone())),
        OfTide::text(&DRY, |row| Some(row.dry.clone())),
        OfTide::text(&WET, |row| Some(row.wet.clone())),
        OfTide::text(&AFLOAT, |row| Some(row.floats.clone())),
        OfTide::text(&TOUCHES_UTC, |row| row.utc[0].clone()).in_files(),
        OfTide::text(&DRY_UTC, |row| row.utc[1].clone()).in_files(),
        OfTide::text(&WET_UTC, |row| row.utc[2].clone()).in_files(),
        OfTide::text(&AFLOAT_UTC, |row| row.utc[3].clone()).in_files(),
        OfTide::number(&DRY_HOURS, |row| Some(row.dry_s)).in_files(),
        OfTide::number(&WORK_HOURS, |row| Some(row.work_s)).decimals(1),
        OfTide::number(&ON_SPARE, |row| Some(row.on_m)).in_files(),
        OfTide::number(&OFF_SPARE, |row| row.off_m).in_files(),
        OfTide::number(&FLOATS_SHARE, |row| row.floats_share),
    ])],
    rows: |found, see| {
        for (place, visit) in found.visits.iter().enumerate() {
            see(&tide_row(found, visit, found.chosen.contains(&place)));
        }
    },
    tone: |_, row| if row.is_chosen { Tone::Strong } else { Tone::Plain },
};

static WAYS: Sheet<Found, WayRow> = Sheet {
    key: "ways_off",
    title: "The next four high waters, tide by tide",
    form: Form::Table,
    columns: &[&List(&[
        OfWay::text(&TIDE, |row| Some(row.tide.clone())),
        OfWay::text(&HIGH, |row| Some(row.high.clone())),
        OfWay::text(&HIGH_UTC, |row| Some(row.utc.clone())).in_files(),
        OfWay::band(&HIGH_LEVEL, |row| Some(row.level)).decimals(2).value_only(),
        OfWay::number(&SPARE, |row| Some(row.way.spare_m)).decimals(2),
        OfWay::number(&FLOATS_THEN, |row| Some(row.way.floats)),
        OfWay::number(&BY_THEN, |row| Some(row.way.by_then)),
    ])],
    rows: |found, see| {
        for visit in found.chosen.iter().filter_map(|place| found.visits.get(*place)) {
            for (place, way) in visit.ways_off.iter().enumerate() {
                let at = found.known.local(way.high.unix_s);
                see(&WayRow {
                    tide: if place == 0 { found.named(visit) } else { String::new() },
                    high: at.strftime("%a %d %b %H:%M").to_string(),
                    utc: at.timestamp().strftime("%Y-%m-%dT%H:%MZ").to_string(),
                    way: *way,
                    level: around(way.high.height_m, found.known.level.sd_m()),
                    is_first: place == 0,
                });
            }
        }
    },
    tone: |_, row| if row.is_first { Tone::Strong } else { Tone::Plain },
};

fn around(value: f64, sd: f64) -> Interval {
    within((value, crate::tide::BAND_DEVIATE * sd))
}

fn within((value, half): (f64, f64)) -> Interval {
    Interval { value, p10: value - half, p90: value + half }
}

fn tide_row(found: &Found, visit: &Visit, is_chosen: bool) -> TideRow {
    let standing = &visit.standing;
    let told = |moment: &Moment| found.short(visit, moment);
    let utc = |moment: &Moment| {
        let at = found.known.local(moment.median_s?);
        Some(at.timestamp().strftime("%Y-%m-%dT%H:%MZ").to_string())
    };
    let [touches, dry, wet, floats] = [&standing.touches, &standing.dry, &standing.wet, &standing.floats];
    TideRow {
        day: found.known.local(standing.low.unix_s).strftime("%a %d %b").to_string(),
        touches: told(touches),
        dry: told(dry),
        wet: told(wet),
        floats: told(floats),
        utc: [touches, dry, wet, floats].map(utc),
        dry_s: visit.dry_s,
        work_s: visit.work_s,
        on_m: visit.on_spare_m,
        off_m: visit.ways_off.first().map(|way| way.spare_m),
        floats_share: visit.ways_off.first().map(|way| way.floats),
        is_chosen,
    }
}
