//! Contradictions of the propeller with itself, its aperture, the water and the reduction.

use super::Checks;
use crate::boat::choice::PropellerPlace;
use wakewright_core::drive::ReductionKind;
use wakewright_core::field;
use wakewright_core::hull::KeelKind;
use wakewright_units::{Digits, Quantity, UnitSystem, format_quantity};

pub(super) fn check(checks: &mut Checks<'_>) {
    check_pitch(checks);
    check_room(checks);
    check_area(checks);
    check_reduction(checks);
}

fn inches(value_m: f64) -> String {
    format_quantity(value_m, Quantity::PropellerLength, UnitSystem::Trade, Digits::Usual)
}

fn millimetres(value_m: f64) -> String {
    format_quantity(value_m, Quantity::SmallLength, UnitSystem::Trade, Digits::Usual)
}

fn check_pitch(checks: &mut Checks<'_>) {
    let fields = [field::propeller::PITCH, field::propeller::DIAMETER];
    let (Some(pitch_m), Some(diameter_m)) = (checks.value(fields[0]), checks.value(fields[1])) else {
        return;
    };
    let ratio = pitch_m / diameter_m;
    let problem = format!(
        "a pitch of {} on a diameter of {} is a ratio of {ratio:.2}",
        inches(pitch_m),
        inches(diameter_m)
    );
    let advice = "Stock propellers have 0.4 to 1.6. The stamp gives diameter first, then pitch; check that they are not swapped.";
    if !(0.25..=2.2).contains(&ratio) {
        checks.error(&fields, problem, advice);
    } else if !(0.4..=1.6).contains(&ratio) {
        checks.doubt(&fields, problem, advice);
    }
}

fn check_room(checks: &mut Checks<'_>) {
    let (diameter, aperture, clearance) =
        (field::propeller::DIAMETER, field::propeller::APERTURE_HEIGHT, field::propeller::TIP_CLEARANCE);
    let Some(diameter_m) = checks.value(diameter) else { return };
    if let Some(aperture_m) = checks.written(aperture) {
        let room_m = 0.5 * (aperture_m - diameter_m);
        if room_m <= 0.0 {
            checks.error(
                &[diameter, aperture],
                format!(
                    "a propeller of {} does not turn in an aperture of {}",
                    inches(diameter_m),
                    millimetres(aperture_m)
                ),
                "Check both; the aperture is measured where the tips pass.",
            );
        } else if room_m < 0.08 * diameter_m {
            checks.doubt(
                &[diameter, aperture],
                format!(
                    "in this aperture the tips pass at {}, {:.0} % of the diameter",
                    millimetres(room_m),
                    100.0 * room_m / diameter_m
                ),
                "A tenth or more keeps it quiet.",
            );
        }
        if let Some(clearance_m) = checks.written(clearance)
            && clearance_m > room_m + 0.02
            && room_m > 0.0
        {
            checks.doubt(
                &[clearance, aperture, diameter],
                format!(
                    "the tips cannot clear by {} in this aperture: there is room for {}",
                    millimetres(clearance_m),
                    millimetres(room_m)
                ),
                "The clearance is the least distance from a tip to anything; check the three.",
            );
        }
    }
    let depth = field::propeller::SHAFT_DEPTH;
    if let Some(depth_m) = checks.written(depth)
        && 0.5 * diameter_m > depth_m
    {
        checks.error(
            &[depth, diameter],
            format!(
                "with the shaft {} deep the tips of {} come out of the water",
                millimetres(depth_m),
                inches(diameter_m)
            ),
            "The depth is from the water mark down to the shaft's centre; check both.",
        );
    }
    if let (Some(depth_m), Some(draught_m)) = (checks.written(depth), checks.value(field::hull::DRAUGHT))
        && depth_m <= draught_m
        && depth_m + 0.5 * diameter_m > draught_m + 0.05
    {
        checks.doubt(
            &[depth, diameter, field::hull::DRAUGHT],
            format!(
                "the tips reach {} below the water mark, deeper than the boat draws",
                millimetres(depth_m + 0.5 * diameter_m)
            ),
            "Check depth and draught; if it is so, she does not stand on her keel alone.",
        );
    }
}

fn check_area(checks: &mut Checks<'_>) {
    let fields = [field::propeller::AREA_RATIO, field::propeller::BLADES];
    let (Some(area_ratio), Some(blades)) = (checks.written(fields[0]), checks.value(fields[1])) else {
        return;
    };
    let each = area_ratio / blades;
    if !(0.08..=0.30).contains(&each) {
        checks.doubt(
            &fields,
            format!("an area ratio of {area_ratio:.2} on {blades:.0} blades is {each:.2} for each blade"),
            "Ordinary blades have 0.12 to 0.20, broad ones up to 0.27; check both.",
        );
    }
}

fn check_reduction(checks: &mut Checks<'_>) {
    let (kind, ratio) = (field::reduction::KIND, field::reduction::RATIO);
    if let (Some(ReductionKind::Direct), Some(value)) = (checks.document.chosen(kind), checks.written(ratio))
        && (value - 1.0).abs() > 1e-6
    {
        checks.error(
            &[ratio, kind],
            format!("a motor directly on the shaft cannot have a ratio of {value:.2}"),
            "Write 1:1, or choose the kind of reduction.",
        );
    }
    let arrangement = field::propeller::ARRANGEMENT;
    let is_leg = checks.document.chosen(kind) == Some(ReductionKind::BevelLeg);
    let place = checks.document.chosen::<PropellerPlace>(arrangement);
    let is_on_leg =
        matches!(place, Some(PropellerPlace::Saildrive | PropellerPlace::Pod | PropellerPlace::OutboardLeg));
    if is_leg && place.is_some() && !is_on_leg {
        checks.doubt(
            &[kind, arrangement],
            "the reduction is the bevel gears of a leg, but the propeller is not on one".to_owned(),
            "Check both.",
        );
    }
    let aperture = field::hull::KEEL;
    if place == Some(PropellerPlace::Aperture)
        && matches!(checks.document.chosen(aperture), Some(KeelKind::Fin | KeelKind::Twin))
    {
        checks.doubt(
            &[arrangement, aperture],
            "the propeller is in an aperture, but the keel is short".to_owned(),
            "Behind a skeg choose skeg or deadwood.",
        );
    }
}
