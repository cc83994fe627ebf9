//! Tables of tidal streams as charts print them, and the streams of legs made of what is known. Not for: the tide (`tide`).

use std::cell::Cell;

use wakewright_core::passage::{Flow, Stage, Stream, StreamHour, TidalStream};
use wakewright_core::tide::{Current, TideError, Water};
use wakewright_units::factors::{DEGREE_RAD, HOUR_S, KNOT_M_S};
use wakewright_units::{Quantity, read_quantity};

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Question, Reply};
use crate::tide::Known;
pub use crate::tide::current::{UNKNOWN_DEPTH_S, at_station};

/// Tables of streams.
pub const STREAMS: Question = Question {
    key: "streams",
    value_name: Some("FILE"),
    help: "Tables of tidal streams: \"A: springs 3.9 m, neaps 1.9 m\", then -6 240 1.2 0.6 for each hour from high water",
    read: |text| Ok(Reply::Text(text.to_owned())),
};

/// Their port.
pub const PORT: Question = Question {
    key: "port",
    value_name: Some("PLACE"),
    help: "Standard port of the stream tables: a station of the built-in set, or a name for the table of waters",
    read: |text| Ok(Reply::Text(text.trim().to_owned())),
};

/// Tables by their names.
#[derive(Debug, Clone, Default)]
pub struct Tables(Vec<(String, TidalStream)>);

const HOW: &str = "write a heading for each table, A: springs 3.9 m, neaps 1.9 m (the mean ranges at the standard port), and below it a line \
                   for each hour from high water, -6 240 1.2 0.6 (hours, direction in degrees, knots at springs and at neaps)";

impl Tables {
    /// Reads them.
    /// # Errors
    /// The line, what is wrong with it, and what to write.
    pub fn read(text: &str) -> Result<Self, String> {
        let mut tables: Vec<(String, TidalStream)> = Vec::new();
        for (at, line) in text.lines().enumerate() {
            let line = line.split('#').next().unwrap_or_default().trim();
            let wrong = |why: &str| format!("streams, line {}: {why}; {HOW}", at + 1);
            if line.is_empty() {
                continue;
            }
            if let Some((name, ranges)) = line.split_once(':') {
                let range = |word: &str| {
                    let after = ranges.split(',').find_map(|part| part.trim().strip_prefix(word))?;
                    read_quantity(after.trim(), Quantity::Length)
                        .ok()
                        .map(|read| read.si)
                        .filter(|range| (0.05..20.0).contains(range))
                };
                let (springs_range_m, neaps_range_m) = range("springs")
                    .zip(range("neaps"))
                    .ok_or_else(|| wrong("the heading has no ranges that can be"))?;
                if springs_range_m <= neaps_range_m {
                    return Err(wrong("springs have the larger range"));
                }
                tables.push((
                    name.trim().to_owned(),
                    TidalStream { hours: Vec::new(), springs_range_m, neaps_range_m },
                ));
                continue;
            }
            let (_, table) = tables.last_mut().ok_or_else(|| wrong("a line before any heading"))?;
            let numbers: Option<Vec<f64>> =
                line.split_whitespace().map(|word| word.trim_start_matches('+').parse().ok()).collect();
            match numbers.as_deref() {
                Some([hours, degrees, springs, neaps])
                    if hours.abs() <= 12.0
                        && (0.0..=360.0).contains(degrees)
                        && (0.0..=15.0).contains(springs)
                        && (0.0..=15.0).contains(neaps) =>
                {
                    if table.hours.last().is_some_and(|last| last.hours >= *hours) {
                        return Err(wrong("hours go from before high water to after it"));
                    }
                    table.hours.push(StreamHour {
                        hours: *hours,
                        towards_rad: degrees * DEGREE_RAD,
                        springs_m_s: springs * KNOT_M_S,
                        neaps_m_s: neaps * KNOT_M_S,
                    });
                }
                _ => return Err(wrong("hours, direction and two rates are due")),
            }
        }
        match tables.iter().find(|(_, table)| table.hours.len() < 6) {
            Some((name, _)) => Err(format!("streams: table {name} has less than six hours; {HOW}")),
            None => Ok(Self(tables)),
        }
    }

    /// The table of a name.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<&TidalStream> {
        self.0.iter().find(|(known, _)| known.eq_ignore_ascii_case(name.trim())).map(|(_, table)| table)
    }

    /// All names.
    #[must_use]
    pub fn names(&self) -> String {
        self.0.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>().join(", ")
    }
}

/// The stream of a leg from a table and the waters of the standard port, second 0 lying at `zero_unix_s`; whether a range lay a
/// tenth beyond springs or neaps in the first days.
#[must_use]
pub fn from_table(
    table: &TidalStream,
    waters: &[Water],
    course_rad: f64,
    zero_unix_s: f64,
    last_s: f64,
) -> (Stream, bool) {
    const STEP_S: f64 = 300.0;
    const LOOKED_AT_S: f64 = 24.0 * HOUR_S;
    let is_beyond = Cell::new(false);
    let flow = |at_s: f64| {
        let unix_s = zero_unix_s + at_s;
        // Only the waters about it: those of a year would be looked through for each point.
        let near = waters.partition_point(|water| water.unix_s < unix_s);
        let about = &waters[near.saturating_sub(3)..(near + 3).min(waters.len())];
        let Some((flow, range_m)) = table.flow(about, unix_s, course_rad) else { return Flow::default() };
        let is_usual = range_m <= 1.1 * table.springs_range_m && range_m >= 0.9 * table.neaps_range_m;
        is_beyond.set(is_beyond.get() || at_s < LOOKED_AT_S && !is_usual);
        flow
    };
    let stream = Stream::sampled((-2.0 * HOUR_S, last_s), STEP_S, flow);
    (stream, is_beyond.get())
}

/// The stream of a leg from the constants of a station: along the axis of flood and ebb, laid along and across the leg.
/// # Errors
/// Why its rates cannot be reckoned there.
pub fn from_constants(
    current: &Current,
    course_rad: f64,
    zero_unix_s: f64,
    last_s: f64,
) -> Result<Stream, TideError> {
    const STEP_S: f64 = 300.0;
    const FIRST_S: f64 = -2.0 * HOUR_S;
    let rates = current.rates(zero_unix_s + FIRST_S, zero_unix_s + last_s, STEP_S)?;
    let flow = |at_s: f64| {
        let place = ((at_s - FIRST_S) / STEP_S).round().max(0.0) as usize;
        let rate = rates.get(place).or(rates.last()).map_or(0.0, |(_, rate)| *rate);
        let towards = if rate < 0.0 { current.ebb_rad } else { current.flood_rad };
        let off = towards - course_rad;
        Flow { along_m_s: rate.abs() * off.cos(), across_m_s: rate.abs() * off.sin() }
    };
    Ok(Stream::sampled((FIRST_S, last_s), STEP_S, flow))
}

/// The waters of the standard port over so many days, and two around them.
/// # Errors
/// No port, and no table.
pub fn waters(asked: &Asked<'_>, days: i64) -> Result<Known, NoAnswer> {
    const AROUND_S: f64 = 48.0 * HOUR_S;
    let replies = asked.replies.clone();
    let named = replies.text("port").filter(|text| !text.is_empty()).map(str::to_owned);
    if named.is_none() && !replies.has("table") {
        return Err(NoAnswer::input(
            "stream tables count from high water: give their standard port (port), or its waters from the official table (table)",
        ));
    }
    let replies = match named {
        Some(name) => replies.with("place", Reply::Text(name)),
        None => replies,
    };
    Known::of(&Asked { replies, ..asked.clone() }, days, AROUND_S)
}

/// Still water.
#[must_use]
pub fn slack() -> Stream {
    Stream::stepped(&[Stage { until_s: f64::INFINITY, along_m_s: 0.0, across_m_s: 0.0 }])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_are_read_and_faults_named() {
        let hours: String =
            (-6..=6).map(|hour| format!("{hour:+} 240 {} 0.5\n", 1.0 + f64::from(hour) * 0.1)).collect();
        let tables =
            Tables::read(&format!("A: off the skerry, springs 3.9 m, neaps 1.9 m\n{hours}")).unwrap();
        assert_eq!(tables.named("a").unwrap().hours.len(), 13);
        assert!(tables.named("B").is_none() && tables.names() == "A");
        let said = |text: &str| Tables::read(text).unwrap_err();
        assert!(said("-6 240 1 0.5").contains("line 1: a line before any heading"));
        assert!(said("A: springs 3 m").contains("no ranges"));
        assert!(said("A: springs 2 m, neaps 3 m").contains("larger range"));
        assert!(said("A: springs 3 m, neaps 2 m\n-6 240 1 0.5\n-7 240 1 0.5").contains("line 3: hours go"));
        assert!(said("A: springs 3 m, neaps 2 m\n-6 240 1 0.5").contains("less than six hours"));
    }
}
