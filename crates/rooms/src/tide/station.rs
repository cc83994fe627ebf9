//! Which station of the built-in set a place is: by name, by key, by the nearest to a position, or to where she lies.
//! Not for: its waters.

use std::io::Read;
use std::sync::OnceLock;

use wakewright_core::field;
use wakewright_core::solar::Place;
use wakewright_core::tide::{Set, Station};
use wakewright_units::factors::NAUTICAL_MILE_M;
use wakewright_units::format_number;

use crate::boats::Loaded;
use crate::no_answer::NoAnswer;

static STATIONS: &[u8] = include_bytes!("../../data/tide/stations.tsv.gz");

/// How far from a place its nearest station may be and still speak for it \[m\]; common practice, no source.
const NEAR_M: f64 = 20.0 * NAUTICAL_MILE_M;

/// A station, and how far it is from the position that was asked for, where one was.
pub type Found = (&'static Station<'static>, Option<f64>);

/// The built-in set.
pub fn stations() -> Result<&'static Set<'static>, NoAnswer> {
    static SET: OnceLock<Result<Set<'static>, String>> = OnceLock::new();
    let set = SET.get_or_init(|| {
        let mut text = String::new();
        let read = flate2::read::GzDecoder::new(STATIONS).read_to_string(&mut text);
        read.map_err(|error| format!("the built-in tide set cannot be unpacked: {error}"))?;
        Set::parse(String::leak(text)).map_err(|error| error.to_string())
    });
    set.as_ref().map_err(|error| NoAnswer::input(error.clone()))
}

/// The station that is asked for by `text`; by where `boat` lies when nothing is.
pub fn asked_for(text: Option<&str>, boat: Option<&Loaded>) -> Result<Found, NoAnswer> {
    let set = stations()?;
    match text.filter(|text| !text.is_empty()) {
        Some(text) => match position(text) {
            Some(place) => nearest(set, place, text),
            None => named(set, text).map(|station| (station, None)),
        },
        None => match boat.and_then(lies_at) {
            Some(place) => nearest(set, place, "where she lies"),
            None => Err(NoAnswer::input(
                "give a place: the name of a station (Boston), or a position (42.35 N 71.05 W)",
            )),
        },
    }
}

/// Where she lies, where her document says so.
pub fn lies_at(boat: &Loaded) -> Option<Place> {
    let degrees = |key| Some(boat.document.number(key)?.value_si.to_degrees());
    Some(Place::of_degrees(degrees(field::place::LATITUDE)?, degrees(field::place::LONGITUDE)?))
}

/// Three names with the miles to each.
fn near_words(set: &'static Set<'static>, place: Place) -> String {
    let told = set.nearest(place, 3).into_iter().map(|(metres, station)| {
        format!("{} ({}, {} nm)", station.name, station.id, format_number(metres / NAUTICAL_MILE_M, 0))
    });
    told.collect::<Vec<_>>().join("; ")
}

fn nearest(set: &'static Set<'static>, place: Place, asked: &str) -> Result<Found, NoAnswer> {
    match set.nearest(place, 1).as_slice() {
        [(metres, station)] if *metres <= NEAR_M => Ok((station, Some(*metres))),
        _ => Err(NoAnswer::input(format!(
            "no station of the built-in set lies within 20 nm of {asked}. Name one, if its tide is that of the place, or \
             paste the waters from the official table. The nearest: {}",
            near_words(set, place)
        ))),
    }
}

/// The station of this name, or which names come near.
fn named(set: &'static Set<'static>, name: &str) -> Result<&'static Station<'static>, NoAnswer> {
    let found = set.by_name(name, 6);
    let told = |(_, station): &(usize, &Station<'_>)| {
        format!("{} ({}, {})", station.name, station.country, station.id)
    };
    let all = || found.iter().map(told).collect::<Vec<_>>().join("; ");
    match found.as_slice() {
        [] => Err(NoAnswer::input("give the name of a place: tide \"Saint Malo\"")),
        [(rank, _), ..] if *rank >= 10 => Err(NoAnswer::input(format!(
            "no station of the built-in set is called {name}; names like it: {}",
            all()
        ))),
        [(_, station)] => Ok(station),
        [(0, station), (next, _), ..] if *next > 0 => Ok(station),
        _ => Err(NoAnswer::input(format!(
            "{name} may be one of these; give the key in the brackets: {}",
            all()
        ))),
    }
}

/// `42.35 N 71.05 W`, `42 21.3 N 71 03 W` or `42.35, -71.05`; none where it is a name.
#[must_use]
pub fn position(text: &str) -> Option<Place> {
    let is_place = |c: char| c.is_ascii_digit() || " .,-+°'’\"″′NSEWnsew".contains(c);
    if !text.chars().all(is_place) || !text.chars().any(|c| c.is_ascii_digit()) {
        return None;
    }
    let upper = text.to_uppercase().replace(['°', '\'', '’', '′', '″', '"'], " ").replace(',', " ");
    let spaced: String =
        upper.chars().flat_map(|c| if c.is_alphabetic() { vec![' ', c, ' '] } else { vec![c] }).collect();
    let (mut degrees, mut numbers): (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
    let mut letters = Vec::new();
    for word in spaced.split_whitespace() {
        match word {
            "N" | "E" | "S" | "W" => {
                let sign = if "SW".contains(word) { -1.0 } else { 1.0 };
                degrees.push(sign * sexagesimal(&numbers)?);
                numbers.clear();
                letters.push("NS".contains(word));
            }
            number => numbers.push(number.parse().ok()?),
        }
    }
    if degrees.is_empty() {
        degrees = numbers;
    }
    // East or west may come first; two of one kind are no position.
    match letters.as_slice() {
        [] | [true, false] => {}
        [false, true] => degrees.reverse(),
        _ => return None,
    }
    match degrees.as_slice() {
        [latitude, longitude] if latitude.abs() <= 90.0 && longitude.abs() <= 180.0 => {
            Some(Place::of_degrees(*latitude, *longitude))
        }
        _ => None,
    }
}

fn sexagesimal(numbers: &[f64]) -> Option<f64> {
    match numbers {
        [degrees] => Some(*degrees),
        [degrees, minutes] => Some(degrees + minutes / 60.0),
        [degrees, minutes, seconds] => Some(degrees + minutes / 60.0 + seconds / 3600.0),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_are_read_in_every_usual_form() {
        for text in ["42.355 N 71.0505 W", "42 21.3 N 71 03.03 W", "42.355, -71.0505", "42°21.3'N 71°3.03'W"]
        {
            let place = position(text).unwrap();
            assert!((place.latitude_rad.to_degrees() - 42.355).abs() < 1e-6, "{text}");
            assert!((place.longitude_rad.to_degrees() + 71.0505).abs() < 1e-6, "{text}");
        }
        let turned = position("71.0505 W 42.355 N").unwrap();
        assert!((turned.latitude_rad.to_degrees() - 42.355).abs() < 1e-6);
        assert!(position("42 N 41 N").is_none() && position("10 E 12 W").is_none());
        assert!(position("Boston").is_none() && position("95 N 10 E").is_none());
    }
}
