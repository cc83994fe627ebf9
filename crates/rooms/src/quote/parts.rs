//! The parts that a document describes, each by the name under which it is priced. Not for: what is not in a document.

use wakewright_core::field;
use wakewright_core::offer::Part;
use wakewright_core::wiring::{Cable, PACK};
use wakewright_records::boat::{Row, harness};

use crate::boats::Loaded;

/// One of that name, without a price: an alternative is priced as a whole.
pub fn unpriced(name: &str) -> Part {
    Part {
        name: name.to_owned(),
        rating: String::new(),
        thousandths: 1000,
        in_metres: false,
        mass_kg: None,
        priced: None,
    }
}

/// All of them; what every pack has of its own, its cable and what breaks it, as often as there are packs.
pub fn parts_of(boat: &Loaded) -> Vec<Part> {
    let document = &boat.document;
    let harness = harness(document, &boat.spec);
    let packs: u32 = boat.spec.boat.bank.groups.iter().map(|group| group.packs_in_parallel).sum();
    let times = |cable: Option<&Cable>| match cable {
        Some(cable) if cable.from == PACK => u64::from(packs.max(1)),
        _ => 1,
    };
    let of_fuse = |name: &str| {
        let fuse = harness.fuses.iter().find(|fuse| fuse.name == name);
        times(fuse.and_then(|fuse| harness.cables.get(fuse.cable)))
    };
    let of_contactor = |name: &str| {
        let contactor = harness.contactors.iter().find(|contactor| contactor.name == name);
        times(contactor.and_then(|contactor| harness.cables.get(contactor.cable)))
    };
    let one = |name: &str, rating: Vec<Option<&str>>, mass_kg: Option<f64>| Part {
        rating: joined(rating),
        mass_kg,
        ..unpriced(name)
    };
    let typed = |address: &str| document.typed(address);
    let mut parts = Vec::new();
    // A controller and a reduction to each motor.
    let drives = 1000 * u64::from(document.integer(field::motor::COUNT).unwrap_or(1).max(1));
    if document.has_section(field::motor::SECTION) {
        let rating = vec![
            typed(field::motor::RATED_POWER),
            typed(field::motor::RATED_SPEED),
            typed(field::motor::COOLING),
        ];
        let mass = document.number(field::motor::MASS).map(|mass| mass.value_si);
        parts.push(Part { thousandths: drives, ..one("motor", rating, mass) });
    }
    if document.has_section(field::controller::SECTION) {
        let rating = vec![typed(field::controller::PHASE_CURRENT), typed(field::controller::BATTERY_CURRENT)];
        parts.push(Part { thousandths: drives, ..one("controller", rating, None) });
    }
    if document.has_section(field::reduction::SECTION) {
        let rating = vec![typed(field::reduction::KIND), typed(field::reduction::RATIO)];
        parts.push(Part { thousandths: drives, ..one("reduction", rating, None) });
    }
    let several = |section: &str, usual: &str, keys: &[&str], count: Option<&str>| {
        let rows = document.rows(section);
        let many = rows.len() > 1;
        let row = |(place, row): (usize, &Row<'_>)| {
            let usual = if many { format!("{usual} {}", place + 1) } else { usual.to_owned() };
            let named = |key: &&str| document.typed(&row.address_of(key)).map(str::to_owned);
            let ratings: Vec<Option<String>> = keys.iter().map(named).collect();
            let count = count.and_then(|key| document.integer(&row.address_of(key))).unwrap_or(1);
            let rating = ratings.iter().map(Option::as_deref).collect();
            Part { thousandths: 1000 * u64::from(count), ..one(&usual, rating, None) }
        };
        rows.iter().enumerate().map(row).collect::<Vec<_>>()
    };
    parts.extend(several(
        field::pack::SECTION,
        "pack",
        &[field::pack::CHEMISTRY, field::pack::VOLTAGE, field::pack::CAPACITY],
        Some(field::pack::COUNT),
    ));
    let named = |section: &str, name: &str, keys: &[&str]| {
        let mut found = several(section, section, keys, None);
        for (part, row) in found.iter_mut().zip(document.rows(section)) {
            if let Some(name) = row.text(name) {
                part.name = name;
            }
        }
        found
    };
    for (mut part, row) in
        named(field::cable::SECTION, field::cable::NAME, &[field::cable::SIZE, field::cable::INSULATION])
            .into_iter()
            .zip(document.rows(field::cable::SECTION))
    {
        let length_m = row.number(field::cable::LENGTH).map_or(0.0, |length| length.value_si);
        let run = harness.cables.iter().find(|cable| cable.name == part.name);
        part.thousandths = (length_m * 1000.0).round() as u64 * times(run);
        part.in_metres = true;
        parts.push(part);
    }
    let counted = |parts: Vec<Part>, times: &dyn Fn(&str) -> u64| {
        let one = |part: Part| Part { thousandths: part.thousandths * times(&part.name), ..part };
        parts.into_iter().map(one).collect::<Vec<_>>()
    };
    let fuses = named(
        field::fuse::SECTION,
        field::fuse::NAME,
        &[field::fuse::CLASS, field::fuse::RATING, field::fuse::VOLTAGE],
    );
    let contactors = named(
        field::contactor::SECTION,
        field::contactor::NAME,
        &[field::contactor::CONTINUOUS, field::contactor::BREAK],
    );
    parts.extend(counted(fuses, &of_fuse));
    parts.extend(counted(contactors, &of_contactor));
    if document.has_section(field::precharge::SECTION) {
        parts.push(one(
            "pre-charge",
            vec![typed(field::precharge::RESISTOR), typed(field::precharge::PULSE_ENERGY)],
            None,
        ));
    }
    parts.extend(several(field::panel::SECTION, "panel", &[field::panel::POWER], Some(field::panel::COUNT)));
    if document.has_section(field::shore::SECTION) {
        parts.push(one("charger", vec![typed(field::shore::CHARGER_POWER)], None));
    }
    parts
}

/// Each name once: the second of a name is "main fuse 2".
pub fn told_apart(mut parts: Vec<Part>) -> Vec<Part> {
    for place in 1..parts.len() {
        let own = parts[place].name.clone();
        let before = parts[..place].iter().filter(|part| part.name.eq_ignore_ascii_case(&own)).count();
        if before > 0 {
            parts[place].name = format!("{own} {}", before + 1);
        }
    }
    parts
}

fn joined(words: Vec<Option<&str>>) -> String {
    let plain = |word: &str| word.split(", ").next().unwrap_or(word).trim().to_owned();
    words.into_iter().flatten().map(plain).collect::<Vec<_>>().join(", ")
}
