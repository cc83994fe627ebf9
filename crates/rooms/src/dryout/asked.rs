//! What is asked of a dry-out: her draught and keel, the ground, the work, the hours.

use jiff::civil::Time;
use wakewright_core::drying_out::floats::WEATHER_LASTS_S;
use wakewright_core::drying_out::foot::{Stands, stands};
use wakewright_core::drying_out::{
    Berth, Landing, LevelError, Lying, Section, Wanted, daylight, ground_found, lying, mean_learned,
    weather_learned_m,
};
use wakewright_core::field;
use wakewright_core::hull::complete;
use wakewright_units::{Quantity, read_quantity};

use crate::boats::Loaded;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Question, Reply, Typed, read_date};
use crate::tide::BAND_DEVIATE;
use crate::tide::known::{Known, seconds};
use crate::tide::questions::{self, read_height};

/// Of a height that nobody gave a spread: half an 80 % band, own estimate.
const GROUND_WITHIN_M: f64 = 0.15;
const MEASURED_WITHIN_M: f64 = 0.03;
const DOCUMENT_WITHIN_M: f64 = 0.08;
const USUAL_HOURS: f64 = 3.0;

/// A median and half its band, `1.70 m ± 0.10 m`.
fn read_banded(text: &str) -> Result<Reply, String> {
    let read = |part: &str| read_quantity(part.trim(), Quantity::Length).map_err(|error| error.to_string());
    let parts = text.split_once('±').or_else(|| text.split_once("+-")).or_else(|| text.split_once("+/-"));
    let (value, within) = match parts {
        Some((value, within)) => (read(value)?.si, vec![read(within)?.si.abs()]),
        None => (read(text)?.si, Vec::new()),
    };
    if (-5.0..=20.0).contains(&value) && within.iter().all(|within| *within <= 5.0) {
        Ok(Reply::Numbers([vec![value], within].concat()))
    } else {
        Err("give a height from -5 to 20 m, such as 1.70 m ± 0.10 m".to_owned())
    }
}

fn read_hour(text: &str) -> Result<Reply, String> {
    let time =
        text.trim().parse::<Time>().map_err(|_| format!("{text} is no hour of the day; write 08:00"))?;
    Ok(Reply::Number(f64::from(time.hour()) * 3600.0 + f64::from(time.minute()) * 60.0))
}

const fn asks(
    key: &'static str,
    value_name: &'static str,
    help: &'static str,
    read: fn(&str) -> Result<Reply, String>,
) -> Question {
    Question { key, value_name: Some(value_name), help, read }
}

/// Everything that may be asked.
pub static QUESTIONS: [Question; 27] = [
    questions::PLACE,
    questions::DAY,
    questions::days("How many days are looked over, 1 to 60; 30 when left out"),
    asks(
        "ground",
        "HEIGHT",
        "Height of the ground above chart datum, drying heights positive: \"1.70 m ± 0.10 m\"",
        read_banded,
    ),
    asks(
        "touched",
        "WHEN",
        "A landing of hers instead, in the time of the place: \"2026-09-28 10:42 with 1.48 m\"",
        |text| {
            Ok(Reply::Texts(
                text.split([';', '\n'])
                    .filter(|t| !t.trim().is_empty())
                    .map(|t| t.trim().to_owned())
                    .collect(),
            ))
        },
    ),
    asks(
        "datum-offset",
        "HEIGHT",
        "How far the station's datum lies above that of the chart, from the official page",
        |text| read_height(text, -15.0, 15.0),
    ),
    asks(
        "draught",
        "HEIGHT",
        "Draught as measured today: \"1.48 m ± 0.02 m\"; the document's when left out",
        read_banded,
    ),
    asks("fore", "HEIGHT", "Depth of the keel's fore end under water, where the keel is not level", |text| {
        read_height(text, 0.1, 5.0)
    }),
    asks("aft", "HEIGHT", "Depth of the keel's after end", |text| read_height(text, 0.1, 5.0)),
    asks(
        "foot",
        "FROM TO",
        "Keel's foot, aft of the fore end of the waterline: \"3.1 m to 5.2 m\"",
        |text| {
            let (from, to) =
                text.split_once("to").or_else(|| text.split_once('-')).ok_or("write 3.1 m to 5.2 m")?;
            let read = |part: &str| {
                read_quantity(part.trim(), Quantity::Length)
                    .map(|read| read.si)
                    .map_err(|error| error.to_string())
            };
            let (from, to) = (read(from)?, read(to)?);
            if from < to {
                Ok(Reply::Numbers(vec![from, to]))
            } else {
                Err("the foot ends aft of where it begins".to_owned())
            }
        },
    ),
    asks(
        "opening",
        "OUT UP",
        "Her lowest opening, from the middle line and above the keel's foot: \"0.9 m out, 2.4 m up\"",
        |text| {
            let plain = text.replace("out", ";").replace("by", ";").replace(',', ";").replace("up", "");
            let mut parts = plain.split(';').map(str::trim).filter(|part| !part.is_empty());
            let read = |part: Option<&str>| {
                let read = read_quantity(part?, Quantity::Length).ok()?.si;
                (0.0..=8.0).contains(&read).then_some(read)
            };
            let (out, up) = (read(parts.next()), read(parts.next()));
            match (out, up, parts.next()) {
                (Some(out), Some(up), None) => Ok(Reply::Numbers(vec![out, up])),
                _ => {
                    Err("write 0.9 m out, 2.4 m up: from her middle line, and above the keel's foot"
                        .to_owned())
                }
            }
        },
    ),
    asks("sinking", "HEIGHT", "How far she sinks into the ground; nothing when left out", |text| {
        read_height(text, 0.0, 2.0)
    }),
    asks("slope-across", "ANGLE", "Slope of the ground across her: she lists by it", read_slope),
    asks("slope-along", "ANGLE", "Slope of the ground along her, bow down positive", read_slope),
    asks("bottom", "hard|soft", "The ground: hard, or soft, into which she sinks", |text| {
        one_of(text, &BOTTOM)
    }),
    asks("allowed", "WHO", "Who allows it, for the sheet that is taken along", |text| match text.trim() {
        who if who.chars().count() <= 120 => Ok(Reply::Text(who.to_owned())),
        _ => Err("name who allows it in 120 letters at most".to_owned()),
    }),
    asks("held", "wall|piles|legs|two keels|beach", "What she stands against or on", |text| {
        one_of(text, &HELD)
    }),
    asks(
        "work",
        "WHERE",
        "What is worked on: keel, propeller, waterline, or a height above the keel's foot",
        |text| match text.trim() {
            word @ ("keel" | "propeller" | "waterline") => Ok(Reply::Text(word.to_owned())),
            height => read_height(height, 0.0, 5.0)
                .map_err(|why| format!("write keel, propeller, waterline or a height: {why}")),
        },
    ),
    asks("hours", "HOURS", "Dry hours that the work takes; 3 when left out", |text| {
        match text.trim().trim_end_matches('h').trim().parse::<f64>() {
            Ok(hours) if (0.25..=12.0).contains(&hours) => Ok(Reply::Number(hours * 3600.0)),
            _ => Err("give hours from 0.25 to 12".to_owned()),
        }
    }),
    asks("from", "HH:MM", "Work not before this hour; daylight when left out", read_hour),
    asks("to", "HH:MM", "Nor after this one", read_hour),
    questions::TABLE,
    questions::ZONE,
    questions::CURVE,
    questions::DIFFERENCES,
    questions::PRESSURE,
    questions::WEATHER,
];

const HELD: [&str; 5] = ["wall", "piles", "legs", "two keels", "beach"];
const BOTTOM: [&str; 2] = ["hard", "soft"];

fn one_of(text: &str, words: &[&'static str]) -> Result<Reply, String> {
    let found = words.iter().find(|word| **word == text.trim());
    found
        .map(|word| Reply::Text((*word).to_owned()))
        .ok_or_else(|| format!("write one of {}", words.join(", ")))
}

fn same(words: &[&'static str]) -> Vec<(&'static str, &'static str)> {
    words.iter().map(|word| (*word, *word)).collect()
}

fn read_slope(text: &str) -> Result<Reply, String> {
    let read = read_quantity(text, Quantity::Angle).map_err(|error| error.to_string())?;
    if read.si.abs() <= 0.53 {
        Ok(Reply::Number(read.si))
    } else {
        Err("give a slope from -30 to 30 deg".to_owned())
    }
}

/// The fields of the page.
pub fn fields(boat: &Loaded) -> Vec<Typed> {
    let draught = boat.document.typed(field::hull::DRAUGHT).unwrap_or("1.48 m");
    let mut fields = vec![
        Typed::new("ground", "Ground above datum", "1.70 m ± 0.10 m"),
        Typed::new("draught", "Draught today", draught),
        Typed::new("hours", "Dry hours wanted", "3"),
        Typed::new("days", "Days looked over", "30"),
        Typed::new("work", "Work on", "keel, propeller, waterline or a height"),
    ];
    fields.extend(questions::fields("where she lies"));
    fields.extend([
        Typed::new("touched", "Or: she touched", "2026-09-28 10:42 with 1.48 m"),
        Typed::new("datum-offset", "Datum above the chart's", "0 m"),
        Typed::choice("held", "Stands against or on", "not known", same(&HELD)),
        Typed::choice("bottom", "Ground", "not known", same(&BOTTOM)),
        Typed::new("allowed", "Who allows it", "not asked yet"),
        Typed::new("foot", "Keel's foot, from the bow", "3.1 m to 5.2 m"),
        Typed::new("opening", "Lowest opening", "0.9 m out, 2.4 m up"),
        Typed::new("sinking", "Sinks into the ground", "0 m"),
        Typed::new("slope-across", "Slope across", "0 deg"),
        Typed::new("from", "Work from", "sunrise"),
        Typed::new("to", "to", "sunset"),
    ]);
    fields
}

/// The case as it is reckoned.
#[derive(Debug)]
pub struct Case {
    /// Ground, draught and work.
    pub berth: Berth,
    /// Spread of the level.
    pub error: LevelError,
    /// Hours.
    pub wanted: Wanted,
    /// Median and half band of the ground, sinking taken off \[m\].
    pub ground_m: (f64, f64),
    /// Median and half band of the draught \[m\].
    pub draught_m: (f64, f64),
    /// Whether the draught is the document's.
    pub has_document_draught: bool,
    /// Whether nobody gave the ground a spread.
    pub has_usual_ground_band: bool,
    /// Landings that found the ground; none where it was typed.
    pub landings: usize,
    /// By how much the water stands above its predictions on the whole, median and half band, where landings on a typed ground tell it \[m\].
    pub mean_m: Option<(f64, f64)>,
    /// She on her side, where nothing holds her upright; none where that cannot be told.
    pub lying: Option<Lying>,
    /// As many landings on days far apart would have told as much of the ground.
    pub landings_worth: f64,
    /// Whether the ground is soft, where that is told.
    pub is_soft: Option<bool>,
    /// Whether what she sinks in is typed.
    pub has_sinking: bool,
    /// Who allows it.
    pub allowed: Option<String>,
    /// What is worked on, in words.
    pub work: String,
    /// Whether hours of the day were given, not daylight.
    pub has_hours: bool,
    /// Whether nobody knows where the place lies, so that all hours count as light.
    pub has_no_light: bool,
    /// How she stands on her keel's foot; none where it is not known.
    pub stands: Option<Stands>,
    /// Slope across \[rad\].
    pub list_rad: Option<f64>,
    /// Slope along her \[rad\], bow down positive.
    pub along_rad: f64,
    /// By how much her keel's ends differ from the ground: she comes down by the bow where positive \[m\].
    pub rake_m: Option<f64>,
    /// What holds her.
    pub held: Option<String>,
}

fn banded(asked: &Asked<'_>, key: &str, usual_m: f64) -> Option<(f64, f64, bool)> {
    match asked.replies.numbers(key) {
        [value] => Some((*value, usual_m, false)),
        [value, within] => Some((*value, *within, true)),
        _ => None,
    }
}

impl Case {
    /// The case at the water that is known.
    /// # Errors
    /// What is missing, and what cannot be told.
    pub fn of(asked: &Asked<'_>, known: &Known) -> Result<Self, NoAnswer> {
        let replies = &asked.replies;
        let stated = asked.boat.document.number(field::hull::DRAUGHT);
        let typed = banded(asked, "draught", MEASURED_WITHIN_M).map(|(value, within, _)| (value, within));
        let of_document = stated.map(|stated| (stated.value_si, DOCUMENT_WITHIN_M));
        let draught_m =
            typed.or(of_document).ok_or_else(|| NoAnswer::input("give her draught as measured today"))?;
        let deepest_m =
            [replies.number("fore"), replies.number("aft")].into_iter().flatten().fold(draught_m.0, f64::max);
        let draught_m = (deepest_m, draught_m.1);
        let sinking_m = replies.number("sinking").unwrap_or(0.0);
        let draught_sd_m = draught_m.1 / BAND_DEVIATE;
        let landings = landings(asked, draught_m.0)?;
        let typed = banded(asked, "ground", GROUND_WITHIN_M);
        let offset_m = replies.number("datum-offset");
        // A ground that was typed and landings tell of the same, where their heights are above the same.
        let before =
            typed.filter(|_| known.has_chart_datum || offset_m.is_some()).map(|(value, within, _)| {
                (value - offset_m.unwrap_or(0.0), (within / BAND_DEVIATE).hypot(known.level.mean_sd_m))
            });
        let usual = (known.level.weather_sd_m, WEATHER_LASTS_S);
        let weather_sd_m = match replies.has("weather") {
            true => usual.0,
            false => weather_learned_m(&landings, before, usual, draught_sd_m),
        };
        let found = ground_found(&landings, before, (weather_sd_m, WEATHER_LASTS_S), draught_sd_m);
        let mean_m = found.zip(before).map(|(found, before)| {
            let (mean_m, sd_m) = mean_learned(before, known.level.mean_sd_m, &found, draught_sd_m);
            (mean_m, BAND_DEVIATE * sd_m)
        });
        let (ground_m, has_usual_ground_band, mean_sd_m) = match (found, typed) {
            // An error of the predictions' mean is in the landings too.
            (Some(found), _) => ((found.ground_m, BAND_DEVIATE * found.sd_m), false, 0.0),
            (None, Some((value, within, has_band))) => {
                if !known.has_chart_datum && offset_m.is_none() {
                    return Err(NoAnswer::Finding(format!(
                        "Cannot tell: the datum of {} was computed from its constants and is not that of the chart, so that no \
                         ground height can be set against it. Give the official offset of the datum (datum-offset), or a \
                         landing of hers at this place (touched), or paste the waters from the official table.",
                        known.name
                    )));
                }
                ((value - offset_m.unwrap_or(0.0), within), !has_band, known.level.mean_sd_m)
            }
            (None, None) => {
                return Err(NoAnswer::input(
                    "give the height of the ground above chart datum (ground 1.70 m ± 0.10 m), or when she touched there \
                     before (touched 2026-09-28 10:42 with 1.48 m). Inspect it on the low water before",
                ));
            }
        };
        let ground_m = (ground_m.0 - sinking_m, ground_m.1);
        let ground_sd_m = ground_m.1 / BAND_DEVIATE;
        let error = LevelError {
            common_sd_m: ground_sd_m.hypot(draught_sd_m).hypot(mean_sd_m),
            weather_sd_m,
            weather_lasts_s: WEATHER_LASTS_S,
            landed: found.map(|found| found.weather),
        };
        let alone_m2 = found.map_or(0.0, |found| found.sd_m.powi(2) - draught_sd_m.powi(2));
        let (work_above_keel_m, work) = work(asked, draught_m.0)?;
        let (hours, has_no_light) = hours(asked, known);
        let slope_along = replies.number("slope-along").unwrap_or(0.0);
        let rake = replies.number("fore").zip(replies.number("aft")).map(|(fore, aft)| aft - fore);
        let foot = match replies.numbers("foot") {
            [from, to] => Some((*from, *to)),
            _ => None,
        };
        let length_m = asked.boat.spec.boat.form.length_waterline_m;
        if foot.is_some_and(|(from, to)| from < -0.1 * length_m || to > 1.1 * length_m) {
            return Err(NoAnswer::input(format!(
                "her keel's foot (foot) lies off her waterline, which is {length_m:.1} m long: tell it from the fore end of the waterline"
            )));
        }
        let rake_m = foot.zip(rake).map(|(foot, rake)| (foot.1 - foot.0) * slope_along.tan() + rake).or(rake);
        Ok(Self {
            berth: Berth { ground_m: ground_m.0, draught_m: draught_m.0, work_above_keel_m },
            error,
            wanted: Wanted { dry_s: replies.number("hours").unwrap_or(USUAL_HOURS * 3600.0), work: hours },
            ground_m,
            draught_m,
            has_document_draught: !replies.has("draught"),
            has_usual_ground_band,
            landings: landings.len(),
            mean_m,
            lying: lies_over(asked, draught_m.0),
            landings_worth: weather_sd_m.powi(2) / alone_m2.max(1e-6),
            is_soft: replies.text("bottom").map(|bottom| bottom == "soft"),
            has_sinking: replies.has("sinking"),
            allowed: replies.text("allowed").map(str::to_owned),
            work,
            has_hours: replies.has("from") || replies.has("to"),
            has_no_light,
            stands: foot.zip(weight_m(asked.boat)).map(|(foot, weight_m)| stands(foot, weight_m)),
            list_rad: replies.number("slope-across"),
            along_rad: slope_along,
            rake_m,
            held: replies.text("held").map(str::to_owned),
        })
    }
}

/// She on her side on that ground, where nothing holds her; none where her lowest opening or her freeboard are not known, or she has no
/// keel to lie over on.
fn lies_over(asked: &Asked<'_>, draught_m: f64) -> Option<Lying> {
    if !can_lie_over(asked.replies.text("held")) {
        return None;
    }
    let [out, up] = asked.replies.numbers("opening") else { return None };
    let boat = &asked.boat.spec.boat;
    let hull = complete(&boat.form, &boat.keel, &boat.rudder, &boat.water).ok()?.value;
    let section = Section {
        beam_m: boat.form.beam_waterline_m,
        draught_m,
        canoe_draught_m: hull.body.draught_m,
        coefficient: hull.body.midship_coefficient,
        freeboard_m: asked.boat.document.number(field::hull::FREEBOARD)?.value_si,
    };
    lying(&section, (*out, *up), asked.replies.number("slope-across").unwrap_or(0.0))
}

/// Whether nothing is typed that holds her upright.
pub fn can_lie_over(held: Option<&str>) -> bool {
    matches!(held, None | Some("beach"))
}

/// Where her weight is, aft of the fore end of the waterline: over the centre of buoyancy, where that is stated.
fn weight_m(boat: &Loaded) -> Option<f64> {
    boat.document.typed(field::hull::CENTRE_OF_BUOYANCY)?;
    let share = boat.document.number(field::hull::CENTRE_OF_BUOYANCY)?.value_si;
    Some(share * boat.spec.boat.form.length_waterline_m)
}

/// Height of the water and draught as she touched, in the order of time.
fn landings(asked: &Asked<'_>, draught_m: f64) -> Result<Vec<Landing>, NoAnswer> {
    let mut found: Vec<Landing> = Vec::new();
    for text in asked.replies.texts("touched") {
        let wrong = || NoAnswer::input(format!("{text} is no landing; write 2026-09-28 10:42 with 1.48 m"));
        let (when, then) =
            text.split_once("with").map_or((text.as_str(), None), |(when, with)| (when, Some(with)));
        let at: jiff::civil::DateTime = when.trim().replace(' ', "T").parse().map_err(|_| wrong())?;
        read_date(&at.date().to_string()).map_err(NoAnswer::input)?;
        let then_m = match then {
            Some(with) => read_quantity(with.trim(), Quantity::Length).map_err(|_| wrong())?.si,
            None => draught_m,
        };
        let replies = asked.replies.clone().with("day", Reply::Day(at.date()));
        // The pressure of the days to come is not that of the landing.
        let replies = replies.with("pressure", Reply::Number(101_300.0));
        let known = Known::of(&Asked { replies, ..asked.clone() }, 1, 86_400.0)?;
        let zoned = at.to_zoned(known.zone.clone()).map_err(|_| wrong())?;
        let at_s = seconds(&zoned);
        let height_m = known
            .height_m(at_s)
            .ok_or_else(|| NoAnswer::input(format!("the waters of {} do not reach to {when}", known.name)))?;
        if !(0.1..=5.0).contains(&then_m) {
            return Err(NoAnswer::input(format!("{text}: a draught is from 0.1 to 5 m")));
        }
        found.push(Landing { at_s, height_m, draught_m: then_m });
    }
    found.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    found.dedup_by(|a, b| a.at_s == b.at_s);
    Ok(found)
}

/// Height of the work above the keel's foot, and in words.
fn work(asked: &Asked<'_>, draught_m: f64) -> Result<(f64, String), NoAnswer> {
    if let Some(height_m) = asked.replies.number("work") {
        return Ok((height_m, format!("{height_m:.2} m above the keel's foot")));
    }
    let number = |key| asked.boat.document.number(key).map(|stated| stated.value_si);
    Ok(match asked.replies.text("work").unwrap_or("keel") {
        "waterline" => (draught_m, "the waterline".to_owned()),
        "propeller" => {
            let tip_m = number(field::propeller::SHAFT_DEPTH)
                .zip(number(field::propeller::DIAMETER))
                .map(|(shaft, diameter)| (draught_m - shaft - 0.5 * diameter).max(0.0));
            let tip_m = tip_m.ok_or_else(|| {
                NoAnswer::input("her document has no depth of the shaft: give the propeller tip's height above the keel instead")
            })?;
            (tip_m, "the propeller's tip".to_owned())
        }
        _ => (0.0, "the keel's foot".to_owned()),
    })
}

/// When work may be done: hours of the day, else daylight; all of it where nobody knows where the place lies.
fn hours(asked: &Asked<'_>, known: &Known) -> (Vec<(f64, f64)>, bool) {
    const DAY_S: f64 = 86_400.0;
    let (from_s, to_s) = (seconds(&known.first) - DAY_S, seconds(&known.last) + DAY_S);
    let (from, to) = (asked.replies.number("from"), asked.replies.number("to"));
    if from.is_some() || to.is_some() {
        let days = ((to_s - from_s) / DAY_S).ceil() as usize;
        let from = from.unwrap_or(0.0);
        // Hours that end before they begin go on past midnight.
        let to = to.unwrap_or(DAY_S);
        let to = if to <= from { to + DAY_S } else { to };
        let day = |day: usize| {
            let midnight = seconds(&known.first) + (day as f64 - 1.0) * DAY_S;
            (midnight + from, midnight + to)
        };
        return ((0..=days).map(day).collect(), false);
    }
    match known.position {
        Some(place) => (daylight(place, from_s, to_s), false),
        None => (vec![(from_s, to_s)], true),
    }
}
