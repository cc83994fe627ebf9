//! What is asked about the water at a place, by every room that needs it.

use wakewright_core::tide::OwnCurve;
use wakewright_units::{Quantity, read_quantity};

use crate::room::{Question, Reply, Typed, read_date};

/// A place.
pub const PLACE: Question = Question {
    key: "place",
    value_name: Some("PLACE"),
    help: "A station of the built-in set by name or key, or a position: the nearest station to it; the stream of one as \"at NAME\"",
    read: |text| Ok(Reply::Text(text.trim().to_owned())),
};

/// A table of waters.
pub const TABLE: Question = Question {
    key: "table",
    value_name: Some("FILE"),
    help: "High and low waters from the official table instead: 2026-10-02 07:50 2.83 14:02 0.40 and so on",
    read: |text| Ok(Reply::Text(text.to_owned())),
};

/// Its zone.
pub const ZONE: Question = Question {
    key: "zone",
    value_name: Some("ZONE"),
    help: "Time in which the table stands and the answer is given: UTC, Europe/London; else that of the station",
    read: |text| Ok(Reply::Text(text.trim().to_owned())),
};

/// The port's own curve.
pub const CURVE: Question = Question {
    key: "curve",
    value_name: Some("HOURS:SHARE"),
    help: "The port's own curve, share of the range by hours from high water: \"-6:0 -3:0.55 0:1 3:0.6 6:0\"; or \"springs 3.9 m -6:0 ... 6:0; neaps 1.9 m -6:0 ... 6:0\"",
    read: |text| read_curve(text).map(|_| Reply::Text(text.to_owned())),
};

/// A port's own curve, of all tides or of springs and neaps.
/// # Errors
/// What to write.
pub fn read_curve(text: &str) -> Result<OwnCurve, String> {
    const HOW: &str = "write pairs of hours and share such as -6:0 -3:0.55 0:1 3:0.6 6:0, or those of springs and neaps with the mean \
                       range of each: springs 3.9 m -6:0 -3:0.55 0:1 3:0.6 6:0; neaps 1.9 m -6:0 -3:0.5 0:1 3:0.5 6:0";
    let pair = |pair: &str| {
        let (hours, share) = pair.split_once(':')?;
        Some((hours.parse::<f64>().ok()?, share.parse::<f64>().ok()?))
    };
    let points = |text: &str| -> Result<Vec<(f64, f64)>, String> {
        let words = text.split(|c: char| c.is_whitespace() || c == ',').filter(|word| !word.is_empty());
        words.map(|word| pair(word).ok_or_else(|| HOW.to_owned())).collect()
    };
    let of = |word: &str| text.split([';', '\n']).find_map(|part| part.trim().strip_prefix(word));
    let range_and_points = |text: &str| {
        let colon = text.find(':').ok_or(HOW)?;
        let from = text[..colon].rfind(char::is_whitespace).ok_or(HOW)?;
        let range = read_quantity(text[..from].trim(), Quantity::Length)
            .map_err(|error| format!("{error}; {HOW}"))?;
        Ok::<_, String>((range.si, points(&text[from..])?))
    };
    match (of("springs"), of("neaps")) {
        (None, None) => OwnCurve::new(&points(text)?).map_err(|why| format!("{why}; {HOW}")),
        (Some(springs), Some(neaps)) => {
            let ((springs_m, springs), (neaps_m, neaps)) =
                (range_and_points(springs)?, range_and_points(neaps)?);
            OwnCurve::of_springs_and_neaps((springs_m, &springs), (neaps_m, &neaps))
                .map_err(|why| format!("{why}; {HOW}"))
        }
        _ => Err(HOW.to_owned()),
    }
}

/// Differences of a secondary place.
pub const DIFFERENCES: Question = Question {
    key: "differences",
    value_name: Some("DIFFERENCES"),
    help: "A secondary place by the European form: \"NAME: high 00:00 +35 06:00 +23 4.2 +1.1 3.4 +0.8; low ...\"",
    read: |text| Ok(Reply::Text(text.to_owned())),
};

/// Pressure.
pub const PRESSURE: Question = Question {
    key: "pressure",
    value_name: Some("PRESSURE"),
    help: "Pressure of the air expected: 1 cm for each hPa away from 1013",
    read: |text| {
        let read = read_quantity(text, Quantity::Pressure).map_err(|error| error.to_string())?;
        let is_air = (87_000.0..=109_000.0).contains(&read.si);
        if is_air {
            Ok(Reply::Number(read.si))
        } else {
            Err("give a pressure from 870 to 1090 hPa".to_owned())
        }
    },
};

/// Weather.
pub const WEATHER: Question = Question {
    key: "weather",
    value_name: Some("HEIGHT"),
    help: "How far weather moves the level there, one standard deviation; 0.15 m when left out",
    read: |text| read_height(text, 0.0, 2.0),
};

/// First day.
pub const DAY: Question = Question {
    key: "day",
    value_name: Some("YYYY-MM-DD"),
    help: "First day; today when left out",
    read: read_date,
};

/// How many days are looked over.
pub const fn days(help: &'static str) -> Question {
    Question {
        key: "days",
        value_name: Some("DAYS"),
        help,
        read: |text| match text.trim().parse() {
            Ok(days @ 1..=60) => Ok(Reply::Whole(days)),
            _ => Err("give a whole number of days from 1 to 60".to_owned()),
        },
    }
}

/// A height in metres from `from` to `to`.
/// # Errors
/// What to write instead.
pub fn read_height(text: &str, from: f64, to: f64) -> Result<Reply, String> {
    let read = read_quantity(text, Quantity::Length).map_err(|error| error.to_string())?;
    if (from..=to).contains(&read.si) {
        Ok(Reply::Number(read.si))
    } else {
        Err(format!("give a height from {from} to {to} m"))
    }
}

/// The fields of a page for what is asked about the water; `station` is what stands for the place.
#[must_use]
pub fn fields(station: &str) -> Vec<Typed> {
    vec![
        Typed::new("place", "Place: station or position", station),
        Typed::new("day", "First day", "today"),
        Typed::table("table", "Waters from the official table", "2026-10-02 07:50 2.83 14:02 0.40"),
        Typed::new("zone", "Time of the table", "that of the station"),
        Typed::new("curve", "The port's own curve", "a cosine, within an hour"),
        Typed::new("differences", "Differences of a secondary place", "none"),
        Typed::new("pressure", "Pressure", "1013 hPa"),
        Typed::new("weather", "Weather, one sigma", "0.15 m"),
    ]
}
