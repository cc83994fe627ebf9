//! The document: entries by their addresses, `item.gland.note`, in TOML that stays as it was written.

use toml_edit::{DocumentMut, Item, Table, value};
use wakewright_core::upkeep::item_named;

/// The kind under which check-ups are kept.
pub const CHECKUP_KIND: &str = "checkup";

/// The longest entry that is taken \[letters\].
pub const LONGEST_ENTRY: usize = 4_000;

/// A field of a test of the bank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TestField {
    /// Its name.
    pub key: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// What to write.
    pub hint: &'static str,
}

/// What is told of a test of the bank, in its order.
pub const TEST_FIELDS: [TestField; 11] = [
    TestField { key: "of", label: "What was tested", hint: "empty: the whole bank" },
    TestField { key: "amps", label: "Current, mean", hint: "20 A ± 1 %" },
    TestField { key: "hours", label: "It flowed for", hint: "4 h 50 min" },
    TestField { key: "begun", label: "Begun", hint: "09:10" },
    TestField { key: "ended", label: "Ended", hint: "14:00" },
    TestField { key: "counted", label: "Counter, where there is one", hint: "97 Ah" },
    TestField { key: "pause", label: "Pause, where it broke off", hint: "none" },
    TestField { key: "from", label: "From", hint: "full, or 90 %" },
    TestField { key: "to", label: "Down to", hint: "cut-off, or 20 %" },
    TestField { key: "temperature", label: "Cells at", hint: "18 °C" },
    TestField { key: "rated", label: "On the label", hint: "empty: as the document says" },
];

/// Plain entries at the front.
const PLAIN: [&str; 3] = ["date", "who", "note"];
/// Entries of an item.
const OF_ITEM: [&str; 3] = ["found", "value", "note"];

/// A check-up as it is written.
#[derive(Debug, Clone, Default)]
pub struct CheckupDocument {
    toml: DocumentMut,
}

impl CheckupDocument {
    /// Of text as it was kept.
    ///
    /// # Errors
    /// In words, with the line: it is no TOML.
    pub fn parse(text: &str) -> Result<Self, String> {
        let toml = text.parse::<DocumentMut>().map_err(|error| error.to_string())?;
        Ok(Self { toml })
    }

    /// An empty one of a day.
    #[must_use]
    pub fn of_day(day: &str) -> Self {
        let mut document = Self::default();
        document.put("date", day);
        document
    }

    /// As it is kept.
    #[must_use]
    pub fn to_toml(&self) -> String {
        self.toml.to_string()
    }

    /// True for an address that a check-up has: `date`, `item.gland.found`, `test.amps`.
    #[must_use]
    pub fn has_place(address: &str) -> bool {
        match address.split('.').collect::<Vec<_>>().as_slice() {
            [plain] => PLAIN.contains(plain),
            ["item", item, entry] => item_named(item).is_some() && OF_ITEM.contains(entry),
            ["test", entry] => TEST_FIELDS.iter().any(|field| field.key == *entry),
            _ => false,
        }
    }

    /// What stands there; empty where nothing does.
    #[must_use]
    pub fn get(&self, address: &str) -> &str {
        let mut parts = address.split('.');
        let found = parts.try_fold(self.toml.as_item(), |item, part| item.get(part));
        found.and_then(Item::as_str).unwrap_or_default()
    }

    /// Writes an entry; an empty one takes it away.
    ///
    /// # Errors
    /// In words: there is no such entry, or it is too long.
    pub fn set(&mut self, address: &str, text: &str) -> Result<(), String> {
        if !Self::has_place(address) {
            return Err(format!(
                "{address}: nothing of this name is noted; write date, who, note, item.<name>.found, .value or .note, or test.<name>"
            ));
        }
        if text.chars().count() > LONGEST_ENTRY {
            return Err(format!("{address}: longer than {LONGEST_ENTRY} letters"));
        }
        self.put(address, text.trim());
        Ok(())
    }

    fn put(&mut self, address: &str, text: &str) {
        let parts: Vec<&str> = address.split('.').collect();
        let Some((last, before)) = parts.split_last() else { return };
        let mut table = self.toml.as_table_mut();
        for (depth, part) in before.iter().enumerate() {
            let is_inner = depth + 1 < before.len();
            let next = table.entry(part).or_insert_with(|| {
                let mut made = Table::new();
                made.set_implicit(is_inner);
                Item::Table(made)
            });
            if !next.is_table() {
                *next = Item::Table(Table::new());
            }
            let Some(inner) = next.as_table_mut() else { return };
            table = inner;
        }
        if text.is_empty() {
            table.remove(last);
        } else {
            table.insert(last, value(text));
        }
    }
}
