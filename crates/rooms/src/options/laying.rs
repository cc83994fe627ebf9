//! Alternatives of a boat compared on all cores. Not for: what is computed, how it is shown.

use wakewright_core::boat::BoatSpec;
use wakewright_core::hull::form::hull_speed_m_s;
use wakewright_core::options::{Comparison, Variant, compare, measures, sample_variant};
use wakewright_core::spread::Sampler;
use wakewright_records::boat::{Alternative, Change, build_variants};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, parse_certain};

use crate::boats::{Loaded, unknown_field};
use crate::no_answer::{NoAnswer, is_finding};
use crate::sampling::every;

/// Lays `alternatives` beside `boat`.
/// # Errors
/// There are none, faults in them, or one has no steady state.
pub fn lay(
    boat: &Loaded,
    alternatives: &[Alternative],
    speeds_m_s: &[f64],
    (samples, seed): (usize, u64),
) -> Result<Comparison, NoAnswer> {
    if alternatives.is_empty() {
        return Err(NoAnswer::Input(format!(
            "{}: no alternatives. Add [[alternative]] sections (`wakewright fields`), or name one with --try \"finer: \
             propeller.pitch=13 in\".",
            boat.place
        )));
    }
    let variants = build_variants(&boat.document, alternatives).map_err(|faults| {
        let said = faults.iter().map(|fault| format!("{}, {fault}\n      {}\n", boat.place, fault.advice));
        NoAnswer::Input(said.collect())
    })?;
    let (sampler, measures) = (Sampler::new(seed), measures(speeds_m_s.len()));
    let of_variant = |variant: &Variant| {
        every(samples, seed, |sampler, sample| {
            sample_variant(variant, &measures, speeds_m_s, sampler, sample)
        })
    };
    let samples = variants.iter().map(of_variant).collect();
    compare(&variants, speeds_m_s, sampler, samples).map_err(|(i, error)| {
        // The first is the boat as she is: of her the same is said as everywhere.
        if i == 0 {
            return NoAnswer::of(boat, &error);
        }
        let why = format!("{}, \"{}\": {error}", boat.place, variants[i].name);
        if is_finding(&error) { NoAnswer::Finding(why) } else { NoAnswer::Input(why) }
    })
}

/// The cruising speed of the document; without one, seven tenths of hull speed, as boats cruise.
#[must_use]
pub fn usual_speed(spec: &BoatSpec) -> f64 {
    let hull_speed = hull_speed_m_s(spec.boat.form.length_waterline_m);
    spec.fittings.cruising_speed_m_s.unwrap_or(0.7 * hull_speed)
}

/// More speeds than these are hard to read side by side.
const MOST_SPEEDS: usize = 8;

/// Speeds through the water set off by commas: `3 kn, 4 kn` \[m/s\].
/// # Errors
/// In words, with the part that is wrong.
pub fn read_speeds(text: &str) -> Result<Vec<f64>, String> {
    const FASTEST_M_S: f64 = 30.0 * KNOT_M_S;
    let speed = |part: &str| match parse_certain(part.trim(), Quantity::Speed, (0.0, FASTEST_M_S)) {
        Ok(speed) if speed > 0.0 && speed < FASTEST_M_S => Ok(speed),
        Ok(_) => Err(format!("{}: no speed of such a boat", part.trim())),
        Err(error) => Err(format!("{}: {} {}", part.trim(), error.problem(), error.advice())),
    };
    let speeds: Vec<f64> = text.split(',').map(speed).collect::<Result<_, _>>()?;
    if speeds.len() > MOST_SPEEDS {
        return Err(format!("{} speeds are too many to read; give {MOST_SPEEDS} at most", speeds.len()));
    }
    Ok(speeds)
}

/// `finer: propeller.pitch=13 in; reduction.ratio=2.8`.
/// # Errors
/// What to write instead.
pub(super) fn read_try(text: &str) -> Result<Alternative, String> {
    let usage = || {
        "write a name, a colon and changes, for example \"finer: propeller.pitch=13 in; reduction.ratio=2.8\""
            .to_owned()
    };
    let (name, rest) = text.split_once(':').ok_or_else(usage)?;
    let name = name.trim();
    if name.is_empty() || name.contains('=') {
        return Err(usage());
    }
    let mut changes = Vec::new();
    for part in rest.split(';').filter(|part| !part.trim().is_empty()) {
        let (field, value) = part.split_once('=').ok_or_else(usage)?;
        if let Some(advice) = unknown_field(field.trim()) {
            return Err(advice);
        }
        changes.push(Change::new(field.trim(), value.trim()));
    }
    if changes.is_empty() {
        return Err(usage());
    }
    Ok(Alternative { name: name.to_owned(), note: None, cost: None, changes })
}
