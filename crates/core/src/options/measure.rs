//! What is laid side by side: each measure with its key, words, kind of quantity and which way is
//! better. Not for: its value (`sampling`).

use crate::study::Figure;
use wakewright_units::Quantity;

pub use crate::sheet::Better;

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MeasureKind {
    /// A figure of a steady state.
    State(Figure),
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
    MeasureKind::State(Figure::Speed),
    MeasureKind::State(Figure::ShaftSpeed),
    MeasureKind::State(Figure::ShaftTorque),
    MeasureKind::State(Figure::DeliveredPower),
    MeasureKind::State(Figure::Slip),
    MeasureKind::State(Figure::BankCurrent),
    MeasureKind::State(Figure::PhaseCurrent),
    MeasureKind::State(Figure::BankPower),
    MeasureKind::State(Figure::WindingTemperature),
    MeasureKind::TimeToHeat,
    MeasureKind::State(Figure::CavitationShare),
    MeasureKind::State(Figure::TipSpeed),
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
    MeasureKind::State(Figure::BankPower),
    MeasureKind::State(Figure::EnergyPerMile),
    MeasureKind::Range,
    MeasureKind::State(Figure::ShaftSpeed),
    MeasureKind::State(Figure::Slip),
    MeasureKind::State(Figure::BankCurrent),
    MeasureKind::State(Figure::PhaseCurrent),
    MeasureKind::State(Figure::WindingTemperature),
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
            Self::State(figure) => figure.origin().key,
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
            Self::State(Figure::Speed) => "top speed",
            Self::State(Figure::ShaftSpeed) => "shaft speed",
            Self::State(Figure::ShaftTorque) => "shaft torque",
            Self::State(Figure::DeliveredPower) => "shaft power",
            Self::State(Figure::BankCurrent) => "battery current",
            Self::State(Figure::PhaseCurrent) => "phase current",
            Self::State(Figure::BankPower) => "bank power",
            Self::State(Figure::EnergyPerMile) => "energy",
            Self::State(Figure::WindingTemperature) => "steady winding",
            Self::State(Figure::CavitationShare) => "cavitation used",
            Self::State(Figure::TipSpeed) => "tip speed",
            Self::State(figure) => figure.origin().label,
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
            Self::State(figure) => figure.origin().quantity,
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
            Self::State(Figure::Speed) | Self::TimeToHeat | Self::Clearance | Self::Bollard | Self::Range => {
                Better::More
            }
            Self::State(
                Figure::WindingTemperature
                | Figure::CavitationShare
                | Figure::TipSpeed
                | Figure::EnergyPerMile,
            )
            | Self::ShaftStress
            | Self::ShaftStressAtLimit
            | Self::StoppingDistance
            | Self::StoppingTime => Better::Less,
            _ => Better::Neither,
        }
    }
}
