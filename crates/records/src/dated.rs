//! A dated record as a document: entries by their addresses, `item.gland.note`, in TOML that stays as it was written.
//! Not for: which entries a kind of record has, what they mean, keeping it.

use jiff::civil::Date;
use toml_edit::{DocumentMut, Item, Table, value};

/// The longest entry that is taken \[letters\].
pub const LONGEST_ENTRY: usize = 4_000;

/// The kind under which calls are kept.
pub const CALL_KIND: &str = "call";
/// The kind under which it is kept how forecasts fared in a trial; nobody writes it.
pub const HELD_KIND: &str = "held";
/// The kind under which places are kept: that of the room Dry-out.
pub const PLACE_KIND: &str = "dryout";
/// The entry of a place with its name.
pub const NAME: &str = "name";
/// The entry of a call that says what it was in the end: a part, or none of these.
pub const OUTCOME: &str = "outcome";
/// The entry of what a call told before that was known, by place; nobody writes it.
pub const TOLD: &str = "told";

/// Entries that every kind has.
pub const PLAIN_ENTRIES: [&str; 3] = ["date", "who", "note"];

/// An entry that cannot be used, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryFault {
    /// Its address.
    pub address: String,
    /// What is wrong, and what to write.
    pub problem: String,
}

/// A record as it is written.
#[derive(Debug, Clone, Default)]
pub struct DatedDocument {
    toml: DocumentMut,
}

impl DatedDocument {
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

    /// What stands there; empty where nothing does.
    #[must_use]
    pub fn get(&self, address: &str) -> &str {
        let mut parts = address.split('.');
        let found = parts.try_fold(self.toml.as_item(), |item, part| item.get(part));
        found.and_then(Item::as_str).unwrap_or_default()
    }

    /// How many entries are written.
    #[must_use]
    pub fn entries(&self) -> usize {
        fn of(item: &Item) -> usize {
            item.as_table_like().map_or(1, |table| table.iter().map(|(_, inner)| of(inner)).sum())
        }
        of(self.toml.as_item())
    }

    /// The day that it is of.
    ///
    /// # Errors
    /// In words: none, one that has not come yet, one before any such drive.
    pub fn day(&self, today: Date) -> Result<Date, String> {
        match self.get("date").parse::<Date>() {
            Ok(day) if day > today => Err(format!("{day} has not come yet; today is {today}")),
            Ok(day) if day.year() < 1950 => {
                Err(format!("{day} is before any such drive; write it like {today}"))
            }
            Ok(day) => Ok(day),
            Err(_) => Err(format!("no day; write it like {today}")),
        }
    }

    /// Writes an entry; an empty one takes it away.
    ///
    /// # Errors
    /// In words: it is too long.
    pub fn set(&mut self, address: &str, text: &str) -> Result<(), String> {
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
