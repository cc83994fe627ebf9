//! `explain` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_units::unit_for;

use super::text::Opened;
use crate::text::Paper;
use crate::view::{Band, Envelope, FORMAT_VERSION, NoticeView};

/// Where a figure comes from.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ExplainView {
    /// Key of the figure.
    pub figure: &'static str,
    /// In words.
    pub label: &'static str,
    /// When the value holds.
    pub occasion: String,
    /// Value in `unit`; absent where she has none then.
    pub value: Option<Band>,
    /// Unit of `value`.
    pub unit: String,
    /// Formula.
    pub formula: &'static str,
    /// Where it holds, and how well.
    pub validity: &'static str,
    /// (key, citation).
    pub sources: Vec<(String, String)>,
    /// What it stands on.
    pub inputs: Vec<InputView>,
    /// What makes its band wide, largest first.
    pub width: Vec<WidthView>,
}

/// An input as the document has it.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct InputView {
    /// Field or model factor.
    pub key: String,
    /// In words.
    pub label: String,
    /// As written, or as filled in.
    pub value: String,
    /// `measured`, `assumed`, or how it was estimated.
    pub origin: String,
}

/// Share of a band that comes from one input.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct WidthView {
    /// Field of the document, or a factor of the model.
    pub input: &'static str,
    /// In words.
    pub words: &'static str,
    /// Share of the variance, 0 to 1.
    pub share: f64,
}

/// The view of one figure.
#[must_use]
pub fn explain_view(name: &str, opened: &Opened, paper: &Paper) -> Envelope<ExplainView> {
    let origin = &opened.origin;
    let unit = unit_for(origin.quantity, paper.units);
    let value = opened.interval.map(|interval| Band {
        value: unit.from_si(interval.value),
        p10: unit.from_si(interval.p10),
        p90: unit.from_si(interval.p90),
    });
    let result = ExplainView {
        figure: origin.key,
        label: origin.label,
        occasion: opened.occasion.clone(),
        value,
        unit: unit.symbol().to_owned(),
        formula: origin.formula,
        validity: origin.validity,
        sources: opened.sources.clone(),
        inputs: opened
            .inputs
            .iter()
            .map(|i| InputView {
                key: i.key.clone(),
                label: i.label.clone(),
                value: i.value.clone(),
                origin: i.known.to_string(),
            })
            .collect(),
        width: opened
            .widths
            .iter()
            .map(|w| WidthView { input: w.input.key(), words: w.input.words(), share: w.share })
            .collect(),
    };
    Envelope {
        format: "wakewright/explain".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding: opened.sentence(name, paper),
        further: opened
            .band_words(paper)
            .map_or_else(String::new, |band| format!("Four times in five it lies in {band}.")),
        result,
        notices: opened.notices.iter().map(NoticeView::of).collect(),
    }
}
