//! A boat as the Python peer reads it. Not for: saving boats (`wakewright-records`).

use std::error::Error;

use serde_json::{Value, json};
use wakewright_core::boat::Boat;
use wakewright_core::hull::complete;
use wakewright_core::hull::windage::{air_density_kg_m3, frontal_areas};
use wakewright_core::propeller::cavitation::pressure_margin_pa;
use wakewright_core::propeller::geometry::projected_area_m2;
use wakewright_core::steady::PreparedBoat;

/// Every input of the balance, in SI; what grows on bottom and blades as sand heights.
pub fn boat_as_json(boat: &Boat, prepared: &PreparedBoat) -> Result<Value, Box<dyn Error>> {
    let hull = complete(&boat.form, &boat.keel, &boat.rudder, &boat.water)?.value;
    let keel = hull.keel.as_ref().ok_or("the demo boat has a keel")?;
    let areas = frontal_areas(&boat.topsides, boat.form.kind, &mut Vec::new())?;
    let (body, motor, bank) = (&hull.body, prepared.motor(), prepared.bank());
    let (propeller, controller) = (prepared.propeller().propeller(), prepared.controller());
    let foil = |chord_m: f64, thickness_ratio: f64, area_m2: f64| json!({ "chord_m": chord_m, "thickness_ratio": thickness_ratio, "wetted_area_m2": area_m2 });
    Ok(json!({
        "water": {
            "density_kg_m3": boat.water.density_kg_m3,
            "viscosity_m2_s": boat.water.viscosity_m2_s,
            "pressure_margin_pa": pressure_margin_pa(&boat.water, boat.stern.shaft_depth_m),
        },
        "hull": {
            "length_m": body.length_waterline_m,
            "beam_m": body.beam_waterline_m,
            "body_draught_m": body.draught_m,
            "draught_m": hull.draught_m,
            "volume_m3": body.volume_m3,
            "prismatic": body.prismatic_coefficient,
            "lcb_fraction": body.lcb_fraction,
            "lcf_fraction": body.lcf_fraction,
            "waterplane_m2": body.waterplane_area_m2,
            "wetted_m2": body.wetted_surface_m2,
            "keel_volume_m3": keel.volume_m3,
            "keel_centroid_below_root_m": keel.centroid_below_root_m,
            "foils": [
                foil(keel.mean_chord_m, keel.thickness_ratio, keel.wetted_area_m2),
                foil(hull.rudder.mean_chord_m, hull.rudder.thickness_ratio, hull.rudder.wetted_area_m2),
            ],
        },
        "sea": {
            "factor": boat.sea.in_service_factor * (1.0 + boat.sea.sea_margin),
            "residuary_factor": boat.sea.residuary_factor,
            "head_wind_m_s": boat.sea.true_head_wind_m_s,
            "gear_drag_area_m2": boat.sea.gear_drag_area_m2,
            "air_density_kg_m3": air_density_kg_m3(boat.sea.air_temperature_k),
            "drag_area_m2": areas.drag_area_m2(boat.topsides.form) * boat.sea.windage_factor,
        },
        "propeller": {
            "diameter_m": propeller.diameter_m,
            "pitch_ratio": propeller.pitch_ratio(),
            "blades": propeller.blades,
            "area_ratio": propeller.area_ratio,
            "thrust_factor": propeller.thrust_factor,
            "low_reynolds": propeller.low_reynolds,
            "torque_factor": propeller.torque_factor,
            "projected_area_m2":
                projected_area_m2(propeller.diameter_m, propeller.area_ratio, propeller.pitch_ratio()),
            "wake_fraction": boat.stern.wake_fraction,
            "thrust_deduction": boat.stern.thrust_deduction,
            "relative_rotative_efficiency": boat.stern.relative_rotative_efficiency,
        },
        "drive": {
            "ratio": boat.drive_line.ratio,
            "efficiency": boat.drive_line.reduction_efficiency,
            "bearing_torque_n_m": boat.drive_line.bearing_torque_n_m,
            "reduction_drag_n_m": boat.drive_line.reduction_drag_n_m,
            "torque_constant_n_m_a": motor.torque_constant_n_m_a,
            "resistance_ohm": motor.resistance_ohm,
            "drag_constant_n_m": motor.drag_constant_n_m,
            "drag_per_rad_s": motor.drag_per_rad_s,
            "flux_coefficient_1_k": motor.flux_coefficient_1_k,
            "winding_to_case_k_w": motor.heat.winding_to_case_k_w,
            "case_to_ambient_k_w": motor.heat.case_to_ambient_k_w,
            "ambient_k": boat.motor_ambient_k,
            "winding_limit_k": motor.winding_limit_k,
            "peak_power_w": motor.peak_power_w,
            "fixed_loss_w": controller.fixed_loss_w,
            "loss_per_a_w": controller.loss_per_a_w,
            "loss_per_a2_ohm": controller.loss_per_a2_ohm,
            "maximum_duty": controller.maximum_duty,
            "phase_current_limit_a": controller.phase_current_limit_a,
            "battery_current_limit_a": controller.battery_current_limit_a,
            "undervoltage_v": controller.undervoltage_v,
        },
        "bank": {
            "open_circuit_v": bank.open_circuit_v,
            "packs_resistance_ohm": bank.packs_resistance_ohm,
            "cable_resistance_ohm": bank.cable_resistance_ohm,
            "discharge_limit_a": bank.discharge_limit_a,
            "low_voltage_v": bank.low_voltage_v,
            "house_power_w": boat.house_power_w,
        },
        "growth": {
            "bottom_sand_height_m": boat.bottom_sand_height_m,
            "blades_sand_height_m": boat.blades_sand_height_m,
        },
    }))
}
