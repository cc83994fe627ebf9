//! What may be asked of a dry-out, and the fields of its page. Not for: the case that is made of it (`asked`).

use jiff::civil::Time;
use wakewright_core::field;
use wakewright_units::{Quantity, read_quantity};

use crate::boats::Loaded;
use crate::room::{Question, Reply, Typed};
use crate::tide::questions::{self, read_height};

/// A median and half its band, `1.70 m ± 0.10 m`.
fn read_banded(text: &str) -> Result<Reply, String> {
    let read = |part: &str| read_quantity(part.trim(), Quantity::Length).map_err(|error| error.to_string());
    let parts = text.split_once('±').or_else(|| text.split_once("+-")).or_else(|| text.split_once("+/-"));
    let (value, within) = match parts {
        Some((value, within)) => (read(value)?.si, vec![read(within)?.si.abs()]),
        None => (read(text)?.si, Vec::new()),
    };
    if (-5.0..=20.0).contains(&value) && within.iter().all(|within| *within <= 5.0) {
        Ok(Reply::Numbers([vec![value], within].concat()))
    } else {
        Err("give a height from -5 to 20 m, such as 1.70 m ± 0.10 m".to_owned())
    }
}

fn read_hour(text: &str) -> Result<Reply, String> {
    let time =
        text.trim().parse::<Time>().map_err(|_| format!("{text} is no hour of the day; write 08:00"))?;
    Ok(Reply::Number(f64::from(time.hour()) * 3600.0 + f64::from(time.minute()) * 60.0))
}

const fn asks(
    key: &'static str,
    value_name: &'static str,
    help: &'static str,
    read: fn(&str) -> Result<Reply, String>,
) -> Question {
    Question { key, value_name: Some(value_name), help, read }
}

/// Everything that may be asked.
pub static QUESTIONS: [Question; 27] = [
    questions::PLACE,
    questions::DAY,
    questions::days("How many days are looked over, 1 to 60; 30 when left out"),
    asks(
        "ground",
        "HEIGHT",
        "Height of the ground above chart datum, drying heights positive: \"1.70 m ± 0.10 m\"",
        read_banded,
    ),
    asks(
        "touched",
        "WHEN",
        "A landing of hers instead, in the time of the place: \"2026-09-28 10:42 with 1.48 m\"",
        |text| {
            Ok(Reply::Texts(
                text.split([';', '\n'])
                    .filter(|t| !t.trim().is_empty())
                    .map(|t| t.trim().to_owned())
                    .collect(),
            ))
        },
    ),
    asks(
        "datum-offset",
        "HEIGHT",
        "How far the station's datum lies above that of the chart, from the official page",
        |text| read_height(text, -15.0, 15.0),
    ),
    asks(
        "draught",
        "HEIGHT",
        "Draught as measured today: \"1.48 m ± 0.02 m\"; the document's when left out",
        read_banded,
    ),
    asks("fore", "HEIGHT", "Depth of the keel's fore end under water, where the keel is not level", |text| {
        read_height(text, 0.1, 5.0)
    }),
    asks("aft", "HEIGHT", "Depth of the keel's after end", |text| read_height(text, 0.1, 5.0)),
    asks(
        "foot",
        "FROM TO",
        "Keel's foot, aft of the fore end of the waterline: \"3.1 m to 5.2 m\"",
        |text| {
            let (from, to) =
                text.split_once("to").or_else(|| text.split_once('-')).ok_or("write 3.1 m to 5.2 m")?;
            let read = |part: &str| {
                read_quantity(part.trim(), Quantity::Length)
                    .map(|read| read.si)
                    .map_err(|error| error.to_string())
            };
            let (from, to) = (read(from)?, read(to)?);
            if from < to {
                Ok(Reply::Numbers(vec![from, to]))
            } else {
                Err("the foot ends aft of where it begins".to_owned())
            }
        },
    ),
    asks(
        "opening",
        "OUT UP",
        "Her lowest opening, from the middle line and above the keel's foot: \"0.9 m out, 2.4 m up\"",
        |text| {
            let plain = text.replace("out", ";").replace("by", ";").replace(',', ";").replace("up", "");
            let mut parts = plain.split(';').map(str::trim).filter(|part| !part.is_empty());
            let read = |part: Option<&str>| {
                let read = read_quantity(part?, Quantity::Length).ok()?.si;
                (0.0..=8.0).contains(&read).then_some(read)
            };
            let (out, up) = (read(parts.next()), read(parts.next()));
            match (out, up, parts.next()) {
                (Some(out), Some(up), None) => Ok(Reply::Numbers(vec![out, up])),
                _ => {
                    Err("write 0.9 m out, 2.4 m up: from her middle line, and above the keel's foot"
                        .to_owned())
                }
            }
        },
    ),
    asks("sinking", "HEIGHT", "How far she sinks into the ground; nothing when left out", |text| {
        read_height(text, 0.0, 2.0)
    }),
    asks("slope-across", "ANGLE", "Slope of the ground across her: she lists by it", read_slope),
    asks("slope-along", "ANGLE", "Slope of the ground along her, bow down positive", read_slope),
    asks("bottom", "hard|soft", "The ground: hard, or soft, into which she sinks", |text| {
        one_of(text, &BOTTOM)
    }),
    asks("allowed", "WHO", "Who allows it, for the sheet that is taken along", |text| match text.trim() {
        who if who.chars().count() <= 120 => Ok(Reply::Text(who.to_owned())),
        _ => Err("name who allows it in 120 letters at most".to_owned()),
    }),
    asks("held", "wall|piles|legs|two keels|beach", "What she stands against or on", |text| {
        one_of(text, &HELD)
    }),
    asks(
        "work",
        "WHERE",
        "What is worked on: keel, propeller, waterline, or a height above the keel's foot",
        |text| match text.trim() {
            word @ ("keel" | "propeller" | "waterline") => Ok(Reply::Text(word.to_owned())),
            height => read_height(height, 0.0, 5.0)
                .map_err(|why| format!("write keel, propeller, waterline or a height: {why}")),
        },
    ),
    asks("hours", "HOURS", "Dry hours that the work takes; 3 when left out", |text| {
        match text.trim().trim_end_matches('h').trim().parse::<f64>() {
            Ok(hours) if (0.25..=12.0).contains(&hours) => Ok(Reply::Number(hours * 3600.0)),
            _ => Err("give hours from 0.25 to 12".to_owned()),
        }
    }),
    asks("from", "HH:MM", "Work not before this hour; daylight when left out", read_hour),
    asks("to", "HH:MM", "Nor after this one", read_hour),
    questions::TABLE,
    questions::ZONE,
    questions::CURVE,
    questions::DIFFERENCES,
    questions::PRESSURE,
    questions::WEATHER,
];

const HELD: [&str; 5] = ["wall", "piles", "legs", "two keels", "beach"];
const BOTTOM: [&str; 2] = ["hard", "soft"];

fn one_of(text: &str, words: &[&'static str]) -> Result<Reply, String> {
    let found = words.iter().find(|word| **word == text.trim());
    found
        .map(|word| Reply::Text((*word).to_owned()))
        .ok_or_else(|| format!("write one of {}", words.join(", ")))
}

fn same(words: &[&'static str]) -> Vec<(&'static str, &'static str)> {
    words.iter().map(|word| (*word, *word)).collect()
}

fn read_slope(text: &str) -> Result<Reply, String> {
    let read = read_quantity(text, Quantity::Angle).map_err(|error| error.to_string())?;
    if read.si.abs() <= 0.53 {
        Ok(Reply::Number(read.si))
    } else {
        Err("give a slope from -30 to 30 deg".to_owned())
    }
}

/// The fields of the page.
pub fn fields(boat: &Loaded) -> Vec<Typed> {
    let draught = boat.document.typed(field::hull::DRAUGHT).unwrap_or("1.48 m");
    let mut fields = vec![
        Typed::new("ground", "Ground above datum", "1.70 m ± 0.10 m"),
        Typed::new("draught", "Draught today", draught),
        Typed::new("hours", "Dry hours wanted", "3"),
        Typed::new("days", "Days looked over", "30"),
        Typed::new("work", "Work on", "keel, propeller, waterline or a height"),
    ];
    fields.extend(questions::fields("where she lies"));
    fields.extend([
        Typed::new("touched", "Or: she touched", "2026-09-28 10:42 with 1.48 m"),
        Typed::new("datum-offset", "Datum above the chart's", "0 m"),
        Typed::choice("held", "Stands against or on", "not known", same(&HELD)),
        Typed::choice("bottom", "Ground", "not known", same(&BOTTOM)),
        Typed::new("allowed", "Who allows it", "not asked yet"),
        Typed::new("foot", "Keel's foot, from the bow", "3.1 m to 5.2 m"),
        Typed::new("opening", "Lowest opening", "0.9 m out, 2.4 m up"),
        Typed::new("sinking", "Sinks into the ground", "0 m"),
        Typed::new("slope-across", "Slope across", "0 deg"),
        Typed::new("slope-along", "Slope along, bow down", "0 deg"),
        Typed::new("fore", "Depth of the keel's fore end", "as the draught"),
        Typed::new("aft", "Depth of its after end", "as the draught"),
        Typed::new("from", "Work from", "sunrise"),
        Typed::new("to", "to", "sunset"),
    ]);
    fields
}
