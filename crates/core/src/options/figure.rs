//! The figures that come up only where alternatives are laid side by side. Not for: those that other rooms
//! have as well.

use crate::field;
use wakewright_units::Quantity;

use crate::sheet::{Figure, Origin};

const PRACTICE: &str = "common practice, no source";

/// A figure by `formula` of `sources`, which holds for `validity`.
const fn by(
    (key, words): (&'static str, &'static str),
    quantity: Quantity,
    formula: &'static str,
    sources: &'static [&'static str],
    inputs: &'static [&'static str],
    validity: &'static str,
) -> Figure {
    let origin = Origin::Formula { formula, sources, inputs, validity };
    Figure { key, head: words, label: words, quantity, origin }
}

/// From cold until the winding is too hot.
pub static TIME_TO_HEAT: Figure = by(
    ("time_to_heat", "until too hot"),
    Quantity::ShortDuration,
    "from cold at full throttle until the winding is at its limit: two heat masses, winding and case, with the losses of that state \
     and the thermal path that the continuous rating gives",
    &[PRACTICE],
    &[field::motor::MASS, field::motor::RATED_POWER, field::motor::WINDING_LIMIT, field::motor::COOLING],
    "estimate: the heat masses follow from the motor's mass; nothing when the winding never gets there",
);
/// What the other packs carry when one trips.
pub static ONE_PACK_LOST: Figure = by(
    ("one_pack_lost", "one pack lost"),
    Quantity::Share,
    "current of the packs that are left, when one trips at full throttle, over what their protection lets out; above 100 % they trip \
     one after another",
    &[PRACTICE],
    &[field::pack::BMS_DISCHARGE, field::pack::COUNT, field::pack::RESISTANCE],
    "nothing where no pack states what its protection lets out, where there is one pack, or where the others cannot give the power",
);
/// Gap between blade tip and hull.
pub static TIP_CLEARANCE: Figure = by(
    ("tip_clearance", "tip clearance"),
    Quantity::SmallLength,
    "gap between blade tip and hull: as measured, less half of what the diameter grows; else half of what the aperture leaves, the \
     shaft centred in it. A tenth of the diameter is wanted",
    &[PRACTICE],
    &[field::propeller::TIP_CLEARANCE, field::propeller::APERTURE_HEIGHT, field::propeller::DIAMETER],
    "as good as the measurement of gap or aperture",
);
/// Shear stress of the shaft.
pub static SHAFT_STRESS: Figure = by(
    ("shaft_stress", "shaft stress"),
    Quantity::Stress,
    "tau = 16 Q / (pi d^3), with the torque Q at the propeller and the diameter d of a solid shaft",
    &[PRACTICE],
    &[field::propeller::SHAFT_DIAMETER],
    "textbook torsion: without bending, shocks, keyway and fatigue",
);
/// The same with all the phase current that the controller gives.
pub static SHAFT_STRESS_AT_LIMIT: Figure = by(
    ("shaft_stress_at_limit", "peak stress"),
    Quantity::Stress,
    "tau = 16 Q / (pi d^3), with Q = all the phase current that the controller gives times the motor's torque constant times the \
     reduction: what the shaft sees when the propeller is stopped short",
    &[PRACTICE],
    &[
        field::propeller::SHAFT_DIAMETER,
        field::controller::PHASE_CURRENT,
        field::motor::SPEED_CONSTANT,
        field::reduction::RATIO,
    ],
    "as shaft stress; shock comes on top",
);
/// Mass gained.
pub static MASS_CHANGE: Figure = by(
    ("mass_change", "mass"),
    Quantity::Mass,
    "sum of the masses that come and go with the alternative",
    &[PRACTICE],
    &[field::mass::MASS, field::mass::DIRECTION],
    "as weighed",
);
/// How much deeper she floats.
pub static SINKAGE: Figure = by(
    ("sinkage", "sinkage"),
    Quantity::SmallLength,
    "mass over the density of the water and the area of the waterplane",
    &[PRACTICE],
    &[field::mass::MASS, field::hull::LENGTH_WATERLINE, field::hull::BEAM_WATERLINE],
    "small masses on upright sides",
);
/// How much deeper aft than forward.
pub static TRIM_AFT: Figure = by(
    ("trim_aft", "trim aft"),
    Quantity::SmallLength,
    "moment of the masses about the centre of the waterplane over the moment that trims her by one metre, from the second moment of \
     a waterline y = b (1 - |2x/L|^n)",
    &[PRACTICE],
    &[field::mass::MASS, field::mass::AFT, field::hull::LENGTH_WATERLINE, field::hull::BEAM_WATERLINE],
    "small masses; masses without a place along the boat do not trim her",
);
