//! The boats that the benches run on.
#![allow(dead_code, reason = "each bench uses its part")]

use wakewright_core::boat::{Boat, BoatSpec};
use wakewright_core::search::{
    Demands, Machine, Reduction, Search, Space, generic_machines, room_m, stock_propellers,
};
use wakewright_records::boat::{BoatDocument, build_spec};
use wakewright_units::factors::KNOT_M_S;

/// The invented boat of the examples.
pub fn demo_spec() -> BoatSpec {
    let document = BoatDocument::parse(include_str!("../../../../examples/sea_campion.toml")).unwrap();
    build_spec(&document).unwrap()
}

/// As [`demo_spec`], at the inputs' medians.
pub fn demo_boat() -> Boat {
    demo_spec().boat
}

/// The demo boat with blades large enough for the Reynolds correction of the series.
pub fn large_propeller_boat() -> Boat {
    let mut boat = demo_boat();
    boat.propeller.diameter_m = 0.5;
    boat.propeller.pitch_m = 0.35;
    boat.propeller.area_ratio = 0.6;
    boat
}

/// A search of some five million candidates around the demo boat with smooth blades.
pub fn large_search() -> Search {
    let mut spec = demo_spec();
    spec.boat.blades_sand_height_m = 0.0;
    let base = &spec.boat;
    let mut machines = generic_machines();
    machines.truncate(9);
    machines.push(Machine {
        words: "as aboard".to_owned(),
        plate: base.motor,
        controller: base.controller,
        nominal_v: base.bank.groups[0].nominal_voltage_v(),
        is_present: true,
    });
    let space = Space {
        propellers: stock_propellers(&base.propeller, room_m(&spec).unwrap_or(0.35)),
        machines,
        reductions: (10..=40)
            .step_by(2)
            .map(|tenths| Reduction::for_boat(base, f64::from(tenths) / 10.0))
            .collect(),
        cells: vec![16, 24],
        packs: vec![1, 2, 3, 4, 5],
    };
    let demands = Demands {
        largest_diameter_m: f64::INFINITY,
        may_exceed_touch_limit: true,
        most_mass_kg: f64::INFINITY,
        budget: f64::INFINITY,
    };
    let cruise = [2.5, 2.0, 3.0].map(|knots| knots * KNOT_M_S);
    Search::new(&spec, space, demands, cruise, None).unwrap()
}
