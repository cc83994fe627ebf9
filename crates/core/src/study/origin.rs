//! What a figure says of itself when it is opened, and all figures that can be opened, whatever study they
//! come from. Not for: the figures' own entries (`figure`, and `figure` of `sail`, `energy` and `causes`).

use wakewright_units::Quantity;

use super::bank_figure::BankFigure;
use super::figure::Figure;
use super::range_figure::RangeFigure;
use crate::causes::CausesFigure;
use crate::energy::EnergyFigure;

/// What is said of a figure when it is opened.
#[derive(Debug, Clone, Copy)]
pub struct Origin {
    /// Stable name for commands and files.
    pub key: &'static str,
    /// In words, lower case.
    pub label: &'static str,
    /// Kind of quantity, which decides the unit it is written in.
    pub quantity: Quantity,
    /// Formula with its symbols explained.
    pub formula: &'static str,
    /// Keys of the sources.
    pub sources: &'static [&'static str],
    /// Document fields and model factors that it stands on.
    pub inputs: &'static [&'static str],
    /// Where the formula holds, and how well.
    pub validity: &'static str,
}

/// Figures of a study, each with its entry and how it is taken out of the study.
macro_rules! study_figures {
    ($(#[$head:meta])* $enum:ident of $study:ty {
        $($(#[$doc:meta])* $name:ident { $key:literal, $label:literal, $quantity:ident,
        formula: $formula:literal, sources: [$($source:literal),*], inputs: [$($input:literal),*],
        validity: $validity:literal, value: |$s:ident| $value:expr })+ }) => {
        $(#[$head])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $enum { $($(#[$doc])* $name),+ }

        impl $enum {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Where it comes from.
            #[must_use]
            pub fn origin(self) -> $crate::study::Origin {
                match self { $(Self::$name => $crate::study::Origin {
                    key: $key, label: $label, quantity: wakewright_units::Quantity::$quantity, formula: $formula,
                    sources: &[$($source),*], inputs: &[$($input),*], validity: $validity,
                }),+ }
            }

            /// Its value with its band; `None` where the study has none.
            #[must_use]
            pub fn value(self, study: &$study) -> Option<$crate::study::Interval> {
                match self { $(Self::$name => { let $s = study; $value }),+ }
            }
        }
    };
}
pub(crate) use study_figures;

/// A figure that can be opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Opening {
    /// Of a steady state.
    State(Figure),
    /// Of one speed's range.
    Range(RangeFigure),
    /// Of the bank.
    Bank(BankFigure),
    /// Of the year.
    Energy(EnergyFigure),
    /// Of a trial's causes.
    Causes(CausesFigure),
}

impl Opening {
    /// All of them.
    pub fn all() -> impl Iterator<Item = Self> {
        let state = Figure::ALL.iter().copied().map(Self::State);
        state
            .chain(RangeFigure::ALL.iter().copied().map(Self::Range))
            .chain(BankFigure::ALL.iter().copied().map(Self::Bank))
            .chain(EnergyFigure::ALL.iter().copied().map(Self::Energy))
            .chain(CausesFigure::ALL.iter().copied().map(Self::Causes))
    }

    /// The figure with this key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::all().find(|opening| opening.origin().key == key)
    }

    /// Where it comes from.
    #[must_use]
    pub fn origin(self) -> Origin {
        match self {
            Self::State(figure) => figure.origin(),
            Self::Range(figure) => figure.origin(),
            Self::Bank(figure) => figure.origin(),
            Self::Energy(figure) => figure.origin(),
            Self::Causes(figure) => figure.origin(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Opening;

    #[test]
    fn keys_are_distinct() {
        let mut keys: Vec<&str> = Opening::all().map(|opening| opening.origin().key).collect();
        let count = keys.len();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), count);
    }
}
