//! Differences of one measure with their bands, a row for each alternative. Not for: the shafts
//! (`draw::shaft_power_picture`).

use wakewright_core::options::Verdict;
use wakewright_picture::{Axis, IntervalRow, Intervals, Tone};

use super::finding::Beside;
use super::sections::sureness;

/// The picture of measure number `m`; `None` when no alternative differs in it.
pub(super) fn differences_picture(beside: &Beside<'_>, m: usize) -> Option<Intervals> {
    let better = beside.found.measures[m].of.better;
    let scale = beside.scale(m);
    let symbol = scale.unit.symbol();
    let rows: Vec<IntervalRow> = beside
        .found
        .columns
        .iter()
        .filter_map(|laid| {
            let difference = laid.differences.get(m).copied().flatten()?;
            let verdict = difference.verdict(better);
            let sure = match verdict {
                Verdict::Noise => "within the noise".to_owned(),
                Verdict::Same => "the same".to_owned(),
                Verdict::Better | Verdict::Worse | Verdict::Differs => sureness(&difference, better),
            };
            let step = format!("{} {symbol}", scale.signed(difference.interval.value));
            Some(IntervalRow {
                label: laid.name.clone(),
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
    let words = beside.words(m);
    let said: Vec<String> = rows.iter().map(|row| format!("\"{}\": {}", row.label, row.text)).collect();
    Some(Intervals {
        title: format!("Difference of {words} from the boat as she is"),
        description: format!("{}.", said.join("; ")),
        axis: Axis::new(&format!("{words}, more than as she is"), symbol, scale.decimals),
        reference: Some(0.0),
        rows,
    })
}
