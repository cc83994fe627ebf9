//! Which named field of a bus message is which channel, in which unit.

use super::measured::Measured as M;

/// Unit of a field.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum U {
    Plain,
    /// Degrees or radians, as the whole file has it.
    Angle,
    /// Always degrees.
    Degree,
    Rpm,
    /// Celsius or kelvin, by its size.
    Warmth,
    Percent,
}

/// Field by its group and name, folded; which channel, which unit.
pub(super) static FIELDS: &[(u32, &str, M, U)] = &[
    (127_250, "heading", M::HeadingTrue, U::Angle),
    (127_250, "variation", M::MagneticVariation, U::Angle),
    (127_257, "roll", M::Heel, U::Angle),
    (127_257, "pitch", M::Pitch, U::Angle),
    (127_488, "speed", M::MotorSpeed, U::Rpm),
    (127_489, "temperature", M::MotorTemperature, U::Warmth),
    (127_506, "stateofcharge", M::StateOfCharge, U::Percent),
    (127_508, "voltage", M::Voltage, U::Plain),
    (127_508, "current", M::Current, U::Plain),
    (127_508, "temperature", M::BatteryTemperature, U::Warmth),
    (127_751, "dcvoltage", M::Voltage, U::Plain),
    (127_751, "dccurrent", M::Current, U::Plain),
    (128_259, "speedwaterreferenced", M::SpeedThroughWater, U::Plain),
    (128_259, "speedgroundreferenced", M::SpeedOverGround, U::Plain),
    (128_267, "depth", M::DepthBelowTransducer, U::Plain),
    (129_025, "latitude", M::Latitude, U::Degree),
    (129_025, "longitude", M::Longitude, U::Degree),
    (129_026, "cog", M::CourseOverGround, U::Angle),
    (129_026, "sog", M::SpeedOverGround, U::Plain),
    (130_306, "windspeed", M::ApparentWindSpeed, U::Plain),
    (130_306, "windangle", M::ApparentWindAngle, U::Angle),
    (130_310, "watertemperature", M::WaterTemperature, U::Warmth),
];

pub(super) fn plain(name: &str) -> String {
    name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}
