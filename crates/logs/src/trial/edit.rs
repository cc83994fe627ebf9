//! A trial document changed one field at a time, by the names under which its faults are named.
//! Everything is taken as typed. Not for: judging it.

use super::conditions::{CONDITION_FIELDS, ConditionKind};
use super::document::{CORRECTIONS, Correction, RunMark, TrialDocument};
use crate::NotebookRow;
use crate::notebook::{NOTEBOOK_NUMBERS, doubt_of};
use wakewright_units::Quantity;

/// Rows of a notebook, and runs set by hand; no afternoon has more.
const MOST_ROWS: usize = 500;

/// Quantity of a field, its usual unit, and its limits where it has some of its own.
type NumberField = (Quantity, &'static str, Option<(f64, f64)>);
/// Longest text of a field that is taken; a note is no book.
const LONGEST_TEXT: usize = 20_000;

/// Cells of a notebook row, in the order in which a form asks for them: name, label, hint, whether it
/// is typed with a keyboard for numbers.
pub const NOTEBOOK_CELLS: [(&str, &str, &str, bool); 10] = [
    ("direction", "Direction", "out, back, NW or 315", false),
    ("lever", "Throttle", "full, else empty", false),
    ("rpm", "Shaft, rpm", "900", true),
    ("volts", "Volts", "under load", true),
    ("amps", "Amps", "out of the bank", true),
    ("power", "Watts", "if a meter shows them", true),
    ("speed_over_ground", "Over ground, kn", "4.6", true),
    ("speed_through_water", "Through water, kn", "the log", true),
    ("time", "Time", "14:05", false),
    ("note", "Note", "", false),
];

impl NotebookRow {
    /// The cell of this name, as typed.
    #[must_use]
    pub fn cell(&self, name: &str) -> Option<&str> {
        Some(match name {
            "time" => &self.time,
            "direction" => &self.direction,
            "lever" => &self.lever,
            "rpm" => &self.rpm,
            "volts" => &self.volts,
            "amps" => &self.amps,
            "power" => &self.power,
            "speed_over_ground" => &self.speed_over_ground,
            "speed_through_water" => &self.speed_through_water,
            "note" => &self.note,
            _ => return None,
        })
    }

    fn cell_mut(&mut self, name: &str) -> Option<&mut String> {
        Some(match name {
            "time" => &mut self.time,
            "direction" => &mut self.direction,
            "lever" => &mut self.lever,
            "rpm" => &mut self.rpm,
            "volts" => &mut self.volts,
            "amps" => &mut self.amps,
            "power" => &mut self.power,
            "speed_over_ground" => &mut self.speed_over_ground,
            "speed_through_water" => &mut self.speed_through_water,
            "note" => &mut self.note,
            _ => return None,
        })
    }

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
        Self { direction: opposite, lever: self.lever.clone(), ..Self::default() }
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

/// What a switch says when it is on.
const ON: &str = "yes";

fn switch(is_on: bool) -> String {
    if is_on { ON.to_owned() } else { String::new() }
}

fn place(text: &str) -> Option<usize> {
    text.parse().ok().filter(|place| *place < MOST_ROWS)
}

impl TrialDocument {
    /// What is typed in the field of this name; empty where nothing is, `None` where there is no such
    /// field. Switches say `yes` or nothing.
    #[must_use]
    pub fn typed(&self, name: &str) -> Option<String> {
        Some(match name {
            "date" => self.date.clone(),
            "title" => self.title.clone(),
            "note" => self.note.clone(),
            "least_run" => self.least_run.clone(),
            "meter.zero" => self.meter.zero.clone(),
            "meter.house" => self.meter.house.clone(),
            "meter.turned" => switch(self.meter.is_current_turned),
            _ => return self.typed_in_part(name),
        })
    }

    fn typed_in_part(&self, name: &str) -> Option<String> {
        if CONDITION_FIELDS.iter().any(|field| field.word == name) {
            return Some(self.conditions.get(name).cloned().unwrap_or_default());
        }
        let (part, rest) = name.split_once('.')?;
        if part == "correct" {
            return Some(switch(self.corrections.contains(&Correction::from_word(rest)?)));
        }
        let (number, field) = rest.split_once('.')?;
        let number = place(number)?;
        match part {
            "notebook" => match self.notebook.get(number) {
                Some(row) => row.cell(field).map(str::to_owned),
                None => NotebookRow::default().cell(field).map(str::to_owned),
            },
            "logs" => {
                let used = self.logs.get(number)?;
                match field.split_once('.') {
                    Some(("left_out", key)) => Some(switch(used.left_out.contains(key))),
                    _ => (field == "shift").then(|| used.shift.clone()),
                }
            }
            "marks" => {
                let mark = self.marks.as_ref().and_then(|marks| marks.get(number)).cloned();
                let mark = mark.unwrap_or_default();
                match field {
                    "from" => Some(mark.from),
                    "to" => Some(mark.to),
                    "full" => Some(switch(mark.is_full_throttle)),
                    "dropped" => Some(switch(mark.is_dropped)),
                    _ => None,
                }
            }
            _ => None,
        }
    }

    /// Types `text` into the field of this name; `false` where there is no such field or the text is
    /// longer than any that is kept. A row of the notebook that is not there yet is begun.
    #[must_use = "a text that was not taken must be said to be lost"]
    pub fn set_typed(&mut self, name: &str, text: &str) -> bool {
        if text.len() > LONGEST_TEXT || self.typed(name).is_none() {
            return false;
        }
        let value = text.to_owned();
        let is_on = matches!(text.trim(), ON | "on" | "true");
        match name {
            "date" => self.date = value,
            "title" => self.title = value,
            "note" => self.note = value,
            "least_run" => self.least_run = value,
            "meter.zero" => self.meter.zero = value,
            "meter.house" => self.meter.house = value,
            "meter.turned" => self.meter.is_current_turned = is_on,
            _ => match name.split_once('.') {
                Some((part, rest)) => self.set_in_part(part, rest, value, is_on),
                None => self.set_condition(name, text),
            },
        }
        if self.doubt_about(name).is_some() {
            self.unsettled.insert(name.to_owned());
        } else {
            self.unsettled.remove(name);
        }
        true
    }

    /// Why the number in the field of this name can be read in two ways, with both; `None` where it has one
    /// reading or the field holds no number.
    #[must_use]
    pub fn doubt_about(&self, name: &str) -> Option<String> {
        let (quantity, usual, limits) = self.number_of(name)?;
        doubt_of(self.typed(name)?.trim(), quantity, usual, limits)
    }

    /// What number the field of this name holds.
    fn number_of(&self, name: &str) -> Option<NumberField> {
        if let Some(field) = CONDITION_FIELDS.iter().find(|field| field.word == name) {
            let ConditionKind::Number(quantity, usual) = field.kind else { return None };
            return Some((quantity, usual, Some(field.range)));
        }
        let (quantity, usual) = match name.split_once('.') {
            None if name == "least_run" => (Quantity::Duration, "s"),
            Some(("meter", "zero")) => (Quantity::Current, "A"),
            Some(("meter", "house")) => (Quantity::Power, "W"),
            Some(("logs", rest)) if rest.ends_with(".shift") => (Quantity::Duration, "s"),
            Some(("notebook", rest)) => {
                let (_, cell) = rest.split_once('.')?;
                let (_, quantity, usual) = *NOTEBOOK_NUMBERS.iter().find(|(name, ..)| *name == cell)?;
                (quantity, usual)
            }
            _ => return None,
        };
        Some((quantity, usual, None))
    }

    /// The doubt about a number that was typed while it had two readings: it is not used.
    pub(super) fn unsettled_about(&self, name: &str) -> Option<String> {
        let doubt = self.unsettled.contains(name).then(|| self.doubt_about(name))??;
        Some(format!("{doubt} Until then it is not used."))
    }

    fn set_in_part(&mut self, part: &str, rest: &str, value: String, is_on: bool) {
        if let ("correct", Some(correction)) = (part, Correction::from_word(rest)) {
            if is_on {
                self.corrections.insert(correction)
            } else {
                self.corrections.remove(&correction)
            };
            return;
        }
        let Some((number, field)) = rest.split_once('.') else { return };
        let Some(number) = place(number) else { return };
        match part {
            "notebook" => {
                let missing = (number + 1).saturating_sub(self.notebook.len());
                self.notebook.extend(vec![NotebookRow::default(); missing]);
                if let Some(cell) = self.notebook[number].cell_mut(field) {
                    *cell = value;
                }
                while self.notebook.last().is_some_and(NotebookRow::is_empty) {
                    self.notebook.pop();
                }
            }
            "logs" => {
                let Some(used) = self.logs.get_mut(number) else { return };
                match field.split_once('.') {
                    Some(("left_out", key)) if is_on => {
                        used.left_out.insert(key.to_owned());
                    }
                    Some(("left_out", key)) => {
                        used.left_out.remove(key);
                    }
                    _ => used.shift = value,
                }
            }
            _ => {
                let marks = self.marks.get_or_insert_with(Vec::new);
                let missing = (number + 1).saturating_sub(marks.len());
                marks.extend(vec![RunMark::default(); missing]);
                let mark = &mut marks[number];
                match field {
                    "from" => mark.from = value,
                    "to" => mark.to = value,
                    "full" => mark.is_full_throttle = is_on,
                    _ => mark.is_dropped = is_on,
                }
            }
        }
    }

    /// Names of the switches, which a form that is sent whole leaves out where they are off.
    #[must_use]
    pub fn switches(&self) -> Vec<String> {
        let mut names = vec!["meter.turned".to_owned()];
        names.extend(CORRECTIONS.map(|correction| format!("correct.{}", correction.word())));
        for number in 0..self.marks.as_ref().map_or(0, Vec::len) {
            names.extend(["full", "dropped"].map(|field| format!("marks.{number}.{field}")));
        }
        names
    }
}

#[cfg(test)]
mod tests {
    use super::super::reading::read_trial;
    use super::*;

    #[test]
    fn every_field_takes_and_gives_what_is_typed() {
        let mut document = TrialDocument::default();
        document.logs.push(serde_json::from_str(r#"{"digest":"d","name":"a.log"}"#).unwrap());
        let mut names: Vec<String> = ["date", "title", "note", "least_run", "meter.zero", "logs.0.shift"]
            .map(str::to_owned)
            .into_iter()
            .chain(CONDITION_FIELDS.map(|field| field.word.to_owned()))
            .collect();
        names.extend(NOTEBOOK_CELLS.map(|(cell, ..)| format!("notebook.2.{cell}")));
        names.extend(["marks.1.from", "marks.1.to"].map(str::to_owned));
        for name in &names {
            assert_eq!(document.typed(name).as_deref(), Some(""), "{name}");
            assert!(document.set_typed(name, " as <typed> "), "{name}");
        }
        for name in &names {
            assert_eq!(document.typed(name).as_deref(), Some(" as <typed> "), "{name}");
        }
        for name in ["marks.1.full", "correct.wind", "meter.turned", "logs.0.left_out.current/column 3"] {
            assert!(document.set_typed(name, "yes"), "{name}");
            assert_eq!(document.typed(name).as_deref(), Some("yes"), "{name}");
            assert!(document.set_typed(name, ""), "{name}");
            assert_eq!(document.typed(name).as_deref(), Some(""), "{name}");
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
        assert!(typed.set_typed("notebook.0.speed_over_ground", "4.6"));
        let mut doubted = 0;
        for (name, text) in names {
            assert!(typed.set_typed(name, text), "{name}");
            assert_eq!(typed.typed(name).as_deref(), Some(text));
            doubted += usize::from(typed.doubt_about(name).is_some());
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
        assert!(typed.set_typed("notebook.0.power", "1200"));
        assert_eq!(read_trial(&typed, &[]).runs.len(), 1);
    }

    #[test]
    fn what_is_no_field_is_refused() {
        let mut document = TrialDocument::default();
        let odd = ["", "nonsense", "notebook", "notebook.x.rpm", "notebook.0.speed", "notebook.99999999.rpm"];
        for name in odd.iter().chain(&["logs.0.shift", "correct.tide", "marks.0.x", "digest"]) {
            assert!(document.typed(name).is_none(), "{name}");
            assert!(!document.set_typed(name, "1"), "{name}");
        }
        assert!(!document.set_typed("note", &"x".repeat(LONGEST_TEXT + 1)));
        assert_eq!(document, TrialDocument::default());
    }

    #[test]
    fn rows_that_were_emptied_are_gone_from_the_end() {
        let mut document = TrialDocument::default();
        assert!(document.set_typed("notebook.3.rpm", "900"));
        assert_eq!(document.notebook.len(), 4);
        assert!(document.set_typed("notebook.3.rpm", ""));
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
