//! From TOML to entries: each key is held against its descriptor, every fault is noted, nothing
//! stops the reading. Not for: contradictions between fields.

use super::alternatives::Change;
use super::day::{is_calendar_day, readings};
use super::descriptor::{Choice, Field, FieldKind, Presence, Section};
use super::fault::{Fault, Severity};
use super::fields::{SECTIONS, all_fields, section_named};
use super::guess::is_not_known;
use super::stated::{GrammarError, Origin, Stated, read_stated, split_marks, two_readings, usual_band};
use super::syntax::Parsed;
use std::collections::BTreeMap;
use toml_edit::{Item, TableLike, Value};
use wakewright_core::field;
use wakewright_units::{Digits, UnitError, UnitSystem, accepted_units, format_quantity, nearest};

/// After so many faults no more guesses are made at what was meant.
const MOST_GUESSES: usize = 100;

/// What an entry says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Said {
    Number(Stated),
    Word(&'static str, Origin),
    Text(String),
    Flag(bool),
    Changes(Vec<Change>),
    /// That it is not known.
    NotKnown,
    /// Typed but not readable; a fault tells why.
    Unreadable,
}

/// One key of the document with its value.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Entry {
    pub said: Said,
    /// As typed, without quotes.
    pub text: String,
    pub line: usize,
    pub column: usize,
    /// Bytes of the value in the text that was read.
    pub span: std::ops::Range<usize>,
}

/// What a document holds.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Content {
    /// By address: `hull.draught`, `pack[2].capacity`.
    pub entries: BTreeMap<String, Entry>,
    /// Rows of the repeated sections.
    pub rows: BTreeMap<&'static str, usize>,
    /// Line of the header, by address of the section.
    pub sections: BTreeMap<String, usize>,
    /// Doubts about numbers that can be read in two ways.
    pub twofold: Vec<Fault>,
    /// The text that was read has the letters of the source at the same places.
    pub is_as_typed: bool,
}

pub(crate) struct Reader<'a> {
    parsed: &'a Parsed,
    content: Content,
    /// Addresses whose value is empty.
    blank: Vec<String>,
    faults: &'a mut Vec<Fault>,
}

/// Reads all that `parsed` holds, adding faults.
pub(crate) fn read_content(parsed: &Parsed, faults: &mut Vec<Fault>) -> Content {
    let mut reader = Reader { parsed, content: Content::default(), blank: Vec::new(), faults };
    reader.read_root();
    reader.check_presence();
    reader.content
}

impl Reader<'_> {
    fn read_root(&mut self) {
        let parsed = self.parsed;
        let root = parsed.toml.as_table();
        for (name, item) in root.iter() {
            let offset = root.key(name).and_then(toml_edit::Key::span).map_or(0, |span| span.start);
            match section_named(name) {
                None => self.unknown_section(name, item, offset),
                Some(section) if section.is_repeated => self.read_repeated(section, item, offset),
                Some(section) => match item.as_table_like() {
                    Some(table) => self.read_table(section, section.name, table, offset),
                    None => self.wrong_brackets(section, item, offset),
                },
            }
        }
    }

    fn read_repeated(&mut self, section: &'static Section, item: &Item, offset: usize) {
        let tables: Vec<&dyn TableLike> = match item {
            Item::ArrayOfTables(tables) => tables.iter().map(|table| table as &dyn TableLike).collect(),
            Item::Value(Value::Array(values)) => values
                .iter()
                .filter_map(Value::as_inline_table)
                .map(|table| table as &dyn TableLike)
                .collect(),
            _ => Vec::new(),
        };
        if tables.is_empty() {
            return self.wrong_brackets(section, item, offset);
        }
        let headers = header_lines(&self.parsed.text, section.name);
        self.content.rows.insert(section.name, tables.len());
        for (i, table) in tables.into_iter().enumerate() {
            let address = format!("{}[{}]", section.name, i + 1);
            let start = headers.get(i).copied().unwrap_or(offset);
            self.read_table(section, &address, table, start);
        }
    }

    fn read_table(&mut self, section: &'static Section, address: &str, table: &dyn TableLike, offset: usize) {
        let (line, _) = self.parsed.place(offset);
        self.content.sections.insert(address.to_owned(), line);
        for (name, item) in table.iter() {
            let key_at = table.key(name).and_then(toml_edit::Key::span).map_or(offset, |span| span.start);
            let Some(field) = section.fields.iter().find(|field| field.name() == name) else {
                self.unknown_key(section, address, name, key_at);
                continue;
            };
            let full = format!("{address}.{name}");
            if field.kind == FieldKind::Changes
                && let Some(changes) = item.as_table_like()
            {
                self.read_changes_entry(&full, item, changes, key_at);
                continue;
            }
            match item {
                Item::Value(value) => self.read_value(field, &full, value, key_at),
                _ => {
                    let problem = format!("{} is a single value, not a section", field.label);
                    self.fault(
                        key_at,
                        &full,
                        name,
                        problem,
                        format!("Write {name} = \"{}\".", field.example),
                    );
                }
            }
        }
    }

    fn read_value(&mut self, field: &'static Field, address: &str, value: &Value, key_at: usize) {
        let span = value.span().unwrap_or(key_at..key_at);
        let raw = self.parsed.text.get(span.clone()).unwrap_or_default().trim().to_owned();
        let text = value.as_str().map_or_else(|| raw.clone(), str::to_owned);
        // An empty value is one that is not filled in yet.
        if text.trim().is_empty() {
            if field.presence == Presence::Required {
                let advice = format!("{} Write {}.", field.help, assignment(field));
                self.fault(span.start, address, &raw, format!("{} is not filled in", field.label), advice);
            }
            self.blank.push(address.to_owned());
            return;
        }
        let (line, column) = self.parsed.place(span.start);
        if is_not_known(&text) && field.kind != FieldKind::Text {
            if field.presence == Presence::Required {
                let advice = format!("{} Write {}.", field.help, assignment(field));
                let problem = format!("nothing can be computed without {}", field.label);
                self.fault(span.start, address, &raw, problem, advice);
            }
            let entry = Entry { said: Said::NotKnown, text, line, column, span };
            self.content.entries.insert(address.to_owned(), entry);
            return;
        }
        let said = match self.read_checked(field, address, value, &text, span.start) {
            Some(Said::Number(stated)) => Said::Number(Stated { line: Some(line), ..stated }),
            Some(other) => other,
            None => Said::Unreadable,
        };
        self.content.entries.insert(address.to_owned(), Entry { said, text, line, column, span });
    }

    fn read_changes_entry(&mut self, address: &str, item: &Item, changes: &dyn TableLike, key_at: usize) {
        let span = item.span().unwrap_or(key_at..key_at);
        let text = self.parsed.text.get(span.clone()).unwrap_or_default().trim().to_owned();
        let (line, column) = self.parsed.place(span.start);
        let said = self.read_changes(address, changes, span.start);
        self.content.entries.insert(address.to_owned(), Entry { said, text, line, column, span });
    }

    /// What `value` says, its range looked at; `None` when it cannot be read. Faults stand at `offset`.
    pub(super) fn read_checked(
        &mut self,
        field: &Field,
        address: &str,
        value: &Value,
        text: &str,
        offset: usize,
    ) -> Option<Said> {
        let raw = value.span().and_then(|span| self.parsed.text.get(span)).unwrap_or(text).trim().to_owned();
        let said = match self.read_said(field, value, text) {
            Ok(said) => said,
            Err((problem, advice)) => {
                self.fault(offset, address, &raw, problem, advice);
                return None;
            }
        };
        // A number that TOML itself writes has no commas, and its point marks decimals.
        if matches!(said, Said::Number(_))
            && value.is_str()
            && let Some([decimals, thousands]) = two_readings(text, field)
        {
            let problem = format!("\"{text}\" may mean {decimals} or {thousands}");
            let advice = format!("Write {decimals} or {thousands}, whichever is meant.");
            self.fault(offset, address, &raw, problem, advice);
            if let (Some(last), Said::Number(stated)) = (self.faults.last_mut(), &said) {
                last.severity = Severity::Doubt;
                self.content.twofold.push(last.clone());
                last.problem += &format!("; it is taken as {}", field.value_text(stated.value_si));
            }
        }
        if let Said::Number(stated) = &said
            && let Some((severity, problem, advice)) = range_fault(field, stated.value_si)
        {
            self.fault(offset, address, &raw, problem, advice);
            if let Some(last) = self.faults.last_mut() {
                last.severity = severity;
            }
        }
        Some(said)
    }

    /// The text that is read.
    pub(super) fn source_text(&self) -> &str {
        &self.parsed.text
    }

    /// What `value` says, or what is wrong and what to do.
    fn read_said(&self, field: &Field, value: &Value, text: &str) -> Result<Said, (String, String)> {
        match field.kind {
            FieldKind::Quantity(_) | FieldKind::Integer => read_number_value(field, value, text),
            FieldKind::Choice(choices) => read_choice(field, choices, text),
            FieldKind::Text if value.is_str() => Ok(Said::Text(text.to_owned())),
            FieldKind::Text => {
                Err((format!("{} is text", field.label), format!("Put it in quotes: \"{text}\".")))
            }
            FieldKind::Date if is_calendar_day(text) => Ok(Said::Text(text.to_owned())),
            FieldKind::Date => Err(match readings(text).as_slice() {
                [one, other] => (
                    format!("\"{text}\" may be {one} or {other}"),
                    format!("Write {one} or {other}, whichever is meant."),
                ),
                _ => (
                    format!("\"{text}\" is no day of the calendar"),
                    format!("Write year, month, day like {}.", field.example),
                ),
            }),
            FieldKind::Changes => Err((
                "the changes are fields with their values".to_owned(),
                format!("Write {}.", assignment(field)),
            )),
            FieldKind::Flag => match text.to_ascii_lowercase().as_str() {
                "true" | "yes" => Ok(Said::Flag(true)),
                "false" | "no" => Ok(Said::Flag(false)),
                _ => Err((format!("{} is yes or no", field.label), "Write true or false.".to_owned())),
            },
        }
    }

    fn check_presence(&mut self) {
        let last_line = self.parsed.text.lines().count().max(1);
        for section in SECTIONS.iter().filter(|section| section.is_required) {
            if !self.content.sections.contains_key(section.name) {
                let advice = format!("Begin it with [{}]: {}", section.name, section.help);
                self.fault_at((last_line, 1), section.name, "", "the section is missing".to_owned(), advice);
            }
        }
        if let Some(&line) = self.content.sections.get(field::hull::SECTION) {
            let beams = [field::hull::BEAM_OVERALL, field::hull::BEAM_WATERLINE];
            let is_typed = |key: &&str| {
                self.parsed.broken.iter().any(|(broken, _)| broken == key)
                    || self.content.entries.get(*key).is_some_and(|entry| entry.said != Said::NotKnown)
            };
            if !beams.iter().any(is_typed) {
                let advice =
                    "Write beam_overall = \"3.95 m\", her greatest width, or beam_waterline.".to_owned();
                self.fault_at((line, 1), beams[0], "", "beam overall is missing".to_owned(), advice);
            }
        }
        for (address, line) in self.content.sections.clone() {
            let Some(section) = section_named(address.split('[').next().unwrap_or_default()) else {
                continue;
            };
            for field in section.fields.iter().filter(|field| field.presence == Presence::Required) {
                let full = format!("{address}.{}", field.name());
                let is_broken =
                    self.parsed.broken.iter().any(|(key, _)| *key == full) || self.blank.contains(&full);
                if !is_broken && !self.content.entries.contains_key(&full) {
                    let problem = format!("{} is missing", field.label);
                    let advice = format!("{} Write {}.", field.help, assignment(field));
                    self.fault_at((line, 1), &full, "", problem, advice);
                }
            }
        }
    }

    fn unknown_section(&mut self, name: &str, item: &Item, offset: usize) {
        let homes: Vec<&Field> = all_fields().filter(|field| field.name() == name).collect();
        if let (Some(home), false) = (homes.first(), item.is_table_like()) {
            let problem = format!("{name} stands outside any section");
            return self.fault(offset, name, name, problem, format!("Move it under [{}].", home.section()));
        }
        let names = SECTIONS.iter().map(|section| section.name);
        let advice = match nearest(name, names.clone()) {
            Some(meant) => format!("Did you mean {meant}?"),
            None => format!("Sections: {}.", names.collect::<Vec<_>>().join(", ")),
        };
        self.fault(offset, name, name, format!("there is no section {name}"), advice);
    }

    fn unknown_key(&mut self, section: &Section, address: &str, name: &str, offset: usize) {
        let own = section.fields.iter().map(Field::name);
        // Guessing what was meant takes its time; a text that is no boat document is not worth it.
        let is_hopeless = self.faults.len() > MOST_GUESSES;
        let advice = if is_hopeless {
            format!("`wakewright fields` lists those of {}.", section.name)
        } else if let Some(meant) = nearest(&name.replace('-', "_"), own.clone()) {
            format!("Did you mean {meant}?")
        } else if let Some(home) = all_fields().find(|field| field.name() == name) {
            format!("It belongs under [{}].", home.section())
        } else {
            format!("Fields of {}: {}.", section.name, own.collect::<Vec<_>>().join(", "))
        };
        let problem = format!("there is no field {name} in {}", section.name);
        self.fault(offset, &format!("{address}.{name}"), name, problem, advice);
    }

    fn wrong_brackets(&mut self, section: &Section, item: &Item, offset: usize) {
        let wanted =
            if section.is_repeated { format!("[[{}]]", section.name) } else { format!("[{}]", section.name) };
        let problem = match (item.is_value(), section.is_repeated) {
            (true, _) => format!("{} is a section, not a value", section.name),
            (false, true) => format!("there may be several of {}: it takes two brackets", section.name),
            (false, false) => format!("there is only one {}: it takes one bracket", section.name),
        };
        self.fault(offset, section.name, section.name, problem, format!("Write {wanted}."));
    }

    pub(super) fn fault(&mut self, offset: usize, field: &str, found: &str, problem: String, advice: String) {
        self.fault_at(self.parsed.place(offset), field, found, problem, advice);
    }

    fn fault_at(&mut self, place: (usize, usize), field: &str, found: &str, problem: String, advice: String) {
        self.faults.push(Fault {
            line: place.0,
            column: place.1,
            field: field.to_owned(),
            found: found.to_owned(),
            problem,
            advice,
            severity: Severity::Error,
            also: Vec::new(),
        });
    }
}

fn assignment(field: &Field) -> String {
    format!("{} = {}", field.name(), field.literal(field.example))
}

fn read_number_value(field: &Field, value: &Value, text: &str) -> Result<Said, (String, String)> {
    let plain = value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64));
    let Some(quantity) = field.quantity() else {
        let (unmarked, origin) = split_marks(text).map_err(|error| explain(&error, field))?;
        let whole = unmarked.trim().parse::<i32>().map_err(|_| {
            (format!("\"{text}\" is not a whole number"), format!("Write {}.", assignment(field)))
        })?;
        let value_si = f64::from(whole);
        let origin = origin.unwrap_or_else(|| field.usual_origin());
        let spread = usual_band(field, origin, value_si);
        return Ok(Said::Number(Stated { value_si, origin, spread, text: text.to_owned(), line: None }));
    };
    if plain.is_none() && !value.is_str() {
        return Err((
            format!("{} is a number with its unit", field.label),
            format!("Write {}.", assignment(field)),
        ));
    }
    read_stated(text, field, quantity).map(Said::Number).map_err(|error| explain(&error, field))
}

fn read_choice(field: &Field, choices: &'static [Choice], text: &str) -> Result<Said, (String, String)> {
    let (unmarked, origin) = split_marks(text).map_err(|error| explain(&error, field))?;
    let plain = |word: &str| word.to_lowercase().replace(['-', '_', ' '], "");
    let typed = plain(unmarked);
    if let Some(choice) = choices.iter().find(|choice| plain(choice.word) == typed) {
        return Ok(Said::Word(choice.word, origin.unwrap_or_else(|| field.usual_origin())));
    }
    let words: Vec<&str> = choices.iter().map(|choice| choice.word).collect();
    // A word of a longer choice ("weed") is as good a hint as a slip of the finger.
    let longer =
        words.iter().copied().find(|word| word.split(' ').any(|part| part.eq_ignore_ascii_case(unmarked)));
    let question = longer
        .or_else(|| nearest(unmarked, words.iter().copied()))
        .map(|meant| format!("Did you mean {meant}? "))
        .unwrap_or_default();
    Err((
        format!("\"{unmarked}\" is no {} known here", field.label),
        format!("{question}Write one of: {}.", words.join(", ")),
    ))
}

fn explain(error: &GrammarError, field: &Field) -> (String, String) {
    match error {
        GrammarError::Quantity(unit) => {
            let advice = match unit {
                UnitError::NoUnit { kind, .. } | UnitError::OtherKind { kind, .. } => format!(
                    "Write a {} with its unit, like {}; units: {}.",
                    kind.dimension().name(),
                    assignment(field),
                    accepted_units(kind.dimension())
                ),
                UnitError::Number { .. } | UnitError::Trailing { .. } => {
                    format!("Write it like {}.", assignment(field))
                }
                _ => unit.advice(),
            };
            (unit.problem(), advice)
        }
        other => {
            let text = other.to_string();
            let (problem, advice) = text.split_once(". ").unwrap_or((&text, ""));
            let stop = if advice.is_empty() || advice.ends_with(['.', '?']) { "" } else { "." };
            (problem.to_owned(), format!("{advice}{stop}"))
        }
    }
}

/// A value as usual, or with more digits where those would make another of it: 2.5 rpm are not 3.
fn exact_enough(field: &Field, value_si: f64) -> String {
    const NEAR: f64 = 0.05;
    let text = field.value_text(value_si);
    match field.kind {
        FieldKind::Quantity(kind)
            if wakewright_units::parse_quantity(&text, kind)
                .is_ok_and(|read| (read - value_si).abs() > NEAR * value_si.abs()) =>
        {
            format_quantity(value_si, kind, UnitSystem::Trade, Digits::Significant(3))
        }
        _ => text,
    }
}

/// A value that cannot be, or is unusual.
fn range_fault(field: &Field, value_si: f64) -> Option<(Severity, String, String)> {
    let outside = |(low, high): (f64, f64)| {
        // A limit itself is allowed, whatever the last digit of its conversion.
        let room = 1e-9 * low.abs().max(high.abs());
        value_si < low - room || value_si > high + room
    };
    let value = exact_enough(field, value_si);
    if let Some(range) = field.possible.filter(|range| outside(*range)) {
        return Some((
            Severity::Error,
            format!("{} cannot be {value}", field.label),
            format!("Possible is {}; check the number and its unit.", field.range_text(range)),
        ));
    }
    let range = field.usual.filter(|range| outside(*range))?;
    Some((
        Severity::Doubt,
        format!("{} of {value} is unusual", field.label),
        format!("Usual is {}; leave it if it is right.", field.range_text(range)),
    ))
}

/// Offsets of the lines `[[name]]`.
fn header_lines(text: &str, name: &str) -> Vec<usize> {
    let mut offset = 0;
    let mut found = Vec::new();
    for line in text.split_inclusive('\n') {
        if super::syntax::header_name(line) == Some((name, true)) {
            found.push(offset);
        }
        offset += line.len();
    }
    found
}
