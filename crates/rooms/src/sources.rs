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

/// What stands in the place of a source where there is none.
const PRACTICE: &str = "common practice, no source";

/// Authors and year of a key, for a line of text; nothing where it is no key.
#[must_use]
pub fn short(key: &str) -> Option<String> {
    let entry = SOURCES.get(key)?;
    let year = entry.get("year").and_then(toml_edit::Item::as_integer);
    let authors = entry.get("authors").and_then(|item| item.as_str())?;
    Some(year.map_or_else(|| authors.to_owned(), |year| format!("{authors} {year}")))
}

/// What stands before a source in brackets at the end of `text`, its key, and how surely it is known.
#[must_use]
pub fn source_at_end(text: &str) -> Option<(&str, &str, &str)> {
    let (said, source) = text.strip_suffix(']')?.rsplit_once(" [")?;
    let (key, known) = source.split_once(", ").unwrap_or((source, ""));
    (SOURCES.contains_key(key) || source == PRACTICE).then_some((said, key, known))
}

/// `text` with its sources in words: `[key, read once]` is `(authors year, read once)`.
#[must_use]
pub fn in_words(text: &str) -> String {
    let (mut out, mut rest) = (String::new(), text);
    while let Some((before, (inner, after))) =
        rest.split_once('[').and_then(|(before, rest)| Some((before, rest.split_once(']')?)))
    {
        let (key, known) = inner.split_once(", ").map_or((inner, ""), |(key, _)| (key, &inner[key.len()..]));
        out.push_str(before);
        match short(key) {
            Some(words) => out.push_str(&format!("({words}{known})")),
            None if inner == PRACTICE => out.push_str(&format!("({inner})")),
            None => {
                out.push('[');
                rest = &rest[before.len() + 1..];
                continue;
            }
        }
        rest = after;
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sources_in_brackets_become_words() {
        assert_eq!(
            in_words("Fuse it. [cfr183-455, read] And [this] [common practice, no source]"),
            "Fuse it. (United States Coast Guard 2025, read) And [this] (common practice, no source)"
        );
        assert_eq!(source_at_end("Fuse it. [cfr183-455, read]"), Some(("Fuse it.", "cfr183-455", "read")));
        assert_eq!(source_at_end("Fuse it [here]"), None);
    }

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
                assert!(!citation(key).is_empty() || *key == PRACTICE, "{key}");
            }
        }
    }
}
