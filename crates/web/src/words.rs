//! Fields and faults of a boat document in a page's words: no file keys, no syntax of the document, no carets.
//! Not for: finding faults (`wakewright_records`).

use maud::{Markup, html};
use wakewright_records::boat::{Fault, all_fields, field_named, section_named};

use super::address;

/// The field at `address` (`pack[2].capacity`) as the sheet names it: "Battery packs, number 2: capacity".
/// What is no field stands as it is.
pub fn field_words(address: &str) -> String {
    let (place, name) = address.split_once('.').unwrap_or((address, ""));
    let (section, number) = place.split_once('[').unwrap_or((place, ""));
    let Some(heading) = section_named(section).map(|section| section.heading) else {
        return address.to_owned();
    };
    let number = number.strip_suffix(']').map_or_else(String::new, |number| format!(", number {number}"));
    match field_named(address) {
        Some(field) => format!("{heading}{number}: {}", field.label),
        None if name.is_empty() => format!("{heading}{number}"),
        None => format!("{heading}{number}: “{name}”"),
    }
}

/// The place of the field at `address` on the sheet, as in a link.
pub fn place_on_sheet(address: &str) -> Option<String> {
    let (place, name) = address.split_once('.').unwrap_or((address, ""));
    let section = section_named(place.split('[').next().unwrap_or(place))?;
    if name.is_empty() || field_named(address).is_none() {
        return Some(format!("part-{}", section.name));
    }
    Some(field_id(address))
}

/// The same of a field that is known.
pub fn field_id(address: &str) -> String {
    address.replace(['.', '['], "-").replace(']', "")
}

/// What is wrong and what to do, as a sentence or two.
pub fn fault_words(fault: &Fault) -> String {
    let section = fault.field.split(['.', '[']).next().unwrap_or_default();
    let problem = plain(&fault.problem, section);
    let mut letters = problem.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
    let end = if problem.ends_with(['.', '?', '!']) || problem.is_empty() { "" } else { "." };
    format!("{first}{}{end} {}", letters.as_str(), plain(&fault.advice, section)).trim().to_owned()
}

/// Faults as a list, each a way to its field on the sheet at `sheet` (empty for this page).
pub fn fault_list<'a>(faults: impl Iterator<Item = &'a Fault>, sheet: &str) -> Markup {
    html! {
        ul.faults {
            @for fault in faults {
                li {
                    @match (place_on_sheet(&fault.field), fault.field.is_empty()) {
                        (Some(place), _) => { a href={ (sheet) "#" (place) } { (field_words(&fault.field)) } ": " }
                        (None, true) => { "line " (fault.line) ": " }
                        (None, false) => { (fault.field) ": " }
                    }
                    (fault_words(fault))
                }
            }
        }
    }
}

/// The sheet of the boat of this slug.
pub fn sheet_of(slug: &str) -> String {
    address::of_boat(slug, "boat")
}

/// `text` without the document's syntax: `draught = "1.7 m"` is “1.7 m”, `[hull]` is “Hull”, `hull.keel` and what is
/// so named in `section` are the field's words.
pub fn plain(text: &str, section: &str) -> String {
    let is_of_key =
        |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || "_.[]".contains(letter);
    let (mut out, mut rest) = (String::new(), text);
    while let Some(first) = rest.chars().next() {
        let end = rest.find(|letter| !is_of_key(letter)).unwrap_or(rest.len());
        // The point at the end is the sentence's.
        let word = rest[..end].trim_end_matches('.');
        if word.is_empty() {
            out.push(first);
            rest = &rest[first.len_utf8()..];
            continue;
        }
        rest = &rest[word.len()..];
        let value = rest.strip_prefix(" = \"").and_then(|value| value.split_once('"'));
        if let Some((value, after)) = value {
            out.push_str(&format!("“{value}”"));
            rest = after;
        } else {
            out.push_str(&key_words(word, section));
        }
    }
    out
}

fn key_words(word: &str, section: &str) -> String {
    let bare = word.trim_matches(['[', ']']);
    if word.starts_with('[') && word.ends_with(']') {
        return section_named(bare)
            .map_or_else(|| word.to_owned(), |section| format!("“{}”", section.heading));
    }
    if word.contains('.') && field_named(word).is_some() {
        return field_words(word);
    }
    if word.contains('_') {
        let of_section = field_named(&format!("{section}.{word}"));
        let found = of_section.or_else(|| all_fields().find(|field| field.name() == word));
        return found.map_or_else(|| word.to_owned(), |field| field.label.to_owned());
    }
    word.to_owned()
}

#[cfg(test)]
mod tests {
    use wakewright_records::boat::BoatDocument;

    use super::*;

    #[test]
    fn a_field_has_its_own_words() {
        assert_eq!(field_words("propeller.pitch"), "Propeller and shaft: pitch");
        assert_eq!(field_words("pack[2].count"), "Battery packs, number 2: number of such packs");
        assert_eq!(field_words("hull"), "Hull");
        assert_eq!(field_words("nonsense.x"), "nonsense.x");
        assert_eq!(place_on_sheet("pack[2].count").as_deref(), Some("pack-2-count"));
        assert_eq!(place_on_sheet("propeller.pich").as_deref(), Some("part-propeller"));
    }

    #[test]
    fn faults_speak_without_the_syntax_of_the_document() {
        let (_, faults) = BoatDocument::parse_lenient(
            "[hull]\nlength_overall = \"9 m\"\ndraught = \"wet\"\n[propeller]\ndiameter = \"12 m\"\npich = \"12 in\"\n\
             [motor]\nkind = \"turbo\"\nrated_powr = 3\n",
        );
        assert!(faults.len() > 4);
        for fault in &faults {
            let words = fault_words(fault);
            assert!(!words.contains(" = ") && !words.contains('[') && !words.contains('^'), "{words}");
            assert!(
                !words.contains("hull.") && !words.contains('_') || words.contains("rated_powr"),
                "{words}"
            );
        }
    }
}
