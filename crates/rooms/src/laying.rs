//! Alternatives of a boat compared on all cores, with the words that go with them.
//! Not for: what is drawn or computed, how it is shown.

use crate::options::{OptionWords, OptionsScene};
use crate::text::Paper;
use rayon::prelude::*;
use wakewright_core::boat::BoatSpec;
use wakewright_core::hull::form::hull_speed_m_s;
use wakewright_core::options::{Comparison, Variant, compare, measures, sample_variant};
use wakewright_core::spread::Sampler;
use wakewright_core::steady::BoatError;
use wakewright_records::boat::{Alternative, BoatDocument, Change, build_variants, field_named};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, parse_quantity};

use crate::boats::Loaded;

/// Alternatives compared, with the words for them.
#[derive(Debug)]
pub struct Laid {
    /// The figures.
    pub comparison: Comparison,
    /// The words.
    pub words: Vec<OptionWords>,
    /// Which of the speeds is the cruising speed.
    pub cruise: Option<usize>,
}

impl Laid {
    /// What is shown of the boat `name`.
    #[must_use]
    pub fn scene<'a>(&'a self, name: &'a str) -> OptionsScene<'a> {
        OptionsScene { name, comparison: &self.comparison, words: &self.words, cruise: self.cruise }
    }
}

/// Lays `alternatives` beside `boat`.
/// # Errors
/// In words: there are none, faults in them, or one has no steady state.
pub fn lay_side_by_side(
    boat: &Loaded,
    alternatives: &[Alternative],
    speeds_m_s: &[f64],
    (samples, seed): (usize, u64),
    paper: &Paper,
) -> Result<Laid, String> {
    if alternatives.is_empty() {
        return Err(format!(
            "{}: no alternatives. Add [[alternative]] sections (`wakewright fields`), or name one with --try \"deeper: \
             propeller.pitch=11 in\".",
            boat.place
        ));
    }
    let variants = build_variants(&boat.document, alternatives).map_err(|faults| {
        let said = faults.iter().map(|fault| format!("{}, {fault}\n      {}\n", boat.place, fault.advice));
        said.collect::<String>()
    })?;
    let comparison = compare_variants(&variants, speeds_m_s, samples, seed)
        .map_err(|(i, error)| format!("{}, \"{}\": {error}", boat.place, variants[i].name))?;
    let words = words_of(&boat.document, alternatives, &variants, paper);
    Ok(Laid { comparison, words, cruise: nearest_to(speeds_m_s, usual_speed(&boat.spec)) })
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
    let speed = |part: &str| match parse_quantity(part.trim(), Quantity::Speed) {
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

fn nearest_to(speeds_m_s: &[f64], wanted: f64) -> Option<usize> {
    let gap = |i: &usize| (speeds_m_s[*i] - wanted).abs();
    (0..speeds_m_s.len()).min_by(|a, b| gap(a).total_cmp(&gap(b)))
}

/// Compares `variants`, of which the first is the boat as she is; an error has the number of the
/// variant that has no answer at its medians.
fn compare_variants(
    variants: &[Variant],
    speeds_m_s: &[f64],
    samples: usize,
    seed: u64,
) -> Result<Comparison, (usize, BoatError)> {
    let sampler = Sampler::new(seed);
    let measures = measures(speeds_m_s.len());
    let of_variant = |variant: &Variant| {
        (0..samples as u64)
            .into_par_iter()
            .map(|sample| sample_variant(variant, &measures, speeds_m_s, sampler, sample))
            .collect()
    };
    compare(variants, speeds_m_s, variants.iter().map(of_variant).collect())
}

/// What is known of each alternative beyond its figures.
fn words_of(
    document: &BoatDocument,
    alternatives: &[Alternative],
    variants: &[Variant],
    paper: &Paper,
) -> Vec<OptionWords> {
    let variants = variants.iter().skip(1);
    alternatives
        .iter()
        .zip(variants)
        .map(|(alternative, variant)| OptionWords {
            note: alternative.note.clone(),
            changes: alternative.changes.iter().map(|change| change_words(document, change)).collect(),
            masses: variant
                .masses
                .iter()
                .map(|mass| {
                    let way = if mass.mass_kg < 0.0 { "out" } else { "in" };
                    format!("{} {way}: {}", paper.quantity(mass.mass_kg.abs(), Quantity::Mass), mass.what)
                })
                .collect(),
            cost: alternative.cost.as_ref().map(|cost| cost.text.clone()),
        })
        .collect()
}

/// "pitch 11 in instead of 8 in".
fn change_words(document: &BoatDocument, change: &Change) -> String {
    let label = field_named(&change.address).map_or(change.address.as_str(), |field| field.label);
    let before = document.typed(&change.address).map(str::to_owned);
    match before.or_else(|| document.number(&change.address).map(|usual| usual.text)) {
        Some(before) => format!("{label} {} instead of {before}", change.text),
        None => format!("{label} {}", change.text),
    }
}
