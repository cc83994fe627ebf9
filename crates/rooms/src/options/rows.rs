//! The rows of the table, for text and page alike: which measures are shown, how a value, its difference
//! and their bands are written. Not for: alignment.

use wakewright_core::options::{Better, Column, Difference, Measure, MeasureKind, Verdict};
use wakewright_units::{Quantity, format_number};

use super::OptionsScene;
use super::finding::{share_words, work_words};
use super::scale::Scale;
use crate::text::Paper;

/// Rows under one heading.
#[derive(Debug, Clone, PartialEq)]
pub struct OptionSection {
    /// "At full throttle", "At 3.5 kn".
    pub heading: String,
    /// Rows.
    pub rows: Vec<OptionRow>,
}

/// One measure of all columns.
#[derive(Debug, Clone, PartialEq)]
pub struct OptionRow {
    /// What.
    pub measure: Measure,
    /// In words.
    pub words: &'static str,
    /// Unit of all its numbers; may be empty.
    pub unit: &'static str,
    /// The boat as she is, then the alternatives.
    pub cells: Vec<OptionCell>,
}

/// One figure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OptionCell {
    /// The value; empty where there is none.
    pub value: String,
    /// Its 80 % band; empty where it has none.
    pub band: String,
    /// Against the boat as she is; `None` for herself or where there is nothing to compare.
    pub step: Option<OptionStep>,
}

/// A difference.
#[derive(Debug, Clone, PartialEq)]
pub struct OptionStep {
    /// With its sign.
    pub value: String,
    /// Its 80 % band; empty where it has none.
    pub band: String,
    /// What it means.
    pub verdict: Verdict,
    /// "better in 97 %", "worse in 97 %"; empty where it is neither.
    pub share: String,
}

/// Every row that is shown.
#[must_use]
pub fn option_sections(scene: &OptionsScene<'_>, paper: &Paper) -> Vec<OptionSection> {
    let row = |(m, measure): (usize, Measure)| {
        let scale = Scale::of(measure.kind, paper);
        OptionRow {
            measure,
            words: measure.kind.words(),
            unit: scale.symbol,
            cells: scene.comparison.columns.iter().map(|column| cell(column, m, measure, &scale)).collect(),
        }
    };
    let section = |(heading, rows): (String, Vec<(usize, Measure)>)| OptionSection {
        heading,
        rows: rows.into_iter().map(row).collect(),
    };
    sections(scene, paper).into_iter().map(section).collect()
}

fn cell(column: &Column, m: usize, measure: Measure, scale: &Scale) -> OptionCell {
    let Some(interval) = column.values[m] else { return OptionCell::default() };
    let better = measure.kind.better();
    let step = column.differences.get(m).copied().flatten().map(|difference| {
        let (value, band) = (scale.signed(difference.interval.value), scale.signed_ends(difference.interval));
        let verdict = difference.verdict(better);
        let share = sureness(&difference, better);
        OptionStep { value, band, verdict, share }
    });
    OptionCell { value: scale.value(interval.value), band: scale.band(interval), step }
}

/// "better in 97 %" or "worse in 97 %" of all samples; empty where it is neither.
pub(super) fn sureness(difference: &Difference, better: Better) -> String {
    let share = difference.better_in(better);
    match difference.verdict(better) {
        _ if better == Better::Neither => String::new(),
        Verdict::Better => format!("better in {}", share_words(share)),
        Verdict::Worse => format!("worse in {}", share_words(1.0 - share)),
        Verdict::Differs | Verdict::Noise | Verdict::Same => String::new(),
    }
}

/// What is said of alternative `number` (from 1): the work on the propeller, what stops her, what comes and
/// goes, what it costs, its note; a sentence each.
#[must_use]
pub fn alternative_words(scene: &OptionsScene<'_>, number: usize, paper: &Paper) -> Vec<String> {
    let known = number.checked_sub(1).and_then(|i| scene.words.get(i));
    let (Some(column), Some(words)) = (scene.comparison.columns.get(number), known) else {
        return Vec::new();
    };
    let held = &column.full.held;
    let burst = column.full.burst.as_ref().map_or(String::new(), |burst| {
        format!(", {} for some minutes", paper.decimals(burst.state.speed_m_s, Quantity::Speed, 2))
    });
    let stops = format!(
        "{} stops her at {}{burst}.",
        capitalised(held.limit.words()),
        paper.decimals(held.state.speed_m_s, Quantity::Speed, 2)
    );
    let masses = (!words.masses.is_empty()).then(|| format!("{}.", words.masses.join(", ")));
    let cost = words.cost.as_ref().map(|cost| format!("Cost {cost}."));
    work_words(column.work)
        .map(str::to_owned)
        .into_iter()
        .chain([stops])
        .chain(masses)
        .chain(cost)
        .chain(words.note.clone())
        .collect()
}

fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + chars.as_str())
}

/// The measures that any column has, under the heading they stand under.
pub(super) fn sections(scene: &OptionsScene<'_>, paper: &Paper) -> Vec<(String, Vec<(usize, Measure)>)> {
    let comparison = scene.comparison;
    let speeds = comparison.speeds_m_s.iter().enumerate();
    let headings = std::iter::once((None, "At full throttle".to_owned())).chain(
        speeds.map(|(i, &speed)| (Some(i), format!("At {}", paper.decimals(speed, Quantity::Speed, 1)))),
    );
    headings
        .map(|(speed, heading)| {
            let rows = comparison.measures.iter().copied().enumerate();
            let shown =
                rows.filter(|(m, measure)| measure.speed == speed && is_shown(scene, *m, measure.kind));
            (heading, shown.collect())
        })
        .collect()
}

fn is_shown(scene: &OptionsScene<'_>, m: usize, kind: MeasureKind) -> bool {
    let columns = &scene.comparison.columns;
    let moves = matches!(kind, MeasureKind::Mass | MeasureKind::Sinkage | MeasureKind::Trim);
    if moves {
        return columns.iter().any(|column| column.values[m].is_some_and(|interval| interval.value != 0.0));
    }
    columns.iter().any(|column| column.values[m].is_some())
}

pub(super) fn label(kind: MeasureKind, scale: &Scale) -> String {
    if scale.symbol.is_empty() {
        kind.words().to_owned()
    } else {
        format!("{}, {}", kind.words(), scale.symbol)
    }
}

/// A difference and its band; where there is none to take, the value itself.
pub(super) fn cells(column: &Column, m: usize, better: Better, scale: &Scale) -> (String, String) {
    match (column.differences.get(m).copied().flatten(), column.values[m]) {
        (Some(difference), _) => match difference.verdict(better) {
            Verdict::Same => ("=".to_owned(), String::new()),
            verdict => {
                let mark = if verdict == Verdict::Noise { "~" } else { "" };
                (
                    format!("{mark}{}", scale.signed(difference.interval.value)),
                    scale.signed_band(difference.interval),
                )
            }
        },
        (None, Some(interval)) => (format!("is {}", scale.value(interval.value)), scale.band(interval)),
        (None, None) => ("-".to_owned(), String::new()),
    }
}

pub(super) fn better_share(difference: &Difference, better: Better) -> String {
    match (better, difference.verdict(better)) {
        (Better::Neither, _) | (_, Verdict::Same) => String::new(),
        _ => format!("{} %", format_number(100.0 * difference.better_in(better), 0)),
    }
}
