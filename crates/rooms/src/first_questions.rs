//! What is asked of a new boat before anything else. Not for: asking.

/// The questions that matter most, in the order of a walk round the boat: enough for a first verdict. What is not known
/// is left out, and everything else is estimated with a wide band until it is filled in.
pub const QUESTIONS: [&str; 8] = [
    "boat.name",
    "hull.kind",
    "hull.length_overall",
    "hull.beam_overall",
    "hull.draught",
    "hull.displacement",
    "motor.rated_power",
    "pack[1].capacity",
];
