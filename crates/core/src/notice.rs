//! What must be read before a number is used: a number exists, but.
//!
//! Every notice is worded here and nowhere else. Not for: errors (no honest number exists);
//! those are one enum per domain, beside the code that raises them.

/// How much a notice matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// The number is weaker than usual.
    Weak,
    /// Somebody or something can be hurt.
    Caution,
}

impl Severity {
    /// Stable name for files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Weak => "weak",
            Self::Caution => "caution",
        }
    }
}

/// A remark that travels with a result. Compared by value so that duplicates can be dropped.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Notice {
    /// A quantity lies outside the range for which the formula was published.
    OutsideRange {
        /// What is computed ("residuary resistance, 1998 fit").
        formula: &'static str,
        /// Which quantity lies outside ("length / volume^(1/3)").
        quantity: &'static str,
        /// Its value, in `unit`.
        value: f64,
        /// Published lower end.
        low: f64,
        /// Published upper end.
        high: f64,
        /// Unit of the three numbers, empty when dimensionless.
        unit: &'static str,
        /// Key in SOURCES.toml.
        source: &'static str,
    },
    /// A missing input was filled in.
    Estimated {
        /// Field in words ("prismatic coefficient").
        quantity: &'static str,
        /// Value used, in `unit`.
        value: f64,
        /// Unit, empty when dimensionless.
        unit: &'static str,
        /// How ("median of the 51 Delft hulls").
        basis: &'static str,
        /// Key in SOURCES.toml, or "common practice, no source", or "from memory".
        source: &'static str,
    },
    /// A figure that nobody knows is estimated, and its band is wide.
    NotKnown {
        /// Field in words.
        quantity: &'static str,
        /// What is taken, with its unit.
        words: String,
        /// From what.
        basis: &'static str,
        /// As of [`Self::Estimated`].
        source: &'static str,
    },
    /// A remark worded at the place of one domain, with severity and source.
    Remark {
        /// How much it matters.
        severity: Severity,
        /// One or two plain sentences: what, why, what to do.
        text: &'static str,
        /// Key in SOURCES.toml, or "common practice, no source", or "from memory".
        source: &'static str,
    },
    /// A remark on what was brought in, worded by whoever read it. Common practice, no source.
    Read {
        /// How much it matters.
        severity: Severity,
        /// One or two plain sentences: what, why, what to do.
        text: String,
    },
}

impl Notice {
    /// The quantity that is estimated because it was not given; `None` for any other notice.
    #[must_use]
    pub fn estimated(&self) -> Option<&'static str> {
        match self {
            Self::Estimated { quantity, .. } | Self::NotKnown { quantity, .. } => Some(quantity),
            Self::OutsideRange { .. } | Self::Remark { .. } | Self::Read { .. } => None,
        }
    }

    /// How much it matters.
    #[must_use]
    pub fn severity(&self) -> Severity {
        match self {
            Self::OutsideRange { .. } => Severity::Weak,
            Self::Estimated { .. } | Self::NotKnown { .. } => Severity::Note,
            Self::Remark { severity, .. } | Self::Read { severity, .. } => *severity,
        }
    }

    /// True when both say the same of the same quantity, whatever its value.
    #[must_use]
    pub fn is_alike(&self, other: &Self) -> bool {
        match (self, other) {
            (
                Self::OutsideRange { formula, quantity, .. },
                Self::OutsideRange { formula: other_formula, quantity: other_quantity, .. },
            ) => formula == other_formula && quantity == other_quantity,
            (Self::Estimated { quantity, .. }, Self::Estimated { quantity: other_quantity, .. }) => {
                quantity == other_quantity
            }
            (Self::NotKnown { quantity, .. }, Self::NotKnown { quantity: other_quantity, .. }) => {
                quantity == other_quantity
            }
            _ => self == other,
        }
    }

    /// Where the limit or the remark comes from: a key in SOURCES.toml, "common practice, no
    /// source" or "from memory".
    #[must_use]
    pub fn source(&self) -> &'static str {
        match self {
            Self::OutsideRange { source, .. }
            | Self::Estimated { source, .. }
            | Self::NotKnown { source, .. }
            | Self::Remark { source, .. } => source,
            Self::Read { .. } => "common practice, no source",
        }
    }

    /// One plain sentence or two.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::OutsideRange { formula, quantity, value, low, high, unit, .. } => {
                let side = if value < low { "below" } else { "above" };
                let gap = if unit.is_empty() { "" } else { " " };
                format!(
                    "{formula}: {quantity} is {}{gap}{unit}, {side} the published range {} to {}{gap}{unit}; \
                     the figure is computed all the same and its band is widened.",
                    short(*value),
                    short(*low),
                    short(*high)
                )
            }
            Self::Estimated { quantity, value, unit, basis, .. } => {
                let gap = if unit.is_empty() { "" } else { " " };
                format!("{quantity} was not given; {}{gap}{unit} is taken from {basis}.", short(*value))
            }
            Self::NotKnown { quantity, words, basis, .. } => {
                format!("{quantity} is not known; {words} is taken from {basis}, and its band is wide.")
            }
            Self::Remark { text, .. } => (*text).to_owned(),
            Self::Read { text, .. } => text.clone(),
        }
    }
}

/// A number with three significant digits, for a sentence.
fn short(value: f64) -> String {
    let magnitude = value.abs();
    if magnitude >= 100.0 || value == 0.0 {
        format!("{value:.0}")
    } else if magnitude >= 10.0 {
        format!("{value:.1}")
    } else if magnitude >= 0.1 {
        format!("{value:.2}")
    } else {
        format!("{value:.4}")
    }
}

/// A value with the notices that travel with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Noted<T> {
    /// The value.
    pub value: T,
    /// What to read first; no duplicates, in the order in which they arose.
    pub notices: Vec<Notice>,
}

impl<T> Noted<T> {
    /// A value without remark.
    pub fn plain(value: T) -> Self {
        Self { value, notices: Vec::new() }
    }
}

/// Adds `notice` unless it is there already.
pub fn push_once(notices: &mut Vec<Notice>, notice: Notice) {
    if !notices.contains(&notice) {
        notices.push(notice);
    }
}

/// Adds a notice when `value` lies outside `range`.
pub fn check_range(
    notices: &mut Vec<Notice>,
    formula: &'static str,
    quantity: &'static str,
    value: f64,
    range: (f64, f64),
    unit: &'static str,
    source: &'static str,
) {
    let (low, high) = range;
    if value < low || value > high {
        push_once(notices, Notice::OutsideRange { formula, quantity, value, low, high, unit, source });
    }
}
