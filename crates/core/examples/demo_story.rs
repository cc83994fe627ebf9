//! The demo's boat as the story has her, which her document does not know: as she came to the first trial, and
//! after the work. Inputs for the program that makes her logs (`scripts/make-demo-logs`). Not for: users.
#![allow(clippy::print_stdout, reason = "its output is the file")]

#[path = "dumped/mod.rs"]
mod dumped;

use std::error::Error;

use dumped::boat_as_json;
use serde_json::json;
use wakewright_core::steady::PreparedBoat;
use wakewright_records::boat::{BoatDocument, build_spec};

fn main() -> Result<(), Box<dyn Error>> {
    let document = BoatDocument::parse(include_str!("../../../examples/sea_campion.toml"))
        .map_err(|faults| format!("{faults:?}"))?;
    let mut boat = build_spec(&document).map_err(|faults| format!("{faults:?}"))?.boat;
    boat.sea.true_head_wind_m_s = 0.0;
    boat.bottom_sand_height_m = 1.4e-4;
    boat.blades_sand_height_m = 1.2e-5;
    boat.sea.in_service_factor = 1.19;
    boat.stern.wake_fraction -= 0.01;
    boat.propeller.pitch_m *= 1.03;
    // Whoever set the controller up left its current at the value of the test bench.
    let ordered_a = boat.controller.phase_current_limit_a;
    boat.controller.phase_current_limit_a = 0.74 * ordered_a;
    boat.bank.state_of_charge = 0.86;
    let as_she_came = boat_as_json(&boat, &PreparedBoat::new(&boat)?.value)?;
    boat.controller.phase_current_limit_a = ordered_a;
    boat.drive_line.ratio = 3.0;
    boat.form.displacement_kg *= 1.01;
    boat.bank.state_of_charge = 0.93;
    let after_the_work = boat_as_json(&boat, &PreparedBoat::new(&boat)?.value)?;
    let name = document.text("boat.name").unwrap_or_default();
    println!("{}", json!({ "name": name, "as_she_came": as_she_came, "after_the_work": after_the_work }));
    Ok(())
}
