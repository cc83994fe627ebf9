//! What is asked of a new boat before anything else. Not for: asking.
use wakewright_core::field;

/// The questions that matter most, in the order of a walk round the boat: enough for a first verdict. What is not known
/// is left out, and everything else is estimated with a wide band until it is filled in.
pub const QUESTIONS: [&str; 8] = [
    field::boat::NAME,
    field::hull::KIND,
    field::hull::LENGTH_OVERALL,
    field::hull::BEAM_OVERALL,
    field::hull::DRAUGHT,
    field::hull::DISPLACEMENT,
    field::motor::RATED_POWER,
    field::pack::first::CAPACITY,
];
