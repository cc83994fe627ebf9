//! Writes the inputs of the search that the bench runs as JSON, with the answer for every so many
//! candidates, for a program that does the same work with other means (`scripts/peers/search.py`).
//! Not for: saving searches.
#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "its output is the file")]

#[path = "../benches/common/mod.rs"]
mod common;

use std::error::Error;

use serde_json::{Value, json};
use wakewright_core::battery::PackGroup;
use wakewright_core::propeller::cavitation::pressure_margin_pa;
use wakewright_core::search::{Machine, Place, Reduction, Search};
use wakewright_core::steady::PreparedBoat;

/// Points of the resistance curve that the peer interpolates.
const RESISTANCE_POINTS: usize = 2000;

/// One in so many candidates is answered for the peer to compare.
const ANSWER_EVERY: usize = 499;

fn main() -> Result<(), Box<dyn Error>> {
    let search = common::large_search();
    let (space, base) = (search.space(), search.base());
    let prepared = PreparedBoat::new(base)?.value;
    let fastest = prepared.fastest_m_s();
    let speeds: Vec<f64> = (0..=RESISTANCE_POINTS)
        .map(|i| (fastest * i as f64 / RESISTANCE_POINTS as f64).min(fastest))
        .collect();
    let resistance: Vec<f64> = speeds.iter().map(|&speed| prepared.hull().resistance_n(speed)).collect();
    let propellers: Vec<Value> = space
        .propellers
        .iter()
        .map(|p| json!([p.diameter_m, p.pitch_m, p.blades, p.area_ratio, p.torque_factor]))
        .collect();
    let machines: Vec<Value> =
        (0..space.machines.len()).map(|machine| machine_of(&search, machine)).collect::<Result<_, _>>()?;
    let mut banks = Vec::new();
    for cells in 0..space.cells.len() {
        for packs in 0..space.packs.len() {
            let boat =
                search.boat(space.index(Place { propeller: 0, machine: 0, reduction: 0, cells, packs }));
            let bank = boat.bank.prepare()?;
            banks.push(json!({
                "nominal_v": boat.bank.groups.first().map(PackGroup::nominal_voltage_v),
                "rest_v": bank.open_circuit_v,
                "packs_ohm": bank.packs_resistance_ohm,
                "cable_ohm": bank.cable_resistance_ohm,
                "limit_a": bank.discharge_limit_a,
                "low_v": bank.low_voltage_v,
            }));
        }
    }
    let answers: Vec<Value> = (0..space.len())
        .step_by(ANSWER_EVERY)
        .map(|index| {
            let top = search.run(index..index + 1).front.into_members().first().map(|m| m.merits);
            json!([index, top.map(|m| m.top_speed_m_s), top.map(|m| m.energy_per_metre_j)])
        })
        .collect();
    let line = |machine: &Machine, reduction: &Reduction| {
        let line = reduction.line(base, &machine.plate);
        json!([line.ratio, line.reduction_efficiency, line.reduction_drag_n_m])
    };
    let lines: Vec<Vec<Value>> = (space.machines.iter())
        .map(|machine| space.reductions.iter().map(|reduction| line(machine, reduction)).collect())
        .collect();
    let dump = json!({
        "water": {
            "density_kg_m3": base.water.density_kg_m3,
            "pressure_margin_pa": pressure_margin_pa(&base.water, base.stern.shaft_depth_m),
        },
        "resistance": { "speed_m_s": speeds, "n": resistance },
        "cruise_m_s": search.cruise_m_s(),
        "stern": {
            "wake": base.stern.wake_fraction,
            "deduction": base.stern.thrust_deduction,
            "rotative": base.stern.relative_rotative_efficiency,
        },
        "bearing_n_m": base.drive_line.bearing_torque_n_m,
        "ambient_k": base.motor_ambient_k,
        "house_w": base.house_power_w,
        "propellers": propellers,
        "machines": machines,
        "lines": lines,
        "banks": banks,
        "answers": answers,
    });
    println!("{dump}");
    Ok(())
}

fn machine_of(search: &Search, machine: usize) -> Result<Value, Box<dyn Error>> {
    let place = Place { propeller: 0, machine, reduction: 0, cells: 0, packs: 0 };
    let prepared = PreparedBoat::new(&search.boat(search.space().index(place)))?.value;
    let motor = prepared.motor();
    let machine = &search.space().machines[machine];
    let controller = machine.controller;
    Ok(json!({
        "kt": motor.torque_constant_n_m_a,
        "ohm": motor.resistance_ohm,
        "drag_n_m": motor.drag_constant_n_m,
        "drag_per_rad_s": motor.drag_per_rad_s,
        "flux_1_k": motor.flux_coefficient_1_k,
        "heat_total": motor.heat.total_k_w(),
        "heat_case": motor.heat.case_to_ambient_k_w,
        "winding_limit_k": motor.winding_limit_k,
        "peak_w": motor.peak_power_w,
        "rated_rad_s": motor.rated_speed_rad_s,
        "mass_kg": motor.mass_kg,
        "nominal_v": machine.nominal_v,
        "is_present": machine.is_present,
        "phase_a": controller.phase_current_limit_a,
        "battery_a": controller.battery_current_limit_a,
        "power_w": controller.power_limit_w,
        "undervoltage_v": controller.undervoltage_v,
        "duty": controller.maximum_duty,
        "loss": [controller.fixed_loss_w, controller.loss_per_a_w, controller.loss_per_a2_ohm],
    }))
}
