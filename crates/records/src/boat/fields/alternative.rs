//! Fields of the alternatives laid beside the boat as she is, and of the masses that they move.

use crate::boat::choice::{Chosen, Direction};
use crate::boat::descriptor::{Field, FieldKind};
use crate::boat::spread_rule::SpreadRule::{Absolute, Relative};
use wakewright_core::field;
use wakewright_units::Quantity as Q;

pub(super) static ALTERNATIVE: &[Field] = &[
    Field::new(field::alternative::NAME, "name of the alternative", FieldKind::Text)
        .required()
        .help("A short name of its own.", "3:1 pulleys"),
    Field::new(field::alternative::NOTE, "note on the alternative", FieldKind::Text)
        .help("Anything worth remembering.", "A smaller wheel on the motor; the belt stays."),
    Field::new(field::alternative::COST, "cost", FieldKind::Text)
        .help("What it costs all in, with its currency.", "420 EUR"),
    Field::new(field::alternative::CHANGES, "changes", FieldKind::Changes).required().help(
        "The fields that differ from the boat as she is, each with its new value; everything else stays.",
        "{ \"reduction.ratio\" = \"3:1\" }",
    ),
];

pub(super) static MASS: &[Field] = &[
    Field::new(field::mass::ALTERNATIVE, "alternative it belongs to", FieldKind::Text).help(
        "The name of the alternative; left out, the mass belongs to the conversion of the boat as she is.",
        "3:1 pulleys",
    ),
    Field::new(field::mass::WHAT, "what it is", FieldKind::Text)
        .required()
        .help("In words.", "the larger wheel"),
    Field::new(field::mass::DIRECTION, "way it goes", FieldKind::Choice(Direction::CHOICES))
        .default("in")
        .help("Whether it comes aboard or leaves her.", "in"),
    Field::quantity_of(field::mass::MASS, "mass", Q::Mass)
        .required()
        .possible(0.1, 5000.0)
        .usual(1.0, 700.0)
        .spread(Relative(0.03), Relative(0.15))
        .help("On a scale, or from its sheet.", "5 kg"),
    Field::quantity_of(field::mass::AFT, "place along the boat", Q::Length)
        .possible(-5.0, 30.0)
        .usual(0.0, 15.0)
        .spread(Absolute(0.1), Absolute(0.4))
        .help(
            "Its middle, measured aft from the fore end of the waterline; left out, it does not trim her.",
            "8.9 m",
        ),
    Field::quantity_of(field::mass::HEIGHT, "height", Q::Length)
        .possible(-4.0, 20.0)
        .usual(-1.5, 3.0)
        .spread(Absolute(0.05), Absolute(0.2))
        .help("Its middle above the waterline; below it with a minus.", "-0.2 m"),
    Field::quantity_of(field::mass::ASIDE, "place across the boat", Q::Length)
        .possible(-6.0, 6.0)
        .usual(-2.0, 2.0)
        .spread(Absolute(0.05), Absolute(0.2))
        .help("Its middle to starboard of the middle line; to port with a minus.", "0.3 m"),
    Field::new(field::mass::PLACE, "place in the wiring", FieldKind::Text)
        .help("Where runs of cable begin or end: it is drawn on her profile with them.", "controller"),
];
