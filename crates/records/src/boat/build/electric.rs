//! Motor, controller, reduction and bank of the document. Not for: what they do.

use wakewright_core::battery::{Bank, PackGroup};
use wakewright_core::boat::{Drives, Input};
use wakewright_core::drive::small_load::{
    BRUSH_DROP_V, IRON_SHARE, STANDING_POWER_W, drawn_within, reduction_drag_n_m, shaft_line_torque_n_m,
    usual_shaft_diameter_m, widened_by_boats,
};
use wakewright_core::drive::{
    Controller, Cooling, DriveLine, FieldWeakening, MotorPlate, ReductionKind, ShaftSeal, ThrottleMode,
};
use wakewright_core::field;
use wakewright_core::spread::Spread;

use super::{Gathered, fault};
use crate::boat::document::BoatDocument;
use crate::boat::fault::Fault;

/// How far field weakening may take the motor above the speed that the volts alone give, and its
/// characteristic current in rated currents. From memory; a machine made for it goes much further.
const WEAKENING_SPEED_RATIO: f64 = 1.2;
const WEAKENING_CURRENTS: f64 = 2.0;

pub(super) fn read_motor(document: &BoatDocument, gathered: &mut Gathered) -> Result<MotorPlate, Vec<Fault>> {
    let number = |name: &str| document.number(name).map(|stated| stated.value_si);
    let speed_constant = document.needed(field::motor::SPEED_CONSTANT)?;
    let rated_power_w = document.needed(field::motor::RATED_POWER)?;
    let rated_speed_rev_s = document.needed(field::motor::RATED_SPEED)?;
    let weakens = document.flag(field::controller::FIELD_WEAKENING).unwrap_or(false);
    let rated_current_a = rated_power_w * speed_constant / rated_speed_rev_s;
    for input in [Input::SpeedConstant, Input::MotorResistance, Input::NoLoadCurrent] {
        gathered.field(document, input);
    }
    gathered.guessed(document, Input::RatedPower);
    let no_load_current_a = number(field::motor::NO_LOAD_CURRENT).filter(|current| *current > 0.0);
    if no_load_current_a.is_none() {
        gathered.add(Input::IronShare, IRON_SHARE, (0.05, 0.85));
    }
    Ok(MotorPlate {
        no_load_speed_rev_s_v: speed_constant,
        rated_power_w,
        rated_speed_rev_s,
        peak_power_w: number(field::motor::PEAK_POWER),
        peak_time_s: number(field::motor::PEAK_TIME),
        resistance_ohm: number(field::motor::RESISTANCE),
        leads_ohm: super::wiring::told_leads_ohm(document),
        no_load_current_a,
        rated_efficiency: None,
        peak_efficiency: None,
        mass_kg: number(field::motor::MASS),
        winding_limit_k: number(field::motor::WINDING_LIMIT),
        rating_ambient_k: None,
        flux_coefficient_1_k: None,
        iron_share: IRON_SHARE.median,
        cooling: document.chosen(field::motor::COOLING).unwrap_or(Cooling::AirNatural),
        field_weakening: weakens.then_some(FieldWeakening {
            characteristic_current_a: WEAKENING_CURRENTS * rated_current_a,
            maximum_speed_ratio: WEAKENING_SPEED_RATIO,
        }),
    })
}

pub(super) fn reduction_kind(document: &BoatDocument) -> ReductionKind {
    document.chosen(field::reduction::KIND).unwrap_or(ReductionKind::Direct)
}

pub(super) fn read_drive_line(
    document: &BoatDocument,
    motor: &MotorPlate,
    gathered: &mut Gathered,
) -> Result<DriveLine, Vec<Fault>> {
    let kind = reduction_kind(document);
    let ratio = document.number(field::reduction::RATIO).map_or(1.0, |stated| stated.value_si);
    if kind == ReductionKind::Direct && (ratio - 1.0).abs() > 1e-6 {
        let problem = format!("a direct drive with a ratio of {ratio:.2}:1");
        return Err(fault(
            document,
            field::reduction::RATIO,
            problem,
            "A direct drive turns 1:1; name the kind of reduction.",
        ));
    }
    gathered.guessed(document, Input::Ratio);
    let rated_motor_torque = motor.rated_torque_n_m();
    let drag = reduction_drag_n_m(kind, rated_motor_torque, ratio);
    if kind != ReductionKind::Direct {
        let widened = widened_by_boats(drag);
        gathered.add(Input::ReductionDrag, widened, drawn_within(widened));
    }
    // An efficiency is told at the rated torque: what is taken at any torque is part of it.
    let at_rated =
        document.number(field::reduction::EFFICIENCY).map_or(kind.efficiency(), |stated| stated.spread);
    let standing = drag.median / rated_motor_torque;
    let without = |share: f64| (share + standing).min(1.0);
    let efficiency = Spread {
        p10: without(at_rated.p10),
        median: without(at_rated.median),
        p90: without(at_rated.p90),
        ..at_rated
    };
    gathered.add(Input::ReductionEfficiency, efficiency, (0.5, 1.0));
    let bearing = match document.number(field::propeller::SHAFT_FRICTION) {
        Some(stated) => stated.spread,
        None => widened_by_boats(shaft_line(document)?),
    };
    gathered.add(Input::BearingTorque, bearing, drawn_within(bearing));
    Ok(DriveLine {
        kind,
        ratio,
        reduction_efficiency: efficiency.median,
        reduction_drag_n_m: drag.median,
        bearing_torque_n_m: bearing.median,
    })
}

/// Friction of a shaft line that nobody measured, by its diameter and seal.
fn shaft_line(document: &BoatDocument) -> Result<Spread, Vec<Fault>> {
    let number = |name: &str| document.number(name).map(|stated| stated.value_si);
    let propeller_m = document.needed(field::propeller::DIAMETER)?;
    let diameter_m =
        number(field::propeller::SHAFT_DIAMETER).unwrap_or_else(|| usual_shaft_diameter_m(propeller_m));
    let has_water_bearing = super::propeller::arrangement(document).has_water_bearing();
    let seal = if has_water_bearing {
        document.chosen(field::propeller::SHAFT_SEAL)
    } else {
        Some(ShaftSeal::LipSeals)
    };
    Ok(shaft_line_torque_n_m(diameter_m, seal, has_water_bearing))
}

pub(super) fn read_controller(
    document: &BoatDocument,
    bank: &Bank,
    gathered: &mut Gathered,
) -> Result<Controller, Vec<Fault>> {
    let number = |name: &str| document.number(name).map(|stated| stated.value_si);
    let nominal_v = bank.groups.first().map_or(48.0, PackGroup::nominal_voltage_v);
    let phase = document.needed(field::controller::PHASE_CURRENT)?;
    let battery = document.needed(field::controller::BATTERY_CURRENT)?;
    gathered.guessed(document, Input::PhaseCurrent);
    gathered.guessed(document, Input::BatteryCurrent);
    let standing = document
        .number(field::controller::STANDING_POWER)
        .map_or_else(|| widened_by_boats(STANDING_POWER_W), |stated| stated.spread);
    gathered.add(Input::StandingLoss, standing, drawn_within(standing));
    let has_brushes = document.flag(field::motor::BRUSHES).unwrap_or(false);
    if has_brushes {
        gathered.add(Input::BrushDrop, BRUSH_DROP_V, (0.0, 3.0));
    }
    Ok(Controller {
        fixed_loss_w: standing.median,
        brush_drop_v: if has_brushes { BRUSH_DROP_V.median } else { 0.0 },
        power_limit_w: number(field::controller::POWER_LIMIT),
        undervoltage_v: number(field::controller::UNDERVOLTAGE),
        overvoltage_v: number(field::controller::OVERVOLTAGE),
        regeneration_current_limit_a: number(field::controller::REGENERATION_CURRENT).unwrap_or(battery),
        maximum_duty: number(field::controller::MAXIMUM_DUTY).unwrap_or(0.95),
        throttle_mode: document.chosen(field::controller::LEVER).unwrap_or(ThrottleMode::Speed),
        ..Controller::estimate(phase, battery, nominal_v)
    })
}

/// Her drives; all of them run where it is not stated how many do.
pub(in crate::boat) fn read_drives(document: &BoatDocument) -> Drives {
    let fitted = document.integer(field::motor::COUNT).unwrap_or(1).clamp(1, 2);
    let running = document.integer(field::motor::RUNNING).unwrap_or(fitted).clamp(1, fitted);
    // At most two.
    Drives { running: running as u8, idle: (fitted - running) as u8 }
}
