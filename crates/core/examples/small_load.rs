//! Prints the table of `docs/small-load.md`: watts from the bank at 2, 3, 4 and 5 kn of an invented boat, with the losses
//! as they were and as terms of their own, and what each term changes. Not for: judging either (`field`).
#![allow(clippy::print_stdout, reason = "its output is the table")]

use std::error::Error;

use wakewright_core::boat::Boat;
use wakewright_core::drive::ReductionKind;
use wakewright_core::steady::{Ask, PreparedBoat};
use wakewright_records::boat::{BoatDocument, build_spec};

/// Invented: 5 t, 9 m, 48 V, 25 mm shaft, toothed belt 2:1, three blades 14 x 10 in.
const BOAT: &str = r#"
[boat]
name = "Invented for a table"
[hull]
kind = "sailing yacht"
length_overall = "9 m"
length_waterline = "7.6 m"
beam_waterline = "2.6 m"
draught = "1.5 m"
displacement = "5 t"
keel = "fin"
rudder = "skeg"
bottom = "as applied"
[propeller]
pattern = "fixed"
blades = 3
diameter = "14 in"
pitch = "10 in"
arrangement = "P-bracket"
shaft_diameter = "25 mm"
[reduction]
kind = "toothed belt"
ratio = "2"
[motor]
speed_constant = "60 rpm/V"
rated_power = "5 kW"
rated_speed = "2600 rpm"
[controller]
phase_current = "200 A"
battery_current = "150 A"
[[pack]]
chemistry = "LFP"
cells_in_series = 16
capacity = "200 Ah"
"#;

type Undo = (&'static str, fn(&mut Boat));

/// Each term put back to what stood for it before.
const BEFORE: [Undo; 7] = [
    ("shaft line: 2 % of rated torque", |b| {
        let rated = b.motor.rated_power_w / (std::f64::consts::TAU * b.motor.rated_speed_rev_s);
        b.drive_line.bearing_torque_n_m = 0.02 * rated * b.drive_line.ratio;
    }),
    ("belt: all of its loss with the torque", |b| {
        b.drive_line.reduction_drag_n_m = 0.0;
        b.drive_line.reduction_efficiency = ReductionKind::ToothedBelt.efficiency().median;
    }),
    ("drive at rest: 0.2 % of volts times phase limit", |b| {
        b.controller.fixed_loss_w = 0.002 * 51.2 * b.controller.phase_current_limit_a;
    }),
    ("12 V loads: none", |b| b.house_power_w = 0.0),
    ("blades: as at Rn 2e6", |b| b.propeller.low_reynolds = 0.0),
    ("bracket and shaft: none", |b| b.sea.gear_drag_area_m2 = 0.0),
    ("mast: none; in service 1.15", |b| {
        b.topsides.mast_height_m = Some(0.0);
        b.topsides.rigging_length_m = Some(0.0);
        b.topsides.rigging_diameter_m = Some(0.0);
        b.sea.in_service_factor = 1.15;
    }),
];

fn main() -> Result<(), Box<dyn Error>> {
    let document = BoatDocument::parse(BOAT).map_err(|faults| format!("{faults:?}"))?;
    let now = build_spec(&document).map_err(|faults| format!("{faults:?}"))?.boat;
    let watts = |boat: &Boat| -> Result<[f64; 4], Box<dyn Error>> {
        let prepared = PreparedBoat::new(boat)?.value;
        let mut found = [0.0; 4];
        for (watts, knots) in found.iter_mut().zip([2.0, 3.0, 4.0, 5.0]) {
            *watts = prepared.solve(Ask::Speed(knots * 1852.0 / 3600.0))?.state.bank_power_w();
        }
        Ok(found)
    };
    let line = |words: &str, row: [f64; 4]| {
        println!("| {words} | {} |", row.map(|w| format!("{w:.0}")).join(" | "));
    };
    println!("| watts from the bank | 2 kn | 3 kn | 4 kn | 5 kn |\n|---|---|---|---|---|");
    let after = watts(&now)?;
    let mut old = now.clone();
    for (_, undo) in &BEFORE {
        undo(&mut old);
    }
    line("before", watts(&old)?);
    line("now", after);
    for (words, undo) in &BEFORE {
        let mut boat = now.clone();
        undo(&mut boat);
        let before = watts(&boat)?;
        line(&format!("more than with {words}"), std::array::from_fn(|i| after[i] - before[i]));
    }
    Ok(())
}
