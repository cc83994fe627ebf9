//! Alternatives of a boat compared on all cores, with the words that go with them.
//! Not for: what is drawn or computed, how it is shown.

use rayon::prelude::*;
use wakewright_core::boat::BoatError;
use wakewright_core::options::{Comparison, Variant, compare, measures, sample_variant};
use wakewright_core::spread::Draws;
use wakewright_records::boat::{Alternative, BoatDocument, Change, field_named};
use wakewright_report::options::OptionWords;
use wakewright_report::text::Paper;
use wakewright_units::Quantity;

/// Compares `variants`, of which the first is the boat as she is.
/// # Errors
/// The number of the variant that has no answer at its medians, and why.
pub fn compare_variants(
    variants: &[Variant],
    speeds_m_s: &[f64],
    samples: usize,
    seed: u64,
) -> Result<Comparison, (usize, BoatError)> {
    let draws = Draws::new(seed);
    let measures = measures(speeds_m_s.len());
    let of_variant = |variant: &Variant| {
        (0..samples as u64)
            .into_par_iter()
            .map(|sample| sample_variant(variant, &measures, speeds_m_s, draws, sample))
            .collect()
    };
    compare(variants, speeds_m_s, variants.iter().map(of_variant).collect())
}

/// What is known of each alternative beyond its figures.
pub fn words_of(
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
