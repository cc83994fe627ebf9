//! Alternatives as JSON, in trade units; each figure carries its unit. Not for: text.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::options::{Better, Column, Difference, Verdict};
use wakewright_core::propeller::PropellerChange;
use wakewright_units::UnitSystem;
use wakewright_units::factors::KNOT_M_S;

use super::OptionsScene;
use super::finding::{options_finding, shaft_power_words};
use super::scale::Scale;
use crate::text::Paper;
use crate::view::{Band, Envelope, FORMAT_VERSION, NoticeView};

/// The boat as she is and her alternatives.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct OptionsView {
    /// Speeds at which cruising figures are given.
    pub speeds_kn: Vec<f64>,
    /// The boat as she is, then each alternative.
    pub columns: Vec<ColumnView>,
    /// Why they differ at the shaft, in sentences.
    pub shaft_power: Vec<String>,
}

/// One of them.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ColumnView {
    /// Its name.
    pub name: String,
    /// Its note.
    pub note: Option<String>,
    /// What changes, in words.
    pub changes: Vec<String>,
    /// What comes and goes, in words.
    pub masses: Vec<String>,
    /// Cost with its currency, as typed.
    pub cost: Option<String>,
    /// `none`, `re-pitch` or `new propeller`.
    pub propeller_work: &'static str,
    /// Key of what stops her at full throttle.
    pub binding_limit: &'static str,
    /// Share of the samples in which each limit does, 0 to 1.
    pub binds_in_share: BTreeMap<&'static str, f64>,
    /// Speed for some minutes, before the motor is hot; absent when heat does not bind.
    pub burst_speed_kn: Option<f64>,
    /// At full throttle, by key of the measure.
    pub full_throttle: BTreeMap<&'static str, MeasureView>,
    /// At each speed asked.
    pub at_speeds: Vec<AtSpeedView>,
    /// Samples that contradicted themselves.
    pub samples_left_out: usize,
}

/// At one speed.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct AtSpeedView {
    /// The speed.
    pub speed_kn: f64,
    /// Share of the samples in which she reaches it, 0 to 1.
    pub in_reach_share: f64,
    /// By key of the measure.
    pub measures: BTreeMap<&'static str, MeasureView>,
}

/// A measure.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct MeasureView {
    /// In words.
    pub words: &'static str,
    /// Unit of all its numbers.
    pub unit: &'static str,
    /// With its band.
    pub value: Band,
    /// Against the boat as she is; absent for herself, or where she has no such figure.
    pub difference: Option<DifferenceView>,
}

/// A difference, taken sample by sample.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DifferenceView {
    /// With its band.
    pub value: Band,
    /// Share of the samples in which it is above zero, 0 to 1; equal samples count half.
    pub above_in_share: f64,
    /// Share of the samples in which it is better; absent where neither way is.
    pub better_in_share: Option<f64>,
    /// `better`, `worse`, `differs`, `noise` or `same`.
    pub verdict: &'static str,
}

/// The view.
#[must_use]
pub fn options_view(scene: &OptionsScene<'_>, paper: &Paper) -> Envelope<OptionsView> {
    let finding = options_finding(scene, paper);
    let comparison = scene.comparison;
    let columns = comparison.columns.iter().enumerate();
    let result = OptionsView {
        speeds_kn: comparison.speeds_m_s.iter().map(|speed| speed / KNOT_M_S).collect(),
        columns: columns.map(|(i, column)| column_view(scene, column, i)).collect(),
        shaft_power: shaft_power_words(scene, paper),
    };
    Envelope {
        format: "wakewright/options".to_owned(),
        version: FORMAT_VERSION,
        boat: scene.name.to_owned(),
        finding: finding.sentence,
        further: finding.further,
        result,
        notices: comparison.notices().into_iter().map(NoticeView::of).collect(),
    }
}

fn column_view(scene: &OptionsScene<'_>, column: &Column, i: usize) -> ColumnView {
    let words = i.checked_sub(1).and_then(|i| scene.words.get(i)).cloned().unwrap_or_default();
    let speeds = scene.comparison.speeds_m_s.iter().enumerate();
    ColumnView {
        name: column.name.clone(),
        note: words.note,
        changes: words.changes,
        masses: words.masses,
        cost: words.cost,
        propeller_work: match column.work {
            PropellerChange::None => "none",
            PropellerChange::Repitch => "re-pitch",
            PropellerChange::New => "new propeller",
        },
        binding_limit: column.full.held.limit.key(),
        binds_in_share: column.binds_in.iter().map(|(limit, share)| (limit.key(), *share)).collect(),
        burst_speed_kn: column.full.burst.as_ref().map(|burst| burst.state.speed_m_s / KNOT_M_S),
        full_throttle: measures_at(scene, column, None),
        at_speeds: speeds
            .map(|(s, speed)| AtSpeedView {
                speed_kn: speed / KNOT_M_S,
                in_reach_share: column.in_reach.get(s).copied().unwrap_or(0.0),
                measures: measures_at(scene, column, Some(s)),
            })
            .collect(),
        samples_left_out: column.left_out,
    }
}

fn measures_at(
    scene: &OptionsScene<'_>,
    column: &Column,
    speed: Option<usize>,
) -> BTreeMap<&'static str, MeasureView> {
    let trade = Paper::plain(UnitSystem::Trade);
    let measures = scene.comparison.measures.iter().enumerate().filter(|(_, measure)| measure.speed == speed);
    measures
        .filter_map(|(m, measure)| {
            let kind = measure.kind;
            let scale = Scale::of(kind, &trade);
            let interval = column.values[m]?;
            let value = Band {
                value: scale.number(interval.value),
                p10: scale.number(interval.p10),
                p90: scale.number(interval.p90),
            };
            let difference = column.differences.get(m).copied().flatten();
            let view = MeasureView {
                words: kind.words(),
                unit: scale.symbol,
                value,
                difference: difference.map(|d| difference_view(&d, kind.better(), &scale)),
            };
            Some((kind.key(), view))
        })
        .collect()
}

fn difference_view(difference: &Difference, better: Better, scale: &Scale) -> DifferenceView {
    let interval = difference.interval;
    DifferenceView {
        value: Band {
            value: scale.step(interval.value),
            p10: scale.step(interval.p10),
            p90: scale.step(interval.p90),
        },
        above_in_share: difference.above_in,
        better_in_share: (better != Better::Neither).then(|| difference.better_in(better)),
        verdict: verdict_key(difference.verdict(better)),
    }
}

/// Key of a verdict, for files.
pub(super) fn verdict_key(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Better => "better",
        Verdict::Worse => "worse",
        Verdict::Differs => "differs",
        Verdict::Noise => "noise",
        Verdict::Same => "same",
    }
}
