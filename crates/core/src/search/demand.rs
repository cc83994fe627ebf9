//! What hull and propeller ask of the shaft: revolutions and torque at the cruising speeds and on a row
//! of speeds above the fastest of them. Found once for each propeller; motor, reduction and bank play no
//! part in it. Not for: what the motor makes of it (`curve`).

use super::curve::crossing_m_s;
use super::limits::Cause;
use super::prepared::{CRUISE_SPEEDS, Search};
use super::space::mount;
use crate::propeller::Propeller;
use crate::steady::{Limit, PreparedBoat, State};

/// Most speeds on the row from the fastest cruising speed to the end of the hull method: four to each
/// straight piece of the residuary resistance, in whole blocks of the curves made of them.
pub const NODES: usize = 104;

/// The demand of one propeller.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Propeller shaft at the speeds of the row \[rev/s\].
    pub rev_s: [f64; NODES],
    /// Torque there \[N m\].
    pub torque_n_m: [f64; NODES],
    /// How many of them count: beyond, cavitation or the hull method has stopped her.
    pub nodes: usize,
    /// Speed at which cavitation or the end of the hull method stops her \[m/s\].
    pub cap_m_s: f64,
    /// Shaft speed \[rev/s\] and torque \[N m\] at each cruising speed.
    pub cruise: [(f64, f64); CRUISE_SPEEDS],
    /// Blade tips through the water at the first cruising speed \[m/s\].
    pub tip_speed_m_s: f64,
    /// Share of the clearance, thrust and cavitation limits at the fastest cruising speed.
    pub shares: [(Cause, f64); 3],
}

impl Demand {
    /// The demand of `propeller` under the boat of `search`; `with_row` asks for the row too.
    #[must_use]
    pub fn new(search: &Search, propeller: &Propeller, with_row: bool) -> Self {
        let clearance = propeller.diameter_m / search.demands.largest_diameter_m;
        // Where a propeller cannot follow, the row has no numbers: every comparison with them is false.
        let mut found = Self {
            rev_s: [f64::NAN; NODES],
            torque_n_m: [f64::NAN; NODES],
            nodes: 0,
            cap_m_s: 0.0,
            cruise: [(f64::NAN, f64::NAN); CRUISE_SPEEDS],
            tip_speed_m_s: f64::NAN,
            shares: [(Cause::Clearance, clearance), (Cause::Thrust, f64::INFINITY), (Cause::Cavitation, 0.0)],
        };
        if clearance > 1.0 && with_row {
            return found;
        }
        let mut boat = search.base.clone();
        mount(&mut boat, propeller);
        let Ok(prepared) = search.present.with_drive_of(&boat) else { return found };
        let prepared = prepared.value;
        for (place, &speed_m_s) in found.cruise.iter_mut().zip(&search.cruise_m_s) {
            let Some(state) = prepared.state_at(speed_m_s) else { return found };
            *place = (state.shaft_rev_s, state.shaft_torque_n_m);
        }
        let Some(first) = prepared.state_at(search.cruise_m_s[0]) else { return found };
        let tip_m_s = std::f64::consts::PI * first.shaft_rev_s * propeller.diameter_m;
        found.tip_speed_m_s = first.speed_of_advance_m_s.hypot(tip_m_s);
        let Some(fastest) = prepared.state_at(search.grid_m_s[0]) else { return found };
        found.shares[1].1 = 0.0;
        found.shares[2].1 = cavitation(&prepared, &fastest);
        if with_row && found.first_violation().is_none() {
            found.fill_row(search, &prepared);
        }
        found
    }

    /// The first limit that the propeller by itself violates.
    #[must_use]
    pub fn first_violation(&self) -> Option<Cause> {
        self.shares.iter().find(|(_, share)| *share > 1.0).map(|(cause, _)| *cause)
    }

    fn fill_row(&mut self, search: &Search, prepared: &PreparedBoat) {
        let mut before: Option<(f64, f64)> = None;
        self.cap_m_s = search.grid_m_s.last().copied().unwrap_or(0.0);
        for (node, &speed_m_s) in search.grid_m_s.iter().enumerate() {
            let Some(state) = prepared.state_at(speed_m_s) else {
                self.cap_m_s = before.map_or(0.0, |(speed, _)| speed);
                return;
            };
            self.rev_s[node] = state.shaft_rev_s;
            self.torque_n_m[node] = state.shaft_torque_n_m;
            self.nodes = node + 1;
            let share = cavitation(prepared, &state);
            if let (true, Some((_, lower))) = (share > 1.0, before) {
                self.cap_m_s = crossing_m_s(&search.grid_m_s, node, lower, share);
                return;
            }
            before = Some((speed_m_s, share));
        }
    }
}

fn cavitation(prepared: &PreparedBoat, state: &State) -> f64 {
    prepared.usage(state, 1.0)[Limit::Cavitation as usize]
}
