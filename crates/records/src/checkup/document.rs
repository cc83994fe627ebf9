//! The entries of a check-up by their addresses.

use wakewright_core::upkeep::item_named;

use crate::dated::PLAIN_ENTRIES;

/// The kind under which check-ups are kept.
pub const CHECKUP_KIND: &str = "checkup";

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
    TestField { key: "of", label: "What was tested", hint: "empty: the whole bank; pack 2, group 1" },
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

/// Entries of an item.
const OF_ITEM: [&str; 3] = ["found", "value", "note"];

/// True for an address that a check-up has: `date`, `item.gland.found`, `test.amps`.
#[must_use]
pub fn has_place(address: &str) -> bool {
    match address.split('.').collect::<Vec<_>>().as_slice() {
        [plain] => PLAIN_ENTRIES.contains(plain),
        ["item", item, entry] => item_named(item).is_some() && OF_ITEM.contains(entry),
        ["test", entry] => TEST_FIELDS.iter().any(|field| field.key == *entry),
        _ => false,
    }
}
