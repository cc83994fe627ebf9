//! Adding, changing, moving and taking out whole alternatives, leaving every other letter of the
//! document alone. Not for: what an alternative may say (`alternatives.rs`).

use toml_edit::{DocumentMut, InlineTable, Item, Table, TableLike, Value, value};

use super::alternatives::{Alternative, Change};
use super::document::BoatDocument;
use super::fault::{Fault, Severity};
use super::fields::field_named;

impl BoatDocument {
    /// The document with a further alternative at its end; remarks and layout stay.
    ///
    /// # Errors
    /// The faults, when the changes cannot be made or the name is taken.
    pub fn with_alternative(&self, wanted: &Alternative) -> Result<Self, Vec<Fault>> {
        let quoted = |text: &str| Value::from(text).to_string().trim().to_owned();
        let changes: Vec<String> = wanted
            .changes
            .iter()
            .map(|change| format!("{} = {}", quoted(&change.address), literal(change)))
            .collect();
        let mut lines = vec!["[[alternative]]".to_owned(), format!("name = {}", quoted(&wanted.name))];
        lines.extend(wanted.note.as_deref().map(|note| format!("note = {}", quoted(note))));
        lines.extend(wanted.cost.as_ref().map(|cost| format!("cost = {}", quoted(&cost.text))));
        lines.push(format!("changes = {{ {} }}", changes.join(", ")));
        let newline = self.newline();
        Self::parse(&format!(
            "{}{newline}{newline}{}{newline}",
            self.to_toml().trim_end(),
            lines.join(newline)
        ))
    }

    /// The document with alternative `number` (from 1) saying what is `wanted`; the masses that it moves
    /// follow its name.
    ///
    /// # Errors
    /// The faults, when the changes cannot be made, the name is taken, or there is no such alternative.
    pub fn with_alternative_changed(&self, number: usize, wanted: &Alternative) -> Result<Self, Vec<Fault>> {
        let unreachable = || vec![elsewhere(number)];
        let mut tree: DocumentMut = self.to_toml().parse().map_err(|_| unreachable())?;
        let table = row_of(&mut tree, "alternative", number).ok_or_else(unreachable)?;
        let before = table.get("name").and_then(Item::as_str).unwrap_or_default().to_owned();
        put_text(table, "name", Some(&wanted.name));
        put_text(table, "note", wanted.note.as_deref());
        put_text(table, "cost", wanted.cost.as_ref().map(|cost| cost.text.as_str()));
        put_changes(table, &wanted.changes);
        if before != wanted.name {
            for mass in 1..=self.rows("mass").len() {
                let Some(mass) = row_of(&mut tree, "mass", mass) else { continue };
                if mass.get("alternative").and_then(Item::as_str) == Some(&before) {
                    put_text(mass, "alternative", Some(&wanted.name));
                }
            }
        }
        Self::parse(&tree.to_string())
    }

    /// The document without alternative `number` (from 1) and the masses that it moves.
    ///
    /// # Errors
    /// There is no such alternative, or it has no lines of its own.
    pub fn without_alternative(&self, number: usize) -> Result<Self, Vec<Fault>> {
        let unreachable = || vec![elsewhere(number)];
        let index = number.checked_sub(1).ok_or_else(unreachable)?;
        let name = self.alternatives().get(index).ok_or_else(unreachable)?.name.clone();
        let is_its = |row: &super::document::Row<'_>| row.text("alternative").as_deref() == Some(&name);
        let masses: Vec<String> =
            self.rows("mass").iter().filter(|row| is_its(row)).map(|row| row.address().to_owned()).collect();
        let mut text = self.without_section(&format!("alternative[{number}]")).ok_or_else(unreachable)?;
        for mass in masses.iter().rev() {
            // Masses without their alternative are a fault, so this step cannot be judged by itself.
            let (document, _) = Self::parse_lenient(&text);
            text = document.and_then(|document| document.without_section(mass)).ok_or_else(unreachable)?;
        }
        Self::parse(&text)
    }

    /// The document with alternatives `first` and `second` (from 1) in each other's place.
    ///
    /// # Errors
    /// There is no such alternative, or it has no lines of its own.
    pub fn with_alternatives_exchanged(&self, first: usize, second: usize) -> Result<Self, Vec<Fault>> {
        let address = |number: usize| format!("alternative[{number}]");
        let text = self
            .with_sections_exchanged(&address(first), &address(second))
            .ok_or_else(|| vec![elsewhere(first.max(second))])?;
        Self::parse(&text)
    }
}

fn elsewhere(number: usize) -> Fault {
    Fault {
        line: 1,
        column: 1,
        field: format!("alternative[{number}]"),
        found: String::new(),
        problem: "there is no [[alternative]] of this number with lines of its own".to_owned(),
        advice: "Change it in the text of the document.".to_owned(),
        severity: Severity::Error,
        also: Vec::new(),
    }
}

fn row_of<'t>(tree: &'t mut DocumentMut, section: &str, number: usize) -> Option<&'t mut Table> {
    tree.get_mut(section)?.as_array_of_tables_mut()?.get_mut(number.checked_sub(1)?)
}

/// The value of a change as it is written in the file.
fn literal(change: &Change) -> String {
    field_named(&change.address)
        .map_or_else(|| Value::from(change.text.as_str()).to_string(), |field| field.literal(&change.text))
        .trim()
        .to_owned()
}

/// Sets or takes out a text; what stands around an old value stays.
fn put_text(table: &mut Table, key: &str, text: Option<&str>) {
    match text {
        None => {
            table.remove(key);
        }
        Some(text) => put_value(table, key, Value::from(text)),
    }
}

fn put_value(table: &mut dyn TableLike, key: &str, new: Value) {
    match table.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) if old.as_str().is_some() && old.as_str() == new.as_str() => {}
        Some(old) => {
            let decor = old.decor().clone();
            *old = new;
            *old.decor_mut() = decor;
        }
        None => {
            table.insert(key, value(new));
        }
    }
}

/// Makes `changes` the changes of the alternative. A key that is written with dots outside quotes has
/// tables of its own; it is written anew.
fn put_changes(table: &mut Table, changes: &[Change]) {
    let read = |change: &Change| {
        literal(change).parse::<Value>().unwrap_or_else(|_| Value::from(change.text.as_str()))
    };
    let is_flat = table
        .get("changes")
        .and_then(Item::as_table_like)
        .is_some_and(|old| old.iter().all(|(_, item)| !item.is_table_like()));
    if !is_flat {
        let mut fresh = InlineTable::new();
        for change in changes {
            fresh.insert(&change.address, read(change));
        }
        table.insert("changes", value(fresh));
        return;
    }
    let Some(old) = table.get_mut("changes").and_then(Item::as_table_like_mut) else { return };
    let known: Vec<String> = old.iter().map(|(key, _)| key.to_owned()).collect();
    for key in known.iter().filter(|key| !changes.iter().any(|change| change.address == **key)) {
        old.remove(key);
    }
    for change in changes {
        put_value(old, &change.address, read(change));
    }
}

#[cfg(test)]
mod tests {
    use super::super::alternatives::parse_cost;
    use super::*;

    const DEMO: &str = include_str!("../../../../examples/sea_campion.toml");

    fn demo() -> BoatDocument {
        BoatDocument::parse(DEMO).unwrap()
    }

    fn names(document: &BoatDocument) -> Vec<String> {
        document.alternatives().into_iter().map(|alternative| alternative.name).collect()
    }

    #[test]
    fn an_alternative_is_changed_and_nothing_else() {
        let mut wanted = demo().alternatives().swap_remove(2);
        wanted.name = "320 \"A\"".to_owned();
        wanted.note = None;
        wanted.cost = parse_cost("2,100 EUR");
        wanted.changes.remove(1);
        wanted.changes.push(Change::new("reduction.ratio", "2.5:1"));
        let changed = demo().with_alternative_changed(3, &wanted).unwrap();
        assert_eq!(changed.alternatives()[2].name, wanted.name);
        assert_eq!(changed.alternatives()[2].cost, wanted.cost);
        assert_eq!(changed.alternatives()[2].note, None);
        let text = |document: &BoatDocument| {
            let changes = document.alternatives().swap_remove(2).changes;
            changes
                .into_iter()
                .map(|change| format!("{}={}", change.address, change.text))
                .collect::<Vec<_>>()
        };
        assert_eq!(text(&changed), ["controller.phase_current=320 A", "reduction.ratio=2.5:1"]);
        assert_eq!(changed.rows("mass")[0].text("alternative").as_deref(), Some("320 \"A\""));
        let same = changed.to_toml().lines().filter(|line| DEMO.contains(line)).count();
        assert!(same + 6 >= DEMO.lines().count(), "{}", changed.to_toml());
    }

    #[test]
    fn saying_the_same_changes_no_letter() {
        for (number, wanted) in (1..).zip(demo().alternatives()) {
            assert_eq!(demo().with_alternative_changed(number, &wanted).unwrap().to_toml(), DEMO);
        }
    }

    #[test]
    fn an_alternative_goes_with_its_masses_and_comes_at_the_end() {
        let gone = demo().without_alternative(3).unwrap();
        assert_eq!(names(&gone), ["3:1 pulleys", "re-pitch to 13 in"]);
        let of_alternatives =
            gone.rows("mass").iter().filter(|row| row.text("alternative").is_some()).count();
        assert_eq!(of_alternatives, 1);
        assert!(!gone.to_toml().contains("alternative.changes"), "{}", gone.to_toml());
        let wanted = demo().alternatives().swap_remove(2);
        let back = gone.with_alternative(&wanted).unwrap();
        assert_eq!(names(&back), names(&demo()));
        assert_eq!(back.alternatives()[2].note, wanted.note);
        assert!(demo().without_alternative(4).is_err() && demo().without_alternative(0).is_err());
        assert!(demo().with_alternative(&wanted).is_err(), "the name is taken");
    }

    #[test]
    fn alternatives_change_places_in_lines_of_either_end() {
        for text in [DEMO.to_owned(), DEMO.replace('\n', "\r\n")] {
            let document = BoatDocument::parse(&text).unwrap();
            let moved = document.with_alternatives_exchanged(3, 2).unwrap();
            assert_eq!(names(&moved), ["3:1 pulleys", "320 A controller", "re-pitch to 13 in"]);
            let back = moved.with_alternatives_exchanged(2, 3).unwrap();
            assert_eq!(back.to_toml(), text);
            assert!(document.with_alternatives_exchanged(3, 4).is_err());
        }
    }

    #[test]
    fn dotted_keys_are_written_anew() {
        let text = DEMO.replace("{ \"reduction.ratio\" = \"3:1\" }", "{ reduction.ratio = \"3:1\" }");
        let document = BoatDocument::parse(&text).unwrap();
        let mut wanted = document.alternatives().swap_remove(0);
        wanted.changes[0].text = "2.8:1".to_owned();
        let changed = document.with_alternative_changed(1, &wanted).unwrap();
        assert_eq!(changed.alternatives()[0].changes[0].text, "2.8:1");
    }
}
