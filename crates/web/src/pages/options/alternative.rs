//! The alternative that a form says, laid out against the document as it stands.

use super::typed::{Place, Typed};
use super::{TRIAL_SAMPLES, bare};
use crate::words::fault_words;
use wakewright_records::boat::{
    Alternative, BoatDocument, Change, Fault, Severity, build_spec, doubt_of_cost, parse_cost,
};
use wakewright_rooms::boats::{Loaded, unknown_field};
use wakewright_rooms::options::{lay, usual_speed};
use wakewright_rooms::sampling::DEFAULT_SEED;

/// The alternative that is meant; `None`, with faults in `typed`, when it cannot be read.
pub(super) fn alternative_of(typed: &mut Typed, document: &BoatDocument) -> Option<Alternative> {
    if typed.name.is_empty() {
        typed.faults.push((Place::Name, "It needs a name of its own.".to_owned()));
    }
    let names = document.alternatives();
    let is_taken =
        (1..).zip(&names).any(|(number, other)| other.name == typed.name && Some(number) != typed.number);
    if is_taken {
        typed.faults.push((Place::Name, "Another alternative has this name.".to_owned()));
    }
    let cost = if typed.cost.is_empty() { None } else { parse_cost(&typed.cost) };
    if !typed.cost.is_empty() && cost.is_none() {
        let words = "This cannot be read as a cost. Write an amount and its currency, like 250 EUR.";
        typed.faults.push((Place::Cost, words.to_owned()));
    } else if let Some(why) = doubt_of_cost(&typed.cost) {
        typed.faults.push((Place::Cost, format!("{why}.")));
    }
    let mut changes: Vec<Change> = Vec::new();
    for (place, (field, value)) in typed.lines.iter().enumerate() {
        let fault = match (field.is_empty(), value.is_empty()) {
            (true, true) => continue,
            (true, false) => Some("Choose the field that this is the value of.".to_owned()),
            (false, true) => Some("Write the new value, or choose “no change”.".to_owned()),
            (false, false) if changes.iter().any(|change| change.address == *field) => {
                Some("This field is changed above already.".to_owned())
            }
            (false, false) => unknown_field(field),
        };
        match fault {
            Some(words) => typed.faults.push((Place::Line(place), words)),
            None => changes.push(Change::new(field, value)),
        }
    }
    if changes.is_empty() && typed.faults.is_empty() {
        typed.faults.push((Place::Line(0), "Choose a field and write its new value.".to_owned()));
    }
    let note = (!typed.note.is_empty()).then(|| typed.note.clone());
    typed.faults.is_empty().then(|| Alternative { name: typed.name.clone(), note, cost, changes })
}

/// The document with it; `None`, with faults in `typed`, when it cannot be.
pub(super) fn changed(
    typed: &mut Typed,
    document: &BoatDocument,
    boat: &Loaded,
    wanted: &Alternative,
) -> Option<BoatDocument> {
    let (made, place) = match typed.number {
        Some(number) => (document.with_alternative_changed(number, wanted), format!("alternative[{number}]")),
        None => {
            let place = format!("alternative[{}]", document.alternatives().len() + 1);
            (document.with_alternative(wanted), place)
        }
    };
    let made = match made {
        Ok(made) => made,
        Err(faults) => {
            for fault in faults.iter().filter(|fault| fault.severity == Severity::Error) {
                let at = place_of(typed, fault, &place);
                typed.faults.push((at, fault_words(fault)));
            }
            return None;
        }
    };
    // A document that can be read may still be a boat that cannot be computed.
    let spec = match build_spec(&made) {
        Ok(spec) => spec,
        Err(faults) => {
            typed.faults.extend(faults.iter().map(|fault| (Place::Whole, fault_words(fault))));
            return None;
        }
    };
    let loaded = Loaded { document: made.clone(), spec, ..boat.clone() };
    let speeds = [usual_speed(&loaded.spec)];
    match lay(&loaded, std::slice::from_ref(wanted), &speeds, (TRIAL_SAMPLES, DEFAULT_SEED)) {
        Ok(_) => Some(made),
        Err(no) => {
            let why = bare(no.message(), &loaded, &wanted.name);
            typed.faults.push((Place::Whole, format!("With these changes she cannot be computed: {why}")));
            None
        }
    }
}

/// The line of the form that a fault of the document belongs to.
fn place_of(typed: &Typed, fault: &Fault, place: &str) -> Place {
    let named =
        std::iter::once(fault.field.as_str()).chain(fault.also.iter().map(|(field, _)| field.as_str()));
    for field in named {
        let own = field.strip_prefix(place).map_or(field, |rest| rest.trim_start_matches('.'));
        let own = own.strip_prefix("changes.").unwrap_or(own);
        match own {
            "name" => return Place::Name,
            "cost" => return Place::Cost,
            _ => {}
        }
        if let Some(line) = typed.lines.iter().position(|(field, _)| field == own) {
            return Place::Line(line);
        }
    }
    Place::Whole
}
