//! The boat document as a whole: reading, asking, writing back.
//! Not for: estimating what is not stated (that is the computation's business).

use wakewright_core::drive::ReductionKind;
use wakewright_core::notice::Notice;

use super::choice::Chosen;
use super::contradictions::check_contradictions;
use super::descriptor::{FieldKind, Presence};
use super::edit::{EditError, edited};
use super::fault::{Fault, Severity, put_in_order};
use super::fields::{field_named, section_named};
use super::file::{beyond_bounds, with_line_feeds};
use super::guess::{Guesses, fill_guesses};
use super::reading::{Content, Entry, Said, read_content};
use super::stated::{Origin, Stated, read_stated, usual_band};
use super::syntax::parse_with_recovery;
use wakewright_core::field;

/// One boat, as written, with every readable field.
///
/// Fields are asked for by address: `hull.draught`; in sections that may stand several times,
/// counted from 1, `pack[2].capacity`.
#[derive(Debug, Clone, PartialEq)]
pub struct BoatDocument {
    pub(super) source: String,
    pub(super) content: Content,
    /// What stands for figures that are not known.
    pub(super) guesses: Guesses,
    doubts: Vec<Fault>,
    /// What was found without the alternatives.
    pub(super) own_faults: Vec<Fault>,
}

/// The group of packs from which the motor runs.
pub(super) const DRIVE_GROUP: &str = "drive";

/// One of several sections of the same name.
#[derive(Debug, Clone)]
pub struct Row<'a> {
    document: &'a BoatDocument,
    address: String,
}

impl BoatDocument {
    /// Reads a document.
    ///
    /// # Errors
    /// Every fault at once, doubts among them, in the order of their lines.
    pub fn parse(text: &str) -> Result<Self, Vec<Fault>> {
        match Self::parse_lenient(text) {
            (Some(document), faults) if faults.iter().all(|fault| fault.severity == Severity::Doubt) => {
                Ok(document)
            }
            (_, faults) => Err(faults),
        }
    }

    /// Reads what can be read: the text is kept as typed, good fields can be asked for. `None`
    /// only when the text is no TOML at all.
    #[must_use]
    pub fn parse_lenient(text: &str) -> (Option<Self>, Vec<Fault>) {
        let (document, mut faults) = Self::parse_alone(text);
        let Some(mut document) = document else { return (None, faults) };
        let found = document.check_alternatives(&faults);
        faults.extend(found);
        put_in_order(&mut faults);
        document.doubts = faults.iter().filter(|fault| fault.severity == Severity::Doubt).cloned().collect();
        (Some(document), faults)
    }

    /// As [`Self::parse_lenient`], without trying the alternatives.
    pub(super) fn parse_alone(text: &str) -> (Option<Self>, Vec<Fault>) {
        if let Some(fault) = beyond_bounds(text) {
            return (None, vec![fault]);
        }
        let text = &*with_line_feeds(text);
        let mut faults = Vec::new();
        let Some(parsed) = parse_with_recovery(text, &mut faults) else {
            put_in_order(&mut faults);
            return (None, faults);
        };
        let mut content = read_content(&parsed, &mut faults);
        content.is_as_typed = parsed.text.len() == text.len();
        let mut document = Self {
            source: text.to_owned(),
            content,
            guesses: Guesses::new(),
            doubts: Vec::new(),
            own_faults: Vec::new(),
        };
        faults.extend(check_contradictions(&document));
        fill_guesses(&mut document);
        put_in_order(&mut faults);
        document.own_faults.clone_from(&faults);
        (Some(document), faults)
    }

    /// What is possible but unusual.
    #[must_use]
    pub fn doubts(&self) -> &[Fault] {
        &self.doubts
    }

    /// Doubts about numbers that can be read in two ways; they stand above every answer.
    #[must_use]
    pub fn doubtful_values(&self) -> Vec<Fault> {
        self.doubts
            .iter()
            .filter(|doubt| {
                self.content
                    .twofold
                    .iter()
                    .any(|two| two.field == doubt.field && doubt.problem.starts_with(&two.problem))
            })
            .cloned()
            .collect()
    }

    /// Faults of numbers that can be read in two ways and were typed since `before`: what stood there
    /// already keeps its value, what is new has to be written so that it has one.
    #[must_use]
    pub fn doubtful_since(&self, before: Option<&Self>) -> Vec<Fault> {
        // Rows may have been moved, so a row's number tells nothing.
        let key = |fault: &Fault| {
            let outside = |part: &str| part.split_once(']').map_or(part, |(_, behind)| behind).to_owned();
            (fault.field.split('[').map(outside).collect::<String>(), fault.found.clone())
        };
        let doubtful =
            |document: &Self| [document.content.twofold.clone(), document.doubtful_costs()].concat();
        let found = doubtful(self);
        if found.is_empty() {
            return found;
        }
        let known: Vec<_> = before.map(doubtful).iter().flatten().map(key).collect();
        let is_new = |fault: &Fault| !known.contains(&key(fault));
        let refused = |fault: Fault| Fault { severity: Severity::Error, ..fault };
        found.into_iter().filter(is_new).map(refused).collect()
    }

    /// The text of the document.
    #[must_use]
    pub fn to_toml(&self) -> &str {
        &self.source
    }

    /// The number at `address`: as stated, else the field's usual value (assumed, without a line).
    /// `None` when it is neither stated nor has a usual value.
    #[must_use]
    pub fn number(&self, address: &str) -> Option<Stated> {
        match self.content.entries.get(address) {
            Some(Entry { said: Said::Number(stated), .. }) => Some(stated.clone()),
            Some(Entry { said: Said::NotKnown, .. }) | None => match self.guesses.get(address) {
                Some(Said::Number(stated)) => Some(stated.clone()),
                _ => usual_number(address),
            },
            Some(_) => None,
        }
    }

    /// The number at `address` only if it is written in the document.
    #[must_use]
    pub fn stated_number(&self, address: &str) -> Option<Stated> {
        self.number(address).filter(|stated| stated.line.is_some())
    }

    /// The whole number at `address`, or its usual value.
    #[must_use]
    pub fn integer(&self, address: &str) -> Option<u32> {
        // Limits of every whole-number field lie far inside u32.
        self.number(address).filter(|stated| stated.value_si >= 0.0).map(|stated| stated.value_si as u32)
    }

    /// The word chosen at `address`, or the usual one.
    #[must_use]
    pub fn choice(&self, address: &str) -> Option<&'static str> {
        match self.content.entries.get(address) {
            Some(Entry { said: Said::Word(word, _), .. }) => Some(word),
            Some(Entry { said: Said::NotKnown, .. }) | None => match self.guesses.get(address) {
                Some(Said::Word(word, _)) => Some(word),
                _ => default_text(address).filter(|_| {
                    field_named(address).is_some_and(|field| matches!(field.kind, FieldKind::Choice(_)))
                }),
            },
            Some(_) => None,
        }
    }

    /// What the word at `address` stands for, or the usual one.
    #[must_use]
    pub fn chosen<T: Chosen>(&self, address: &str) -> Option<T> {
        let is_its_own = |kind: FieldKind| matches!(kind, FieldKind::Choice(words) if words == T::CHOICES);
        debug_assert!(field_named(address).is_some_and(|field| is_its_own(field.kind)), "{address}");
        self.choice(address).and_then(T::of_word)
    }

    /// The number at `address`, without which nothing can be said.
    /// # Errors
    /// The fault, where it is neither stated nor has a usual value.
    pub(super) fn needed(&self, address: &str) -> Result<f64, Vec<Fault>> {
        let missing = || Fault {
            line: self.line(address).unwrap_or_else(|| self.source.lines().count().max(1)),
            column: 1,
            field: address.to_owned(),
            found: String::new(),
            problem: "the field is missing".to_owned(),
            advice: field_named(address).map_or_else(String::new, |field| field.help.to_owned()),
            severity: Severity::Error,
            also: Vec::new(),
        };
        self.number(address).map(|stated| stated.value_si).ok_or_else(|| vec![missing()])
    }

    /// The text (or day) at `address`, or the usual one.
    #[must_use]
    pub fn text(&self, address: &str) -> Option<&str> {
        match self.content.entries.get(address) {
            Some(Entry { said: Said::Text(text), .. }) => Some(text),
            Some(Entry { said: Said::NotKnown, .. }) | None => default_text(address),
            Some(_) => None,
        }
    }

    /// Yes or no at `address`, or the usual answer.
    #[must_use]
    pub fn flag(&self, address: &str) -> Option<bool> {
        match self.content.entries.get(address) {
            Some(Entry { said: Said::Flag(flag), .. }) => Some(*flag),
            Some(Entry { said: Said::NotKnown, .. }) | None => {
                default_text(address).map(|text| text == "true")
            }
            Some(_) => None,
        }
    }

    /// Nothing is written at `address`, or that it is not known.
    pub(super) fn is_open(&self, address: &str) -> bool {
        self.content.entries.get(address).is_none_or(|entry| entry.said == Said::NotKnown)
    }

    /// An estimate stands at `address` because its value is not known.
    #[must_use]
    pub fn is_guessed(&self, address: &str) -> bool {
        self.guesses.contains_key(address)
    }

    /// A remark for each field that is not known: what stands for it.
    pub(super) fn guess_notices(&self) -> Vec<Notice> {
        let is_direct = self.chosen(field::reduction::KIND) == Some(ReductionKind::Direct);
        let notice = |(address, said): (&String, &Said)| {
            let field = field_named(address)?;
            // A motor on the shaft turns with it: nothing is estimated.
            if is_direct && address == field::reduction::RATIO && !self.is_guessed(field::reduction::KIND) {
                return None;
            }
            let words = match said {
                Said::Number(stated) => stated.text.clone(),
                Said::Word(word, _) => (*word).to_owned(),
                _ => return None,
            };
            let Presence::Estimated { how, source } = field.presence else { return None };
            Some(Notice::NotKnown { quantity: field.label, words, basis: how, source })
        };
        // A guess of the volts must not make light of them.
        let volts = Notice::Remark {
            severity: wakewright_core::notice::Severity::Caution,
            text: "The bank's volts are not known and guessed here: measure them before anybody touches a terminal. Above 60 V direct \
                   current can kill (above 30 V where it is wet), whatever is said of the guessed bank.",
            source: "iec60598-2008",
        };
        let volts = (self.is_guessed(field::pack::first::CELLS_IN_SERIES)
            && self.is_open(field::pack::first::VOLTAGE))
        .then_some(volts);
        volts.into_iter().chain(self.guesses.iter().filter_map(notice)).collect()
    }

    /// Where the value at `address` comes from; `None` when nothing readable is written there.
    #[must_use]
    pub fn origin(&self, address: &str) -> Option<Origin> {
        match &self.content.entries.get(address)?.said {
            Said::Number(stated) => Some(stated.origin),
            Said::Word(_, origin) => Some(*origin),
            Said::Text(_) | Said::Flag(_) | Said::Changes(_) => Some(Origin::Chosen),
            Said::Unreadable | Said::NotKnown => None,
        }
    }

    /// What is typed at `address`, readable or not, without quotes.
    #[must_use]
    pub fn typed(&self, address: &str) -> Option<&str> {
        self.content.entries.get(address).map(|entry| entry.text.as_str())
    }

    /// Line of `address` (a field or a section), from 1.
    #[must_use]
    pub fn line(&self, address: &str) -> Option<usize> {
        let entry = self.content.entries.get(address).map(|entry| entry.line);
        entry.or_else(|| self.content.sections.get(address).copied())
    }

    /// Whether the section is there; `pack` stands for any number of packs.
    #[must_use]
    pub fn has_section(&self, name: &str) -> bool {
        self.content.sections.contains_key(name) || self.content.rows.contains_key(name)
    }

    /// The sections of this name that may stand several times, in their order.
    #[must_use]
    pub fn rows(&self, section: &str) -> Vec<Row<'_>> {
        let is_guessed = section == "pack" && self.guesses.contains_key("pack[1].capacity");
        let count = self.content.rows.get(section).copied().unwrap_or(usize::from(is_guessed));
        (1..=count).map(|i| Row { document: self, address: format!("{section}[{i}]") }).collect()
    }

    /// What a computation needs beyond a hull: one fault for each of `sections` that is missing.
    ///
    /// # Errors
    /// The faults, at the end of the document.
    pub fn require(&self, sections: &[&str]) -> Result<(), Vec<Fault>> {
        let last_line = self.source.lines().count().max(1);
        let missing: Vec<Fault> = sections
            .iter()
            .filter(|name| !self.has_section(name))
            .map(|name| Fault {
                line: last_line,
                column: 1,
                field: (*name).to_owned(),
                found: String::new(),
                problem: "the section is missing".to_owned(),
                advice: section_named(name).map_or_else(String::new, |section| {
                    let (open, close) = if section.is_repeated { ("[[", "]]") } else { ("[", "]") };
                    format!("Begin it with {open}{name}{close}: {}", section.help)
                }),
                severity: Severity::Error,
                also: Vec::new(),
            })
            .collect();
        if missing.is_empty() { Ok(()) } else { Err(missing) }
    }

    /// The document with `text` at `address`; remarks and layout stay. An empty text puts the line
    /// behind `#`. A section that is not there yet is added.
    ///
    /// # Errors
    /// The faults of the changed document.
    pub fn set(&self, address: &str, text: &str) -> Result<Self, Vec<Fault>> {
        let changed = Self::parse(&self.with(address, text)?)?;
        let doubtful = changed.doubtful_since(Some(self));
        if doubtful.is_empty() { Ok(changed) } else { Err(doubtful) }
    }

    /// As [`Self::set`], but a faulty value is kept as typed.
    #[must_use]
    pub fn set_lenient(&self, address: &str, text: &str) -> (Option<Self>, Vec<Fault>) {
        match self.with(address, text) {
            Ok(changed) => {
                let (changed, mut faults) = Self::parse_lenient(&changed);
                faults.extend(changed.iter().flat_map(|changed| changed.doubtful_since(Some(self))));
                put_in_order(&mut faults);
                (changed, faults)
            }
            Err(faults) => (Some(self.clone()), faults),
        }
    }

    pub(super) fn with(&self, address: &str, text: &str) -> Result<String, Vec<Fault>> {
        edited(&self.source, &self.content, address, text)
            .map_err(|error| vec![address_fault(address, &error)])
    }

    pub(crate) fn entry(&self, address: &str) -> Option<&Entry> {
        self.content.entries.get(address)
    }
}

impl Row<'_> {
    /// Address of the section: `pack[2]`.
    #[must_use]
    pub fn address(&self) -> &str {
        &self.address
    }

    /// Address of one of its fields, by the field's key: `pack[2].capacity` for `pack.capacity`.
    #[must_use]
    pub fn address_of(&self, key: &str) -> String {
        field::in_row(&self.address, key)
    }

    /// As [`BoatDocument::number`].
    #[must_use]
    pub fn number(&self, name: &str) -> Option<Stated> {
        self.document.number(&self.address_of(name))
    }

    /// As [`BoatDocument::stated_number`].
    #[must_use]
    pub fn stated_number(&self, name: &str) -> Option<Stated> {
        self.document.stated_number(&self.address_of(name))
    }

    /// As [`BoatDocument::integer`].
    #[must_use]
    pub fn integer(&self, name: &str) -> Option<u32> {
        self.document.integer(&self.address_of(name))
    }

    /// As [`BoatDocument::flag`].
    #[must_use]
    pub fn flag(&self, name: &str) -> Option<bool> {
        self.document.flag(&self.address_of(name))
    }

    /// As [`BoatDocument::choice`].
    #[must_use]
    pub fn choice(&self, name: &str) -> Option<&'static str> {
        self.document.choice(&self.address_of(name))
    }

    /// As [`BoatDocument::needed`].
    pub(super) fn needed(&self, name: &str) -> Result<f64, Vec<Fault>> {
        self.document.needed(&self.address_of(name))
    }

    /// Whether this pack is of the group from which the motor runs.
    #[must_use]
    pub fn is_of_drive(&self) -> bool {
        self.text(field::pack::GROUP).is_none_or(|group| group == DRIVE_GROUP)
    }

    /// As [`BoatDocument::chosen`].
    #[must_use]
    pub fn chosen<T: Chosen>(&self, name: &str) -> Option<T> {
        self.document.chosen(&self.address_of(name))
    }

    /// As [`BoatDocument::text`].
    #[must_use]
    pub fn text(&self, name: &str) -> Option<String> {
        self.document.text(&self.address_of(name)).map(str::to_owned)
    }
}

fn default_text(address: &str) -> Option<&'static str> {
    match field_named(address)?.presence {
        Presence::Default(text) => Some(text),
        _ => None,
    }
}

fn usual_number(address: &str) -> Option<Stated> {
    let field = field_named(address)?;
    let text = default_text(address)?;
    match field.kind {
        FieldKind::Quantity(quantity) => {
            let read = read_stated(text, field, quantity).ok()?;
            let spread = usual_band(field, Origin::Assumed, read.value_si);
            Some(Stated { origin: Origin::Assumed, spread, ..read })
        }
        FieldKind::Integer => text.parse().ok().map(|value_si| Stated {
            value_si,
            origin: Origin::Assumed,
            spread: usual_band(field, Origin::Assumed, value_si),
            text: text.to_owned(),
            line: None,
        }),
        _ => None,
    }
}

fn address_fault(address: &str, error: &EditError) -> Fault {
    Fault {
        line: 1,
        column: 1,
        field: address.to_owned(),
        found: String::new(),
        problem: error.to_string(),
        advice: String::new(),
        severity: Severity::Error,
        also: Vec::new(),
    }
}
