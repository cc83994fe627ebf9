//! An invented boat for tests of the whole balance: a heavy long-keel boat of about 32 ft with a
//! 48 V drive.
#![allow(dead_code, reason = "each test file uses its part")]

pub mod random;

use wakewright_core::battery::{Bank, Chemistry, PackGroup};
use wakewright_core::boat::{Boat, Drives, Stern};
use wakewright_core::drive::{Controller, DriveLine, MotorPlate, ReductionKind};
use wakewright_core::hull::complete::CanoeBody;
use wakewright_core::hull::nodes::curve_value;
use wakewright_core::hull::residuary::residuary_curve;
use wakewright_core::hull::{
    HullForm, HullKind, Keel, KeelKind, ResiduaryMethod, Rudder, RudderKind, Sea, Topsides, WindageForm,
};
use wakewright_core::propeller::{Pattern, Propeller};
use wakewright_core::water::Water;

/// Inches in metres.
pub const INCH_M: f64 = 0.0254;
/// The usual number of drives.
pub const ONE_DRIVE: Drives = Drives { running: 1, idle: 0 };
/// Knots in metres per second.
pub const KNOT_M_S: f64 = 1852.0 / 3600.0;

pub fn heavy_long_keeler() -> Boat {
    let pack =
        PackGroup { bms_discharge_a: Some(200.0), ..PackGroup::new(Chemistry::Lfp, 16, 100.0 * 3600.0, 2) };
    Boat {
        form: HullForm {
            kind: HullKind::SailingYacht,
            length_waterline_m: 7.8,
            beam_waterline_m: 2.75,
            displacement_kg: 6600.0,
            draught_m: 1.5,
            canoe_body_draught_m: None,
            prismatic_coefficient: None,
            midship_coefficient: None,
            lcb_fraction: None,
            lcf_fraction: None,
            waterplane_area_m2: None,
        },
        keel: Keel {
            kind: KeelKind::LongWithAperture,
            mean_chord_m: None,
            thickness_ratio: None,
            wetted_area_m2: None,
            volume_m3: None,
        },
        rudder: Rudder {
            kind: RudderKind::KeelHung,
            mean_chord_m: None,
            thickness_ratio: None,
            wetted_area_m2: None,
        },
        topsides: Topsides {
            length_overall_m: 9.8,
            beam_overall_m: Some(3.0),
            freeboard_m: Some(1.0),
            mast_height_m: Some(12.5),
            mast_diameter_m: Some(0.13),
            rigging_diameter_m: None,
            rigging_length_m: None,
            extra_frontal_area_m2: 0.0,
            form: WindageForm::default(),
        },
        towed: None,
        residuary_method: ResiduaryMethod::KeuningSonnenberg1998,
        bottom_sand_height_m: 1000e-6,
        blades_sand_height_m: 100e-6,
        sea: Sea { in_service_factor: 1.15, ..Sea::tank() },
        water: Water::sea(288.15),
        propeller: Propeller::clean(16.0 * INCH_M, 8.0 * INCH_M, 3, 0.5, Pattern::BSeries),
        stern: Stern {
            wake_fraction: 0.25,
            thrust_deduction: 0.2,
            relative_rotative_efficiency: 1.0,
            shaft_depth_m: 0.7,
        },
        drives: ONE_DRIVE,
        drive_line: DriveLine::estimate(ReductionKind::ToothedBelt, 2.5, 0.8),
        motor: MotorPlate::minimal(1.0, 10_000.0, 50.0),
        further: Vec::new(),
        motor_ambient_k: 303.15,
        controller: Controller { maximum_duty: 0.95, ..Controller::estimate(350.0, 250.0, 51.2) },
        bank: Bank { cable_resistance_ohm: 0.002, ..Bank::of(pack, 0.8) },
        reserve: 0.2,
        house_power_w: 60.0,
    }
}

/// Residuary resistance over weight at any Froude number, as the hull's curve goes.
pub fn residuary_ratio(body: &CanoeBody, method: ResiduaryMethod, froude: f64) -> f64 {
    curve_value(&residuary_curve(body, method), froude)
}
