//! What is laid side by side: figures that have a formula of their own already, how each is taken out of one
//! sample, and which way is better. Not for: what is made of the samples (`compare`).

use super::figure::{
    MASS_CHANGE, ONE_PACK_LOST, SHAFT_STRESS, SHAFT_STRESS_AT_LIMIT, SINKAGE, TIME_TO_HEAT, TIP_CLEARANCE,
    TRIM_AFT,
};
use super::sampling::At;
use crate::propeller::installation::torsional_stress_pa;
use crate::sail::{STOPPING_TIME, STOPPING_WAY};
use crate::sheet::{Better, Figure};
use crate::study::{BOLLARD_PULL, RANGE, STATE, StateFigure as S};

/// A figure that is measured.
#[derive(Debug, Clone, Copy)]
pub struct Measured {
    /// The figure.
    pub figure: &'static Figure,
    /// In a few words, lower case.
    pub words: &'static str,
    /// Which way is better.
    pub better: Better,
    /// Decimals in tables; those of its unit where none are set.
    pub decimals: Option<usize>,
    get: Get,
}

/// How it is taken out of a sample.
#[derive(Debug, Clone, Copy)]
enum Get {
    State(S),
    Of(fn(&At<'_>) -> Option<f64>),
}

impl Measured {
    const fn state(figure: S, words: &'static str) -> Self {
        let get = Get::State(figure);
        Self { figure: &STATE[figure as usize], words, better: Better::Neither, decimals: None, get }
    }

    const fn new(figure: &'static Figure, better: Better, get: fn(&At<'_>) -> Option<f64>) -> Self {
        Self { figure, words: figure.head, better, decimals: None, get: Get::Of(get) }
    }

    const fn words(mut self, words: &'static str) -> Self {
        self.words = words;
        self
    }

    const fn better(mut self, better: Better) -> Self {
        self.better = better;
        self
    }

    const fn decimals(mut self, decimals: usize) -> Self {
        self.decimals = Some(decimals);
        self
    }

    pub(super) fn of(&self, at: &At<'_>) -> Option<f64> {
        match self.get {
            Get::State(figure) => Some(figure.value(at.prepared, at.bound)),
            Get::Of(get) => get(at),
        }
    }
}

/// A figure at full throttle (`speed` is `None`) or at one of the speeds asked.
#[derive(Debug, Clone, Copy)]
pub struct Measure {
    /// What.
    pub of: &'static Measured,
    /// Number of the speed asked.
    pub speed: Option<usize>,
}

impl Measure {
    /// True when it is this one.
    #[must_use]
    pub fn is(&self, figure: &Figure, speed: Option<usize>) -> bool {
        self.of.figure.key == figure.key && self.speed == speed
    }
}

const SHAFT_SPEED: Measured = Measured::state(S::ShaftSpeed, "shaft speed");
const SLIP: Measured = Measured::state(S::Slip, "apparent slip");
const BANK_CURRENT: Measured = Measured::state(S::BankCurrent, "battery current");
const PHASE_CURRENT: Measured = Measured::state(S::PhaseCurrent, "phase current");
const BANK_POWER: Measured = Measured::state(S::BankPower, "bank power");
const WINDING: Measured = Measured::state(S::WindingTemperature, "steady winding").better(Better::Less);

/// Shear stress by `torque_n_m` where the shaft's diameter is known.
fn stress(at: &At<'_>, torque_n_m: f64) -> Option<f64> {
    Some(torsional_stress_pa(torque_n_m, at.fittings.shaft_diameter_m?))
}

/// At full throttle, in the order of the table.
static AT_FULL: [Measured; 22] = [
    Measured::state(S::Speed, "top speed").better(Better::More).decimals(2),
    SHAFT_SPEED,
    Measured::state(S::ShaftTorque, "shaft torque").decimals(0),
    Measured::state(S::DeliveredPower, "shaft power"),
    SLIP,
    BANK_CURRENT,
    PHASE_CURRENT,
    BANK_POWER,
    WINDING,
    Measured::new(&TIME_TO_HEAT, Better::More, |at| {
        at.prepared.time_to_motor_limit_s(&at.full.burst.as_ref().unwrap_or(&at.full.held).state)
    }),
    Measured::state(S::CavitationShare, "cavitation used").better(Better::Less),
    Measured::state(S::TipSpeed, "tip speed").better(Better::Less).decimals(1),
    Measured::new(&TIP_CLEARANCE, Better::More, |at| {
        at.fittings.tip_clearance_at_m(at.prepared.propeller().propeller().diameter_m)
    }),
    Measured::new(&SHAFT_STRESS, Better::Less, |at| stress(at, at.bound.state.shaft_torque_n_m)),
    Measured::new(&SHAFT_STRESS_AT_LIMIT, Better::Less, |at| {
        let (motor, drive) = (at.prepared.motor(), at.prepared.drive_line());
        let most_a = at.prepared.controller().phase_current_limit_a;
        stress(at, most_a * motor.torque_constant_n_m_a * drive.ratio)
    }),
    Measured::new(&BOLLARD_PULL, Better::More, |at| Some(at.bollard?.thrust_n)).words("pull at a quay"),
    Measured::new(&ONE_PACK_LOST, Better::Less, |at| at.one_lost_share),
    Measured::new(&STOPPING_WAY, Better::Less, |at| Some(at.stop?.distance_m))
        .words("crash stop, way")
        .decimals(0),
    Measured::new(&STOPPING_TIME, Better::Less, |at| Some(at.stop?.duration_s)).words("crash stop, time"),
    Measured::new(&MASS_CHANGE, Better::Neither, |at| Some(at.floating?.mass_kg)),
    Measured::new(&SINKAGE, Better::Neither, |at| Some(at.floating?.sinkage_m)),
    Measured::new(&TRIM_AFT, Better::Neither, |at| Some(at.floating?.trim_aft_m)),
];

/// Number of the measure of `figure` at full throttle among all [`measures`].
pub(super) fn index_at_full(figure: S) -> Option<usize> {
    AT_FULL.iter().position(|measured| measured.figure.key == STATE[figure as usize].key)
}

/// At each speed asked.
static AT_SPEED: [Measured; 8] = [
    BANK_POWER,
    Measured::state(S::EnergyPerMile, "energy").better(Better::Less),
    Measured::new(&RANGE, Better::More, |at| at.at_speed?.distance_m()).words("range"),
    SHAFT_SPEED,
    SLIP,
    BANK_CURRENT,
    PHASE_CURRENT,
    WINDING,
];

/// All measures for so many speeds, in the order in which they are held everywhere.
#[must_use]
pub fn measures(speeds: usize) -> Vec<Measure> {
    let full = AT_FULL.iter().map(|of| Measure { of, speed: None });
    let at_speeds = (0..speeds).flat_map(|i| AT_SPEED.iter().map(move |of| Measure { of, speed: Some(i) }));
    full.chain(at_speeds).collect()
}
