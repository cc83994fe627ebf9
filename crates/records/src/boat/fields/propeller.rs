//! Fields of propeller, shaft and reduction.
//!
//! Bands of wake and thrust deduction follow the ranges of common practice, no source.

use crate::boat::choice::{Chosen, PropellerPlace};
use crate::boat::descriptor::{Field, FieldKind};
use crate::boat::spread_rule::SpreadRule::{Absolute, Exact, Relative};
use wakewright_core::drive::{ReductionKind, ShaftSeal};
use wakewright_core::field;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::propeller::Pattern;
use wakewright_units::Quantity as Q;
use wakewright_units::factors::INCH_M;

const MEMORY: &str = "from memory";
const PRACTICE: &str = "common practice, no source";

pub(super) static PROPELLER: &[Field] = &[
    Field::new(field::propeller::PATTERN, "pattern of propeller", FieldKind::Choice(Pattern::CHOICES))
        .estimated("what is usual", PRACTICE)
        .help("How the blades are made.", "fixed"),
    Field::new(field::propeller::BLADES, "number of blades", FieldKind::Integer)
        .estimated("what is usual", PRACTICE)
        .possible(2.0, 7.0)
        .usual(2.0, 4.0)
        .help("Count them.", "4"),
    Field::quantity_of(field::propeller::DIAMETER, "diameter", Q::PropellerLength)
        .estimated("power, shaft speed and aperture", PRACTICE)
        .possible(5.0 * INCH_M, 45.0 * INCH_M)
        .usual(9.0 * INCH_M, 26.0 * INCH_M)
        .spread(Absolute(0.002), Relative(0.04))
        .help(
            "Stamped on the hub, first of two numbers (16 x 10). Otherwise twice the distance from the shaft's \
             centre to a blade's tip.",
            "22 in",
        ),
    Field::quantity_of(field::propeller::PITCH, "pitch", Q::PropellerLength)
        .estimated("waterline, shaft speed and diameter", PRACTICE)
        .possible(2.0 * INCH_M, 45.0 * INCH_M)
        .usual(4.0 * INCH_M, 22.0 * INCH_M)
        .spread(Relative(0.03), Relative(0.08))
        .help(
            "Stamped on the hub, second of two numbers (16 x 10): the way ahead in one turn without slip. A \
             propeller shop measures it in minutes.",
            "15 in",
        ),
    Field::quantity_of(field::propeller::AREA_RATIO, "expanded area ratio", Q::Ratio)
        .estimated("the pattern and the number of blades", PRACTICE)
        .possible(0.12, 1.3)
        .usual(0.25, 0.8)
        .spread(Absolute(0.03), Absolute(0.08))
        .help(
            "Area of all blades laid flat over the area of the disc; ordinary three-blade about \
             0.5.",
            "0.58",
        ),
    Field::new(field::propeller::BLADES_STATE, "state of the blades", FieldKind::Choice(FoulingCondition::CHOICES))
        .default("clean")
        .help("What a look or a hand finds on the blades.", "clean"),
    Field::new(field::propeller::ARRANGEMENT, "arrangement of the stern", FieldKind::Choice(PropellerPlace::CHOICES))
        .estimated("kind of hull and keel", PRACTICE)
        .help("Where the propeller turns; it decides wake and thrust deduction.", "aperture"),
    Field::quantity_of(field::propeller::APERTURE_HEIGHT, "height of the aperture", Q::SmallLength)
        .possible(0.12, 1.6)
        .usual(0.25, 0.9)
        .spread(Absolute(0.005), Absolute(0.03))
        .help("Clear height of the cut-out at the propeller, from hull to heel piece.", "690 mm"),
    Field::quantity_of(field::propeller::TIP_CLEARANCE, "tip clearance", Q::SmallLength)
        .possible(0.0, 0.8)
        .usual(0.02, 0.3)
        .spread(Absolute(0.003), Absolute(0.02))
        .help("Least distance from a blade's tip to hull, skeg or aperture.", "66 mm"),
    Field::quantity_of(field::propeller::SHAFT_DEPTH, "depth of the shaft", Q::Length)
        .estimated("six tenths of the draught, or the canoe body and the propeller where there is no keel", PRACTICE)
        .possible(0.05, 3.0)
        .usual(0.25, 1.6)
        .spread(Absolute(0.03), Absolute(0.1))
        .help("From the water mark down to the shaft's centre at the propeller.", "1.05 m"),
    Field::quantity_of(field::propeller::SHAFT_DIAMETER, "diameter of the shaft", Q::SmallLength)
        .possible(0.01, 0.1)
        .usual(0.019, 0.045)
        .spread(Absolute(0.0002), Absolute(0.003))
        .help(
            "With a calliper, where the shaft is not worn. Friction of bearings and seal follows from it, taken as a fourteenth \
             of the propeller's diameter where it is left out.",
            "45 mm",
        ),
    Field::new(field::propeller::SHAFT_SEAL, "seal of the shaft", FieldKind::Choice(ShaftSeal::CHOICES))
        .help("What keeps the water out where the shaft leaves the hull. Left out, the band of its friction covers all kinds.", "packed gland"),
    Field::quantity_of(field::propeller::SHAFT_FRICTION, "friction of the shaft", Q::Torque)
        .estimated("the diameter of the shaft and its seal", MEMORY)
        .possible(0.0, 100.0)
        .usual(0.2, 10.0)
        .spread(Relative(0.2), Relative(0.5))
        .help(
            "Torque to keep the uncoupled shaft turning: lever length times the pull on a spring \
             balance.",
            "1.5 N m",
        ),
    Field::quantity_of(field::propeller::WAKE_FRACTION, "wake fraction", Q::Ratio)
        .estimated("the arrangement of the stern", MEMORY)
        .possible(-0.1, 0.5)
        .usual(0.0, 0.32)
        .spread(Absolute(0.03), Absolute(0.05))
        .help(
            "By how much the water at the propeller lags behind the boat's speed; leave it out unless \
             a trial gave it.",
            "0.22",
        ),
    Field::quantity_of(field::propeller::THRUST_DEDUCTION, "thrust deduction", Q::Ratio)
        .estimated("the arrangement of the stern", MEMORY)
        .possible(0.0, 0.45)
        .usual(0.03, 0.28)
        .spread(Absolute(0.03), Absolute(0.04))
        .help(
            "Share of the thrust lost by suction on the hull ahead of the propeller; leave it out \
             unless a trial gave it.",
            "0.18",
        ),
];

pub(super) static REDUCTION: &[Field] = &[
    Field::new(field::reduction::KIND, "kind of reduction", FieldKind::Choice(ReductionKind::CHOICES))
        .estimated("rated speed of the motor", PRACTICE)
        .help("What turns the motor's speed into the shaft's.", "toothed belt"),
    Field::quantity_of(field::reduction::RATIO, "reduction ratio", Q::Ratio)
        .estimated("rated speed of the motor", PRACTICE)
        .possible(0.4, 12.0)
        .usual(1.0, 4.0)
        .spread(Exact, Relative(0.03))
        .help(
            "Turns of the motor for one turn of the shaft; of pulleys, the number of teeth over each other.",
            "2.2:1",
        ),
    Field::quantity_of(field::reduction::EFFICIENCY, "efficiency of the reduction", Q::Share)
        .estimated("the kind of reduction", MEMORY)
        .possible(0.5, 1.0)
        .usual(0.88, 1.0)
        .spread(Absolute(0.01), Absolute(0.015))
        .help("Share of the power that comes out at full load. What of the loss does not fall with the load stays a term of its own.", "96 %"),
];
