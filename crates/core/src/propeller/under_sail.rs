//! What the propeller does while she sails: locked, free, turned by a little power, or harvesting.
//! Not for: the generator and what the bank takes (`drive`, `battery`), or the speed lost to the drag.
//!
//! Shaft friction is that of everything from stern gland to motor, as a torque at the propeller, and always
//! resists the turning.

use super::geometry::expanded_area_m2;
use super::{FourQuadrant, Pattern, Propeller};
use crate::numeric::solve_bracketed;
use crate::spread::Spread;
use std::f64::consts::TAU;

/// How the propeller turns at a given speed of advance, and what that does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turning {
    /// Shaft speed at the propeller \[rev/s\].
    pub revs_per_s: f64,
    /// Drag on the boat \[N\]; negative when the propeller pushes.
    pub drag_n: f64,
    /// Torque that the motor puts into the shaft, friction included \[N m\]; negative when it brakes.
    pub motor_torque_n_m: f64,
    /// Power that the motor puts into the shaft \[W\]; negative when it takes power out.
    pub motor_power_w: f64,
}

impl FourQuadrant {
    /// Drag with the shaft locked \[N\].
    ///
    /// Drag coefficient 1.10 on the expanded area, that of the base set.
    /// # Source
    /// \[smogeli2006\]; \[ufc2005\] gives 1.0 for moored ships, \[larsson2014\] 1.2 (from memory).
    /// # Example
    /// By hand: 0.4 m, area ratio 0.5 at 3 m/s in 1000 kg/m³: 4500 Pa x 0.06283 m² x 1.10 = 311 N.
    /// ```
    /// # use wakewright_core::propeller::{FourQuadrant, Pattern, PreparedPropeller, Propeller};
    /// # use wakewright_core::water::Water;
    /// let water = Water { density_kg_m3: 1000.0, ..Water::fresh(288.15) };
    /// let propeller = Propeller::clean(0.4, 0.3, 3, 0.5, Pattern::BSeries);
    /// let prepared = PreparedPropeller::new(&propeller, &water).unwrap().value;
    /// let blades = FourQuadrant::new(&prepared).unwrap().value;
    /// assert!((blades.locked_drag_n(3.0) / 311.0 - 1.0).abs() < 0.02);
    /// ```
    #[must_use]
    pub fn locked_drag_n(&self, speed_advance_m_s: f64) -> f64 {
        -self.thrust_torque(speed_advance_m_s, 0.0).0
    }

    /// Turning at given revolutions, whatever that takes.
    #[must_use]
    pub fn turning_at_revs(
        &self,
        speed_advance_m_s: f64,
        revs_per_s: f64,
        shaft_friction_n_m: f64,
    ) -> Turning {
        let (thrust, torque) = self.thrust_torque(speed_advance_m_s, revs_per_s);
        let motor_torque_n_m =
            if revs_per_s == 0.0 { 0.0 } else { torque + shaft_friction_n_m.abs() * revs_per_s.signum() };
        Turning {
            revs_per_s,
            drag_n: -thrust,
            motor_torque_n_m,
            motor_power_w: TAU * revs_per_s * motor_torque_n_m,
        }
    }

    /// Turning against a brake torque that the motor or generator holds, on the fast side of the torque
    /// hump, where it is stable. When brake and friction exceed the greatest torque of the flow the
    /// propeller stops, and the locked state is returned.
    ///
    /// From rest a propeller only starts when the locked torque overcomes friction; this gives the state
    /// once it turns.
    #[must_use]
    pub fn turning_against_brake(
        &self,
        speed_advance_m_s: f64,
        brake_torque_n_m: f64,
        shaft_friction_n_m: f64,
    ) -> Turning {
        let pressure = self.pressure_area * speed_advance_m_s * speed_advance_m_s * self.diameter_m;
        let wanted = (brake_torque_n_m.abs() + shaft_friction_n_m.abs()) / pressure;
        let (stall_turn, greatest) = self.stall;
        let turn = if wanted < greatest {
            let free = 1.0 / self.zero_torque_advance;
            solve_bracketed(|turn| self.windmill_torque(turn) - wanted, stall_turn, free, 1e-13)
                .unwrap_or(if wanted > 0.0 { stall_turn } else { free })
        } else {
            0.0
        };
        self.turning_at_revs(
            speed_advance_m_s,
            turn * speed_advance_m_s / self.diameter_m,
            shaft_friction_n_m,
        )
    }

    /// Revolutions at which the flow just turns the shaft against a torque that may grow with them, on
    /// the fast side of the torque hump; 0 when it is too much even at the hump.
    ///
    /// `resisting_n_m` takes rev/s and gives the torque at the propeller shaft, never falling.
    #[must_use]
    pub fn revs_against(&self, speed_advance_m_s: f64, resisting_n_m: impl Fn(f64) -> f64) -> f64 {
        let pressure = self.pressure_area * speed_advance_m_s * speed_advance_m_s * self.diameter_m;
        let revs_per_turn = speed_advance_m_s / self.diameter_m;
        let spare = |turn: f64| self.windmill_torque(turn) - resisting_n_m(turn * revs_per_turn) / pressure;
        let stall_turn = self.stall.0;
        // Not a number when nothing flows: no turning either.
        if spare(stall_turn).is_nan() || spare(stall_turn) <= 0.0 {
            return 0.0;
        }
        let free = 1.0 / self.zero_torque_advance;
        revs_per_turn * solve_bracketed(spare, stall_turn, free, 1e-12).unwrap_or(free)
    }

    /// Slowest speed of advance \[m/s\] at which the flow sets a standing shaft turning against
    /// `friction_n_m`.
    #[must_use]
    pub fn speed_that_starts_turning_m_s(&self, friction_n_m: f64) -> f64 {
        (friction_n_m / (self.pressure_area * self.diameter_m * self.windmill_torque(0.0))).sqrt()
    }

    /// Revolutions of the greatest windmilling torque at this speed of advance \[rev/s\].
    #[must_use]
    pub fn stall_revs(&self, speed_advance_m_s: f64) -> f64 {
        self.stall.0 * speed_advance_m_s / self.diameter_m
    }

    /// Turned just fast enough that the propeller neither drags nor pushes; the power is what the motor
    /// puts into the shaft.
    #[must_use]
    pub fn turning_without_drag(&self, speed_advance_m_s: f64, shaft_friction_n_m: f64) -> Turning {
        let revs = speed_advance_m_s / (self.zero_thrust_advance * self.diameter_m);
        self.turning_at_revs(speed_advance_m_s, revs, shaft_friction_n_m)
    }
}

/// Drag of stowed blades under sail \[N\], with its band; `None` for a fixed propeller.
///
/// `rho/2 VA² AE Cd` with Cd on the expanded area: folded 0.06 (0.02 to 0.10), feathered 0.10 (0.05 to
/// 0.15).
/// # Source
/// Middle values \[larsson2014\], from memory. The bands hold the towing tests of \[strathclyde2009\] if its
/// propellers, whose diameter was not read, measured about 0.40 m: folded 0.02 with two blades and 0.08
/// with three, feathered 0.06.
/// # Example
/// By hand: folded, 0.4 m, area ratio 0.5 at 3 m/s in 1000 kg/m³: 4500 Pa x 0.06283 m² x 0.06 = 17.0 N.
/// ```
/// # use wakewright_core::propeller::under_sail::stowed_drag_n;
/// # use wakewright_core::propeller::{Pattern, Propeller};
/// let propeller = Propeller::clean(0.4, 0.3, 2, 0.5, Pattern::Folding);
/// let drag = stowed_drag_n(&propeller, 1000.0, 3.0).unwrap();
/// assert!((drag.median - 16.96).abs() < 0.01);
/// ```
#[must_use]
pub fn stowed_drag_n(propeller: &Propeller, density_kg_m3: f64, speed_advance_m_s: f64) -> Option<Spread> {
    let coefficients = match propeller.pattern {
        Pattern::Folding => [0.02, 0.06, 0.10],
        Pattern::Feathering => [0.05, 0.10, 0.15],
        Pattern::BSeries | Pattern::GawnWide => return None,
    };
    let area = expanded_area_m2(propeller.diameter_m, propeller.area_ratio);
    let pressure_area = 0.5 * density_kg_m3 * speed_advance_m_s * speed_advance_m_s * area;
    let [p10, median, p90] = coefficients.map(|coefficient| pressure_area * coefficient);
    Some(Spread::factor(p10, median, p90))
}
