//! Tracks of other forms than GPX: KML, GeoJSON, IGC. Positions with times; speed and course over
//! ground come from them as they do in GPX.
//! Not for: ways without times, heights.

use std::collections::VecDeque;
use std::io::{BufRead, BufReader};

use quick_xml::Reader;
use quick_xml::events::Event;
use serde_json::Value;
use wakewright_units::factors::DEGREE_RAD;

use super::LogError;
use super::bounded::Bounded;
use super::clock::parse_iso;
use super::log::Log;
use super::track::{Point, Track};
use super::unpack::whole;

pub(super) fn point(latitude: f64, longitude: f64, time_s: Option<f64>) -> Point {
    Point {
        latitude: (latitude.abs() <= 90.0).then_some(latitude * DEGREE_RAD),
        longitude: (longitude.abs() <= 180.0).then_some(longitude * DEGREE_RAD),
        time_s,
        ..Point::default()
    }
}

/// Reads KML: tracks of times and coordinates, or places each with its time.
/// # Errors
/// [`LogError::Io`] when the reader fails; XML that is not well formed ends the log there.
pub(super) fn read_kml(reader: impl BufRead) -> Result<Log, LogError> {
    let mut xml = Reader::from_reader(BufReader::new(Bounded::new(reader, b'<')));
    xml.config_mut().check_end_names = false;
    let mut track = Track::default();
    let mut buffer = Vec::new();
    let mut written = String::new();
    let mut times: VecDeque<Option<f64>> = VecDeque::new();
    let mut waiting: VecDeque<(f64, f64)> = VecDeque::new();
    const LONGEST: usize = 1 << 20;
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer) {
            Ok(Event::Eof) => break,
            Ok(Event::Start(element)) => {
                written.clear();
                if matches!(element.local_name().as_ref(), "SimpleArrayData" | "SimpleData" | "Data") {
                    let mut all = element.attributes().flatten();
                    if let Some(name) = all.find(|a| a.key.local_name().as_ref() == "name") {
                        track.left(&name.value);
                    }
                }
                if matches!(element.local_name().as_ref(), "Track" | "Placemark") {
                    track.begin_piece();
                    times.clear();
                    waiting.clear();
                }
            }
            Ok(Event::Text(text)) if written.len() + text.len() <= LONGEST => written.push_str(&text),
            Ok(Event::End(element)) => match element.local_name().as_ref() {
                "when" => {
                    let read = parse_iso(&written);
                    track.without_zone += u64::from(read.is_some_and(|(_, has_zone)| !has_zone));
                    times.push_back(read.map(|(time_s, _)| time_s));
                }
                "coord" => place(&written, char::is_whitespace, &mut waiting),
                "coordinates" => {
                    for one in written.split_whitespace() {
                        place(one, |c| c == ',', &mut waiting);
                    }
                    // A way has no times; a place has the one that stands before it or after it.
                    if waiting.len() > 1 && times.is_empty() {
                        for (longitude, latitude) in waiting.drain(..) {
                            track.next_point(&point(latitude, longitude, None));
                        }
                    }
                }
                "Placemark" | "Track" => {
                    for (longitude, latitude) in waiting.drain(..) {
                        track.next_point(&point(latitude, longitude, None));
                    }
                }
                _ => {}
            },
            Ok(_) => {}
            Err(quick_xml::Error::Io(error)) => {
                return Err(LogError::Io(std::io::Error::new(error.kind(), error.to_string())));
            }
            Err(_) => {
                track.broken();
                break;
            }
        }
        while let (Some(_), Some((longitude, latitude))) = (times.front(), waiting.front().copied()) {
            waiting.pop_front();
            let time_s = times.pop_front().flatten();
            track.next_point(&Point { is_bad: time_s.is_none(), ..point(latitude, longitude, time_s) });
        }
    }
    Ok(track.finish())
}

fn place(text: &str, is_mark: impl Fn(char) -> bool, into: &mut VecDeque<(f64, f64)>) {
    let mut numbers = text.trim().split(is_mark).map(str::parse::<f64>);
    if let (Some(Ok(longitude)), Some(Ok(latitude))) = (numbers.next(), numbers.next()) {
        into.push_back((longitude, latitude));
    }
}

/// Reads GeoJSON: points with a time among their properties, lines with a list of times.
/// # Errors
/// [`LogError`]: the reader's own, or no JSON.
pub(super) fn read_geojson(reader: impl BufRead) -> Result<Log, LogError> {
    const LONGEST: u64 = 64 << 20;
    let bytes = whole(reader, LONGEST, "a track as GeoJSON")?;
    let all: Value = serde_json::from_slice(&bytes).map_err(|error| {
        LogError::Io(std::io::Error::other(format!("JSON that breaks off or is not well formed: {error}")))
    })?;
    let mut track = Track::default();
    match all.get("features").and_then(Value::as_array) {
        Some(features) => features.iter().for_each(|feature| take(feature, &mut track)),
        None => take(&all, &mut track),
    }
    Ok(track.finish())
}

/// Names of a point's time.
const TIMES: [&str; 4] = ["time", "timestamp", "datetime", "date"];

fn time_of(value: &Value) -> Option<f64> {
    match value {
        Value::String(text) => parse_iso(text).map(|(time_s, _)| time_s),
        Value::Number(number) => {
            number.as_f64().map(|n| if n > 3e11 { n / 1e3 } else { n }).filter(|n| *n > 3e8)
        }
        _ => None,
    }
}

pub(super) fn take(feature: &Value, track: &mut Track) {
    let geometry = feature.get("geometry").unwrap_or(feature);
    let Some(coordinates) = geometry.get("coordinates").and_then(Value::as_array) else { return };
    let empty = Value::Null;
    let properties = feature.get("properties").unwrap_or(&empty);
    let pair = |value: &Value| Some((value.get(0)?.as_f64()?, value.get(1)?.as_f64()?));
    match geometry.get("type").and_then(Value::as_str) {
        Some("Point") => {
            let time = TIMES.iter().find_map(|key| time_of(properties.get(key)?));
            if let Some((longitude, latitude)) = pair(&Value::Array(coordinates.clone())) {
                let mut point = point(latitude, longitude, time);
                let told = properties.as_object().into_iter().flatten();
                for (name, value) in told.filter(|(name, _)| !TIMES.contains(&name.as_str())) {
                    if let Some(number) = value.as_f64() {
                        track.told(&mut point, name, number);
                    }
                }
                track.next_point(&point);
            }
        }
        Some(kind @ ("LineString" | "MultiLineString")) => {
            let times = ["coordTimes", "times", "timestamps"]
                .iter()
                .find_map(|key| {
                    properties.get(key).or_else(|| properties.get("coordinateProperties")?.get(key))
                })
                .and_then(Value::as_array);
            let lines: Vec<(&Vec<Value>, Option<&Vec<Value>>)> = if kind == "LineString" {
                vec![(coordinates, times)]
            } else {
                let of_line = |i: usize| times.and_then(|times| times.get(i)?.as_array());
                coordinates
                    .iter()
                    .enumerate()
                    .filter_map(|(i, line)| Some((line.as_array()?, of_line(i))))
                    .collect()
            };
            for (line, times) in lines {
                track.begin_piece();
                for (i, place) in line.iter().enumerate() {
                    let time = times.and_then(|times| time_of(times.get(i)?));
                    if let Some((longitude, latitude)) = pair(place) {
                        track.next_point(&point(latitude, longitude, time));
                    }
                }
            }
        }
        _ => {}
    }
}
