//! Bus messages that a program has taken apart: objects with a group's number and named fields.
//! Not for: frames (`n2k`).

use std::borrow::Cow;
use std::io::BufRead;

use serde::Deserialize;
use serde_json::{Map, Value};
use wakewright_units::factors::{DEGREE_RAD, RPM_REV_S, ZERO_CELSIUS_K};

use super::LogError;
use super::bad::BadKind;
use super::bus_fields::{FIELDS, U, plain};
use super::clock::{DAY_S, DateOrder, Day, parse_stamp};
use super::json::Objects;
use super::log::{Builder, Log, Source, TimeBase};
use super::measured::Measured as M;

#[derive(Deserialize)]
struct Message<'a> {
    #[serde(borrow, default)]
    timestamp: Option<Cow<'a, str>>,
    pgn: u32,
    #[serde(default)]
    src: Option<u8>,
    #[serde(default)]
    fields: Map<String, Value>,
}

/// True when a text is made of such objects.
pub(super) fn looks_like(text: &str) -> bool {
    text.contains("\"pgn\"") && text.contains("\"fields\"")
}

/// Whether angles of the file are degrees: some angle in its beginning is more than a turn in radians.
fn has_degrees(head: &[u8]) -> bool {
    let mut objects = Objects::new(head);
    while let Ok(Some(object)) = objects.next() {
        let Ok(bytes) = object.bytes else { continue };
        let Ok(message) = serde_json::from_slice::<Message<'_>>(bytes) else { continue };
        let is_degrees = message.fields.iter().any(|(name, value)| {
            let name = plain(name);
            let is_angle = FIELDS
                .iter()
                .any(|(pgn, field, _, unit)| *pgn == message.pgn && *field == name && *unit == U::Angle);
            is_angle && value.as_f64().is_some_and(|number| number.abs() > 6.4)
        });
        if is_degrees {
            return true;
        }
    }
    false
}

/// Reads all objects.
/// # Errors
/// [`LogError::Io`] when the reader fails; nothing in the log itself is an error.
pub(super) fn read(mut reader: impl BufRead) -> Result<Log, LogError> {
    let angle = if has_degrees(reader.fill_buf()?) { DEGREE_RAD } else { 1.0 };
    let mut objects = Objects::new(reader);
    let mut builder = Builder::new();
    while let Some(object) = objects.next()? {
        builder.line = object.line;
        match object.bytes {
            Err(()) => builder.bad(BadKind::TooLong),
            Ok(bytes) => match serde_json::from_slice::<Message<'_>>(bytes) {
                Ok(message) => take(&message, angle, &mut builder),
                Err(_) => builder.bad(BadKind::NotUnderstood),
            },
        }
    }
    if objects.is_broken_off {
        builder.line = objects.number;
        builder.bad(BadKind::BrokenOff);
    }
    Ok(builder.finish(objects.number))
}

fn take(message: &Message<'_>, angle: f64, builder: &mut Builder) {
    builder.message(message.pgn.to_string().as_bytes());
    if let Some(text) = &message.timestamp {
        match parse_stamp(text, DateOrder::Year).map(|stamp| (stamp.day, stamp)) {
            Some((Day::Of(days), stamp)) => {
                builder.set_time(
                    TimeBase::Utc,
                    days as f64 * DAY_S + stamp.second_s - stamp.zone_s.unwrap_or(0.0),
                );
            }
            Some((_, stamp)) => builder.set_time(TimeBase::TimeOfDay, stamp.second_s),
            None => {
                builder.bad(BadKind::BadTime);
                return;
            }
        }
    }
    let find = |names: &[&str]| {
        message.fields.iter().find(|(name, _)| names.contains(&plain(name).as_str())).map(|(_, value)| value)
    };
    let instance = find(&[
        "instance",
        "batteryinstance",
        "engineinstance",
        "temperatureinstance",
        "connectionnumber",
        "sourceinstance",
    ])
    .and_then(|value| {
        value
            .as_u64()
            .or_else(|| value.as_str()?.bytes().rev().find(u8::is_ascii_digit).map(|b| u64::from(b - b'0')))
    })
    .unwrap_or(0);
    let source = Source::Bus {
        address: message.src.unwrap_or(0),
        pgn: message.pgn,
        instance: instance as u8,
        network: 0,
    };
    let reference =
        find(&["reference", "cogreference"]).and_then(Value::as_str).map(plain).unwrap_or_default();
    if matches!(message.pgn, 130_311 | 130_312 | 130_316) {
        warmth(message, source, builder);
        return;
    }
    for (name, value) in &message.fields {
        let name = plain(name);
        let Some((_, _, measured, unit)) =
            FIELDS.iter().find(|(pgn, field, ..)| *pgn == message.pgn && *field == name)
        else {
            continue;
        };
        let Some(number) = value.as_f64() else { continue };
        let Some(measured) = referred(*measured, &reference) else { continue };
        let si = match unit {
            U::Plain => number,
            U::Angle if angle == 1.0 && number.abs() > 6.4 => {
                builder.bad(BadKind::Impossible);
                continue;
            }
            U::Angle => number * angle,
            U::Degree => number * DEGREE_RAD,
            U::Rpm => number * RPM_REV_S,
            U::Percent => number / 100.0,
            U::Warmth => kelvin(number),
        };
        builder.push(measured, source, si);
    }
}

/// Celsius goes to 150, kelvin begins at 200.
fn kelvin(number: f64) -> f64 {
    if number > 200.0 { number } else { number + ZERO_CELSIUS_K }
}

fn referred(measured: M, reference: &str) -> Option<M> {
    let is_magnetic = reference.starts_with("magnetic");
    Some(match measured {
        M::HeadingTrue if is_magnetic => M::HeadingMagnetic,
        M::CourseOverGround if is_magnetic => M::CourseOverGroundMagnetic,
        M::ApparentWindSpeed if reference.starts_with("true") => M::TrueWindSpeed,
        M::ApparentWindAngle
            if reference.starts_with("truegroundreferenced") || reference.contains("north") =>
        {
            M::TrueWindDirection
        }
        M::ApparentWindAngle if reference.starts_with("true") => M::TrueWindAngle,
        M::ApparentWindAngle if is_magnetic => return None,
        other => other,
    })
}

fn warmth(message: &Message<'_>, source: Source, builder: &mut Builder) {
    let mut number = None;
    let mut measured = None;
    for (name, value) in &message.fields {
        match plain(name).as_str() {
            "temperature" | "actualtemperature" => number = value.as_f64(),
            "source" | "temperaturesource" => {
                measured = value.as_str().map(plain).and_then(|word| match word.as_str() {
                    "seatemperature" => Some(M::WaterTemperature),
                    "outsidetemperature" => Some(M::AirTemperature),
                    _ => None,
                });
            }
            _ => {}
        }
    }
    if let (Some(number), Some(measured)) = (number, measured) {
        builder.push(measured, source, kelvin(number));
    }
}
