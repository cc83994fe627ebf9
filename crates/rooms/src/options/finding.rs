//! Which alternative is better for what, by how much and how sure. Not for: the table.

use wakewright_core::options::{Comparison, Difference, Verdict};
use wakewright_core::practice::duty_of_volts;
use wakewright_core::propeller::PropellerChange;
use wakewright_core::sheet::Better;
use wakewright_core::study::{STATE, StateFigure};
use wakewright_units::{Quantity, format_number};

use super::usual_speed;
use crate::boats::Loaded;
use crate::scale::Scale;
use crate::sentence::capitalised;
use crate::text::Finding;
use crate::text::Paper;

/// What is told of alternatives, and on which paper.
#[derive(Debug, Clone, Copy)]
pub struct Beside<'a> {
    /// Name of the boat.
    pub name: &'a str,
    /// The figures; column 0 is the boat as she is.
    pub found: &'a Comparison,
    /// What is written on.
    pub paper: &'a Paper,
    /// Which of the speeds asked is nearest to her cruising speed.
    cruise: Option<usize>,
}

impl<'a> Beside<'a> {
    /// What is told of `boat`.
    #[must_use]
    pub fn of(boat: &'a Loaded, found: &'a Comparison, paper: &'a Paper) -> Self {
        let gap = |i: &usize| (found.speeds_m_s[*i] - usual_speed(&boat.spec)).abs();
        let cruise = (0..found.speeds_m_s.len()).min_by(|a, b| gap(a).total_cmp(&gap(b)));
        Self { name: &boat.name, found, paper, cruise }
    }

    /// Measures that an alternative may be best for: top speed, energy at cruising speed.
    #[must_use]
    pub fn goals(&self) -> Vec<usize> {
        let top = self.found.index_of(&STATE[StateFigure::Speed as usize], None);
        let energy = self
            .cruise
            .and_then(|i| self.found.index_of(&STATE[StateFigure::EnergyPerMile as usize], Some(i)));
        top.into_iter().chain(energy).collect()
    }

    /// How measure number `m` is written.
    #[must_use]
    pub fn scale(&self, m: usize) -> Scale {
        let of = self.found.measures[m].of;
        let sizes = self.found.columns.iter().filter_map(|laid| Some(laid.values[m]?.value.abs()));
        Scale::of(of.figure, of.decimals, sizes.fold(0.0, f64::max), self.paper)
    }

    /// "range at 3.5 kn".
    #[must_use]
    pub fn words(&self, m: usize) -> String {
        let measure = self.found.measures[m];
        match measure.speed.and_then(|i| self.found.speeds_m_s.get(i)) {
            Some(&speed) => {
                format!("{} at {}", measure.of.words, self.paper.decimals(speed, Quantity::Speed, 1))
            }
            None => measure.of.words.to_owned(),
        }
    }
}

/// The finding: the first sentence is on the first goal.
pub(crate) fn options_finding(beside: &Beside<'_>) -> Finding {
    let mut sentences = beside.goals().into_iter().map(|m| goal(beside, m));
    let (sentence, figure) = sentences.next().unwrap_or_default();
    let mut further: Vec<String> = sentences.map(|(sentence, _)| sentence).collect();
    further.extend(noise(beside));
    Finding { sentence, figure, further: further.join(" "), ..Finding::default() }
}

/// Best for one goal, by how much, how sure, and against the next best; and its name, where one is best.
fn goal(beside: &Beside<'_>, m: usize) -> (String, String) {
    let Beside { found, paper, .. } = beside;
    let measure = found.measures[m];
    let better = measure.of.better;
    if let Some(i) = measure.speed
        && found.columns.iter().all(|laid| laid.values[m].is_none())
    {
        let fastest =
            found.columns.iter().filter_map(|laid| laid.at_full(StateFigure::Speed)).fold(0.0, f64::max);
        let sentence = format!(
            "None of them reaches {}; the fastest makes {}.",
            paper.decimals(found.speeds_m_s[i], Quantity::Speed, 1),
            paper.decimals(fastest, Quantity::Speed, 1)
        );
        return (sentence, String::new());
    }
    let mut ranked: Vec<(usize, f64, Difference)> = (1..found.columns.len())
        .filter_map(|i| Some((i, found.columns[i].values[m]?.value, found.columns[i].differences[m]?)))
        .collect();
    ranked.sort_by(|a, b| if better == Better::Less { a.1.total_cmp(&b.1) } else { b.1.total_cmp(&a.1) });
    let surely =
        |(_, _, difference): &&(usize, f64, Difference)| difference.verdict(better) == Verdict::Better;
    let words = beside.words(m);
    // What is forbidden is said and is never the best.
    let barred = ranked.iter().find(surely).map(|(i, ..)| &found.columns[*i]);
    let barred = barred.filter(|laid| !laid.forbidden.is_empty()).map_or_else(String::new, |laid| {
        let why: Vec<&str> = laid.forbidden.iter().map(|finding| finding.topic).collect();
        format!(
            " \"{}\" would be better, but is not to be had as it stands: `check` fails it for {}.",
            laid.name,
            why.join("; ")
        )
    });
    let allowed = ranked.iter().find(|row| surely(row) && found.columns[row.0].forbidden.is_empty());
    let Some(&(best, value, difference)) = allowed else {
        let than = if barred.is_empty() {
            "nothing here is surely better than"
        } else {
            "nothing here that may be so is surely better than"
        };
        let sentence = format!("For {words} {than} {} as she is.{barred}", beside.name);
        return (sentence, String::new());
    };
    let scale = beside.scale(m);
    let name = |i: usize| format!("\"{}\"", found.columns[i].name);
    let way = if difference.interval.value < 0.0 { "less" } else { "more" };
    let (low, high) = ends(&difference, &scale);
    let mut text = format!(
        "For {words} {} is best: {}, {} {way} than as she is (four times in five {low} to {high})",
        name(best),
        scale.with_unit(value),
        scale.amount(difference.interval.value),
    );
    let next = ranked.iter().find(|(i, ..)| *i != best && found.columns[*i].forbidden.is_empty());
    if let Some(&(second, _, _)) = next
        && let Some(lead) = found.difference(best, second, m)
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
    let duty = |i: usize| duty_of_volts(found.columns[i].highest_charging_v);
    if let Some(duty) = duty(best).filter(|own| duty(0) != Some(*own)) {
        text += &format!("; it brings a duty, for {duty}");
    }
    (format!("{text}.{barred}"), name(best))
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
fn noise(beside: &Beside<'_>) -> Option<String> {
    let of_column = |laid: &wakewright_core::options::Laid| {
        let unsure = laid.differences.iter().enumerate().filter(|(m, difference)| {
            let better = beside.found.measures[*m].of.better;
            better != Better::Neither && difference.is_some_and(|d| d.verdict(better) == Verdict::Noise)
        });
        let words: Vec<String> = unsure.map(|(m, _)| beside.words(m)).collect();
        (!words.is_empty()).then(|| format!("\"{}\": {}", laid.name, words.join(", ")))
    };
    let all: Vec<String> = beside.found.columns.iter().skip(1).filter_map(of_column).collect();
    (!all.is_empty()).then(|| format!("Within the noise lie, of {}.", all.join("; of ")))
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

/// "14 kg in: four more cells", for each mass of alternative `number`.
pub fn mass_words<'b>(beside: &'b Beside<'_>, number: usize) -> impl Iterator<Item = String> + 'b {
    beside.found.columns[number].masses.iter().map(|mass| {
        let way = if mass.mass_kg < 0.0 { "out" } else { "in" };
        format!("{} {way}: {}", beside.paper.quantity(mass.mass_kg.abs(), Quantity::Mass), mass.what)
    })
}

/// What is said of alternative `number` (from 1): what changes, the work on the propeller, what stops her, what
/// comes and goes, what it costs, its note.
pub(crate) fn alternative_words(beside: &Beside<'_>, number: usize) -> String {
    let laid = &beside.found.columns[number];
    let speed = |si: f64| beside.paper.decimals(si, Quantity::Speed, 2);
    let burst = laid
        .full
        .burst
        .as_ref()
        .map_or(String::new(), |burst| format!(", {} for some minutes", speed(burst.state.speed_m_s)));
    let top = laid.at_full(StateFigure::Speed).map_or_else(String::new, |top| format!(" at {}", speed(top)));
    let stops = format!("{} stops her{top}{burst}.", capitalised(laid.full.held.limit.words()));
    let masses: Vec<String> = mass_words(beside, number).collect();
    let changes = format!("\"{}\": {}.", laid.name, laid.about.changes.join(", "));
    let said: Vec<String> = std::iter::once(changes)
        .chain(work_words(laid.work).map(str::to_owned))
        .chain([stops])
        .chain((!masses.is_empty()).then(|| format!("{}.", masses.join(", "))))
        .chain(laid.about.cost.as_ref().map(|cost| format!("Cost {cost}.")))
        .chain(laid.about.note.clone())
        .collect();
    said.join(" ")
}

/// Why the alternatives make another power of the shaft: one sentence for each, and the rule.
#[must_use]
pub fn shaft_power_words(found: &Comparison, paper: &Paper) -> Vec<String> {
    let mut said = Vec::new();
    let own = &found.columns[0].full.held.state;
    for (number, laid) in found.columns.iter().enumerate() {
        let state = &laid.full.held.state;
        let opening =
            if number == 0 { "As she is the shaft takes".to_owned() } else { format!("\"{}\":", laid.name) };
        let mut text = format!(
            "{opening} {} at {} and {}, with {} in the phases.",
            paper.quantity(state.delivered_power_w(), Quantity::Power),
            paper.quantity(state.shaft_rev_s, Quantity::RotationalSpeed),
            paper.quantity(state.shaft_torque_n_m, Quantity::Torque),
            paper.quantity(state.motor.current_a, Quantity::Current),
        );
        if let Some(other) = &laid.same_power {
            text += &format!(
                " The propeller she has would take as much at {}: for that the drive wants {} under load, and has {}.",
                paper.quantity(other.state.shaft_rev_s, Quantity::RotationalSpeed),
                paper.quantity(other.bank_v, Quantity::Voltage),
                paper.quantity(own.bank_v, Quantity::Voltage),
            );
        }
        said.push(text);
    }
    said.push(
        "Power at the shaft is torque times revolutions, so pitch and voltage are two ways to the same power: pitch buys \
         it with torque, that is with phase current; voltage buys it with revolutions, that is with cells."
            .to_owned(),
    );
    said
}
