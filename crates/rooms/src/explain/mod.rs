//! A figure opened: its value from the study that it belongs to, and what it stands on, looked up in the
//! document. Not for: the figure's formula (`Origin`).

mod text;
mod view;

pub use text::{InputLine, Known, Opened, explain_list, explain_text, figure_band, figure_words};
pub use view::{ExplainView, InputView, explain_view};

use crate::text::Paper;
use wakewright_core::boat::Input;
use wakewright_core::causes::{Diagnosis, causes_value};
use wakewright_core::sheet::Interval;
use wakewright_core::sheet::{self, Figure};
use wakewright_records::boat::{Origin, Presence, field_named};

use crate::Rooms;
use crate::boats::Loaded;
use crate::no_answer::NoAnswer;
use crate::room::{AnyRoom, Asked};
use crate::sources::citation;

/// What a trial says of a figure: on which occasion, and the figure.
pub type OfTrial = (String, Option<Interval>);

/// `figure` of what was found from a trial.
#[must_use]
pub fn of_diagnosis(figure: &Figure, diagnosis: &Diagnosis) -> OfTrial {
    let epoch = &diagnosis.problem.epochs[diagnosis.problem.now()];
    let trial = match epoch.label.strip_prefix("the ").unwrap_or(&epoch.label) {
        of_day if of_day.starts_with("trial") => of_day.to_owned(),
        title => format!("trial \"{title}\""),
    };
    (format!("By the {trial}"), causes_value(figure, diagnosis))
}

/// The room in whose list the figure of this key stands, and the figure.
#[must_use]
pub fn figure_named(rooms: Rooms, key: &str) -> Option<(&'static dyn AnyRoom, &'static Figure)> {
    figures(rooms).find(|(_, figure)| figure.key == key)
}

/// Every figure that opens to a formula, with the first room that has it.
pub fn figures(rooms: Rooms) -> impl Iterator<Item = (&'static dyn AnyRoom, &'static Figure)> {
    let mut known: Vec<&'static str> = Vec::new();
    let all = rooms.iter().flat_map(|&room| {
        let singles = room.empty_sheets().into_iter().filter(|sheet| sheet.form.is_single());
        let heads = singles.flat_map(|sheet| sheet.heads);
        heads.map(|head| head.figure).filter(|figure| figure.opens()).map(move |figure| (room, figure))
    });
    all.filter(move |(_, figure)| {
        let is_new = !known.contains(&figure.key);
        if is_new {
            known.push(figure.key);
        }
        is_new
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
    figure: &'static Figure,
    boat: &Loaded,
    of_trial: impl FnOnce(&'static Figure) -> Result<OfTrial, NoAnswer>,
) -> Result<Opened, NoAnswer> {
    let (occasion, interval) = of_trial(figure)?;
    let Some(origin) = Opened::origin_of(figure) else {
        return Err(NoAnswer::input(format!("{}: there is no formula to open", figure.key)));
    };
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

/// How the inputs of a figure are known, counted: "7 measured, 1 plate, 2 estimated"; of a part those of the figure
/// that it belongs to. Factors of a method and what is not given do not count; empty where nothing can be opened.
#[must_use]
pub fn stands_on(rooms: Rooms, figure: &Figure, boat: &Loaded) -> String {
    let whole = match figure.origin {
        sheet::Origin::Of(key) => figure_named(rooms, key).map(|(_, whole)| whole),
        _ => Some(figure),
    };
    let Some(origin) = whole.and_then(Opened::origin_of) else { return String::new() };
    let known: Vec<&str> =
        origin.inputs.iter().filter_map(|key| input_line(key, boat).known.mark()).collect();
    let counted = Known::MARKS.iter().filter_map(|mark| {
        let count = known.iter().filter(|known| *known == mark).count();
        (count > 0).then(|| format!("{count} {mark}"))
    });
    counted.collect::<Vec<_>>().join(", ")
}

fn input_line(key: &str, boat: &Loaded) -> InputLine {
    let Some(field) = field_named(key) else {
        let known = Input::ALL.iter().find(|input| input.key() == key);
        let label = known.map_or(key, |input| input.words()).to_owned();
        let spread = boat.spec.uncertain.iter().find(|u| Some(&u.input) == known).map(|u| u.spread);
        let value =
            spread.map_or_else(String::new, |s| format!("{:.3} ({:.3} to {:.3})", s.median, s.p10, s.p90));
        return InputLine { key: key.to_owned(), label, value, known: Known::OfMethod };
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
    let (value, known) = if values.is_empty() {
        not_written(key, field.presence, boat)
    } else {
        // Of several rows the least sure tells.
        let origins = addresses.iter().filter_map(|a| boat.document.origin(a));
        let known = match origins.max_by_key(|origin| Origin::ALL.iter().position(|o| o == origin)) {
            Some(Origin::Assumed) => Known::Assumed,
            Some(Origin::Plate) => Known::Plate,
            Some(Origin::Measured) => Known::Measured,
            Some(Origin::Chosen) | None => Known::Chosen,
        };
        (values.join(", "), known)
    };
    InputLine { key: key.to_owned(), label: field.label.to_owned(), value, known }
}

fn not_written(key: &str, presence: Presence, boat: &Loaded) -> (String, Known) {
    let spread = boat.spec.uncertain.iter().find(|u| u.input.key() == key).map(|u| u.spread);
    let number = |si: f64| field_named(key).map_or_else(String::new, |field| field.value_text(si));
    match presence {
        Presence::Default(text) => (text.to_owned(), Known::Usual),
        Presence::Estimated { how, .. } => {
            (spread.map_or_else(String::new, |s| number(s.median)), Known::Estimated(how))
        }
        _ => (String::new(), Known::NotGiven),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;
    use crate::ROOMS;

    /// A name stands for one kind of quantity in every room, and where it opens for one formula.
    #[test]
    fn one_name_one_figure() {
        let mut known: HashMap<&str, &Figure> = HashMap::new();
        for room in ROOMS {
            for head in room.empty_sheets().iter().flat_map(|sheet| &sheet.heads) {
                let figure = *known.entry(head.figure.key).or_insert(head.figure);
                let where_it_is = format!("{} in {}", figure.key, room.card().key);
                assert_eq!(figure.quantity, head.figure.quantity, "{where_it_is}");
                if figure.opens() && head.figure.opens() {
                    assert_eq!(figure.origin, head.figure.origin, "{where_it_is}");
                }
            }
        }
    }

    /// A part of a figure that opens names one that does.
    #[test]
    fn parts_belong_to_a_figure_that_opens() {
        for room in ROOMS {
            for head in room.empty_sheets().iter().flat_map(|sheet| &sheet.heads) {
                if let sheet::Origin::Of(key) = head.figure.origin {
                    assert!(
                        figure_named(&ROOMS, key).is_some(),
                        "{}: no figure {key} opens",
                        head.figure.key
                    );
                }
            }
        }
    }
}
