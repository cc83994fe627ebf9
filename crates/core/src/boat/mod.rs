//! The whole boat as the computation takes it: one value for each input, in SI, and which of them
//! are how uncertain. Not for: where the values were written down (`wakewright-records`).

mod input;
mod spec;

pub use input::Input;
pub use spec::{BoatSpec, Fittings, Uncertain};

use crate::battery::{Bank, Discharge, FurtherBank, Load, StoppedBy, discharge};
use crate::caution;
use crate::drive::{Controller, DriveLine, MotorPlate};
use crate::hull::{HullForm, Keel, ResiduaryMethod, Rudder, Sea, Topsides, TowedResistance, complete};
use crate::notice::{Notice, Severity};
use crate::propeller::Propeller;
use crate::water::Water;

/// Everything that the steady state stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct Boat {
    /// Hull as measured.
    pub form: HullForm,
    /// Keel as measured.
    pub keel: Keel,
    /// Rudder as measured.
    pub rudder: Rudder,
    /// What the wind gets hold of.
    pub topsides: Topsides,
    /// A towing test of this very hull, which then replaces the series.
    pub towed: Option<TowedResistance>,
    /// Which residuary resistance is believed.
    pub residuary_method: ResiduaryMethod,
    /// Equivalent sand height on the bottom \[m\].
    pub bottom_sand_height_m: f64,
    /// Equivalent sand height on the blades \[m\].
    pub blades_sand_height_m: f64,
    /// Wind, depth, margins and factors.
    pub sea: Sea,
    /// Water she floats in.
    pub water: Water,
    /// Propeller.
    pub propeller: Propeller,
    /// How hull and propeller meet.
    pub stern: Stern,
    /// How many such drives she has.
    pub drives: Drives,
    /// Reduction and shaft line.
    pub drive_line: DriveLine,
    /// Motor as its plate has it.
    pub motor: MotorPlate,
    /// Temperature of the air around the motor \[K\].
    pub motor_ambient_k: f64,
    /// Controller.
    pub controller: Controller,
    /// Packs, cable, charge and temperature.
    pub bank: Bank,
    /// Banks beside the drive's, in the order in which they would be used.
    pub further: Vec<FurtherBank>,
    /// State of charge that stays in the bank as reserve, 0..1.
    pub reserve: f64,
    /// Standing loads on the same bank \[W\].
    pub house_power_w: f64,
}

/// Flow at the propeller, and where it sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stern {
    /// Taylor wake fraction: 1 - speed of advance / boat speed.
    pub wake_fraction: f64,
    /// Thrust deduction: 1 - resistance / thrust.
    pub thrust_deduction: f64,
    /// Open-water torque over torque behind the hull.
    pub relative_rotative_efficiency: f64,
    /// Depth of the shaft at the propeller below the waterline \[m\].
    pub shaft_depth_m: f64,
}

/// Like drives, each with a propeller, reduction, motor and controller of its own, on one bank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Drives {
    /// Those that run.
    pub running: u8,
    /// Those that stand, their shafts held or their blades stowed: they drag.
    pub idle: u8,
}

impl Drives {
    /// All of them.
    #[must_use]
    pub fn fitted(self) -> u8 {
        self.running + self.idle
    }

    /// What must be known of the figures of a boat with two; `is_towed` where her resistance is a towing table.
    #[must_use]
    pub fn notices(self, is_towed: bool) -> Vec<Notice> {
        const OF_EACH: &str = "Her drives are taken as alike: shaft speed, torque, motor current and winding are those of each, thrust, \
                               power and the bank's current those of all that run.";
        const ONE_STANDS: &str = "One propeller pushes and the other stands, held or stowed, and drags. What the rudder costs that holds \
                                  her straight against it is not reckoned: expect a little less speed.";
        const ONE_STANDS_TOWED: &str = "One propeller pushes and the other stands. What it drags, and what the rudder costs that holds her \
                                        straight, is not in the towing table and not reckoned: expect less speed.";
        let remark = |severity, text| Notice::Remark { severity, text, source: "common practice, no source" };
        let mut notices = Vec::new();
        if self.fitted() > 1 {
            notices.push(remark(Severity::Weak, OF_EACH));
        }
        if self.idle > 0 {
            notices.push(remark(Severity::Weak, if is_towed { ONE_STANDS_TOWED } else { ONE_STANDS }));
        }
        notices
    }
}

/// Draught of the canoe body over the whole draught where a towed hull's measurements allow no estimate.
/// Common practice, no source.
const CANOE_BODY_SHARE: f64 = 0.3;

impl Boat {
    /// Draught of the hull without keel \[m\], as measured, else as estimated with the hull.
    #[must_use]
    pub fn canoe_body_draught_m(&self) -> f64 {
        complete(&self.form, &self.keel, &self.rudder, &self.water)
            .map_or(CANOE_BODY_SHARE * self.form.draught_m, |hull| hull.value.body.draught_m)
    }

    /// From the state of charge now to the reserve at constant power; `None` when there is nothing
    /// above the reserve or the bank cannot give the power.
    #[must_use]
    pub fn discharge_at(&self, power_w: f64) -> Option<Discharge> {
        if self.bank.state_of_charge <= self.reserve {
            return None;
        }
        let run =
            discharge(&self.bank, Load::PowerW(power_w), self.bank.state_of_charge, self.reserve).ok()?;
        let gave_nothing = run.duration_s == 0.0 && run.stopped_by != StoppedBy::Target;
        (!gave_nothing).then_some(run)
    }

    /// Multiplies the resistance of every pack by `factor`; an unknown resistance becomes its estimate
    /// times `factor`.
    pub fn scale_pack_resistance(&mut self, factor: f64) {
        for group in &mut self.bank.groups {
            group.resistance_ohm = Some(group.reference_resistance_ohm() * factor);
        }
    }

    /// The cautions that belong to charging her bank.
    #[must_use]
    pub fn charging_cautions(&self) -> Vec<Notice> {
        caution::of_charging(self.bank.has_lithium())
    }

    /// The cautions that belong to her electric drive.
    #[must_use]
    pub fn drive_cautions(&self) -> Vec<Notice> {
        caution::of_drive(self.bank.has_lithium(), self.bank.has_lead())
    }

    /// Multiplies what every pack really holds by `factor`.
    pub fn scale_pack_capacity(&mut self, factor: f64) {
        for group in &mut self.bank.groups {
            group.health *= factor;
        }
    }
}
