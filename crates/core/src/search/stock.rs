//! What can be bought: stock sizes of propellers, and ratings of motors with a controller, by type
//! and rating only. Not for: prices, makes.

use std::f64::consts::TAU;

use wakewright_units::factors::INCH_M;
use wakewright_units::format_number;

use crate::battery::{Chemistry, PackGroup};
use crate::drive::small_load::STANDING_POWER_W;
use crate::drive::{Controller, Cooling, MotorPlate};
use crate::propeller::{Pattern, Propeller};

/// Smallest and largest stock propeller for boats of this kind \[in\]. Common practice, no source.
const STOCK_RANGE_IN: (f64, f64) = (8.0, 26.0);

/// Below this size stock goes by half inches \[in\]. Common practice, no source.
const HALF_INCHES_BELOW_IN: f64 = 13.0;

/// Pitch ratios of the search: those of the series from its lower end to what auxiliaries turn.
const PITCH_RATIOS: (f64, f64) = (0.5, 1.2);

/// Patterns on the shelf: blades, area ratio and family. Two-bladed models of the series were tested at
/// 0.30 only. Common practice, no source.
const PATTERNS: [(Pattern, u8, f64); 9] = [
    (Pattern::BSeries, 2, 0.30),
    (Pattern::BSeries, 3, 0.40),
    (Pattern::BSeries, 3, 0.50),
    (Pattern::BSeries, 3, 0.65),
    (Pattern::BSeries, 4, 0.45),
    (Pattern::BSeries, 4, 0.60),
    (Pattern::BSeries, 4, 0.75),
    (Pattern::Folding, 2, 0.30),
    (Pattern::Folding, 3, 0.40),
];

/// Stock sizes from `low_m` to `high_m` \[m\]: by half inches below 13 in, by inches from there.
#[must_use]
pub fn stock_sizes_m(low_m: f64, high_m: f64) -> Vec<f64> {
    let mut sizes = Vec::new();
    let mut inches = STOCK_RANGE_IN.0.min((2.0 * low_m / INCH_M).floor() / 2.0);
    while inches * INCH_M <= high_m + 1e-9 {
        if inches * INCH_M >= low_m - 1e-9 {
            sizes.push(inches * INCH_M);
        }
        inches += if inches < HALF_INCHES_BELOW_IN { 0.5 } else { 1.0 };
    }
    sizes
}

/// Stock pitches for a diameter \[m\].
#[must_use]
pub fn stock_pitches_m(diameter_m: f64) -> Vec<f64> {
    stock_sizes_m(PITCH_RATIOS.0 * diameter_m, PITCH_RATIOS.1 * diameter_m)
}

/// Every stock propeller up to `largest_m`, fixed and folding, beginning with `present` and what a shop
/// can make of it by re-pitching (an inch or two either way, by half inches).
#[must_use]
pub fn stock_propellers(present: &Propeller, largest_m: f64) -> Vec<Propeller> {
    let mut found = vec![*present];
    if !present.pattern.is_stowed_under_sail() {
        for half_inches in [-4, -3, -2, -1, 1, 2, 3, 4] {
            let pitch_m = present.pitch_m + 0.5 * f64::from(half_inches) * INCH_M;
            if pitch_m > 0.4 * present.diameter_m {
                found.push(Propeller { pitch_m, ..*present });
            }
        }
    }
    let largest_m = largest_m.min(STOCK_RANGE_IN.1 * INCH_M);
    for (pattern, blades, area_ratio) in PATTERNS {
        for diameter_m in stock_sizes_m(STOCK_RANGE_IN.0 * INCH_M, largest_m) {
            for pitch_m in stock_pitches_m(diameter_m) {
                let propeller = Propeller {
                    blade_drag_rise: present.blade_drag_rise,
                    low_reynolds: present.low_reynolds,
                    thrust_factor: present.thrust_factor,
                    torque_factor: pattern.torque_factor().expected(),
                    ..Propeller::clean(diameter_m, pitch_m, blades, area_ratio, pattern)
                };
                let is_there = found.iter().any(|other| {
                    other.pattern == pattern
                        && other.blades == blades
                        && (other.area_ratio - area_ratio).abs() < 1e-9
                        && (other.diameter_m - diameter_m).abs() < 1e-9
                        && (other.pitch_m - pitch_m).abs() < 1e-9
                });
                if !is_there {
                    found.push(propeller);
                }
            }
        }
    }
    found
}

/// A motor with its controller, made for one nominal voltage.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Type and rating in words, for example `10 kW at 3,000 rpm, still air, 48 V class`.
    pub words: String,
    /// Plate of the motor.
    pub plate: MotorPlate,
    /// Controller at `nominal_v`.
    pub controller: Controller,
    /// Voltage for which the controller's losses and cut-outs hold \[V\].
    pub nominal_v: f64,
    /// True for what is aboard now.
    pub is_present: bool,
}

impl Machine {
    /// The controller for a bank of another nominal voltage: same currents and standing power, other losses and cut-outs in
    /// proportion to the volts, as [`Controller::estimate`] has them.
    #[must_use]
    pub fn controller_at(&self, nominal_v: f64) -> Controller {
        let by = nominal_v / self.nominal_v;
        Controller {
            loss_per_a_w: by * self.controller.loss_per_a_w,
            loss_per_a2_ohm: by * self.controller.loss_per_a2_ohm,
            undervoltage_v: self.controller.undervoltage_v.map(|v| by * v),
            overvoltage_v: self.controller.overvoltage_v.map(|v| by * v),
            ..self.controller
        }
    }
}

/// Ratings of permanent-magnet drives as the trade sells them: (kW, rpm, volts of the class, cooling).
const RATINGS: [(f64, f64, u32, Cooling); 10] = [
    (3.0, 1500.0, 48, Cooling::AirNatural),
    (4.0, 1200.0, 48, Cooling::AirNatural),
    (5.0, 3000.0, 48, Cooling::AirNatural),
    (6.0, 1500.0, 48, Cooling::AirNatural),
    (8.0, 3000.0, 48, Cooling::AirForced),
    (10.0, 1500.0, 48, Cooling::Water),
    (10.0, 3000.0, 48, Cooling::AirForced),
    (15.0, 3000.0, 48, Cooling::Water),
    (15.0, 3000.0, 96, Cooling::AirForced),
    (20.0, 3000.0, 96, Cooling::Water),
];

/// No-load speed at the nominal voltage over rated speed. From memory, typical.
const NO_LOAD_OVER_RATED: f64 = 1.15;
/// Phase limit of the controller over the motor's rated current. From memory, typical.
const PHASE_OVER_RATED: f64 = 1.5;
/// Battery limit of the controller over the current that rated power takes. From memory, typical.
const BATTERY_OVER_RATED: f64 = 1.3;
/// Short-time over continuous power. From memory, typical.
const PEAK_OVER_RATED: f64 = 1.5;
/// Largest share of the bus voltage that a controller gives the motor. From memory, typical.
const MAXIMUM_DUTY: f64 = 0.95;

/// Drives of generic ratings, no makes. All figures are typical values from memory: whoever buys one
/// puts the figures of its plate into the boat's document and asks again.
#[must_use]
pub fn generic_machines() -> Vec<Machine> {
    RATINGS
        .into_iter()
        .map(|(kilowatts, rpm, class_v, cooling)| generic(kilowatts, rpm, class_v, cooling))
        .collect()
}

fn generic(kilowatts: f64, rpm: f64, class_v: u32, cooling: Cooling) -> Machine {
    let (power_w, speed_rev_s) = (1000.0 * kilowatts, rpm / 60.0);
    // A third as many iron-phosphate cells as volts of the class: 48 V has 16.
    let nominal_v = PackGroup::new(Chemistry::Lfp, class_v / 3, 1.0, 1).nominal_voltage_v();
    let per_volt = NO_LOAD_OVER_RATED * speed_rev_s / nominal_v;
    let rated_a = power_w / (TAU * speed_rev_s) * TAU * per_volt;
    let cooled = match cooling {
        Cooling::AirNatural => "still air",
        Cooling::AirForced => "fan",
        Cooling::Water => "water-cooled",
    };
    Machine {
        words: format!("{kilowatts:.0} kW at {} rpm, {cooled}, {class_v} V class", format_number(rpm, 0)),
        plate: MotorPlate {
            cooling,
            peak_power_w: Some(PEAK_OVER_RATED * power_w),
            ..MotorPlate::minimal(per_volt, power_w, speed_rev_s)
        },
        controller: Controller {
            maximum_duty: MAXIMUM_DUTY,
            fixed_loss_w: STANDING_POWER_W.median,
            ..Controller::estimate(
                PHASE_OVER_RATED * rated_a,
                BATTERY_OVER_RATED * power_w / nominal_v,
                nominal_v,
            )
        },
        nominal_v,
        is_present: false,
    }
}
