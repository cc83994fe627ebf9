//! What two documents say differently, field by field, and taking over single answers.
//! Not for: remarks and layout (compare the texts for those).

use super::descriptor::Field;
use super::document::BoatDocument;
use super::fields::SECTIONS;

/// A field that is answered differently.
#[derive(Debug, Clone)]
pub struct Difference {
    /// Its address in either document: `pack[2].capacity`.
    pub address: String,
    /// Its descriptor.
    pub field: &'static Field,
    /// As the first document has it; `None` when it says nothing.
    pub first: Option<String>,
    /// As the second has it.
    pub second: Option<String>,
}

impl BoatDocument {
    /// Every field that the two answer differently, in the order of a document.
    #[must_use]
    pub fn differences(&self, other: &Self) -> Vec<Difference> {
        let mut found = Vec::new();
        for section in SECTIONS {
            let places = if section.is_repeated {
                let rows = self.rows(section.name).len().max(other.rows(section.name).len());
                (1..=rows).map(|row| format!("{}[{row}]", section.name)).collect()
            } else {
                vec![section.name.to_owned()]
            };
            for place in places {
                for field in section.fields {
                    let address = format!("{place}.{}", field.name());
                    let first = self.typed(&address).map(str::to_owned);
                    let second = other.typed(&address).map(str::to_owned);
                    if first != second {
                        found.push(Difference { address, field, first, second });
                    }
                }
            }
        }
        found
    }

    /// This document's text with the answers of `other` at `addresses`. A section of several that is
    /// left without any answer, and that `other` does not have, goes.
    #[must_use]
    pub fn with_answers_of(&self, other: &Self, addresses: &[String]) -> String {
        let mut merged = self.clone();
        for address in addresses {
            if let (Some(changed), _) = merged.set_lenient(address, other.typed(address).unwrap_or_default())
            {
                merged = changed;
            }
        }
        for section in SECTIONS.iter().filter(|section| section.is_repeated) {
            for row in (other.rows(section.name).len() + 1..=merged.rows(section.name).len()).rev() {
                let place = format!("{}[{row}]", section.name);
                let is_bare = section
                    .fields
                    .iter()
                    .all(|field| merged.typed(&format!("{place}.{}", field.name())).is_none());
                let without = is_bare.then(|| merged.without_section(&place)).flatten();
                if let Some((Some(changed), _)) = without.map(|text| Self::parse_lenient(&text)) {
                    merged = changed;
                }
            }
        }
        merged.to_toml().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn document(text: &str) -> BoatDocument {
        BoatDocument::parse_lenient(text).0.unwrap()
    }

    #[test]
    fn answers_are_taken_over_one_by_one() {
        let theirs =
            document("[boat]\nname = \"Tern\" # stern\n[hull]\ndraught = \"1.5 m\"\nkeel = \"fin\"\n");
        let mine = document("[boat]\nname = \"Tern\"\n[hull]\ndraught = \"1.6 m\"\n[[pack]]\ncount = 2\n");
        let found = theirs.differences(&mine);
        let seen: Vec<_> = found.iter().map(|d| d.address.as_str()).collect();
        assert_eq!(seen, ["hull.draught", "hull.keel", "pack[1].count"]);
        let all: Vec<String> = found.into_iter().map(|d| d.address).collect();
        let merged = document(&theirs.with_answers_of(&mine, &all));
        assert!(merged.differences(&mine).is_empty());
        assert!(merged.to_toml().contains("# stern"));
        let back = document(&merged.with_answers_of(&theirs, &all));
        assert!(back.differences(&theirs).is_empty() && !back.has_section("pack"), "{}", back.to_toml());
        assert_eq!(theirs.with_answers_of(&mine, &[]), theirs.to_toml());
    }
}
