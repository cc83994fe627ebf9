//! What a channel measures: name, kind of quantity, what is possible and what is plausible.
//! Not for: where it was measured (`Source`).

use serde::{Deserialize, Serialize};
use wakewright_units::Quantity;
use wakewright_units::factors::{DEGREE_RAD, KNOT_M_S, ZERO_CELSIUS_K};

macro_rules! measured {
    ($($variant:ident $word:literal $label:literal $quantity:ident $circular:literal,)*) => {
        /// What a channel measures. Values are SI.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum Measured {
            $(#[doc = $label] $variant,)*
        }

        impl Measured {
            /// Every one.
            pub const ALL: &[Self] = &[$(Self::$variant,)*];

            /// For machines.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }

            /// For people.
            #[must_use]
            pub const fn label(self) -> &'static str {
                match self { $(Self::$variant => $label,)* }
            }

            /// The kind of quantity, which decides the units that it is read and written in.
            #[must_use]
            pub const fn quantity(self) -> Quantity {
                match self { $(Self::$variant => Quantity::$quantity,)* }
            }

            /// True for directions: means and differences go round the circle.
            #[must_use]
            pub const fn is_circular(self) -> bool {
                match self { $(Self::$variant => $circular,)* }
            }
        }
    };
}

measured! {
    SpeedThroughWater "speed-through-water" "speed through the water" Speed false,
    SpeedOverGround "speed-over-ground" "speed over ground" Speed false,
    CourseOverGround "course-over-ground" "course, true" Angle true,
    CourseOverGroundMagnetic "course-over-ground-magnetic" "course, magnetic" Angle true,
    HeadingTrue "heading-true" "heading, true" Angle true,
    HeadingMagnetic "heading-magnetic" "heading, magnetic" Angle true,
    MagneticVariation "magnetic-variation" "magnetic variation" Angle true,
    Latitude "latitude" "latitude" Angle false,
    Longitude "longitude" "longitude" Angle true,
    DepthBelowTransducer "depth-below-transducer" "depth below transducer" Length false,
    DepthBelowSurface "depth-below-surface" "depth below surface" Length false,
    ShaftSpeed "shaft-speed" "speed of the shaft" RotationalSpeed false,
    MotorSpeed "motor-speed" "speed of the motor" RotationalSpeed false,
    Throttle "throttle" "lever position" Share false,
    Voltage "voltage" "voltage of the bank" Voltage false,
    Current "current" "current of the bank" Current false,
    Power "power" "power of the bank" Power false,
    StateOfCharge "state-of-charge" "state of charge" Share false,
    BatteryTemperature "battery-temperature" "temperature of the bank" Temperature false,
    MotorTemperature "motor-temperature" "temperature of the motor" Temperature false,
    ApparentWindSpeed "apparent-wind-speed" "apparent wind speed" Speed false,
    ApparentWindAngle "apparent-wind-angle" "apparent wind angle" Angle true,
    TrueWindSpeed "true-wind-speed" "true wind speed" Speed false,
    TrueWindAngle "true-wind-angle" "true wind angle" Angle true,
    TrueWindDirection "true-wind-direction" "true wind from" Angle true,
    WaterTemperature "water-temperature" "water temperature" Temperature false,
    AirTemperature "air-temperature" "air temperature" Temperature false,
    Heel "heel" "heel" Angle true,
    Pitch "pitch" "pitch of the hull" Angle true,
}

impl Measured {
    /// What can be at all, SI: values outside are left out and counted.
    #[must_use]
    pub fn possible(self) -> (f64, f64) {
        let turn = std::f64::consts::TAU;
        match self.quantity() {
            Quantity::Speed => (0.0, 300.0 * KNOT_M_S),
            Quantity::Angle if self == Self::Latitude => (-90.0 * DEGREE_RAD, 90.0 * DEGREE_RAD),
            Quantity::Angle => (-turn, turn),
            Quantity::Length => (0.0, 12_000.0),
            Quantity::RotationalSpeed => (-500.0, 500.0),
            Quantity::Share => (-1.001, 1.001),
            Quantity::Voltage => (-10.0, 2000.0),
            Quantity::Current => (-10_000.0, 10_000.0),
            Quantity::Power => (-1e7, 1e7),
            Quantity::Temperature => (0.0, ZERO_CELSIUS_K + 1500.0),
            _ => (f64::NEG_INFINITY, f64::INFINITY),
        }
    }

    /// What a displacement boat of 6 to 15 m meets, SI: values outside are kept and noticed.
    /// Common practice, no source.
    #[must_use]
    pub fn plausible(self) -> (f64, f64) {
        let celsius = |low: f64, high: f64| (low + ZERO_CELSIUS_K, high + ZERO_CELSIUS_K);
        match self {
            Self::SpeedThroughWater | Self::SpeedOverGround => (0.0, 15.0 * KNOT_M_S),
            Self::ApparentWindSpeed | Self::TrueWindSpeed => (0.0, 60.0 * KNOT_M_S),
            Self::DepthBelowTransducer | Self::DepthBelowSurface => (0.0, 1500.0),
            Self::ShaftSpeed => (-50.0, 50.0),
            Self::MotorSpeed => (-150.0, 150.0),
            Self::Voltage => (8.0, 450.0),
            Self::Current => (-1000.0, 1000.0),
            Self::Power => (-60_000.0, 60_000.0),
            Self::StateOfCharge => (0.0, 1.0),
            Self::WaterTemperature => celsius(-3.0, 36.0),
            Self::AirTemperature => celsius(-40.0, 55.0),
            Self::BatteryTemperature => celsius(-30.0, 70.0),
            Self::MotorTemperature => celsius(-30.0, 180.0),
            _ => self.possible(),
        }
    }

    /// The value with directions brought to 0..2π; wind angle, heel and the like to -π..π.
    #[must_use]
    pub fn normal(self, value: f64) -> f64 {
        use std::f64::consts::{PI, TAU};
        if !self.is_circular() {
            return value;
        }
        match self {
            Self::CourseOverGround
            | Self::CourseOverGroundMagnetic
            | Self::HeadingTrue
            | Self::HeadingMagnetic
            | Self::TrueWindDirection => value.rem_euclid(TAU),
            _ => (value + PI).rem_euclid(TAU) - PI,
        }
    }

    /// `a - b`, the short way round for directions.
    #[must_use]
    pub(crate) fn difference(self, a: f64, b: f64) -> f64 {
        use std::f64::consts::{PI, TAU};
        if self.is_circular() { (a - b + PI).rem_euclid(TAU) - PI } else { a - b }
    }
}
