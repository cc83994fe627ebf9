//! Which station of the built-in set a place is: by name, by key, by the nearest to a position, or to where she lies.
//! Not for: its waters.

use std::io::Read;
use std::sync::OnceLock;

use wakewright_core::field;
use wakewright_core::solar::Place;
use wakewright_core::tide::{Current, Currents, Set, Station, TideError};
use wakewright_units::factors::NAUTICAL_MILE_M;
use wakewright_units::format_number;

use crate::boats::Loaded;
use crate::no_answer::NoAnswer;

static STATIONS: &[u8] = include_bytes!("../../data/tide/stations.tsv.gz");

/// How far from a place its nearest station may be and still speak for it \[m\]; common practice, no source.
const NEAR_M: f64 = 20.0 * NAUTICAL_MILE_M;

/// A station, and how far it is from the position that was asked for, where one was.
pub type Found = (&'static Station<'static>, Option<f64>);

/// What is made of the text of the built-in set.
type Made<T> = OnceLock<Result<T, String>>;

fn text() -> Result<&'static str, String> {
    static TEXT: Made<&str> = OnceLock::new();
    let unpacked = || {
        let mut text = String::new();
        let read = flate2::read::GzDecoder::new(STATIONS).read_to_string(&mut text);
        read.map_err(|error| format!("the built-in tide set cannot be unpacked: {error}"))?;
        Ok(&*String::leak(text))
    };
    TEXT.get_or_init(unpacked).clone()
}

/// The built-in set.
pub fn stations() -> Result<&'static Set<'static>, NoAnswer> {
    static SET: Made<Set<'static>> = OnceLock::new();
    let set = SET.get_or_init(|| Set::parse(text()?).map_err(|error| error.to_string()));
    set.as_ref().map_err(|error| NoAnswer::input(error.clone()))
}

/// The stream at a station that is asked for by key, with its bin where it has one, or by name.
/// # Errors
/// A bin that the set does not hold; names that come near.
pub fn current(asked: &str) -> Result<(&'static Station<'static>, Current), NoAnswer> {
    static SET: Made<Currents<'static>> = OnceLock::new();
    let set = SET.get_or_init(|| Currents::parse(text()?).map_err(|error| error.to_string()));
    let set = set.as_ref().map_err(|error| NoAnswer::input(error.clone()))?;
    let refused = |error: TideError| NoAnswer::input(error.to_string());
    let station = match set.by_key(asked.trim()).map_err(refused)? {
        Some(station) => station,
        None => named(set.set(), asked)?,
    };
    Ok((station, set.current(station).map_err(refused)?))
}

/// The station that is asked for by `text`; by where `boat` lies when nothing is.
pub fn asked_for(text: Option<&str>, boat: Option<&Loaded>) -> Result<Found, NoAnswer> {
    let set = stations()?;
    match text.map(str::trim).filter(|text| !text.is_empty()) {
        Some(text) => match position(text) {
            Some(Ok(place)) => nearest(set, place, text),
            Some(Err(why)) => Err(NoAnswer::Input(why)),
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
        [] => Err(NoAnswer::input("give the name of a place, 80 letters at most: tide \"Saint Malo\"")),
        // A word that only holds the name is another place: Corkscrew Slough is not Cork.
        [(rank, _), ..] if *rank >= 3 => Err(NoAnswer::input(format!(
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

/// `42.35 N 71.05 W`, `42,35 N 71,05 W`, `42 21.3 N 71 03 W` or `42.35, -71.05`; none where it is a name.
/// # Errors
/// It is written as a position and is none: what is wrong with it.
pub fn position(text: &str) -> Option<Result<Place, String>> {
    let is_place = |c: char| c.is_ascii_digit() || " .,-−+°'’\"″′NSEWOnsewo".contains(c);
    let has_digit = text.chars().any(|c| c.is_ascii_digit());
    let is_letter = |word: &str| matches!(word.to_uppercase().as_str(), "N" | "S" | "E" | "W" | "O");
    let words = || text.split_whitespace();
    let is_number = |word: &str| word.trim_end_matches([',', '°']).parse::<f64>().is_ok();
    let is_meant = has_digit && text.chars().all(is_place)
        || words().any(is_letter)
            && words().any(is_number)
            && words().all(|word| is_letter(word) || is_number(word));
    is_meant.then(|| read_position(text))
}

fn read_position(text: &str) -> Result<Place, String> {
    let wrong =
        |why: &str| format!("\"{text}\" is no position: {why}. Write 42.35 N 71.05 W, or 42 21.3 N 71 03 W");
    let upper = text.to_uppercase().replace('−', "-");
    let upper =
        with_decimal_points(&upper).ok_or_else(|| wrong("its commas may be decimals or part the two"))?;
    let upper = upper.replace(['°', '\'', '’', '′', '″', '"', ','], " ");
    let spaced: String =
        upper.chars().flat_map(|c| if c.is_alphabetic() { vec![' ', c, ' '] } else { vec![c] }).collect();
    let (mut degrees, mut numbers): (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
    let mut letters = Vec::new();
    for word in spaced.split_whitespace() {
        match word {
            "N" | "E" | "S" | "W" => {
                if numbers.iter().any(|number: &f64| number.is_sign_negative()) {
                    return Err(wrong("a letter and a minus tell the side twice"));
                }
                let sign = if "SW".contains(word) { -1.0 } else { 1.0 };
                let value = sexagesimal(&numbers)
                    .ok_or_else(|| wrong("degrees, minutes and seconds stand before the letter"))?;
                degrees.push(sign * value);
                numbers.clear();
                letters.push("NS".contains(word));
            }
            "O" => return Err(wrong("O is east in one tongue and west in another; write E or W")),
            number => match number.parse::<f64>() {
                Ok(value) if value.is_finite() => numbers.push(value),
                _ => return Err(wrong(&format!("{number} is no number"))),
            },
        }
    }
    if degrees.is_empty() {
        degrees = numbers;
    } else if !numbers.is_empty() {
        return Err(wrong("something stands behind the last letter"));
    }
    // East or west may come first; two of one kind are no position.
    match letters.as_slice() {
        [] | [true, false] => {}
        [false, true] => degrees.reverse(),
        _ => return Err(wrong("one of N and S, and one of E and W, are needed")),
    }
    match degrees.as_slice() {
        [latitude, _] if latitude.abs() > 90.0 => Err(wrong("a latitude goes to 90")),
        [_, longitude] if longitude.abs() > 180.0 => Err(wrong("a longitude goes to 180")),
        [latitude, longitude] => Ok(Place::of_degrees(*latitude, *longitude)),
        _ => Err(wrong("a latitude and a longitude are needed")),
    }
}

/// The text with decimal commas as points: a comma between two digits, where no point is written anywhere. Without letters
/// one such comma may as well part latitude and longitude: nothing then.
fn with_decimal_points(text: &str) -> Option<String> {
    let chars: Vec<char> = text.chars().collect();
    let is_digit =
        |place: Option<usize>| place.and_then(|at| chars.get(at)).is_some_and(char::is_ascii_digit);
    let is_decimal = |at: usize| chars[at] == ',' && is_digit(at.checked_sub(1)) && is_digit(Some(at + 1));
    let decimals = (0..chars.len()).filter(|at| is_decimal(*at)).count();
    if text.contains('.') || decimals == 0 {
        return Some(text.to_owned());
    }
    if decimals == 1 && !text.chars().any(char::is_alphabetic) {
        return None;
    }
    Some((0..chars.len()).map(|at| if is_decimal(at) { '.' } else { chars[at] }).collect())
}

fn sexagesimal(numbers: &[f64]) -> Option<f64> {
    match numbers {
        [degrees] => Some(*degrees),
        [degrees, minutes] if *minutes < 60.0 => Some(degrees + minutes / 60.0),
        [degrees, minutes, seconds] if *minutes < 60.0 && *seconds < 60.0 => {
            Some(degrees + minutes / 60.0 + seconds / 3600.0)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_are_read_in_every_usual_form() {
        let read =
            |text: &str| position(text).unwrap().map(|place| (place.latitude_rad, place.longitude_rad));
        for text in [
            "42.355 N 71.0505 W",
            "42,355 N 71,0505 W",
            "42 21.3 N 71 03.03 W",
            "42.355, -71.0505",
            "42.355,-71.0505",
            "42,355 -71,0505",
            "42°21.3'N 71°3.03'W",
            "71.0505 W 42.355 N",
        ] {
            let (latitude, longitude) = read(text).unwrap();
            assert!((latitude.to_degrees() - 42.355).abs() < 1e-6, "{text}");
            assert!((longitude.to_degrees() + 71.0505).abs() < 1e-6, "{text}");
        }
        for (text, why) in [
            ("nan N nan W", "before the letter"),
            ("42.35 N -71.05 W", "twice"),
            ("42.35 N 71.05 O", "east in one tongue"),
            ("42 N 41 N", "one of N and S"),
            ("91 N 0 E", "90"),
            ("42.35 N 431.05 W", "180"),
            ("42,35", "decimals"),
            ("42 75 N 3 E", "before the letter"),
        ] {
            let said = position(text).unwrap_or_else(|| panic!("{text}")).unwrap_err();
            assert!(said.contains(why), "{text}: {said}");
        }
        assert!(
            position("Boston").is_none()
                && position("Nandi Waters").is_none()
                && position("Pier 5").is_none()
        );
    }
}
