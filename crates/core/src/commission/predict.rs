//! What the meters would show of one boat: the same models as `drive`, the wiring's network for each run. Not for: bands (`study`).

use std::f64::consts::TAU;

use super::point::PointKey;
use crate::battery::PackGroup;
use crate::boat::Boat;
use crate::drive::{Precharge, Temperatures, ThrottleMode};
use crate::steady::PreparedBoat;
use crate::wiring::{CONTROLLER, Copper, Harness, Network, Service, Source};

/// Number of readings but the runs'.
pub const COUNT: usize = 11;
const _: () = assert!(PointKey::QuayPull as usize + 1 == COUNT);

/// Lever at which the motor runs without load.
const FREE_LEVER: f64 = 0.5;
/// Share of the shaft's revolutions at full lever that is held for ten minutes.
const HELD_SHARE: f64 = 0.5;
const TEN_MINUTES_S: f64 = 600.0;
/// Beyond its limit by this a winding is burnt, however hot \[K\].
const BURNT_K: f64 = 100.0;

/// Joints of a run, two lugs, fuse and contact, and one lug alone \[ohm\]; from memory.
pub const JOINTS_OHM: f64 = 0.5e-3;
/// One joint \[ohm\]; from memory.
pub const JOINT_OHM: f64 = JOINTS_OHM / 4.0;

/// What is different from the document beyond the boat's own inputs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tied {
    /// Factor on each run's resistance.
    pub run_factors: Vec<f64>,
    /// What is in line with a run besides \[ohm\]: place of its cable and resistance.
    pub joint: Option<(usize, f64)>,
    /// Share by which the belt slips.
    pub slip: f64,
    /// Factors on capacitance times resistance of the pre-charge.
    pub precharge: f64,
    /// Factor on speed and amps without load.
    pub free: Option<[f64; 2]>,
}

/// The harness as a network, made once.
#[derive(Debug, Clone)]
pub struct ReadyHarness {
    /// As told or assumed.
    pub harness: Harness,
    network: Network,
}

/// Everything that is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Predicted {
    /// In the order of the list; `None` where it cannot be told.
    pub points: [Option<f64>; COUNT],
    /// Of each cable, at full lever against a quay \[V\].
    pub drops_v: Vec<Option<f64>>,
    /// In the leads of one motor against a quay, at half turns and at full lever \[A\].
    pub motor_a: (Option<f64>, Option<f64>),
}

impl ReadyHarness {
    /// Made ready for so many packs.
    #[must_use]
    pub fn new(harness: Harness, boat: &Boat) -> Self {
        let network = Network::of(&harness, packs_ohm(boat).len());
        Self { harness, network }
    }

    /// Cables between bank and controller, by their places.
    pub fn runs(&self) -> impl Iterator<Item = usize> + '_ {
        self.harness
            .cables
            .iter()
            .enumerate()
            .filter(|(_, cable)| cable.service == Service::Propulsion)
            .map(|(place, _)| place)
    }

    /// Volts over each cable with this current of one bank; of the packs' own cables the one that carries most.
    fn drops_v(&self, boat: &Boat, tied: &Tied, amps: f64) -> Vec<Option<f64>> {
        let mut drops = vec![None; self.harness.cables.len()];
        let mut packs = packs_ohm(boat);
        // A pack that is off keeps its node and gives nothing.
        packs.resize(self.network.packs.min(packs.len()), 1.0);
        let on = packs.len();
        let sources: Vec<Option<Source>> = (0..self.network.packs)
            .map(|pack| packs.get(pack).map(|ohm| Source { emf_v: 0.0, resistance_ohm: *ohm }))
            .collect();
        let is_off = |run: usize| self.network.runs[run].pack.is_some_and(|pack| pack >= on);
        let copper = Copper { copper_c: 40.0, joints_ohm: JOINTS_OHM };
        let mut circuit = self.network.circuit(&self.harness, &sources, copper, is_off);
        // Runs that nobody told are what the resistance of the cables makes of them, in this boat as in the document.
        if self.harness.is_assumed
            && let Some(main_ohm) = self.harness.cables.last().and_then(|main| main.loop_ohm)
        {
            let factor = (boat.bank.cable_resistance_ohm - self.joint_ohm(tied)).max(1e-6) / (1.5 * main_ohm);
            circuit.branches[on..].iter_mut().for_each(|branch| branch.resistance_ohm *= factor);
        }
        for (place, run) in self.network.runs.iter().enumerate().filter(|(place, _)| !is_off(*place)) {
            let branch = &mut circuit.branches[on + place];
            branch.resistance_ohm *= tied.run_factors.get(run.cable).copied().unwrap_or(1.0);
            if let Some((cable, ohm)) = tied.joint
                && cable == run.cable
                // A loose joint is in one place: with several packs in the run of the first.
                && run.pack.is_none_or(|pack| pack == 0)
            {
                branch.resistance_ohm += ohm;
            }
        }
        let Some(controller) = self.network.node(CONTROLLER) else { return drops };
        circuit.pushed.push((controller, -amps));
        let Ok(solution) = circuit.solve() else { return drops };
        for (place, run) in self.network.runs.iter().enumerate().filter(|(place, _)| !is_off(*place)) {
            let drop =
                self.network.run_a(&solution, on, place).abs() * circuit.branches[on + place].resistance_ohm;
            if self.harness.cables[run.cable].service == Service::Propulsion {
                let slot: &mut Option<f64> = &mut drops[run.cable];
                *slot = Some(slot.map_or(drop, |other| other.max(drop)));
            }
        }
        drops
    }

    fn joint_ohm(&self, tied: &Tied) -> f64 {
        tied.joint.map_or(0.0, |(cable, ohm)| self.in_loop_ohm(cable, ohm))
    }

    /// What a joint in the run of `cable` adds to the loop of the whole bank \[ohm\].
    #[must_use]
    pub fn in_loop_ohm(&self, cable: usize, ohm: f64) -> f64 {
        let is_of_pack = self.network.runs.iter().any(|run| run.cable == cable && run.pack.is_some());
        let packs = self.network.packs.max(1) as f64;
        // In one of several like branches it is felt by the square of its share of the current.
        if is_of_pack { ohm / (packs * packs) } else { ohm }
    }
}

/// Resistance of each pack of one bank \[ohm\].
fn packs_ohm(boat: &Boat) -> Vec<f64> {
    let of_group = |group: &PackGroup| {
        let count = (group.packs_in_parallel / u32::from(boat.bank.banks.max(1))).max(1) as usize;
        vec![group.reference_resistance_ohm(); count]
    };
    boat.bank.groups.iter().flat_map(of_group).collect()
}

/// What the meters show of `boat`; `None` where she cannot be prepared.
#[must_use]
pub fn predict(boat: &Boat, harness: &ReadyHarness, tied: &Tied) -> Option<Predicted> {
    let mut boat = boat.clone();
    boat.bank.cable_resistance_ohm += harness.joint_ohm(tied);
    // A belt that slips is a reduction that is larger by the slip and loses it.
    boat.drive_line.ratio /= 1.0 - tied.slip;
    boat.drive_line.reduction_efficiency *= 1.0 - tied.slip;
    let prepared = PreparedBoat::new(&boat).ok()?.value;
    let mut points = [None; COUNT];
    let bank = prepared.bank();
    points[PointKey::Rest as usize] = Some(bank.open_circuit_v);
    let parts = (harness.harness.precharge.resistor_ohm, harness.harness.controller.capacitance_f);
    if let (Some(resistance_ohm), Some(capacitance_f)) = parts {
        let circuit = Precharge { bus_v: bank.open_circuit_v, resistance_ohm, capacitance_f };
        let drawn = harness.harness.precharge.drawn_a.unwrap_or(0.0);
        let end = 1.0 - resistance_ohm * drawn / bank.open_circuit_v;
        let wanted = 0.95 / end.max(1e-9);
        points[PointKey::Precharge as usize] =
            (wanted < 1.0).then(|| circuit.time_to_s(wanted) * tied.precharge.max(0.01));
    }
    if let Some([omega, amps]) = free(&prepared, &boat) {
        let [speed, current] = tied.free.unwrap_or([1.0, 1.0]);
        points[PointKey::FreeSpeed as usize] = Some(omega / TAU * speed);
        points[PointKey::FreeAmps as usize] = Some(amps * current);
    }
    let (mut drops_v, mut motor_a) = (vec![None; harness.harness.cables.len()], (None, None));
    if let Some(full) = prepared.tied_up_at_full_throttle() {
        let state = full.state;
        let banks = f64::from(boat.bank.banks.max(1));
        points[PointKey::QuayVolts as usize] = Some(state.bank_v);
        points[PointKey::QuayAmps as usize] = Some(state.bank_a);
        points[PointKey::QuayMotor as usize] = Some(state.motor.omega_rad_s / TAU);
        points[PointKey::QuayShaft as usize] = Some(state.shaft_rev_s);
        points[PointKey::QuayPull as usize] = Some(state.thrust_n);
        drops_v = harness.drops_v(&boat, tied, state.bank_a / banks);
        let half = prepared.tied_up_at(HELD_SHARE * state.shaft_rev_s).state;
        points[PointKey::HalfAmps as usize] = Some(half.bank_a);
        motor_a = (Some(half.motor.current_a), Some(state.motor.current_a));
        points[PointKey::HalfWinding as usize] =
            Some(winding_k(&prepared, &boat, half.motor.omega_rad_s, half.motor.torque_n_m));
    }
    Some(Predicted { points, drops_v, motor_a })
}

/// Motor's speed \[rad/s\] and the bank's amps with nothing to turn; `None` where the lever gives torque or power, with which it races.
///
/// `V = Kt w + R (b + c w) / Kt`, solved for `w`.
fn free(prepared: &PreparedBoat, boat: &Boat) -> Option<[f64; 2]> {
    let (motor, controller, bank) = (prepared.motor(), prepared.controller(), prepared.bank());
    let ambient = boat.motor_ambient_k;
    let kt = motor.torque_constant_at_n_m_a(ambient);
    let omega = match controller.throttle_mode {
        ThrottleMode::Voltage => {
            let volts = FREE_LEVER * controller.available_v(bank.open_circuit_v);
            let ohm = motor.driven_ohm(ambient);
            (volts - ohm * motor.drag_constant_n_m / kt) / (kt + ohm * motor.drag_per_rad_s / kt)
        }
        ThrottleMode::Speed => {
            FREE_LEVER * controller.available_v(bank.open_circuit_v) / motor.torque_constant_n_m_a
        }
        ThrottleMode::Torque | ThrottleMode::Power => return None,
    };
    if omega <= 0.0 {
        return None;
    }
    let power_w = prepared.running() * controller.battery_power_w(&motor.at(omega, 0.0, ambient))
        + prepared.house_power_w();
    Some([omega, bank.terminal(power_w)?.current_a])
}

/// Winding after ten minutes from cold \[K\].
fn winding_k(prepared: &PreparedBoat, boat: &Boat, omega_rad_s: f64, torque_n_m: f64) -> f64 {
    let motor = prepared.motor();
    let losses = |winding_k: f64| motor.at(omega_rad_s, torque_n_m, winding_k).losses();
    let step_s = motor.heat.step_s().min(TEN_MINUTES_S);
    let steps = (TEN_MINUTES_S / step_s).ceil().clamp(1.0, 10_000.0);
    let mut at = Temperatures::cold(boat.motor_ambient_k);
    for _ in 0..steps as usize {
        at = motor.heat.advance(losses, at, boat.motor_ambient_k, TEN_MINUTES_S / steps);
    }
    at.winding_k.min(motor.winding_limit_k + BURNT_K)
}
