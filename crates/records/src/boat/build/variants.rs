//! From the alternatives of a document to the variants that are compared. Not for: comparing them.

use wakewright_core::field;
use wakewright_core::options::{About, MassMove, Variant};
use wakewright_core::spread::Spread;
use wakewright_core::weights::Moved;

use super::build_spec;
use crate::boat::alternatives::{Alternative, Change};
use crate::boat::choice::Direction;
use crate::boat::document::{BoatDocument, Row};
use crate::boat::fault::Fault;
use crate::boat::fields::field_named;

/// The boat as she is and each of `alternatives`, which may be the document's own or others.
///
/// # Errors
/// The faults of the first that cannot be built; those of an alternative name it.
pub fn build_variants(
    document: &BoatDocument,
    alternatives: &[Alternative],
) -> Result<Vec<Variant>, Vec<Fault>> {
    let base = build_spec(document)?;
    let mut variants = vec![Variant::as_she_is(base.clone())];
    for alternative in alternatives {
        let named = |faults: Vec<Fault>| -> Vec<Fault> {
            let name =
                |fault: Fault| Fault { field: format!("{}: {}", alternative.name, fault.field), ..fault };
            faults.into_iter().map(name).collect()
        };
        let changed = document.with_changes(&alternative.changes).map_err(named)?;
        let spec = build_spec(&changed).map_err(named)?;
        let masses = masses_of(document, &alternative.name);
        let about = About {
            note: alternative.note.clone(),
            changes: alternative.changes.iter().map(|change| change_words(document, change)).collect(),
            cost: alternative.cost.as_ref().map(|cost| cost.text.clone()),
        };
        variants.push(Variant::alternative(&alternative.name, &base, spec, masses, about));
    }
    Ok(variants)
}

/// "pitch 13 in instead of 15 in".
fn change_words(document: &BoatDocument, change: &Change) -> String {
    let label = field_named(&change.address).map_or(change.address.as_str(), |field| field.label);
    let before = document.typed(&change.address).map(str::to_owned);
    match before.or_else(|| document.number(&change.address).map(|usual| usual.text)) {
        Some(before) => format!("{label} {} instead of {before}", change.text),
        None => format!("{label} {}", change.text),
    }
}

fn masses_of(document: &BoatDocument, alternative: &str) -> Vec<MassMove> {
    let rows = document.rows(field::mass::SECTION);
    let own = rows.iter().filter(|row| row.text(field::mass::ALTERNATIVE).as_deref() == Some(alternative));
    own.filter_map(moved).collect()
}

fn moved(row: &Row<'_>) -> Option<MassMove> {
    let number = |name: &str| row.number(name).map(|stated| stated.value_si);
    let sign = if row.chosen(field::mass::DIRECTION) == Some(Direction::Out) { -1.0 } else { 1.0 };
    Some(MassMove {
        what: row.text(field::mass::WHAT).unwrap_or_default(),
        mass_kg: sign * number(field::mass::MASS)?,
        aft_m: number(field::mass::AFT),
        height_m: number(field::mass::HEIGHT),
    })
}

fn half_band(spread: &Spread) -> f64 {
    0.5 * (spread.p90 - spread.p10)
}

/// What the conversion of the boat as she is took out and put in: the masses that belong to no alternative; where none of
/// them leaves her, the old engine by its own field, and where none comes aboard, the motor by its own.
#[must_use]
pub fn conversion_masses(document: &BoatDocument) -> Vec<Moved> {
    let rows = document.rows(field::mass::SECTION);
    let own = rows.iter().filter(|row| row.text(field::mass::ALTERNATIVE).is_none());
    let mut found: Vec<Moved> = own
        .filter_map(|row| {
            let aside_m = row.number(field::mass::ASIDE).map(|stated| stated.value_si);
            let half_band_kg = half_band(&row.number(field::mass::MASS)?.spread);
            Some(Moved { mass: moved(row)?, aside_m, half_band_kg, is_from_part: false })
        })
        .collect();
    let motors = document.integer(field::motor::COUNT).unwrap_or(1);
    let motor = match motors {
        1 => "the motor, as its own section tells",
        _ => "the motors, as their own section tells of each",
    };
    let parts = [
        (field::old_engine::MASS, "the old engine, as its own section tells", -1.0),
        (field::motor::MASS, motor, motors as f64),
    ];
    for (address, what, count) in parts {
        let is_told = found.iter().any(|moved| moved.mass.mass_kg * count > 0.0);
        let Some(stated) = document.stated_number(address).filter(|_| !is_told) else { continue };
        let mass =
            MassMove { what: what.to_owned(), mass_kg: count * stated.value_si, aft_m: None, height_m: None };
        let half_band_kg = count.abs() * half_band(&stated.spread);
        found.push(Moved { mass, aside_m: None, half_band_kg, is_from_part: true });
    }
    found
}
