//! Tables of tidal streams as charts print them, and the streams of legs made of what is known. Not for: the tide (`tide`).

use std::cell::{Cell, RefCell};

use jiff::tz::TimeZone;
use wakewright_core::passage::{Flow, Stage, Stream, StreamHour, TidalStream};
use wakewright_core::tide::{Current, TideError, Water};
use wakewright_units::factors::{DEGREE_RAD, HOUR_S, KNOT_M_S};
use wakewright_units::{Quantity, read_quantity};

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Question, Reply};
use crate::shop::{AS_TRIAL, trials_named};
use crate::tide::Known;
pub use crate::tide::current::{UNKNOWN_DEPTH_S, at_station};
use crate::tide::known::local;

/// Tables of streams.
pub const STREAMS: Question = Question {
    key: "streams",
    value_name: Some("FILE"),
    help: "Tables of tidal streams: \"A: springs 3.9 m, neaps 1.9 m\", then -6 240 1.2 0.6 for each hour from high water; of what was found: \"T: found at 3.1 m\", then +2 240 0.9",
    read: |text| Ok(Reply::Text(text.to_owned())),
};

/// Their port.
pub const PORT: Question = Question {
    key: "port",
    value_name: Some("PLACE"),
    help: "Standard port of the stream tables: a station of the built-in set, or a name for the table of waters",
    read: |text| Ok(Reply::Text(text.trim().to_owned())),
};

/// A table, and what it may be off by.
#[derive(Debug, Clone)]
pub struct Table {
    name: String,
    stream: TidalStream,
    /// Half an 80 % band of its rates \[m/s\]; 0 where none is told.
    pub within_m_s: f64,
    /// The same of its hours \[s\].
    pub later_s: f64,
}

/// Hours of the tide of which a table of springs and neaps tells nothing: more than an hour and a half between two of its own, or
/// before five hours on either side of high water.
fn missing(table: &TidalStream) -> Option<(f64, f64)> {
    const APART_H: f64 = 1.5;
    const SIDE_H: f64 = 5.0;
    if table.reach_h.is_some() {
        return None;
    }
    let (first, last) = (table.hours.first()?.hours, table.hours.last()?.hours);
    let gap = table.hours.windows(2).map(|two| (two[0].hours, two[1].hours)).find(|(a, b)| b - a > APART_H);
    gap.or((first > -SIDE_H).then_some((-6.0, first))).or((last < SIDE_H).then_some((last, 6.0)))
}

/// Tables by their names.
#[derive(Debug, Clone, Default)]
pub struct Tables(Vec<Table>);

/// What was found holds so long before and after \[h\]: judgement.
const FOUND_REACH_H: f64 = 1.0;

const HOW: &str = "write a heading for each table, A: springs 3.9 m, neaps 1.9 m (the mean ranges at the standard port), and below it a line \
                   for each hour from high water, -6 240 1.2 0.6 (hours, direction in degrees, knots at springs and at neaps); of what was \
                   found on one tide T: found at 3.1 m (its range there), and +2 240 0.9 (hours, direction, knots). Behind either heading \
                   may stand what it is off by: ± 0.3 kn, ± 20 min";

impl Tables {
    /// Reads them.
    /// # Errors
    /// The line, what is wrong with it, and what to write.
    pub fn read(text: &str) -> Result<Self, String> {
        let mut tables: Vec<Table> = Vec::new();
        for (at, line) in text.lines().enumerate() {
            let line = line.split('#').next().unwrap_or_default().trim();
            let wrong = |why: &str| format!("streams, line {}: {why}; {HOW}", at + 1);
            if line.is_empty() {
                continue;
            }
            if let Some((name, ranges)) = line.split_once(':') {
                let after = |word: &str| ranges.split(',').find_map(|part| part.trim().strip_prefix(word));
                let range = |word: &str| {
                    read_quantity(after(word)?.trim(), Quantity::Length)
                        .ok()
                        .map(|read| read.si)
                        .filter(|range| (0.05..20.0).contains(range))
                };
                // What goes in proportion to the range alone is at neaps of no range nothing.
                let found = range("found at").map(|found_m| (found_m, 0.0));
                let (springs_range_m, neaps_range_m) = found
                    .or_else(|| range("springs").zip(range("neaps")))
                    .ok_or_else(|| wrong("the heading has no ranges that can be"))?;
                if springs_range_m <= neaps_range_m {
                    return Err(wrong("springs have the larger range"));
                }
                let (mut within_m_s, mut later_s) = (0.0_f64, 0.0_f64);
                for off in ranges.split(',').filter_map(|part| part.trim().strip_prefix('±')) {
                    match (read_quantity(off, Quantity::Speed), read_quantity(off, Quantity::Duration)) {
                        (Ok(rate), _) if (0.0..8.0).contains(&rate.si) => within_m_s = rate.si,
                        (_, Ok(time)) if (0.0..6.0 * HOUR_S).contains(&time.si) => later_s = time.si,
                        _ => return Err(wrong("what it is off by cannot be read")),
                    }
                }
                let reach_h = found.map(|_| FOUND_REACH_H);
                let stream = TidalStream { hours: Vec::new(), springs_range_m, neaps_range_m, reach_h };
                tables.push(Table { name: name.trim().to_owned(), stream, within_m_s, later_s });
                continue;
            }
            let table = tables
                .last_mut()
                .map(|table| &mut table.stream)
                .ok_or_else(|| wrong("a line before any heading"))?;
            let numbers: Option<Vec<f64>> =
                line.split_whitespace().map(|word| word.trim_start_matches('+').parse().ok()).collect();
            let numbers = numbers.map(|mut numbers| {
                if table.reach_h.is_some() {
                    numbers.push(0.0);
                }
                numbers
            });
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
                _ if table.reach_h.is_some() => return Err(wrong("hours, direction and one rate are due")),
                _ => return Err(wrong("hours, direction and two rates are due")),
            }
        }
        let least = |table: &Table| {
            if table.stream.reach_h.is_some() { (1, "no hour") } else { (6, "less than six hours") }
        };
        if let Some(table) = tables.iter().find(|table| table.stream.hours.len() < least(table).0) {
            return Err(format!("streams: table {} has {}; {HOW}", table.name, least(table).1));
        }
        match tables.iter().find_map(|table| Some((&table.name, missing(&table.stream)?))) {
            Some((name, (from, to))) => Err(format!(
                "streams: table {name} tells nothing between {from:+} and {to:+} hours from high water, and a stream may turn there: write \
                 every hour from -6 to +6, slack as 0 0"
            )),
            None => Ok(Self(tables)),
        }
    }

    /// The same with tables of those trials of hers that streams name, by the waters of the standard port on their days.
    /// # Errors
    /// What the trial does not tell, and what is missing.
    pub fn with_trials<'t>(
        mut self,
        asked: &Asked<'_>,
        said: impl Iterator<Item = &'t str>,
    ) -> Result<Self, NoAnswer> {
        for number in trials_named(said) {
            let trials = asked.shop.map_or(&[][..], |shop| shop.streams.as_slice());
            let wrong = |why: &str| NoAnswer::input(format!("stream {AS_TRIAL}{number}: {why}"));
            let trial = trials.iter().find(|trial| trial.number == number).ok_or_else(|| {
                wrong("she has no such trial in the store; `wakewright trial list` tells those she has")
            })?;
            let (stream, band_m_s) = trial.found.ok_or_else(|| {
                wrong("its pairs share no stream that has a direction; type what is known of it, 0.5 kn ± 0.3 kn setting 215")
            })?;
            let (from_s, to_s) = trial.from_to_s.ok_or_else(|| {
                wrong("its clock does not tell the day, so that the tide of it is not known; type a table: T: found at 3.1 m")
            })?;
            let day = local(from_s, &TimeZone::UTC).date();
            let then = Asked { replies: asked.replies.clone().with("day", Reply::Day(day)), ..asked.clone() };
            let waters = waters(&then, 2).map_err(|no| {
                wrong(&format!(
                    "of its own day, {}; paste the waters of {day} too",
                    no.message().trim_end_matches('.')
                ))
            })?;
            let waters = waters.waters;
            let stream = TidalStream::found(
                &waters,
                (from_s, to_s),
                (stream.towards_rad, stream.speed_m_s),
                FOUND_REACH_H,
            )
            .ok_or_else(|| {
                wrong(
                    "the waters of the standard port do not reach over its day; paste those of that day too",
                )
            })?;
            let name = format!("{AS_TRIAL}{number}");
            self.0.push(Table { name, stream, within_m_s: band_m_s, later_s: 0.0 });
        }
        Ok(self)
    }

    /// The table of a name.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<&Table> {
        self.0.iter().find(|table| table.name.eq_ignore_ascii_case(name.trim()))
    }

    /// All names.
    #[must_use]
    pub fn names(&self) -> String {
        self.0.iter().map(|table| table.name.as_str()).collect::<Vec<_>>().join(", ")
    }
}

/// The stream of a leg from a table.
#[derive(Debug)]
pub struct Laid {
    /// The stream, slack where it is not known.
    pub stream: Stream,
    /// Whether a range lay a tenth beyond springs or neaps in the first days.
    pub is_beyond: bool,
    /// From when to when it is not known \[s\], the table telling some hours of the tide alone.
    pub unknown_s: Vec<(f64, f64)>,
}

/// From when to when a stream is known next, after stretches of which nothing is told; none where it is not again.
#[must_use]
pub fn known_next(unknown_s: &[(f64, f64)], after_s: f64) -> Option<(f64, f64)> {
    let place = unknown_s.iter().position(|unknown| unknown.1 >= after_s)?;
    Some((unknown_s[place].1, unknown_s.get(place + 1)?.0))
}

/// The stream of a leg from a table and the waters of the standard port, second 0 lying at `zero_unix_s`.
#[must_use]
pub fn from_table(
    Table { stream: table, .. }: &Table,
    waters: &[Water],
    course_rad: f64,
    zero_unix_s: f64,
    last_s: f64,
) -> Laid {
    const STEP_S: f64 = 300.0;
    const LOOKED_AT_S: f64 = 24.0 * HOUR_S;
    let (is_beyond, unknown_s) = (Cell::new(false), RefCell::new(Vec::<(f64, f64)>::new()));
    let flow = |at_s: f64| {
        let unix_s = zero_unix_s + at_s;
        // Only the waters about it: those of a year would be looked through for each point.
        let near = waters.partition_point(|water| water.unix_s < unix_s);
        let about = &waters[near.saturating_sub(3)..(near + 3).min(waters.len())];
        let Some((flow, range_m)) = table.flow(about, unix_s, course_rad) else {
            let mut unknown_s = unknown_s.borrow_mut();
            match unknown_s.last_mut().filter(|last| at_s - last.1 < 1.5 * STEP_S) {
                Some(last) => last.1 = at_s,
                None => unknown_s.push((at_s, at_s)),
            }
            return Flow::default();
        };
        // One tide that was seen says nothing of springs.
        let is_usual = table.reach_h.is_some()
            || range_m <= 1.1 * table.springs_range_m && range_m >= 0.9 * table.neaps_range_m;
        is_beyond.set(is_beyond.get() || at_s < LOOKED_AT_S && !is_usual);
        flow
    };
    let stream = Stream::sampled((-2.0 * HOUR_S, last_s), STEP_S, flow);
    Laid { stream, is_beyond: is_beyond.get(), unknown_s: unknown_s.into_inner() }
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
        assert_eq!(tables.named("a").unwrap().stream.hours.len(), 13);
        assert!(tables.named("B").is_none() && tables.names() == "A");
        let said = |text: &str| Tables::read(text).unwrap_err();
        assert!(said("-6 240 1 0.5").contains("line 1: a line before any heading"));
        assert!(said("A: springs 3 m").contains("no ranges"));
        assert!(said("A: springs 2 m, neaps 3 m").contains("larger range"));
        assert!(said("A: springs 3 m, neaps 2 m\n-6 240 1 0.5\n-7 240 1 0.5").contains("line 3: hours go"));
        assert!(said("A: springs 3 m, neaps 2 m\n-6 240 1 0.5").contains("less than six hours"));
    }
}
