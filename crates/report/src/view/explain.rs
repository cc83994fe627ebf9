//! `explain` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::study::{Figure, Study};
use wakewright_units::unit_for;

use super::drive::WidthView;
use super::{Band, Envelope, FORMAT_VERSION, NoticeView};
use crate::text::{InputLine, Paper};

/// Where a figure comes from.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ExplainView {
    /// Key of the figure.
    pub figure: &'static str,
    /// In words.
    pub label: &'static str,
    /// Value at full throttle in `unit`.
    pub value: Band,
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

/// The view of one figure.
#[must_use]
pub fn explain_view(
    name: &str,
    figure: Figure,
    study: &Study,
    inputs: &[InputLine],
    sources: &[(String, String)],
    paper: &Paper,
) -> Envelope<ExplainView> {
    let origin = figure.origin();
    let unit = unit_for(origin.quantity, paper.units);
    let interval = study.at_full(figure);
    let value = Band {
        value: unit.from_si(interval.value),
        p10: unit.from_si(interval.p10),
        p90: unit.from_si(interval.p90),
    };
    let result = ExplainView {
        figure: origin.key,
        label: origin.label,
        value,
        unit: unit.symbol().to_owned(),
        formula: origin.formula,
        validity: origin.validity,
        sources: sources.to_vec(),
        inputs: inputs
            .iter()
            .map(|i| InputView {
                key: i.key.clone(),
                label: i.label.clone(),
                value: i.value.clone(),
                origin: i.origin.clone(),
            })
            .collect(),
        width: study
            .width_of(figure)
            .iter()
            .map(|w| WidthView { input: w.input.key(), words: w.input.words(), share: w.share })
            .collect(),
    };
    Envelope {
        format: "wakewright/explain".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding: format!(
            "At full throttle, {} of {name} is {}.",
            origin.label,
            paper.quantity(interval.value, origin.quantity)
        ),
        further: format!("Four times in five it lies in {}.", paper.band(interval, origin.quantity)),
        result,
        notices: study.notices.iter().map(NoticeView::of).collect(),
    }
}
