//! What is said of the tide at a place.

use wakewright_core::tide::Water;
use wakewright_units::factors::NAUTICAL_MILE_M;
use wakewright_units::{Quantity, format_number};

use super::Found;
use super::current::Stream;
use super::known::{Known, Way};
use super::sheets::BAND_DEVIATE;
use crate::text::{Finding, Paper};

/// Metres with two places, or feet.
fn metres(height_m: f64, paper: &Paper) -> String {
    paper.decimals(height_m, Quantity::Length, 2)
}

/// The next high and low water, and how they are known.
pub fn finding(found: &Found, paper: &Paper) -> Finding {
    let known = &found.known;
    if let Some(stream) = &found.stream {
        return of_stream(known, stream, paper);
    }
    let told = |water: &Water| {
        let word = if water.is_high { "high" } else { "low" };
        let at = known.local(water.unix_s).strftime("%H:%M").to_string();
        format!("{word} water at {at} with {}", metres(water.height_m, paper))
    };
    let mut next: Vec<&Water> =
        [true, false].iter().filter_map(|kind| known.asked_waters().find(|w| w.is_high == *kind)).collect();
    next.sort_by(|a, b| a.unix_s.total_cmp(&b.unix_s));
    let next: Vec<String> = next.into_iter().map(told).collect();
    let day = known.first.strftime("%A %d %B %Y");
    let sentence = if next.is_empty() {
        format!("{}, {day}: no high or low water falls on these days.", known.name)
    } else {
        format!(
            "{}, {day}: {} above {} ({}).",
            known.name,
            next.join(", "),
            known.datum,
            known.first.strftime("%Z")
        )
    };
    let ranges = found.range_m().map_or_else(String::new, |most| {
        let fortnight = found.ranges_m.map_or_else(String::new, |(least, most)| {
            format!("; within a fortnight from {} to {}", metres(least, paper), metres(most, paper))
        });
        format!(" The largest range of these days is {}{fortnight}.", metres(most, paper))
    });
    Finding {
        figure: next.first().cloned().unwrap_or_default(),
        further: format!(
            "Not for navigation: official tables and notices first. {}{ranges} Weather may make {} more or less of it in eight \
             cases of ten.",
            how_known(known, paper),
            metres(BAND_DEVIATE * known.level.sd_m(), paper)
        ),
        sentence,
        ..Finding::default()
    }
}

/// The next slack and greatest rates of a stream, and how they are known.
fn of_stream(known: &Known, stream: &Stream, paper: &Paper) -> Finding {
    let rate = |m_s: f64| paper.decimals(m_s, Quantity::Speed, 1);
    let told = |place: usize| {
        let event = &stream.events[place];
        let at = known.local(event.unix_s).strftime("%H:%M").to_string();
        match stream.sets_rad(event.rate_m_s) {
            Some(sets) => format!(
                "{} of {} at {at}, setting to {:03.0}°",
                stream.kind(place).1,
                rate(event.rate_m_s.abs()),
                sets.to_degrees()
            ),
            None => format!("slack at {at}"),
        }
    };
    let next: Vec<String> = (0..stream.events.len().min(4)).map(told).collect();
    let day = known.first.strftime("%A %d %B %Y");
    let sentence = if next.is_empty() {
        format!("{}, {day}: no slack or greatest rate falls on these days.", known.name)
    } else {
        format!("{}, {day}: {} ({}).", known.name, next.join("; "), known.first.strftime("%Z"))
    };
    Finding {
        figure: next.first().cloned().unwrap_or_default(),
        further: format!(
            "Not for navigation: official tables and notices first. {}, within {} min and {}. Rates are along the axis of flood and ebb, \
             without wind and river of the day.",
            crate::sentence::capitalised(&stream.told),
            format_number((known.water_s / 60.0).ceil(), 0),
            paper.decimals(stream.rate_m_s, Quantity::Speed, 2)
        ),
        sentence,
        ..Finding::default()
    }
}

/// How the water is known and how well.
pub fn how_known(known: &Known, paper: &Paper) -> String {
    let minutes = |seconds: f64| format_number((seconds / 60.0).ceil(), 0);
    let checked = match (&known.way, known.water_s > 200.0) {
        (Way::Table, _) => "",
        (_, true) => "; they were not held against official tables, and the band is an estimate",
        (_, false) => "",
    };
    let between = if known.between_s > 1.5 * known.water_s {
        format!("; between them by a curve that may be {} min off", minutes(known.between_s))
    } else {
        String::new()
    };
    let way = match &known.way {
        Way::Constants => "Waters reckoned from harmonic constants".to_owned(),
        Way::Following(port) => format!("Waters known from those of {port} by differences"),
        Way::Table => "Waters as typed from the table".to_owned(),
    };
    let away = known.away_m.map_or_else(String::new, |metres| {
        let miles = format_number(metres / NAUTICAL_MILE_M, 0);
        format!(" This is the nearest station, {miles} nm away: the tide of the place itself is another's.")
    });
    let left_out = if known.left_out_m > 0.02 {
        let metres = metres(known.left_out_m, paper);
        format!(" Constants of doubtful meaning, {metres} together, are left out.")
    } else {
        String::new()
    };
    format!("{way}, within {} min{checked}{between}.{away}{left_out}", minutes(known.water_s))
}
