//! What can be wrong with a typed quantity, worded once.

use crate::number::NumberError;
use crate::quantity::Quantity;
use crate::table::accepted_units;
use std::fmt;

/// Why a quantity could not be read. The text names what was read and what to write.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum UnitError {
    /// Nothing was typed.
    Empty {
        /// Kind wanted.
        kind: Quantity,
    },
    /// The text does not begin with a readable number.
    Number {
        /// Text as typed.
        text: String,
        /// Why.
        reason: NumberError,
        /// Kind wanted.
        kind: Quantity,
    },
    /// A number stands without its unit.
    NoUnit {
        /// Text as typed.
        text: String,
        /// Kind wanted.
        kind: Quantity,
    },
    /// The unit is not known.
    UnknownUnit {
        /// Unit as typed.
        unit: String,
        /// Kind wanted.
        kind: Quantity,
        /// The nearest spelling that is known.
        suggestion: Option<&'static str>,
    },
    /// The unit measures something else.
    OtherKind {
        /// Unit as typed.
        unit: String,
        /// What it measures, in words.
        measures: &'static str,
        /// Kind wanted.
        kind: Quantity,
    },
    /// The unit may mean more than one thing.
    AmbiguousUnit {
        /// Unit as typed.
        unit: String,
        /// What to write instead.
        instead: &'static str,
    },
    /// Its only point or comma may mark decimals or thousands, and both values can be.
    TwoReadings {
        /// Text as typed.
        text: String,
        /// Both ways to write it that have one reading.
        readings: [String; 2],
        /// Kind wanted.
        kind: Quantity,
    },
    /// Something stands behind the quantity.
    Trailing {
        /// What could not be used.
        rest: String,
        /// Kind wanted.
        kind: Quantity,
    },
}

impl UnitError {
    /// What is wrong, without the advice.
    #[must_use]
    pub fn problem(&self) -> String {
        match self {
            Self::Empty { kind } => format!("no {} is written", kind.dimension().name()),
            Self::Number { text, reason: NumberError::NotANumber, .. } => {
                format!("\"{text}\" does not begin with a number")
            }
            Self::Number { text, reason, .. } => format!("\"{text}\": {reason}"),
            Self::NoUnit { text, .. } => format!("\"{text}\" has no unit"),
            Self::UnknownUnit { unit, .. } => format!("\"{unit}\" is no unit known here"),
            Self::OtherKind { unit, measures, kind } => {
                format!("\"{unit}\" measures {}, but a {} is wanted", measures, kind.dimension().name())
            }
            Self::AmbiguousUnit { unit, .. } => format!("\"{unit}\" may mean more than one unit"),
            Self::TwoReadings { text, readings: [decimals, thousands], .. } => {
                format!("\"{text}\" may mean {decimals} or {thousands}")
            }
            Self::Trailing { rest, .. } => format!("\"{rest}\" behind the quantity has no meaning here"),
        }
    }

    /// What to write.
    #[must_use]
    pub fn advice(&self) -> String {
        match self {
            Self::Empty { kind } | Self::Number { kind, .. } | Self::Trailing { kind, .. } => {
                format!("Write it like {}.", kind.example())
            }
            Self::NoUnit { kind, .. } => format!(
                "Write the unit, for example {}; units: {}.",
                kind.example(),
                accepted_units(kind.dimension())
            ),
            Self::UnknownUnit { kind, suggestion, .. } => {
                let question = suggestion.map(|s| format!("Did you mean {s}? ")).unwrap_or_default();
                format!(
                    "{question}Units of {}: {}.",
                    kind.dimension().name(),
                    accepted_units(kind.dimension())
                )
            }
            Self::OtherKind { kind, .. } => format!(
                "Write a {}, for example {}; units: {}.",
                kind.dimension().name(),
                kind.example(),
                accepted_units(kind.dimension())
            ),
            Self::AmbiguousUnit { instead, .. } => format!("Write {instead}."),
            Self::TwoReadings { readings: [decimals, thousands], .. } => {
                format!("Write {decimals} or {thousands}, whichever is meant.")
            }
        }
    }
}

impl fmt::Display for UnitError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}. {}", self.problem(), self.advice())
    }
}

impl std::error::Error for UnitError {}

/// The candidate nearest to `word` by single-letter changes (swapped neighbours count as one), when
/// it is near enough to be meant: within a third of the word's length, at least one.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let typed: Vec<char> = word.to_lowercase().chars().take(60).collect();
    let allowed = (typed.len() / 3).max(1);
    candidates
        .into_iter()
        .filter(|candidate| !candidate.is_empty())
        .map(|candidate| (distance(&typed, &candidate.to_lowercase().chars().collect::<Vec<_>>()), candidate))
        .filter(|(steps, candidate)| *steps <= allowed && *steps < candidate.chars().count())
        .min_by_key(|(steps, candidate)| (*steps, !starts_alike(word, candidate)))
        .map(|(_, candidate)| candidate)
}

/// True when both begin with the same letter: the first letter is seldom the wrong one.
fn starts_alike(a: &str, b: &str) -> bool {
    let first = |word: &str| word.chars().next().map(|c| c.to_lowercase().to_string());
    first(a) == first(b)
}

/// Edit distance with insertions, deletions, substitutions and swapped neighbours.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let substitution = last[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            row[j] = substitution.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(before_last[j - 2] + 1);
            }
        }
        before_last = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}
