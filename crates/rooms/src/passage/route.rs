//! A route as it is typed, line by line, or as a GPX file has it, and what is said of its legs. Not for: what comes of it.

use wakewright_core::passage::{Sail, Stop, geodesic};
use wakewright_core::solar::Place;
use wakewright_logs::{RoutePoint, route_points};
use wakewright_units::factors::{DEGREE_RAD, HOUR_S, NAUTICAL_MILE_M};
use wakewright_units::{Quantity, read_quantity};

use crate::tide::position;

/// More legs than a helmsman keeps; a track is not a route.
const MOST_LEGS: usize = 200;
const LONGEST_M: f64 = 1000.0 * NAUTICAL_MILE_M;

/// What is said of a leg.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Said {
    /// The stream: a table's name, or rates along her way.
    pub stream: Option<String>,
    /// Wind from ahead \[m/s\].
    pub wind_m_s: Option<f64>,
    /// Depth of water \[m\].
    pub depth_m: Option<f64>,
    /// Under sail.
    pub sail: Option<Sail>,
    /// A stop at its end.
    pub stop: Option<Stop>,
}

/// A leg.
#[derive(Debug, Clone, PartialEq)]
pub struct RouteLeg {
    /// Where it goes.
    pub to: String,
    /// Over the ground \[m\].
    pub distance_m: f64,
    /// From true north \[rad\], where it is known.
    pub course_rad: Option<f64>,
    /// Where it ends, where that is known.
    pub end: Option<Place>,
    /// What is said of it.
    pub said: Said,
}

/// A route.
#[derive(Debug, Clone, PartialEq)]
pub struct Route {
    /// Where it begins.
    pub from: String,
    /// Where that is, where it is known.
    pub start: Option<Place>,
    /// Legs.
    pub legs: Vec<RouteLeg>,
}

const HOW: &str = "write a point on each line, 55.90 N 7.40 W Renn pier, or a leg, 6.2 nm 040 to Gull Skerry; or give a GPX file";

enum Point {
    From(String),
    At(Place, String),
    Leg(f64, Option<f64>, String),
}

impl Route {
    /// Reads a route, and `more` lines of the form `2: wind 8 kn` or `all: stream A` on its legs.
    /// # Errors
    /// Every line that cannot be read, with what to write.
    pub fn read(text: &str, more: &[String]) -> Result<Self, String> {
        let mut faults = Vec::new();
        let points: Vec<(usize, Point, Said)> = if text.trim_start().starts_with('<') {
            let of = |(i, point): (usize, RoutePoint)| {
                let name = if point.name.is_empty() { format!("point {}", i + 1) } else { point.name };
                (
                    i + 1,
                    Point::At(Place::of_degrees(point.latitude_deg, point.longitude_deg), name),
                    Said::default(),
                )
            };
            route_points(text)?.into_iter().enumerate().map(of).collect()
        } else {
            let mut points = Vec::new();
            let lines = text
                .lines()
                .enumerate()
                .map(|(i, line)| (i + 1, line.split('#').next().unwrap_or_default().trim()));
            for (number, line) in lines.filter(|(_, line)| !line.is_empty()) {
                let mut parts = line.split(';').map(str::trim);
                let mut said = Said::default();
                match point_of(parts.next().unwrap_or_default()) {
                    Ok(point) => {
                        let wrong =
                            parts.filter(|part| !part.is_empty()).filter_map(|part| said.take(part).err());
                        faults.extend(wrong.map(|why| format!("line {number}: {why}")));
                        points.push((number, point, said));
                    }
                    Err(why) => faults.push(format!("line {number}: {why}")),
                }
            }
            points
        };
        let route = Self::joined(points, &mut faults);
        let mut route = route.unwrap_or(Self { from: String::new(), start: None, legs: Vec::new() });
        if faults.is_empty() {
            more.iter().for_each(|line| faults.extend(route.takes(line).err()));
        }
        if faults.is_empty() { Ok(route) } else { Err(faults.join("\n")) }
    }

    fn joined(points: Vec<(usize, Point, Said)>, faults: &mut Vec<String>) -> Option<Self> {
        let mut route: Option<Self> = None;
        let mut last: Option<Place> = None;
        if points.len() > MOST_LEGS + 1 {
            faults.push(format!(
                "the route has {} points; a passage is planned over {MOST_LEGS} legs at most. A track is not a route: keep the points \
                 where she alters course",
                points.len()
            ));
            return None;
        }
        for (number, point, said) in points {
            let (name, end, way) = match point {
                Point::From(name) => (name, None, None),
                Point::At(place, name) => {
                    let way = last.map(|from| geodesic(from, place));
                    if way == Some(None) {
                        faults.push(format!("line {number}: {name} lies on the other side of the earth"));
                    }
                    if way.is_none() && route.is_some() {
                        faults.push(format!("line {number}: the point before {name} has no position, so that the leg has no length; {HOW}"));
                    }
                    (name, Some(place), way.flatten().map(|(metres, course)| (metres, Some(course))))
                }
                Point::Leg(metres, course, name) => (name, None, Some((metres, course))),
            };
            last = end;
            let route = match (&mut route, way) {
                (None, None) => {
                    route = Some(Self { from: name, start: end, legs: Vec::new() });
                    continue;
                }
                (Some(route), Some(way)) => (route, way),
                (None, Some(way)) => {
                    (route.insert(Self { from: "the start".to_owned(), start: None, legs: Vec::new() }), way)
                }
                (Some(_), None) => {
                    if end.is_none() {
                        faults.push(format!("line {number}: a route begins once"));
                    }
                    continue;
                }
            };
            let (route, (distance_m, course_rad)) = route;
            if !(10.0..=LONGEST_M).contains(&distance_m) {
                faults.push(format!(
                    "line {number}: the leg to {name} is {:.3} nm; legs are from 0.01 to 1000 nm",
                    distance_m / NAUTICAL_MILE_M
                ));
            }
            route.legs.push(RouteLeg { to: name, distance_m, course_rad, end, said });
        }
        if route.as_ref().is_none_or(|route| route.legs.is_empty()) && faults.is_empty() {
            faults.push(format!("the route has no leg: it takes two points; {HOW}"));
        }
        route
    }

    /// `2: wind 8 kn; stop 2 h at 3 kW`, or `all: ...`.
    fn takes(&mut self, line: &str) -> Result<(), String> {
        let how = "write the number of a leg from 1 on, or all, and what is said of it: 2: stream 1 kn against; wind 8 kn";
        let (which, said) = line.split_once(':').ok_or_else(|| format!("leg {line}: {how}"))?;
        let count = self.legs.len();
        let legs = match which.trim().parse::<usize>() {
            Ok(number) if (1..=count).contains(&number) => &mut self.legs[number - 1..number],
            Ok(number) => return Err(format!("leg {number}: the route has {count} legs; {how}")),
            Err(_) if which.trim() == "all" => &mut self.legs[..],
            Err(_) => return Err(format!("leg {which}: {how}")),
        };
        for part in said.split(';').map(str::trim).filter(|part| !part.is_empty()) {
            for leg in legs.iter_mut() {
                leg.said.take(part).map_err(|why| format!("leg {which}: {why}"))?;
            }
        }
        Ok(())
    }
}

fn point_of(text: &str) -> Result<Point, String> {
    let is_miles = text.split_whitespace().nth(1).is_some_and(|unit| matches!(unit, "mile" | "miles" | "mi"));
    let wrong = || {
        if is_miles {
            format!("\"{text}\": miles of the sea or of land? Write nm, sea miles, or km")
        } else {
            format!("\"{text}\" is no point of a route; {HOW}")
        }
    };
    if let Some(name) = text.strip_prefix("from ") {
        return Ok(Point::From(name.trim().to_owned()));
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    let found =
        (1..=words.len()).rev().find_map(|count| Some((position(&words[..count].join(" "))?.ok()?, count)));
    if let Some((place, count)) = found.filter(|(_, count)| *count > 1 || text.contains(',')) {
        let name = words[count..].join(" ");
        return Ok(Point::At(place, if name.is_empty() { words.join(" ") } else { name }));
    }
    let (way, name) = text.split_once(" to ").ok_or_else(wrong)?;
    let words: Vec<&str> = way.split_whitespace().collect();
    let length = |words: &[&str]| {
        let text = words.join(" ");
        // Of land or of the sea: nobody says.
        if matches!(words, [_, "mile" | "miles" | "mi"]) {
            return None;
        }
        let text = if text.parse::<f64>().is_ok() { format!("{text} nm") } else { text };
        read_quantity(&text, Quantity::Distance).ok().map(|read| read.si)
    };
    let of = |count: usize| {
        let course = words[count..].join(" ");
        let degrees = course.trim_end_matches(['°', 'T', 't']).trim_end_matches("deg").trim();
        let course = match degrees.parse::<f64>() {
            Ok(degrees) if (0.0..=360.0).contains(&degrees) => Some(degrees * DEGREE_RAD),
            Err(_) if degrees.is_empty() => None,
            _ => return None,
        };
        Some(Point::Leg(length(&words[..count])?, course, name.trim().to_owned()))
    };
    [2, 1].into_iter().filter(|count| *count <= words.len()).find_map(of).ok_or_else(wrong)
}

impl Said {
    /// Takes one thing said.
    fn take(&mut self, part: &str) -> Result<(), String> {
        let (word, rest) = part.split_once(' ').unwrap_or((part, ""));
        let rest = rest.trim();
        let number = |text: &str, quantity, limits: (f64, f64), what: &str| {
            let read = read_quantity(text.trim(), quantity).map_err(|error| format!("{part}: {error}"))?;
            if (limits.0..=limits.1).contains(&read.si) {
                Ok(read.si)
            } else {
                Err(format!("{part}: give {what}"))
            }
        };
        match word {
            "stream" if !rest.is_empty() => self.stream = Some(rest.to_owned()),
            "wind" => {
                let wind = number(
                    rest.trim_end_matches("ahead"),
                    Quantity::Speed,
                    (-30.0, 30.0),
                    "a wind from ahead up to 58 kn",
                )?;
                self.wind_m_s = Some(wind);
            }
            "depth" => {
                self.depth_m = Some(number(rest, Quantity::Length, (0.5, 12_000.0), "a depth from 0.5 m on")?)
            }
            "sail" => {
                let (share, speed) =
                    rest.split_once(" at ").ok_or_else(|| format!("{part}: write sail 40 % at 4.5 kn"))?;
                let share = number(share, Quantity::Share, (0.0, 1.0), "a share up to 100 %")?;
                let speed_m_s = number(speed, Quantity::Speed, (0.2, 15.0), "a speed from 0.4 to 29 kn")?;
                self.sail = Some(Sail { share, speed_m_s });
            }
            "stop" => {
                let (time, power) =
                    rest.split_once(" at ").map_or((rest, None), |(time, power)| (time, Some(power)));
                let hours: f64 = time
                    .trim_end_matches('h')
                    .trim()
                    .parse()
                    .map_err(|_| format!("{part}: write stop 2 h at 3 kW"))?;
                if !(0.1..=48.0).contains(&hours) {
                    return Err(format!("{part}: give hours from 0.1 to 48"));
                }
                let charge_w = match power {
                    Some(power) => number(power, Quantity::Power, (0.0, 500_000.0), "a power up to 500 kW")?,
                    None => 0.0,
                };
                self.stop = Some(Stop { charge_w, longest_s: hours * HOUR_S });
            }
            _ => {
                return Err(format!(
                    "{part} is not understood; of a leg are said stream, wind, depth, sail and stop: stream 1 kn against until 14:00; wind 8 kn; depth 4 m; sail 40 % at 4.5 kn; stop 2 h at 3 kW"
                ));
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> String {
        Route::read(text, &[]).unwrap_err()
    }

    #[test]
    fn routes_are_read_as_points_and_as_legs() {
        let typed = "from Renn pier\n6.2 nm 040 to Gull Skerry; wind 8 kn; sail 40 % at 4.5 kn\n4 to Port Aldis; stop 2 h at 3 kW";
        let route = Route::read(typed, &["all: stream A".to_owned(), "2: depth 4 m".to_owned()]).unwrap();
        assert_eq!(
            (route.from.as_str(), route.legs.len(), route.legs[1].to.as_str()),
            ("Renn pier", 2, "Port Aldis")
        );
        let one = &route.legs[0];
        assert!(
            (one.distance_m - 6.2 * 1852.0).abs() < 1e-6
                && (one.course_rad.unwrap() - 0.698_131_7).abs() < 1e-6
        );
        assert!(one.said.sail.unwrap().share == 0.4 && route.legs[1].said.stop.unwrap().longest_s == 7200.0);
        assert!(route.legs[1].said.depth_m == Some(4.0) && one.said.stream.as_deref() == Some("A"));
        // Over the antimeridian: 57.343 nm by an independent program (reference/sky/geodesic.csv).
        let route = Route::read("17.5 S 179.5 E\n17.5 S 179.5 W Far point", &[]).unwrap();
        assert!(
            (route.legs[0].distance_m / 1852.0 - 57.343).abs() < 0.001 && route.legs[0].to == "Far point"
        );
    }

    #[test]
    fn what_cannot_be_is_said_with_its_line() {
        assert!(said("55.9 N 7.4 W pier").contains("takes two points"));
        assert!(said("").contains("takes two points"));
        assert!(said("somewhere").contains("line 1: \"somewhere\" is no point"));
        assert!(said("4 nm to A; speed 3 kn\n5 nm to B; wind fast").lines().count() == 2);
        assert!(said("55.9 N 7.4 W a\n55.9 N 7.4 W b").contains("line 2: the leg to b is 0.000 nm"));
        let many: String =
            (0..5000).map(|i| format!("{:.4} N 7.4 W\n", 50.0 + f64::from(i) * 0.001)).collect();
        assert!(said(&many).contains("the route has 5000 points"));
        let more = |line: &str| Route::read("4 nm to A", &[line.to_owned()]).unwrap_err();
        assert!(more("3: wind 5 kn").contains("has 1 legs") && more("wind").contains("number of a leg"));
    }
}
