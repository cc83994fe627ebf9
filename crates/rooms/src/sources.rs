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
    use crate::ROOMS;
    use crate::explain::Opened;
    use crate::explain::figures;
    use wakewright_core::causes::CAUSES_FIGURES;

    #[test]
    fn every_source_of_a_figure_is_listed() {
        let of_trials = CAUSES_FIGURES.0.iter().map(|column| column.figure);
        let all = figures(&ROOMS).map(|(_, figure)| figure).chain(of_trials);
        for origin in all.filter_map(Opened::origin_of) {
            for key in origin.sources {
                assert!(!citation(key).is_empty() || *key == "common practice, no source", "{key}");
            }
        }
    }
}
