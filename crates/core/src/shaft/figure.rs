//! The figures of a shaft line that can be asked where they come from. Not for: their list (`sheets`).

use wakewright_units::Quantity;

use super::study::ShaftStudy;
use crate::field;
use crate::sheet::{Figure, Interval, Origin, figure_list};

figure_list! {
    /// The figures of a shaft line.
    SHAFT_FIGURES of ShaftStudy {
    /// Once a turn.
    SHAFT_RATE { "shaft_rate", "turns of the shaft at full throttle", RotationalSpeed,
        formula: "the steady state at full throttle", sources: [], inputs: [field::propeller::PITCH, field::propeller::DIAMETER],
        validity: "the same samples as `drive`, the same figure", value: |s| Some(s.full.shaft_rev_s) }
    /// Blades.
    BLADE_RATE { "blade_rate", "blades that pass then", RotationalSpeed,
        formula: "n Z", sources: [], inputs: [field::propeller::BLADES], validity: "as the turns of the shaft", value: |s| {
            let (full, blades) = (s.full.shaft_rev_s, f64::from(s.blades));
            Some(Interval { value: full.value * blades, p10: full.p10 * blades, p90: full.p90 * blades })
        } }
    /// Whirling.
    FIRST_WHIRLING { "first_whirling", "first whirling of the shaft", RotationalSpeed,
        formula: "1/n^2 = 1/n_span^2 + 1/n_hung^2, n_span = (pi/8)(D/L^2) sqrt(E/rho), n_hung = sqrt(3 E I/(m a^2 (L + a)))/(2 pi)", sources: [],
        inputs: [field::propeller::SHAFT_DIAMETER],
        validity: "textbook, Dunkerley's lower bound; simple supports, water that swings with the propeller 10 to 60 % of its mass (from memory), no gyroscopic effect",
        value: |s| s.whirls_rev_s }
    /// Spacing.
    BEARING_SPACING { "bearing_spacing", "greatest spacing of bearings by the handbook, at full throttle", Length,
        formula: "L = sqrt(3.21 D / n) (E / rho)^(1/4), D in inches, n in rpm, L in feet", sources: ["shaftspacing"], inputs: [field::propeller::SHAFT_DIAMETER],
        validity: "it is the length that whirls, without margin", value: |s| Some(Interval::exact(s.spacing_m)) }
    /// Its part.
    SPACING_USED { "spacing_used", "her span as a part of it", Ratio,
        formula: "span / spacing", sources: ["shaftspacing"], inputs: [field::propeller::SHAFT_DIAMETER],
        validity: "the span alone; what hangs behind it lowers the whirling further", value: |s| Some(Interval::exact(s.asked.span_m? / s.spacing_m)) }
    /// Mass.
    PROPELLER_MASS { "propeller_mass", "mass of the propeller, dry", Mass,
        formula: "115 kg/m^3 D^3 Z / 3, where it was not weighed", sources: [], inputs: [field::propeller::DIAMETER, field::propeller::BLADES],
        validity: "from memory, within a third; as told where it was", value: |s| Some(s.propeller_kg) }
    /// Pitch.
    MEAN_PITCH { "mean_pitch", "mean pitch as measured", PropellerLength,
        formula: "mean over the radii of each blade, then over the blades", sources: ["iso484"], inputs: [field::propeller::PITCH],
        validity: "as well as it was measured", value: |s| Some(Interval::exact(s.asked.pitch.as_ref()?.mean_m())) }
    /// Between blades.
    PITCH_BETWEEN_BLADES { "pitch_between_blades", "between the blades of lowest and highest pitch", Ratio,
        formula: "(highest - lowest mean of a blade) / mean", sources: ["iso484"], inputs: [], validity: "as well as it was measured",
        value: |s| Some(Interval::exact(s.asked.pitch.as_ref()?.between_blades())) }
    }
}

/// Gap of a hub that is warmed.
pub static HUB_GAP: Figure = Figure::computed(
    "hub_gap",
    "how much the hub opens on the shaft",
    "how much the hub opens on the shaft",
    Quantity::SmallLength,
    Origin::Formula {
        formula: "d (a_hub T_hub - a_shaft T_shaft)",
        sources: &[],
        inputs: &[field::propeller::SHAFT_DIAMETER],
        validity: "expansions from memory; a hub is never of one temperature: some tenths either way",
    },
);
