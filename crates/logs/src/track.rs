//! Positions in the order of time, and speed and course over ground computed from them.

use super::bad::BadKind;
use super::clock::parse_iso;
use super::gpx::Inside;
use super::log::{Builder, Log, Source, TimeBase};
use super::measured::Measured as M;
use super::notice::LogNotice;
use quick_xml::events::BytesStart;
use std::collections::VecDeque;
use wakewright_units::factors::DEGREE_RAD;

/// Mean radius of the earth \[m\]; on distances of a trial the ellipsoid changes 0.3 % at most.
const EARTH_RADIUS_M: f64 = 6_371_008.8;

/// Longest step over which a speed is computed \[s\].
const LONGEST_STEP_S: f64 = 120.0;

/// Elements of a point that measure nothing for a trial.
const NOT_MEASURED: [&str; 20] = [
    "ele",
    "sat",
    "hdop",
    "vdop",
    "pdop",
    "fix",
    "name",
    "desc",
    "cmt",
    "src",
    "sym",
    "type",
    "link",
    "text",
    "magvar",
    "geoidheight",
    "ageofdgpsdata",
    "dgpsid",
    "number",
    "TrackPointExtension",
];

/// Leg over which speed and course are taken \[s\].
const LEG_S: f64 = 10.0;

/// A point that is being read.
#[derive(Debug, Default, Clone)]
pub(super) struct Point {
    pub latitude: Option<f64>,
    pub longitude: Option<f64>,
    pub time_s: Option<f64>,
    pub speed_m_s: Option<f64>,
    pub course_rad: Option<f64>,
    pub is_bad: bool,
    /// What extensions tell, SI.
    pub others: Vec<(M, f64)>,
}

#[derive(Debug)]
pub(super) struct Track {
    pub(super) builder: Builder,
    base: TimeBase,
    pub(super) point: Option<Point>,
    inside: Option<Inside>,
    written: String,
    /// Names in extensions, and what is measured under them in which unit.
    others: Vec<(String, Option<(M, &'static wakewright_units::Unit)>)>,
    before: VecDeque<(f64, f64, f64)>,
    points: u64,
    without_time: u64,
    /// Times that were written without a zone.
    pub without_zone: u64,
}

impl Default for Track {
    fn default() -> Self {
        Self {
            builder: Builder::new(),
            base: TimeBase::Utc,
            point: None,
            inside: None,
            written: String::new(),
            others: Vec::new(),
            before: VecDeque::new(),
            points: 0,
            without_time: 0,
            without_zone: 0,
        }
    }
}

impl Track {
    /// A point of a track that is told apart elsewhere.
    pub fn next_point(&mut self, point: &Point) {
        self.points += 1;
        self.builder.line = self.points;
        self.builder.message(b"point");
        self.add(point);
    }

    /// The same, when only the time of day is known.
    pub fn next_point_of_day(&mut self, point: &Point) {
        self.base = TimeBase::TimeOfDay;
        self.next_point(point);
    }

    /// The next point does not follow the last.
    pub fn begin_piece(&mut self) {
        self.before.clear();
    }

    /// The file is not well formed from here.
    pub fn broken(&mut self) {
        self.bad(BadKind::BrokenOff);
    }

    /// Counts what cannot be used.
    pub fn bad(&mut self, kind: BadKind) {
        self.builder.bad(kind);
    }

    pub(super) fn open(&mut self, element: &BytesStart<'_>) {
        let name = element.local_name();
        match name.as_ref() {
            "trkpt" | "rtept" | "wpt" => {
                self.points += 1;
                self.builder.line = self.points;
                self.builder.message(name.as_ref().as_bytes());
                if name.as_ref() == "trkpt" {
                    self.point = Some(place(element));
                }
            }
            "trkseg" => self.before.clear(),
            "time" => self.begin(Inside::Time),
            "speed" => self.begin(Inside::Speed),
            "course" => self.begin(Inside::Course),
            other if self.point.is_some() => {
                let at = self.other(other);
                if self.others[at].1.is_some() {
                    self.begin(Inside::Other(at));
                }
            }
            _ => {}
        }
    }

    /// A value that a point tells under a name.
    pub fn told(&mut self, point: &mut Point, name: &str, number: f64) {
        let at = self.other(name);
        let known = self.others[at].1.filter(|_| number.is_finite());
        point.others.extend(known.map(|(measured, unit)| (measured, unit.to_si(number))));
    }

    /// A name whose values are not read.
    pub fn left(&mut self, name: &str) {
        let at = self.other(name);
        self.others[at].1 = None;
    }

    /// The place of a name among those that were met; what stands beyond the most that are told apart is not read.
    fn other(&mut self, name: &str) -> usize {
        const MOST: usize = 64;
        let known = self.others.iter().position(|(known, _)| known == name);
        known.unwrap_or_else(|| {
            if self.others.len() >= MOST {
                return self.others.len() - 1;
            }
            self.others.push((name.to_owned(), super::table::plant_by_name(name)));
            self.others.len() - 1
        })
    }

    fn begin(&mut self, inside: Inside) {
        if self.point.is_some() {
            self.inside = Some(inside);
            self.written.clear();
        }
    }

    pub(super) fn text(&mut self, text: &str) {
        const LONGEST_VALUE: usize = 64;
        if self.inside.is_some() && self.written.len() + text.len() <= LONGEST_VALUE {
            self.written.push_str(text);
        }
    }

    pub(super) fn close(&mut self, name: &str) {
        if name == "trkpt" {
            if let Some(point) = self.point.take() {
                self.add(&point);
            }
            self.inside = None;
            return;
        }
        let closes = match self.inside {
            Some(Inside::Time) => name == "time",
            Some(Inside::Speed) => name == "speed",
            Some(Inside::Course) => name == "course",
            Some(Inside::Other(at)) => self.others[at].0 == name,
            None => false,
        };
        if !closes {
            return;
        }
        let written = self.written.trim().to_owned();
        let Some(point) = &mut self.point else { return };
        match self.inside.take() {
            Some(Inside::Time) => {
                let read = parse_iso(&written);
                self.without_zone += u64::from(read.is_some_and(|(_, has_zone)| !has_zone));
                point.time_s = read.map(|(time_s, _)| time_s);
                point.is_bad |= point.time_s.is_none();
            }
            Some(Inside::Speed) => point.speed_m_s = written.parse().ok(),
            Some(Inside::Course) => point.course_rad = written.parse().ok().map(|d: f64| d * DEGREE_RAD),
            Some(Inside::Other(at)) => {
                let number = written.parse::<f64>().ok().filter(|number| number.is_finite());
                let known = self.others[at].1.zip(number);
                point.others.extend(known.map(|((measured, unit), number)| (measured, unit.to_si(number))));
            }
            None => {}
        }
    }

    fn add(&mut self, point: &Point) {
        if point.is_bad {
            self.builder.bad(BadKind::BadTime);
        }
        let (Some(latitude), Some(longitude)) = (point.latitude, point.longitude) else {
            self.builder.bad(BadKind::BadField);
            return;
        };
        let Some(time_s) = point.time_s else {
            self.without_time += 1;
            if self.without_time == self.points {
                self.builder.push(M::Latitude, Source::Track, latitude);
                self.builder.push(M::Longitude, Source::Track, longitude);
            }
            return;
        };
        self.builder.set_time(self.base, time_s);
        self.builder.push(M::Latitude, Source::Track, latitude);
        self.builder.push(M::Longitude, Source::Track, longitude);
        if let Some(speed) = point.speed_m_s {
            self.builder.push(M::SpeedOverGround, Source::Track, speed);
        }
        if let Some(course) = point.course_rad {
            self.builder.push(M::CourseOverGround, Source::Track, course);
        }
        for (measured, value) in &point.others {
            self.builder.push(*measured, Source::Track, *value);
        }
        let is_next = |before: f64| time_s > before && time_s - before <= LONGEST_STEP_S;
        if !self.before.back().is_some_and(|(before, ..)| is_next(*before)) {
            self.before.clear();
        }
        // As long as legs between other positions are, or from point to point where those lie farther apart: from
        // second to second a phone's track is little but its own scatter.
        while self.before.get(1).is_some_and(|(before, ..)| time_s - before >= LEG_S) {
            self.before.pop_front();
        }
        if let Some((t0, lat0, lon0)) = self.before.front() {
            let (distance_m, course) = leg(*lat0, *lon0, latitude, longitude);
            self.builder.push(M::SpeedOverGround, Source::Derived, distance_m / (time_s - t0));
            if distance_m > 0.0 {
                self.builder.push(M::CourseOverGround, Source::Derived, course);
            }
        }
        self.before.push_back((time_s, latitude, longitude));
    }

    pub fn finish(mut self) -> Log {
        if self.without_time > 0 {
            self.builder.notices.push(LogNotice::PointsWithoutTime { points: self.without_time });
        }
        let read = |measured: M| self.others.iter().any(|(_, is)| is.is_some_and(|(m, _)| m == measured));
        if read(M::MotorSpeed) {
            self.builder.notices.push(LogNotice::Question(
                "The turns in the track's extensions are taken as the motor's: if they are the shaft's, say so in a table.".to_owned(),
            ));
        }
        let unread: Vec<String> = self
            .others
            .iter()
            .filter(|(name, is)| {
                is.is_none() && name != "extensions" && !NOT_MEASURED.contains(&name.as_str())
            })
            .map(|(name, _)| format!("{name:?}"))
            .collect();
        if !unread.is_empty() {
            self.builder.notices.push(LogNotice::LeftOut(format!(
                "Not read in the points: {}. Volts, amps, watts and turns are read where the names say so with their unit.",
                unread.join(", ")
            )));
        }
        if self.without_zone > 0 {
            self.builder.notices.push(LogNotice::NoZone);
        }
        self.builder.finish(self.points)
    }
}

/// Speed from place to place over the speed that a channel tells of the same stretch: the middle of all stretches.
pub(super) fn places_over_speeds(log: &Log, speeds: &crate::Channel) -> Option<f64> {
    let (latitude, longitude) = (log.of(M::Latitude).next()?, log.of(M::Longitude).next()?);
    // Some hours of seconds tell a unit.
    const MOST_PLACES: usize = 20_000;
    let mut places: Vec<(f64, f64, f64)> = Vec::new();
    let mut by_time = longitude.times_s.iter().zip(&longitude.values).peekable();
    for (time, lat) in latitude.times_s.iter().zip(&latitude.values) {
        while by_time.peek().is_some_and(|(t, _)| *t < time) {
            by_time.next();
        }
        if let Some((t, lon)) = by_time.peek()
            && *t == time
        {
            places.push((*time, *lat, **lon));
        }
        if places.len() >= MOST_PLACES {
            break;
        }
    }
    // Coarse places leap: only way that is many of their steps tells.
    let step = super::resolution::step_of(latitude).unwrap_or(0.0);
    let least_m = f64::max(10.0, 10.0 * EARTH_RADIUS_M * step);
    const LEAST_LEGS: usize = 5;
    let mut ratios = Vec::new();
    let mut from = *places.first()?;
    let mut told = speeds.times_s.iter().zip(&speeds.values).peekable();
    for place in &places {
        let (distance_m, _) = leg(from.1, from.2, place.1, place.2);
        if distance_m < least_m {
            continue;
        }
        let (mut sum, mut count) = (0.0, 0_u32);
        while let Some((time, speed)) = told.next_if(|(time, _)| **time <= place.0) {
            if *time >= from.0 {
                (sum, count) = (sum + speed, count + 1);
            }
        }
        let lasts_s = place.0 - from.0;
        if lasts_s > 0.0 && lasts_s <= LONGEST_STEP_S && count > 0 && sum > 0.0 {
            ratios.push(distance_m / lasts_s / (sum / f64::from(count)));
        }
        from = *place;
    }
    if ratios.len() < LEAST_LEGS { None } else { super::checks::median(&ratios) }
}

fn place(element: &BytesStart<'_>) -> Point {
    let degrees = |name: &str, limit: f64| {
        let attribute = element.attributes().flatten().find(|a| a.key.local_name().as_ref() == name)?;
        let value: f64 = attribute.value.trim().parse().ok()?;
        (value.abs() <= limit).then_some(value * DEGREE_RAD)
    };
    Point { latitude: degrees("lat", 90.0), longitude: degrees("lon", 180.0), ..Point::default() }
}

/// Distance \[m\] and first course \[rad\] along the great circle.
pub(super) fn leg(lat0: f64, lon0: f64, lat1: f64, lon1: f64) -> (f64, f64) {
    let turn = lon1 - lon0;
    let half_lat = (0.5 * (lat1 - lat0)).sin();
    let half_lon = (0.5 * turn).sin();
    let a = half_lat * half_lat + lat0.cos() * lat1.cos() * half_lon * half_lon;
    let distance_m = 2.0 * EARTH_RADIUS_M * a.sqrt().min(1.0).asin();
    let course = (turn.sin() * lat1.cos())
        .atan2(lat0.cos() * lat1.sin() - lat0.sin() * lat1.cos() * turn.cos())
        .rem_euclid(std::f64::consts::TAU);
    (distance_m, course)
}
