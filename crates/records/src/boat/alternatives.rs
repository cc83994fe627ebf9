//! Alternatives: the boat as she is with a few fields changed, checked as a whole document each.
//! Not for: computing what a change gives.

use super::descriptor::Field;
use super::document::{BoatDocument, Row};
use super::fault::{Fault, Severity};
use super::fields::{all_fields, field_named};
use super::reading::{Reader, Said};
use super::stated::split_marks;
use super::syntax::place_of;
use toml_edit::{Item, TableLike, Value};
use wakewright_core::field;
use wakewright_units::{nearest, read_money, read_number};

/// One field with another value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Address of the field: `propeller.pitch`, `pack[1].capacity`.
    pub address: String,
    /// Its value as typed, without quotes.
    pub text: String,
    /// Line and column, from 1; 0 when it does not stand in the document.
    pub place: (usize, usize),
}

impl Change {
    /// A change that does not stand in the document.
    #[must_use]
    pub fn new(address: &str, text: &str) -> Self {
        Self { address: address.to_owned(), text: text.to_owned(), place: (0, 0) }
    }
}

/// An amount of money.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// Amount in the currency.
    pub amount: f64,
    /// Currency as typed: `EUR`, `£`.
    pub currency: String,
    /// Both as typed.
    pub text: String,
}

/// What might be changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    /// A short name of its own.
    pub name: String,
    /// Anything worth remembering.
    pub note: Option<String>,
    /// What it costs.
    pub cost: Option<Cost>,
    /// The fields that differ.
    pub changes: Vec<Change>,
}

/// More alternatives than this are hard to read side by side.
const USUAL_ALTERNATIVES: usize = 6;

/// Sections that an alternative cannot change.
const FIXED: [&str; 3] = ["boat", "alternative", "mass"];

/// Reads `250 EUR`, `EUR 1,900`, `£300`, `~250 EUR`; `None` when there is no amount or no currency.
#[must_use]
pub fn parse_cost(text: &str) -> Option<Cost> {
    let (unmarked, _) = split_marks(text).ok()?;
    let start = unmarked.find(|c: char| c.is_ascii_digit())?;
    let (before, number) = unmarked.split_at(start);
    let (amount, after) = read_number(number).ok()?;
    let (before, after) = (before.trim(), after.trim());
    let currency = match (before.is_empty(), after.is_empty()) {
        (true, false) => after,
        (false, true) => before,
        _ => return None,
    };
    let is_currency =
        currency.chars().count() <= 4 && !currency.contains(|c: char| c.is_ascii_digit() || c == '-');
    (is_currency && amount.is_finite() && amount >= 0.0).then(|| Cost {
        amount,
        currency: currency.to_owned(),
        text: text.to_owned(),
    })
}

/// Why the amount of a cost is not certain: it has other decimals than two (`1.200 EUR`).
#[must_use]
pub fn doubt_of_cost(text: &str) -> Option<String> {
    let start = text.find(|c: char| c.is_ascii_digit())?;
    read_money(&text[start..]).err().map(|error| error.to_string())
}

/// The changes in the text of an inline table; `None` when it is none.
pub(super) fn changes_in(text: &str) -> Option<Vec<Change>> {
    let document = toml_edit::Document::parse(format!("changes = {text}")).ok()?;
    let table = document.as_table().get("changes")?.as_table_like()?;
    let leaves = leaves_of(table, "", 0);
    leaves
        .into_iter()
        .map(|leaf| Some(Change::new(&leaf.address, &typed(leaf.item.as_value()?, ""))))
        .collect()
}

struct Leaf<'a> {
    address: String,
    item: &'a Item,
    offset: usize,
}

/// Every value under `table`; nested tables are dotted keys.
fn leaves_of<'a>(table: &'a dyn TableLike, prefix: &str, offset: usize) -> Vec<Leaf<'a>> {
    let mut leaves = Vec::new();
    for (key, item) in table.iter() {
        let place = table.key(key).and_then(toml_edit::Key::span).map_or(offset, |span| span.start);
        let address = if prefix.is_empty() { key.to_owned() } else { format!("{prefix}.{key}") };
        match item.as_table_like() {
            Some(inner) => leaves.extend(leaves_of(inner, &address, place)),
            None => leaves.push(Leaf { address, item, offset: place }),
        }
    }
    leaves
}

/// The value as typed, without quotes.
fn typed(value: &Value, source: &str) -> String {
    let raw = value.span().and_then(|span| source.get(span)).map(str::to_owned);
    value.as_str().map_or_else(|| raw.unwrap_or_else(|| value.to_string()).trim().to_owned(), str::to_owned)
}

impl Reader<'_> {
    /// Reads the changes of the alternative at `address` (`alternative[2].changes`).
    pub(super) fn read_changes(&mut self, address: &str, table: &dyn TableLike, offset: usize) -> Said {
        let mut changes = Vec::new();
        let source = self.source_text().to_owned();
        for leaf in leaves_of(table, "", offset) {
            let full = format!("{address}.{}", leaf.address);
            let Some(field) = changeable(&leaf.address) else {
                let (problem, advice) = not_changeable(&leaf.address);
                self.fault(leaf.offset, &full, &leaf.address, problem, advice);
                continue;
            };
            let Some(value) = leaf.item.as_value() else {
                let problem = format!("{} is a single value", field.label);
                let advice = format!("Write \"{}\" = {}.", leaf.address, field.literal(field.example));
                self.fault(leaf.offset, &full, &leaf.address, problem, advice);
                continue;
            };
            let text = typed(value, &source);
            let at = value.span().map_or(leaf.offset, |span| span.start);
            if self.read_checked(field, &full, value, &text, at).is_some() {
                changes.push(Change { address: leaf.address, text, place: place_of(&source, at) });
            }
        }
        if changes.is_empty() && table.is_empty() {
            let problem = "the alternative changes nothing".to_owned();
            let advice =
                "Name a field with its new value, like { \"propeller.pitch\" = \"10 in\" }.".to_owned();
            self.fault(offset, address, "", problem, advice);
        }
        Said::Changes(changes)
    }
}

fn changeable(address: &str) -> Option<&'static Field> {
    field_named(address).filter(|field| !FIXED.contains(&field.section()))
}

fn not_changeable(address: &str) -> (String, String) {
    if field_named(address).is_some() {
        let advice =
            "Name a field of hull, propeller, reduction, motor, controller, packs, bank, sea or use.";
        return (format!("an alternative cannot change {address}"), advice.to_owned());
    }
    let advice = match nearest(address, all_fields().map(|field| field.key)) {
        Some(meant) => format!("Did you mean {meant}?"),
        None => "Name section and field in quotes, like \"propeller.pitch\".".to_owned(),
    };
    (format!("there is no field {address}"), advice)
}

impl BoatDocument {
    /// The alternatives, in their order.
    #[must_use]
    pub fn alternatives(&self) -> Vec<Alternative> {
        self.rows("alternative").iter().map(|row| self.read_alternative(row)).collect()
    }

    fn read_alternative(&self, row: &Row<'_>) -> Alternative {
        Alternative {
            name: row.text("name").unwrap_or_else(|| row.address().to_owned()),
            note: row.text("note"),
            cost: row.text("cost").as_deref().and_then(parse_cost),
            changes: match self.entry(&row.address_of("changes")).map(|entry| &entry.said) {
                Some(Said::Changes(changes)) => changes.clone(),
                _ => Vec::new(),
            },
        }
    }

    /// The boat with the alternative `name` carried out; `None` when there is none of this name.
    ///
    /// # Errors
    /// The faults that the changes bring, at their lines.
    #[must_use = "the document itself stays as it is"]
    pub fn alternative(&self, name: &str) -> Option<Result<Self, Vec<Fault>>> {
        let found = self.alternatives().into_iter().position(|alternative| alternative.name == name)?;
        let alternative = self.alternatives().swap_remove(found);
        Some(self.with_changes(&alternative.changes).map_err(|faults| {
            let place = format!("alternative[{}]", found + 1);
            faults.into_iter().map(|fault| self.placed(fault, &place, &alternative.changes)).collect()
        }))
    }

    /// The document with all `changes` made together and then judged; remarks and layout stay.
    ///
    /// # Errors
    /// The faults of the changed document that this one does not have, at their lines in the changed text.
    pub fn with_changes(&self, changes: &[Change]) -> Result<Self, Vec<Fault>> {
        let (changed, faults) = self.changed(changes, &self.own_faults);
        match changed {
            Some(document) if faults.iter().all(|fault| fault.severity == Severity::Doubt) => Ok(document),
            _ => Err(faults),
        }
    }

    /// The document with all `changes`, and the faults that are not `known` already.
    fn changed(&self, changes: &[Change], known: &[Fault]) -> (Option<Self>, Vec<Fault>) {
        // Each change is read before the next is made, since it may move or add lines; only the last reading
        // is judged.
        let (mut document, mut faults) = (self.clone(), known.to_vec());
        for change in changes {
            match document.with(&change.address, &change.text).map(|text| Self::parse_alone(&text)) {
                Ok((Some(next), found)) => (document, faults) = (next, found),
                Ok((None, faults)) | Err(faults) => return (None, faults),
            }
        }
        let is_new =
            |fault: &Fault| !known.iter().any(|old| old.field == fault.field && old.problem == fault.problem);
        (Some(document), faults.into_iter().filter(is_new).collect())
    }

    /// A fault of a changed document as a fault of the alternative at `place` in this one.
    fn placed(&self, fault: Fault, place: &str, changes: &[Change]) -> Fault {
        let named = std::iter::once(&fault.field).chain(fault.also.iter().map(|(field, _)| field));
        let cause = named.filter_map(|field| changes.iter().find(|change| change.address == *field)).next();
        let header = (self.line(place).unwrap_or(1), 1);
        let (line, column) = cause.map_or(header, |change| change.place);
        let own_line = |field: &str| self.line(field).unwrap_or(0);
        let others =
            std::iter::once(fault.field.clone()).chain(fault.also.iter().map(|(field, _)| field.clone()));
        let also = others
            .filter(|field| !changes.iter().any(|change| change.address == *field))
            .map(|field| (field.clone(), own_line(&field)))
            .collect();
        Fault {
            line,
            column,
            field: format!(
                "{place}.{}",
                cause.map_or(fault.field.as_str(), |change| change.address.as_str())
            ),
            found: cause.map_or_else(String::new, |change| format!("\"{}\"", change.text)),
            also,
            ..fault
        }
    }

    /// Every fault of the alternatives and of the masses that they move, beyond what is `known` of the
    /// document without them.
    pub(super) fn check_alternatives(&self, known: &[Fault]) -> Vec<Fault> {
        let alternatives = self.alternatives();
        let mut faults = Vec::new();
        for (i, alternative) in alternatives.iter().enumerate() {
            let place = format!("alternative[{}]", i + 1);
            let (_, found) = self.changed(&alternative.changes, known);
            faults.extend(found.into_iter().map(|fault| self.placed(fault, &place, &alternative.changes)));
            let cost = format!("{place}.cost");
            if self.text(&cost).is_some_and(|text| parse_cost(text).is_none()) {
                let advice = "Write an amount and its currency, like 250 EUR.";
                faults.push(self.fault_at(&cost, Severity::Error, "the cost cannot be read", advice));
            }
            if alternatives[..i].iter().any(|other| other.name == alternative.name) {
                let advice = "Give each alternative a name of its own.";
                faults.push(self.fault_at(
                    &format!("{place}.name"),
                    Severity::Error,
                    "the name is taken",
                    advice,
                ));
            }
        }
        if alternatives.len() > USUAL_ALTERNATIVES {
            let field = format!("alternative[{}]", USUAL_ALTERNATIVES + 1);
            let problem = format!("{} alternatives are many to read side by side", alternatives.len());
            faults.push(self.fault_at(&field, Severity::Doubt, &problem, "Two to six are usual."));
        }
        faults.extend(self.doubtful_costs());
        faults.extend(self.check_masses(&alternatives));
        faults
    }

    /// Doubts about costs whose amount has two readings.
    pub(super) fn doubtful_costs(&self) -> Vec<Fault> {
        let costs = self.rows("alternative").into_iter().map(|row| row.address_of("cost"));
        costs
            .filter_map(|cost| {
                let text = self.text(&cost).filter(|text| parse_cost(text).is_some())?;
                let problem = doubt_of_cost(text)?;
                let advice = "Write the amount with two decimals or none, like 1200 EUR or 1.20 EUR.";
                Some(self.fault_at(&cost, Severity::Doubt, &problem, advice))
            })
            .collect()
    }

    fn check_masses(&self, alternatives: &[Alternative]) -> Vec<Fault> {
        let mut faults = Vec::new();
        for row in self.rows("mass") {
            let Some(name) = row.text("alternative") else { continue };
            let field = row.address_of("alternative");
            let Some(alternative) = alternatives.iter().find(|alternative| alternative.name == name) else {
                let names: Vec<&str> = alternatives.iter().map(|a| a.name.as_str()).collect();
                let advice = match names.is_empty() {
                    true => "Add an [[alternative]] of this name.".to_owned(),
                    false => format!("Alternatives: {}.", names.join(", ")),
                };
                let problem = format!("there is no alternative \"{name}\"");
                faults.push(self.fault_at(&field, Severity::Error, &problem, &advice));
                continue;
            };
            if alternative.changes.iter().any(|change| change.address == field::hull::DISPLACEMENT) {
                let problem =
                    format!("\"{name}\" already changes hull.displacement: the mass would count twice");
                let advice = "Leave the displacement to the masses, or the masses out.";
                faults.push(self.fault_at(&field, Severity::Error, &problem, advice));
            }
        }
        faults
    }

    fn fault_at(&self, field: &str, severity: Severity, problem: &str, advice: &str) -> Fault {
        let (line, column, found) = match self.entry(field) {
            Some(entry) => (entry.line, entry.column, format!("\"{}\"", entry.text)),
            None => (self.line(field).unwrap_or(1), 1, String::new()),
        };
        Fault {
            line,
            column,
            field: field.to_owned(),
            found,
            problem: problem.to_owned(),
            advice: advice.to_owned(),
            severity,
            also: Vec::new(),
        }
    }
}
