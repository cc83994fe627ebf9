//! The points of a route in a GPX file. Not for: when she was where (`gpx`).

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// A point of a route.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RoutePoint {
    /// Latitude \[deg\], north positive.
    pub latitude_deg: f64,
    /// Longitude \[deg\], east positive.
    pub longitude_deg: f64,
    /// Its name; may be empty.
    pub name: String,
}

/// The points of the first route of a file; where it has none those of its track, else its waypoints.
/// # Errors
/// What is wrong with the file, and with which point.
pub fn route_points(text: &str) -> Result<Vec<RoutePoint>, String> {
    const KINDS: [&str; 3] = ["rtept", "trkpt", "wpt"];
    let mut found: [Vec<RoutePoint>; 3] = Default::default();
    let mut inside = None;
    let mut names = false;
    let mut routes = 0;
    let mut xml = Reader::from_str(text);
    loop {
        let event = xml.read_event().map_err(|error| format!("the file is no GPX: {error}"))?;
        match event {
            Event::Eof => break,
            Event::Start(element) | Event::Empty(element) if element.local_name().as_ref() == "rte" => {
                routes += 1;
                drop(element);
            }
            Event::Start(element) | Event::Empty(element) => {
                let name = element.local_name();
                if let Some(kind) = KINDS.iter().position(|kind| *kind == name.as_ref()) {
                    if kind > 0 || routes <= 1 {
                        let count = found[kind].len() + 1;
                        found[kind].push(point(&element).ok_or_else(|| {
                            format!("point {count} of the file has no latitude and longitude that can be (-90 to 90, -180 to 180)")
                        })?);
                    }
                    inside = Some(kind);
                }
                names = name.as_ref() == "name";
            }
            Event::Text(text) if names => {
                if let Some(last) = inside.and_then(|kind| found[kind].last_mut()) {
                    last.name += text.trim();
                }
            }
            Event::End(element) => {
                names = false;
                if KINDS.contains(&element.local_name().as_ref()) {
                    inside = None;
                }
            }
            _ => {}
        }
    }
    let points = found.into_iter().find(|points| !points.is_empty());
    points.ok_or_else(|| "the file has no route, no track and no waypoint".to_owned())
}

fn point(element: &BytesStart<'_>) -> Option<RoutePoint> {
    let number = |name: &str| -> Option<f64> {
        let attribute = element.attributes().flatten().find(|attribute| attribute.key.as_ref() == name)?;
        attribute.value.trim().parse().ok()
    };
    let (latitude_deg, longitude_deg) = (number("lat")?, number("lon")?);
    let is_place = latitude_deg.abs() <= 90.0 && longitude_deg.abs() <= 180.0;
    is_place.then(|| RoutePoint { latitude_deg, longitude_deg, name: String::new() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_route_is_taken_before_track_and_waypoints() {
        let text = r#"<gpx><wpt lat="1" lon="2"><name>mark</name></wpt>
            <rte><name>out</name><rtept lat="55.9" lon="-7.4"><name>pier</name></rtept><rtept lat="56" lon="-7.5"/></rte>
            <rte><rtept lat="10" lon="10"/></rte></gpx>"#;
        let found = route_points(text).unwrap();
        assert_eq!(found.len(), 2);
        assert_eq!((found[0].name.as_str(), found[1].longitude_deg), ("pier", -7.5));
        assert_eq!(route_points(r#"<gpx><wpt lat="1" lon="2"/></gpx>"#).unwrap().len(), 1);
        assert!(route_points(r#"<gpx><wpt lat="95" lon="2"/></gpx>"#).unwrap_err().contains("point 1"));
        assert!(route_points("<gpx></gpx>").unwrap_err().contains("no route"));
    }
}
