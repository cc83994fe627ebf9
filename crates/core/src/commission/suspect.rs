//! What may explain readings that fall outside, each as a change of the boat. Not for: weighing them (`study`).

use super::point::PointKey;
use super::predict::{JOINT_OHM, Predicted, ReadyHarness, Tied};
use crate::boat::{Boat, BoatSpec, Fittings};
use crate::drive::ReductionKind;
use crate::spread::{Sampler, name_number};

/// A part that explains, or none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suspect {
    /// As the document has her.
    Sound,
    /// Two leads of the motor, or its sensor, are swapped.
    SwappedPhase,
    /// A joint in the run of this cable.
    LooseJoint(usize),
    /// The same, so bad that it hardly carries.
    BurntJoint(usize),
    /// The belt slips.
    BeltSlips,
    /// The propeller has less pitch.
    LessPitch,
    /// It has more.
    MorePitch,
    /// A pack is off.
    PackOff,
    /// The bank is less full than stated.
    LowCharge,
    /// The motor's magnets are weaker: it turns faster for its volts and gives less.
    WeakMotor,
    /// The controller's limits are set lower.
    LimitsLower,
    /// The reduction is smaller.
    LessReduction,
    /// It is larger.
    MoreReduction,
    /// The drive does not run at all.
    StandsStill,
    /// No part of her: a reading is of something else.
    Misread(Misreading),
}

/// What the meters show of a drive that does not run.
#[must_use]
pub fn standing_still(mut found: Predicted) -> Predicted {
    use PointKey::{
        FreeAmps, FreeSpeed, HalfAmps, QuayAmps, QuayMotor, QuayPull, QuayShaft, QuayVolts, Rest,
    };
    for place in [FreeSpeed, FreeAmps, HalfAmps, QuayAmps, QuayMotor, QuayShaft, QuayPull] {
        found.points[place as usize] = Some(0.0);
    }
    found.points[QuayVolts as usize] = found.points[Rest as usize];
    found.drops_v.iter_mut().for_each(|drop| *drop = drop.map(|_| 0.0));
    found
}

/// What was written down as something else.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Misreading {
    /// The shaft's turns as the motor's.
    ShaftForMotor,
    /// The motor's turns as the shaft's.
    MotorForShaft,
    /// Amps in the motor's leads as the bank's.
    MotorAmps,
    /// Amps of one of several drives as those of all.
    OneDrivesAmps,
    /// A scale's kilograms as newtons.
    Kilograms,
}

impl Misreading {
    /// All of them.
    pub const ALL: [Self; 5] =
        [Self::ShaftForMotor, Self::MotorForShaft, Self::MotorAmps, Self::OneDrivesAmps, Self::Kilograms];

    /// What the notes would show of `found`, `running` drives being at work. On a motor's lead a clamp shows 0.7 to 1 of the current on
    /// the scale of direct current, by the motor's and the meter's kind (from memory): `dice` from 0 to 1.
    #[must_use]
    pub fn notes(self, mut found: Predicted, running: f64, dice: f64) -> Predicted {
        use PointKey::{HalfAmps, QuayAmps, QuayMotor, QuayPull, QuayShaft};
        const KILOGRAM_FORCE_N: f64 = 9.806_65;
        let points = &mut found.points;
        match self {
            Self::ShaftForMotor => points[QuayMotor as usize] = points[QuayShaft as usize],
            Self::MotorForShaft => points[QuayShaft as usize] = points[QuayMotor as usize],
            Self::MotorAmps => {
                for (place, amps) in [(HalfAmps, found.motor_a.0), (QuayAmps, found.motor_a.1)] {
                    points[place as usize] = amps.map(|amps| amps * (0.7 + 0.3 * dice));
                }
            }
            Self::OneDrivesAmps => {
                for place in [HalfAmps, QuayAmps] {
                    points[place as usize] = points[place as usize].map(|amps| amps / running);
                }
            }
            Self::Kilograms => {
                points[QuayPull as usize] = points[QuayPull as usize].map(|pull| pull / KILOGRAM_FORCE_N)
            }
        }
        found
    }
}

impl Suspect {
    /// All that this boat can have.
    #[must_use]
    pub fn all(spec: &BoatSpec, harness: &ReadyHarness) -> Vec<Self> {
        let Fittings { reduction, .. } = spec.fittings;
        let has_belt =
            !matches!(reduction, Some(ReductionKind::Direct | ReductionKind::Gear | ReductionKind::BevelLeg));
        let has_reduction = reduction != Some(ReductionKind::Direct);
        let has_packs =
            (0..spec.boat.bank.groups.len()).any(|group| spec.boat.bank.without_pack(group).is_some());
        let mut all = vec![Self::Sound, Self::SwappedPhase, Self::StandsStill];
        all.extend(harness.runs().map(Self::LooseJoint));
        all.extend(harness.runs().map(Self::BurntJoint));
        all.extend(
            [(Self::BeltSlips, has_belt), (Self::PackOff, has_packs)]
                .into_iter()
                .filter(|(_, has)| *has)
                .map(|(one, _)| one),
        );
        all.extend([Self::LessPitch, Self::MorePitch, Self::LowCharge, Self::WeakMotor, Self::LimitsLower]);
        if has_reduction {
            all.extend([Self::LessReduction, Self::MoreReduction]);
        }
        all.extend(
            Misreading::ALL
                .into_iter()
                .filter(|misreading| match misreading {
                    Misreading::ShaftForMotor | Misreading::MotorForShaft => has_reduction,
                    Misreading::OneDrivesAmps => spec.boat.drives.running > 1,
                    Misreading::MotorAmps | Misreading::Kilograms => true,
                })
                .map(Self::Misread),
        );
        all
    }

    /// How often before anything was read, `runs` being how many cables could have the joint; common practice, no source.
    #[must_use]
    pub fn prior(self, runs: usize) -> f64 {
        match self {
            Self::Sound => 0.6,
            Self::LooseJoint(_) => 0.08 / runs.max(1) as f64,
            Self::BurntJoint(_) => 0.02 / runs.max(1) as f64,
            Self::SwappedPhase | Self::LimitsLower | Self::LowCharge | Self::StandsStill => 0.05,
            Self::BeltSlips | Self::PackOff | Self::LessPitch | Self::MorePitch => 0.03,
            Self::WeakMotor | Self::LessReduction | Self::MoreReduction | Self::Misread(_) => 0.015,
        }
    }

    /// In words.
    #[must_use]
    pub fn words(self, harness: &ReadyHarness) -> String {
        match self {
            Self::Sound => "nothing: she is as her document has her".to_owned(),
            Self::SwappedPhase => "two leads of the motor, or its sensor, are swapped".to_owned(),
            Self::LooseJoint(cable) => format!("a loose joint in the {}", harness.harness.cables[cable].name),
            Self::BurntJoint(cable) => {
                format!("a joint in the {} that hardly carries", harness.harness.cables[cable].name)
            }
            Self::BeltSlips => "the belt slips".to_owned(),
            Self::LessPitch => "the propeller has less pitch than stated".to_owned(),
            Self::MorePitch => "the propeller has more pitch than stated".to_owned(),
            Self::PackOff => "a pack is off".to_owned(),
            Self::LowCharge => "the bank is less full than stated".to_owned(),
            Self::WeakMotor => "the motor's magnets are weaker than its plate".to_owned(),
            Self::LimitsLower => "the controller's limits are set lower than stated".to_owned(),
            Self::LessReduction => "the reduction is smaller than stated".to_owned(),
            Self::MoreReduction => "the reduction is larger than stated".to_owned(),
            Self::StandsStill => "the drive is off or locked out".to_owned(),
            Self::Misread(what) => match what {
                Misreading::ShaftForMotor => "the motor's turns were read at the shaft",
                Misreading::MotorForShaft => "the shaft's turns were read at the motor",
                Misreading::MotorAmps => "the amps are those in the motor's leads, not the bank's",
                Misreading::OneDrivesAmps => "the amps are those of one of her drives",
                Misreading::Kilograms => "the pull is in kilograms, not in newtons",
            }
            .to_owned(),
        }
    }

    /// Stable name; of a joint that of all joints.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::SwappedPhase => "swapped_phase",
            Self::LooseJoint(_) => "loose_joint",
            Self::BurntJoint(_) => "burnt_joint",
            Self::BeltSlips => "belt_slips",
            Self::LessPitch => "less_pitch",
            Self::MorePitch => "more_pitch",
            Self::PackOff => "pack_off",
            Self::LowCharge => "low_charge",
            Self::WeakMotor => "weak_motor",
            Self::LimitsLower => "limits_lower",
            Self::LessReduction => "less_reduction",
            Self::MoreReduction => "more_reduction",
            Self::StandsStill => "stands_still",
            Self::Misread(Misreading::ShaftForMotor) => "shaft_for_motor",
            Self::Misread(Misreading::MotorForShaft) => "motor_for_shaft",
            Self::Misread(Misreading::MotorAmps) => "motor_amps",
            Self::Misread(Misreading::OneDrivesAmps) => "one_drives_amps",
            Self::Misread(Misreading::Kilograms) => "kilograms",
        }
    }

    /// What to look at.
    #[must_use]
    pub fn look_at(self) -> &'static str {
        match self {
            Self::Sound => "Nothing; the card of the trial comes next.",
            Self::SwappedPhase => {
                "Off, dead and proved dead; leads and sensor by the maker's colours; then the first turn again."
            }
            Self::BurntJoint(_) => {
                "Stop here: lever to neutral, main switch off, such a joint heats until something burns. Off, dead and proved dead; each lug, \
                 fuse and contact of that run, with the maker's torque."
            }
            Self::LooseJoint(_) => {
                "Off, dead and proved dead; each lug, fuse and contact of that run, with the maker's torque."
            }
            Self::BeltSlips => "Drive off, key out; tension, wear and dust of the belt.",
            Self::LessPitch | Self::MorePitch => "Measure the pitch, or read the stamp on the boss.",
            Self::PackOff => {
                "Each pack's lamp and its own volts; joined only within a few tenths of a volt of the others."
            }
            Self::LowCharge => "Charge to full and read again.",
            Self::WeakMotor => {
                "Open motor turned by hand or by a drill: volts between leads against revolutions."
            }
            Self::LimitsLower => "The controller's settings: motor amps, battery amps, power.",
            Self::StandsStill => {
                "Key, kill cord, lever through neutral first, shore lead out, the controller's lamp and code; then, dead and proved dead, \
                 fuse, contactor and the plug of the throttle."
            }
            Self::Misread(_) => "No part: see where and in what unit it was read, and write it down as that.",
            Self::LessReduction | Self::MoreReduction => {
                "Count teeth, or turns of the motor for ten of the shaft."
            }
        }
    }

    /// How likely the direction is wrong with it.
    #[must_use]
    pub fn turns_wrong(self) -> f64 {
        if self == Self::SwappedPhase { 0.8 } else { 0.02 }
    }

    /// `boat` with this part as sample `sample` has it; how bad it is differs from sample to sample, by own estimate, no source.
    #[must_use]
    pub fn apply(
        self,
        mut boat: Boat,
        harness: &ReadyHarness,
        sampler: Sampler,
        sample: u64,
    ) -> (Boat, Tied) {
        let dice = |name: &str| sampler.uniform(name_number(name), sample);
        let between = |low: f64, high: f64| low + (high - low) * dice("suspect.how_bad");
        let run_factors = (0..harness.harness.cables.len())
            .map(|cable| {
                (RUN_BAND * sampler.deviate(name_number("commission.run"), sample * 64 + cable as u64 % 64))
                    .exp()
            })
            .collect();
        let precharge = (PRECHARGE_BAND * sampler.deviate(name_number("commission.precharge"), sample)).exp();
        let mut tied = Tied { run_factors, precharge, ..Tied::default() };
        match self {
            Self::Sound | Self::StandsStill | Self::Misread(_) => {}
            Self::SwappedPhase => {
                // It turns at least in jerks, and draws.
                tied.free = Some([between(0.02, 0.4), 2.0 + 6.0 * dice("suspect.amps")]);
                boat.motor.no_load_speed_rev_s_v *= between(0.1, 0.5);
            }
            Self::LooseJoint(cable) => {
                tied.joint = Some((cable, JOINT_OHM * (10.0_f64).powf(between(0.6, 1.6))))
            }
            Self::BurntJoint(cable) => {
                tied.joint = Some((cable, JOINT_OHM * (10.0_f64).powf(between(1.6, 3.0))))
            }
            Self::BeltSlips => tied.slip = between(0.03, 0.3),
            Self::LessPitch => boat.propeller.pitch_m *= between(0.7, 0.93),
            Self::MorePitch => boat.propeller.pitch_m *= between(1.07, 1.35),
            Self::PackOff => {
                let groups = boat.bank.groups.len();
                let which = (dice("suspect.pack") * groups as f64) as usize;
                let off = (0..groups).filter_map(|i| boat.bank.without_pack((which + i) % groups)).next();
                boat.bank = off.unwrap_or(boat.bank);
            }
            Self::LowCharge => boat.bank.state_of_charge *= between(0.1, 0.75),
            Self::WeakMotor => boat.motor.no_load_speed_rev_s_v *= between(1.06, 1.3),
            Self::LimitsLower => {
                let factor = between(0.4, 0.9);
                boat.controller.phase_current_limit_a *= factor;
                boat.controller.battery_current_limit_a *= factor;
                boat.controller.power_limit_w = boat.controller.power_limit_w.map(|power| power * factor);
            }
            Self::LessReduction => boat.drive_line.ratio *= between(0.7, 0.94),
            Self::MoreReduction => boat.drive_line.ratio *= between(1.06, 1.4),
        }
        (boat, tied)
    }
}

/// Standard deviation of the logarithm of a run's resistance, length, lugs and warmth together; from memory.
const RUN_BAND: f64 = 0.15;
/// The same of resistance times capacitance; capacitors are sold with a fifth either way, from memory.
const PRECHARGE_BAND: f64 = 0.13;
