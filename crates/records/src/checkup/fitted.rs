//! What a boat document says that she has, as far as the list of a check-up depends on it.

use wakewright_core::battery::Chemistry;
use wakewright_core::boat::BoatSpec;
use wakewright_core::field;
use wakewright_core::upkeep::Fitted;

use crate::boat::{BoatDocument, PropellerPlace};

/// What she has.
#[must_use]
pub fn fitted(document: &BoatDocument, spec: &BoatSpec) -> Fitted {
    let place = document.chosen::<PropellerPlace>(field::propeller::ARRANGEMENT);
    let is =
        |address: &str, words: &[&str]| document.choice(address).is_some_and(|word| words.contains(&word));
    let saildrive = place == Some(PropellerPlace::Saildrive);
    let pod = matches!(place, Some(PropellerPlace::Pod | PropellerPlace::OutboardLeg));
    let count: u32 = spec.boat.bank.groups.iter().map(|group| group.packs_in_parallel).sum();
    let banks = std::iter::once(&spec.boat.bank).chain(spec.boat.further.iter().map(|further| &further.bank));
    let groups: Vec<Chemistry> = banks.flat_map(|bank| &bank.groups).map(|group| group.chemistry).collect();
    Fitted {
        shaft: !saildrive && !pod,
        packed_gland: is(field::propeller::SHAFT_SEAL, &["packed gland"])
            || document.typed(field::propeller::SHAFT_SEAL).is_none(),
        saildrive,
        pod,
        moving_blades: is(field::propeller::PATTERN, &["folding", "feathering"]),
        belt: is(field::reduction::KIND, &["toothed belt", "V-belt"]),
        gears: saildrive || is(field::reduction::KIND, &["gearbox", "saildrive leg"]),
        brushes: document.flag(field::motor::BRUSHES).unwrap_or(false),
        water_cooled: is(field::motor::COOLING, &["water"]),
        lead: groups.iter().any(|chemistry| chemistry.is_lead()),
        vented: groups.contains(&Chemistry::LeadFlooded),
        lithium: groups.iter().any(|chemistry| !chemistry.is_lead()),
        in_parallel: count > 1,
        panels: !document.rows(field::panel::SECTION).is_empty(),
        shore: document.has_section(field::shore::SECTION),
    }
}
