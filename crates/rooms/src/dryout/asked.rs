//! The case of a dry-out as it is asked: her draught and keel, the ground, the work, the hours. Not for: the questions (`fields`).

use jiff::SignedDuration;
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
use crate::room::{Asked, Reply, read_date};
use crate::tide::BAND_DEVIATE;
use crate::tide::known::{Known, seconds};

/// Of a height that nobody gave a spread: half an 80 % band, own estimate.
const GROUND_WITHIN_M: f64 = 0.15;
const MEASURED_WITHIN_M: f64 = 0.03;
const DOCUMENT_WITHIN_M: f64 = 0.08;
const USUAL_HOURS: f64 = 3.0;
/// So many standard deviations off, two heights of one ground contradict each other.
const BEYOND: f64 = 4.0;

/// Another draught than the stated one, by more than loading makes of it: three tenths; judgement.
fn is_other(draught_m: f64, stated_m: f64) -> bool {
    (draught_m / stated_m).ln().abs() > 0.3
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
        let stated = asked.boat.document.number(field::hull::DRAUGHT).map(|stated| stated.value_si);
        let typed = banded(asked, "draught", MEASURED_WITHIN_M).map(|(value, within, _)| (value, within));
        let of_document = stated.map(|stated| (stated, DOCUMENT_WITHIN_M));
        let draught_m =
            typed.or(of_document).ok_or_else(|| NoAnswer::input("give her draught as measured today"))?;
        let deepest_m =
            [replies.number("fore"), replies.number("aft")].into_iter().flatten().fold(draught_m.0, f64::max);
        let draught_m = (deepest_m, draught_m.1);
        if let Some(stated) = stated.filter(|stated| is_other(draught_m.0, *stated)) {
            return Err(NoAnswer::input(format!(
                "draught {:.2} m as typed, and {:.2} m in her document: that is more than her load moves it. Look at the unit (5 ft are \
                 1.52 m), and correct the document if it is that which is wrong",
                draught_m.0, stated
            )));
        }
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
        if let Some((before, landing)) = before.and_then(|before| {
            let off = |landing: &&Landing| (landing.height_m - landing.draught_m - before.0).abs();
            let sd_m = before.1.hypot(draught_sd_m).hypot(known.level.weather_sd_m);
            Some((before, landings.iter().find(|landing| off(landing) > BEYOND * sd_m)?))
        }) {
            return Err(NoAnswer::input(format!(
                "the landing of {} tells of ground at {:.2} m, and {:.2} m was typed: weather and draught do not account for that. One of \
                 the two, or the hour, its zone or the draught of that day is wrong",
                known.local(landing.at_s).strftime("%Y-%m-%d %H:%M"),
                landing.height_m - landing.draught_m,
                before.0
            )));
        }
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
        if replies.number("from").zip(replies.number("to")).is_some_and(|(from, to)| from == to) {
            return Err(NoAnswer::input(
                "the hours for the work begin and end at the same time (from, to): give another end, or leave both out for daylight",
            ));
        }
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
        // By the clock of the place, over a change of it too.
        let day = |day: usize| {
            let noon = known.local(seconds(&known.first) + (day as f64 - 0.5) * DAY_S);
            let at = |after_s: f64| {
                let time = noon.date().at(0, 0, 0, 0) + SignedDuration::from_secs(after_s as i64);
                Some(seconds(&time.to_zoned(known.zone.clone()).ok()?))
            };
            at(from).zip(at(to))
        };
        return ((0..=days).filter_map(day).collect(), false);
    }
    match known.position {
        Some(place) => (daylight(place, from_s, to_s), false),
        None => (vec![(from_s, to_s)], true),
    }
}
