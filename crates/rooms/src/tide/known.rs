//! The water at a place as it is known: by constants, by another port's waters and differences, or by a table as typed;
//! each with its own band. What asks about the tide asks here. Not for: which station (`station`), how a table is read (`table`).

use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan, Zoned};
use wakewright_core::caution;
use wakewright_core::notice::Notice;
use wakewright_core::solar::Place;
use wakewright_core::tide::between::UNKNOWN_CURVE_S;
use wakewright_core::tide::{Kind, Level, OwnCurve, Station, Typed, Water, great_circle_m, height_between_m};
use wakewright_units::factors::NAUTICAL_MILE_M;

use super::differences::{Secondary, of_table};
use super::{station, table};
use crate::no_answer::NoAnswer;
use crate::room::Asked;

/// How the water is known.
#[derive(Debug, Clone, PartialEq)]
pub enum Way {
    /// By the station's own constants.
    Constants,
    /// By the waters of the port named, moved by differences.
    Following(String),
    /// By a table as typed.
    Table,
}

/// The water at a place.
#[derive(Debug)]
pub struct Known {
    /// The place.
    pub name: String,
    /// Its time.
    pub zone: TimeZone,
    /// What heights are above.
    pub datum: String,
    /// Whether a height of the chart may be set against them.
    pub has_chart_datum: bool,
    /// Where it lies, where that is known.
    pub position: Option<Place>,
    /// How far the station is from what was asked, where a position was \[m\].
    pub away_m: Option<f64>,
    /// How the water is known.
    pub way: Way,
    /// Half an 80 % band of the time of a water, weather apart \[s\].
    pub water_s: f64,
    /// The same of a height between waters \[s\].
    pub between_s: f64,
    /// Weather.
    pub level: Level,
    /// High and low waters, some days around what was asked among them where they are known.
    pub waters: Vec<Water>,
    /// Heights every five minutes over all waters.
    pub curve: Vec<(f64, f64)>,
    /// First instant asked for.
    pub first: Zoned,
    /// Last instant asked for.
    pub last: Zoned,
    /// Amplitudes of doubtful meaning that are left out \[m\].
    pub left_out_m: f64,
    /// Owner and licence.
    pub source: String,
    /// What to read first.
    pub notices: Vec<Notice>,
}

const STEP_S: f64 = 300.0;
const DAY_S: f64 = 86_400.0;
/// US stations against official tables: `reference/tide/official_checks.csv`.
const CHECKED_S: f64 = 90.0;
const FOLLOWING_S: f64 = 180.0;
/// Stations that no official table was held against: own estimate, no source.
const NOT_CHECKED_S: f64 = 600.0;
/// Waters as printed, and those of a secondary place from them: to the minute, and own estimate.
const PRINTED_S: f64 = 60.0;
const OWN_CURVE_S: f64 = 900.0;

fn input(error: &dyn std::fmt::Display) -> NoAnswer {
    NoAnswer::input(error.to_string())
}

impl Known {
    /// What is asked for, over `days`, with `around_s` more on both sides where the waters are reckoned.
    /// # Errors
    /// What is missing or cannot be.
    pub fn of(asked: &Asked<'_>, days: i64, around_s: f64) -> Result<Self, NoAnswer> {
        let replies = &asked.replies;
        let mut known = match replies.text("table") {
            Some(text) => Self::of_table(asked, text, days)?,
            None => Self::of_station(asked, days, around_s).map_err(|no| match crate::places::unread(replies) {
                None => no,
                Some(why) => NoAnswer::input(format!(
                    "{}. The places kept in the store could not be read ({why}): `wakewright boats` says more",
                    no.message().trim_end_matches('.')
                )),
            })?,
        };
        if let Some(text) = replies.text("differences") {
            let secondary = Secondary::read(text).map_err(NoAnswer::input)?;
            known.move_by(&secondary, replies.text("place"));
        }
        if let Some(kept) = crate::places::kept_as(replies) {
            known.name = format!("{kept}, by {}", known.name.trim_start_matches("The place of "));
        }
        known.level.raised_m =
            replies.number("pressure").map_or(0.0, wakewright_core::tide::level::raised_by_pressure_m);
        known.level.weather_sd_m = replies.number("weather").unwrap_or(known.level.weather_sd_m);
        let raised_m = known.level.raised_m;
        known.raise(|_| raised_m);
        known.notices.insert(0, caution::OFFICIAL_TIDE_TABLES);
        if crate::places::unread(replies).is_some() {
            known.notices.push(caution::PLACES_UNREAD);
        }
        if !known.has_chart_datum {
            known.notices.push(caution::DATUM_OF_CONSTANTS);
        }
        Ok(known)
    }

    /// Raises the water by what is told for each instant.
    pub fn raise(&mut self, by_m: impl Fn(f64) -> f64) {
        self.waters.iter_mut().for_each(|water| water.height_m += by_m(water.unix_s));
        self.curve.iter_mut().for_each(|(at_s, height_m)| *height_m += by_m(*at_s));
    }

    fn of_station(asked: &Asked<'_>, days: i64, around_s: f64) -> Result<Self, NoAnswer> {
        let (station, away_m) = station::asked_for(asked.replies.text("place"), Some(asked.boat))?;
        let zone = zone_of(asked, Some(station))?;
        let (first, last) = span(asked, &zone, None, days)?;
        let (from_s, to_s) = (seconds(&first) - around_s, seconds(&last) + around_s);
        let tide = station::stations()?.tide(station).map_err(|error| input(&error))?;
        let waters = tide.waters(from_s - DAY_S, to_s + DAY_S).map_err(|error| input(&error))?;
        let is_checked = station.id.starts_with("noaa/");
        let reference = station.offsets().map(|(reference, _)| reference);
        let (way, curve) = match reference {
            None => {
                let (from_s, to_s) = (seconds(&first) - 2.0 * DAY_S, seconds(&last) + 2.0 * DAY_S);
                let curve = tide.port.heights(from_s, to_s, STEP_S).map_err(|error| input(&error))?;
                (Way::Constants, curve)
            }
            Some(key) => {
                let port = station::stations()?.by_id(key).map_or(key, |port| port.name);
                (Way::Following(port.to_owned()), between(&waters, &asked_curve(asked)?))
            }
        };
        let water_s = match (is_checked, reference) {
            (false, _) => NOT_CHECKED_S,
            (true, None) => CHECKED_S,
            (true, Some(_)) => FOLLOWING_S,
        };
        Ok(Self {
            // Names repeat: there is a Plymouth on either side of the ocean.
            name: format!("{} ({})", station.name, station.country),
            datum: station.datum.to_owned(),
            has_chart_datum: station.has_official_datum(),
            position: Some(station.place),
            between_s: if reference.is_none() { water_s } else { between_s(asked) },
            water_s,
            way,
            level: Level::default(),
            waters,
            curve,
            first,
            last,
            left_out_m: tide.left_out_m,
            source: source_words(station),
            notices: Vec::new(),
            zone,
            away_m,
        })
    }

    /// The days asked for at a station of streams, with no waters.
    /// # Errors
    /// Days that cannot be.
    pub fn of_no_waters(
        asked: &Asked<'_>,
        station: &Station<'_>,
        zone: TimeZone,
        days: i64,
    ) -> Result<Self, NoAnswer> {
        let (first, last) = span(asked, &zone, None, days)?;
        Ok(Self {
            name: format!("{} ({})", station.name, station.country),
            datum: String::new(),
            has_chart_datum: false,
            position: Some(station.place),
            away_m: None,
            way: Way::Constants,
            water_s: 0.0,
            between_s: 0.0,
            level: Level::default(),
            waters: Vec::new(),
            curve: Vec::new(),
            first,
            last,
            left_out_m: 0.0,
            source: source_words(station),
            notices: Vec::new(),
            zone,
        })
    }

    fn of_table(asked: &Asked<'_>, text: &str, days: i64) -> Result<Self, NoAnswer> {
        let place = asked.replies.text("place").filter(|place| !place.is_empty());
        // A table needs no station; where its place is one, the station tells zone and light.
        let station = place.and_then(|place| station::asked_for(Some(place), None).ok());
        let zone = zone_of(asked, station.map(|(station, _)| station))?;
        let typed = table::read(text, &zone).map_err(NoAnswer::input)?;
        // A position has the nearest station's zone; its waters are its own.
        if let Some((station, None)) = station {
            agrees(station, typed.waters())?;
        }
        let (first, last) = span(asked, &zone, Some(&typed), days)?;
        let curve = between(typed.waters(), &asked_curve(asked)?);
        Ok(Self {
            name: place.unwrap_or("The place of the table").to_owned(),
            datum: asked.replies.text("datum").unwrap_or("the table's datum").to_owned(),
            has_chart_datum: true,
            // Light hardly differs between where she lies and a place that she goes to dry out.
            position: place
                .and_then(|text| station::position(text)?.ok())
                .or(station.map(|(station, _)| station.place))
                .or_else(|| station::lies_at(asked.boat)),
            away_m: None,
            way: Way::Table,
            water_s: PRINTED_S,
            between_s: between_s(asked),
            level: Level::default(),
            waters: typed.waters().to_vec(),
            curve,
            first,
            last,
            left_out_m: 0.0,
            source: "as typed from the table".to_owned(),
            notices: Vec::new(),
            zone,
        })
    }

    fn move_by(&mut self, secondary: &Secondary, place: Option<&str>) {
        let day_s = |unix_s: f64| {
            let at = local(unix_s, &self.zone);
            f64::from(at.hour()) * 3600.0 + f64::from(at.minute()) * 60.0 + f64::from(at.second())
        };
        let (waters, is_beyond) = of_table(&self.waters, secondary, day_s);
        let port = std::mem::replace(&mut self.name, secondary.name.clone().unwrap_or_default());
        if self.name.is_empty() {
            self.name = format!("The place that follows {}", place.unwrap_or(&port));
        }
        self.waters = waters;
        self.curve = between(&self.waters, &None);
        self.between_s = 1.2816 * UNKNOWN_CURVE_S;
        self.water_s = self.water_s.max(NOT_CHECKED_S);
        self.way = Way::Following(port);
        if is_beyond {
            self.notices.push(caution::BEYOND_SPRINGS_AND_NEAPS);
        }
    }

    /// Its name as it stands within a sentence.
    #[must_use]
    pub fn place(&self) -> String {
        self.name.replacen("The place", "the place", 1)
    }

    /// An instant in the time of the place.
    #[must_use]
    pub fn local(&self, unix_s: f64) -> Zoned {
        local(unix_s, &self.zone)
    }

    /// Height at an instant, straight between the curve's points; none beyond them \[m\].
    #[must_use]
    pub fn height_m(&self, unix_s: f64) -> Option<f64> {
        let next = self.curve.partition_point(|point| point.0 <= unix_s);
        let ((t0, h0), (t1, h1)) = (*self.curve.get(next.checked_sub(1)?)?, *self.curve.get(next)?);
        Some(h0 + (h1 - h0) * (unix_s - t0) / (t1 - t0))
    }

    /// The waters from the first to the last instant asked for.
    pub fn asked_waters(&self) -> impl Iterator<Item = &Water> {
        let (from_s, to_s) = (seconds(&self.first), seconds(&self.last));
        self.waters.iter().filter(move |water| (from_s..to_s).contains(&water.unix_s))
    }

    /// The curve there.
    #[must_use]
    pub fn asked_curve(&self) -> &[(f64, f64)] {
        let (from_s, to_s) = (seconds(&self.first), seconds(&self.last));
        let first = self.curve.partition_point(|point| point.0 < from_s);
        let last = self.curve.partition_point(|point| point.0 <= to_s);
        &self.curve[first..last.max(first)]
    }
}

/// Farther from where she is than she goes with one bank, so that another place of that name may be meant.
#[must_use]
pub fn is_far(station: Option<Place>, here: Option<Place>) -> bool {
    /// Judgement.
    const FAR_M: f64 = 400.0 * NAUTICAL_MILE_M;
    station.zip(here).is_some_and(|(there, here)| great_circle_m(there, here) > FAR_M)
}

/// Seconds since 1970.
#[must_use]
pub fn seconds(at: &Zoned) -> f64 {
    at.timestamp().as_second() as f64
}

/// An instant in a zone.
#[must_use]
pub fn local(unix_s: f64, zone: &TimeZone) -> Zoned {
    Timestamp::from_second(unix_s.round() as i64).unwrap_or_default().to_zoned(zone.clone())
}

fn zone_of(asked: &Asked<'_>, station: Option<&Station<'_>>) -> Result<TimeZone, NoAnswer> {
    let Some(name) = asked.replies.text("zone").or(station.map(|station| station.zone)) else {
        return Err(NoAnswer::input(
            "say in which time the table stands: zone UTC, or the zone of the place such as Europe/London",
        ));
    };
    TimeZone::get(name).map_err(|_| {
        NoAnswer::input(format!(
            "the time zone {name} is not known; write UTC, or a name such as Europe/London"
        ))
    })
}

/// From the day asked for, or today, or the first day of a table.
fn span(
    asked: &Asked<'_>,
    zone: &TimeZone,
    typed: Option<&Typed>,
    days: i64,
) -> Result<(Zoned, Zoned), NoAnswer> {
    let ends = typed.and_then(|typed| Some((typed.waters().first()?.unix_s, typed.waters().last()?.unix_s)));
    let today = || Timestamp::now().to_zoned(zone.clone()).date();
    let usual = || ends.map_or_else(today, |(from_s, _)| local(from_s, zone).date());
    let day = asked.replies.day("day").unwrap_or_else(usual);
    let first = day.to_zoned(zone.clone()).map_err(|error| input(&error))?;
    let last = first.checked_add(days.days()).map_err(|error| input(&error))?;
    if let Some((from_s, to_s)) = ends
        && (seconds(&last) <= from_s || seconds(&first) >= to_s)
    {
        return Err(NoAnswer::input(format!(
            "the table goes from {} to {}, and {day} is not in it: the day is another, or the table is of another year",
            local(from_s, zone).date(),
            local(to_s, zone).date()
        )));
    }
    Ok((first, last))
}

/// Holds a table against the constants of the station that it is said to be of: what is the better part of an hour off is the time
/// of another zone, or the table of another place or year.
/// # Errors
/// By how much it is off, and what to do.
fn agrees(station: &Station<'_>, typed: &[Water]) -> Result<(), NoAnswer> {
    /// Judgement: constants, even old ones, are nearer, and a clock is off by an hour.
    const OFF_S: f64 = 45.0 * 60.0;
    /// Where the tide hardly rises its hour says nothing \[m\].
    const RISES_M: f64 = 0.3;
    let Some((first, last)) = typed.first().zip(typed.last()) else { return Ok(()) };
    let tide = station::stations()?.tide(station).map_err(|error| input(&error))?;
    let waters = tide.waters(first.unix_s - DAY_S, last.unix_s + DAY_S).map_err(|error| input(&error))?;
    let nearest = |water: &Water| {
        let same = waters.iter().filter(|other| other.is_high == water.is_high);
        let off = same.map(|other| water.unix_s - other.unix_s);
        off.min_by(|a, b| a.abs().total_cmp(&b.abs()))
    };
    let rises_m = |waters: &[Water]| {
        let ranges = waters.windows(2).map(|two| (two[0].height_m - two[1].height_m).abs());
        ranges.sum::<f64>() / (waters.len().max(2) - 1) as f64
    };
    let mut off: Vec<f64> = typed.iter().filter_map(nearest).collect();
    off.sort_by(f64::total_cmp);
    let Some(middle) = off.get(off.len() / 2).copied() else { return Ok(()) };
    let (told, known) = (rises_m(typed), rises_m(&waters));
    let is_other_range = known > RISES_M && !(0.5..=2.0).contains(&(told / known));
    if known < RISES_M || middle.abs() < OFF_S && !is_other_range {
        return Ok(());
    }
    let what = if middle.abs() < OFF_S {
        format!("rise {told:.1} m where the constants of {} give {known:.1} m", station.name)
    } else {
        let side = if middle < 0.0 { "before" } else { "after" };
        format!(
            "come {:.0} min {side} those that the constants of {} give",
            middle.abs() / 60.0,
            station.name
        )
    };
    Err(NoAnswer::input(format!(
        "the waters of the table {what}: local time taken for UTC (zone), or the table of another place or year. If it is of another \
         place, give that one's name"
    )))
}

/// Heights every five minutes between waters that are known.
fn between(waters: &[Water], curve: &Option<OwnCurve>) -> Vec<(f64, f64)> {
    let mut heights = Vec::new();
    for two in waters.windows(2) {
        let steps = ((two[1].unix_s - two[0].unix_s) / STEP_S).ceil().max(1.0);
        for step in 0..steps as usize {
            let at = two[0].unix_s + (two[1].unix_s - two[0].unix_s) * step as f64 / steps;
            heights.push((
                at,
                curve.as_ref().map_or_else(
                    || height_between_m(&two[0], &two[1], at),
                    |c| c.height_m(&two[0], &two[1], at),
                ),
            ));
        }
    }
    heights.extend(waters.last().map(|water| (water.unix_s, water.height_m)));
    heights
}

fn asked_curve(asked: &Asked<'_>) -> Result<Option<OwnCurve>, NoAnswer> {
    asked
        .replies
        .text("curve")
        .map(|text| super::questions::read_curve(text).map_err(NoAnswer::input))
        .transpose()
}

fn between_s(asked: &Asked<'_>) -> f64 {
    if asked.replies.has("curve") { OWN_CURVE_S } else { 1.2816 * UNKNOWN_CURVE_S }
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
