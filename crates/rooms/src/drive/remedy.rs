//! What would end that which stops her at full throttle: of her alternatives and of single changes of pitch, reduction
//! and volts the cheapest that does, and is not forbidden. Not for: searching all there is (`search`).

use std::collections::BTreeMap;

use rayon::prelude::*;
use wakewright_core::drive::ReductionKind;
use wakewright_core::field;
use wakewright_core::practice::{DUTY_WORTH_M_S, duty_brought, duty_words, forbidden};
use wakewright_core::spread::Interval;
use wakewright_core::steady::PreparedBoat;
use wakewright_core::study::{Questions, StateFigure, Study};
use wakewright_units::Quantity;
use wakewright_units::factors::KNOT_M_S;

use crate::boats::Loaded;
use crate::room::Asked;
use crate::sampling;
use crate::text::{Paper, Remedy};
use crate::whatif::{ALL_CELLS, Slider, Tried};

/// A gain smaller than this is not worth a change \[m/s\]: it drowns in the band, and another question would find the
/// opposite change as good. Judgement.
const LEAST_GAIN_M_S: f64 = 0.2 * KNOT_M_S;

/// A change further from what she has than this is another boat's.
const REACH: (f64, f64) = (0.6, 1.6);

/// One way to change her. The order is that of cost: common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Way {
    Pitch,
    Reduction,
    /// Of this place when put in order of price.
    Alternative(usize),
    Volts,
}

struct Candidate {
    way: Way,
    words: String,
    sets: Vec<String>,
}

/// The duty that `changed` brings and she as she is does not have, with what it must gain to be worth having \[m/s\].
fn duty_and_least_gain(asked: &Asked<'_>, changed: &Loaded) -> (Option<&'static str>, f64) {
    let highest_v = |of: &Loaded| of.spec.boat.bank.highest_charging_v();
    let duty = duty_brought(highest_v(asked.boat), highest_v(changed));
    (duty, if duty.is_some() { DUTY_WORTH_M_S } else { LEAST_GAIN_M_S })
}

/// The remedy of `study`, among what `sliders` can try and the alternatives of her document; words alone where there
/// is none.
pub fn remedy(asked: &Asked<'_>, study: &Study, sliders: &[Slider], paper: &Paper) -> Remedy {
    let held = &study.answers.full.held;
    let ends = |candidate: Candidate| {
        let tried = Tried::new(asked.boat, candidate.sets.iter().map(String::as_str), Vec::new());
        if !tried.differs() {
            return None;
        }
        let spec = &tried.loaded.spec;
        let prepared = PreparedBoat::new(&spec.boat).ok()?.value;
        let full = prepared.full_throttle().ok()?.held;
        let helps = full.limit != held.limit
            && full.state.speed_m_s > held.state.speed_m_s + duty_and_least_gain(asked, &tried.loaded).1;
        let is_allowed = || forbidden(&spec.boat, &spec.fittings, &prepared, &full.state).is_empty();
        (helps && is_allowed()).then_some((candidate, tried.loaded, full.state.speed_m_s))
    };
    let mut ways: BTreeMap<Way, Vec<Candidate>> = BTreeMap::new();
    for candidate in candidates(asked, sliders) {
        ways.entry(candidate.way).or_default().push(candidate);
    }
    // The cheapest way in which there is one; of that way the change that makes her fastest.
    let best = ways.into_values().find_map(|of_one_way| {
        let found: Vec<(Candidate, Loaded, f64)> = of_one_way.into_par_iter().filter_map(ends).collect();
        found.into_iter().reduce(|best, next| if next.2 > best.2 { next } else { best })
    });
    let now_m_s = study.at_full(StateFigure::Speed).value;
    let with_band = best.and_then(|(candidate, loaded, _)| {
        let study = sampling::study(&loaded.spec, &Questions::default(), asked.samples, asked.seed).ok()?;
        let speed: Interval = study.at_full(StateFigure::Speed);
        let (duty, least_m_s) = duty_and_least_gain(asked, &loaded);
        (speed.value > now_m_s + least_m_s).then_some((candidate, speed, duty_words(duty)))
    });
    match with_band {
        Some((candidate, speed, duty)) => Remedy {
            words: format!(
                "{} would give {}, four times in five {}: {} more{duty}.",
                candidate.words,
                paper.decimals(speed.value, Quantity::Speed, 1),
                paper.band(speed, Quantity::Speed),
                paper.decimals(speed.value - now_m_s, Quantity::Speed, 1)
            ),
            sets: candidate.sets,
        },
        None => Remedy {
            words: "No single change of pitch, reduction or volts, and none of her alternatives, ends that without \
                    another fault."
                .to_owned(),
            sets: Vec::new(),
        },
    }
}

fn candidates(asked: &Asked<'_>, sliders: &[Slider]) -> Vec<Candidate> {
    let mut all = Vec::new();
    let is_leg = asked.boat.spec.boat.drive_line.kind == ReductionKind::BevelLeg;
    for slider in sliders {
        let (way, name) = match slider.key {
            field::propeller::PITCH => (Way::Pitch, "A pitch"),
            // The bevel gears of a leg are what they are.
            field::reduction::RATIO if !is_leg => (Way::Reduction, "A reduction"),
            ALL_CELLS => (Way::Volts, "A bank"),
            _ => continue,
        };
        let number =
            |text: &str| text.split(|c: char| c != '.' && !c.is_ascii_digit()).next()?.parse::<f64>().ok();
        let Some((here, words)) = slider.places.get(slider.at) else { continue };
        for (value, other) in &slider.places {
            let share = number(value).zip(number(here)).map(|(a, b)| a / b);
            if value != here && share.is_some_and(|share| share > REACH.0 && share < REACH.1) {
                let words = format!("{name} of {other} in place of {words}");
                all.push(Candidate { way, words, sets: vec![format!("{}={value}", slider.key)] });
            }
        }
    }
    let mut alternatives = asked.boat.document.alternatives();
    let price =
        |cost: &Option<wakewright_records::boat::Cost>| cost.as_ref().map_or(f64::INFINITY, |c| c.amount);
    alternatives.sort_by(|a, b| price(&a.cost).total_cmp(&price(&b.cost)));
    all.extend(alternatives.into_iter().enumerate().map(|(place, alternative)| {
        let cost = alternative.cost.map_or_else(String::new, |cost| format!(" ({})", cost.text));
        Candidate {
            way: Way::Alternative(place),
            words: format!("“{}”{cost}", alternative.name),
            sets: alternative
                .changes
                .iter()
                .map(|change| format!("{}={}", change.address, change.text))
                .collect(),
        }
    }));
    all
}

#[cfg(test)]
mod tests {
    use super::{duty_brought, duty_words};

    /// Volts that bring a duty have it, and its cost, in the sentence that recommends them; one that she has is not said
    /// again.
    #[test]
    fn a_duty_stands_in_the_sentence_that_brings_it() {
        let new_duty = |before, after| duty_words(duty_brought(before, after));
        let sixty = new_duty(58.4, 65.7);
        assert!(sixty.starts_with("; it brings a duty, for above 60 V direct current can kill"), "{sixty}");
        assert!(sixty.contains("qualified person") && sixty.ends_with("their cost with it"), "{sixty}");
        let thirty = new_duty(29.2, 58.4);
        assert!(thirty.contains("above 30 V") && thirty.ends_with("their cost with it"), "{thirty}");
        for (before, after) in [(58.4, 54.8), (65.7, 87.6), (14.6, 29.2), (65.7, 29.2)] {
            assert_eq!(new_duty(before, after), "", "{before} V to {after} V");
        }
    }
}
