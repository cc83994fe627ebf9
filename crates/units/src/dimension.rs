//! The dimensions that quantities share.

/// What can be converted into what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// \[m\].
    Length,
    /// \[m/s\].
    Speed,
    /// \[kg\].
    Mass,
    /// \[W\].
    Power,
    /// \[J\].
    Energy,
    /// \[V\].
    Voltage,
    /// \[A\].
    Current,
    /// \[C\].
    Charge,
    /// \[Ω\].
    Resistance,
    /// \[rev/s\].
    RotationalSpeed,
    /// \[rev/s per V\].
    RotationalSpeedPerVolt,
    /// \[K\].
    Temperature,
    /// \[rad\].
    Angle,
    /// \[m²\].
    Area,
    /// \[m³\].
    Volume,
    /// \[N\].
    Force,
    /// \[N m\].
    Torque,
    /// \[s\].
    Duration,
    /// Dimensionless.
    Ratio,
    /// \[kg/m³\].
    Density,
    /// \[Pa\].
    Pressure,
    /// \[J/m\].
    EnergyPerDistance,
}

impl Dimension {
    /// In words, for a sentence ("length", "rotational speed").
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Speed => "speed",
            Self::Mass => "mass",
            Self::Power => "power",
            Self::Energy => "energy",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Charge => "charge",
            Self::Resistance => "resistance",
            Self::RotationalSpeed => "rotational speed",
            Self::RotationalSpeedPerVolt => "rotational speed per volt",
            Self::Temperature => "temperature",
            Self::Angle => "angle",
            Self::Area => "area",
            Self::Volume => "volume",
            Self::Force => "force",
            Self::Torque => "torque",
            Self::Duration => "duration",
            Self::Ratio => "ratio",
            Self::Density => "density",
            Self::Pressure => "pressure",
            Self::EnergyPerDistance => "energy per distance",
        }
    }
}
