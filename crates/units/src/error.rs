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
