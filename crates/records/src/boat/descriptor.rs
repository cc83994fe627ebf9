//! What is known of a field of the boat document. Not for: the fields themselves.

use super::spread_rule::SpreadRule;
use super::stated::Origin;
use wakewright_units::{Digits, Quantity, UnitSystem, format_quantity};

/// A part of the document: `[hull]`, or `[[pack]]` when there may be several.
#[derive(Debug)]
pub struct Section {
    /// Name in brackets.
    pub name: &'static str,
    /// Heading in words.
    pub heading: &'static str,
    /// What belongs here, one or two sentences.
    pub help: &'static str,
    /// Written `[[name]]`, any number of times.
    pub is_repeated: bool,
    /// No document is complete without it.
    pub is_required: bool,
    /// Its fields, in the order in which they are written.
    pub fields: &'static [Field],
}

/// One field: the single place from which file, help, schema, form and reading are made.
#[derive(Debug)]
pub struct Field {
    /// Section and name: `propeller.pitch`.
    pub key: &'static str,
    /// Name in words, as in a sentence.
    pub label: &'static str,
    /// What is written there.
    pub kind: FieldKind,
    /// Whether it must be given, and what stands in when it is not.
    pub presence: Presence,
    /// SI values outside which it cannot be true.
    pub possible: Option<(f64, f64)>,
    /// SI values outside which it is doubted.
    pub usual: Option<(f64, f64)>,
    /// 80 % band of a measured value without `±`.
    pub spread_measured: SpreadRule,
    /// 80 % band of an assumed value without `±`.
    pub spread_assumed: SpreadRule,
    /// What it is and how to get it, one or two sentences.
    pub help: &'static str,
    /// A value as it may be written (without quotes).
    pub example: &'static str,
    /// It is set or decided and cannot be measured.
    pub is_chosen: bool,
}

/// What is written in a field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FieldKind {
    /// A number with its unit.
    Quantity(Quantity),
    /// A whole number.
    Integer,
    /// One of a few words.
    Choice(&'static [Choice]),
    /// Any text.
    Text,
    /// A day: 2025-04-30.
    Date,
    /// true or false.
    Flag,
    /// Fields of the document with other values: `{ "propeller.pitch" = "10 in" }`.
    Changes,
}

/// A word that may be chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Choice {
    /// The word, as written.
    pub word: &'static str,
    /// What it means.
    pub help: &'static str,
}

/// Whether a field must be given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Presence {
    /// Must be given.
    Required,
    /// Is estimated when not given.
    Estimated {
        /// From what.
        how: &'static str,
        /// Key in SOURCES.toml, "common practice, no source" or "from memory".
        source: &'static str,
    },
    /// May be left out; what depends on it is then left out too.
    Optional,
    /// Stands at this text when not given.
    Default(&'static str),
}

impl Field {
    /// The part before the point: `propeller`.
    #[must_use]
    pub fn section(&self) -> &'static str {
        self.key.split_once('.').map_or("", |(section, _)| section)
    }

    /// The part behind the point: `pitch`.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.key.split_once('.').map_or(self.key, |(_, name)| name)
    }

    /// The kind of quantity, for numbers with a unit.
    #[must_use]
    pub fn quantity(&self) -> Option<Quantity> {
        match self.kind {
            FieldKind::Quantity(quantity) => Some(quantity),
            _ => None,
        }
    }

    /// The value as it is written in the file: in quotes unless a whole number or a flag.
    #[must_use]
    pub fn literal(&self, text: &str) -> String {
        let text = text.trim();
        match self.kind {
            FieldKind::Integer if text.parse::<i64>().is_ok() => text.to_owned(),
            FieldKind::Flag if matches!(text, "true" | "false") => text.to_owned(),
            FieldKind::Changes if text.starts_with('{') => text.to_owned(),
            FieldKind::Date if crate::boat::day::is_calendar_day(text) => text.to_owned(),
            _ => toml_edit::Value::from(text).to_string().trim().to_owned(),
        }
    }

    /// Where a value without a mark comes from.
    #[must_use]
    pub const fn usual_origin(&self) -> Origin {
        if self.is_chosen { Origin::Chosen } else { Origin::Measured }
    }

    /// A value of this field for reading, in trade units.
    #[must_use]
    pub fn value_text(&self, value_si: f64) -> String {
        match self.kind {
            FieldKind::Quantity(kind) => {
                let text = format_quantity(value_si, kind, UnitSystem::Trade, Digits::Usual);
                // What is written here may be typed back: it has one reading.
                match super::stated::two_readings(&text, self) {
                    Some([decimals, thousands]) => {
                        if text.contains(',') {
                            thousands
                        } else {
                            decimals
                        }
                    }
                    None => text,
                }
            }
            // A year has no thousands comma.
            _ => format!("{value_si:.0}"),
        }
    }

    /// "4.5 m to 14 m", for help and faults.
    #[must_use]
    pub fn range_text(&self, range: (f64, f64)) -> String {
        let low = if range.0 == 0.0 { "0".to_owned() } else { without_idle_zeros(&self.value_text(range.0)) };
        format!("{low} to {}", without_idle_zeros(&self.value_text(range.1)))
    }
}

/// `3.00 m` as `3 m`: a limit is exact, its zeros say nothing.
fn without_idle_zeros(text: &str) -> String {
    let (number, unit) = text.split_once(' ').map_or((text, String::new()), |(n, u)| (n, format!(" {u}")));
    let short =
        if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number };
    format!("{short}{unit}")
}

/// Building of descriptors, used by the field tables only.
impl Field {
    pub(crate) const fn new(key: &'static str, label: &'static str, kind: FieldKind) -> Self {
        Self {
            key,
            label,
            kind,
            presence: Presence::Optional,
            possible: None,
            usual: None,
            spread_measured: SpreadRule::Exact,
            spread_assumed: SpreadRule::Exact,
            help: "",
            example: "",
            is_chosen: matches!(
                kind,
                FieldKind::Choice(_) | FieldKind::Text | FieldKind::Date | FieldKind::Flag
            ),
        }
    }

    pub(crate) const fn quantity_of(key: &'static str, label: &'static str, kind: Quantity) -> Self {
        Self::new(key, label, FieldKind::Quantity(kind))
    }

    /// It is set or decided and cannot be measured.
    pub(crate) const fn chosen(mut self) -> Self {
        self.is_chosen = true;
        self
    }

    pub(crate) const fn required(mut self) -> Self {
        self.presence = Presence::Required;
        self
    }

    pub(crate) const fn estimated(mut self, how: &'static str, source: &'static str) -> Self {
        self.presence = Presence::Estimated { how, source };
        self
    }

    pub(crate) const fn default(mut self, text: &'static str) -> Self {
        self.presence = Presence::Default(text);
        self
    }

    pub(crate) const fn possible(mut self, low: f64, high: f64) -> Self {
        self.possible = Some((low, high));
        self
    }

    pub(crate) const fn usual(mut self, low: f64, high: f64) -> Self {
        self.usual = Some((low, high));
        self
    }

    pub(crate) const fn spread(mut self, measured: SpreadRule, assumed: SpreadRule) -> Self {
        self.spread_measured = measured;
        self.spread_assumed = assumed;
        self
    }

    pub(crate) const fn help(mut self, help: &'static str, example: &'static str) -> Self {
        self.help = help;
        self.example = example;
        self
    }
}
