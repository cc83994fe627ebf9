//! Motor controller: duty, current and power limits, its own losses, and what the throttle sets.
//! Not for: the motor behind it (`motor`), cables and fuses in front of it.

use super::motor::MotorPoint;

/// What the throttle sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ThrottleMode {
    /// Motor voltage as a share of what the bus allows (duty).
    Voltage,
    /// Motor speed, held by the controller.
    Speed,
    /// Motor torque, that is phase current.
    Torque,
    /// Power drawn from the battery.
    Power,
}

/// A motor controller. A limit that it does not have is infinite or `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Controller {
    /// Highest motor current, direct-current scale \[A\].
    pub phase_current_limit_a: f64,
    /// Highest current from the battery \[A\].
    pub battery_current_limit_a: f64,
    /// Highest current back into the battery \[A\].
    pub regeneration_current_limit_a: f64,
    /// Highest power from the battery \[W\].
    pub power_limit_w: Option<f64>,
    /// Bus voltage below which it cuts out \[V\].
    pub undervoltage_v: Option<f64>,
    /// Bus voltage above which it cuts out or is destroyed \[V\].
    pub overvoltage_v: Option<f64>,
    /// Largest motor voltage over bus voltage.
    pub maximum_duty: f64,
    /// Loss that is there whenever it is on \[W\].
    pub fixed_loss_w: f64,
    /// Loss per ampere of motor current: switching, junctions \[W/A = V\].
    pub loss_per_a_w: f64,
    /// Loss per ampere squared: channel resistance \[ohm\].
    pub loss_per_a2_ohm: f64,
    /// Drop over the motor's brushes \[V\], 0 where it has none: volts that do not reach the winding, and a loss per ampere.
    pub brush_drop_v: f64,
    /// What the throttle sets.
    pub throttle_mode: ThrottleMode,
}

/// The controller's battery side at one motor point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BusPoint {
    /// Motor voltage over bus voltage.
    pub duty: f64,
    /// Power from the battery, negative into it \[W\].
    pub battery_power_w: f64,
    /// Current from the battery, negative into it \[A\].
    pub battery_current_a: f64,
    /// The controller's own loss \[W\].
    pub loss_w: f64,
}

/// How much of each limit is used; 1 means at the limit, 0 that there is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ControllerUse {
    /// Motor voltage against the highest that the bus allows.
    pub voltage: f64,
    /// Motor current.
    pub phase_current: f64,
    /// Battery current, in the direction in which it flows.
    pub battery_current: f64,
    /// Battery power.
    pub power: f64,
    /// Bus sag against the undervoltage cut-out: cut-out over bus voltage.
    pub undervoltage: f64,
    /// Bus rise against the overvoltage cut-out: bus voltage over cut-out.
    pub overvoltage: f64,
}

impl ControllerUse {
    /// The largest of them.
    #[must_use]
    pub fn largest(&self) -> f64 {
        [self.phase_current, self.battery_current, self.power, self.undervoltage, self.overvoltage]
            .into_iter()
            .fold(self.voltage, f64::max)
    }
}

impl Controller {
    /// A controller known only by its currents, with losses of a MOSFET stage of that size.
    ///
    /// 0.2 % of nominal bus voltage times phase limit standing, 1.2 % of the bus voltage per
    /// ampere, and a resistance that adds 1.5 % of it at the phase limit: about 3 % of the power
    /// at full duty and full current.
    /// # Source
    /// Judgement inside the 0.95 to 0.98 of common practice, no source.
    /// # Example
    /// By hand, 200 A at 50 V: 20 W standing, 0.6 V x 200 A = 120 W, 3.75 mΩ x 200² A² = 150 W: 2.9 % of 10 kW.
    /// ```
    /// # use wakewright_core::drive::Controller;
    /// let controller = Controller::estimate(200.0, 200.0, 50.0);
    /// assert!((controller.loss_w(200.0) - 290.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn estimate(phase_current_limit_a: f64, battery_current_limit_a: f64, nominal_bus_v: f64) -> Self {
        Self {
            phase_current_limit_a,
            battery_current_limit_a,
            regeneration_current_limit_a: battery_current_limit_a,
            power_limit_w: None,
            undervoltage_v: None,
            overvoltage_v: None,
            maximum_duty: 1.0,
            fixed_loss_w: 0.002 * nominal_bus_v * phase_current_limit_a,
            loss_per_a_w: 0.012 * nominal_bus_v,
            loss_per_a2_ohm: 0.015 * nominal_bus_v / phase_current_limit_a,
            brush_drop_v: 0.0,
            throttle_mode: ThrottleMode::Voltage,
        }
    }

    /// Highest motor voltage at this bus voltage \[V\]. Use the voltage under load, not at rest.
    #[must_use]
    pub fn available_v(&self, bus_v: f64) -> f64 {
        self.maximum_duty * bus_v - self.brush_drop_v
    }

    /// Own loss \[W\] at a motor current, the brushes' with it: `fixed + (k1 + Vb) |I| + k2 I²`.
    #[must_use]
    pub fn loss_w(&self, motor_current_a: f64) -> f64 {
        let current = motor_current_a.abs();
        self.fixed_loss_w + current * (self.loss_per_a_w + self.brush_drop_v + current * self.loss_per_a2_ohm)
    }

    /// Power from the battery \[W\], negative into it. Does not depend on the bus voltage.
    #[must_use]
    pub fn battery_power_w(&self, point: &MotorPoint) -> f64 {
        point.electrical_power_w + self.loss_w(point.current_a)
    }

    /// Battery side at a bus voltage: `V_bus I_bus = V_m I_m + loss`, `D = V_m / V_bus`.
    ///
    /// # Source
    /// Power balance of a lossless chopper with its losses added; textbook.
    /// # Example
    /// By hand: 1000 W into the motor at 40 V and 25 A, 50 W lost, from 50 V: duty 0.8, 21 A.
    /// ```
    /// # use wakewright_core::drive::{Controller, MotorPlate};
    /// let motor = MotorPlate::minimal(1.0, 3000.0, 25.0).motor().unwrap().value;
    /// let mut point = motor.at(100.0, 5.0, 293.15);
    /// (point.voltage_v, point.current_a, point.electrical_power_w) = (40.0, 25.0, 1000.0);
    /// let mut controller = Controller::estimate(100.0, 100.0, 50.0);
    /// (controller.fixed_loss_w, controller.loss_per_a_w, controller.loss_per_a2_ohm) = (50.0, 0.0, 0.0);
    /// let bus = controller.bus_point(&point, 50.0);
    /// assert!((bus.duty - 0.8).abs() < 1e-12 && (bus.battery_current_a - 21.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn bus_point(&self, point: &MotorPoint, bus_v: f64) -> BusPoint {
        let loss_w = self.loss_w(point.current_a);
        let battery_power_w = point.electrical_power_w + loss_w;
        BusPoint {
            duty: point.voltage_v / bus_v,
            battery_power_w,
            battery_current_a: battery_power_w / bus_v,
            loss_w,
        }
    }

    /// How much of each limit a motor point uses at a bus voltage.
    #[must_use]
    pub fn use_of_limits(&self, point: &MotorPoint, bus_v: f64) -> ControllerUse {
        let bus = self.bus_point(point, bus_v);
        let battery_limit_a = if bus.battery_current_a < 0.0 {
            self.regeneration_current_limit_a
        } else {
            self.battery_current_limit_a
        };
        ControllerUse {
            voltage: point.voltage_v.abs() / self.available_v(bus_v),
            phase_current: point.current_a.abs() / self.phase_current_limit_a,
            battery_current: bus.battery_current_a.abs() / battery_limit_a,
            power: self.power_limit_w.map_or(0.0, |limit| bus.battery_power_w / limit),
            undervoltage: self.undervoltage_v.map_or(0.0, |limit| limit / bus_v),
            overvoltage: self.overvoltage_v.map_or(0.0, |limit| bus_v / limit),
        }
    }
}
