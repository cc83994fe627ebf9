//! What the propeller asks at a shaft speed when she runs steadily, whatever drives the shaft.
//! Not for: what the drive can reach (`reach.rs`).

use super::prepared::PreparedBoat;
use super::reach::ShaftPoint;
use crate::numeric::solve_bracketed;

/// Slowest speed that counts as motion \[m/s\].
const STANDSTILL_M_S: f64 = 0.01;

/// What is asked of the shaft at one speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Speed and torque of the shaft.
    pub shaft: ShaftPoint,
    /// Speed through the water \[m/s\].
    pub speed_m_s: f64,
}

impl PreparedBoat {
    /// Torque and speed when the shaft turns at `shaft_rev_s`: the speed at which the propeller's
    /// thrust, less what it sucks from the hull, is the resistance. `None` when the wind drives her back
    /// or the speed lies beyond the hull method.
    ///
    /// `(1 - t) T(V (1 - w), n) = R(V)`; the thrust falls with V and the resistance rises.
    /// # Accuracy
    /// The balance closes to 1e-7 m/s.
    #[must_use]
    pub fn demand_at(&self, shaft_rev_s: f64) -> Option<Demand> {
        if shaft_rev_s.is_nan() || shaft_rev_s <= 0.0 {
            return None;
        }
        let propeller = self.propeller();
        let wake = 1.0 - self.wake_fraction();
        let without_thrust =
            propeller.advance_at_zero_thrust() * shaft_rev_s * propeller.propeller().diameter_m;
        let highest = self.fastest_m_s().min(without_thrust / wake);
        let lacking = |speed: f64| {
            let (thrust, _) = propeller.thrust_torque(speed * wake, shaft_rev_s);
            self.hull().resistance_n(speed) - (1.0 - self.thrust_deduction()) * self.running() * thrust
        };
        if highest <= STANDSTILL_M_S || lacking(STANDSTILL_M_S) > 0.0 {
            return None;
        }
        let speed_m_s = solve_bracketed(lacking, STANDSTILL_M_S, highest, 1e-7).ok()?;
        let (_, open_water) = propeller.thrust_torque(speed_m_s * wake, shaft_rev_s);
        let torque_n_m = open_water / self.relative_rotative_efficiency();
        Some(Demand { shaft: ShaftPoint { shaft_rev_s, torque_n_m }, speed_m_s })
    }
}
