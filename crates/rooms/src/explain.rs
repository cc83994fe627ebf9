//! A figure opened: its value from the study that it belongs to, and what it stands on, looked up in the
//! document. Not for: the figure's formula (`Origin`).

use crate::sentence::{chosen_speed, month_name};
use crate::text::{InputLine, Opened, Paper};
use wakewright_core::boat::Input;
use wakewright_core::causes::{CausesFigure, Diagnosis};
use wakewright_core::sheet::Figure;
use wakewright_core::steady::BoatError;
use wakewright_core::study::{Interval, Opening, Questions, RangeFigure};
use wakewright_records::boat::{FieldKind, Origin, Presence, field_named};
use wakewright_units::{Quantity, UnitSystem};

use crate::Rooms;
use crate::bank;
use crate::boats::Loaded;
use crate::energy::{USUAL_YEAR, plan_of, request_of};
use crate::no_answer::NoAnswer;
use crate::range::{beyond_of, half_knots};
use crate::room::{AnyRoom, Asked};
use crate::sampling::{self, bank_study, energy_study};
use crate::sources::citation;

/// What is asked when a figure is opened, where the document leaves it open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Occasion {
    /// Month of the sun on a passage, 1 to 12.
    pub month: u32,
    /// Years of ageing.
    pub years: f64,
    /// Samples.
    pub samples: usize,
    /// Seed.
    pub seed: u64,
}

/// Month and years that a figure is told for when nothing else is said.
pub const USUAL_MONTH: u32 = 6;
/// As above.
pub const USUAL_YEARS: f64 = 6.0;

/// Weathers behind an opened figure of the year at most: more would not change its digits.
const MOST_WEATHERS: usize = 200;

/// What a trial says of a figure: on which occasion, and the figure.
pub type OfTrial = (String, Option<Interval>);

/// `figure` of what was found from a trial.
#[must_use]
pub fn of_diagnosis(figure: CausesFigure, diagnosis: &Diagnosis) -> OfTrial {
    let epoch = &diagnosis.problem.epochs[diagnosis.problem.now()];
    let trial = match epoch.label.strip_prefix("the ").unwrap_or(&epoch.label) {
        of_day if of_day.starts_with("trial") => of_day.to_owned(),
        title => format!("trial \"{title}\""),
    };
    (format!("By the {trial}"), figure.value(diagnosis))
}

/// The room in whose list the figure of this key stands, and the figure.
#[must_use]
pub fn figure_named(rooms: Rooms, key: &str) -> Option<(&'static dyn AnyRoom, &'static Figure)> {
    figures(rooms).find(|(_, figure)| figure.key == key)
}

/// Every figure that opens to a formula, with its room.
pub fn figures(rooms: Rooms) -> impl Iterator<Item = (&'static dyn AnyRoom, &'static Figure)> {
    rooms.iter().flat_map(|&room| {
        let singles = room.empty_sheets().into_iter().filter(|sheet| sheet.form.is_single());
        let heads = singles.flat_map(|sheet| sheet.heads);
        heads.map(|head| head.figure).filter(|figure| figure.opens()).map(move |figure| (room, figure))
    })
}

/// The figure `key` of what `room` finds, opened.
/// # Errors
/// When there is no answer.
pub fn open_in(
    room: &'static dyn AnyRoom,
    figure: &'static Figure,
    asked: &Asked<'_>,
    paper: &Paper,
) -> Result<Opened, NoAnswer> {
    let answer = room.answer(asked, Some(figure.key), paper)?;
    let interval = answer.single(figure.key).and_then(|(_, value)| value.interval());
    let Some(origin) = Opened::origin_of(figure) else {
        return Err(NoAnswer::input(format!("{}: there is no formula to open", figure.key)));
    };
    Ok(Opened {
        inputs: origin.inputs.iter().map(|key| input_line(key, asked.boat)).collect(),
        sources: origin.sources.iter().map(|key| ((*key).to_owned(), citation(key))).collect(),
        origin,
        occasion: answer.occasion,
        interval,
        widths: answer.widths,
        notices: answer.notices,
    })
}

/// `opening` of `boat`; `of_trial` tells a figure that is found from her trials.
/// # Errors
/// When there is no result at her numbers, or her document does not say what the figure needs.
pub fn open(
    opening: Opening,
    boat: &Loaded,
    asked: &Occasion,
    of_trial: impl FnOnce(CausesFigure) -> Result<OfTrial, NoAnswer>,
) -> Result<Opened, NoAnswer> {
    let failed = |error: BoatError| NoAnswer::input(format!("{}: {error}", boat.place));
    let paper = Paper::plain(UnitSystem::Trade);
    let Occasion { samples, seed, .. } = *asked;
    let (occasion, interval, widths, notices) = match opening {
        Opening::State(figure) => {
            let study = sampling::study(&boat.spec, &Questions::default(), samples, seed).map_err(failed)?;
            let widths = study.width_of(figure);
            ("At full throttle".to_owned(), Some(study.at_full(figure)), widths, study.notices)
        }
        Opening::Range(figure) => {
            let sun = has_place(boat).then_some(asked.month);
            let beyond = beyond_of(boat, sun, Some(asked.years))?;
            let questions = Questions { speeds_m_s: half_knots(boat), beyond, ..Questions::default() };
            let study = sampling::study(&boat.spec, &questions, samples, seed).map_err(failed)?;
            let row = chosen_speed(&boat.spec, &study);
            let when = row.map_or_else(
                || "At any speed".to_owned(),
                |row| {
                    let speed = paper.decimals(row.speed_m_s, Quantity::Speed, 1);
                    match figure {
                        RangeFigure::Distance => format!("At {speed}"),
                        RangeFigure::Aged => format!("At {speed} after {} years", asked.years),
                        RangeFigure::Sunny | RangeFigure::SunAlone => {
                            format!("At {speed} in {}", month_name(asked.month))
                        }
                    }
                },
            );
            let interval = row.and_then(|row| figure.value(row));
            (when, interval, Vec::new(), study.notices)
        }
        Opening::Bank(figure) => {
            let study = bank_study(&boat.spec, &bank::questions(boat), samples, seed).map_err(failed)?;
            ("With the bank as stated".to_owned(), figure.value(&study), Vec::new(), study.notices)
        }
        Opening::Energy(figure) => {
            let request = request_of(boat, plan_of(boat, USUAL_YEAR)?, false)?;
            let study =
                energy_study(&boat.spec, &request, samples.min(MOST_WEATHERS), seed).map_err(failed)?;
            ("Lived on as stated".to_owned(), figure.value(&study), Vec::new(), study.notices)
        }
        Opening::Causes(figure) => {
            let (occasion, interval) = of_trial(figure)?;
            (occasion, interval, Vec::new(), Vec::new())
        }
    };
    let origin = opening.origin();
    Ok(Opened {
        inputs: origin.inputs.iter().map(|key| input_line(key, boat)).collect(),
        sources: origin.sources.iter().map(|key| ((*key).to_owned(), citation(key))).collect(),
        origin,
        occasion,
        interval,
        widths,
        notices,
    })
}

/// Whether her document says where she lies, which sun and year need.
#[must_use]
pub fn has_place(boat: &Loaded) -> bool {
    boat.document.typed("place.latitude").is_some()
}

fn input_line(key: &str, boat: &Loaded) -> InputLine {
    let Some(field) = field_named(key) else {
        let known = Input::ALL.iter().find(|input| input.key() == key);
        let label = known.map_or(key, |input| input.words()).to_owned();
        let spread = boat.spec.uncertain.iter().find(|u| Some(&u.input) == known).map(|u| u.spread);
        let value =
            spread.map_or_else(String::new, |s| format!("{:.3} ({:.3} to {:.3})", s.median, s.p10, s.p90));
        return InputLine { key: key.to_owned(), label, value, origin: "the method's own spread".to_owned() };
    };
    let (section, name) = key.split_once('.').unwrap_or((key, ""));
    let rows = boat.document.rows(section);
    let addresses: Vec<String> = if rows.is_empty() {
        vec![key.to_owned()]
    } else {
        rows.iter().map(|row| row.address_of(name)).collect()
    };
    let values: Vec<String> =
        addresses.iter().filter_map(|a| boat.document.typed(a).map(str::to_owned)).collect();
    let (value, origin) = if values.is_empty() {
        not_written(key, field.presence, boat)
    } else {
        let is_assumed = addresses.iter().any(|a| boat.document.origin(a) == Some(Origin::Assumed));
        let how = match field.kind {
            FieldKind::Quantity(_) if is_assumed => "assumed",
            FieldKind::Quantity(_) => "measured",
            _ => "stated",
        };
        (values.join(", "), how.to_owned())
    };
    InputLine { key: key.to_owned(), label: field.label.to_owned(), value, origin }
}

fn not_written(key: &str, presence: Presence, boat: &Loaded) -> (String, String) {
    let spread = boat.spec.uncertain.iter().find(|u| u.input.key() == key).map(|u| u.spread);
    let number = |si: f64| field_named(key).map_or_else(String::new, |field| field.value_text(si));
    match presence {
        Presence::Default(text) => (text.to_owned(), "usual value".to_owned()),
        Presence::Estimated { how, .. } => {
            (spread.map_or_else(String::new, |s| number(s.median)), format!("estimated from {how}"))
        }
        _ => (String::new(), "not given".to_owned()),
    }
}
