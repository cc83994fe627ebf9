//! What is laid side by side: each measure with its key, words, kind of quantity and which way is
//! better. Not for: its value (`sampling`).

use crate::study::StateFigure;
use wakewright_units::Quantity;

pub use crate::sheet::Better;

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MeasureKind {
    /// A figure of a steady state.
    State(StateFigure),
    /// From cold until the winding is too hot.
    TimeToHeat,
    /// Gap between blade tip and hull.
    Clearance,
    /// Shear stress of the shaft.
    ShaftStress,
    /// The same with all the phase current that the controller gives.
    ShaftStressAtLimit,
    /// Pull against a quay.
    Bollard,
    /// Way of a crash stop.
    StoppingDistance,
    /// Time of a crash stop.
    StoppingTime,
    /// Way through the water to the reserve.
    Range,
    /// Mass gained.
    Mass,
    /// How much deeper she floats.
    Sinkage,
    /// How much deeper aft than forward.
    Trim,
}

/// A measure at full throttle (`speed` is `None`) or at one of the speeds asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Measure {
    /// What.
    pub kind: MeasureKind,
    /// Number of the speed asked.
    pub speed: Option<usize>,
}

/// At full throttle, in the order of the table.
const AT_FULL: [MeasureKind; 21] = [
    MeasureKind::State(StateFigure::Speed),
    MeasureKind::State(StateFigure::ShaftSpeed),
    MeasureKind::State(StateFigure::ShaftTorque),
    MeasureKind::State(StateFigure::DeliveredPower),
    MeasureKind::State(StateFigure::Slip),
    MeasureKind::State(StateFigure::BankCurrent),
    MeasureKind::State(StateFigure::PhaseCurrent),
    MeasureKind::State(StateFigure::BankPower),
    MeasureKind::State(StateFigure::WindingTemperature),
    MeasureKind::TimeToHeat,
    MeasureKind::State(StateFigure::CavitationShare),
    MeasureKind::State(StateFigure::TipSpeed),
    MeasureKind::Clearance,
    MeasureKind::ShaftStress,
    MeasureKind::ShaftStressAtLimit,
    MeasureKind::Bollard,
    MeasureKind::StoppingDistance,
    MeasureKind::StoppingTime,
    MeasureKind::Mass,
    MeasureKind::Sinkage,
    MeasureKind::Trim,
];

/// At each speed asked.
const AT_SPEED: [MeasureKind; 8] = [
    MeasureKind::State(StateFigure::BankPower),
    MeasureKind::State(StateFigure::EnergyPerMile),
    MeasureKind::Range,
    MeasureKind::State(StateFigure::ShaftSpeed),
    MeasureKind::State(StateFigure::Slip),
    MeasureKind::State(StateFigure::BankCurrent),
    MeasureKind::State(StateFigure::PhaseCurrent),
    MeasureKind::State(StateFigure::WindingTemperature),
];

/// All measures for so many speeds, in the order in which they are held everywhere.
#[must_use]
pub fn measures(speeds: usize) -> Vec<Measure> {
    let full = AT_FULL.iter().map(|&kind| Measure { kind, speed: None });
    let at_speeds =
        (0..speeds).flat_map(|i| AT_SPEED.iter().map(move |&kind| Measure { kind, speed: Some(i) }));
    full.chain(at_speeds).collect()
}

impl MeasureKind {
    /// Stable name for files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::State(figure) => figure.figure().key,
            Self::TimeToHeat => "time_to_heat",
            Self::Clearance => "tip_clearance",
            Self::ShaftStress => "shaft_stress",
            Self::ShaftStressAtLimit => "shaft_stress_at_limit",
            Self::Bollard => "bollard_pull",
            Self::StoppingDistance => "stopping_distance",
            Self::StoppingTime => "stopping_time",
            Self::Range => "range",
            Self::Mass => "mass_change",
            Self::Sinkage => "sinkage",
            Self::Trim => "trim_aft",
        }
    }

    /// In a few words, lower case.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::State(StateFigure::Speed) => "top speed",
            Self::State(StateFigure::ShaftSpeed) => "shaft speed",
            Self::State(StateFigure::ShaftTorque) => "shaft torque",
            Self::State(StateFigure::DeliveredPower) => "shaft power",
            Self::State(StateFigure::BankCurrent) => "battery current",
            Self::State(StateFigure::PhaseCurrent) => "phase current",
            Self::State(StateFigure::BankPower) => "bank power",
            Self::State(StateFigure::EnergyPerMile) => "energy",
            Self::State(StateFigure::WindingTemperature) => "steady winding",
            Self::State(StateFigure::CavitationShare) => "cavitation used",
            Self::State(StateFigure::TipSpeed) => "tip speed",
            Self::State(figure) => figure.figure().label,
            Self::TimeToHeat => "until too hot",
            Self::Clearance => "tip clearance",
            Self::ShaftStress => "shaft stress",
            Self::ShaftStressAtLimit => "peak stress",
            Self::Bollard => "pull at a quay",
            Self::StoppingDistance => "crash stop, way",
            Self::StoppingTime => "crash stop, time",
            Self::Range => "range",
            Self::Mass => "mass",
            Self::Sinkage => "sinkage",
            Self::Trim => "trim aft",
        }
    }

    /// Kind of quantity.
    #[must_use]
    pub fn quantity(self) -> Quantity {
        match self {
            Self::State(figure) => figure.figure().quantity,
            Self::TimeToHeat | Self::StoppingTime => Quantity::Duration,
            Self::Clearance | Self::Sinkage | Self::Trim => Quantity::SmallLength,
            Self::ShaftStress | Self::ShaftStressAtLimit => Quantity::Pressure,
            Self::Bollard => Quantity::Force,
            Self::StoppingDistance => Quantity::Length,
            Self::Range => Quantity::Distance,
            Self::Mass => Quantity::Mass,
        }
    }

    /// Which way is better.
    #[must_use]
    pub fn better(self) -> Better {
        match self {
            Self::State(StateFigure::Speed)
            | Self::TimeToHeat
            | Self::Clearance
            | Self::Bollard
            | Self::Range => Better::More,
            Self::State(
                StateFigure::WindingTemperature
                | StateFigure::CavitationShare
                | StateFigure::TipSpeed
                | StateFigure::EnergyPerMile,
            )
            | Self::ShaftStress
            | Self::ShaftStressAtLimit
            | Self::StoppingDistance
            | Self::StoppingTime => Better::Less,
            _ => Better::Neither,
        }
    }
}
