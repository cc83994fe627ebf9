//! What is asked of a new boat before anything else. Not for: asking.
use wakewright_core::field;

/// The questions that matter most, in the order of a walk round the boat.
pub const QUESTIONS: [&str; 26] = [
    field::boat::NAME,
    field::hull::KIND,
    field::hull::LENGTH_OVERALL,
    field::hull::LENGTH_WATERLINE,
    field::hull::BEAM_WATERLINE,
    field::hull::DRAUGHT,
    field::hull::DISPLACEMENT,
    field::hull::KEEL,
    field::hull::RUDDER,
    field::hull::BOTTOM,
    field::propeller::PATTERN,
    field::propeller::BLADES,
    field::propeller::DIAMETER,
    field::propeller::PITCH,
    field::propeller::ARRANGEMENT,
    field::reduction::KIND,
    field::reduction::RATIO,
    field::motor::SPEED_CONSTANT,
    field::motor::RATED_POWER,
    field::motor::RATED_SPEED,
    field::controller::PHASE_CURRENT,
    field::controller::BATTERY_CURRENT,
    field::pack::first::CHEMISTRY,
    field::pack::first::CELLS_IN_SERIES,
    field::pack::first::CAPACITY,
    field::pack::first::COUNT,
];
