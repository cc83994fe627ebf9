//! One steady state of the whole boat, and where each of its watts goes.
//! Not for: finding it (`solve.rs`).

use super::limit::Limit;
use crate::drive::MotorPoint;
use crate::hull::ResistanceParts;
use crate::sheet::Word;

/// A balance of hull, propeller, drive and bank at one speed. Every figure belongs to the same moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Speed through the water \[m/s\].
    pub speed_m_s: f64,
    /// Resistance of hull, appendages and wind \[N\].
    pub resistance_n: f64,
    /// Drives that run: shaft, torque and motor are those of each, thrust, losses and power of all together.
    pub drives: f64,
    /// Thrust of the propellers that run \[N\]: resistance over (1 - thrust deduction).
    pub thrust_n: f64,
    /// Speed of the water at the propeller \[m/s\].
    pub speed_of_advance_m_s: f64,
    /// Propeller shaft \[rev/s\].
    pub shaft_rev_s: f64,
    /// Torque at the propeller, behind the hull \[N m\].
    pub shaft_torque_n_m: f64,
    /// The motor's side of it.
    pub motor: MotorPoint,
    /// Power that reduction and shaft line lose \[W\].
    pub train_loss_w: f64,
    /// Power that the controller loses \[W\].
    pub controller_loss_w: f64,
    /// Power at the bank's terminals for the drive \[W\].
    pub drive_power_w: f64,
    /// Standing loads on the same bank \[W\].
    pub house_power_w: f64,
    /// Volts at the controller's terminals, under load \[V\].
    pub bank_v: f64,
    /// Current out of the bank \[A\], standing loads included.
    pub bank_a: f64,
}

/// Pull against a quay at full throttle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bollard {
    /// Thrust \[N\].
    pub thrust_n: f64,
    /// Shaft \[rev/s\].
    pub shaft_rev_s: f64,
    /// Power at the bank's terminals for the drive \[W\].
    pub drive_power_w: f64,
    /// Current out of the bank, standing loads included \[A\].
    pub bank_a: f64,
    /// Volts of the bank \[V\].
    pub bank_v: f64,
    /// What binds.
    pub limit: Limit,
}

impl State {
    /// Power delivered to the propellers \[W\].
    #[must_use]
    pub fn delivered_power_w(&self) -> f64 {
        self.drives * std::f64::consts::TAU * self.shaft_rev_s * self.shaft_torque_n_m
    }

    /// Power that moves the boat: resistance times speed \[W\].
    #[must_use]
    pub fn effective_power_w(&self) -> f64 {
        self.resistance_n * self.speed_m_s
    }

    /// Power out of the bank's terminals, standing loads included \[W\].
    #[must_use]
    pub fn bank_power_w(&self) -> f64 {
        self.drive_power_w + self.house_power_w
    }

    /// Energy out of the bank's terminals for each metre through the water \[J/m\].
    #[must_use]
    pub fn energy_per_metre_j(&self) -> f64 {
        self.bank_power_w() / self.speed_m_s
    }

    /// From the bank's terminals to the water: effective power over drive power.
    #[must_use]
    pub fn overall_efficiency(&self) -> f64 {
        self.effective_power_w() / self.drive_power_w
    }

    /// Behind the hull: effective power over delivered power.
    #[must_use]
    pub fn propulsive_efficiency(&self) -> f64 {
        self.effective_power_w() / self.delivered_power_w()
    }

    /// Apparent slip: how far the propeller advances less than its pitch, on the boat's own speed.
    #[must_use]
    pub fn apparent_slip(&self, pitch_m: f64) -> f64 {
        1.0 - self.speed_m_s / (pitch_m * self.shaft_rev_s)
    }
}

/// Where the watts of a step end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WattEnd {
    /// Lost before the water.
    Lost,
    /// In moving her: what a clean bottom would save.
    Growth,
    /// In moving her.
    Water,
}

impl WattEnd {
    /// True when they move her.
    #[must_use]
    pub fn reaches_water(self) -> bool {
        self != Self::Lost
    }
}

/// A step on the way of the watts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WattStep {
    /// What it is.
    pub word: Word,
    /// What goes there.
    pub power_w: f64,
    /// Where that ends.
    pub end: WattEnd,
}

/// Where each watt goes, from the cells to the water. The steps add up to `cells_w`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WattLadder {
    /// What the cells give: open-circuit volts times current.
    pub cells_w: f64,
    /// Lost in the bank's own resistance and its cable.
    pub bank_loss_w: f64,
    /// Standing loads.
    pub house_w: f64,
    /// Lost in the controller.
    pub controller_w: f64,
    /// Lost in the leads between controller and motor.
    pub leads_w: f64,
    /// Lost in the winding.
    pub winding_w: f64,
    /// Lost in iron and bearings of the motor.
    pub iron_w: f64,
    /// Lost in reduction and shaft line.
    pub train_w: f64,
    /// Lost at the propeller: slip, swirl, blade friction, and what wake and thrust deduction take or give.
    pub propeller_w: f64,
    /// Hull, clean skin.
    pub skin_w: f64,
    /// Hull, roughness of its paint and growth on it.
    pub growth_w: f64,
    /// Hull, waves she makes.
    pub waves_w: f64,
    /// Hull as towed, where a towing test stands for skin, waves and appendages.
    pub towed_w: f64,
    /// What shallow water adds.
    pub shallow_w: f64,
    /// Keel and rudder.
    pub appendages_w: f64,
    /// Wind on rig and topsides.
    pub wind_w: f64,
    /// Sea margin.
    pub sea_margin_w: f64,
    /// In-service factor: what towing tanks do not have.
    pub in_service_w: f64,
}

impl WattLadder {
    /// Ladder of `state`, with the bank's open-circuit volts and the parts of the resistance.
    #[must_use]
    pub fn new(state: &State, open_circuit_v: f64, parts: &ResistanceParts) -> Self {
        let speed = state.speed_m_s;
        let cells_w = open_circuit_v * state.bank_a;
        Self {
            cells_w,
            bank_loss_w: cells_w - state.bank_power_w(),
            house_w: state.house_power_w,
            controller_w: state.controller_loss_w,
            leads_w: state.drives * state.motor.leads_loss_w,
            winding_w: state.drives * state.motor.copper_loss_w,
            iron_w: state.drives * state.motor.iron_loss_w,
            train_w: state.train_loss_w,
            propeller_w: state.delivered_power_w() - state.effective_power_w(),
            skin_w: parts.friction_clean_n * speed,
            growth_w: parts.friction_growth_n * speed,
            waves_w: parts.residuary_n * speed,
            towed_w: parts.towed_n * speed,
            shallow_w: parts.shallow_water_n * speed,
            appendages_w: parts.keel_and_rudder_n * speed,
            wind_w: parts.windage_n * speed,
            sea_margin_w: parts.sea_margin_n * speed,
            in_service_w: parts.in_service_n * speed,
        }
    }

    /// The steps in order, as drawn.
    #[must_use]
    pub fn steps(&self) -> [WattStep; 17] {
        use WattEnd::{Growth, Lost, Water};
        let step = |key, words, power_w, end| WattStep { word: Word { key, words }, power_w, end };
        [
            step("bank", "bank and cable", self.bank_loss_w, Lost),
            step("standing_loads", "standing loads", self.house_w, Lost),
            step("controller", "controller", self.controller_w, Lost),
            step("leads", "motor's leads", self.leads_w, Lost),
            step("winding", "motor winding", self.winding_w, Lost),
            step("iron", "motor iron and bearings", self.iron_w, Lost),
            step("train", "reduction and shaft line", self.train_w, Lost),
            step("propeller", "propeller: slip, swirl, blade drag", self.propeller_w, Lost),
            step("clean_skin", "hull: clean skin", self.skin_w, Water),
            step("growth", "hull: paint and growth", self.growth_w, Growth),
            step("waves", "hull: waves she makes", self.waves_w, Water),
            step("towed", "hull as towed", self.towed_w, Water),
            step("shallow_water", "shallow water", self.shallow_w, Water),
            step("keel_and_rudder", "keel and rudder", self.appendages_w, Water),
            step("wind", "wind on rig and topsides", self.wind_w, Water),
            step("sea_margin", "sea margin", self.sea_margin_w, Water),
            step("in_service", "in service beyond the tank", self.in_service_w, Water),
        ]
    }
}
