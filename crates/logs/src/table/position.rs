//! Whole positions in one cell of a table: where it is parted, and which half stands first.
//! Not for: one angle alone (`place`).

use serde::{Deserialize, Serialize};
use wakewright_units::factors::DEGREE_RAD;

use super::letter::{LetterO, letter};
use super::place::angle;
use super::words::words;
use crate::fold::fold;

/// Which half of a position stands first in a cell whose letters do not tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PositionOrder {
    /// As ISO 6709 writes it.
    LatitudeFirst,
    /// As plane coordinates are written.
    LongitudeFirst,
}

/// Whether a column's name says that a whole position stands below it.
pub(super) fn says_position(head: &str) -> bool {
    const WORDS: [&str; 21] = [
        "position",
        "positions",
        "pos",
        "posit",
        "posisjon",
        "positie",
        "posicion",
        "posizione",
        "posicao",
        "sijainti",
        "paikka",
        "standort",
        "location",
        "latlon",
        "latlng",
        "latlong",
        "lonlat",
        "lnglat",
        "gps",
        "fix",
        "gnss",
    ];
    let parts = words(head);
    let has = |listed: &[&str]| parts.iter().any(|word| listed.iter().any(|known| word.starts_with(known)));
    parts.iter().any(|word| WORDS.contains(&word.as_str()))
        || has(&["coord", "koord", "coordenad"])
        || (has(&["lat", "breit", "bred", "lev"])
            && has(&["lon", "lng", "lang", "leng", "laeng", "pit", "pituus"]))
}

/// The order that a column's name says; `None` where it says none.
pub(super) fn order_said(head: &str) -> Option<PositionOrder> {
    let folded = fold(head);
    let at = |listed: &[&str]| listed.iter().filter_map(|word| folded.find(word)).min();
    let latitude = at(&["lat", "breit", "bred", "lev"]);
    let longitude = at(&["lon", "lng", "lang", "leng", "laeng", "pituus"]);
    match (latitude, longitude) {
        (Some(latitude), Some(longitude)) if latitude < longitude => Some(PositionOrder::LatitudeFirst),
        (Some(_), Some(_)) => Some(PositionOrder::LongitudeFirst),
        _ => None,
    }
}

/// A cell without brackets and words that only say what it is; true where it puts the longitude first by itself.
fn bare(cell: &str) -> (String, bool) {
    let trimmed = cell.trim();
    let is_point = trimmed.get(..5).is_some_and(|start| start.eq_ignore_ascii_case("point"));
    let rest = if is_point { &trimmed[5..] } else { trimmed };
    let mut text: String =
        rest.chars().filter(|c| !matches!(c, '(' | ')' | '[' | ']' | '{' | '}' | '<' | '>')).collect();
    if text.bytes().filter(u8::is_ascii_alphabetic).count() <= 2 {
        return (text.trim().trim_end_matches('/').trim().to_owned(), is_point);
    }
    // `lat: 54.1 lon: 10.2`.
    for word in ["latitude", "longitude", "lat", "lon", "lng"] {
        while let Some(at) = text.to_ascii_lowercase().find(word) {
            text.replace_range(at..at + word.len(), " ");
        }
    }
    let words: Vec<&str> = text.split([':', '=', ' ']).filter(|word| !word.is_empty()).collect();
    (words.join(" ").trim_end_matches('/').trim().to_owned(), is_point)
}

/// Where a cell may be parted into two halves, the likeliest first.
fn halves(text: &str, o: LetterO) -> Vec<(&str, &str)> {
    let at = |index: usize, length: usize| (&text[..index], &text[index + length..]);
    let mut all = Vec::new();
    let letters: Vec<(usize, char)> = text.char_indices().filter(|(_, c)| letter(*c, o).is_some()).collect();
    if let [first, second] = letters.as_slice() {
        let is_before = first.0 == 0;
        all.push(if is_before { at(second.0, 0) } else { at(first.0 + first.1.len_utf8(), 0) });
    }
    for mark in [";", "/", "|", ", "] {
        if text.matches(mark).count() == 1
            && let Some(index) = text.find(mark)
        {
            all.push(at(index, mark.len()));
        }
    }
    let commas: Vec<usize> = text.match_indices(',').map(|(index, _)| index).collect();
    match commas.as_slice() {
        // `54.1234,10.1234`.
        [one] if text.contains('.') => all.push(at(*one, 1)),
        // `54,1234,10,1234`.
        [_, middle, _] if !text.contains('.') => all.push(at(*middle, 1)),
        _ => {}
    }
    let blanks: Vec<usize> = text.match_indices(' ').map(|(index, _)| index).collect();
    if blanks.len() % 2 == 1 {
        all.push(at(blanks[blanks.len() / 2], 1));
    }
    // `+54.1234+010.1234`.
    if let Some((index, _)) = text.char_indices().skip(1).find(|(_, c)| matches!(c, '+' | '-'))
        && text.starts_with(['+', '-'])
    {
        all.push(at(index, 0));
    }
    all
}

/// Latitude and longitude of a cell \[rad\]; `None` where it holds no two angles, or none that can be.
pub(super) fn position_in(
    cell: &str,
    decimal_comma: bool,
    order: PositionOrder,
    o: LetterO,
) -> Option<(f64, f64)> {
    let (text, is_point) = bare(cell);
    halves(&text, o).into_iter().find_map(|(one, other)| {
        let read = |half: &str| angle(half.trim().trim_matches([',', ';', '/', '|']), decimal_comma, o);
        let (one, other) = (read(one)?, read(other)?);
        let is_latitude_first = match (one.is_latitude, other.is_latitude) {
            (Some(first), Some(second)) if first == second => return None,
            (Some(is_latitude), _) => is_latitude,
            (None, Some(is_latitude)) => !is_latitude,
            (None, None) if !(one.has_parts && other.has_parts) => return None,
            (None, None) => !is_point && order == PositionOrder::LatitudeFirst,
        };
        let (latitude, longitude) =
            if is_latitude_first { (one.degrees, other.degrees) } else { (other.degrees, one.degrees) };
        let fits = latitude.abs() <= 90.0 && longitude.abs() <= 180.0;
        fits.then_some((latitude * DEGREE_RAD, longitude * DEGREE_RAD))
    })
}

/// How a column of whole positions is written, and whether its order is only taken, not told; `None` for any other.
pub(super) fn order_of(
    head: &str,
    cells: &[&str],
    decimal_comma: bool,
    o: LetterO,
) -> Option<(PositionOrder, bool)> {
    let count = |order: PositionOrder| {
        cells.iter().filter(|cell| position_in(cell, decimal_comma, order, o).is_some()).count()
    };
    let has_letters = |cell: &&&str| {
        let (text, is_point) = bare(cell);
        is_point
            || (text.contains(['N', 'S', 'n', 's'])
                && text.contains(['E', 'W', 'O', 'V', 'Ø', 'Ö', 'e', 'w', 'o', 'ø', 'ö']))
    };
    let lettered = cells.iter().filter(has_letters).count();
    if cells.is_empty() || !(says_position(head) || 10 * lettered >= 9 * cells.len()) {
        return None;
    }
    let (as_latitude, as_longitude) =
        (count(PositionOrder::LatitudeFirst), count(PositionOrder::LongitudeFirst));
    if 2 * as_latitude.max(as_longitude) <= cells.len() {
        return None;
    }
    if lettered == cells.len() {
        return Some((PositionOrder::LatitudeFirst, false));
    }
    match order_said(head) {
        Some(order) => Some((order, false)),
        // A latitude beyond ninety degrees is none.
        None if as_longitude > as_latitude => Some((PositionOrder::LongitudeFirst, false)),
        None => Some((PositionOrder::LatitudeFirst, as_longitude == as_latitude)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LAT: PositionOrder = PositionOrder::LatitudeFirst;

    fn near(cell: &str, comma: bool, order: PositionOrder, o: LetterO, expected: (f64, f64)) {
        let read = position_in(cell, comma, order, o);
        let (lat, lon) = read.map_or((f64::NAN, f64::NAN), |(a, b)| (a / DEGREE_RAD, b / DEGREE_RAD));
        assert!((lat - expected.0).abs() < 1e-5 && (lon - expected.1).abs() < 1e-5, "{cell}: {lat} {lon}");
    }

    #[test]
    fn one_cell_holds_a_position() {
        let minutes = (54.0 + 7.4 / 60.0, 10.0 + 8.1 / 60.0);
        for cell in [
            "54°07.4'N 010°08.1'E",
            "(54°07.4'N, 010°08.1'E)",
            "N54°07.4' E010°08.1'",
            "N 54° 7.4', E 10° 8.1'",
            "54 07.4 N 010 08.1 E",
            "5407.4N 01008.1E",
            "5407.4N/01008.1E",
            "54 07.4 010 08.1",
            "54°07'24\"N 10°08'06\"E",
            "10°08.1'E 54°07.4'N",
            "54°07,4'N 010°08,1'E",
            "[54.123333, 10.135]",
            "lat: 54.123333 lon: 10.135",
            "54.123333;10.135",
            "54.123333/10.135",
            "54.123333,10.135",
            "54.123333 10.135",
            "+54.123333+010.135/",
            "POINT (10.135 54.123333)",
            "54,123333, 10,135000",
            "54,123333 10,135",
            "54,123333,10,135",
        ] {
            near(cell, cell.contains(',') && !cell.contains('.'), LAT, LetterO::East, minutes);
        }
        near("33.5 S, 151.25 E", false, LAT, LetterO::East, (-33.5, 151.25));
        near("-33.5, -70.6", false, LAT, LetterO::East, (-33.5, -70.6));
        near("48°23,0'N 004°29,5'O", true, LAT, LetterO::West, (48.0 + 23.0 / 60.0, -(4.0 + 29.5 / 60.0)));
        near("50.5N 00030.5W", false, LAT, LetterO::East, (50.5, -30.5 / 60.0));
        near("10.135, 54.123333", false, PositionOrder::LongitudeFirst, LetterO::East, (54.123333, 10.135));
        for cell in [
            "54.1234",
            "5,74",
            "1 100",
            "12.5 V",
            "54.1N 55.2N",
            "190.0, 95.0",
            "54 77.4 N 010 08.1 E",
            "out",
            "2026-05-02 14:05:00",
            "1,2,3,4,5,6,7",
        ] {
            assert_eq!(position_in(cell, false, LAT, LetterO::East), None, "{cell}");
        }
    }

    #[test]
    fn names_say_position_and_order() {
        for head in [
            "Position",
            "Pos",
            "LatLon",
            "Lat/Lon",
            "lat,lng",
            "Posición",
            "Posizione",
            "Posição",
            "Sijainti",
            "Positie",
            "Posisjon",
            "Koordinaten",
            "coordonnées",
            "Breite/Länge",
            "GPS",
            "Standort",
        ] {
            assert!(says_position(head), "{head}");
        }
        for head in ["SOG", "Time", "Volts", "Plate voltage"] {
            assert!(!says_position(head), "{head}");
        }
        assert_eq!(order_said("Lon/Lat"), Some(PositionOrder::LongitudeFirst));
        assert_eq!(order_said("Breite, Länge"), Some(LAT));
        assert_eq!(order_said("Position"), None);
    }
}
