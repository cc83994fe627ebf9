//! The sheets of masses and floating. Not for: how they are worked out (`study`).

use wakewright_units::Quantity;

use super::figure::WEIGHTS_FIGURES;
use super::study::{Moved, WeightsStudy};
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, itself, plain};

/// Every sheet, in its order in files.
pub static WEIGHTS_SHEETS: [&dyn AnySheet<WeightsStudy>; 2] = [&FIGURES, &MASSES];

static FIGURES: Sheet<WeightsStudy, WeightsStudy> = Sheet {
    key: "figures",
    title: "Masses and floating",
    form: Form::List,
    columns: &[&WEIGHTS_FIGURES],
    rows: itself,
    tone: plain,
};

static WHAT: Figure = Figure::plain("mass_what", "what", "what comes or goes", Origin::Asked);
static MASS: Figure =
    Figure::part("mass_moved", "mass", "its mass; below zero it leaves her", Quantity::Mass, "mass_gained");
static AFT: Figure =
    Figure::asked("mass_aft", "aft", "aft of the fore end of the waterline", Quantity::Length);
static HEIGHT: Figure = Figure::asked("mass_height", "above\nwater", "above the waterline", Quantity::Length);
static ASIDE: Figure =
    Figure::asked("mass_aside", "to\nstarboard", "to starboard of the middle line", Quantity::Length);

type OfMass = Column<Moved>;

static MASSES: Sheet<WeightsStudy, Moved> = Sheet {
    key: "masses",
    title: "What comes out and goes in",
    form: Form::Table,
    columns: &[&List(&[
        OfMass::text(&WHAT, |m| Some(m.mass.what.clone())),
        OfMass::number(&MASS, |m| Some(m.mass.mass_kg)),
        OfMass::number(&AFT, |m| m.mass.aft_m),
        OfMass::number(&HEIGHT, |m| m.mass.height_m),
        OfMass::number(&ASIDE, |m| m.aside_m),
    ])],
    rows: |study, see| study.asked.moved.iter().for_each(see),
    tone: |_, moved| if moved.is_from_part { Tone::Faint } else { Tone::Plain },
};
