//! Permanent-magnet motor as the textbook direct-current equivalent: back-EMF, torque constant,
//! winding resistance with temperature, drag torque of the iron, optional field weakening.
//!
//! Not for: estimating the parameters from a name plate (`plate`), heating over time (`heat`),
//! switching losses (`controller`).

use super::heat::{HeatPath, Losses, Temperatures};

/// Relative rise of copper resistance per kelvin, referred to 20 °C. Source: \[iec60228-2004\]
/// (the 0.00393 1/K of its temperature correction).
pub const COPPER_COEFFICIENT_1_K: f64 = 0.003_93;

/// Temperature to which `resistance_ohm` and the torque constant refer: 20 °C.
pub const REFERENCE_K: f64 = 293.15;

/// Relative change of NdFeB magnet flux per kelvin. From memory.
pub const NDFEB_FLUX_COEFFICIENT_1_K: f64 = -0.001;

/// How far above the winding limit a steady temperature is followed. A load that would settle
/// higher, or never settle because the copper heats faster than it cools, is reported at this
/// ceiling; the motor is lost long before.
pub const CEILING_ABOVE_LIMIT_K: f64 = 100.0;

/// Most Newton steps of the steady temperature; one or two do below the winding limit.
const NEWTON_STEPS: usize = 6;

/// What a motor can do above the speed that the bus voltage allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldWeakening {
    /// Current along the magnet axis that would cancel the magnet flux entirely, flux over
    /// d-inductance, on the direct-current scale of the motor current \[A\].
    pub characteristic_current_a: f64,
    /// Highest speed as a multiple of the speed reached without weakening at the same voltage.
    pub maximum_speed_ratio: f64,
}

/// A motor ready for the hot loop. All fields refer to the direct-current equivalent at the
/// controller's motor terminals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    /// Torque per ampere at 20 °C, equal to back-EMF per rad/s \[N·m/A = V·s/rad\].
    pub torque_constant_n_m_a: f64,
    /// Terminal resistance at 20 °C \[ohm\].
    pub resistance_ohm: f64,
    /// Leads between controller and motor, warm, on the same scale: two of three carry at any moment \[ohm\]; 0 where none
    /// are told.
    pub leads_ohm: f64,
    /// Drag torque that does not change with speed: hysteresis, bearings, brushes \[N·m\].
    pub drag_constant_n_m: f64,
    /// Drag torque that grows with speed: eddy currents, windage near rated speed \[N·m·s/rad\].
    pub drag_per_rad_s: f64,
    /// Relative change of magnet flux per kelvin of winding temperature, 0 or negative: the
    /// magnets' own coefficient times the share of the winding's rise that they follow.
    pub flux_coefficient_1_k: f64,
    /// Where the heat goes.
    pub heat: HeatPath,
    /// Hottest winding temperature allowed by the insulation \[K\].
    pub winding_limit_k: f64,
    /// Continuous shaft power on the plate \[W\].
    pub rated_power_w: f64,
    /// Speed at the continuous rating \[rad/s\].
    pub rated_speed_rad_s: f64,
    /// Short-time shaft power on the plate, when given \[W\].
    pub peak_power_w: Option<f64>,
    /// Mass \[kg\].
    pub mass_kg: f64,
    /// Ability to run above base speed, when the controller does that.
    pub field_weakening: Option<FieldWeakening>,
}

/// The motor at one speed, torque and temperature. Positive torque with positive speed drives;
/// a negative electrical power is generated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorPoint {
    /// Motor shaft speed \[rad/s\].
    pub omega_rad_s: f64,
    /// Torque at the motor shaft \[N·m\].
    pub torque_n_m: f64,
    /// Current on the direct-current scale, demagnetising part included \[A\]. Always of the sign
    /// of its torque-producing part.
    pub current_a: f64,
    /// Part of the current spent on weakening the field \[A\], 0 without weakening.
    pub demagnetising_current_a: f64,
    /// Voltage that the controller must make \[V\].
    pub voltage_v: f64,
    /// Power out of the controller, into leads and motor \[W\].
    pub electrical_power_w: f64,
    /// Power out of the motor shaft \[W\].
    pub shaft_power_w: f64,
    /// Loss in the winding \[W\].
    pub copper_loss_w: f64,
    /// Loss in the leads from the controller \[W\].
    pub leads_loss_w: f64,
    /// Loss in iron, bearings and air \[W\].
    pub iron_loss_w: f64,
    /// Winding temperature for which this holds \[K\].
    pub winding_k: f64,
}

impl MotorPoint {
    /// Shaft power over electrical power when driving, the inverse when generating; 0 when both
    /// are losses (the motor is driven from both ends).
    #[must_use]
    pub fn efficiency(&self) -> f64 {
        let terminals_w = self.electrical_power_w - self.leads_loss_w;
        if self.shaft_power_w > 0.0 && terminals_w > 0.0 {
            self.shaft_power_w / terminals_w
        } else if self.shaft_power_w < 0.0 && terminals_w < 0.0 {
            terminals_w / self.shaft_power_w
        } else {
            0.0
        }
    }

    /// Losses by where they arise.
    #[must_use]
    pub fn losses(&self) -> Losses {
        Losses { winding_w: self.copper_loss_w, case_w: self.iron_loss_w }
    }
}

impl Motor {
    /// Winding resistance \[ohm\] at `winding_k`: `R20 (1 + 0.00393 (T - 20 °C))`.
    /// # Example
    /// By hand: 100 K above 20 °C copper has 39.3 % more.
    /// ```
    /// # use wakewright_core::drive::MotorPlate;
    /// let motor = MotorPlate::minimal(1.0, 10_000.0, 30.0).motor().unwrap().value;
    /// assert!((motor.resistance_at_ohm(393.15) / motor.resistance_ohm - 1.393).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn resistance_at_ohm(&self, winding_k: f64) -> f64 {
        self.resistance_ohm * (1.0 + COPPER_COEFFICIENT_1_K * (winding_k - REFERENCE_K))
    }

    /// What the controller's volts drive the current through \[ohm\]: the winding at `winding_k` and its leads.
    #[must_use]
    pub fn driven_ohm(&self, winding_k: f64) -> f64 {
        self.resistance_at_ohm(winding_k) + self.leads_ohm
    }

    /// Torque constant \[N·m/A\] with the magnets as warm as they are at this winding temperature.
    #[must_use]
    pub fn torque_constant_at_n_m_a(&self, winding_k: f64) -> f64 {
        self.torque_constant_n_m_a * (1.0 + self.flux_coefficient_1_k * (winding_k - REFERENCE_K))
    }

    /// Torque lost inside the motor \[N·m\], opposed to the rotation; at standstill it opposes
    /// positive rotation.
    ///
    /// `T_drag = b + c |omega|`, that is a loss of `b omega + c omega²`. A loss that remains at
    /// standstill belongs to the controller.
    #[must_use]
    pub fn drag_torque_n_m(&self, omega_rad_s: f64) -> f64 {
        (self.drag_constant_n_m + self.drag_per_rad_s * omega_rad_s.abs()).copysign(omega_rad_s)
    }

    /// Current that drives the unloaded motor at this speed \[A\].
    #[must_use]
    pub fn no_load_current_a(&self, omega_rad_s: f64) -> f64 {
        self.drag_torque_n_m(omega_rad_s) / self.torque_constant_n_m_a
    }

    /// Voltage at the open terminals of the turning motor, magnets at 20 °C \[V\]: what a bus can
    /// rise to through the controller's diodes when the battery has been cut off.
    #[must_use]
    pub fn open_circuit_voltage_v(&self, omega_rad_s: f64) -> f64 {
        (self.torque_constant_n_m_a * omega_rad_s).abs()
    }

    /// Torque at the continuous rating \[N·m\].
    #[must_use]
    pub fn rated_torque_n_m(&self) -> f64 {
        self.rated_power_w / self.rated_speed_rad_s
    }

    /// The motor at a speed, a torque and a winding temperature.
    ///
    /// `I = T/Kt + I0(omega)`, `E = Kt omega`, `V = E + I (R(T) + R_leads)`, with `Kt = 1/(2 pi Kv)`.
    /// # Source
    /// Textbook equivalent circuit, from memory; checked against a worked example computed from
    /// the same equations elsewhere. Deviations: drag torque instead of a constant no-load current.
    /// # Valid for
    /// Surface-magnet and brushed machines below base speed. A machine with reluctance torque does
    /// better than this at high torque; saturation (above about twice rated torque) is left out.
    /// # Accuracy
    /// Energy balance exact. The form of the loss follows measured maps to 1 to 2 points of
    /// efficiency (see `loss_fit`); the parameters of a plate are the larger uncertainty.
    /// # Example
    /// Worked elsewhere: 60 rpm/V, 10 mΩ, 5 A without load; 1500 rpm and 20 N m take 26.31 V and 3437 W.
    /// ```
    /// # use std::f64::consts::TAU;
    /// # use wakewright_core::drive::{DriveError, MotorPlate};
    /// let plate = MotorPlate {
    ///     resistance_ohm: Some(0.010),
    ///     no_load_current_a: Some(5.0),
    ///     peak_power_w: Some(10_000.0),
    ///     mass_kg: Some(20.0),
    ///     flux_coefficient_1_k: Some(0.0),
    ///     ..MotorPlate::minimal(1.0, 3141.6, 25.0)
    /// };
    /// let point = plate.motor()?.value.at(25.0 * TAU, 20.0, 293.15);
    /// assert!((point.voltage_v - 26.31).abs() < 0.005);
    /// assert!((point.electrical_power_w - 3437.0).abs() < 1.0);
    /// # Ok::<(), DriveError>(())
    /// ```
    #[must_use]
    pub fn at(&self, omega_rad_s: f64, torque_n_m: f64, winding_k: f64) -> MotorPoint {
        let kt = self.torque_constant_at_n_m_a(winding_k);
        let drag = self.drag_torque_n_m(omega_rad_s);
        let resistance = self.resistance_at_ohm(winding_k);
        let current = (torque_n_m + drag) / kt;
        let copper = current * current * resistance;
        let leads = current * current * self.leads_ohm;
        let iron = drag * omega_rad_s;
        let shaft = torque_n_m * omega_rad_s;
        MotorPoint {
            omega_rad_s,
            torque_n_m,
            current_a: current,
            demagnetising_current_a: 0.0,
            voltage_v: kt * omega_rad_s + current * (resistance + self.leads_ohm),
            electrical_power_w: shaft + iron + copper + leads,
            shaft_power_w: shaft,
            copper_loss_w: copper,
            leads_loss_w: leads,
            iron_loss_w: iron,
            winding_k,
        }
    }

    /// The motor when it has run at this load until nothing changes any more, in air (or water)
    /// of `ambient_k`.
    ///
    /// `T = T_amb + (R_wc + R_ca) I² R(T) + R_ca P_iron`; linear in `T` but for the magnet flux,
    /// whose fall is followed by Newton steps from the closed form.
    /// # Valid for
    /// Loads that settle below the winding limit + 100 K. Any other is reported at that ceiling.
    /// # Accuracy
    /// That of the thermal resistances: see [`HeatPath::from_rating`].
    /// # Example
    /// By the meaning of a rating: at the rated load in the rated air the winding settles at its limit.
    /// ```
    /// # use wakewright_core::drive::MotorPlate;
    /// let motor = MotorPlate::minimal(1.0, 10_000.0, 30.0).motor().unwrap().value;
    /// let point = motor.steady(motor.rated_speed_rad_s, motor.rated_torque_n_m(), 313.15);
    /// assert!((point.winding_k - motor.winding_limit_k).abs() < 1e-3);
    /// ```
    #[must_use]
    pub fn steady(&self, omega_rad_s: f64, torque_n_m: f64, ambient_k: f64) -> MotorPoint {
        self.at(omega_rad_s, torque_n_m, self.steady_winding_k(omega_rad_s, torque_n_m, ambient_k))
    }

    /// Winding temperature at which [`Motor::steady`] settles \[K\].
    #[must_use]
    pub fn steady_winding_k(&self, omega_rad_s: f64, torque_n_m: f64, ambient_k: f64) -> f64 {
        let drag = self.drag_torque_n_m(omega_rad_s);
        let current_20 = (torque_n_m + drag) / self.torque_constant_n_m_a;
        let copper_rise_20 = self.heat.total_k_w() * current_20 * current_20 * self.resistance_ohm;
        let floor_k = ambient_k + self.heat.case_to_ambient_k_w * drag * omega_rad_s;
        let ceiling_k = self.winding_limit_k + CEILING_ABOVE_LIMIT_K;
        let (alpha, beta) = (COPPER_COEFFICIENT_1_K, self.flux_coefficient_1_k);
        // T = floor + rise20 (1 + alpha x) / (1 + beta x)², x = T - 20 °C; times (1 + beta x)² it is
        // a concave cubic, on which Newton's method rises to the root without passing it.
        let linear_gain = copper_rise_20 * (alpha - 2.0 * beta);
        if linear_gain >= 1.0 {
            return ceiling_k;
        }
        let (floor, ceiling) = (floor_k - REFERENCE_K, ceiling_k - REFERENCE_K);
        let mut x = ((floor + copper_rise_20) / (1.0 - linear_gain)).min(ceiling);
        for _ in 0..NEWTON_STEPS {
            let flux = 1.0 + beta * x;
            let slope = flux * (flux + 2.0 * beta * (x - floor)) - copper_rise_20 * alpha;
            if slope <= 0.0 {
                return ceiling_k;
            }
            let correction = (copper_rise_20 * (1.0 + alpha * x) - (x - floor) * flux * flux) / slope;
            x += correction;
            if x >= ceiling {
                return ceiling_k;
            }
            // What is left after this step is of the order of its square.
            if correction.abs() < 1e-3 {
                break;
            }
        }
        x + REFERENCE_K
    }

    /// The motor where the controller can make no more than `available_v`, weakening the field as
    /// far as needed.
    ///
    /// The demagnetising current `Id = Ic (1 - (V - I R)/E)` brings the back-EMF down to what the
    /// voltage leaves; it makes no torque and heats the winding: `P_cu = (I² + Id²) R`. Voltage times current of such a
    /// point exceeds its power: part of it is reactive.
    /// # Source
    /// Textbook d-axis equation of the synchronous machine without the cross voltage of the torque
    /// current, from memory.
    /// # Valid for
    /// Surface-magnet machines up to `maximum_speed_ratio`.
    /// # Accuracy
    /// An estimate: not checked against a measured machine. Reachable torque is overstated because
    /// the voltage across the q-inductance is left out.
    ///
    /// A point out of reach is taken at the edge of what weakening does, and asks for more than `available_v`.
    fn weakened(&self, omega_rad_s: f64, torque_n_m: f64, winding_k: f64, available_v: f64) -> MotorPoint {
        let free = self.at(omega_rad_s, torque_n_m, winding_k);
        let Some(weakening) = self.field_weakening else { return free };
        if free.voltage_v.abs() <= available_v {
            return free;
        }
        let emf = self.torque_constant_at_n_m_a(winding_k) * omega_rad_s.abs();
        if emf <= 0.0 {
            return free;
        }
        let drop = free.voltage_v.abs() - emf;
        let least = emf / weakening.maximum_speed_ratio;
        let is_in_reach = available_v - drop >= least;
        let left_over = if is_in_reach { available_v - drop } else { least };
        let demagnetising = weakening.characteristic_current_a * (1.0 - left_over / emf);
        let squared = demagnetising * demagnetising;
        let copper = free.copper_loss_w + squared * self.resistance_at_ohm(winding_k);
        let leads = free.leads_loss_w + squared * self.leads_ohm;
        MotorPoint {
            current_a: free.current_a.hypot(demagnetising).copysign(free.current_a),
            demagnetising_current_a: demagnetising,
            voltage_v: (if is_in_reach { available_v } else { drop + left_over }).copysign(free.voltage_v),
            electrical_power_w: free.shaft_power_w + free.iron_loss_w + copper + leads,
            copper_loss_w: copper,
            leads_loss_w: leads,
            ..free
        }
    }

    /// [`Motor::steady`] where the controller can make no more than `available_v`. Temperature of a weakened
    /// point is good to 0.1 K below the limit; a point out of reach is taken at the edge of what weakening
    /// does, and asks for more than `available_v`. So a balance can pass through it on its way.
    #[must_use]
    pub fn steady_weakened(
        &self,
        omega_rad_s: f64,
        torque_n_m: f64,
        ambient_k: f64,
        available_v: f64,
    ) -> MotorPoint {
        let free = self.steady(omega_rad_s, torque_n_m, ambient_k);
        if self.field_weakening.is_none() || free.voltage_v.abs() <= available_v {
            return free;
        }
        let ceiling_k = self.winding_limit_k + CEILING_ABOVE_LIMIT_K;
        let mut point = self.weakened(omega_rad_s, torque_n_m, free.winding_k, available_v);
        for _ in 0..8 {
            let winding_k = self.heat.steady(point.losses(), ambient_k).winding_k.min(ceiling_k);
            point = self.weakened(omega_rad_s, torque_n_m, winding_k, available_v);
        }
        point
    }

    /// Seconds until the winding reaches its limit at a constant load, from `start`; `None` when
    /// it never does.
    #[must_use]
    pub fn time_to_limit_s(
        &self,
        omega_rad_s: f64,
        torque_n_m: f64,
        start: Temperatures,
        ambient_k: f64,
    ) -> Option<f64> {
        let losses = |winding_k: f64| self.at(omega_rad_s, torque_n_m, winding_k).losses();
        self.heat.time_to_limit_s(losses, start, ambient_k, self.winding_limit_k)
    }
}
