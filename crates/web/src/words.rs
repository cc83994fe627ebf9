//! Fields and faults of a boat document in a page's words: no file keys, no syntax of the document, no carets.
//! Not for: finding faults (`wakewright_records`).

use maud::{Markup, PreEscaped, html};
use wakewright_records::boat::{Fault, SECTIONS, all_fields, field_named, section_named};

use wakewright_rooms::ROOMS;
use wakewright_rooms::sources::in_words;

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

/// The place of the field at `address` on the sheet, as in a link; of any row of a section, the section's.
pub fn place_on_sheet(address: &str) -> Option<String> {
    let (place, name) = address.split_once('.').unwrap_or((address, ""));
    let section = section_named(place.split('[').next().unwrap_or(place))?;
    if name.is_empty() || field_named(address).is_none() || section.is_repeated && !place.contains('[') {
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
fn plain(text: &str, section: &str) -> String {
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

/// What is written into a page within these stays as it is written.
const AS_WRITTEN: [&str; 6] = ["svg", "textarea", "pre", "code", "script", "style"];
/// Within these stands no way to elsewhere.
const WITHOUT_WAYS: [&str; 5] = ["a", "summary", "button", "label", "option"];

/// What a room says, in a page's words: a field of the document (`controller.overvoltage`, `[[mass]]`, a name with an
/// underscore) is told by its label, a way to it on the sheet of the boat of this slug, where there is one. Marks and
/// pictures stay as they are.
pub fn in_page_words(said: &Markup, slug: Option<&str>) -> Markup {
    let sheet = slug.map(sheet_of);
    let (mut out, mut rest, mut within) = (String::with_capacity(said.0.len()), said.0.as_str(), "");
    while let Some((text, tag)) = rest.split_once('<') {
        told(&in_words(text), sheet.as_deref().filter(|_| within.is_empty()), &mut out);
        let end = tag.find('>').map_or(tag.len(), |end| end + 1);
        let name = tag.split([' ', '>', '/']).next().unwrap_or_default();
        let end = match AS_WRITTEN.contains(&name) {
            true => tag.find(&format!("</{name}>")).unwrap_or(end),
            false => end,
        };
        if within.is_empty() {
            within = WITHOUT_WAYS.into_iter().find(|one| *one == name).unwrap_or("");
        } else if tag.strip_prefix('/').is_some_and(|tag| tag.starts_with(&format!("{within}>"))) {
            within = "";
        }
        out.push('<');
        out.push_str(&tag[..end]);
        rest = &tag[end..];
    }
    told(&in_words(rest), sheet.as_deref(), &mut out);
    PreEscaped(out)
}

/// A stretch of text between two marks, with ways to the fields where a sheet is given, without what only a terminal
/// takes: ` (--option)`, the key of a question ` (span)`, that of a station.
fn told(text: &str, sheet: Option<&str>, out: &mut String) {
    let bracketed = text.match_indices(" (").find_map(|(at, _)| {
        let (inner, after) = text[at + 2..].split_once(')')?;
        let place = inner.split_once(", ").filter(|(key, _)| key.contains('/') && !key.contains(' '));
        is_for_terminal(inner).then_some((at, "", after)).or(place.map(|(_, rest)| (at, rest, after)))
    });
    if let Some((at, inner, after)) = bracketed {
        told(&text[..at], sheet, out);
        if !inner.is_empty() {
            out.push_str(&format!(" ({inner})"));
        }
        return told(after, sheet, out);
    }
    let mut rest = text;
    while let Some(at) = rest.find(['.', '_', '[']) {
        let is_of_key = |letter: char| letter.is_ascii_alphanumeric() || "_.[]".contains(letter);
        let from = rest[..at].trim_end_matches(is_of_key).len();
        let end = rest[at..].find(|letter| !is_of_key(letter)).map_or(rest.len(), |end| at + end);
        let word = rest[from..end].trim_end_matches('.');
        out.push_str(&rest[..from]);
        rest = &rest[from + word.len()..];
        let Some(address) = address_of(word) else {
            out.push_str(word);
            // A point that ends a sentence.
            let passed = rest.len() - rest.trim_start_matches('.').len();
            out.push_str(&rest[..passed]);
            rest = &rest[passed..];
            continue;
        };
        match (sheet, place_on_sheet(&address)) {
            (Some(sheet), Some(place)) => {
                let label = field_named(&address)
                    .map_or_else(|| format!("“{}”", field_words(&address)), |field| field.label.to_owned());
                out.push_str(&html! { a href={ (sheet) "#" (place) } { (label) } }.0);
            }
            _ => out.push_str(&html! { "“" (field_words(&address)) "”" }.0),
        }
        // A value written into the document: `pitch = "12 in"`.
        if let Some((value, after)) =
            rest.strip_prefix(" = &quot;").and_then(|rest| rest.split_once("&quot;"))
        {
            out.push_str(&format!(" “{value}”"));
            rest = after;
        }
    }
    out.push_str(rest);
}

/// Whether these words are options of a command or keys of questions.
fn is_for_terminal(words: &str) -> bool {
    let is_key =
        |word: &str| ROOMS.iter().flat_map(|room| room.questions()).any(|question| question.key == word);
    words.bytes().all(|byte| b"-, ".contains(&byte) || byte.is_ascii_lowercase())
        && words.split(", ").all(|word| word.starts_with("--") || is_key(word))
}

/// The address of the field or section that a word names in the document's syntax.
fn address_of(word: &str) -> Option<String> {
    let bare = word.trim_matches(['[', ']']);
    if word.starts_with('[') {
        return section_named(bare).map(|_| bare.to_owned());
    }
    if word.contains('.') {
        return field_named(word).map(|_| word.to_owned());
    }
    let mut of = SECTIONS
        .iter()
        .filter(|section| word.contains('_') && section.fields.iter().any(|f| f.name() == word));
    of.next().map(|section| format!("{}.{word}", section.name))
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
    fn what_a_room_says_names_fields_by_their_labels_and_leads_to_them() {
        let told = |text: &str| in_page_words(&PreEscaped(text.to_owned()), Some("b")).0;
        let label = |address: &str| field_named(address).unwrap().label;
        let stands = label("controller.overvoltage");
        assert_eq!(
            told("<p title=\"a.b_c\">Give controller.overvoltage.</p>"),
            format!(
                "<p title=\"a.b_c\">Give <a href=\"/boats/b/boat#controller-overvoltage\">{stands}</a>.</p>"
            )
        );
        let size = label("cable.size");
        assert!(
            told("give cable.size where")
                .contains(&format!("<a href=\"/boats/b/boat#part-cable\">{size}</a>"))
        );
        assert!(told("list them ([[mass]]). So").contains("(<a href=\"/boats/b/boat#part-mass\">“"));
        assert!(
            told("<a href=\"x\">see propeller.pitch</a> for")
                .contains("\">see “Propeller and shaft: pitch”</a> for")
        );
        assert!(told("keep: propeller.pitch = &quot;12 in&quot;").ends_with("</a> “12 in”"));
        assert_eq!(told("not touched (--throttle-held), and"), "not touched, and");
        assert_eq!(told("tell it (span, moved). Or (once) more (9 kn)"), "tell it. Or (once) more (9 kn)");
        assert_eq!(told("Malin Head (ticon/malin_head-834-irl, 32 nm)"), "Malin Head (32 nm)");
        assert_eq!(told("1.5 kn. [sap2012] 3."), "1.5 kn. (Building Research Establishment 2014) 3.");
        for plain in
            ["malin_head …é.", "<svg><text>hull.draught</text></svg>", "<pre>a [hull]</pre>", "e.g. v.2"]
        {
            assert_eq!(told(plain), plain);
        }
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
