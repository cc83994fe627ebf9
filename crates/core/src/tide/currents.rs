//! Tidal streams from harmonic constants: the rate along the axis of flood and ebb at a station of the built-in set, or at one that
//! follows it, and what is known of the depth that they hold for. Not for: how a stream lies along a leg (`passage`).

use wakewright_units::factors::KNOT_M_S;

use super::TideError;
use super::curve::Port;
use super::set::{Kind, Set, Station};

/// All stations of streams.
#[derive(Debug)]
pub struct Currents<'t>(Set<'t>);

/// What is known of the depth of a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// The key, or the station that it follows, names the bin.
    Named(u32),
    /// Its rates agree with the official ones of that bin (`reference/tide/noaa_tides_currents.csv`).
    Confirmed(u32),
    /// Its rates are known not to be those of the official depth.
    Another,
    /// Nowhere told.
    NotTold,
}

/// Stations held against official figures of a bin: agreeing, and not.
const CONFIRMED: [(&str, u32); 3] = [("noaa/FPI0901", 9), ("noaa/NYH1927", 13), ("noaa/SFB1202", 17)];
const ANOTHER: [&str; 1] = ["noaa/PUG1515"];

/// What is added to each event of the station that is followed, and what its rates are multiplied by.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Follows {
    /// Later at slack before flood, at flood, at slack before ebb, at ebb \[s\].
    later_s: [f64; 4],
    /// Of flood and ebb.
    ratios: [f64; 2],
}

/// A stream as predicted.
#[derive(Debug, Clone, PartialEq)]
pub struct Current {
    port: Port,
    follows: Option<Follows>,
    /// Where the flood sets to, from true north \[rad\].
    pub flood_rad: f64,
    /// Where the ebb sets to \[rad\].
    pub ebb_rad: f64,
    /// What is known of its depth.
    pub depth: Depth,
}

/// A greatest rate or a slack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// When \[s\].
    pub unix_s: f64,
    /// Rate along the flood, ebb negative; 0 at slack \[m/s\].
    pub rate_m_s: f64,
}

impl<'t> Currents<'t> {
    /// Reads those of the set.
    /// # Errors
    /// [`TideError::BadSet`].
    pub fn parse(text: &'t str) -> Result<Self, TideError> {
        Set::parsed(text, true).map(Self)
    }

    /// The stations, to look for one by key, name or position.
    #[must_use]
    pub fn set(&self) -> &Set<'t> {
        &self.0
    }

    /// The station of a key, with its bin where one is asked for: `noaa/EPT0003@11`.
    /// # Errors
    /// [`TideError::OtherDepth`] where the set is not known to hold that bin.
    pub fn by_key(&self, key: &str) -> Result<Option<&Station<'t>>, TideError> {
        if let Some(station) = self.0.by_id(key) {
            return Ok(Some(station));
        }
        let Some((id, bin)) = key.split_once('@') else { return Ok(None) };
        let Some(station) = self.0.by_id(id) else { return Ok(None) };
        if CONFIRMED.iter().any(|(known, known_bin)| *known == id && known_bin.to_string() == bin) {
            return Ok(Some(station));
        }
        let others =
            self.0.stations().iter().filter_map(|other| other.id.strip_prefix(id)?.strip_prefix('@'));
        let others: Vec<&str> = others.collect();
        let held = match others.as_slice() {
            [] => "one depth that its record does not name".to_owned(),
            bins => format!("bin {} and one that its record does not name", bins.join(", ")),
        };
        Err(TideError::OtherDepth {
            station: station.name.to_owned(),
            what: format!("the set holds {held}, not bin {bin}"),
        })
    }

    /// How its rates are reckoned.
    /// # Errors
    /// [`TideError::NoReference`], [`TideError::NoConstants`], [`TideError::NoAxis`].
    pub fn current(&self, station: &Station<'_>) -> Result<Current, TideError> {
        let no_axis = || TideError::NoAxis { station: station.name.to_owned() };
        if station.kind == Kind::Harmonic {
            let mut axis = station.datum.split('/').filter_map(|part| part.parse::<f64>().ok());
            let (flood, ebb) = axis.next().zip(axis.next()).ok_or_else(no_axis)?;
            let port = in_metres(self.0.own_tide(station)?.port);
            let (flood_rad, ebb_rad) = (flood.to_radians(), ebb.to_radians());
            return Ok(Current { port, follows: None, flood_rad, ebb_rad, depth: depth_of(station.id) });
        }
        let after = |key: &str| station.body.split_once(&format!("\"{key}\":")).map(|(_, rest)| rest);
        let number = |key: &str| after(key)?.split([',', '}']).next()?.trim().parse::<f64>().ok();
        let reference = after("reference").and_then(|rest| rest.trim_start_matches('"').split('"').next());
        let reference = reference.unwrap_or("another station");
        let follows = || {
            let minutes = ["slack_before_flood", "flood_time", "slack_before_ebb", "ebb_time"].map(number);
            let ratios = ["flood_speed_ratio", "ebb_speed_ratio"].map(number);
            let [Some(a), Some(b), Some(c), Some(d)] = minutes else { return None };
            let [Some(flood), Some(ebb)] = ratios else { return None };
            Some(Follows { later_s: [a, b, c, d].map(|minutes| 60.0 * minutes), ratios: [flood, ebb] })
        };
        let own = self.0.by_id(reference).filter(|own| own.kind == Kind::Harmonic).zip(follows());
        let (own, follows) = own.ok_or_else(|| TideError::NoReference {
            station: station.name.to_owned(),
            reference: reference.to_owned(),
        })?;
        let (flood, ebb) = number("flood_direction").zip(number("ebb_direction")).ok_or_else(no_axis)?;
        let (flood_rad, ebb_rad) = (flood.to_radians(), ebb.to_radians());
        Ok(Current { follows: Some(follows), flood_rad, ebb_rad, ..self.current(own)? })
    }
}

fn depth_of(id: &str) -> Depth {
    let confirmed = CONFIRMED.iter().find(|(known, _)| *known == id);
    match (id.split_once('@').and_then(|(_, bin)| bin.parse().ok()), confirmed) {
        (Some(bin), _) => Depth::Named(bin),
        (None, Some((_, bin))) => Depth::Confirmed(*bin),
        (None, None) if ANOTHER.contains(&id) => Depth::Another,
        (None, None) => Depth::NotTold,
    }
}

/// Of a record in knots.
fn in_metres(mut port: Port) -> Port {
    port.constants.iter_mut().for_each(|constant| constant.amplitude_m *= KNOT_M_S);
    port.mean_above_datum_m *= KNOT_M_S;
    port
}

impl Current {
    /// Rates along the flood, ebb negative, every `step_s` from one instant to another \[m/s\].
    ///
    /// `v = v0 + sum f A cos(V + u - g)`; at a station that follows another each slack and each greatest rate comes later by its own
    /// difference, times between in proportion, and flood and ebb are multiplied.
    /// # Source
    /// \[schureman1958\] formula 42, from memory; differences as \[noaa_tides\] table 2 has them, between its events in proportion: own
    /// choice.
    /// # Valid for
    /// As [`Port::height_m`], at the depth of the record, which hardly any names.
    /// # Accuracy
    /// 0.03 kn and 1.5 min at the five stations and bins held against official figures, 0.07 kn and 40 min where the depth was
    /// another (`reference/tide/noaa_tides_currents.csv`).
    /// # Errors
    /// `TideError::YearOutside`.
    pub fn rates(&self, from_s: f64, to_s: f64, step_s: f64) -> Result<Vec<(f64, f64)>, TideError> {
        let Some(follows) = &self.follows else { return self.port.heights(from_s, to_s, step_s) };
        const FINE_S: f64 = 60.0;
        const AROUND_S: f64 = 18.0 * 3600.0;
        let own = self.port.heights(from_s - AROUND_S, to_s + AROUND_S, FINE_S)?;
        let events = events_of(&own);
        // Each event of the other station, and when it comes here.
        let moved: Vec<(f64, f64)> = events
            .windows(2)
            .map(|two| {
                let (event, next) = (two[0], two[1]);
                let kind = match event.rate_m_s {
                    rate if rate > 0.0 => 1,
                    rate if rate < 0.0 => 3,
                    _ if next.rate_m_s > 0.0 => 0,
                    _ => 2,
                };
                (event.unix_s, event.unix_s + follows.later_s[kind])
            })
            .collect();
        let there = |at_s: f64| {
            let next = moved.partition_point(|(_, here)| *here <= at_s).clamp(1, moved.len().max(2) - 1);
            let ((t0, h0), (t1, h1)) = (*moved.get(next - 1)?, *moved.get(next)?);
            Some(t0 + (t1 - t0) * ((at_s - h0) / (h1 - h0).max(1.0)).clamp(0.0, 1.0))
        };
        let rate = |at_s: f64| {
            let along = ((there(at_s).unwrap_or(at_s) - own[0].0) / FINE_S).max(0.0);
            let place = (along as usize).min(own.len() - 2);
            let rate = own[place].1 + (own[place + 1].1 - own[place].1) * (along - place as f64).min(1.0);
            rate * follows.ratios[usize::from(rate < 0.0)]
        };
        let count = ((to_s - from_s) / step_s + 1e-9).floor().max(0.0) as usize;
        Ok((0..=count).map(|i| from_s + i as f64 * step_s).map(|at_s| (at_s, rate(at_s))).collect())
    }

    /// Slacks and greatest rates from one instant to another, in their order.
    /// # Errors
    /// As [`Self::rates`].
    pub fn events(&self, from_s: f64, to_s: f64) -> Result<Vec<Event>, TideError> {
        const STEP_S: f64 = 60.0;
        let mut events = events_of(&self.rates(from_s, to_s, STEP_S)?);
        events.retain(|event| (from_s..=to_s).contains(&event.unix_s));
        Ok(events)
    }

    /// Whether its rates are those of a depth that is not known.
    #[must_use]
    pub fn is_unsure(&self) -> bool {
        matches!(self.depth, Depth::NotTold | Depth::Another)
    }
}

/// Slacks, and the greatest rate between each and the next; times straight between the points, those of greatest rates by a parabola.
fn events_of(rates: &[(f64, f64)]) -> Vec<Event> {
    let mut events: Vec<Event> = Vec::new();
    let mut top = 0;
    let mut is_whole = false;
    for i in 1..rates.len() {
        if rates[i].1.abs() > rates[top].1.abs() {
            top = i;
        }
        let ((t0, v0), (t1, v1)) = (rates[i - 1], rates[i]);
        if (v0 > 0.0) == (v1 > 0.0) {
            continue;
        }
        if is_whole && top > 0 && top + 1 < rates.len() {
            let (a, b, c) = (rates[top - 1].1, rates[top].1, rates[top + 1].1);
            let bend = a - 2.0 * b + c;
            let off = if bend == 0.0 { 0.0 } else { (0.5 * (a - c) / bend).clamp(-1.0, 1.0) };
            events.push(Event { unix_s: rates[top].0 + off * (t1 - t0), rate_m_s: b - 0.25 * (a - c) * off });
        }
        events.push(Event { unix_s: t0 + (t1 - t0) * v0 / (v0 - v1), rate_m_s: 0.0 });
        (top, is_whole) = (i, true);
    }
    events
}
