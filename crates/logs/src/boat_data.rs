//! The open boat-data form: JSON objects with updates, each with a time and values by path, in SI.
//! Not for: whole trees of a boat's data at one instant.

use std::borrow::Cow;
use std::io::BufRead;

use serde::Deserialize;
use serde_json::Value;
use wakewright_units::factors::DEGREE_RAD;

use super::LogError;
use super::bad::BadKind;
use super::clock::parse_iso;
use super::json::Objects;
use super::log::{Builder, Log, Source, TimeBase};
use super::measured::Measured as M;
use super::notice::LogNotice;

#[derive(Deserialize)]
struct Delta<'a> {
    /// Whose data it is: the boat's own, or another's that it has heard of.
    #[serde(borrow, default)]
    context: Option<Cow<'a, str>>,
    #[serde(borrow)]
    updates: Vec<Update<'a>>,
}

#[derive(Deserialize)]
struct Update<'a> {
    #[serde(borrow, default)]
    timestamp: Option<Cow<'a, str>>,
    #[serde(borrow, rename = "$source", default)]
    source: Option<Cow<'a, str>>,
    #[serde(borrow, default)]
    values: Vec<PathValue<'a>>,
}

#[derive(Deserialize)]
struct PathValue<'a> {
    #[serde(borrow)]
    path: Cow<'a, str>,
    value: Value,
}

/// True when a text is made of such objects.
pub(super) fn looks_like(text: &str) -> bool {
    ["\"updates\"", "\"values\"", "\"path\""].iter().all(|word| text.contains(word))
}

/// Reads all objects.
/// # Errors
/// [`LogError::Io`] when the reader fails; nothing in the log itself is an error.
pub(super) fn read(reader: impl BufRead) -> Result<Log, LogError> {
    let mut objects = Objects::new(reader);
    let mut builder = Builder::new();
    let (mut own, mut others) = (String::new(), std::collections::BTreeSet::new());
    while let Some(object) = objects.next()? {
        builder.line = object.line;
        let Ok(bytes) = object.bytes else {
            builder.bad(BadKind::TooLong);
            continue;
        };
        match serde_json::from_slice::<Delta<'_>>(bytes) {
            Ok(delta) => {
                let context = delta.context.as_deref().unwrap_or_default();
                if own.is_empty() && is_vessel(context) {
                    context.clone_into(&mut own);
                }
                // Until the boat's own name is heard the first that speaks is she.
                if is_vessel(context) && !is_own(context) && *own != *context {
                    others.insert(context.to_owned());
                    continue;
                }
                if is_vessel(context) && is_own(context) && !is_own(&own) {
                    // What was taken for her was another.
                    others.insert(std::mem::replace(&mut own, context.to_owned()));
                    builder = Builder::new();
                    builder.line = object.line;
                }
                delta.updates.iter().for_each(|update| take(update, &mut builder));
            }
            // The first object of a stream only greets.
            Err(_) if !looks_like(&String::from_utf8_lossy(bytes)) => builder.remarks += 1,
            Err(_) => builder.bad(BadKind::NotUnderstood),
        }
    }
    if objects.is_broken_off {
        builder.line = objects.number;
        builder.bad(BadKind::BrokenOff);
    }
    if !others.is_empty() {
        let first = others.iter().next().map_or("", String::as_str);
        builder.notices.push(LogNotice::LeftOut(format!(
            "{} other vessel{} left out ({first}{}): what is read is of {own}.",
            others.len(),
            if others.len() == 1 { "" } else { "s" },
            if others.len() == 1 { "" } else { ", ..." },
        )));
    }
    Ok(builder.finish(objects.number))
}

fn is_vessel(context: &str) -> bool {
    context.starts_with("vessels.")
}

fn is_own(context: &str) -> bool {
    context == "vessels.self"
}

fn take(update: &Update<'_>, builder: &mut Builder) {
    if let Some(text) = &update.timestamp {
        match parse_iso(text) {
            Some((time_s, _)) => builder.set_time(TimeBase::Utc, time_s),
            None => {
                builder.bad(BadKind::BadTime);
                return;
            }
        }
    }
    for value in &update.values {
        let last = value.path.rsplit('.').next().unwrap_or_default();
        builder.message(last.as_bytes());
        let name = match &update.source {
            Some(source) => format!("{}@{source}", value.path),
            None => value.path.to_string(),
        };
        let source = Source::named(&name);
        if let Value::Object(parts) = &value.value {
            let number = |key: &str| parts.get(key).and_then(Value::as_f64);
            let all = match &*value.path {
                "navigation.position" => [
                    (M::Latitude, number("latitude"), DEGREE_RAD),
                    (M::Longitude, number("longitude"), DEGREE_RAD),
                ],
                "navigation.attitude" => [(M::Heel, number("roll"), 1.0), (M::Pitch, number("pitch"), 1.0)],
                _ => continue,
            };
            for (measured, number, unit) in all {
                if let Some(number) = number {
                    builder.push(measured, source, number * unit);
                }
            }
            continue;
        }
        if let Some(number) = value.value.as_f64()
            && let Some(measured) = measured_of(&value.path)
        {
            builder.push(measured, source, number);
        }
    }
}

fn measured_of(path: &str) -> Option<M> {
    let known = match path {
        "navigation.speedOverGround" => M::SpeedOverGround,
        "navigation.speedThroughWater" => M::SpeedThroughWater,
        "navigation.courseOverGroundTrue" => M::CourseOverGround,
        "navigation.courseOverGroundMagnetic" => M::CourseOverGroundMagnetic,
        "navigation.headingTrue" => M::HeadingTrue,
        "navigation.headingMagnetic" => M::HeadingMagnetic,
        "navigation.magneticVariation" => M::MagneticVariation,
        "environment.depth.belowTransducer" => M::DepthBelowTransducer,
        "environment.depth.belowSurface" => M::DepthBelowSurface,
        "environment.wind.speedApparent" => M::ApparentWindSpeed,
        "environment.wind.angleApparent" => M::ApparentWindAngle,
        "environment.wind.speedTrue" | "environment.wind.speedOverGround" => M::TrueWindSpeed,
        "environment.wind.angleTrueWater" => M::TrueWindAngle,
        "environment.wind.directionTrue" => M::TrueWindDirection,
        "environment.water.temperature" => M::WaterTemperature,
        "environment.outside.temperature" => M::AirTemperature,
        _ => {
            let (front, last) = path.rsplit_once('.')?;
            return match (front.split('.').next()?, last) {
                ("propulsion", "revolutions") => Some(M::MotorSpeed),
                ("propulsion", "temperature") => Some(M::MotorTemperature),
                ("electrical", "voltage") if front.starts_with("electrical.batteries") => Some(M::Voltage),
                ("electrical", "current") if front.starts_with("electrical.batteries") => Some(M::Current),
                ("electrical", "power") if front.starts_with("electrical.batteries") => Some(M::Power),
                ("electrical", "temperature") if front.starts_with("electrical.batteries") => {
                    Some(M::BatteryTemperature)
                }
                ("electrical", "stateOfCharge") => Some(M::StateOfCharge),
                _ => None,
            };
        }
    };
    Some(known)
}
