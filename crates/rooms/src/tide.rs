//! The tide at a place: high and low waters of some days in the place's own time, heights over the hours.
//! Not for: how it is computed (`wakewright_core::tide`), streams, depths.

use std::io::Read;
use std::sync::OnceLock;

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan, Zoned};
use wakewright_core::caution;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{
    AnySheet, Column, Figure, Filled, Form, Interval, List, Origin, Sheet, Tone, Word, plain,
};
use wakewright_core::tide::set::Tide as Reckoned;
use wakewright_core::tide::{Kind, Set, Station, Water, height_between_m};
use wakewright_picture::{Axis, Lane, LaneMarks, Strip};
use wakewright_units::Quantity;

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Reply, Room, SAMPLES, read_date};
use crate::text::{Finding, Paper};
use crate::whatif::Slider;

/// The room.
#[derive(Debug)]
pub struct Tide;

static CARD: Card = Card {
    key: "tide",
    title: "Tide",
    about: "High and low waters at a place, heights over the hours",
    examples: &["\"Saint Malo\"", "Boston --day 2026-10-02 --days 7"],
    pictures: &[("tide", "The height of the tide over the hours")],
    demo: "when is high water?",
    samples: SAMPLES,
};

static QUESTIONS: [Question; 3] = [
    Question {
        key: "place",
        value_name: Some("PLACE"),
        help: "A station of the built-in set by name, or by its key",
        read: |text| Ok(Reply::Text(text.trim().to_owned())),
    },
    Question {
        key: "day",
        value_name: Some("YYYY-MM-DD"),
        help: "First day; today when left out",
        read: read_date,
    },
    Question {
        key: "days",
        value_name: Some("DAYS"),
        help: "How many days, 1 to 60; 3 when left out",
        read: |text| match text.trim().parse() {
            Ok(days @ 1..=60) => Ok(Reply::Whole(days)),
            _ => Err("give a whole number of days from 1 to 60".to_owned()),
        },
    },
];

/// The weather that no table has, as one standard deviation \[m\]. Common practice, no source.
const WEATHER_SD_M: f64 = 0.15;
const BAND_DEVIATE: f64 = 1.2816;
const HOUR_S: f64 = 3600.0;
/// Minutes by which nine waters in ten lie from the official ones, weather apart.
const OWN_MINUTES: u32 = 3;
const FOLLOWING_MINUTES: u32 = 10;

static STATIONS: &[u8] = include_bytes!("../data/tide/stations.tsv.gz");

/// The built-in set.
fn stations() -> Result<&'static Set<'static>, NoAnswer> {
    static SET: OnceLock<Result<Set<'static>, String>> = OnceLock::new();
    let set = SET.get_or_init(|| {
        let mut text = String::new();
        let read = flate2::read::GzDecoder::new(STATIONS).read_to_string(&mut text);
        read.map_err(|error| format!("the built-in tide set cannot be unpacked: {error}"))?;
        Set::parse(String::leak(text)).map_err(|error| error.to_string())
    });
    set.as_ref().map_err(|error| NoAnswer::input(error.clone()))
}

/// What was found.
#[derive(Debug)]
pub struct Found {
    station: &'static Station<'static>,
    follows: Option<&'static str>,
    left_out_m: f64,
    zone: TimeZone,
    first: Zoned,
    waters: Vec<Water>,
    heights: Vec<(f64, f64)>,
    /// Smallest and largest range from high to low water within fifteen days.
    ranges_m: (f64, f64),
    notices: Vec<Notice>,
}

struct WaterRow {
    local: String,
    utc: String,
    water: Water,
}

struct HourRow {
    local: String,
    height_m: f64,
}

impl Found {
    fn local(&self, unix_s: f64) -> Zoned {
        let second = Timestamp::from_second(unix_s.round() as i64).unwrap_or_default();
        second.to_zoned(self.zone.clone())
    }

    fn minutes(&self) -> u32 {
        if self.follows.is_some() { FOLLOWING_MINUTES } else { OWN_MINUTES }
    }

    /// The water of that kind that comes next from the first instant on.
    fn next(&self, is_high: bool) -> Option<&Water> {
        self.waters.iter().find(|water| water.is_high == is_high)
    }
}

static WHEN: Figure = Figure::plain("local", "when", "when, in the time of the place", Origin::Of("height"));
static UTC: Figure = Figure::plain("utc", "UTC", "when, in universal time", Origin::Of("height"));
static KIND: Figure = Figure::plain("kind", "water", "high or low water", Origin::Of("height"));
static HEIGHT: Figure = Figure {
    key: "height",
    head: "height",
    label: "height of the tide above the datum, with what weather may make of it",
    quantity: Quantity::Length,
    origin: Origin::Formula {
        formula: "h = Z0 + sum f A cos(V + u - g)",
        sources: &["schureman1958", "iho2017", "noaa_tides", "ticon2025", "kartverket_tides"],
        inputs: &[],
        validity: "1900 to 2100; 9 mm and 1.4 min at official US stations, European stations not checked; weather 0.15 m (one \
                   sigma, common practice, no source)",
    },
};
static HOUR_HEIGHT: Figure = Figure {
    key: "height_then",
    head: "height",
    label: "height of the tide above the datum at that hour",
    quantity: Quantity::Length,
    origin: Origin::Of("height"),
};

type OfWater = Column<WaterRow>;
type OfHour = Column<HourRow>;

static WATERS: Sheet<Found, WaterRow> = Sheet {
    key: "waters",
    title: "High and low waters",
    form: Form::Table,
    columns: &[&List(&[
        OfWater::text(&WHEN, |row| Some(row.local.clone())),
        OfWater::text(&UTC, |row| Some(row.utc.clone())).in_files(),
        OfWater::word(&KIND, |row| {
            let (key, words) = if row.water.is_high { ("high", "high") } else { ("low", "low") };
            Some(Word { key, words })
        }),
        OfWater::band(&HEIGHT, |row| Some(with_weather(row.water.height_m))),
    ])],
    rows: |found, see| {
        for water in &found.waters {
            let at = found.local(water.unix_s);
            see(&WaterRow {
                local: at.strftime("%a %d %b %H:%M %Z").to_string(),
                utc: at.timestamp().strftime("%Y-%m-%dT%H:%MZ").to_string(),
                water: *water,
            });
        }
    },
    tone: |_, row| if row.water.is_high { Tone::Strong } else { Tone::Plain },
};

static HOURS: Sheet<Found, HourRow> = Sheet {
    key: "hours",
    title: "Hour by hour",
    form: Form::Table,
    columns: &[&List(&[
        OfHour::text(&WHEN, |row| Some(row.local.clone())),
        OfHour::number(&HOUR_HEIGHT, |row| Some(row.height_m)),
    ])],
    rows: |found, see| {
        for (unix_s, height_m) in found.heights.iter().filter(|(at, _)| at.rem_euclid(HOUR_S) < 1.0) {
            let local = found.local(*unix_s).strftime("%a %d %b %H:%M").to_string();
            see(&HourRow { local, height_m: *height_m });
        }
    },
    tone: plain,
};

fn with_weather(height_m: f64) -> Interval {
    let off_m = BAND_DEVIATE * WEATHER_SD_M;
    Interval { value: height_m, p10: height_m - off_m, p90: height_m + off_m }
}

/// The station asked for, or which names come near.
fn station_named(set: &'static Set<'static>, name: &str) -> Result<&'static Station<'static>, NoAnswer> {
    let found = set.by_name(name, 6);
    let told = |(_, station): &(usize, &Station<'_>)| {
        format!("{} ({}, {})", station.name, station.country, station.id)
    };
    match found.as_slice() {
        [] => Err(NoAnswer::input("give the name of a place: tide \"Saint Malo\"")),
        [(rank, station)] if *rank < 10 => Ok(station),
        [(0, station), (next, _), ..] if *next > 0 => Ok(station),
        [(rank, _), ..] if *rank >= 10 => Err(NoAnswer::input(format!(
            "no station of the built-in set is called {name}; names like it: {}",
            found.iter().map(told).collect::<Vec<_>>().join("; ")
        ))),
        all => Err(NoAnswer::input(format!(
            "{name} may be one of these; give the key in the brackets: {}",
            all.iter().map(told).collect::<Vec<_>>().join("; ")
        ))),
    }
}

/// Heights every ten minutes: by the constants, or at a place that follows another by a cosine between its waters.
fn heights(tide: &Reckoned, waters: &[Water], from_s: f64, to_s: f64) -> Result<Vec<(f64, f64)>, NoAnswer> {
    const STEP_S: f64 = 600.0;
    if tide.offsets.is_none() {
        return tide.port.heights(from_s, to_s, STEP_S).map_err(|error| NoAnswer::input(error.to_string()));
    }
    let steps = ((to_s - from_s) / STEP_S).round() as usize;
    let of = |step: usize| {
        let at = from_s + step as f64 * STEP_S;
        let next = waters.partition_point(|water| water.unix_s <= at);
        let (before, after) = (waters.get(next.checked_sub(1)?)?, waters.get(next)?);
        Some((at, height_between_m(before, after, at)))
    };
    Ok((0..=steps).filter_map(of).collect())
}

impl Room for Tide {
    type Found = Found;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn is_of_place(&self) -> bool {
        true
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Found, NoAnswer> {
        let input = |error: &dyn std::fmt::Display| NoAnswer::input(error.to_string());
        let set = stations()?;
        let station = station_named(set, asked.replies.text("place").unwrap_or_default())?;
        let zone = TimeZone::get(station.zone).map_err(|_| {
            NoAnswer::input(format!("the time zone {} of {} is not known here", station.zone, station.name))
        })?;
        let day: Date =
            asked.replies.day("day").unwrap_or_else(|| Timestamp::now().to_zoned(zone.clone()).date());
        let days = i64::from(asked.replies.whole("days").unwrap_or(3));
        let first = day.to_zoned(zone.clone()).map_err(|error| input(&error))?;
        let last = first.checked_add(days.days()).map_err(|error| input(&error))?;
        let (from_s, to_s) = (first.timestamp().as_second() as f64, last.timestamp().as_second() as f64);
        let tide = set.tide(station).map_err(|error| input(&error))?;
        const AROUND_S: f64 = 15.0 * 86_400.0;
        let around = tide.waters(from_s - AROUND_S, to_s + AROUND_S).map_err(|error| input(&error))?;
        let ranges_m = around.windows(2).map(|two| (two[0].height_m - two[1].height_m).abs());
        let ranges_m = ranges_m
            .fold((f64::INFINITY, 0.0_f64), |(least, most), range| (least.min(range), most.max(range)));
        let mut notices = vec![caution::OFFICIAL_TIDE_TABLES];
        if !station.has_official_datum() {
            notices.push(caution::DATUM_OF_CONSTANTS);
        }
        Ok(Found {
            station,
            follows: station.offsets().map(|(reference, _)| reference),
            left_out_m: tide.left_out_m,
            heights: heights(&tide, &around, from_s, to_s)?,
            waters: around.into_iter().filter(|water| (from_s..to_s).contains(&water.unix_s)).collect(),
            zone,
            first,
            ranges_m,
            notices,
        })
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Found>] {
        static SHEETS: [&dyn AnySheet<Found>; 2] = [&WATERS, &HOURS];
        &SHEETS
    }

    fn finding(&self, _: &Asked<'_>, found: &Found, paper: &Paper) -> Finding {
        let told = |is_high: bool| {
            let water = found.next(is_high)?;
            let word = if is_high { "high" } else { "low" };
            let at = found.local(water.unix_s).strftime("%H:%M").to_string();
            let height = paper.decimals(water.height_m, Quantity::Length, 2);
            Some((water.unix_s, format!("{word} water at {at} with {height}")))
        };
        let mut both: Vec<(f64, String)> = [told(true), told(false)].into_iter().flatten().collect();
        both.sort_by(|a, b| a.0.total_cmp(&b.0));
        let both: Vec<String> = both.into_iter().map(|(_, words)| words).collect();
        let day = found.first.strftime("%A %d %B %Y");
        let zone = found.first.strftime("%Z");
        let mut sentence = format!(
            "{}, {day}: {} above {} ({zone}).",
            found.station.name,
            both.join(", "),
            found.station.datum
        );
        if both.is_empty() {
            sentence = format!("{}, {day}: no high or low water falls on these days.", found.station.name);
        }
        let known = match found.follows {
            Some(reference) => {
                let port = stations().ok().and_then(|set| set.by_id(reference));
                format!(
                    "Known from the waters of {} by differences",
                    port.map_or(reference, |port| port.name)
                )
            }
            None => "Reckoned from harmonic constants".to_owned(),
        };
        let weather = paper.decimals(BAND_DEVIATE * WEATHER_SD_M, Quantity::Length, 2);
        let most = found.waters.windows(2).map(|two| (two[0].height_m - two[1].height_m).abs());
        let most = most.fold(0.0, f64::max);
        let left_out = if found.left_out_m > 0.02 {
            let metres = paper.decimals(found.left_out_m, Quantity::Length, 2);
            format!(" Constants of doubtful meaning, {metres} together, are left out.")
        } else {
            String::new()
        };
        let length = |metres: f64| paper.decimals(metres, Quantity::Length, 1);
        Finding {
            figure: both.first().cloned().unwrap_or_default(),
            further: format!(
                "The largest range of these days is {}; within a fortnight ranges go from {} to {}. {known}, within \
                 about {} minutes; weather may make {weather} more or less of it in eight cases of ten.{left_out}",
                length(most),
                length(found.ranges_m.0),
                length(found.ranges_m.1),
                found.minutes(),
            ),
            sentence,
            ..Finding::default()
        }
    }

    fn blocks(&self, _: &Asked<'_>, found: &Found, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let from_s = found.first.timestamp().as_second() as f64;
        let days = found.heights.last().map_or(1.0, |last| ((last.0 - from_s) / 86_400.0).ceil().max(1.0));
        let off_m = BAND_DEVIATE * WEATHER_SD_M;
        let band = found
            .heights
            .iter()
            .map(|(at, height_m)| ((at - from_s) / HOUR_S, height_m - off_m, *height_m, height_m + off_m));
        let every_h = if days <= 1.0 { 3.0 } else { (days * 2.0).max(6.0).ceil() };
        let format = if days <= 2.0 { "%H:%M" } else { "%d %b" };
        let every_h = if days > 2.0 { 24.0 * (days / 8.0).ceil() } else { every_h };
        let ticks = (0..=(days * 24.0 / every_h) as usize).map(|tick| {
            let hours = tick as f64 * every_h;
            (hours, found.local(from_s + hours * HOUR_S).strftime(format).to_string())
        });
        let reading = found
            .heights
            .iter()
            .map(|(at, _)| ((at - from_s) / HOUR_S, found.local(*at).strftime("%a %H:%M").to_string()));
        let strip = Strip {
            title: "Height of the tide over the hours".to_owned(),
            description: self.finding_words(found, paper),
            x: Axis {
                quantity: format!("time of the place ({})", found.first.strftime("%Z")),
                named_ticks: ticks.collect(),
                range: Some((0.0, days * 24.0)),
                ..Axis::default()
            },
            reading: reading.collect(),
            lanes: vec![Lane {
                axis: Axis {
                    quantity: format!("height above {}, with weather", found.station.datum),
                    unit: "m".to_owned(),
                    decimals: 2,
                    ..Axis::default()
                },
                marks: vec![LaneMarks::Band(band.collect())],
                tone: wakewright_picture::Tone::Ink,
                level: None,
            }],
            ..Strip::default()
        };
        vec![
            Block::picture("tide", "The height of the tide over the hours", Place::Chart, strip),
            Block::sheet(sheets, "waters"),
            Block::sheet(sheets, "hours"),
            Block::words("Where these figures come from", source_words(found.station)),
        ]
    }

    fn notices<'f>(&self, found: &'f Found) -> &'f [Notice] {
        &found.notices
    }

    fn sliders(&self, _: &Asked<'_>) -> Vec<Slider> {
        Vec::new()
    }

    fn occasion(&self, _: &Asked<'_>, found: &Found, _: &Paper) -> String {
        format!("At {}", found.station.name)
    }
}

impl Tide {
    fn finding_words(&self, found: &Found, paper: &Paper) -> String {
        let next = found.next(true).map(|water| {
            let at = found.local(water.unix_s).strftime("%a %H:%M").to_string();
            format!("first high water {at}, {}", paper.decimals(water.height_m, Quantity::Length, 2))
        });
        format!("{}: {}.", found.station.name, next.unwrap_or_else(|| "no high water".to_owned()))
    }
}

/// Owner and licence of the station's figures.
fn source_words(station: &Station<'_>) -> String {
    let owner = match station.id.split('/').next() {
        Some("noaa") => "US National Oceanic and Atmospheric Administration, CO-OPS",
        Some("kartverket") => "Kartverket, Norwegian Mapping Authority, Hydrographic Service",
        _ => "Hart-Davis, Dettmering, Seitz (2025), TICON-4, SEANOE, doi 10.17882/109129",
    };
    let kind = match station.kind {
        Kind::Harmonic => "constants",
        Kind::Following => "differences",
    };
    format!("{}: {kind} by {owner}; {}, rounded here.", station.id, station.licence)
}
