//! The built-in set of stations: found by name or by distance, each with its constants or the port that it follows.
//! Text goes in, one line per station; not for: where the text is kept, what a station of streams means (`currents`).

use super::constituent::{Office, constituent};
use super::curve::{Constant, Port};
use super::nodal::NodalSet;
use super::secondary::{HeightOffset, Offsets};
use super::{TideError, Water};
use crate::solar::Place;

/// All stations for heights.
#[derive(Debug)]
pub struct Set<'t> {
    pub(super) names: Vec<&'t str>,
    pub(super) stations: Vec<Station<'t>>,
}

/// How the waters of a station are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// From its own constants.
    Harmonic,
    /// From the waters of another station.
    Following,
}

/// A station.
#[derive(Debug, Clone)]
pub struct Station<'t> {
    /// Its key, first the office.
    pub id: &'t str,
    /// Its name.
    pub name: &'t str,
    /// Country, two letters.
    pub country: &'t str,
    /// Where it lies.
    pub place: Place,
    /// Name of its time zone.
    pub zone: &'t str,
    /// How its waters are known.
    pub kind: Kind,
    /// Licence of its figures.
    pub licence: &'t str,
    /// What its heights are above.
    pub datum: &'t str,
    mean_m: f64,
    pub(super) body: &'t str,
}

/// A port as predicted: its own constants, or another's with what is done to each water.
#[derive(Debug, Clone)]
pub struct Tide {
    /// The port whose constants are used.
    pub port: Port,
    /// What is done to its waters.
    pub offsets: Option<Offsets>,
    /// Sum of the amplitudes that are left out because their meaning is not established \[m\].
    pub left_out_m: f64,
}

impl<'t> Set<'t> {
    /// Reads the set: names of constituents, then tab-separated stations.
    /// # Errors
    /// [`TideError::BadSet`].
    pub fn parse(text: &'t str) -> Result<Self, TideError> {
        Self::parsed(text, false)
    }

    pub(super) fn parsed(text: &'t str, is_of_streams: bool) -> Result<Self, TideError> {
        let mut lines = text.lines();
        let first = lines.next().and_then(|line| line.strip_prefix("#names "));
        let names: Vec<&str> = first
            .ok_or(TideError::BadSet { line: 1, what: "no names of constituents" })?
            .split(' ')
            .collect();
        let mut stations = Vec::new();
        for (at, line) in lines.enumerate().filter(|(_, line)| !line.is_empty()) {
            stations.extend(
                Station::parse(line, is_of_streams)
                    .map_err(|what| TideError::BadSet { line: at + 2, what })?,
            );
        }
        Ok(Self { names, stations })
    }

    /// The stations, those with constants first.
    #[must_use]
    pub fn stations(&self) -> &[Station<'t>] {
        &self.stations
    }

    /// The station of this key.
    #[must_use]
    pub fn by_id(&self, id: &str) -> Option<&Station<'t>> {
        self.stations.iter().find(|station| station.id == id)
    }

    /// Stations by name, the best first: the name itself, one that begins with it, one that has all its words, and
    /// where none has, names spelt nearly so. Capitals and accents do not count. The rank is 0 where the name is
    /// the name.
    #[must_use]
    pub fn by_name(&self, name: &str, most: usize) -> Vec<(usize, &Station<'t>)> {
        let wanted = folded(name);
        let words: Vec<&str> = wanted.split_whitespace().collect();
        // Longer texts are no names, and each would be held letter by letter against all stations.
        const LONGEST: usize = 80;
        if words.is_empty() || wanted.len() > LONGEST {
            return Vec::new();
        }
        let rank = |station: &Station<'_>| {
            let known = folded(station.name);
            if known == wanted || station.id == name.trim() {
                Some(0)
            } else if known.starts_with(&format!("{wanted} ")) {
                Some(1)
            } else {
                let with_country = format!("{known} {}", station.country.to_lowercase());
                words
                    .iter()
                    .all(|word| with_country.split_whitespace().any(|w| w == *word))
                    .then_some(2)
                    .or_else(|| words.iter().all(|word| with_country.contains(word)).then_some(3))
            }
        };
        let mut found: Vec<(usize, &Station<'t>)> =
            self.stations.iter().filter_map(|station| Some((rank(station)?, station))).collect();
        if found.is_empty() {
            let near = |station: &'_ Station<'t>| letters_apart(&folded(station.name), &wanted);
            found = self.stations.iter().map(|station| (10 + near(station), station)).collect();
        }
        found.sort_by_key(|(rank, _)| *rank);
        found.truncate(most);
        found
    }

    /// Stations by their distance from `place`, the nearest first, with the distance \[m\].
    #[must_use]
    pub fn nearest(&self, place: Place, most: usize) -> Vec<(f64, &Station<'t>)> {
        let mut found: Vec<(f64, &Station<'t>)> =
            self.stations.iter().map(|station| (great_circle_m(place, station.place), station)).collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.truncate(most);
        found
    }

    /// How the waters of `station` are reckoned.
    /// # Errors
    /// [`TideError::NoReference`], [`TideError::NoConstants`].
    pub fn tide(&self, station: &Station<'_>) -> Result<Tide, TideError> {
        if station.kind == Kind::Harmonic {
            return self.own_tide(station);
        }
        let no_reference = |reference: &str| TideError::NoReference {
            station: station.name.to_owned(),
            reference: reference.to_owned(),
        };
        let (reference, offsets) = station.offsets().ok_or_else(|| no_reference("another port"))?;
        let port = self.by_id(reference).filter(|port| port.kind == Kind::Harmonic);
        let tide = self.own_tide(port.ok_or_else(|| no_reference(reference))?)?;
        Ok(Tide { offsets: Some(offsets), ..tide })
    }

    pub(super) fn own_tide(&self, station: &Station<'_>) -> Result<Tide, TideError> {
        let (office, nodal) = match station.id.split('/').next() {
            Some("noaa") => (Office::Us, NodalSet::Schureman),
            Some("kartverket") => (Office::Norway, NodalSet::Iho),
            _ => (Office::Collection, NodalSet::Iho),
        };
        let (mut constants, mut left_out_m) = (Vec::new(), 0.0);
        for term in station.body.split(' ') {
            let mut parts = term.split(':');
            let name =
                parts.next().and_then(|index| index.parse::<usize>().ok()).and_then(|i| self.names.get(i));
            let mut number = || parts.next().and_then(|number| number.parse::<f64>().ok());
            let (Some(name), Some(millimetres), Some(lag_deg)) = (name, number(), number()) else { continue };
            let amplitude_m = millimetres / 1000.0;
            match constituent(office, name) {
                Some(constituent) => {
                    constants.push(Constant { constituent, amplitude_m, lag_rad: lag_deg.to_radians() });
                }
                None => left_out_m += amplitude_m,
            }
        }
        if constants.is_empty() {
            return Err(TideError::NoConstants);
        }
        let port = Port { constants, mean_above_datum_m: station.mean_m, nodal };
        Ok(Tide { port, offsets: None, left_out_m })
    }
}

impl Tide {
    /// High and low waters from `from_s` to `to_s`.
    /// # Errors
    /// As [`Port::waters`].
    pub fn waters(&self, from_s: f64, to_s: f64) -> Result<Vec<Water>, TideError> {
        let Some(offsets) = &self.offsets else { return self.port.waters(from_s, to_s) };
        let around_s = offsets.most_s();
        let mut waters: Vec<Water> = self
            .port
            .waters(from_s - around_s, to_s + around_s)?
            .iter()
            .map(|water| offsets.of(water))
            .collect();
        waters.retain(|water| (from_s..=to_s).contains(&water.unix_s));
        Ok(waters)
    }
}

impl<'t> Station<'t> {
    /// A station for heights or for streams, or none where the line is of the other kind.
    fn parse(line: &'t str, is_of_streams: bool) -> Result<Option<Self>, &'static str> {
        let cells: Vec<&str> = line.split('\t').collect();
        let [id, name, country, latitude, longitude, zone, kind, licence, datum, rest @ ..] =
            cells.as_slice()
        else {
            return Err("a station needs nine cells");
        };
        if kind.eq_ignore_ascii_case("c") != is_of_streams {
            return Ok(None);
        }
        let (kind, mean_m, body) = match (*kind, rest) {
            ("C", [_, axis, body]) => {
                let mean = axis.split('/').nth(2).and_then(|mean| mean.parse().ok());
                let kind_and_mean = mean.map(|mean: f64| (Kind::Harmonic, mean));
                let (kind, mean) = kind_and_mean.ok_or("its mean flow is no number")?;
                (kind, mean, *body)
            }
            ("c", [body]) => (Kind::Following, 0.0, *body),
            // Without a mean level heights are above that.
            ("T", ["", _, body]) => (Kind::Harmonic, 0.0, *body),
            ("T", [mean, _, body]) => {
                (Kind::Harmonic, mean.parse().map_err(|_| "its mean level is no number")?, *body)
            }
            ("t", [body]) => (Kind::Following, 0.0, *body),
            _ => return Err("neither constants nor a port that it follows"),
        };
        let (Ok(latitude_deg), Ok(longitude_deg)) = (latitude.parse(), longitude.parse()) else {
            return Err("its position is no number");
        };
        let place = Place::of_degrees(latitude_deg, longitude_deg);
        // Of streams the cell holds the axis: flood, ebb, mean flow.
        let axis = rest.get(1).filter(|_| is_of_streams);
        let datum = axis.unwrap_or(if rest.first() == Some(&"") { &"MSL" } else { datum });
        Ok(Some(Self { id, name, country, place, zone, kind, licence, datum, mean_m, body }))
    }

    /// Whether its heights are above the datum of the official tables and charts. The collection's were computed from
    /// 19 years of the same constants: no height of a chart may be set against them.
    #[must_use]
    pub fn has_official_datum(&self) -> bool {
        !self.id.starts_with("ticon/") && self.datum != "MSL"
    }

    /// The station that it follows, and how.
    #[must_use]
    pub fn offsets(&self) -> Option<(&'t str, Offsets)> {
        let after = |key: &str| self.body.split_once(key).map(|(_, rest)| rest);
        let reference = after("\"reference\":\"")?.split('"').next()?;
        let pair = |key: &str| {
            let inside = after(key)?.split('}').next()?;
            let number = |name: &str| -> Option<f64> {
                inside.split_once(name)?.1.split(',').next()?.trim().parse().ok()
            };
            Some((number("\"high\":")?, number("\"low\":")?))
        };
        let (high_min, low_min) = pair("\"time\":{")?;
        let (high, low) = pair("\"height\":{")?;
        let height = if self.body.contains("\"type\":\"ratio\"") {
            HeightOffset::Ratio { high, low }
        } else {
            HeightOffset::Added { high_m: high, low_m: low }
        };
        Some((reference, Offsets { high_s: high_min * 60.0, low_s: low_min * 60.0, height }))
    }
}

/// Small letters without accents, words apart by one space.
fn folded(name: &str) -> String {
    let letters: String = name
        .to_lowercase()
        .chars()
        .map(|letter| match letter {
            'à'..='å' | 'ā' | 'ă' => 'a',
            'ç' | 'ć' | 'č' => 'c',
            'è'..='ë' | 'ē' => 'e',
            'ì'..='ï' | 'ī' => 'i',
            'ñ' | 'ń' => 'n',
            'ò'..='ö' | 'ø' | 'ō' => 'o',
            'ù'..='ü' | 'ū' => 'u',
            'ý' | 'ÿ' => 'y',
            other if other.is_alphanumeric() => other,
            _ => ' ',
        })
        .collect();
    letters.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// How many letters must be put in, taken out or changed to make one of the other.
fn letters_apart(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (i, letter) in one.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, with) in other.iter().enumerate() {
            let changed = diagonal + usize::from(letter != *with);
            diagonal = row[j + 1];
            row[j + 1] = changed.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[other.len()]
}

/// Distance over a sphere of the earth's mean radius \[m\]: enough to say which station is near (0.5 %).
#[must_use]
pub fn great_circle_m(one: Place, other: Place) -> f64 {
    const EARTH_RADIUS_M: f64 = 6_371_008.8;
    let half = |a: f64, b: f64| ((a - b) / 2.0).sin().powi(2);
    let h = half(one.latitude_rad, other.latitude_rad)
        + one.latitude_rad.cos() * other.latitude_rad.cos() * half(one.longitude_rad, other.longitude_rad);
    2.0 * EARTH_RADIUS_M * h.sqrt().min(1.0).asin()
}
