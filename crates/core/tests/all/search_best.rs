//! The best propeller for a thrust and a speed, against an independent optimiser on the published series.
//! Not for: limits, fronts (`search.rs`).
#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::f64::consts::TAU;

use crate::common::heavy_long_keeler;
use wakewright_core::battery::{Bank, Chemistry, PackGroup};
use wakewright_core::boat::{Boat, BoatSpec, Fittings, Stern};
use wakewright_core::drive::{Controller, DriveLine, MotorPlate, ReductionKind};
use wakewright_core::hull::{Sea, TowedResistance};
use wakewright_core::propeller::{Pattern, PreparedPropeller, Propeller};
use wakewright_core::search::{Demand, Demands, Machine, Merit, Reduction, Search, Space, stock_pitches_m};
use wakewright_core::water::Water;
use wakewright_testkit::{Table, assert_within};

/// A row of the reference table.
struct Case {
    find: String,
    thrust_n: f64,
    advance_m_s: f64,
    blades: u8,
    area_ratio: f64,
    given: f64,
    diameter_m: f64,
    pitch_ratio: f64,
    rev_s: f64,
    power_w: f64,
}

fn cases() -> Vec<Case> {
    let table = Table::read("propeller/calculated_best_propeller.csv");
    (0..table.rows.len())
        .map(|row| {
            let number = |column: &str| table.number(row, column).unwrap();
            Case {
                find: table.text(row, "find").to_owned(),
                thrust_n: number("thrust_n"),
                advance_m_s: number("advance_m_s"),
                blades: number("blades") as u8,
                area_ratio: number("area_ratio"),
                given: number("given"),
                diameter_m: number("diameter_m"),
                pitch_ratio: number("pitch_ratio"),
                rev_s: number("rev_s"),
                power_w: number("power_w"),
            }
        })
        .collect()
}

/// The water of the reference table: density 1,025 kg/m³; blades stay below the Reynolds correction.
fn water() -> Water {
    Water { density_kg_m3: 1025.0, ..Water::sea(288.15) }
}

/// A boat that needs exactly the thrust of `case` at its speed of advance, with a drive that loses nothing
/// to speak of, so that energy at cruise is what the propeller takes.
fn search_of(case: &Case, propellers: Vec<Propeller>) -> Search {
    let amps = 1e6;
    let pack = PackGroup { resistance_ohm: Some(1e-6), ..PackGroup::new(Chemistry::Lfp, 16, 3.6e9, 1) };
    let boat = Boat {
        towed: Some(TowedResistance {
            speeds_m_s: vec![0.5 * case.advance_m_s, case.advance_m_s, 1.5 * case.advance_m_s],
            drags_n: vec![0.25 * case.thrust_n, case.thrust_n, 3.0 * case.thrust_n],
        }),
        blades_sand_height_m: 0.0,
        sea: Sea { windage_factor: 0.0, in_service_factor: 1.0, sea_margin: 0.0, ..Sea::tank() },
        water: water(),
        stern: Stern {
            wake_fraction: 0.0,
            thrust_deduction: 0.0,
            relative_rotative_efficiency: 1.0,
            shaft_depth_m: 30.0,
        },
        drive_line: DriveLine::estimate(ReductionKind::Direct, 1.0, 0.0),
        motor: MotorPlate {
            resistance_ohm: Some(1e-9),
            no_load_current_a: Some(1e-6),
            ..MotorPlate::minimal(1.0, 1e6, 50.0)
        },
        controller: Controller {
            fixed_loss_w: 0.0,
            loss_per_a_w: 0.0,
            loss_per_a2_ohm: 0.0,
            ..Controller::estimate(amps, amps, 51.2)
        },
        bank: Bank::of(pack, 0.9),
        house_power_w: 0.0,
        propeller: propellers[0],
        ..heavy_long_keeler()
    };
    let space = Space {
        propellers,
        machines: vec![Machine {
            words: "ideal".to_owned(),
            plate: boat.motor,
            controller: boat.controller,
            nominal_v: 51.2,
            is_present: true,
        }],
        reductions: vec![Reduction { ratio: 1.0, kind: ReductionKind::Direct }],
        cells: vec![16],
        packs: vec![1],
    };
    let demands = Demands {
        largest_diameter_m: f64::INFINITY,
        may_exceed_touch_limit: true,
        most_mass_kg: f64::INFINITY,
        budget: f64::INFINITY,
    };
    let spec = BoatSpec { boat, uncertain: Vec::new(), fittings: Fittings::default(), not_known: Vec::new() };
    Search::new(&spec, space, demands, [case.advance_m_s; 3], None).unwrap()
}

fn propeller(case: &Case, diameter_m: f64, pitch_ratio: f64) -> Propeller {
    Propeller::clean(diameter_m, pitch_ratio * diameter_m, case.blades, case.area_ratio, Pattern::BSeries)
}

/// By the demand table of the search over a fine row of pitches: the pitch, revolutions and power of the
/// optimiser.
#[test]
fn best_pitch_is_that_of_an_independent_optimiser() {
    for case in cases().iter().filter(|case| case.find == "pitch") {
        let fine: Vec<Propeller> = (500..=1400)
            .map(|thousandths| propeller(case, case.given, f64::from(thousandths) / 1000.0))
            .collect();
        let search = search_of(case, fine.clone());
        let (power_w, rev_s, best) = fine
            .iter()
            .map(|propeller| {
                let (rev_s, torque) = Demand::new(&search, propeller, false).cruise[0];
                (TAU * rev_s * torque, rev_s, propeller)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap();
        assert_within("power", power_w, case.power_w, 2e-5);
        assert_within("pitch ratio", best.pitch_ratio(), case.pitch_ratio, 0.01);
        assert_within("revolutions", rev_s, case.rev_s, 0.01);
    }
}

/// By the search itself over stock pitches: the thriftiest takes no less than the optimum and little more,
/// and its pitch is a stock pitch next to the best one.
#[test]
fn thriftiest_stock_propeller_lies_at_the_optimum() {
    for case in cases().iter().filter(|case| case.find == "pitch") {
        let stock: Vec<Propeller> = stock_pitches_m(case.given)
            .into_iter()
            .map(|pitch_m| propeller(case, case.given, pitch_m / case.given))
            .collect();
        let search = search_of(case, stock);
        let front = search.run(0..search.space().len()).front.into_members();
        let best = front
            .iter()
            .min_by(|a, b| a.merits.energy_per_metre_j.total_cmp(&b.merits.energy_per_metre_j))
            .unwrap();
        let found_w = best.merits.energy_per_metre_j * case.advance_m_s;
        let step_w = Merit::Energy.step() * case.advance_m_s;
        assert!(found_w > case.power_w * (1.0 - 1e-5), "{found_w} below the optimum {}", case.power_w);
        assert!(found_w < 1.003 * case.power_w + step_w, "{found_w} against {}", case.power_w);
        let chosen = search.space().propellers[search.space().place(best.index).propeller];
        let off_m = (chosen.pitch_m - case.pitch_ratio * case.diameter_m).abs();
        assert!(off_m < 0.0254 + 1e-6, "{off_m} m from the best pitch");
    }
}

/// At a fixed shaft speed there is a best diameter: smaller blades are overloaded, larger ones drag.
#[test]
fn best_diameter_at_fixed_shaft_speed_is_that_of_an_independent_optimiser() {
    for case in cases().iter().filter(|case| case.find == "diameter") {
        let power = |diameter_m: f64| -> Option<f64> {
            let at = |ratio: f64| {
                let prepared =
                    PreparedPropeller::new(&propeller(case, diameter_m, ratio), &water()).ok()?.value;
                let revs = prepared.at_thrust(case.advance_m_s, case.thrust_n)?.0;
                Some((revs, TAU * revs * prepared.thrust_torque(case.advance_m_s, revs).1))
            };
            // More pitch, fewer revolutions: the pitch that turns at the given speed.
            let (mut low, mut high) = (0.5, 1.4);
            if at(low)?.0 < case.given || at(high)?.0 > case.given {
                return None;
            }
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if at(middle)?.0 > case.given { low = middle } else { high = middle }
            }
            Some(at(low)?.1)
        };
        let (power_w, diameter_m) = (2000..=9000)
            .step_by(5)
            .map(|tenths_mm| f64::from(tenths_mm) * 1e-4)
            .filter_map(|diameter_m| Some((power(diameter_m)?, diameter_m)))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap();
        assert_within("power", power_w, case.power_w, 2e-5);
        assert_within("diameter", diameter_m, case.diameter_m, 0.01);
        for away in [0.9, 1.1] {
            if let Some(other_w) = power(away * diameter_m) {
                assert!(other_w > power_w, "a tenth from the best diameter costs");
            }
        }
    }
}
