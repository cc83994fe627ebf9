//! Odd causes that are either there or not: rivals with prior odds. Not for: weighing them (`posterior`).

use super::cause::Cause;
use super::predict::full_throttle;
use crate::boat::Boat;
use crate::spread::Spread;
use crate::steady::PreparedBoat;

/// What is odd about her, beside everything that is merely uncertain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Hypothesis {
    /// Nothing.
    Nothing,
    /// One pack of the bank gives nothing.
    PackLost,
    /// The packs have more resistance than stated.
    PoorPacks,
    /// A joint or cable has more resistance than stated.
    PoorJoint,
    /// Controller, throttle or management system hold her back below the stated limits.
    HeldBack,
    /// Another reduction than stated.
    OtherRatio,
    /// Another pitch than stated.
    OtherPitch,
    /// The belt slips.
    BeltSlips,
    /// The belt carries no more than a torque: at full throttle the motor runs ahead of it.
    BeltGives,
    /// The motor turns faster for its volts and pulls less for its amps: weak magnets; or another winding, either way.
    WeakMotor,
    /// One of her two drives stood while the runs were made.
    OneDrive,
    /// The turns are the motor's where they are written as the shaft's, or the other way round.
    OtherTurns,
    /// Amps and power are those of one of several packs.
    OnePackRead,
    /// The speeds are kilometres an hour where they are written as knots.
    KilometresRead,
    /// The speeds are statute miles an hour where they are written as knots.
    MilesRead,
    /// The speeds are metres a second where they are written as knots.
    MetresRead,
    /// Something else aboard takes a steady power that the meter counts with the drive's.
    OtherLoads,
    /// The amps, and the power made of them, are those in the motor's leads and not the bank's.
    MotorAmps,
}

impl Hypothesis {
    /// All of them.
    pub const ALL: [Self; 18] = [
        Self::Nothing,
        Self::PackLost,
        Self::PoorPacks,
        Self::PoorJoint,
        Self::HeldBack,
        Self::OtherRatio,
        Self::OtherPitch,
        Self::BeltSlips,
        Self::BeltGives,
        Self::WeakMotor,
        Self::OneDrive,
        Self::OtherTurns,
        Self::OnePackRead,
        Self::KilometresRead,
        Self::MilesRead,
        Self::MetresRead,
        Self::OtherLoads,
        Self::MotorAmps,
    ];

    /// Stable name for files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Nothing => "nothing_odd",
            Self::PackLost => "pack_lost",
            Self::PoorPacks => "poor_packs",
            Self::PoorJoint => "poor_joint",
            Self::HeldBack => "held_back",
            Self::OtherRatio => "other_reduction",
            Self::OtherPitch => "other_pitch",
            Self::BeltSlips => "belt_slips",
            Self::BeltGives => "belt_gives",
            Self::WeakMotor => "weak_motor",
            Self::OneDrive => "one_drive",
            Self::OtherTurns => "other_turns",
            Self::OnePackRead => "one_pack_read",
            Self::KilometresRead => "kilometres_read",
            Self::MilesRead => "miles_read",
            Self::MetresRead => "metres_read",
            Self::OtherLoads => "other_loads",
            Self::MotorAmps => "motor_amps",
        }
    }

    /// In words, as a statement.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Nothing => "nothing odd is at work",
            Self::PackLost => "a pack of the bank gives nothing",
            Self::PoorPacks => "the packs sag more than stated: old, cold or weak cells",
            Self::PoorJoint => "a joint or cable of the bank drops more volts than it should",
            Self::HeldBack => "controller, throttle, BMS or heat hold her back",
            Self::OtherRatio => "the reduction is another than stated",
            Self::OtherPitch => "the propeller has another pitch or diameter than stated",
            Self::BeltSlips => "the belt slips",
            Self::BeltGives => "the belt slips under full load",
            Self::WeakMotor => "the motor's magnets are weak, or its winding is another than stated",
            Self::OneDrive => "one of her two drives stood",
            Self::OtherTurns => "the turns are the motor's and not the shaft's, or the other way round",
            Self::OnePackRead => "amps and power are those of one of her packs",
            Self::KilometresRead => "the speeds are km/h and not knots",
            Self::MilesRead => "the speeds are mph and not knots",
            Self::MetresRead => "the speeds are m/s and not knots",
            Self::OtherLoads => "something else aboard takes a steady power that is counted with the drive's",
            Self::MotorAmps => "the amps are those in the motor's leads and not the bank's",
        }
    }

    /// In words, as a statement of what was and is no longer.
    #[must_use]
    pub fn past_words(self) -> &'static str {
        match self {
            Self::Nothing => "nothing odd was at work",
            Self::PackLost => "a pack of the bank gave nothing",
            Self::PoorPacks => "the packs sagged more than stated",
            Self::PoorJoint => "a joint or cable of the bank dropped more volts than it should",
            Self::HeldBack => "controller, throttle, BMS or heat held her back",
            Self::OtherRatio => "the reduction was another than stated",
            Self::OtherPitch => "the propeller had another pitch or diameter than stated",
            Self::BeltSlips => "the belt slipped",
            Self::BeltGives => "the belt slipped under full load",
            Self::WeakMotor => "the motor's magnets were weak, or its winding was another than stated",
            Self::OneDrive => "one of her two drives stood",
            Self::OtherTurns => "the turns were the motor's and not the shaft's, or the other way round",
            Self::OnePackRead => "amps and power were those of one of her packs",
            Self::KilometresRead => "the speeds were km/h and not knots",
            Self::MilesRead => "the speeds were mph and not knots",
            Self::MetresRead => "the speeds were m/s and not knots",
            Self::OtherLoads => "something else aboard took a steady power that is counted with the drive's",
            Self::MotorAmps => "the amps were those in the motor's leads and not the bank's",
        }
    }

    /// How probable it is before anything was measured, as a share. Judgement, no source.
    #[must_use]
    pub fn prior(self) -> f64 {
        match self {
            Self::Nothing => 0.72,
            Self::PackLost => 0.04,
            Self::PoorPacks | Self::PoorJoint => 0.03,
            Self::HeldBack => 0.08,
            Self::BeltSlips | Self::BeltGives => 0.03,
            // Anybody can count teeth.
            Self::OtherRatio => 0.015,
            // A stamp that was worn, of another hub, or of before the blades were set anew.
            Self::OtherPitch => 0.02,
            Self::WeakMotor => 0.02,
            Self::OneDrive => 0.03,
            Self::OtherTurns | Self::OnePackRead | Self::MotorAmps => 0.01,
            Self::KilometresRead | Self::MilesRead | Self::MetresRead => 0.003,
            Self::OtherLoads => 0.04,
        }
    }

    /// How strong it is where it is at work: a factor, sampled by a deviate of its own. Judgement, no source.
    #[must_use]
    pub fn strength(self) -> Spread {
        match self {
            Self::Nothing
            | Self::PackLost
            | Self::OneDrive
            | Self::OtherTurns
            | Self::OnePackRead
            | Self::KilometresRead
            | Self::MilesRead
            | Self::MetresRead => Spread::exact(1.0),
            // Watts: from a pump to a heater.
            Self::OtherLoads => Spread::factor(80.0, 250.0, 800.0),
            // By what a display or a clamp calls amps: 0.7 of a sine, 1 on the scale of direct current.
            Self::MotorAmps => Spread::factor(0.75, 0.95, 1.15),
            Self::HeldBack => Spread::factor(0.50, 0.75, 0.95),
            // Old or cold cells have twice to five times what they had when new.
            Self::PoorPacks => Spread::factor(1.6, 2.8, 5.0),
            // The share of her volts that it drops at the controller's current.
            Self::PoorJoint => Spread::factor(0.03, 0.08, 0.20),
            Self::OtherRatio => Spread::factor(0.85, 1.0, 1.18),
            // An inch or two of twelve to sixteen, and three now and then.
            Self::OtherPitch => Spread::factor(0.86, 1.0, 1.16),
            Self::BeltSlips => Spread::factor(0.01, 0.04, 0.12),
            Self::BeltGives => Spread::factor(0.45, 0.72, 0.95),
            Self::WeakMotor => Spread::factor(0.90, 1.04, 1.18),
        }
    }

    /// The cause under which it counts; `None` for nothing odd.
    #[must_use]
    pub fn cause(self) -> Option<Cause> {
        match self {
            Self::Nothing => None,
            Self::PackLost | Self::PoorPacks | Self::PoorJoint => Some(Cause::Bank),
            Self::HeldBack | Self::OneDrive => Some(Cause::Limits),
            Self::OtherRatio | Self::BeltSlips | Self::BeltGives => Some(Cause::Transmission),
            Self::OtherPitch => Some(Cause::Propeller),
            Self::WeakMotor => Some(Cause::Motor),
            Self::OtherTurns
            | Self::OnePackRead
            | Self::KilometresRead
            | Self::MilesRead
            | Self::MetresRead
            | Self::OtherLoads
            | Self::MotorAmps => Some(Cause::Instruments),
        }
    }

    /// Whether it is about how the runs were made or read, so that nothing can be said of her before it is settled.
    #[must_use]
    pub fn is_of_reading(self) -> bool {
        self == Self::OneDrive || self.cause() == Some(Cause::Instruments)
    }

    /// Whether she can have it at all: a lone pack is not lost while she still goes, gears do not slip; a toothed belt that is slack jumps.
    #[must_use]
    pub fn is_possible(self, boat: &Boat, has_belt: bool) -> bool {
        match self {
            Self::PackLost | Self::OnePackRead => packs_of(boat) > 1,
            Self::OneDrive => boat.drives.running > 1,
            Self::BeltSlips | Self::BeltGives => has_belt,
            Self::OtherRatio => (boat.drive_line.ratio - 1.0).abs() > 1e-6,
            Self::OtherTurns => !(0.85..1.15).contains(&boat.drive_line.ratio),
            _ => true,
        }
    }

    /// Puts it into `boat`.
    pub fn set(self, boat: &mut Boat, strength: f64) {
        match self {
            Self::Nothing => {}
            Self::PackLost => lose_a_pack(boat),
            Self::PoorPacks => boat.scale_pack_resistance(strength),
            Self::PoorJoint => {
                let volts = boat.bank.prepare().map_or(0.0, |bank| bank.open_circuit_v);
                boat.bank.cable_resistance_ohm += strength * volts / boat.controller.battery_current_limit_a;
            }
            Self::HeldBack => {
                let controller = &mut boat.controller;
                controller.battery_current_limit_a *= strength;
                controller.phase_current_limit_a *= strength;
                controller.power_limit_w = controller.power_limit_w.map(|limit| limit * strength);
                controller.maximum_duty *= strength;
                for group in &mut boat.bank.groups {
                    group.bms_discharge_a = group.bms_discharge_a.map(|limit| limit * strength);
                }
            }
            Self::OtherRatio => boat.drive_line.ratio *= strength,
            Self::OtherPitch => boat.propeller.pitch_m *= strength,
            // The motor runs ahead of the shaft; the torque is the same, the lost speed becomes heat.
            Self::BeltSlips => {
                let kept = 1.0 - strength.clamp(0.0, 0.5);
                boat.drive_line.ratio /= kept;
                boat.drive_line.reduction_efficiency *= kept;
            }
            // The shaft stays at the torque; what the motor makes of the volts that are left is for the readings.
            Self::BeltGives => {
                let full = PreparedBoat::new(boat).ok().and_then(|ready| full_throttle(&ready.value));
                if let Some(full) = full {
                    let most_a = strength.min(1.0) * full.state.motor.current_a;
                    boat.controller.phase_current_limit_a = boat.controller.phase_current_limit_a.min(most_a);
                }
            }
            Self::WeakMotor => boat.motor.no_load_speed_rev_s_v *= strength,
            Self::OneDrive => {
                boat.drives.idle += boat.drives.running.saturating_sub(1);
                boat.drives.running = boat.drives.running.min(1);
            }
            // Of the day, not of the boat.
            Self::OtherTurns
            | Self::OnePackRead
            | Self::KilometresRead
            | Self::MilesRead
            | Self::MetresRead
            | Self::OtherLoads
            | Self::MotorAmps => {}
        }
    }
}

/// Packs side by side, of all groups.
pub(super) fn packs_of(boat: &Boat) -> u32 {
    boat.bank.groups.iter().map(|group| group.packs_in_parallel).sum()
}

/// Takes one pack out of the group that has most.
fn lose_a_pack(boat: &mut Boat) {
    if packs_of(boat) <= 1 {
        return;
    }
    let groups = &mut boat.bank.groups;
    let Some(most) = (0..groups.len()).max_by_key(|&i| groups[i].packs_in_parallel) else { return };
    if groups[most].packs_in_parallel > 1 {
        groups[most].packs_in_parallel -= 1;
    } else {
        groups.remove(most);
    }
}
