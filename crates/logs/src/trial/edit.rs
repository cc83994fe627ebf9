//! A trial document changed one field at a time, by the addresses under which its faults are named.
//! Everything is taken as typed. Not for: judging it.

use std::collections::BTreeSet;

use super::address::{MarkPart, TrialAddress};
use super::conditions::{ConditionKind, YES, yes_or_no};
use super::document::TrialDocument;
use super::written::RunMark;
use crate::NotebookRow;
use crate::notebook::{CellKind, doubt_of};
use wakewright_units::Quantity;

/// Quantity of a field, its usual unit, and its limits where it has some of its own.
type NumberField = (Quantity, &'static str, Option<(f64, f64)>);
/// Longest text of a field that is taken; a note is no book.
pub const LONGEST_TEXT: usize = 20_000;

impl NotebookRow {
    /// The row that follows this one on the water: the opposite course, at the same throttle.
    #[must_use]
    pub fn opposite(&self) -> Self {
        let direction = self.direction.trim();
        let bare = direction.trim_end_matches(['°', 't', 'T', ' ']);
        let opposite = match direction.to_lowercase().as_str() {
            "out" => "back".to_owned(),
            "back" => "out".to_owned(),
            "there" | "with" => "back".to_owned(),
            "against" => "out".to_owned(),
            "" => String::new(),
            word => match (opposite_point(word), bare.parse::<f64>()) {
                (Some(point), _) => point,
                (None, Ok(degrees)) if (0.0..=360.0).contains(&degrees) => {
                    format!("{:.0}", (degrees + 180.0) % 360.0)
                }
                _ => String::new(),
            },
        };
        Self { direction: opposite, throttle: self.throttle.clone(), ..Self::default() }
    }
}

/// `SE` for `nw`.
fn opposite_point(word: &str) -> Option<String> {
    let is_point = crate::compass_point(word).is_some();
    let turned = |letter: char| match letter {
        'n' => 'S',
        's' => 'N',
        'e' => 'W',
        _ => 'E',
    };
    is_point.then(|| word.chars().map(turned).collect())
}

fn switch(is_on: bool) -> String {
    if is_on { YES.to_owned() } else { String::new() }
}

/// Off where nothing is typed; none where a switch cannot be set so.
fn is_on(text: &str) -> Option<bool> {
    if text.trim().is_empty() { Some(false) } else { yes_or_no(text) }
}

/// Puts `key` into a set, or takes it out.
fn keep<K: Ord>(set: &mut BTreeSet<K>, key: K, is_on: bool) {
    if is_on {
        set.insert(key);
    } else {
        set.remove(&key);
    }
}

impl RunMark {
    /// What is typed in a part of it.
    #[must_use]
    pub fn typed(&self, part: MarkPart) -> String {
        match part {
            MarkPart::From => self.from.clone(),
            MarkPart::To => self.to.clone(),
            MarkPart::Full => switch(self.is_full_throttle),
            MarkPart::Dropped => switch(self.is_dropped),
        }
    }

    fn set(&mut self, part: MarkPart, text: &str) -> Option<()> {
        match part {
            MarkPart::From => text.clone_into(&mut self.from),
            MarkPart::To => text.clone_into(&mut self.to),
            MarkPart::Full => self.is_full_throttle = is_on(text)?,
            MarkPart::Dropped => self.is_dropped = is_on(text)?,
        }
        Some(())
    }
}

/// The element of this number; those before it that are not there yet are begun.
fn nth<T: Clone + Default>(list: &mut Vec<T>, number: usize) -> &mut T {
    if list.len() <= number {
        list.resize(number + 1, T::default());
    }
    &mut list[number]
}

impl TrialDocument {
    /// What is typed in a field; empty where nothing is, `None` where nothing can be. Switches say
    /// [`YES`] or nothing.
    #[must_use]
    pub fn typed(&self, address: &TrialAddress) -> Option<String> {
        Some(match address {
            TrialAddress::Date => self.date.clone(),
            TrialAddress::Title => self.title.clone(),
            TrialAddress::Done => self.done.clone(),
            TrialAddress::Note => self.note.clone(),
            TrialAddress::LeastRun => self.least_run.clone(),
            TrialAddress::MeterZero => self.meter.zero.clone(),
            TrialAddress::MeterHouse => self.meter.house.clone(),
            TrialAddress::MeterTurned => switch(self.meter.is_current_turned),
            TrialAddress::MeterAsWritten => switch(self.meter.is_current_as_written),
            TrialAddress::MeterBeside => switch(self.meter.has_packs_beside),
            TrialAddress::MeterSeries => switch(self.meter.has_packs_in_series),
            TrialAddress::ThrottleHeld => switch(self.is_throttle_held),
            TrialAddress::Condition(condition) => {
                self.conditions.get(condition.word()).cloned().unwrap_or_default()
            }
            TrialAddress::Correct(correction) => switch(self.corrections.contains(correction)),
            TrialAddress::Cell(row, cell) => {
                self.notebook.get(*row).map_or_else(String::new, |row| row.cell(*cell).to_owned())
            }
            TrialAddress::Shift(log) => self.logs.get(*log)?.shift.clone(),
            TrialAddress::LeftOut(log, key) => switch(self.logs.get(*log)?.left_out.contains(key)),
            TrialAddress::MarkPart(mark, part) => {
                let mark = self.marks.as_ref().and_then(|marks| marks.get(*mark));
                mark.map_or_else(String::new, |mark| mark.typed(*part))
            }
            TrialAddress::Logs | TrialAddress::Mark(_) => return None,
        })
    }

    /// Types `text` into a field; `false` where it is not taken: nothing can be typed there, the text is
    /// longer than any that is kept, or it is no way in which a switch stands. A row of the notebook that is
    /// not there yet is begun.
    #[must_use = "a text that was not taken must be said to be lost"]
    pub fn set_typed(&mut self, address: &TrialAddress, text: &str) -> bool {
        if text.len() > LONGEST_TEXT || self.put(address, text).is_none() {
            return false;
        }
        let is_doubtful = self.doubt_about(address).is_some();
        keep(&mut self.unsettled, address.name(), is_doubtful);
        true
    }

    fn put(&mut self, address: &TrialAddress, text: &str) -> Option<()> {
        match address {
            TrialAddress::Date => text.clone_into(&mut self.date),
            TrialAddress::Title => text.clone_into(&mut self.title),
            TrialAddress::Done => text.clone_into(&mut self.done),
            TrialAddress::Note => text.clone_into(&mut self.note),
            TrialAddress::LeastRun => text.clone_into(&mut self.least_run),
            TrialAddress::MeterZero => text.clone_into(&mut self.meter.zero),
            TrialAddress::MeterHouse => text.clone_into(&mut self.meter.house),
            TrialAddress::MeterTurned => {
                self.meter.is_current_turned = is_on(text)?;
                self.meter.is_current_as_written &= !self.meter.is_current_turned;
            }
            TrialAddress::MeterAsWritten => {
                self.meter.is_current_as_written = is_on(text)?;
                self.meter.is_current_turned &= !self.meter.is_current_as_written;
            }
            TrialAddress::MeterBeside => {
                self.meter.has_packs_beside = is_on(text)?;
                self.meter.has_packs_in_series &= !self.meter.has_packs_beside;
            }
            TrialAddress::MeterSeries => {
                self.meter.has_packs_in_series = is_on(text)?;
                self.meter.has_packs_beside &= !self.meter.has_packs_in_series;
            }
            TrialAddress::ThrottleHeld => self.is_throttle_held = is_on(text)?,
            TrialAddress::Condition(condition) => self.set_condition(*condition, text),
            TrialAddress::Correct(correction) => keep(&mut self.corrections, *correction, is_on(text)?),
            TrialAddress::Cell(row, cell) => {
                text.clone_into(nth(&mut self.notebook, *row).cell_mut(*cell));
                while self.notebook.last().is_some_and(NotebookRow::is_empty) {
                    self.notebook.pop();
                }
            }
            TrialAddress::Shift(log) => text.clone_into(&mut self.logs.get_mut(*log)?.shift),
            TrialAddress::LeftOut(log, key) => {
                keep(&mut self.logs.get_mut(*log)?.left_out, key.clone(), is_on(text)?)
            }
            TrialAddress::MarkPart(mark, part) => {
                let mut changed =
                    self.marks.as_ref().and_then(|marks| marks.get(*mark)).cloned().unwrap_or_default();
                changed.set(*part, text)?;
                *nth(self.marks.get_or_insert_default(), *mark) = changed;
            }
            TrialAddress::Logs | TrialAddress::Mark(_) => return None,
        }
        Some(())
    }

    /// Why the number in a field can be read in two ways, with both; `None` where it has one reading or the
    /// field holds no number.
    #[must_use]
    pub fn doubt_about(&self, address: &TrialAddress) -> Option<String> {
        let (quantity, usual, limits) = number_of(address)?;
        doubt_of(self.typed(address)?.trim(), quantity, usual, limits)
    }

    /// The doubt about a number that was typed while it had two readings: it is not used.
    pub(super) fn unsettled_about(&self, address: &TrialAddress) -> Option<String> {
        let doubt = self.unsettled.contains(&address.name()).then(|| self.doubt_about(address))??;
        Some(format!("{doubt} Until then it is not used."))
    }
}

/// What number a field holds.
fn number_of(address: &TrialAddress) -> Option<NumberField> {
    match address {
        TrialAddress::LeastRun | TrialAddress::Shift(_) => Some((Quantity::Duration, "s", None)),
        TrialAddress::MeterZero => Some((Quantity::Current, "A", None)),
        TrialAddress::MeterHouse => Some((Quantity::Power, "W", None)),
        TrialAddress::Cell(_, cell) => match cell.kind() {
            CellKind::Number(quantity, usual) => Some((quantity, usual, None)),
            CellKind::Text | CellKind::Throttle => None,
        },
        TrialAddress::Condition(condition) => match condition.field().kind {
            ConditionKind::Number { quantity, unit, range, .. } => Some((quantity, unit, Some(range))),
            ConditionKind::Growth(_)
            | ConditionKind::Direction(_)
            | ConditionKind::YesNo(_)
            | ConditionKind::Percent(_) => None,
        },
        TrialAddress::Date
        | TrialAddress::Title
        | TrialAddress::Done
        | TrialAddress::Note
        | TrialAddress::MeterTurned
        | TrialAddress::MeterAsWritten
        | TrialAddress::MeterBeside
        | TrialAddress::MeterSeries
        | TrialAddress::ThrottleHeld
        | TrialAddress::Correct(_)
        | TrialAddress::Logs
        | TrialAddress::LeftOut(..)
        | TrialAddress::Mark(_)
        | TrialAddress::MarkPart(..) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::conditions::Condition;
    use super::super::reading::read_trial;
    use super::*;
    use crate::NotebookCell;

    fn at(name: &str) -> TrialAddress {
        TrialAddress::of_name(name).unwrap_or_else(|| panic!("{name}"))
    }

    #[test]
    fn every_field_takes_and_gives_what_is_typed() {
        let mut document = TrialDocument::default();
        document.logs.push(serde_json::from_str(r#"{"digest":"d","name":"a.log"}"#).unwrap());
        let mut names: Vec<String> = ["date", "title", "note", "least_run", "meter.zero", "logs.0.shift"]
            .map(str::to_owned)
            .into_iter()
            .chain(Condition::ALL.map(|condition| condition.word().to_owned()))
            .collect();
        names.extend(NotebookCell::ALL.map(|cell| format!("notebook.2.{}", cell.word())));
        names.extend(["marks.1.from", "marks.1.to"].map(str::to_owned));
        for name in &names {
            assert_eq!(at(name).name(), *name);
            assert_eq!(document.typed(&at(name)).as_deref(), Some(""), "{name}");
            assert!(document.set_typed(&at(name), " as <typed> "), "{name}");
        }
        for name in &names {
            assert_eq!(document.typed(&at(name)).as_deref(), Some(" as <typed> "), "{name}");
        }
        for name in [
            "marks.1.full",
            "correct.wind",
            "meter.turned",
            "meter.as_written",
            "meter.beside",
            "meter.series",
            "throttle_held",
            "logs.0.left_out.current/column 3",
        ] {
            assert_eq!(at(name).name(), name);
            assert!(document.set_typed(&at(name), "yes"), "{name}");
            assert_eq!(document.typed(&at(name)).as_deref(), Some("yes"), "{name}");
            assert!(!document.set_typed(&at(name), "perhaps"), "{name}");
            assert!(document.set_typed(&at(name), ""), "{name}");
            assert_eq!(document.typed(&at(name)).as_deref(), Some(""), "{name}");
        }
    }

    #[test]
    fn a_number_typed_with_two_readings_is_kept_and_not_used() {
        let names = [
            ("wind", "1,250 m/s"),
            ("depth", "2,500"),
            ("displacement", "1.250"),
            ("meter.zero", "1,500"),
            ("meter.house", "1.200 W"),
            ("least_run", "1.500 min"),
            ("notebook.0.power", "1.200"),
        ];
        let mut typed = TrialDocument::default();
        assert!(typed.set_typed(&at("notebook.0.speed_over_ground"), "4.6"));
        let mut doubted = 0;
        for (name, text) in names {
            assert!(typed.set_typed(&at(name), text), "{name}");
            assert_eq!(typed.typed(&at(name)).as_deref(), Some(text));
            doubted += usize::from(typed.doubt_about(&at(name)).is_some());
        }
        assert_eq!(doubted, 5, "of wind and displacement one reading alone can be");
        let reading = read_trial(&typed, &[]);
        assert!(reading.runs.is_empty() && reading.conditions.depth_m.is_none());
        let problem =
            |name: &str| reading.faults.iter().find(|fault| fault.field == name).map(|f| &f.problem);
        for name in ["depth", "meter.zero", "meter.house", "least_run", "notebook.0.power"] {
            let problem = problem(name).unwrap_or_else(|| panic!("{name} is not named"));
            assert!(problem.contains("not used"), "{name}: {problem}");
        }
        assert!(problem("notebook.0.power").is_some_and(|p| p.contains("1.2 W") && p.contains("1200 W")));
        // So it is after it was carried away and brought back; a document of before keeps its values.
        let back = TrialDocument::from_json(&typed.to_json()).unwrap();
        assert_eq!(read_trial(&back, &[]).faults, reading.faults);
        let mut before = back;
        before.unsettled.clear();
        let reading = read_trial(&before, &[]);
        // Wind too: read as ever it is more than blows, and refused.
        assert_eq!((reading.runs.len(), reading.faults.len()), (1, 6), "{:?}", reading.faults);
        assert!((reading.conditions.depth_m.unwrap() - 2500.0).abs() < 1e-9);
        // Written for certain it is used.
        assert!(typed.set_typed(&at("notebook.0.power"), "1200"));
        assert_eq!(read_trial(&typed, &[]).runs.len(), 1);
    }

    #[test]
    fn what_is_no_field_is_refused() {
        let mut document = TrialDocument::default();
        let odd = ["", "nonsense", "notebook", "notebook.x.rpm", "notebook.0.speed", "notebook.99999999.rpm"];
        for name in odd.iter().chain(&[
            "logs.0.shift",
            "correct.tide",
            "marks.0",
            "marks.0.x",
            "logs",
            "logs.0.x",
            "digest",
        ]) {
            let address = TrialAddress::of_name(name);
            assert!(address.as_ref().is_none_or(|address| document.typed(address).is_none()), "{name}");
            assert!(address.is_none_or(|address| !document.set_typed(&address, "1")), "{name}");
        }
        assert!(!document.set_typed(&TrialAddress::Note, &"x".repeat(LONGEST_TEXT + 1)));
        assert_eq!(document, TrialDocument::default());
    }

    #[test]
    fn rows_that_were_emptied_are_gone_from_the_end() {
        let mut document = TrialDocument::default();
        assert!(document.set_typed(&at("notebook.3.rpm"), "900"));
        assert_eq!(document.notebook.len(), 4);
        assert!(document.set_typed(&at("notebook.3.rpm"), ""));
        assert!(document.notebook.is_empty());
    }

    #[test]
    fn the_next_run_goes_the_other_way() {
        let way = |direction: &str| {
            let row = NotebookRow { direction: direction.to_owned(), ..NotebookRow::default() };
            row.opposite().direction
        };
        let cases = [("out", "back"), ("Back", "out"), ("NW", "SE"), ("nne", "SSW"), ("315", "135")];
        for (direction, opposite) in cases {
            assert_eq!(way(direction), opposite);
        }
        assert_eq!(way("90°"), "270");
        assert_eq!(way("somewhere"), "");
    }
}
