//! The kinds of quantity that are read and written, and the dimension that they share.
//! Not for: the units themselves.

use super::dimension::Dimension;
use crate::table::{Unit, units_of};

/// A kind of quantity: a dimension together with the size in which the trade speaks of it, which
/// decides the unit that it is written in. Every kind of one dimension reads the same units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Lengths of a boat: m, or feet and inches.
    Length,
    /// Diameter and pitch of a propeller: in, or mm.
    PropellerLength,
    /// Clearances, shafts, plate: mm, or in.
    SmallLength,
    /// Distance sailed: nautical miles.
    Distance,
    /// Speed of boat, stream or wind.
    Speed,
    /// Speed of a blade tip or of water past it.
    LocalSpeed,
    /// Mass, and displacement as a mass.
    Mass,
    /// Power.
    Power,
    /// Energy.
    Energy,
    /// Voltage.
    Voltage,
    /// Current.
    Current,
    /// Electric charge, capacity in Ah.
    Charge,
    /// Electric resistance.
    Resistance,
    /// Revolutions in time.
    RotationalSpeed,
    /// Speed constant of a motor.
    RotationalSpeedPerVolt,
    /// Temperature on a scale.
    Temperature,
    /// Angle.
    Angle,
    /// Area.
    Area,
    /// Volume.
    Volume,
    /// Force.
    Force,
    /// Torque.
    Torque,
    /// A stretch of time.
    Duration,
    /// A stretch of time of seconds or minutes.
    ShortDuration,
    /// A plain number or `2:1`; also read from `%`.
    Ratio,
    /// A part of a whole, written in %.
    Share,
    /// Density.
    Density,
    /// Pressure.
    Pressure,
    /// Pull on the section of a part.
    Stress,
    /// Energy for a distance.
    EnergyPerDistance,
}

impl Quantity {
    /// Every kind, for tables and tests.
    pub const ALL: [Self; 29] = [
        Self::Length,
        Self::PropellerLength,
        Self::SmallLength,
        Self::Distance,
        Self::Speed,
        Self::LocalSpeed,
        Self::Mass,
        Self::Power,
        Self::Energy,
        Self::Voltage,
        Self::Current,
        Self::Charge,
        Self::Resistance,
        Self::RotationalSpeed,
        Self::RotationalSpeedPerVolt,
        Self::Temperature,
        Self::Angle,
        Self::Area,
        Self::Volume,
        Self::Force,
        Self::Torque,
        Self::Duration,
        Self::ShortDuration,
        Self::Ratio,
        Self::Share,
        Self::Density,
        Self::Pressure,
        Self::Stress,
        Self::EnergyPerDistance,
    ];

    /// What it can be converted into.
    #[must_use]
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Length | Self::PropellerLength | Self::SmallLength | Self::Distance => Dimension::Length,
            Self::Speed | Self::LocalSpeed => Dimension::Speed,
            Self::Mass => Dimension::Mass,
            Self::Power => Dimension::Power,
            Self::Energy => Dimension::Energy,
            Self::Voltage => Dimension::Voltage,
            Self::Current => Dimension::Current,
            Self::Charge => Dimension::Charge,
            Self::Resistance => Dimension::Resistance,
            Self::RotationalSpeed => Dimension::RotationalSpeed,
            Self::RotationalSpeedPerVolt => Dimension::RotationalSpeedPerVolt,
            Self::Temperature => Dimension::Temperature,
            Self::Angle => Dimension::Angle,
            Self::Area => Dimension::Area,
            Self::Volume => Dimension::Volume,
            Self::Force => Dimension::Force,
            Self::Torque => Dimension::Torque,
            Self::Duration | Self::ShortDuration => Dimension::Duration,
            Self::Ratio | Self::Share => Dimension::Ratio,
            Self::Density => Dimension::Density,
            Self::Pressure | Self::Stress => Dimension::Pressure,
            Self::EnergyPerDistance => Dimension::EnergyPerDistance,
        }
    }

    /// A short word for machines ("length", "rotational-speed").
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::PropellerLength => "propeller-length",
            Self::SmallLength => "small-length",
            Self::Distance => "distance",
            Self::Share => "share",
            Self::Stress => "stress",
            Self::ShortDuration => "short-duration",
            Self::LocalSpeed => "local-speed",
            Self::RotationalSpeed => "rotational-speed",
            Self::RotationalSpeedPerVolt => "rotational-speed-per-volt",
            Self::EnergyPerDistance => "energy-per-distance",
            _ => self.dimension().name(),
        }
    }

    /// An example as it may be typed.
    #[must_use]
    pub const fn example(self) -> &'static str {
        match self {
            Self::Length => "8.4 m",
            Self::PropellerLength => "12 in",
            Self::SmallLength => "25 mm",
            Self::Distance => "12 nm",
            Self::Speed => "5 kn",
            Self::LocalSpeed => "20 m/s",
            Self::Mass => "5.4 t",
            Self::Power => "10 kW",
            Self::Energy => "5.1 kWh",
            Self::Voltage => "48 V",
            Self::Current => "200 A",
            Self::Charge => "100 Ah",
            Self::Resistance => "18 mohm",
            Self::RotationalSpeed => "1,000 rpm",
            Self::RotationalSpeedPerVolt => "70 rpm/V",
            Self::Temperature => "15 °C",
            Self::Angle => "30 deg",
            Self::Area => "2.5 m2",
            Self::Volume => "120 L",
            Self::Force => "800 N",
            Self::Torque => "60 N m",
            Self::Duration => "9 months",
            Self::ShortDuration => "40 s",
            Self::Ratio => "2.5",
            Self::Share => "80 %",
            Self::Density => "1025 kg/m3",
            Self::Pressure => "1013 mbar",
            Self::Stress => "40 N/mm2",
            Self::EnergyPerDistance => "300 Wh/nm",
        }
    }

    /// The unit with which `symbol` is meant, when this kind takes it.
    #[must_use]
    pub fn unit(self, symbol: &str) -> Option<&'static Unit> {
        units_of(self.dimension()).find(|unit| unit.names.contains(&symbol))
    }
}
