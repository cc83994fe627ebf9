//! The stream at a station of the built-in set: whose it is, of which depth, its slacks and greatest rates over some days.
//! Not for: how it lies along a leg (`streams`), the harmonic constants (`wakewright_core::tide`).

use jiff::tz::TimeZone;
use wakewright_core::caution;
use wakewright_core::sheet::Interval;
use wakewright_core::tide::{Current, CurrentEvent, Depth, Station};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number, read_quantity};

use super::known::{self, Known};
use super::station;
use crate::no_answer::NoAnswer;
use crate::room::Asked;

/// Worst of a station whose record is of another depth than the official one (`reference/tide/noaa_tides_currents.csv`) \[s\].
pub const UNKNOWN_DEPTH_S: f64 = 2400.0;

/// The stream at a station of the built-in set.
#[derive(Debug)]
pub struct AtStation {
    /// How its rates are reckoned.
    pub current: Current,
    /// The station.
    pub station: &'static Station<'static>,
    /// Whose it is and of which depth, in words.
    pub told: String,
    /// Whether nobody knows of which depth its rates are.
    pub is_unsure: bool,
}

/// The stream of `at noaa/FPI0901`, of `at noaa/EPT0003@11` by its bin, of `at noaa/EPT0003 depth 14 ft` where the depth of the record is
/// typed from the official page.
/// # Errors
/// No such station or bin; a depth that cannot be.
pub fn at_station(text: &str) -> Result<AtStation, NoAnswer> {
    let text = text.trim_start_matches("at ").trim();
    let (key, typed) = text.rsplit_once(" depth ").map_or((text, None), |(key, depth)| (key, Some(depth)));
    let typed = typed.map(|depth| {
        let read = read_quantity(depth.trim(), Quantity::Length).map(|read| read.si);
        read.ok().filter(|depth| (0.0..=300.0).contains(depth)).ok_or_else(|| {
            NoAnswer::input(format!("at {text}: write the depth of the official page, at {key} depth 14 ft"))
        })
    });
    let typed = typed.transpose()?;
    let (station, current) = station::current(key)?;
    let depth = match (current.depth, typed) {
        (Depth::Another, _) => "of another depth than the official one".to_owned(),
        (_, Some(depth)) => {
            format!("of {} m by the official page as typed", format_number(depth, 1))
        }
        (Depth::Named(bin), None) => format!("bin {bin}"),
        (Depth::Confirmed(bin), None) => format!("agrees with the official rates of bin {bin}"),
        (Depth::NotTold, None) => "depth not told".to_owned(),
    };
    let is_unsure = current.is_unsure() && (typed.is_none() || current.depth == Depth::Another);
    let told = format!("stream at {} ({}), {depth}, by its harmonic constants", station.name, station.id);
    Ok(AtStation { current, station, told, is_unsure })
}

/// A stream over some days.
#[derive(Debug)]
pub struct Stream {
    /// How its rates are reckoned.
    pub current: Current,
    /// Slacks and greatest rates of the days asked for, in their order.
    pub events: Vec<CurrentEvent>,
    /// Rates every ten minutes, flood positive \[m/s\].
    pub rates: Vec<(f64, f64)>,
    /// Half an 80 % band of a rate \[m/s\].
    pub rate_m_s: f64,
    /// Whose it is and of which depth, in words.
    pub told: String,
}

/// The stream that `place` asks for, with the span of days as water that is not known; none where it asks for a tide.
/// # Errors
/// As [`at_station`]; a zone or day that cannot be.
pub fn asked_for(asked: &Asked<'_>, days: i64) -> Result<Option<(Known, Stream)>, NoAnswer> {
    /// Worst of confirmed stations and of depths that are another's (`reference/tide/noaa_tides_currents.csv`).
    const CONFIRMED: (f64, f64) = (240.0, 0.05 * KNOT_M_S);
    const NOT_TOLD_M_S: f64 = 0.07 * KNOT_M_S;
    const STEP_S: f64 = 600.0;
    const AROUND_S: f64 = 14.0 * 3600.0;
    let Some(text) = asked.replies.text("place").filter(|place| is_stream(place)) else { return Ok(None) };
    let AtStation { current, station, told, is_unsure } = at_station(text)?;
    let zone = asked.replies.text("zone").unwrap_or(station.zone);
    let zone = TimeZone::get(zone).map_err(|_| {
        NoAnswer::input(format!("the time zone {zone} is not known; write UTC, or Europe/London"))
    })?;
    let mut known = Known::of_no_waters(asked, station, zone, days)?;
    let (within_s, rate_m_s) = if is_unsure { (UNKNOWN_DEPTH_S, NOT_TOLD_M_S) } else { CONFIRMED };
    known.water_s = within_s;
    known.notices = vec![caution::OFFICIAL_TIDE_TABLES];
    let (from_s, to_s) = (known::seconds(&known.first), known::seconds(&known.last));
    let failed = |error: wakewright_core::tide::TideError| NoAnswer::input(error.to_string());
    // A greatest rate is one between two slacks: those of the first and last hours have one of them beyond.
    let mut events = current.events(from_s - AROUND_S, to_s + AROUND_S).map_err(failed)?;
    events.retain(|event| (from_s..to_s).contains(&event.unix_s));
    let rates = current.rates(from_s, to_s, STEP_S).map_err(failed)?;
    Ok(Some((known, Stream { current, events, rates, rate_m_s, told })))
}

/// `at NAME`, or the key of a station that is one of streams alone.
fn is_stream(place: &str) -> bool {
    let key = place.split_once(" depth ").map_or(place, |(key, _)| key).trim();
    let is_key = key.contains('/') && !key.contains(' ');
    let is_tide = || station::stations().is_ok_and(|set| set.by_id(key).is_some());
    place.starts_with("at ") || is_key && !is_tide() && station::current(key).is_ok()
}

impl Stream {
    /// What an event is, as key and words: a slack is named by what comes after it.
    pub fn kind(&self, place: usize) -> (&'static str, &'static str) {
        let rate = |at: usize| self.events.get(at).map_or(0.0, |event| event.rate_m_s);
        let before = place.checked_sub(1).map_or(0.0, rate);
        match (rate(place), rate(place + 1)) {
            (rate, _) if rate > 0.0 => ("flood", "flood"),
            (rate, _) if rate < 0.0 => ("ebb", "ebb"),
            (_, next) if next > 0.0 || next == 0.0 && before < 0.0 => {
                ("slack_before_flood", "slack, then flood")
            }
            _ => ("slack_before_ebb", "slack, then ebb"),
        }
    }

    /// Towards where it sets then; nowhere at slack \[rad\].
    pub fn sets_rad(&self, rate_m_s: f64) -> Option<f64> {
        match rate_m_s {
            rate if rate > 0.0 => Some(self.current.flood_rad),
            rate if rate < 0.0 => Some(self.current.ebb_rad),
            _ => None,
        }
    }

    /// A rate with its band, without its sign.
    pub fn band(&self, rate_m_s: f64) -> Interval {
        let value = rate_m_s.abs();
        let off = if value > 0.0 { self.rate_m_s } else { 0.0 };
        Interval { value, p10: (value - off).max(0.0), p90: value + off }
    }
}
