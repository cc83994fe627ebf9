//! Route and plan for other programs: GPX and GeoJSON. Not for: reading them.

use std::fmt::Write as _;

use serde_json::{Value as Json, json};
use wakewright_core::solar::Place;
use wakewright_units::factors::KNOT_M_S;

use super::reckoned::Found;
use crate::text::percent;

/// What the files are called by.
pub static KINDS: [&str; 2] = ["gpx", "geojson"];

struct Point<'a> {
    name: &'a str,
    place: Place,
    utc: String,
    left: f64,
}

/// The points of the route with their times; none where one has no position.
fn points(found: &Found) -> Option<Vec<Point<'_>>> {
    let ends = found.case.route.legs.iter().map(|leg| leg.end);
    let places = std::iter::once(found.case.route.start).chain(ends).collect::<Option<Vec<Place>>>()?;
    let of = |(i, place): (usize, Place)| {
        let row = found.study.rows.get(i)?;
        let utc = found.case.local(row.at_s.value).timestamp().strftime("%Y-%m-%dT%H:%M:%SZ").to_string();
        Some(Point { name: found.point(i), place, utc, left: row.share.value })
    };
    places.into_iter().enumerate().map(of).collect()
}

/// Speeds of the steps of a leg, in words.
fn speeds(found: &Found, leg: usize) -> String {
    let steps = found.steps.iter().filter(|step| step.leg == leg);
    let told = steps.filter_map(|step| {
        Some(format!("{} {:.1} kn", found.case.clock(step.begins_s), step.speed_m_s? / KNOT_M_S))
    });
    told.collect::<Vec<_>>().join(", ")
}

const NOT_FOR_NAVIGATION: &str = "Not for navigation: a plan of energy, without depths and hazards.";

/// The files; empty where a point has no position.
pub fn files(found: &Found) -> Vec<(&'static str, String)> {
    points(found).map_or_else(Vec::new, |points| {
        vec![(KINDS[0], gpx(found, &points)), (KINDS[1], geojson(found, &points))]
    })
}

fn gpx(found: &Found, points: &[Point<'_>]) -> String {
    let escaped = |text: &str| text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    let mut out = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"wakewright\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n<rte>\n",
    );
    let _ = writeln!(out, "<desc>{NOT_FOR_NAVIGATION}</desc>");
    for (i, point) in points.iter().enumerate() {
        let (latitude, longitude) =
            (point.place.latitude_rad.to_degrees(), point.place.longitude_rad.to_degrees());
        let by = i.checked_sub(1).map_or_else(String::new, |leg| format!("; {}", speeds(found, leg)));
        let _ = writeln!(
            out,
            "<rtept lat=\"{latitude:.6}\" lon=\"{longitude:.6}\"><time>{}</time><name>{}</name><desc>{} left{}</desc></rtept>",
            point.utc,
            escaped(point.name),
            percent(point.left),
            escaped(&by)
        );
    }
    out + "</rte>\n</gpx>\n"
}

fn geojson(found: &Found, points: &[Point<'_>]) -> String {
    let at = |place: Place| {
        json!([rounded(place.longitude_rad.to_degrees()), rounded(place.latitude_rad.to_degrees())])
    };
    let point = |(i, point): (usize, &Point<'_>)| {
        let row = found.study.rows[i];
        json!({
            "type": "Feature",
            "geometry": { "type": "Point", "coordinates": at(point.place) },
            "properties": {
                "name": point.name, "time": point.utc, "left_share": point.left,
                "above_kept_share": row.above_kept, "above_anew_share": row.above_anew,
            },
        })
    };
    let leg = |(i, pair): (usize, &[Point<'_>])| {
        // A line over the antimeridian goes on beyond 180 degrees, as readers draw it in one piece.
        let mut to = at(pair[1].place);
        let turn = pair[1].place.longitude_rad.to_degrees() - pair[0].place.longitude_rad.to_degrees();
        if turn.abs() > 180.0 {
            to[0] = json!(rounded(pair[1].place.longitude_rad.to_degrees() - 360.0 * turn.signum()));
        }
        json!({
            "type": "Feature",
            "geometry": { "type": "LineString", "coordinates": [at(pair[0].place), to] },
            "properties": { "to": pair[1].name, "speeds": speeds(found, i) },
        })
    };
    let features: Vec<Json> =
        points.iter().enumerate().map(point).chain(points.windows(2).enumerate().map(leg)).collect();
    let all = json!({ "type": "FeatureCollection", "note": NOT_FOR_NAVIGATION, "features": features });
    serde_json::to_string_pretty(&all).unwrap_or_default() + "\n"
}

fn rounded(degrees: f64) -> f64 {
    (degrees * 1e6).round() / 1e6
}
