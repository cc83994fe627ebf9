//! What a motor makes of a propeller's demand through a reduction: volts, power and loss along the row
//! of speeds, and where current or heat stop it. The formulas are those of `drive`, laid out in plain
//! loops over arrays. No bank yet, so one curve serves every voltage and number of packs.
//! Not for: field weakening, which ties the motor to the bank.

use std::f64::consts::TAU;

use super::demand::{Demand, NODES};
use super::limits::Cause;
use crate::boat::Boat;
use crate::drive::motor::{CEILING_ABOVE_LIMIT_K, COPPER_COEFFICIENT_1_K, REFERENCE_K};
use crate::drive::{Controller, DriveLine, Motor};

/// Nodes that are computed at once; a curve ends with the block in which everything has stopped her.
const BLOCK: usize = 8;

/// Newton steps of the steady winding temperature: what the second leaves is far below 0.01 K up to
/// the winding's limit.
const NEWTON_STEPS: usize = 2;

/// A motor, its controller and a reduction as numbers for the loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Train {
    drives: f64,
    omega_per_rev: f64,
    torque_gain: f64,
    reduction_drag_n_m: f64,
    brush_drop_v: f64,
    bearing_n_m: f64,
    kt: f64,
    resistance_ohm: f64,
    leads_ohm: f64,
    drag_constant_n_m: f64,
    drag_per_rad_s: f64,
    flux_1_k: f64,
    heat_total_k_w: f64,
    heat_case_k_w: f64,
    ambient: f64,
    ceiling: f64,
    heat_room_k: f64,
    copper_at_limit: f64,
    phase_limit_a: f64,
    peak_power_w: f64,
    duty: f64,
    loss_fixed_w: f64,
    loss_per_a_w: f64,
    loss_per_a2_ohm: f64,
}

/// The motor at one demand.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Point {
    /// Bus volts that it needs \[V\].
    pub bus_v: f64,
    /// Power into the terminals and standing power of all drives that run \[W\].
    pub electrical_w: f64,
    /// Loss of their controllers at their own nominal voltage, that which goes with the current \[W\].
    pub controller_loss_w: f64,
    /// Share of the phase current.
    pub phase: f64,
    /// Rise that the losses of a winding at its limit would hold, over the rise allowed: 1 where the steady
    /// temperature is the limit, and without the steepness of a winding that runs away.
    pub heat: f64,
    /// Share of the motor's short-time power.
    pub peak: f64,
}

impl Point {
    fn worst(&self) -> f64 {
        self.phase.max(self.heat).max(self.peak)
    }

    /// Power from the bank \[W\] with a controller made for `by` times its nominal voltage.
    #[inline]
    pub(super) fn drive_power_w(&self, by: f64) -> f64 {
        self.electrical_w + by * self.controller_loss_w
    }

    /// Shares of what the motor by itself must keep to.
    pub(super) fn shares(&self) -> [(Cause, f64); 3] {
        [(Cause::PhaseAmps, self.phase), (Cause::MotorHeat, self.heat), (Cause::Power, self.peak)]
    }
}

impl Train {
    pub(super) fn new(base: &Boat, motor: &Motor, controller: &Controller, line: &DriveLine) -> Self {
        let flux_at_limit = 1.0 + motor.flux_coefficient_1_k * (motor.winding_limit_k - REFERENCE_K);
        Self {
            drives: f64::from(base.drives.running),
            omega_per_rev: TAU * line.ratio,
            torque_gain: 1.0 / (line.reduction_efficiency * line.ratio),
            bearing_n_m: line.bearing_torque_n_m,
            reduction_drag_n_m: line.reduction_drag_n_m,
            brush_drop_v: controller.brush_drop_v,
            kt: motor.torque_constant_n_m_a,
            resistance_ohm: motor.resistance_ohm,
            leads_ohm: motor.leads_ohm,
            drag_constant_n_m: motor.drag_constant_n_m,
            drag_per_rad_s: motor.drag_per_rad_s,
            flux_1_k: motor.flux_coefficient_1_k,
            heat_total_k_w: motor.heat.total_k_w(),
            heat_case_k_w: motor.heat.case_to_ambient_k_w,
            ambient: base.motor_ambient_k - REFERENCE_K,
            ceiling: motor.winding_limit_k + CEILING_ABOVE_LIMIT_K - REFERENCE_K,
            heat_room_k: motor.winding_limit_k - base.motor_ambient_k,
            copper_at_limit: motor.resistance_at_ohm(motor.winding_limit_k)
                / (motor.resistance_ohm * flux_at_limit * flux_at_limit),
            phase_limit_a: controller.phase_current_limit_a,
            peak_power_w: motor.peak_power_w.unwrap_or(f64::INFINITY),
            duty: controller.maximum_duty,
            loss_fixed_w: controller.fixed_loss_w,
            loss_per_a_w: controller.loss_per_a_w,
            loss_per_a2_ohm: controller.loss_per_a2_ohm,
        }
    }

    /// The motor at a demand of the propeller shaft. Branch-free, so that a loop over it runs several
    /// nodes at once; the temperature is that of [`Motor::steady_winding_k`].
    #[inline(always)]
    pub(super) fn at(&self, rev_s: f64, torque_n_m: f64) -> Point {
        let omega = self.omega_per_rev * rev_s;
        let torque = (torque_n_m + self.bearing_n_m) * self.torque_gain + self.reduction_drag_n_m;
        let drag = self.drag_constant_n_m + self.drag_per_rad_s * omega;
        let current_20 = (torque + drag) / self.kt;
        let rise = self.heat_total_k_w * self.resistance_ohm * current_20 * current_20;
        let floor = self.ambient + self.heat_case_k_w * drag * omega;
        let (alpha, beta) = (COPPER_COEFFICIENT_1_K, self.flux_1_k);
        let gain = rise * (alpha - 2.0 * beta);
        let mut runs_away = gain >= 1.0;
        let start = (floor + rise) / (1.0 - gain);
        let mut x = if start < self.ceiling { start } else { self.ceiling };
        for _ in 0..NEWTON_STEPS {
            let flux = 1.0 + beta * x;
            let slope = flux * (flux + 2.0 * beta * (x - floor)) - rise * alpha;
            runs_away |= slope <= 0.0;
            let next = x + (rise * (1.0 + alpha * x) - (x - floor) * flux * flux) / slope;
            x = if next < self.ceiling { next } else { self.ceiling };
        }
        let x = if runs_away { self.ceiling } else { x };
        let kt = self.kt * (1.0 + beta * x);
        let resistance = self.resistance_ohm * (1.0 + alpha * x) + self.leads_ohm;
        let current = (torque + drag) / kt;
        let shaft_w = torque * omega;
        Point {
            bus_v: (kt * omega + current * resistance + self.brush_drop_v) / self.duty,
            electrical_w: self.drives
                * (shaft_w
                    + drag * omega
                    + current * (current * resistance + self.brush_drop_v)
                    + self.loss_fixed_w),
            controller_loss_w: self.drives * current * (self.loss_per_a_w + current * self.loss_per_a2_ohm),
            phase: current / self.phase_limit_a,
            heat: (floor - self.ambient + rise * self.copper_at_limit) / self.heat_room_k,
            peak: shaft_w / self.peak_power_w,
        }
    }
}

/// A motor along the row of speeds, one array for each figure.
#[derive(Debug, Clone)]
pub(super) struct Curve {
    bus_v: [f64; NODES],
    electrical_w: [f64; NODES],
    loss_w: [f64; NODES],
    phase: [f64; NODES],
    heat: [f64; NODES],
    peak: [f64; NODES],
    nodes: usize,
    /// Speed at which propeller, hull method or motor stop her, whatever the bank \[m/s\].
    pub cap_m_s: f64,
}

impl Curve {
    pub(super) fn empty() -> Self {
        let row = [0.0; NODES];
        Self {
            bus_v: row,
            electrical_w: row,
            loss_w: row,
            phase: row,
            heat: row,
            peak: row,
            nodes: 0,
            cap_m_s: 0.0,
        }
    }

    /// Fills the curve for `train`, as far as a bank of `highest_v` at rest could come.
    pub(super) fn fill(&mut self, train: &Train, demand: &Demand, grid_m_s: &[f64], highest_v: f64) {
        self.nodes = 0;
        while self.nodes < demand.nodes {
            let from = self.nodes;
            self.fill_block(train, demand, from);
            self.nodes = (from + BLOCK).min(demand.nodes);
            let last = self.nodes - 1;
            if self.worst(last) > 1.0 || self.bus_v[last] > highest_v {
                break;
            }
        }
        self.cap_m_s = demand.cap_m_s.min(self.motor_cap_m_s(grid_m_s));
    }

    fn fill_block(&mut self, train: &Train, demand: &Demand, from: usize) {
        // Rows are whole blocks long; what stands beyond the demand's nodes is not looked at.
        let row = from..from + BLOCK;
        let (rev_s, torque) = (&demand.rev_s[row.clone()], &demand.torque_n_m[row.clone()]);
        let (bus, watts) = (&mut self.bus_v[row.clone()], &mut self.electrical_w[row.clone()]);
        let (loss, phase) = (&mut self.loss_w[row.clone()], &mut self.phase[row.clone()]);
        let (heat, peak) = (&mut self.heat[row.clone()], &mut self.peak[row]);
        for i in 0..BLOCK {
            let point = train.at(rev_s[i], torque[i]);
            bus[i] = point.bus_v;
            watts[i] = point.electrical_w;
            loss[i] = point.controller_loss_w;
            phase[i] = point.phase;
            heat[i] = point.heat;
            peak[i] = point.peak;
        }
    }

    fn worst(&self, node: usize) -> f64 {
        self.phase[node].max(self.heat[node]).max(self.peak[node])
    }

    /// Where current, heat or short-time power of the motor stop her; infinite when they do not.
    fn motor_cap_m_s(&self, grid_m_s: &[f64]) -> f64 {
        let Some(node) = first_over(self.nodes, |node| self.worst(node) > 1.0) else { return f64::INFINITY };
        if node == 0 {
            return grid_m_s[0];
        }
        let crossing = |row: &[f64; NODES]| crossing_m_s(grid_m_s, node, row[node - 1], row[node]);
        crossing(&self.phase).min(crossing(&self.heat)).min(crossing(&self.peak))
    }

    /// Top speed with a bank \[m/s\]: where its volts or one of its powers runs out, or the cap.
    #[inline]
    pub(super) fn top_speed_m_s(&self, grid_m_s: &[f64], supply: &Supply) -> f64 {
        let node =
            first_over(self.nodes, |node| supply.is_over(self.bus_v[node], self.power_w(node, supply)));
        match node {
            None => self.cap_m_s,
            Some(0) => grid_m_s[0],
            Some(node) => {
                let (low_w, high_w) = (self.power_w(node - 1, supply), self.power_w(node, supply));
                let volts = |node: usize, power_w: f64| supply.volts_share(self.bus_v[node], power_w);
                let by_power = crossing_m_s(grid_m_s, node, low_w / supply.most_w, high_w / supply.most_w);
                let by_volts = crossing_m_s(grid_m_s, node, volts(node - 1, low_w), volts(node, high_w));
                by_power.min(by_volts).min(self.cap_m_s)
            }
        }
    }

    #[inline]
    fn power_w(&self, node: usize, supply: &Supply) -> f64 {
        self.electrical_w[node] + supply.loss_scale * self.loss_w[node]
    }
}

/// First node for which `is_over` holds, which it does from somewhere on; `None` when nowhere.
#[inline]
fn first_over(nodes: usize, is_over: impl Fn(usize) -> bool) -> Option<usize> {
    let (mut base, mut size) = (0, nodes);
    while size > 0 {
        let half = size / 2;
        let middle = base + half;
        if is_over(middle) {
            size = half;
        } else {
            base = middle + 1;
            size -= half + 1;
        }
    }
    (base < nodes).then_some(base)
}

/// Speed at which a share goes through 1 between the node before `node` and `node`; infinite when it
/// does not. Shares rise with about the second to the sixth power of speed: their fourth roots are
/// nearly straight.
#[inline]
pub(super) fn crossing_m_s(grid_m_s: &[f64], node: usize, low: f64, high: f64) -> f64 {
    if high <= 1.0 {
        return f64::INFINITY;
    }
    let (from, to) = (grid_m_s[node - 1], grid_m_s[node]);
    let straight = |share: f64| share.max(0.0).sqrt().sqrt();
    let low = straight(low);
    from + (to - from) * ((1.0 - low) / (straight(high) - low)).clamp(0.0, 1.0)
}

/// A bank with the limits of packs and controller as powers of the drive, so that each is one
/// comparison.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Supply {
    pub rest_v: f64,
    pub resistance_ohm: f64,
    pub house_w: f64,
    /// Nominal voltage over that of the controller's figures.
    pub loss_scale: f64,
    /// Most power of the drive by each cause \[W\].
    pub most: [(Cause, f64); 4],
    /// The least of them \[W\].
    pub most_w: f64,
}

impl Supply {
    /// True when the bank cannot give `power_w` to a motor that needs `bus_v` of bus.
    ///
    /// Its volts under a load are the upper root of `V² - E V + P R = 0`; they are below the need `u` when
    /// `u² - E u + P R > 0` and `u` lies above half of `E`. No root, no division.
    #[inline]
    fn is_over(&self, bus_v: f64, power_w: f64) -> bool {
        let short = bus_v * bus_v + (power_w + self.house_w) * self.resistance_ohm > self.rest_v * bus_v;
        (short & (2.0 * bus_v > self.rest_v)) | (power_w > self.most_w)
    }

    /// Volts needed over volts under that load.
    #[inline]
    pub(super) fn volts_share(&self, bus_v: f64, power_w: f64) -> f64 {
        let half = 0.5 * self.rest_v;
        let under_root = half * half - (power_w + self.house_w) * self.resistance_ohm;
        bus_v / (half + under_root.max(0.0).sqrt())
    }

    /// Shares of what the bank must give at one point of the motor.
    pub(super) fn shares(&self, point: &Point) -> [(Cause, f64); 5] {
        let power_w = point.drive_power_w(self.loss_scale);
        let [a, b, c, d] = self.most.map(|(cause, most_w)| (cause, over(power_w, most_w)));
        [(Cause::BankVolts, self.volts_share(point.bus_v, power_w)), a, b, c, d]
    }
}

/// `power` as a share of `most`; infinite when there is none.
fn over(power: f64, most: f64) -> f64 {
    if most > 0.0 { power / most } else { f64::INFINITY }
}

impl Point {
    /// The first limit of its own that the motor violates here.
    pub(super) fn first_violation(&self) -> Option<Cause> {
        if self.worst() <= 1.0 {
            return None;
        }
        self.shares().into_iter().find(|(_, share)| *share > 1.0).map(|(cause, _)| cause)
    }
}
