//! What is asked about the water at a place, by every room that needs it.

use wakewright_units::{Quantity, read_quantity};

use crate::room::{Question, Reply, Typed, read_date};

/// A place.
pub const PLACE: Question = Question {
    key: "place",
    value_name: Some("PLACE"),
    help: "A station of the built-in set by name or key, or a position: the nearest station to it",
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
    help: "The port's own curve, share of the range by hours from high water: \"-6:0 -3:0.55 0:1 3:0.6 6:0\"",
    read: |text| {
        let pair = |pair: &str| {
            let (hours, share) = pair.split_once(':')?;
            Some([hours.parse::<f64>().ok()?, share.parse::<f64>().ok()?])
        };
        let pairs: Option<Vec<[f64; 2]>> =
            text.split([' ', ',']).filter(|word| !word.is_empty()).map(pair).collect();
        pairs
            .map(|pairs| Reply::Numbers(pairs.concat()))
            .ok_or_else(|| "write pairs of hours and share such as -6:0 -3:0.55 0:1 3:0.6 6:0".to_owned())
    },
};

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
        Typed::new("pressure", "Pressure", "1013 hPa"),
        Typed::new("weather", "Weather, one sigma", "0.15 m"),
    ]
}
