//! What is asked of a passage: route, hours, streams, charge, as a case that can be reckoned. Not for: what comes of it.

use jiff::civil::{Date, DateTime, Time};
use jiff::tz::TimeZone;
use jiff::{Timestamp, Zoned};
use wakewright_core::caution;
use wakewright_core::notice::Notice;
use wakewright_core::passage::{HOME_SPREADS, HomeSpreads, Leg, Setting, Stream};
use wakewright_core::spread::Spread;
use wakewright_core::tide::Water;
use wakewright_units::factors::{DAY_S, NAUTICAL_MILE_M};

use super::reckoned::days_tried;
use super::route::{Route, RouteLeg};
use crate::gethome::asked::stages;
use crate::gethome::charge::charge;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Question, Reply, Typed, read_speed_within};
use crate::streams::{
    PORT, STREAMS, Tables, UNKNOWN_DEPTH_S, at_station, from_constants, from_table, slack, waters,
};
use crate::tide::known::{is_far, local, seconds};
use crate::tide::{Known, lies_at, questions};

const fn words(key: &'static str, value_name: &'static str, help: &'static str) -> Question {
    Question { key, value_name: Some(value_name), help, read: |text| Ok(Reply::Text(text.trim().to_owned())) }
}

/// Everything that may be asked.
pub static QUESTIONS: [Question; 12] = [
    words(
        "route",
        "ROUTE",
        "The route: a GPX file, or points or legs typed line by line: \"6.2 nm 040 to Gull Skerry\"",
    ),
    Question {
        key: "leg",
        value_name: Some("LEG"),
        help: "What is said of a leg: \"2: stream A; wind 8 kn; depth 4 m; sail 40 % at 4.5 kn; stop 2 h at 3 kW\"; of all: \"all: wind 6 kn\"",
        read: |text| {
            Ok(Reply::Texts(text.lines().filter(|line| !line.trim().is_empty()).map(str::to_owned).collect()))
        },
    },
    words("leave", "HH:MM", "She leaves at this hour; now when left out"),
    questions::DAY,
    words(
        "arrive",
        "WINDOW",
        "When she is to arrive: \"by 17:00\", \"15:00-17:00\"; as it comes when left out",
    ),
    words(
        "charge",
        "CHARGE",
        "What is in the bank as she leaves: \"90 %\", or used since full: \"30 Ah used\"; the document's when left out",
    ),
    STREAMS,
    PORT,
    questions::TABLE,
    questions::ZONE,
    Question {
        key: "slowest",
        value_name: Some("SPEED"),
        help: "Slowest speed at which she steers; 2 kn when left out",
        read: |text| read_speed_within(text, 0.5, 6.0),
    },
    Question {
        key: "later",
        value_name: Some("DAYS"),
        help: "Days over which other departures are tried, 1 to 15; 14 when left out",
        read: |text| match text.trim().parse() {
            Ok(days @ 1..=15) => Ok(Reply::Whole(days)),
            _ => Err("give a whole number of days from 1 to 15".to_owned()),
        },
    },
];

/// The fields of the page.
pub fn fields() -> Vec<Typed> {
    vec![
        Typed::table("route", "Route: points, legs or GPX", "6.2 nm 040 to Gull Skerry"),
        Typed::new("leave", "She leaves at", "now"),
        Typed::new("arrive", "To arrive", "by 17:00, or 15:00-17:00"),
        Typed::new("charge", "In the bank", "90 %, or 30 Ah used"),
        Typed::new("day", "Day", "today"),
        Typed { lines: 2, ..Typed::table("leg", "Said of legs", "all: stream A") },
        Typed { lines: 2, ..Typed::table("streams", "Stream tables", "A: springs 3.9 m, neaps 1.9 m") },
        Typed::new("port", "Their standard port", "a station"),
        Typed {
            lines: 2,
            ..Typed::table("table", "Its waters from the official table", "2026-10-02 07:50 2.83 14:02 0.40")
        },
        Typed::new("zone", "Time of all hours", "that of the port, or the clock's"),
        Typed::new("slowest", "She steers from", "2 kn"),
        Typed::new("later", "Days for other departures", "14"),
    ]
}

/// A passage as it can be reckoned.
#[derive(Debug)]
pub struct Case {
    /// The route.
    pub route: Route,
    /// Its legs, second 0 being the departure.
    pub legs: Vec<Leg>,
    /// What power tables are made for.
    pub settings: Vec<Setting>,
    /// When she leaves.
    pub leaves: Zoned,
    /// Earliest and latest arrival, from then on \[s\].
    pub window_s: (Option<f64>, Option<f64>),
    /// What streams and wind may be off by.
    pub spreads: HomeSpreads,
    /// Charge as she leaves.
    pub charge: Spread,
    /// Until when the streams are known, from then on \[s\]; none where no tide makes them.
    pub known_s: Option<f64>,
    /// Legs, from 0, whose stream a table tells for some hours of the tide alone, and from when to when it does not \[s\].
    pub unknown_s: Vec<(usize, Vec<(f64, f64)>)>,
    /// Whether a stream was stated by the clock, for this departure alone.
    pub has_own_hours: bool,
    /// Whether no stream was stated at all for some leg.
    pub has_slack: bool,
    /// Where the waters come from.
    pub source: Option<String>,
    /// What to read first.
    pub notices: Vec<Notice>,
}

fn hour(text: &str) -> Option<Time> {
    // A day with an hour would be read as the hour alone.
    let plain = text.trim();
    if plain.contains('-') { None } else { plain.parse().ok() }
}

/// An hour, or a day and an hour, the next after `after`.
fn instant(text: &str, after: &Zoned) -> Result<Zoned, NoAnswer> {
    let wrong = || NoAnswer::input(format!("{text} is no hour; write 17:00, or 2026-10-03 02:00"));
    let zone = after.time_zone();
    if let Some(time) = hour(text) {
        let then = after.date().to_datetime(time).to_zoned(zone.clone()).map_err(|_| wrong())?;
        let next = || after.date().tomorrow().ok()?.to_datetime(time).to_zoned(zone.clone()).ok();
        return if then > *after { Ok(then) } else { next().ok_or_else(wrong) };
    }
    let at: DateTime = text.trim().replace(' ', "T").parse().map_err(|_| wrong())?;
    at.to_zoned(zone.clone()).map_err(|_| wrong())
}

/// So long a passage to an hour without a day may be meant, over midnight; longer it is a slip \[s\]. Judgement.
const LONGEST_UNSAID_S: f64 = 16.0 * 3600.0;

fn no_course(place: usize, leg: &RouteLeg, what: &str) -> NoAnswer {
    NoAnswer::input(format!(
        "leg {} to {} has no course, so that the stream {what} cannot be laid along it; write {:.1} nm 040 to {}",
        place + 1,
        leg.to,
        leg.distance_m / NAUTICAL_MILE_M,
        leg.to
    ))
}

/// An evening's window that ends in the morning.
fn is_over_midnight(from: Time, to: Time) -> bool {
    from.hour() >= 18 && to.hour() < 10
}

/// From when to when she is to arrive.
fn window(text: &str, leaves: &Zoned) -> Result<(Option<Zoned>, Option<Zoned>), NoAnswer> {
    let plain = text.trim();
    if let Some(by) = plain.strip_prefix("by ") {
        return Ok((None, Some(instant(by, leaves)?)));
    }
    if let Some(from) = plain.strip_prefix("after ") {
        return Ok((Some(instant(from, leaves)?), None));
    }
    let parts = plain.split_once(" to ").or_else(|| plain.split_once('–')).or_else(|| {
        // Dates have hyphens too: that of a window stands after its first hour.
        let colon = plain.find(':')?;
        let hyphen = colon + plain[colon..].find('-')?;
        Some((&plain[..hyphen], &plain[hyphen + 1..]))
    });
    let Some((from, to)) = parts else { return Ok((None, Some(instant(plain, leaves)?))) };
    let is_backwards =
        hour(from).zip(hour(to)).is_some_and(|(from, to)| from >= to && !is_over_midnight(from, to));
    if is_backwards {
        return Err(NoAnswer::input(format!(
            "arrive {text}: the window closes before it opens; write 15:00-17:00, or with the day of each"
        )));
    }
    let from = instant(from, leaves)?;
    let to = instant(to, &from)?;
    Ok((Some(from), Some(to)))
}

impl Case {
    /// The case.
    /// # Errors
    /// What is missing or cannot be.
    pub fn of(asked: &Asked<'_>) -> Result<Self, NoAnswer> {
        let replies = &asked.replies;
        let text = replies.text("route").filter(|text| !text.is_empty()).ok_or_else(|| {
            NoAnswer::input(
                "give the route: a GPX file, or a line for each point or leg: 6.2 nm 040 to Gull Skerry. Hours, streams and charge go \
                 with it",
            )
        })?;
        let route = Route::read(text, replies.texts("leg")).map_err(NoAnswer::input)?;
        let tables = replies.text("streams").filter(|text| !text.trim().is_empty());
        let tables = tables.map_or_else(|| Ok(Tables::default()), Tables::read).map_err(NoAnswer::input)?;
        let tables =
            tables.with_trials(asked, route.legs.iter().filter_map(|leg| leg.said.stream.as_deref()))?;
        let needs_tide = route
            .legs
            .iter()
            .any(|leg| leg.said.stream.as_deref().is_some_and(|name| tables.named(name).is_some()));
        let days = i64::from(days_tried(asked)) + 2;
        let known = if needs_tide { Some(waters(asked, days)?) } else { None };
        // Hours at a station of streams are those of its place.
        let of_current = route.legs.iter().find_map(|leg| {
            let name = leg.said.stream.as_deref().filter(|name| name.starts_with("at "))?;
            Some(at_station(name).ok()?.station.zone)
        });
        let zone = zone_of(asked, known.as_ref(), of_current)?;
        let leaves = leaves(asked, &zone)?;
        let day_s = seconds(&leaves) - seconds(&leaves.start_of_day().unwrap_or_else(|_| leaves.clone()));
        let days = days as f64 + 1.0;
        let known_s =
            known.as_ref().and_then(|known| known.waters.last()).map(|last| last.unix_s - seconds(&leaves));
        let waters: &[Water] = known.as_ref().map_or(&[], |known| known.waters.as_slice());
        if known
            .as_ref()
            .is_some_and(|known| known.waters.first().is_none_or(|first| first.unix_s > seconds(&leaves)))
        {
            return Err(NoAnswer::input(
                "the waters of the table begin after she leaves: the streams of her first hours are not known",
            ));
        }
        let mut case = Self {
            window_s: (None, None),
            spreads: HOME_SPREADS,
            charge: charge(replies.text("charge"), &asked.boat.spec.boat.bank)?,
            legs: Vec::new(),
            settings: Vec::new(),
            known_s,
            unknown_s: Vec::new(),
            has_own_hours: false,
            has_slack: false,
            source: known.as_ref().map(|known| format!("{}: {}", known.name, known.source)),
            notices: vec![caution::GETTING_HOME],
            leaves,
            route,
        };
        let here = case.route.start.or_else(|| lies_at(asked.boat));
        let mut is_beyond = false;
        let mut has_far_station = is_far(known.as_ref().and_then(|known| known.position), here);
        for (place, leg) in case.route.legs.iter().enumerate() {
            let setting = Setting { head_wind_m_s: leg.said.wind_m_s, depth_m: leg.said.depth_m };
            let table = case.settings.iter().position(|known| *known == setting).unwrap_or_else(|| {
                case.settings.push(setting);
                case.settings.len() - 1
            });
            let stream: Stream = match leg.said.stream.as_deref() {
                None => {
                    case.has_slack = true;
                    slack()
                }
                Some(name) if name.starts_with("at ") => {
                    let at = at_station(name)
                        .map_err(|why| NoAnswer::input(format!("leg {}: {}", place + 1, why.message())))?;
                    let course = leg.course_rad.ok_or_else(|| no_course(place, leg, name))?;
                    let last_s = days * DAY_S;
                    let stream = from_constants(&at.current, course, seconds(&case.leaves), last_s);
                    case.known_s = Some(case.known_s.unwrap_or(last_s).min(last_s));
                    has_far_station |= is_far(Some(at.station.place), here);
                    if at.is_unsure {
                        case.spreads.change_s = case.spreads.change_s.max(UNKNOWN_DEPTH_S);
                    }
                    let told = at.told;
                    match &mut case.source {
                        Some(source) if source.contains(&told) => {}
                        Some(source) => *source += &format!("; {told}"),
                        None => case.source = Some(told),
                    }
                    stream.map_err(|error| NoAnswer::input(error.to_string()))?
                }
                Some(name) => match (tables.named(name), leg.course_rad) {
                    (Some(table), Some(course)) => {
                        let last_s = case.known_s.unwrap_or(0.0).min(days * DAY_S);
                        let laid = from_table(table, waters, course, seconds(&case.leaves), last_s);
                        is_beyond |= laid.is_beyond;
                        case.unknown_s.push((place, laid.unknown_s));
                        case.spreads.stream_m_s = case.spreads.stream_m_s.max(table.within_m_s);
                        case.spreads.change_s = case.spreads.change_s.max(table.later_s);
                        laid.stream
                    }
                    (Some(_), None) => return Err(no_course(place, leg, &format!("table {name}"))),
                    (None, _) if !name.contains(' ') && name != "slack" => {
                        let names = tables.names();
                        let there = if names.is_empty() {
                            "no stream table was given".to_owned()
                        } else {
                            format!("tables: {names}")
                        };
                        return Err(NoAnswer::input(format!(
                            "leg {}: there is no stream table {name} ({there})",
                            place + 1
                        )));
                    }
                    (None, _) => {
                        case.has_own_hours |= name.contains("until");
                        let told = stages(name, day_s, leg.course_rad).map_err(|why| {
                            NoAnswer::input(format!("leg {}: {}", place + 1, why.message()))
                        })?;
                        case.spreads.stream_m_s = case.spreads.stream_m_s.max(told.within_m_s);
                        Stream::stepped(&told.stages)
                    }
                },
            };
            case.legs.push(Leg {
                distance_m: leg.distance_m,
                stream,
                sail: leg.said.sail,
                table,
                stop: leg.said.stop,
            });
        }
        if has_far_station {
            case.notices.push(caution::FAR_STATION);
        }
        if is_beyond {
            case.notices.push(caution::BEYOND_SPRINGS_AND_NEAPS);
        }
        if let Some(text) = replies.text("arrive").filter(|text| !text.is_empty()) {
            let (from, to) = window(text, &case.leaves)?;
            // An hour that the clock showed shortly before she leaves is rather a slip than the day after.
            let has_no_day = !text.split(' ').any(|word| word.parse::<Date>().is_ok());
            let closes = to.as_ref().or(from.as_ref());
            if has_no_day
                && closes.is_some_and(|at| {
                    at.date() > case.leaves.date() && seconds(at) - seconds(&case.leaves) > LONGEST_UNSAID_S
                })
            {
                return Err(NoAnswer::input(format!(
                    "arrive {text}: that hour is past when she leaves at {}; if the next day is meant, write it: by {}",
                    case.leaves.strftime("%a %d %b %H:%M"),
                    closes.map_or_else(String::new, |at| at.strftime("%Y-%m-%d %H:%M").to_string())
                )));
            }
            let after = |at: Zoned| seconds(&at) - seconds(&case.leaves);
            case.window_s = (from.map(after), to.map(after));
            let closes = case.window_s.1;
            if closes.is_some_and(|close_s| close_s <= 0.0)
                || case.window_s.0.zip(closes).is_some_and(|(from, to)| from >= to)
            {
                return Err(NoAnswer::input(format!(
                    "arrive {text}: the window closes before she leaves at {}, or before it opens; write by 17:00, or 15:00-17:00",
                    case.leaves.strftime("%a %d %b %H:%M")
                )));
            }
            if case.window_s.0.or(closes).is_some_and(|at_s| at_s > 7.0 * DAY_S) {
                return Err(NoAnswer::input(format!(
                    "arrive {text}: that is more than a week after she leaves"
                )));
            }
        }
        Ok(case)
    }

    /// Whether other hours have other streams, which are known.
    #[must_use]
    pub fn is_tidal(&self) -> bool {
        self.known_s.is_some() && !self.has_own_hours
    }

    /// An instant of the passage in the time of the case.
    #[must_use]
    pub fn local(&self, at_s: f64) -> Zoned {
        local(seconds(&self.leaves) + at_s, self.leaves.time_zone())
    }

    /// The hour, with the day where it is not that of leaving.
    #[must_use]
    pub fn clock(&self, at_s: f64) -> String {
        if !at_s.is_finite() {
            return "never".to_owned();
        }
        let at =
            local((seconds(&self.leaves) + at_s + 30.0).div_euclid(60.0) * 60.0, self.leaves.time_zone());
        let form = if at.date() == self.leaves.date() { "%H:%M" } else { "%a %H:%M" };
        at.strftime(form).to_string()
    }
}

fn zone_of(asked: &Asked<'_>, known: Option<&Known>, usual: Option<&str>) -> Result<TimeZone, NoAnswer> {
    match (known, asked.replies.text("zone").filter(|zone| !zone.is_empty()).or(usual)) {
        (Some(known), _) => Ok(known.zone.clone()),
        (None, Some(name)) => TimeZone::get(name).map_err(|_| {
            NoAnswer::input(format!(
                "the time zone {name} is not known; write UTC, or a name such as Europe/London"
            ))
        }),
        (None, None) => Ok(TimeZone::system()),
    }
}

fn leaves(asked: &Asked<'_>, zone: &TimeZone) -> Result<Zoned, NoAnswer> {
    let now = Timestamp::now().to_zoned(zone.clone());
    let day: Option<Date> = asked.replies.day("day");
    let text = asked.replies.text("leave").filter(|text| !text.is_empty());
    let time = match (text, day) {
        (Some(text), _) => {
            hour(text).ok_or_else(|| NoAnswer::input(format!("leave {text} is no hour; write 08:00")))?
        }
        (None, Some(_)) => {
            return Err(NoAnswer::input("give the hour at which she leaves on that day (leave 08:00)"));
        }
        (None, None) => now.time(),
    };
    let date = day.unwrap_or_else(|| now.date());
    let at = zone.to_ambiguous_zoned(date.to_datetime(time)).unambiguous();
    at.map_err(|_| {
        NoAnswer::input(format!(
            "at {} on {date} the clocks change; give another hour, or all in UTC",
            time.strftime("%H:%M")
        ))
    })
}
