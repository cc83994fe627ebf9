//! Differences of one measure with their bands, a row for each alternative. Not for: the shafts
//! (`draw::shaft_power_picture`).

use wakewright_core::options::{Measure, Verdict};

use super::OptionsScene;
use super::finding::{goals, measure_words};
use super::rows::sureness;
use super::scale::Scale;
use crate::text::Paper;
use wakewright_picture::{Axis, IntervalRow, Intervals, Tone};

/// The measures that an alternative may be best for, as far as they were computed.
#[must_use]
pub fn goal_measures(scene: &OptionsScene<'_>, paper: &Paper) -> Vec<Measure> {
    goals(scene, paper).into_iter().map(|(_, measure)| measure).collect()
}

/// The picture of a measure; `None` when no alternative differs in it.
#[must_use]
pub fn differences_picture(scene: &OptionsScene<'_>, measure: Measure, paper: &Paper) -> Option<Intervals> {
    let comparison = scene.comparison;
    let m = comparison.index_of(measure)?;
    let better = measure.kind.better();
    let scale = Scale::of(measure.kind, paper);
    let rows: Vec<IntervalRow> = comparison
        .columns
        .iter()
        .skip(1)
        .filter_map(|column| {
            let difference = column.differences.get(m).copied().flatten()?;
            let verdict = difference.verdict(better);
            let sure = match verdict {
                Verdict::Noise => "within the noise".to_owned(),
                Verdict::Same => "the same".to_owned(),
                _ => sureness(&difference, better),
            };
            let step = format!("{} {}", scale.signed(difference.interval.value), scale.symbol);
            Some(IntervalRow {
                label: column.name.clone(),
                median: scale.step(difference.interval.value),
                low: scale.step(difference.interval.p10),
                high: scale.step(difference.interval.p90),
                text: [step.trim(), &sure].join(if sure.is_empty() { "" } else { ", " }),
                tone: match verdict {
                    Verdict::Better => Tone::Passes,
                    Verdict::Noise | Verdict::Same => Tone::Muted,
                    Verdict::Worse | Verdict::Differs => Tone::Ink,
                },
            })
        })
        .collect();
    if rows.iter().all(|row| row.low == row.high && row.low == 0.0) {
        return None;
    }
    let words = measure_words(scene, measure, paper);
    let said: Vec<String> = rows.iter().map(|row| format!("\"{}\": {}", row.label, row.text)).collect();
    Some(Intervals {
        title: format!("Difference of {words} from the boat as she is"),
        description: format!("{}.", said.join("; ")),
        axis: Axis::new(&format!("{words}, more than as she is"), scale.symbol, scale.decimals),
        reference: Some(0.0),
        rows,
    })
}
