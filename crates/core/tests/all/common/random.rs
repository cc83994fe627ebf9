//! Invented boats over the plausible range of every input, the same for ever.

use super::ONE_DRIVE;
use wakewright_core::battery::{Bank, Chemistry, PackGroup};
use wakewright_core::boat::{Boat, Stern};
use wakewright_core::drive::{
    Controller, Cooling, DriveLine, FieldWeakening, MotorPlate, ReductionKind, ThrottleMode,
};
use wakewright_core::hull::{
    HullForm, HullKind, Keel, KeelKind, ResiduaryMethod, Rudder, RudderKind, Sea, Topsides, WindageForm,
};
use wakewright_core::propeller::{Pattern, Propeller};
use wakewright_core::spread::Sampler;
use wakewright_core::water::Water;

/// Uniform numbers in a fixed order.
pub struct Dice {
    sampler: Sampler,
    sample: u64,
    thrown: u64,
}

impl Dice {
    pub fn new(seed: u64, sample: u64) -> Self {
        Self { sampler: Sampler::new(seed), sample, thrown: 0 }
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        self.thrown += 1;
        low + (high - low) * self.sampler.uniform(self.thrown, self.sample)
    }

    /// Evenly on a logarithmic scale.
    pub fn scaled(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    pub fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        let place = self.between(0.0, choices.len() as f64) as usize;
        choices[place.min(choices.len() - 1)]
    }

    pub fn sometimes(&mut self, share: f64, low: f64, high: f64) -> Option<f64> {
        let value = self.between(low, high);
        (self.between(0.0, 1.0) < share).then_some(value)
    }
}

pub fn random_boat(sample: u64) -> Boat {
    let dice = &mut Dice::new(11, sample);
    let length = dice.between(5.0, 13.5);
    let beam = length / dice.between(2.3, 4.2);
    let draught = length * dice.between(0.12, 0.21);
    let keel_kind = dice.one_of(&[
        KeelKind::Fin,
        KeelKind::Twin,
        KeelKind::Long,
        KeelKind::LongWithAperture,
        KeelKind::Fin,
    ]);
    let diameter = dice.between(0.25, 0.6);
    let cells = dice.one_of(&[8, 16, 16, 16, 24, 30]);
    let volts = 3.2 * f64::from(cells);
    let rated_speed = dice.between(20.0, 70.0);
    let rated_power = dice.scaled(1500.0, 25_000.0);
    let amps = rated_power / volts;
    let weakening = dice.sometimes(0.2, 1.1, 1.8).map(|maximum_speed_ratio| FieldWeakening {
        characteristic_current_a: amps * 3.0,
        maximum_speed_ratio,
    });
    let phase_limit = amps * dice.between(0.7, 3.0);
    let battery_limit = amps * dice.between(0.7, 2.0);
    Boat {
        drives: ONE_DRIVE,
        form: HullForm {
            kind: dice.one_of(&[HullKind::SailingYacht, HullKind::SailingYacht, HullKind::RoundBilgeMotor]),
            length_waterline_m: length,
            beam_waterline_m: beam,
            displacement_kg: 1025.0 * (length / dice.between(4.0, 6.5)).powi(3),
            draught_m: draught,
            canoe_body_draught_m: None,
            prismatic_coefficient: dice.sometimes(0.3, 0.52, 0.60),
            midship_coefficient: None,
            lcb_fraction: dice.sometimes(0.3, 0.50, 0.58),
            lcf_fraction: None,
            waterplane_area_m2: None,
        },
        keel: Keel {
            kind: keel_kind,
            mean_chord_m: None,
            thickness_ratio: None,
            wetted_area_m2: None,
            volume_m3: None,
        },
        rudder: Rudder {
            kind: dice.one_of(&[RudderKind::Spade, RudderKind::Skeg, RudderKind::Transom]),
            mean_chord_m: None,
            thickness_ratio: None,
            wetted_area_m2: None,
        },
        topsides: Topsides {
            length_overall_m: length * dice.between(1.05, 1.35),
            beam_overall_m: None,
            freeboard_m: None,
            mast_height_m: None,
            mast_diameter_m: None,
            rigging_diameter_m: None,
            rigging_length_m: None,
            extra_frontal_area_m2: dice.between(0.0, 3.0),
            form: dice.one_of(&[WindageForm::Larsson, WindageForm::Orc, WindageForm::Hazen]),
        },
        towed: None,
        residuary_method: dice.one_of(&[
            ResiduaryMethod::KeuningSonnenberg1998,
            ResiduaryMethod::KeuningSonnenberg1998,
            ResiduaryMethod::KeuningKatgert2008,
        ]),
        bottom_sand_height_m: dice.one_of(&[0.0, 1.0]) * dice.scaled(30e-6, 5e-3),
        blades_sand_height_m: dice.one_of(&[0.0, 1.0]) * dice.scaled(30e-6, 1e-3),
        sea: Sea {
            true_head_wind_m_s: dice.between(-12.0, 15.0),
            depth_m: dice.sometimes(0.2, draught + 1.0, 12.0),
            sea_margin: dice.between(0.0, 0.4),
            in_service_factor: dice.between(0.9, 1.6),
            residuary_factor: dice.between(0.85, 1.2),
            windage_factor: dice.between(0.7, 1.5),
            air_temperature_k: dice.between(273.0, 308.0),
            ..Sea::tank()
        },
        water: Water::sea(dice.between(275.0, 303.0)),
        propeller: Propeller::clean(
            diameter,
            diameter * dice.between(0.5, 1.2),
            dice.one_of(&[2, 3, 3, 3, 4]),
            dice.between(0.35, 0.75),
            dice.one_of(&[Pattern::BSeries, Pattern::BSeries, Pattern::Folding, Pattern::Feathering]),
        ),
        stern: Stern {
            wake_fraction: dice.between(0.0, 0.35),
            thrust_deduction: dice.between(0.05, 0.25),
            relative_rotative_efficiency: dice.between(0.95, 1.05),
            shaft_depth_m: dice.between(0.25, 1.2),
        },
        drive_line: DriveLine::estimate(
            dice.one_of(&[ReductionKind::Direct, ReductionKind::ToothedBelt, ReductionKind::Gear]),
            dice.between(1.0, 4.0),
            0.02 * dice.between(10.0, 80.0),
        ),
        motor: MotorPlate {
            cooling: dice.one_of(&[Cooling::AirNatural, Cooling::AirForced, Cooling::Water]),
            field_weakening: weakening,
            // Some two volts in a hundred at the rated current.
            leads_ohm: 0.02 * volts * volts / rated_power,
            peak_power_w: dice.sometimes(0.4, 1.2 * rated_power, 2.0 * rated_power),
            // No-load speed at nominal volts a little above the rated speed.
            ..MotorPlate::minimal(rated_speed * dice.between(1.1, 1.4) / volts, rated_power, rated_speed)
        },
        further: Vec::new(),
        motor_ambient_k: dice.between(283.0, 318.0),
        controller: Controller {
            maximum_duty: dice.between(0.9, 1.0),
            undervoltage_v: dice.sometimes(0.4, 0.75 * volts, 0.88 * volts),
            power_limit_w: dice.sometimes(0.3, 0.6 * rated_power, 2.0 * rated_power),
            throttle_mode: dice.one_of(&[
                ThrottleMode::Voltage,
                ThrottleMode::Speed,
                ThrottleMode::Torque,
                ThrottleMode::Power,
            ]),
            ..Controller::estimate(phase_limit, battery_limit, volts)
        },
        bank: Bank {
            cable_resistance_ohm: dice.between(0.0, 0.01),
            temperature_k: dice.between(278.0, 308.0),
            ..Bank::of(
                PackGroup {
                    bms_discharge_a: dice.sometimes(0.6, 50.0, 200.0),
                    ..PackGroup::new(
                        Chemistry::Lfp,
                        cells,
                        dice.scaled(50.0, 300.0) * 3600.0,
                        dice.one_of(&[1, 2, 4]),
                    )
                },
                dice.between(0.1, 1.0),
            )
        },
        reserve: dice.between(0.0, 0.3),
        house_power_w: dice.between(0.0, 200.0),
    }
}
