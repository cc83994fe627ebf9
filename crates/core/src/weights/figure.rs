//! The figures of the masses that can be asked where they come from. Not for: their list (`sheets`).

use super::study::WeightsStudy;
use crate::field;
use crate::sheet::{Interval, figure_list};

figure_list! {
    /// The figures of masses and floating.
    WEIGHTS_FIGURES of WeightsStudy {
    /// Gained.
    MASS_GAINED { "mass_gained", "mass that she gains, what comes aboard less what leaves her", Mass,
        formula: "sum of masses in - sum of masses out", sources: [], inputs: [field::mass::MASS, field::mass::DIRECTION, field::old_engine::MASS, field::motor::MASS],
        validity: "as complete as the list", value: |s| Some(s.net_kg) }
    /// A centimetre.
    MASS_OF_A_CENTIMETRE { "mass_of_a_centimetre", "mass that sinks her by one centimetre", Mass,
        formula: "rho A / 100", sources: [], inputs: [field::hull::WATERPLANE_AREA, field::hull::LENGTH_WATERLINE, field::hull::BEAM_WATERLINE],
        validity: "textbook hydrostatics, from memory; upright sides about the waterline", value: |s| Some(s.per_centimetre_kg) }
    /// Fore end.
    BOW_DEEPER { "bow_deeper", "deeper at the fore end of the waterline", SmallLength,
        formula: "m / (rho A) - trim x_f / L, trim = sum m (x - x_f) L / (rho I)", sources: [],
        inputs: [field::mass::MASS, field::mass::AFT, field::hull::WATERPLANE_AREA],
        validity: "masses up to some per cent of the displacement; within a tenth where the waterplane was estimated; masses without a place sink both ends alike",
        value: |s| Some(s.bow_m) }
    /// After end.
    STERN_DEEPER { "stern_deeper", "deeper at the after end of the waterline", SmallLength,
        formula: "m / (rho A) + trim (L - x_f) / L", sources: [], inputs: [field::mass::MASS, field::mass::AFT, field::hull::WATERPLANE_AREA],
        validity: "as the fore end", value: |s| Some(s.stern_m) }
    /// Moment.
    HEELING_MOMENT { "heeling_moment", "moment that heels her to starboard", Torque,
        formula: "g sum m y", sources: [], inputs: [field::mass::MASS, field::mass::ASIDE],
        validity: "of masses that tell their place across; to port below zero", value: |s| Some(Interval::exact(s.heeling_n_m?)) }
    /// Heel.
    HEEL_OF_MASSES { "heel_of_masses", "list that it makes", Angle,
        formula: "tan(heel) = sum m y / (D GM)", sources: ["nicholls1905"], inputs: [field::mass::ASIDE, field::hull::DISPLACEMENT],
        validity: "a few degrees; needs an inclining test", value: |s| s.heel_rad }
    /// Gravity.
    GRAVITY_RISES { "gravity_rises", "how much her centre of gravity rises", SmallLength,
        formula: "sum m z / D, z above the waterline", sources: [], inputs: [field::mass::MASS, field::mass::HEIGHT, field::hull::DISPLACEMENT],
        validity: "her own centre of gravity taken at the waterline, in the band up to 0.3 m off it (from memory)", value: |s| s.gravity_rises_m }
    /// By inclining.
    GM_BY_INCLINING { "gm_by_inclining", "metacentric height by the weight that was moved", Length,
        formula: "GM = m d / (D tan(heel))", sources: ["nicholls1905"], inputs: [field::hull::DISPLACEMENT],
        validity: "1 to 4 degrees, lines slack, tanks full or empty, no wind; initial stability only", value: |s| s.gm_by_inclining_m }
    /// By roll.
    GM_BY_ROLL { "gm_by_roll", "metacentric height by the period of her roll", Length,
        formula: "T = C B / sqrt(GM), C 0.36 to 0.50 with feet", sources: [], inputs: [field::hull::BEAM_WATERLINE],
        validity: "C from memory, 0.44 as in deck examinations; small rolls in still water", value: |s| s.gm_by_roll_m }
    /// Ratio.
    GM_RATIO { "gm_ratio", "metacentric height now over before", Ratio,
        formula: "(T_before / T_now)^2", sources: [], inputs: [], validity: "the same boat and rig, both rolls in still water", value: |s| s.gm_ratio }
    }
}
