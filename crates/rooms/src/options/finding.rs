//! Which alternative is better for what, by how much and how sure. Not for: the table.

use wakewright_core::options::{Better, Difference, Measure, MeasureKind, Verdict, power_by_volts};
use wakewright_core::propeller::PropellerChange;
use wakewright_core::study::Figure;
use wakewright_units::{Quantity, format_number};

use super::OptionsScene;
use super::scale::Scale;
use crate::sentence::Finding;
use crate::text::Paper;

/// What an alternative may be best for, with its measure.
pub(super) fn goals(scene: &OptionsScene<'_>, paper: &Paper) -> Vec<(String, Measure)> {
    let mut goals =
        vec![("top speed".to_owned(), Measure { kind: MeasureKind::State(Figure::Speed), speed: None })];
    if let Some(i) = scene.cruise
        && let Some(&speed) = scene.comparison.speeds_m_s.get(i)
    {
        let words = format!("energy at {}", paper.decimals(speed, Quantity::Speed, 1));
        goals.push((words, Measure { kind: MeasureKind::State(Figure::EnergyPerMile), speed: Some(i) }));
    }
    goals
}

/// The finding: the first sentence is on the first goal.
#[must_use]
pub fn options_finding(scene: &OptionsScene<'_>, paper: &Paper) -> Finding {
    let mut sentences =
        goals(scene, paper).into_iter().map(|(words, measure)| goal(scene, &words, measure, paper));
    let sentence = sentences.next().unwrap_or_default();
    let mut further: Vec<String> = sentences.collect();
    further.extend(noise(scene, paper));
    Finding { sentence, binding: String::new(), figure: String::new(), further: further.join(" ") }
}

/// Best for one goal, by how much, how sure, and against the next best.
fn goal(scene: &OptionsScene<'_>, words: &str, measure: Measure, paper: &Paper) -> String {
    let comparison = scene.comparison;
    let better = measure.kind.better();
    let Some(m) = comparison.index_of(measure) else { return String::new() };
    if let Some(i) = measure.speed
        && comparison.columns.iter().all(|column| column.values[m].is_none())
    {
        let fastest = comparison.columns.iter().map(|c| c.full.held.state.speed_m_s).fold(0.0, f64::max);
        return format!(
            "None of them reaches {}; the fastest makes {}.",
            paper.decimals(comparison.speeds_m_s[i], Quantity::Speed, 1),
            paper.decimals(fastest, Quantity::Speed, 1)
        );
    }
    let mut ranked: Vec<(usize, f64, Difference)> = (1..comparison.columns.len())
        .filter_map(|i| {
            let column = &comparison.columns[i];
            Some((i, column.values[m]?.value, column.differences[m]?))
        })
        .collect();
    ranked.sort_by(|a, b| if better == Better::Less { a.1.total_cmp(&b.1) } else { b.1.total_cmp(&a.1) });
    let surely =
        |(_, _, difference): &&(usize, f64, Difference)| difference.verdict(better) == Verdict::Better;
    let Some(&(best, value, difference)) = ranked.iter().find(surely) else {
        return format!("For {words} nothing here is surely better than {} as she is.", scene.name);
    };
    let scale = Scale::of(measure.kind, paper);
    let name = |i: usize| format!("\"{}\"", comparison.columns[i].name);
    let way = if difference.interval.value < 0.0 { "less" } else { "more" };
    let (low, high) = ends(&difference, &scale);
    let mut text = format!(
        "For {words} {} is best: {}, {} {way} than as she is (four times in five {low} to {high})",
        name(best),
        scale.with_unit(value),
        scale.amount(difference.interval.value),
    );
    let next = ranked.iter().find(|(i, ..)| *i != best);
    if let Some(&(second, _, _)) = next
        && let Some(lead) = comparison.difference(best, second, m)
    {
        text += &match lead.verdict(better) {
            Verdict::Better => format!(
                "; it leads {} by {}, ahead in {} of all samples",
                name(second),
                scale.amount(lead.interval.value),
                share_words(lead.better_in(better))
            ),
            _ => format!("; {} is as good within the noise", name(second)),
        };
    }
    text + "."
}

/// A share of samples; a thousand of them do not make a certainty.
pub(super) fn share_words(share: f64) -> String {
    if share > 0.99 { "more than 99 %".to_owned() } else { format!("{} %", format_number(100.0 * share, 0)) }
}

fn ends(difference: &Difference, scale: &Scale) -> (String, String) {
    let (low, high) = (scale.size(difference.interval.p10), scale.size(difference.interval.p90));
    if difference.interval.value < 0.0 { (high, low) } else { (low, high) }
}

/// What nobody should choose by: graded measures in which the sign is not sure.
fn noise(scene: &OptionsScene<'_>, paper: &Paper) -> Option<String> {
    let comparison = scene.comparison;
    let of_column = |i: usize| {
        let column = &comparison.columns[i];
        let unsure = comparison.measures.iter().zip(&column.differences).filter(|(measure, difference)| {
            let better = measure.kind.better();
            better != Better::Neither && difference.is_some_and(|d| d.verdict(better) == Verdict::Noise)
        });
        let words: Vec<String> = unsure.map(|(measure, _)| measure_words(scene, *measure, paper)).collect();
        (!words.is_empty()).then(|| format!("\"{}\": {}", column.name, words.join(", ")))
    };
    let all: Vec<String> = (1..comparison.columns.len()).filter_map(of_column).collect();
    (!all.is_empty()).then(|| format!("Within the noise lie, of {}.", all.join("; of ")))
}

/// "range at 3.5 kn".
#[must_use]
pub fn measure_words(scene: &OptionsScene<'_>, measure: Measure, paper: &Paper) -> String {
    match measure.speed.and_then(|i| scene.comparison.speeds_m_s.get(i)) {
        Some(&speed) => {
            format!("{} at {}", measure.kind.words(), paper.decimals(speed, Quantity::Speed, 1))
        }
        None => measure.kind.words().to_owned(),
    }
}

/// What is done to the propeller, in words.
#[must_use]
pub fn work_words(work: PropellerChange) -> Option<&'static str> {
    match work {
        PropellerChange::None => None,
        PropellerChange::Repitch => Some("A re-pitch: a propeller shop does it on the propeller she has."),
        PropellerChange::New => Some("A new propeller."),
    }
}

/// Why the alternatives make another power of the shaft: one sentence for each, and the rule.
#[must_use]
pub fn shaft_power_words(scene: &OptionsScene<'_>, paper: &Paper) -> Vec<String> {
    let Some((base, alternatives)) = scene.comparison.columns.split_first() else { return Vec::new() };
    let own = &base.full.held.state;
    let mut found = vec![format!(
        "As she is the shaft takes {} at {} and {}, with {} in the phases.",
        paper.quantity(own.delivered_power_w(), Quantity::Power),
        paper.quantity(own.shaft_rev_s, Quantity::RotationalSpeed),
        paper.quantity(own.shaft_torque_n_m, Quantity::Torque),
        paper.quantity(own.motor.current_a, Quantity::Current),
    )];
    for column in alternatives {
        let state = &column.full.held.state;
        let power = state.delivered_power_w();
        let mut text = format!(
            "\"{}\": {} at {} and {}, with {} in the phases.",
            column.name,
            paper.quantity(power, Quantity::Power),
            paper.quantity(state.shaft_rev_s, Quantity::RotationalSpeed),
            paper.quantity(state.shaft_torque_n_m, Quantity::Torque),
            paper.quantity(state.motor.current_a, Quantity::Current),
        );
        if column.work != PropellerChange::None
            && let Some(other) = power_by_volts(&base.prepared, power)
        {
            text += &format!(
                " The propeller she has would take as much at {}: for that the drive wants {} under load, and has {}.",
                paper.quantity(other.state.shaft_rev_s, Quantity::RotationalSpeed),
                paper.quantity(other.bank_v, Quantity::Voltage),
                paper.quantity(own.bank_v, Quantity::Voltage),
            );
        }
        found.push(text);
    }
    found.push(
        "Power at the shaft is torque times revolutions, so pitch and voltage are two ways to the same power: pitch buys \
         it with torque, that is with phase current; voltage buys it with revolutions, that is with cells."
            .to_owned(),
    );
    found
}
