//! Capacitors and packs that are joined: pre-charge, the current at closing, unequal packs, and the volts when the
//! protection opens while the controller brakes. Not for: what parts stand it (`judge`).

use super::bus::{Bus, BusCourse, Push, swung_to_v, windings_j};
use super::harness::{ControllerSide, Harness};
use super::network::Source;
use crate::battery::paralleling::JOINING_LIMIT_V;
use crate::drive::Precharge;
use crate::drive::precharge::COMPLETE_AT;

/// Pre-charge as it ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrechargeEnd {
    /// The circuit.
    pub circuit: Precharge,
    /// Share of the bus at which it ends with what is drawn meanwhile.
    pub end_share: f64,
    /// Time until it counts as complete \[s\]; `None` when it never is.
    pub complete_s: Option<f64>,
    /// Current of the main contactor as it closes then \[A\].
    pub closing_a: f64,
}

/// Share of the bus that a resistor reaches while something is drawn behind it: `1 - R I / V`.
///
/// # Source
/// Ohm's law; textbook.
/// # Valid for
/// A constant current drawn.
/// # Accuracy
/// Exact.
/// # Example
/// By hand: 33 ohm, 0.2 A, 54 V: 88 %; it never completes.
/// ```
/// # use wakewright_core::wiring::precharge_end_share;
/// assert!((precharge_end_share(33.0, 0.2, 54.0) - 0.878).abs() < 5e-4);
/// ```
#[must_use]
pub fn precharge_end_share(resistor_ohm: f64, drawn_a: f64, bus_v: f64) -> f64 {
    (1.0 - resistor_ohm * drawn_a / bus_v).max(0.0)
}

/// Current of a contactor that closes on what is left \[A\]: volts that are left over the loop.
///
/// # Source
/// Ohm's law; textbook. The loop's inductance makes the true peak a little less.
/// # Valid for
/// A loop without inductance.
/// # Accuracy
/// An upper bound.
/// # Example
/// By hand: 5 % of 58 V over 10 mohm: 290 A.
/// ```
/// # use wakewright_core::wiring::closing_a;
/// assert!((closing_a(58.0, 0.95, 0.010) - 290.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn closing_a(bus_v: f64, reached_share: f64, loop_ohm: f64) -> f64 {
    bus_v * (1.0 - reached_share) / loop_ohm
}

impl PrechargeEnd {
    /// With the parts of `harness`, where resistor and capacitance are known.
    #[must_use]
    pub fn of(harness: &Harness, bus_v: f64, loop_ohm: f64) -> Option<Self> {
        let parts = &harness.precharge;
        let (resistance_ohm, capacitance_f) = (parts.resistor_ohm?, harness.controller.capacitance_f?);
        let circuit = Precharge { bus_v, resistance_ohm, capacitance_f };
        let end_share = precharge_end_share(resistance_ohm, parts.drawn_a.unwrap_or(0.0), bus_v);
        // With a load it rises towards its end as it would towards the bus.
        let wanted = COMPLETE_AT / end_share.max(1e-9);
        let complete_s = (wanted < 1.0).then(|| circuit.time_to_s(wanted));
        let reached = end_share.min(COMPLETE_AT);
        Some(Self { circuit, end_share, complete_s, closing_a: closing_a(bus_v, reached, loop_ohm) })
    }
}

/// Time until a bleeder has brought capacitors from one voltage to another \[s\]: `R C ln(V / V')`.
#[must_use]
pub fn bleed_s(bleeder_ohm: f64, capacitance_f: f64, from_v: f64, to_v: f64) -> f64 {
    if from_v <= to_v { 0.0 } else { bleeder_ohm * capacitance_f * (from_v / to_v).ln() }
}

/// How near two packs must be before they are joined \[V\]: what the loop of both allows at `limit_a`, and never more
/// than [`JOINING_LIMIT_V`] where nothing limits.
#[must_use]
pub fn joining_v(limit_a: Option<f64>, loop_ohm: f64) -> f64 {
    limit_a.map_or(JOINING_LIMIT_V, |limit| limit * loop_ohm)
}

/// What flows when the first of these packs is joined to the others with its poles reversed \[A\]: the volts of both over the
/// resistance of both, cables left out; `None` where there is one pack.
///
/// # Source
/// Ohm's law; textbook.
/// # Valid for
/// The first instant.
/// # Accuracy
/// An upper bound: no cable, no joint.
/// # Example
/// By hand: two packs of 53.6 V and 12 mohm: 107.2 V over 24 mohm are 4,467 A.
/// ```
/// # use wakewright_core::wiring::{Source, reversed_a};
/// let packs = [Source { emf_v: 53.6, resistance_ohm: 0.012 }; 2];
/// assert!((reversed_a(&packs).unwrap() - 4466.7).abs() < 0.1);
/// ```
#[must_use]
pub fn reversed_a(packs: &[Source]) -> Option<f64> {
    let (first, others) = packs.split_first().filter(|(_, others)| !others.is_empty())?;
    let conductance: f64 = others.iter().map(|pack| 1.0 / pack.resistance_ohm).sum();
    let volts = others.iter().map(|pack| pack.emf_v / pack.resistance_ohm).sum::<f64>() / conductance;
    Some((first.emf_v + volts) / (first.resistance_ohm + 1.0 / conductance))
}

/// Rest between two pre-charges \[s\]: the energy of a pulse over what the resistor takes for hours.
#[must_use]
pub fn precharge_rest_s(pulse_j: f64, resistor_w: f64) -> f64 {
    pulse_j / resistor_w
}

/// What the bus does when the protection opens while the controller brakes: hard as it may, and with its braking off.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadDump {
    /// While it brakes.
    pub braking: BusCourse,
    /// With the braking off at once: bus or turning motor, after the windings' energy \[V\].
    pub off_v: f64,
    /// Its capacitance is a guess, and so is how fast it rises.
    pub is_guessed: bool,
}

/// Capacitors for each ampere of motor current where none are told \[F/A\]: 10 uF. From memory: a low figure of
/// controllers of this size, so that the rise is told rather too fast.
const USUAL_F_A: f64 = 10e-6;

/// Peak of a phase's current over what a controller counts, which is mostly its effective value; the upper bound.
const PEAK: f64 = std::f64::consts::SQRT_2;

impl ControllerSide {
    /// Energy of the windings at a motor current as the controller counts it \[J\]; `None` where their inductance is not
    /// told.
    #[must_use]
    pub fn windings_j(&self, phase_a: f64) -> Option<f64> {
        Some(windings_j(self.phase_inductance_h?, PEAK * phase_a))
    }
}

impl LoadDump {
    /// With `push_a` into the bus at `before_v`, the motor turning at `motor_v`; at `stands_v` the controller is lost.
    #[must_use]
    pub fn of(
        harness: &Harness,
        before_v: f64,
        push_a: f64,
        phase_a: f64,
        (motor_v, stands_v): (f64, f64),
    ) -> Self {
        let side = &harness.controller;
        let capacitance_f = side.capacitance_f.unwrap_or(USUAL_F_A * phase_a);
        let windings = side.windings_j(phase_a).unwrap_or(0.0);
        let stops_at_v = side.stops_at_v.unwrap_or(stands_v);
        let bus = Bus {
            capacitance_f,
            before_v,
            push: Push::Power(push_a * before_v),
            drawn_a: 0.0,
            stops_at_v,
            delay_s: side.delay_s.unwrap_or(0.0),
            windings_j: windings,
            motor_v,
        };
        let off_v = swung_to_v(capacitance_f, before_v, motor_v, windings).max(motor_v);
        Self { braking: bus.course(LONGEST_S), off_v, is_guessed: side.capacitance_f.is_none() }
    }
}

/// As long as the first event is told \[s\].
const LONGEST_S: f64 = 0.02;
