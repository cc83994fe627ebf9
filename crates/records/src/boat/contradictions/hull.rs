//! Contradictions among the hull's lengths, weight and form, and in towing measurements.

use super::Checks;
use super::towed::{check_speeds, check_towed};
use crate::boat::choice::{BoatKind, WaterKind};
use wakewright_core::field;
use wakewright_core::hull::KeelKind;
use wakewright_units::{Digits, Quantity, UnitSystem, format_quantity};

/// Water densities good enough for plausibility \[kg/m³\], from memory.
const SALT_WATER_KG_M3: f64 = 1025.0;
const FRESH_WATER_KG_M3: f64 = 1000.0;

pub(super) fn check(checks: &mut Checks<'_>) {
    check_lengths(checks);
    check_fullness(checks);
    check_form(checks);
    check_kind(checks);
    check_towed(checks);
    check_speeds(checks);
}

fn metres(value_m: f64) -> String {
    format_quantity(value_m, Quantity::Length, UnitSystem::Trade, Digits::Usual)
}

fn check_lengths(checks: &mut Checks<'_>) {
    let (overall, waterline) = (field::hull::LENGTH_OVERALL, field::hull::LENGTH_WATERLINE);
    if let (Some(loa_m), Some(lwl_m)) = (checks.value(overall), checks.value(waterline)) {
        let problem = format!("a waterline of {} in a hull of {}", metres(lwl_m), metres(loa_m));
        if lwl_m > loa_m {
            checks.error(
                &[waterline, overall],
                format!("{problem}: it is longer than the hull itself"),
                "Check which of the two is wrong, or whether they are swapped.",
            );
        } else if lwl_m < 0.6 * loa_m {
            checks.doubt(
                &[waterline, overall],
                format!("{problem} is very short"),
                "Measure it again, or leave it if she has overhangs like that.",
            );
        }
    }
    let (beam, beam_waterline) = (field::hull::BEAM_OVERALL, field::hull::BEAM_WATERLINE);
    if let (Some(beam_m), Some(bwl_m)) = (checks.value(beam), checks.value(beam_waterline))
        && bwl_m > beam_m
    {
        checks.error(
            &[beam_waterline, beam],
            format!("she is {} wide on the waterline but only {} overall", metres(bwl_m), metres(beam_m)),
            "Check which of the two is wrong, or whether they are swapped.",
        );
    }
    if let (Some(lwl_m), Some(bwl_m)) = (checks.value(waterline), checks.value(beam_waterline))
        && !(1.8..=8.0).contains(&(lwl_m / bwl_m))
    {
        checks.doubt(
            &[beam_waterline, waterline],
            format!(
                "the waterline is {:.1} times as long as it is wide; most boats have 2.2 to 4.5",
                lwl_m / bwl_m
            ),
            "Check both, and their units.",
        );
    }
    let (canoe, draught) = (field::hull::CANOE_BODY_DRAUGHT, field::hull::DRAUGHT);
    if let (Some(canoe_m), Some(draught_m)) = (checks.written(canoe), checks.value(draught))
        && canoe_m > draught_m
    {
        checks.error(
            &[canoe, draught],
            format!(
                "the canoe body alone draws {}, more than the whole boat with {}",
                metres(canoe_m),
                metres(draught_m)
            ),
            "The canoe body is the hull without its keel; check both.",
        );
    }
    if let (Some(depth_m), Some(draught_m)) =
        (checks.written(field::propeller::SHAFT_DEPTH), checks.value(draught))
        && depth_m > draught_m
    {
        checks.error(
            &[field::propeller::SHAFT_DEPTH, draught],
            format!("the shaft lies {} deep in a boat that draws {}", metres(depth_m), metres(draught_m)),
            "Both are measured from the water mark down; check them.",
        );
    }
}

/// Share of the box around the canoe body beyond which a weight cannot be and is doubted, and of the box of her whole
/// draught beyond which it cannot be. From memory.
fn fullest_blocks(checks: &Checks<'_>) -> [f64; 3] {
    match checks.document.chosen(field::hull::KIND) {
        Some(BoatKind::CanalBoat) => [0.95, 0.9, 0.92],
        _ => [0.8, 0.62, 0.7],
    }
}

/// The displacement against the box around the canoe body.
fn check_fullness(checks: &mut Checks<'_>) {
    let fields = [field::hull::DISPLACEMENT, field::hull::LENGTH_WATERLINE, field::hull::BEAM_WATERLINE];
    let (Some(mass_kg), Some(lwl_m), Some(bwl_m)) =
        (checks.value(fields[0]), checks.value(fields[1]), checks.value(fields[2]))
    else {
        return;
    };
    let is_fresh = checks.document.chosen(field::sea::WATER) == Some(WaterKind::Fresh);
    let volume_m3 = mass_kg / if is_fresh { FRESH_WATER_KG_M3 } else { SALT_WATER_KG_M3 };
    let tonnes = format_quantity(mass_kg, Quantity::Mass, UnitSystem::Trade, Digits::Usual);
    let canoe = field::hull::CANOE_BODY_DRAUGHT;
    if let Some(canoe_m) = checks.written(canoe) {
        let block = volume_m3 / (lwl_m * bwl_m * canoe_m);
        let problem = format!(
            "{tonnes} would fill {:.0} % of the box of {} by {} by {} around the canoe body",
            block * 100.0,
            metres(lwl_m),
            metres(bwl_m),
            metres(canoe_m)
        );
        let all = [fields[0], fields[1], fields[2], canoe];
        let advice = "Sailing yachts fill 33 to 48 %, launches up to 60 %, canal boats 75 to 87 %. Check the weight first, then the canoe body's \
                      draught.";
        let [fullest, usual, _] = fullest_blocks(checks);
        if !(0.2..=fullest).contains(&block) {
            checks.error(&all, problem, advice);
        } else if !(0.3..=usual).contains(&block) {
            checks.doubt(&all, problem, advice);
        }
    } else if let Some(draught_m) = checks.value(field::hull::DRAUGHT) {
        let block = volume_m3 / (lwl_m * bwl_m * draught_m);
        let [_, _, fullest] = fullest_blocks(checks);
        if block > fullest {
            checks.error(
                &[fields[0], fields[1], fields[2], field::hull::DRAUGHT],
                format!(
                    "{tonnes} do not fit: they would fill {:.0} % of the whole box of {} by {} by {} under water",
                    block * 100.0,
                    metres(lwl_m),
                    metres(bwl_m),
                    metres(draught_m)
                ),
                "Check the weight and its unit, then waterline and draught.",
            );
        }
    }
    let slenderness = lwl_m / volume_m3.cbrt();
    if !(3.4..=8.5).contains(&slenderness) {
        checks.doubt(
            &fields[..2],
            format!("for {tonnes} a waterline of {} is unusual (length over cube root of volume {slenderness:.1})", metres(lwl_m)),
            "Most boats lie between 4 and 7; check weight and waterline.",
        );
    }
}

fn check_form(checks: &mut Checks<'_>) {
    let (cp, cm, canoe) = (
        field::hull::PRISMATIC_COEFFICIENT,
        field::hull::MIDSHIP_COEFFICIENT,
        field::hull::CANOE_BODY_DRAUGHT,
    );
    let fields = [cp, cm, canoe, field::hull::DISPLACEMENT];
    if let (Some(prismatic), Some(midship), Some(canoe_m), Some(mass_kg), Some(lwl_m), Some(bwl_m)) = (
        checks.written(cp),
        checks.written(cm),
        checks.written(canoe),
        checks.value(field::hull::DISPLACEMENT),
        checks.value(field::hull::LENGTH_WATERLINE),
        checks.value(field::hull::BEAM_WATERLINE),
    ) {
        let from_form = prismatic * midship;
        let from_weight = mass_kg / SALT_WATER_KG_M3 / (lwl_m * bwl_m * canoe_m);
        if (from_form / from_weight - 1.0).abs() > 0.15 {
            checks.doubt(
                &fields,
                format!("the coefficients give a block coefficient of {from_form:.2}, weight and lengths one of {from_weight:.2}"),
                "They should agree within a tenth; leave out the coefficient of which you are least sure.",
            );
        }
    }
    let area = field::hull::WATERPLANE_AREA;
    if let (Some(area_m2), Some(lwl_m), Some(bwl_m)) = (
        checks.written(area),
        checks.value(field::hull::LENGTH_WATERLINE),
        checks.value(field::hull::BEAM_WATERLINE),
    ) {
        let share = area_m2 / (lwl_m * bwl_m);
        if !(0.5..=0.95).contains(&share) {
            checks.error(
                &[area, field::hull::LENGTH_WATERLINE, field::hull::BEAM_WATERLINE],
                format!("the waterplane covers {:.0} % of waterline length times beam", share * 100.0),
                "Boats cover 60 to 80 %; check the area and its unit, or leave it out.",
            );
        }
    }
    for part in [field::hull::KEEL_CHORD, field::hull::KEEL_WETTED_AREA] {
        if checks.document.chosen(field::hull::KEEL) == Some(KeelKind::None) && checks.written(part).is_some()
        {
            checks.error(
                &[part, field::hull::KEEL],
                "the size of a keel is given, but the kind of keel is none".to_owned(),
                "Choose the kind of keel, or leave its size out.",
            );
        }
    }
    if let (Some(chord_m), Some(lwl_m)) =
        (checks.written(field::hull::KEEL_CHORD), checks.value(field::hull::LENGTH_WATERLINE))
        && chord_m > lwl_m
    {
        checks.error(
            &[field::hull::KEEL_CHORD, field::hull::LENGTH_WATERLINE],
            format!("a keel of {} is longer than the waterline of {}", metres(chord_m), metres(lwl_m)),
            "The mean chord is taken half way down the keel; check both.",
        );
    }
}

fn check_kind(checks: &mut Checks<'_>) {
    let kind = checks.document.chosen::<BoatKind>(field::hull::KIND);
    if kind.is_some_and(|kind| kind.hull_kind().is_none())
        && !checks.document.has_section(field::towed::SECTION)
    {
        let reason = if kind == Some(BoatKind::Planing) {
            "the resistance of a planing hull cannot be computed from these measurements"
        } else {
            "the resistance of several hulls side by side cannot be computed from these measurements"
        };
        checks.error(
            &[field::hull::KIND],
            reason.to_owned(),
            "Tow her at four speeds or more and write each as [[towed]] with speed and drag.",
        );
    }
}
