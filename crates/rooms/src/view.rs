//! Results as JSON: one versioned format for each command, field names with their units, the schema
//! made from these types. Not for: text, pages.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::notice::Notice;
use wakewright_core::study::Interval;

/// Version of all formats; it rises when a field changes its meaning or goes away.
pub const FORMAT_VERSION: u32 = 2;

/// What stands around every result.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Envelope<T> {
    /// Name of the format: `wakewright/drive` and so on.
    pub format: String,
    /// Version of the format.
    pub version: u32,
    /// Name of the boat.
    pub boat: String,
    /// The sentence that says what was found.
    pub finding: String,
    /// How sure, and what comes next.
    pub further: String,
    /// The result.
    pub result: T,
    /// What to read before the figures are used.
    pub notices: Vec<NoticeView>,
}

/// A remark.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct NoticeView {
    /// `note`, `weak` or `caution`.
    pub severity: &'static str,
    /// In words.
    pub text: String,
    /// Key of its source, or `common practice, no source`, or `from memory`.
    pub source: String,
}

impl NoticeView {
    /// From the notice.
    #[must_use]
    pub fn of(notice: &Notice) -> Self {
        Self { severity: notice.severity().key(), text: notice.text(), source: notice.source().to_owned() }
    }
}

/// A figure with its 80 % band.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
pub struct Band {
    /// With every input at its median.
    pub value: f64,
    /// One time in ten lower.
    pub p10: f64,
    /// One time in ten higher.
    pub p90: f64,
}

impl Band {
    /// `interval` divided by the size of a unit.
    #[must_use]
    pub fn of(interval: Interval, unit: f64) -> Self {
        Self { value: interval.value / unit, p10: interval.p10 / unit, p90: interval.p90 / unit }
    }
}

/// The schema of a view.
#[must_use]
pub fn schema_of<T: JsonSchema>() -> serde_json::Value {
    schemars::schema_for!(Envelope<T>).to_value()
}
