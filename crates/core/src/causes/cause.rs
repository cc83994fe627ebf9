//! What can make her slower or thirstier than she should be, as a fitter would name it.
//! Not for: how much (`shares`).

use crate::boat::Input;
use crate::sheet::Word;

macro_rules! causes {
    ($($(#[$doc:meta])* $name:ident => $key:literal, $words:literal, $check:literal;)+) => {
        /// A cause of a shortfall.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[repr(usize)]
        pub enum Cause { $($(#[$doc])* $name),+ }

        impl Cause {
            /// Both its names.
            #[must_use]
            pub fn word(self) -> Word {
                Word { key: self.key(), words: self.words() }
            }

            /// All causes, in the order in which they are listed.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Stable name for files.
            #[must_use]
            pub fn key(self) -> &'static str {
                match self { $(Self::$name => $key),+ }
            }

            /// In words, lower case, to stand in a sentence.
            #[must_use]
            pub fn words(self) -> &'static str {
                match self { $(Self::$name => $words),+ }
            }

            /// What to look at, as a sentence.
            #[must_use]
            pub fn what_to_look_at(self) -> &'static str {
                match self { $(Self::$name => $check),+ }
            }
        }
    };
}

causes! {
    /// Growth on the bottom.
    BottomGrowth => "bottom_growth", "growth on the bottom", "Look at the bottom, or scrub it and run again.";
    /// Growth on the blades.
    BladeGrowth => "blade_growth", "growth on the blades", "Feel the blades; a few minutes with a scraper clear them.";
    /// The propeller is another than stated: pitch, diameter, damage.
    Propeller => "propeller", "the propeller", "Have pitch and diameter measured; look for bent or nicked blades.";
    /// Flow at the propeller: wake, thrust deduction.
    Flow => "flow", "the flow at the propeller", "Look for a folded anode, a blunt deadwood, a rope guard, a rudder post close by.";
    /// Weak or hot motor.
    Motor => "motor", "the motor", "Compare volts and rpm of the motor without load with its plate; feel how warm it runs.";
    /// Belt, gear, seal and bearing; another reduction than stated.
    Transmission => "transmission", "belt, gear and shaft line", "Count teeth, look for belt dust, turn the shaft by hand, feel bearing and seal.";
    /// A limit of controller, throttle or management system below the stated one.
    Limits => "limits", "a limit of controller, throttle, BMS or heat", "Read the controller's settings and the packs' alarms; see that the throttle opens fully; feel how hot motor and controller are.";
    /// Sag of the bank, a lost pack, bad joints.
    Bank => "bank", "the bank and its cables", "Measure volts at each pack's terminals and at the controller under load.";
    /// More weight than stated.
    Load => "load", "her weight", "See how deep her marks are.";
    /// Hull resistance other than the methods give.
    Hull => "hull", "the hull's own drag", "Only a trial with a clean bottom shows it; afterwards it is known for good.";
    /// Wind and waves of that day.
    WindAndSea => "wind_and_sea", "wind and sea", "Run again in a calm, both ways.";
    /// Bottom and banks of a canal.
    Banks => "depth_and_banks", "the depth and the banks", "Sound the depth and pace out the width where she ran, or run again where the water is wide and deep.";
    /// Instruments show something else than is.
    Instruments => "instruments", "the instruments", "Hold the log against two-way runs by satellite, the meter against a second one.";
    /// None of these.
    Unexplained => "not_explained", "not explained by these", "Something is at work that is not in this list, or not in the notes: a rope, a head sea, shallow water, a stream that changed.";
}

/// Number of [`Cause`]s.
pub const CAUSE_COUNT: usize = Cause::ALL.len();

impl Cause {
    /// Whether it belongs to the day, and not to the boat or to the canal that she lives in.
    #[must_use]
    pub fn is_of_day(self) -> bool {
        matches!(self, Self::WindAndSea | Self::Instruments)
    }

    /// The cause under which an uncertain input of the boat counts.
    #[must_use]
    pub fn of_input(input: Input) -> Self {
        match input {
            Input::BottomGrowth => Self::BottomGrowth,
            Input::BladeGrowth => Self::BladeGrowth,
            Input::PropellerDiameter
            | Input::PropellerPitch
            | Input::AreaRatio
            | Input::TorqueFactor
            | Input::ThrustFactor
            | Input::LowReynolds => Self::Propeller,
            Input::Wake | Input::ThrustDeduction | Input::RelativeRotative => Self::Flow,
            Input::SpeedConstant
            | Input::MotorResistance
            | Input::NoLoadCurrent
            | Input::MotorAmbient
            | Input::IronShare
            | Input::BrushDrop
            | Input::StandingLoss
            | Input::RatedPower
            | Input::PhaseCurrent
            | Input::BatteryCurrent => Self::Motor,
            Input::ReductionEfficiency | Input::BearingTorque | Input::ReductionDrag | Input::Ratio => {
                Self::Transmission
            }
            Input::StateOfCharge
            | Input::PackResistance
            | Input::PackCapacity
            | Input::CableResistance
            | Input::HousePower => Self::Bank,
            Input::Displacement => Self::Load,
            Input::LengthWaterline
            | Input::BeamWaterline
            | Input::Prismatic
            | Input::CentreOfBuoyancy
            | Input::KeelArea
            | Input::RudderArea
            | Input::ResiduaryFactor
            | Input::WindageFactor
            | Input::InService
            | Input::GearDrag
            | Input::Draught => Self::Hull,
            Input::HeadWind | Input::SeaMargin => Self::WindAndSea,
            Input::SternLoss => Self::Banks,
        }
    }
}
