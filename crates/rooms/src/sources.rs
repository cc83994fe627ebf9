//! The list of sources, as it is built into the program. Not for: who cites them.

use std::sync::LazyLock;

use toml_edit::DocumentMut;

static SOURCES: LazyLock<DocumentMut> =
    LazyLock::new(|| include_str!("../../../SOURCES.toml").parse().unwrap_or_default());

/// `Keuning, Sonnenberg (1998): Approximation of ..., where. Read: how.` for a key; the key itself
/// when it is no key ("from memory", "common practice, no source").
#[must_use]
pub fn citation(key: &str) -> String {
    let Some(entry) = SOURCES.get(key) else { return String::new() };
    let text = |name: &str| entry.get(name).and_then(|item| item.as_str()).unwrap_or("").to_owned();
    let year =
        entry.get("year").and_then(toml_edit::Item::as_integer).map_or(String::new(), |y| format!(" ({y})"));
    format!("{}{year}: {}. {}. [{}]", text("authors"), text("title"), text("where"), text("how_read"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use wakewright_core::study::Opening;

    #[test]
    fn every_source_of_a_figure_is_listed() {
        for opening in Opening::all() {
            for key in opening.origin().sources {
                assert!(!citation(key).is_empty() || *key == "common practice, no source", "{key}");
            }
        }
    }
}
