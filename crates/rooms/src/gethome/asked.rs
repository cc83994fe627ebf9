//! What is asked of the way home: miles, streams, charge, the hour. Not for: what comes of it.

use jiff::civil::Time;
use jiff::tz::TimeZone;
use jiff::{Timestamp, Zoned};
use wakewright_core::caution;
use wakewright_core::notice::Notice;
use wakewright_core::passage::{HOME_SPREADS, HomeSpreads, Stage};
use wakewright_units::factors::{DAY_S, DEGREE_RAD, HOUR_S, KNOT_M_S, NAUTICAL_MILE_M};
use wakewright_units::{Quantity, read_quantity};

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Question, Reply, Typed, read_speed_within};
use crate::streams::{
    PORT, STREAMS, Tables, UNKNOWN_DEPTH_S, at_station, from_constants, from_table, known_next, waters,
};
use crate::tide::known::{is_far, local, seconds};
use crate::tide::{lies_at, questions};

/// Longest that one stream is taken to last; tides turn twice as often.
const LONGEST_STREAM_S: f64 = 18.0 * 3600.0;

fn words(text: &str) -> Result<Reply, String> {
    Ok(Reply::Text(text.trim().to_owned()))
}

fn read_miles(text: &str) -> Result<Reply, String> {
    let text = text.trim();
    let plain = text.trim_end_matches("miles").trim_end_matches("nm").trim();
    let metres = match plain.parse::<f64>() {
        Ok(miles) => miles * NAUTICAL_MILE_M,
        Err(_) => read_quantity(text, Quantity::Distance).map_err(|error| error.to_string())?.si,
    };
    if (50.0..=500.0 * NAUTICAL_MILE_M).contains(&metres) {
        Ok(Reply::Number(metres))
    } else {
        Err("give the miles to go over the ground, up to 500 nm".to_owned())
    }
}

/// Everything that may be asked.
pub static QUESTIONS: [Question; 12] = [
    Question {
        key: "miles",
        value_name: Some("MILES"),
        help: "Miles home, over the ground",
        read: read_miles,
    },
    Question {
        key: "stream",
        value_name: Some("STREAM"),
        help: "Stream along her way: \"2 kn against until 00:30, 1 kn with until 04:00\"; \"at noaa/FPI0901\" by constants; A by a stream table; slack when left out",
        read: words,
    },
    Question {
        key: "charge",
        value_name: Some("CHARGE"),
        help: "What is in the bank: \"61 %\", or \"80 Ah used\", \"120 Ah left\"; the document's when left out",
        read: words,
    },
    Question {
        key: "now",
        value_name: Some("HH:MM"),
        help: "The hour from which it counts; the clock's when left out",
        read: |text| {
            let time = text.trim().parse::<Time>().map_err(|_| format!("{text} is no hour; write 22:00"))?;
            Ok(Reply::Number(seconds_of(time)))
        },
    },
    Question {
        key: "slowest",
        value_name: Some("SPEED"),
        help: "Slowest speed at which she steers; 2 kn when left out",
        read: |text| read_speed_within(text, 0.5, 6.0),
    },
    Question {
        key: "lie",
        value_name: Some("MILES"),
        help: "Miles to the nearest place to lie on the way",
        read: read_miles,
    },
    Question {
        key: "course",
        value_name: Some("DEGREES"),
        help: "Course home over the ground, where the stream is by constants or a table",
        read: |text| match text.trim().trim_end_matches('°').parse::<f64>() {
            Ok(degrees) if (0.0..=360.0).contains(&degrees) => Ok(Reply::Number(degrees * DEGREE_RAD)),
            _ => Err("give a course from 0 to 360 degrees".to_owned()),
        },
    },
    questions::DAY,
    STREAMS,
    PORT,
    questions::TABLE,
    questions::ZONE,
];

/// The fields of the page.
pub fn fields() -> Vec<Typed> {
    vec![
        Typed::new("miles", "Miles home", "9"),
        Typed::new("stream", "Stream", "2 kn against until 00:30"),
        Typed::new("charge", "In the bank", "61 %, or 80 Ah used"),
        Typed::new("now", "Now", "the clock's"),
        Typed::new("course", "Course home", "245, for stream tables"),
        Typed { lines: 2, ..Typed::table("streams", "Stream tables", "A: springs 3.9 m, neaps 1.9 m") },
        Typed::new("port", "Their standard port", "a station"),
        Typed {
            lines: 2,
            ..Typed::table("table", "Its waters from the official table", "2026-10-02 07:50 2.83 14:02 0.40")
        },
        Typed::new("zone", "Time of all hours", "that of the port, or the clock's"),
        Typed::new("day", "Day", "today"),
        Typed::new("lie", "Miles to a place to lie", "none"),
        Typed::new("slowest", "She steers from", "2 kn"),
    ]
}

fn seconds_of(time: Time) -> f64 {
    f64::from(time.hour()) * 3600.0 + f64::from(time.minute()) * 60.0
}

/// The hour of the day now \[s\].
pub fn now_s(asked: &Asked<'_>) -> f64 {
    asked.replies.number("now").unwrap_or_else(|| seconds_of(Zoned::now().time()))
}

/// The stream on the way home.
#[derive(Debug)]
pub struct Told {
    /// Streams from now on.
    pub stages: Vec<Stage>,
    /// Whether the last of them is assumed.
    pub is_last_assumed: bool,
    /// The hour of the day now \[s\].
    pub now_s: f64,
    /// When it changes or turns, from now on \[s\].
    pub turns_s: Vec<f64>,
    /// Until when it is known where a tide makes it, and whose it is.
    pub tidal: Option<(f64, String)>,
    /// What it may be off by.
    pub spreads: HomeSpreads,
    /// What to read first of it.
    pub notices: Vec<Notice>,
}

impl Told {
    /// As it is stated, by constants, or by a table.
    /// # Errors
    /// What cannot be read or is missing.
    pub fn of(asked: &Asked<'_>) -> Result<Self, NoAnswer> {
        /// Reckoned so far ahead.
        const KNOWN_S: f64 = 60.0 * HOUR_S;
        const STEP_S: f64 = 1200.0;
        let replies = &asked.replies;
        let text = replies.text("stream").unwrap_or_default();
        let tables = replies.text("streams").filter(|text| !text.trim().is_empty());
        let tables = tables.map_or_else(|| Ok(Tables::default()), Tables::read).map_err(NoAnswer::input)?;
        let tables = tables.with_trials(asked, std::iter::once(text))?;
        let is_at = text.starts_with("at ");
        let table = tables.named(text);
        if !is_at && table.is_none() {
            if !tables.names().is_empty() {
                return Err(NoAnswer::input(format!(
                    "stream \"{text}\": it names none of the stream tables ({}); write the name of one",
                    tables.names()
                )));
            }
            let now_s = now_s(asked);
            let Stages { stages, is_last_assumed, within_m_s } =
                stages(text, now_s, replies.number("course"))?;
            let ends = stages.iter().map(|stage| stage.until_s).filter(|until| until.is_finite());
            let (turns_s, notices) = (ends.collect(), Vec::new());
            let tidal = None;
            let spreads = HomeSpreads { stream_m_s: HOME_SPREADS.stream_m_s.max(within_m_s), ..HOME_SPREADS };
            return Ok(Self { turns_s, stages, is_last_assumed, now_s, tidal, spreads, notices });
        }
        let course_rad = replies.number("course").ok_or_else(|| {
            NoAnswer::input(format!(
                "stream {text}: give the course home (course 245), so that it can be laid along it"
            ))
        })?;
        let (mut spreads, mut notices) = (HOME_SPREADS, Vec::new());
        let (now, stream, known_s, told) = match table {
            Some(table) => {
                let known = waters(asked, 4)?;
                let now = instant(asked, known.zone.clone())?;
                let (first, last) = (known.waters.first(), known.waters.last());
                let (from_s, to_s) = (first.map_or(0.0, |w| w.unix_s), last.map_or(0.0, |w| w.unix_s));
                if from_s > seconds(&now) || to_s < seconds(&now) + HOUR_S {
                    return Err(NoAnswer::input(
                        "the waters of the table do not reach over the hours from now on: paste those of today and tomorrow",
                    ));
                }
                let known_s = (to_s - seconds(&now)).min(KNOWN_S);
                let laid = from_table(table, &known.waters, course_rad, seconds(&now), known_s);
                if is_far(known.position, lies_at(asked.boat)) {
                    notices.push(caution::FAR_STATION);
                }
                if laid.is_beyond {
                    notices.push(caution::BEYOND_SPRINGS_AND_NEAPS);
                }
                spreads.stream_m_s = spreads.stream_m_s.max(table.within_m_s);
                spreads.change_s = spreads.change_s.max(table.later_s);
                let ends_s = laid.unknown_s.iter().filter(|unknown| unknown.1 > 0.0).map(|unknown| unknown.0);
                let known_s = ends_s.fold(known_s, f64::min);
                if known_s <= 0.0 {
                    let told = |after_s: f64| {
                        local(seconds(&now) + after_s, &known.zone).strftime("%H:%M").to_string()
                    };
                    let next = known_next(&laid.unknown_s, 0.0).map_or_else(String::new, |(from_s, to_s)| {
                        format!(", next from {} to {}", told(from_s), told(to_s))
                    });
                    return Err(NoAnswer::input(format!(
                        "stream {text} is told for some hours of the tide alone, and for none at {}{next}: say what runs now as well",
                        told(0.0)
                    )));
                }
                (now, laid.stream, known_s, format!("table {text} by the waters of {}", known.name))
            }
            None => {
                let at = at_station(text)?;
                let zone = replies.text("zone").unwrap_or(at.station.zone);
                let zone = TimeZone::get(zone).map_err(|_| {
                    NoAnswer::input(format!("the time zone {zone} is not known; write UTC, or Europe/London"))
                })?;
                let now = instant(asked, zone)?;
                if is_far(Some(at.station.place), lies_at(asked.boat)) {
                    notices.push(caution::FAR_STATION);
                }
                if at.is_unsure {
                    spreads.change_s = spreads.change_s.max(UNKNOWN_DEPTH_S);
                }
                let stream = from_constants(&at.current, course_rad, seconds(&now), KNOWN_S);
                (now, stream.map_err(|error| NoAnswer::input(error.to_string()))?, KNOWN_S, at.told)
            }
        };
        let mut stages: Vec<Stage> = (0..(known_s / STEP_S) as usize)
            .map(|step| {
                let from_s = step as f64 * STEP_S;
                let flow = stream.at(from_s + 0.5 * STEP_S);
                Stage { until_s: from_s + STEP_S, along_m_s: flow.along_m_s, across_m_s: flow.across_m_s }
            })
            .collect();
        let turns = stages.windows(2).filter(|two| (two[0].along_m_s > 0.0) != (two[1].along_m_s > 0.0));
        let turns_s = turns.map(|two| two[0].until_s).filter(|until| *until < 0.5 * DAY_S).collect();
        stages.push(Stage { until_s: f64::INFINITY, along_m_s: 0.0, across_m_s: 0.0 });
        let now_s = seconds_of(now.time());
        Ok(Self {
            stages,
            is_last_assumed: true,
            now_s,
            turns_s,
            tidal: Some((known_s, told)),
            spreads,
            notices,
        })
    }
}

/// Now, or the hour typed, on the day typed or today.
fn instant(asked: &Asked<'_>, zone: TimeZone) -> Result<Zoned, NoAnswer> {
    let now = Timestamp::now().to_zoned(zone.clone());
    let (day, hour_s) = (asked.replies.day("day"), asked.replies.number("now"));
    let Some(hour_s) = hour_s else {
        return match day {
            Some(day) if day != now.date() => {
                Err(NoAnswer::input("give the hour from which it counts on that day (now 22:00)"))
            }
            _ => Ok(now),
        };
    };
    let time = Time::midnight() + jiff::SignedDuration::from_secs(hour_s as i64);
    let at = zone.to_ambiguous_zoned(day.unwrap_or_else(|| now.date()).to_datetime(time)).unambiguous();
    at.map_err(|_| NoAnswer::input("at that hour the clocks change; give another hour, or all in UTC"))
}

/// A text in its parts, at semicolons and at commas that stand for no decimals: `1,5 kn with, slack`.
fn parts_of(text: &str) -> impl Iterator<Item = &str> {
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let is_digit =
        |at: Option<usize>| at.and_then(|at| chars.get(at)).is_some_and(|(_, c)| c.is_ascii_digit());
    let cuts = chars.iter().enumerate().filter(|(at, (_, c))| {
        *c == ';' || *c == ',' && !(is_digit(at.checked_sub(1)) && is_digit(Some(at + 1)))
    });
    let mut ends: Vec<usize> = cuts.map(|(_, (place, _))| *place).collect();
    ends.push(text.len());
    let mut from = 0;
    let parts: Vec<&str> = ends
        .into_iter()
        .map(|end| {
            let part = text[from..end].trim();
            from = (end + 1).min(text.len());
            part
        })
        .collect();
    parts.into_iter()
}

/// Streams by the clock.
#[derive(Debug)]
pub struct Stages {
    /// In their order from now on.
    pub stages: Vec<Stage>,
    /// Whether the last of them is assumed.
    pub is_last_assumed: bool,
    /// Half the widest band that was typed with a rate \[m/s\].
    pub within_m_s: f64,
}

/// Streams from now on; `course_rad` is her way, for those of which it is told where they set to.
/// # Errors
/// Which part cannot be read.
pub fn stages(text: &str, now_s: f64, course_rad: Option<f64>) -> Result<Stages, NoAnswer> {
    let mut stages: Vec<Stage> = Vec::new();
    let mut within_m_s: f64 = 0.0;
    for part in parts_of(text).filter(|part| !part.is_empty()) {
        let wrong = |why: &str| {
            NoAnswer::input(format!(
                "stream \"{part}\": {why}; write 2 kn against until 00:30, 1 kn with until 04:00, or where it sets to, 0.8 kn setting 215"
            ))
        };
        if stages.last().is_some_and(|stage| stage.until_s.is_infinite()) {
            return Err(wrong("the one before it has no end"));
        }
        let (what, until) =
            part.split_once("until").map_or((part, None), |(what, until)| (what, Some(until)));
        let small = what.to_lowercase();
        let small = match small.split_once('±').or_else(|| small.split_once("+-")) {
            None => small,
            Some((rate, band)) => {
                let (band, rest) =
                    band.split_once("kn").ok_or_else(|| wrong("its band is in knots, ± 0.3 kn"))?;
                let band: f64 = band.trim().parse().map_err(|_| wrong("its band is in knots, ± 0.3 kn"))?;
                within_m_s = within_m_s.max(band.abs().min(15.0) * KNOT_M_S);
                format!("{rate}{rest}")
            }
        };
        let (small, sets_off_rad) = match small.split_once("setting") {
            None => (small, None),
            Some((rate, towards)) => {
                let course_rad =
                    course_rad.ok_or_else(|| wrong("it sets by the compass: give her course as well"))?;
                let degrees = towards.trim().trim_end_matches('°').parse::<f64>();
                let degrees = degrees.ok().filter(|degrees| (0.0..=360.0).contains(degrees));
                let degrees = degrees.ok_or_else(|| wrong("where it sets to is 0 to 360 degrees"))?;
                (format!("{rate} with"), Some(degrees * DEGREE_RAD - course_rad))
            }
        };
        let sign = match () {
            () if small.contains("against") => -1.0,
            () if small.contains("with") => 1.0,
            () if small.contains("slack") => 0.0,
            () => return Err(wrong("say whether it is with her or against her")),
        };
        let rate = small.replace("against", "").replace("with", "").replace("her", "");
        let rate_m_s = match sign {
            0.0 => 0.0,
            _ => {
                read_quantity(rate.trim(), Quantity::Speed)
                    .map_err(|error| wrong(error.to_string().trim_end_matches('.')))?
                    .si
            }
        };
        if !(0.0..=8.0).contains(&rate_m_s) {
            return Err(wrong("give a rate from 0 to 15 kn"));
        }
        let until_s = match until {
            None => f64::INFINITY,
            Some(until) => {
                let time =
                    until.trim().parse::<Time>().map_err(|_| wrong("its end is no hour such as 00:30"))?;
                let before_s = stages.last().map_or(0.0, |stage| stage.until_s);
                // The next time that the clock shows it; what would be most of a day off has more likely passed.
                let lasts_s = (seconds_of(time) - now_s - before_s).rem_euclid(DAY_S);
                if lasts_s > LONGEST_STREAM_S {
                    return Err(wrong("that hour is past, or not in order: tell the streams from now on"));
                }
                before_s + lasts_s
            }
        };
        let (along, across) = sets_off_rad.map_or((1.0, 0.0), |off| (off.cos(), off.sin()));
        stages.push(Stage { until_s, along_m_s: sign * rate_m_s * along, across_m_s: rate_m_s * across });
    }
    let is_last_assumed = stages.last().is_none_or(|stage| stage.until_s.is_finite());
    if is_last_assumed {
        stages.push(Stage { until_s: f64::INFINITY, along_m_s: 0.0, across_m_s: 0.0 });
    }
    Ok(Stages { stages, is_last_assumed, within_m_s })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn streams_are_read_from_the_hour_on() {
        let ten = 22.0 * 3600.0;
        let read = |text: &str| stages(text, ten, None);
        let told = read("2 kn against until 00:30, 0.5 kn with until 04:00").unwrap();
        let found = told.stages;
        assert!(told.is_last_assumed && found.len() == 3);
        assert!(
            (found[0].until_s - 9000.0).abs() < 1e-6 && (found[0].along_m_s + 2.0 * 0.514_444).abs() < 1e-4
        );
        assert!((found[1].until_s - 21_600.0).abs() < 1e-6 && found[2].along_m_s == 0.0);
        assert!(!read("1 kn with").unwrap().is_last_assumed);
        // Setting to the east of north by 60 degrees on a course of north: half of it helps, 0.866 of it is across.
        let set = stages("1 kn ± 0.3 kn setting 60", ten, Some(0.0)).unwrap();
        assert!((set.stages[0].along_m_s - 0.5 * 0.514_444).abs() < 1e-4);
        assert!((set.stages[0].across_m_s - 0.866 * 0.514_444).abs() < 1e-4);
        assert!((set.within_m_s - 0.3 * 0.514_444).abs() < 1e-4);
        for (text, said) in [
            ("2 kn until 00:30", "with her or against"),
            ("2 kn against until soon", "no hour"),
            ("1 kn with, 2 kn against", "no end"),
            ("fast against", "against"),
            ("1 kn with until 21:00", "is past"),
            ("1 kn setting 60", "give her course"),
            ("1 kn ± much with", "in knots"),
            ("1 kn with until 02:00, 1 kn against until 01:00", "not in order"),
        ] {
            assert!(read(text).unwrap_err().message().contains(said), "{text}");
        }
    }
}
