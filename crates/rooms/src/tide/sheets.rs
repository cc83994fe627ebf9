//! Figures of the tide: high and low waters, heights hour by hour.

use wakewright_core::sheet::{
    AnySheet, Column, Figure, Form, Interval, List, Origin, Sheet, Tone, Word, plain,
};
use wakewright_core::tide::Water;
use wakewright_units::Quantity;

use super::Found;

/// Standard deviates of the ends of an 80 % band.
pub const BAND_DEVIATE: f64 = 1.2816;

struct WaterRow {
    local: String,
    utc: String,
    within_s: f64,
    height: Interval,
    is_high: bool,
}

struct EventRow {
    local: String,
    utc: String,
    within_s: f64,
    kind: (&'static str, &'static str),
    rate: Option<Interval>,
    sets_rad: Option<f64>,
}

struct HourRow {
    local: String,
    height: Interval,
}

static WHEN: Figure =
    Figure::plain("local", "when", "when, in the time of the place", Origin::Of("tide_range"));
static UTC: Figure = Figure::plain("utc", "UTC", "when, in universal time", Origin::Of("tide_range"));
static KIND: Figure = Figure::plain("kind", "water", "high or low water", Origin::Of("tide_range"));
static WITHIN: Figure = Figure::part(
    "within",
    "within",
    "half the 80 % band of the time, weather apart",
    Quantity::ShortDuration,
    "range",
);
static HEIGHT: Figure = Figure::part(
    "height",
    "height",
    "height of the tide above the datum, with what weather may make of it",
    Quantity::Length,
    "range",
);
/// The greatest range from one water to the next.
pub static RANGE: Figure = Figure {
    key: "tide_range",
    head: "range",
    label: "largest range of these days",
    quantity: Quantity::Length,
    origin: Origin::Formula {
        formula: "HW - LW; by constants h = Z0 + sum f A cos(V + u - g)",
        sources: &["schureman1958", "iho2017", "noaa_tides", "ticon2025", "kartverket_tides"],
        inputs: &[],
        validity: "1900 to 2100; 9 mm and 1.4 min at official US stations; stations of other countries were not held against \
                   official tables; between typed waters by a cosine within an hour; weather 0.15 m and the mean 0.1 m (one \
                   sigma, common practice and own estimate, no source)",
    },
};
static SPRINGS: Figure = Figure::part(
    "largest_range",
    "largest range",
    "largest range within a fortnight",
    Quantity::Length,
    "range",
);
static NEAPS: Figure = Figure::part(
    "smallest_range",
    "smallest range",
    "smallest range within a fortnight",
    Quantity::Length,
    "range",
);

static EVENT: Figure = Figure::plain(
    "event",
    "stream",
    "slack, or the greatest rate of flood or ebb",
    Origin::Of("rate_of_stream"),
);
static RATE: Figure = Figure {
    key: "rate_of_stream",
    head: "rate",
    label: "greatest rate of flood or ebb",
    quantity: Quantity::Speed,
    origin: Origin::Formula {
        formula: "v = v0 + sum f A cos(V + u - g) along the axis of flood and ebb; greatest between two slacks",
        sources: &["schureman1958", "noaa_tides"],
        inputs: &[],
        validity: "US stations, at the depth of the record, which hardly any names: 0.05 kn and 4 min at those held against official \
                   figures; 0.07 kn and 40 min where the depth is not told",
    },
};
static SETS: Figure = Figure::part(
    "stream_sets",
    "sets to",
    "direction towards which it sets, true",
    Quantity::Angle,
    "rate_of_stream",
);

type OfWater = Column<WaterRow>;
type OfEvent = Column<EventRow>;
type OfHour = Column<HourRow>;
type OfAll = Column<Found>;

/// Every sheet.
pub static SHEETS: [&dyn AnySheet<Found>; 4] = [&WATERS, &HOURS, &EVENTS, &FIGURES];

static FIGURES: Sheet<Found, Found> = Sheet {
    key: "figures",
    title: "Greatest and least",
    form: Form::List,
    columns: &[&List(&[
        OfAll::number(&RANGE, |found| found.range_m()),
        OfAll::number(&SPRINGS, |found| found.ranges_m.map(|ranges| ranges.1)),
        OfAll::number(&NEAPS, |found| found.ranges_m.map(|ranges| ranges.0)),
        OfAll::number(&RATE, |found| {
            let events = found.stream.as_ref()?.events.iter().map(|event| event.rate_m_s.abs());
            events.max_by(f64::total_cmp)
        }),
    ])],
    rows: wakewright_core::sheet::itself,
    tone: plain,
};

static WATERS: Sheet<Found, WaterRow> = Sheet {
    key: "waters",
    title: "High and low waters",
    form: Form::Table,
    columns: &[&List(&[
        OfWater::text(&WHEN, |row| Some(row.local.clone())),
        OfWater::text(&UTC, |row| Some(row.utc.clone())).in_files(),
        OfWater::word(&KIND, |row| {
            let (key, words) = if row.is_high { ("high", "high") } else { ("low", "low") };
            Some(Word { key, words })
        }),
        OfWater::band(&HEIGHT, |row| Some(row.height)).decimals(2),
        OfWater::number(&WITHIN, |row| Some(row.within_s)).in_files(),
    ])],
    rows: |found, see| {
        for Water { unix_s, height_m, is_high } in found.known.asked_waters() {
            let at = found.known.local(*unix_s);
            see(&WaterRow {
                local: at.strftime("%a %d %b %H:%M %Z").to_string(),
                utc: at.timestamp().strftime("%Y-%m-%dT%H:%MZ").to_string(),
                within_s: found.known.water_s,
                height: found.with_weather(*height_m),
                is_high: *is_high,
            });
        }
    },
    tone: |_, row| if row.is_high { Tone::Strong } else { Tone::Plain },
};

static EVENTS: Sheet<Found, EventRow> = Sheet {
    key: "events",
    title: "Slacks and greatest rates",
    form: Form::Table,
    columns: &[&List(&[
        OfEvent::text(&WHEN, |row| Some(row.local.clone())),
        OfEvent::text(&UTC, |row| Some(row.utc.clone())).in_files(),
        OfEvent::word(&EVENT, |row| Some(Word { key: row.kind.0, words: row.kind.1 })),
        OfEvent::band(&RATE, |row| row.rate).decimals(1),
        OfEvent::number(&SETS, |row| row.sets_rad).decimals(0),
        OfEvent::number(&WITHIN, |row| Some(row.within_s)).in_files(),
    ])],
    rows: |found, see| {
        let Some(stream) = &found.stream else { return };
        for (place, event) in stream.events.iter().enumerate() {
            let at = found.known.local(event.unix_s);
            see(&EventRow {
                local: at.strftime("%a %d %b %H:%M %Z").to_string(),
                utc: at.timestamp().strftime("%Y-%m-%dT%H:%MZ").to_string(),
                within_s: found.known.water_s,
                kind: stream.kind(place),
                rate: (event.rate_m_s != 0.0).then(|| stream.band(event.rate_m_s)),
                sets_rad: stream.sets_rad(event.rate_m_s),
            });
        }
    },
    tone: |_, row| if row.rate.is_some() { Tone::Strong } else { Tone::Plain },
};

static HOURS: Sheet<Found, HourRow> = Sheet {
    key: "hours",
    title: "Hour by hour",
    form: Form::FileTable,
    columns: &[&List(&[
        OfHour::text(&WHEN, |row| Some(row.local.clone())),
        OfHour::band(&HEIGHT, |row| Some(row.height)).decimals(2),
    ])],
    rows: |found, see| {
        for (unix_s, height_m) in found.whole_hours() {
            let local = found.known.local(unix_s).strftime("%a %d %b %H:%M").to_string();
            see(&HourRow { local, height: found.with_weather(height_m) });
        }
    },
    tone: plain,
};
