//! The fields of the boat document, by section. Not for: how they are read.

mod alternative;
mod bank;
mod controls;
mod electric;
mod energy;
mod hull;
mod propeller;
mod setting;
mod shore;
mod wiring;

use super::descriptor::{Field, Section};

/// Every section, in the order in which a document is written.
pub static SECTIONS: &[Section] = &[
    Section {
        name: "boat",
        heading: "The boat",
        help: "Who she is. Nothing here enters a computation.",
        is_repeated: false,
        is_required: true,
        fields: setting::BOAT,
    },
    Section {
        name: "hull",
        heading: "Hull",
        help: "What must be pushed: a few lengths taken with a tape, her weight, keel and rudder, \
               and the state of the bottom.",
        is_repeated: false,
        is_required: true,
        fields: hull::HULL,
    },
    Section {
        name: "towed",
        heading: "Towing measurements",
        help: "Drag measured by towing her with a load cell or spring balance in the line, one row per speed, \
               at least four. Where given, it replaces the computed resistance.",
        is_repeated: true,
        is_required: false,
        fields: hull::TOWED,
    },
    Section {
        name: "propeller",
        heading: "Propeller and shaft",
        help: "The propeller as it is, and where it turns.",
        is_repeated: false,
        is_required: false,
        fields: propeller::PROPELLER,
    },
    Section {
        name: "reduction",
        heading: "Reduction",
        help: "What stands between motor and shaft.",
        is_repeated: false,
        is_required: false,
        fields: propeller::REDUCTION,
    },
    Section {
        name: "motor",
        heading: "Motor",
        help: "A permanent-magnet motor, from its plate or data sheet.",
        is_repeated: false,
        is_required: false,
        fields: electric::MOTOR,
    },
    Section {
        name: "controller",
        heading: "Motor controller",
        help: "Its limits as set, not as printed on the box.",
        is_repeated: false,
        is_required: false,
        fields: electric::CONTROLLER,
    },
    Section {
        name: "pack",
        heading: "Battery packs",
        help: "One section for each kind of pack. Packs of the same group are in parallel and must have the \
               same chemistry and the same number of cells in series.",
        is_repeated: true,
        is_required: false,
        fields: bank::PACK,
    },
    Section {
        name: "bank",
        heading: "Bank",
        help: "The state of the packs taken together.",
        is_repeated: false,
        is_required: false,
        fields: bank::BANK,
    },
    Section {
        name: "panel",
        heading: "Solar panels",
        help: "One section for each kind of panel that charges the bank.",
        is_repeated: true,
        is_required: false,
        fields: energy::PANEL,
    },
    Section {
        name: "place",
        heading: "Place",
        help: "Where she lies, for sun and weather.",
        is_repeated: false,
        is_required: false,
        fields: energy::PLACE,
    },
    Section {
        name: "house",
        heading: "Loads by the hour",
        help: "What the bank feeds besides the drive, by hours of the day. Their mean stands for bank.house_load where \
               that is left out; where these are left out, that stands for them round the clock.",
        is_repeated: true,
        is_required: false,
        fields: shore::HOUSE,
    },
    Section {
        name: "week",
        heading: "Week",
        help: "How she is used in a usual week.",
        is_repeated: false,
        is_required: false,
        fields: shore::WEEK,
    },
    Section {
        name: "shore",
        heading: "Shore power",
        help: "Socket, charger and generator.",
        is_repeated: false,
        is_required: false,
        fields: shore::SHORE,
    },
    Section {
        name: "wiring",
        heading: "Wiring",
        help: "What was decided about the drive's wiring as a whole. A rule whose answer is left out cannot be told.",
        is_repeated: false,
        is_required: false,
        fields: wiring::WIRING,
    },
    Section {
        name: "cable",
        heading: "Runs of cable",
        help: "One section for each run of two conductors. Places are named as you like; these are known by name: pack (every \
               pack has such a run), pack 2 (the second pack alone), busbar, controller, motor, charger, panels, house, radio, \
               navigation lights, bilge pump.",
        is_repeated: true,
        is_required: false,
        fields: wiring::CABLE,
    },
    Section {
        name: "fuse",
        heading: "Fuses and breakers",
        help: "One section for each; that of a run of every pack stands for one at each pack.",
        is_repeated: true,
        is_required: false,
        fields: wiring::FUSE,
    },
    Section {
        name: "contactor",
        heading: "Contactors and switches",
        help: "What opens a run.",
        is_repeated: true,
        is_required: false,
        fields: wiring::CONTACTOR,
    },
    Section {
        name: "precharge",
        heading: "Pre-charge",
        help: "How the controller's capacitors are charged before the main contactor closes.",
        is_repeated: false,
        is_required: false,
        fields: wiring::PRECHARGE,
    },
    Section {
        name: "controls",
        heading: "Controls",
        help: "What the lever may do, as the controller is set, and what the drive does when something is lost. What is left out \
               cannot be told.",
        is_repeated: false,
        is_required: false,
        fields: controls::CONTROLS,
    },
    Section {
        name: "old_engine",
        heading: "The old engine",
        help: "For comparison only: the shaft speed that she was used to.",
        is_repeated: false,
        is_required: false,
        fields: setting::OLD_ENGINE,
    },
    Section {
        name: "sea",
        heading: "Sea and weather",
        help: "The conditions for which the answers are wanted.",
        is_repeated: false,
        is_required: false,
        fields: setting::SEA,
    },
    Section {
        name: "use",
        heading: "Use",
        help: "What is wanted of her.",
        is_repeated: false,
        is_required: false,
        fields: setting::USE,
    },
    Section {
        name: "alternative",
        heading: "Alternatives",
        help: "What might be changed: a name and the fields that differ, two to six of them, laid beside the boat as \
               she is.",
        is_repeated: true,
        is_required: false,
        fields: alternative::ALTERNATIVE,
    },
    Section {
        name: "mass",
        heading: "Masses",
        help: "What comes aboard or leaves her, one section for each thing: with an alternative, whose displacement and trim it \
               changes, or with the conversion of the boat as she is, told by `weights`.",
        is_repeated: true,
        is_required: false,
        fields: alternative::MASS,
    },
];

/// Every field, in the order in which a document is written.
pub fn all_fields() -> impl Iterator<Item = &'static Field> {
    SECTIONS.iter().flat_map(|section| section.fields)
}

/// The section of this name.
#[must_use]
pub fn section_named(name: &str) -> Option<&'static Section> {
    SECTIONS.iter().find(|section| section.name == name)
}

/// The field of this key (`propeller.pitch`, `pack.capacity`) or address (`pack[2].capacity`).
#[must_use]
pub fn field_named(address: &str) -> Option<&'static Field> {
    let (place, name) = address.split_once('.')?;
    let section = section_named(place.split('[').next().unwrap_or(place))?;
    section.fields.iter().find(|field| field.name() == name)
}
