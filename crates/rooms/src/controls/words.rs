//! The controls in words. Not for: the pictures.

use wakewright_core::controls::{ControlsStudy, Event, EventKind, Reversal, key_force_n, shaft_shear_pa};
use wakewright_core::wiring::Verdict;
use wakewright_units::{Quantity, format_number};

use crate::sentence::capitalised;
use crate::text::{Finding, Paper};
use crate::wiring;
use crate::wiring::words::clause;

/// The sentence: how many events and rules pass, and the gravest that fails.
pub(super) fn finding(name: &str, study: &ControlsStudy, paper: &Paper) -> Finding {
    let (pass, fail, open) =
        (study.count(Verdict::Passes), study.count(Verdict::Fails), study.count(Verdict::CannotTell));
    let event = study.events.iter().find(|event| event.verdict == Verdict::Fails);
    let rule = study.rules.iter().find(|rule| rule.verdict == Verdict::Fails);
    let (binding, why) = match (event, rule) {
        (Some(event), _) => (event.kind.words().words.to_owned(), event.why.trim_end_matches('.').to_owned()),
        (None, Some(rule)) => (clause(rule, paper), String::new()),
        (None, None) => (String::new(), String::new()),
    };
    // What can lift the volts past everything is named even where it cannot be told.
    let untold = study
        .events
        .iter()
        .find(|event| event.kind == EventKind::ContactorBraking && event.verdict == Verdict::CannotTell);
    let gravest = match (binding.as_str(), why.as_str()) {
        ("", _) => untold.map_or_else(String::new, |event| {
            format!(", first of all how high the volts go when {}", event.kind.words().words)
        }),
        (binding, "") => format!(": {binding}"),
        (binding, why) => format!(": {binding}. {why}"),
    };
    let figure = format!("{pass} of {}", pass + fail + open);
    Finding {
        sentence: format!(
            "{name}'s controls: {figure} events and rules {}, {fail} {}, {open} cannot be told{gravest}.",
            if pass == 1 { "passes" } else { "pass" },
            if fail == 1 { "fails" } else { "fail" },
        ),
        figure,
        binding,
        further: study.reversal.as_ref().map_or_else(
            || "What she does astern is not known: folding blades.".to_owned(),
            |reversal| turned(study, reversal, paper),
        ),
        fails: study.hurts(),
        ..Finding::default()
    }
}

fn turned(study: &ControlsStudy, reversal: &Reversal, paper: &Paper) -> String {
    let times = reversal.shaft_n_m.value / reversal.ahead_n_m;
    let stops = reversal.told.stops_s.map_or_else(
        || "she does not lie still within two minutes".to_owned(),
        |seconds| {
            format!(
                "she lies still after {} and {}",
                paper.quantity(seconds, Quantity::ShortDuration),
                paper.quantity(reversal.told.way_m, Quantity::Length)
            )
        },
    );
    let full = if study.braking_now_a > 0.0 {
        ""
    } else {
        " At the charge and temperature of the document nothing is put back into the bank, and the shaft runs on: with room in the bank \
         she stops sooner."
    };
    let without = if study.controls.has_ramps() { "" } else { " No ramp is told: thrown over at once." };
    format!(
        "From full ahead to full astern the shaft takes {} against its way ({}), {} times what it carries at full throttle; {stops}.{full}{without}",
        paper.quantity(reversal.shaft_n_m.value, Quantity::Torque),
        paper.band(reversal.shaft_n_m, Quantity::Torque),
        format_number(times, 1),
    )
}

/// The events that came out so: "A pack trips while she drives: why."
fn that_are(study: &ControlsStudy, verdict: Verdict) -> impl Iterator<Item = (&Event, String)> {
    let are = study.events.iter().filter(move |event| event.verdict == verdict);
    are.map(|event| (event, format!("{}: {}", capitalised(event.kind.words().words), event.why)))
}

/// How many came out so, for where they are folded away.
pub(super) fn counted(study: &ControlsStudy, verdict: Verdict) -> String {
    study.count(verdict).to_string()
}

/// The events and rules that fail, each with what to do.
pub(super) fn failing(study: &ControlsStudy, paper: &Paper) -> Vec<String> {
    let events =
        that_are(study, Verdict::Fails).map(|(event, why)| format!("{why} {}", event.kind.words().remedy));
    let mut said: Vec<String> = events.collect();
    if said.is_empty() || study.rules.iter().any(|rule| rule.verdict == Verdict::Fails) {
        said.extend(wiring::words::failing(&study.rules, paper));
    }
    said
}

/// The events that cannot be told, with what is missing.
pub(super) fn events_untold(study: &ControlsStudy) -> Vec<String> {
    that_are(study, Verdict::CannotTell).map(|(_, why)| why).collect()
}

/// What the crew sees, what acts, what is left.
pub(super) fn event_words(study: &ControlsStudy) -> Vec<String> {
    let told = |event: &Event| {
        let words = event.kind.words();
        format!(
            "{}. Seen: {} Acts: {} Left: {}",
            capitalised(words.words),
            words.sees,
            words.acts,
            event.left
        )
    };
    study.events.iter().map(told).collect()
}

/// Shaft, belt, key and thrust at the worst moment.
pub(super) fn reversing(study: &ControlsStudy, reversal: &Reversal, paper: &Paper) -> Vec<String> {
    let torque = |n_m: f64| paper.quantity(n_m, Quantity::Torque);
    let worst = &reversal.told.worst;
    let mut said = vec![format!(
        "The worst moment comes {} after the lever, at {} through the water and {} rpm: {} in the shaft, {} on belt or gear ({} at full \
         throttle ahead). Thrown over at once the shaft would take {}.",
        paper.quantity(worst.time_s, Quantity::ShortDuration),
        paper.decimals(worst.speed_m_s, Quantity::Speed, 1),
        format_number(60.0 * worst.shaft_rev_s, 0),
        torque(reversal.shaft_n_m.value),
        torque(reversal.told.motor_n_m),
        torque(reversal.motor_ahead_n_m),
        torque(-reversal.at_once.worst.shaft_n_m),
    )];
    said.push(format!(
        "Thrust astern reaches {} ({}): thrust bearing, mounts and coupling take it the other way round.",
        paper.quantity(reversal.astern_n.value, Quantity::Force),
        paper.band(reversal.astern_n, Quantity::Force),
    ));
    match study.shaft_m {
        Some(shaft_m) => said.push(format!(
            "In a solid shaft of {} that is {} of shear, twice as much or more at its keyway, and {} on the key.",
            paper.quantity(shaft_m, Quantity::SmallLength),
            paper.quantity(shaft_shear_pa(reversal.shaft_n_m.value, shaft_m), Quantity::Stress),
            paper.quantity(key_force_n(reversal.shaft_n_m.value, shaft_m), Quantity::Force),
        )),
        None => said.push("Give propeller.shaft_diameter, and shear and key are told.".to_owned()),
    }
    said
}
