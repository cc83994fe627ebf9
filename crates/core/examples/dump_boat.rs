//! Writes the inputs and the answer of one steady state as JSON, for a program that computes the
//! same with other means (`scripts/peers/steady_state.py`). The demo boat with smooth bottom and
//! blades, since that peer knows no growth; with a document named, that boat as she is and how sure each of her
//! inputs is (`scripts/simulate-passages`). Not for: saving boats (`wakewright-records`).
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "its output is the file")]

#[path = "dumped/mod.rs"]
mod dumped;

use std::error::Error;

use dumped::boat_as_json;
use serde_json::json;
use wakewright_core::boat::Uncertain;
use wakewright_core::hull::ResiduaryMethod;
use wakewright_core::spread::DEVIATE_P90;
use wakewright_core::steady::{Ask, PreparedBoat};
use wakewright_records::boat::{BoatDocument, build_spec};

/// A boat of a document, with what is uncertain about her.
fn of_document(path: &str) -> Result<(), Box<dyn Error>> {
    let document =
        BoatDocument::parse(&std::fs::read_to_string(path)?).map_err(|faults| format!("{faults:?}"))?;
    let spec = build_spec(&document).map_err(|faults| format!("{faults:?}"))?;
    let prepared = PreparedBoat::new(&spec.boat)?.value;
    let mut dump = boat_as_json(&spec.boat, &prepared)?;
    let spread = |uncertain: &Uncertain| {
        let at = |deviate: f64| uncertain.spread.at_deviate(deviate);
        json!({ "input": uncertain.input.key(), "p10": at(-DEVIATE_P90), "median": at(0.0), "p90": at(DEVIATE_P90) })
    };
    dump["spreads"] = spec.uncertain.iter().map(spread).collect();
    println!("{dump:#}");
    Ok(())
}

fn main() -> Result<(), Box<dyn Error>> {
    if let Some(path) = std::env::args().nth(1) {
        return of_document(&path);
    }
    let document = BoatDocument::parse(include_str!("../../../examples/sea_campion.toml"))
        .map_err(|faults| format!("{faults:?}"))?;
    let mut boat = build_spec(&document).map_err(|faults| format!("{faults:?}"))?.boat;
    boat.bottom_sand_height_m = 0.0;
    boat.blades_sand_height_m = 0.0;
    // The peer's form of the residuary resistance.
    boat.residuary_method = ResiduaryMethod::KeuningSonnenberg1998;

    let prepared = PreparedBoat::new(&boat)?.value;
    let bound = prepared.solve(Ask::Throttle(1.0))?;
    let mut dump = boat_as_json(&boat, &prepared)?;
    dump["answer"] = json!({
            "limit": bound.limit.key(),
            "speed_m_s": bound.state.speed_m_s,
            "resistance_n": bound.state.resistance_n,
            "shaft_rev_s": bound.state.shaft_rev_s,
            "shaft_torque_n_m": bound.state.shaft_torque_n_m,
            "winding_k": bound.state.motor.winding_k,
            "phase_current_a": bound.state.motor.current_a,
            "bank_power_w": bound.state.bank_power_w(),
            "bank_v": bound.state.bank_v,
            "bank_a": bound.state.bank_a,
    });
    println!("{dump:#}");
    Ok(())
}
