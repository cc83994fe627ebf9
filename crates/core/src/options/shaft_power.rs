//! Why two propellers differ: what each asks of the shaft, what the drive reaches, and the rule that
//! pitch and voltage are two ways to the same shaft power. Not for: drawing or wording it.

use crate::numeric::solve_bracketed;
use crate::steady::{Demand, PreparedBoat, Reach, ShaftPoint, State};

/// The chart of torque against shaft speed for one variant.
#[derive(Debug, Clone, PartialEq)]
pub struct ShaftCurves {
    /// What the drive can reach; `None` when it cannot turn the free shaft.
    pub reach: Option<Reach>,
    /// What the propeller asks, from low to high shaft speed.
    pub demand: Vec<Demand>,
    /// Where she runs at full throttle.
    pub working: ShaftPoint,
}

/// Stations of a demand curve.
const STATIONS: usize = 24;

/// Both sides of the shaft up to `highest_rev_s`, with `full` the state at full throttle.
#[must_use]
pub fn shaft_curves(boat: &PreparedBoat, full: &State, highest_rev_s: f64) -> ShaftCurves {
    let stations = (1..=STATIONS).map(|i| highest_rev_s * i as f64 / STATIONS as f64);
    ShaftCurves {
        reach: boat.reach(),
        demand: stations.filter_map(|revs| boat.demand_at(revs)).collect(),
        working: ShaftPoint { shaft_rev_s: full.shaft_rev_s, torque_n_m: full.shaft_torque_n_m },
    }
}

/// The state of a boat in which its propeller takes some power, and the volts for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerByVolts {
    /// The state, whether the drive reaches it or not.
    pub state: State,
    /// Bank volts under load that the motor needs for it \[V\].
    pub bank_v: f64,
}

/// How `boat` would take `power_w` at the shaft if volts were no matter; `None` beyond the hull method.
///
/// Power at the shaft is `2 pi n Q`. A propeller of more pitch takes it at fewer revolutions and more
/// torque, which is phase current; the propeller as it is takes it at more revolutions, which is volts.
#[must_use]
pub fn power_by_volts(boat: &PreparedBoat, power_w: f64) -> Option<PowerByVolts> {
    // Beyond the hull method there is no number, and an interval with such an end has no root.
    let lacking =
        |speed: f64| boat.state_at(speed).map_or(f64::NAN, |state| state.delivered_power_w() - power_w);
    const SLOWEST_M_S: f64 = 0.05;
    let speed = solve_bracketed(lacking, SLOWEST_M_S, boat.fastest_m_s(), 1e-6).ok()?;
    let state = boat.state_at(speed)?;
    Some(PowerByVolts { state, bank_v: state.motor.voltage_v / boat.controller().maximum_duty })
}
