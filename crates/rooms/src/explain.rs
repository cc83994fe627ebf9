//! A figure opened: its value from the study that it belongs to, and what it stands on, looked up in the
//! document. Not for: the figure's formula (`Origin`).

use crate::text::{InputLine, Opened, Paper};
use wakewright_core::boat::Input;
use wakewright_core::causes::{CausesFigure, Diagnosis};
use wakewright_core::sheet::Figure;
use wakewright_core::study::{Interval, Opening};
use wakewright_records::boat::{FieldKind, Origin, Presence, field_named};

use crate::Rooms;
use crate::boats::Loaded;
use crate::no_answer::NoAnswer;
use crate::room::{AnyRoom, Asked};
use crate::sources::citation;

/// Month and years that a figure is told for when nothing else is said.
pub const USUAL_MONTH: u32 = 6;
/// As above.
pub const USUAL_YEARS: f64 = 6.0;

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
    let samples = room.card().samples.of_general(asked.samples);
    let answer = room.answer(&Asked { samples, ..asked.clone() }, Some(figure.key), paper)?;
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

/// A figure that is found from her trials, which `of_trial` tells.
/// # Errors
/// Those of `of_trial`.
pub fn open(
    Opening::Causes(figure): Opening,
    boat: &Loaded,
    of_trial: impl FnOnce(CausesFigure) -> Result<OfTrial, NoAnswer>,
) -> Result<Opened, NoAnswer> {
    let (occasion, interval) = of_trial(figure)?;
    let origin = figure.origin();
    Ok(Opened {
        inputs: origin.inputs.iter().map(|key| input_line(key, boat)).collect(),
        sources: origin.sources.iter().map(|key| ((*key).to_owned(), citation(key))).collect(),
        origin,
        occasion,
        interval,
        widths: Vec::new(),
        notices: Vec::new(),
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
