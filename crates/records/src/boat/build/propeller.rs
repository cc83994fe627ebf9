//! Propeller and stern of the document. Not for: whether it fits its aperture (`contradictions`).

use wakewright_core::boat::{Input, Stern};
use wakewright_core::drive::small_load::LOW_REYNOLDS;
use wakewright_core::field;
use wakewright_core::hull::HullForm;
use wakewright_core::propeller::{Pattern, Propeller, SternArrangement};
use wakewright_core::spread::Spread;

use super::hull::sand_height;
use super::{Gathered, fault};
use crate::boat::choice::{BoatKind, PropellerPlace};
use crate::boat::document::BoatDocument;
use crate::boat::fault::Fault;

/// Spread of the thrust of the series for a propeller of a shop, not of a model basin: 3 %
/// (judgement; the series itself is within 1 to 2 % of its tests).
const THRUST_SPREAD: Spread = Spread { p10: 0.97, median: 1.0, p90: 1.03, is_logarithmic: true };

pub(super) fn read_propeller(
    document: &BoatDocument,
    form: &HullForm,
    gathered: &mut Gathered,
) -> Result<(Propeller, Stern, f64), Vec<Fault>> {
    let number = |name: &str| document.number(name);
    let pattern = document.chosen(field::propeller::PATTERN).unwrap_or(Pattern::BSeries);
    let blades = document.integer(field::propeller::BLADES).unwrap_or(3);
    let blades = u8::try_from(blades).map_err(|_| {
        fault(document, field::propeller::BLADES, format!("{blades} blades"), "The series cover 2 to 7.")
    })?;
    let area = match number(field::propeller::AREA_RATIO) {
        Some(stated) => stated.spread,
        None => usual_area_ratio(pattern, blades),
    };
    let torque = pattern.torque_factor();
    let propeller = Propeller {
        diameter_m: document.needed(field::propeller::DIAMETER)?,
        pitch_m: document.needed(field::propeller::PITCH)?,
        blades,
        area_ratio: area.median,
        pattern,
        blade_drag_rise: 0.0,
        torque_factor: torque.median,
        thrust_factor: 1.0,
        low_reynolds: LOW_REYNOLDS.median,
    };
    gathered.field(document, Input::PropellerDiameter);
    gathered.field(document, Input::PropellerPitch);
    gathered.add(Input::AreaRatio, area, (0.12, 1.3));
    gathered.add(Input::TorqueFactor, torque, (0.5, 2.0));
    gathered.add(Input::ThrustFactor, THRUST_SPREAD, (0.8, 1.2));
    gathered.add(Input::LowReynolds, LOW_REYNOLDS, (0.0, 4.0));
    let blades_growth = sand_height(document, field::propeller::BLADES_STATE);
    gathered.add(Input::BladeGrowth, blades_growth, (0.0, 0.003));

    let mut interaction = arrangement(document).interaction();
    if document.is_guessed(field::propeller::ARRANGEMENT) {
        // From a bracket to an aperture.
        interaction.wake_fraction = Spread { p10: 0.0, p90: 0.28, ..interaction.wake_fraction };
        interaction.thrust_deduction = Spread { p10: 0.05, p90: 0.23, ..interaction.thrust_deduction };
    }
    let wake = number(field::propeller::WAKE_FRACTION).map_or(interaction.wake_fraction, |s| s.spread);
    let deduction =
        number(field::propeller::THRUST_DEDUCTION).map_or(interaction.thrust_deduction, |s| s.spread);
    let rotative = interaction.relative_rotative_efficiency;
    gathered.add(Input::Wake, wake, (-0.1, 0.5));
    gathered.add(Input::ThrustDeduction, deduction, (0.0, 0.45));
    gathered.add(Input::RelativeRotative, rotative, (0.8, 1.2));
    let shaft_depth_m = number(field::propeller::SHAFT_DEPTH)
        .map_or_else(|| usual_shaft_depth_m(form, propeller.diameter_m), |s| s.value_si);
    let stern = Stern {
        wake_fraction: wake.median,
        thrust_deduction: deduction.median,
        relative_rotative_efficiency: rotative.median,
        shaft_depth_m,
    };
    Ok((propeller, stern, blades_growth.median))
}

/// Expanded area ratio of stock propellers, from memory: two blades about 0.30, three 0.50, four
/// 0.60; broad blades 0.15 more.
fn usual_area_ratio(pattern: Pattern, blades: u8) -> Spread {
    let ordinary = match blades {
        0..=2 => 0.30,
        3 => 0.50,
        _ => 0.60,
    };
    let median = if pattern == Pattern::GawnWide { ordinary + 0.15 } else { ordinary };
    Spread::absolute(median, 0.06)
}

/// Six tenths of the draught; where there is no keel, below the canoe body by half a propeller.
fn usual_shaft_depth_m(form: &HullForm, diameter_m: f64) -> f64 {
    (0.6 * form.draught_m).max(0.6 * diameter_m)
}

pub(super) fn arrangement(document: &BoatDocument) -> SternArrangement {
    let place = document.chosen(field::propeller::ARRANGEMENT).unwrap_or(PropellerPlace::Aperture);
    place.arrangement(document.chosen(field::hull::KIND).unwrap_or(BoatKind::SailingYacht))
}
