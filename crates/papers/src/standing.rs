//! How the numbers of a document are known, told once for a whole paper: measured, from a plate, chosen, assumed,
//! estimated because not given. Not for: the marks of one figure (`explain::stands_on`).

use maud::{Markup, html};
use wakewright_core::notice::Notice;
use wakewright_records::boat::{BoatDocument, Field, FieldKind, Origin, SECTIONS};

/// Names of numbers by how they are known.
#[derive(Debug, Default)]
pub struct Standing {
    by_origin: Vec<(Origin, Vec<String>)>,
    estimated: Vec<&'static str>,
}

impl Standing {
    /// Of a document, with what `notices` say was estimated.
    pub fn of<'n>(document: &BoatDocument, notices: impl Iterator<Item = &'n Notice>) -> Self {
        let mut by_origin: Vec<(Origin, Vec<String>)> =
            Origin::ALL.iter().map(|origin| (*origin, Vec::new())).collect();
        for section in SECTIONS {
            let rows: Vec<String> =
                document.rows(section.name).iter().map(|row| row.address().to_owned()).collect();
            let numbers = section.fields.iter().filter(|field| matches!(field.kind, FieldKind::Quantity(_)));
            for field in numbers {
                let name = field.key.rsplit('.').next().unwrap_or_default();
                let mut addresses: Vec<String> = rows.iter().map(|row| format!("{row}.{name}")).collect();
                if !section.is_repeated {
                    addresses.push(field.key.to_owned());
                }
                for origin in addresses.iter().filter_map(|address| stated(document, address)) {
                    let listed = by_origin.iter_mut().find(|(known, _)| *known == origin);
                    let words = words(section.name, field);
                    if let Some((_, listed)) = listed.filter(|(_, listed)| !listed.contains(&words)) {
                        listed.push(words);
                    }
                }
            }
        }
        let mut estimated: Vec<&'static str> = Vec::new();
        for quantity in notices.filter_map(Notice::estimated) {
            if !estimated.contains(&quantity) {
                estimated.push(quantity);
            }
        }
        Self { by_origin, estimated }
    }

    /// Whether any number was read off a tape or an instrument.
    pub fn has_measured(&self) -> bool {
        self.by_origin.iter().any(|(origin, names)| *origin == Origin::Measured && !names.is_empty())
    }

    /// How many are known how.
    pub fn counted(&self) -> String {
        let counted = Origin::ALL.iter().map(|origin| (self.names(*origin).len(), origin.words()));
        let counted =
            counted.filter(|(count, _)| *count > 0).map(|(count, words)| format!("{count} {words}"));
        counted.collect::<Vec<_>>().join(", ")
    }

    /// How many are assumed.
    pub fn assumed(&self) -> String {
        format!("{} assumed", self.names(Origin::Assumed).len())
    }

    /// What is not measured, in full, and how much is: for the front.
    pub fn front(&self) -> Markup {
        let count = |origin: Origin| self.names(origin).len();
        html! {
            p { "Kinds of numbers in her document: " (self.counted()) ". Not given and estimated: " (self.estimated.len()) "." }
            dl.standing {
                @if count(Origin::Assumed) > 0 { dt { "assumed" } dd { (self.names(Origin::Assumed).join(", ")) } }
                @if !self.estimated.is_empty() { dt { "estimated" } dd { (self.estimated.join(", ")) } }
            }
        }
    }

    fn names(&self, origin: Origin) -> &[String] {
        self.by_origin.iter().find(|(known, _)| *known == origin).map_or(&[], |(_, names)| names)
    }

    /// The whole list.
    pub fn markup(&self) -> Markup {
        html! {
            dl.standing {
                @for (origin, names) in self.by_origin.iter().filter(|(_, names)| !names.is_empty()) {
                    dt { (origin.words()) } dd { (names.join(", ")) }
                }
                @if !self.estimated.is_empty() { dt { "estimated" } dd { (self.estimated.join(", ")) } }
            }
        }
    }
}

fn stated(document: &BoatDocument, address: &str) -> Option<Origin> {
    document.stated_number(address).map(|stated| stated.origin)
}

/// `reduction: ratio`; the section is left out where the label says it already.
fn words(section: &str, field: &Field) -> String {
    let section = section.replace('_', " ");
    if field.label.contains(&section) {
        field.label.to_owned()
    } else {
        format!("{section}: {}", field.label)
    }
}
