//! From the propeller shaft to the motor shaft: belt, gear or leg, and the drag of stern bearing
//! and seal. Not for: propeller torque (`propeller`), belt or gear strength.

use super::small_load::reduction_drag_n_m;
use crate::spread::Spread;

/// How motor and propeller shaft are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ReductionKind {
    /// Coupling only.
    Direct,
    /// Toothed (synchronous) belt.
    ToothedBelt,
    /// V-belts.
    VBelt,
    /// One pair of spur or helical gears in an oil bath, or a marine gearbox kept from the diesel.
    Gear,
    /// Two pairs of bevel gears of a saildrive or pod leg.
    BevelLeg,
}

impl ReductionKind {
    /// Efficiency at the rated torque with its 80 % band, well maintained. A neglected belt can lose 0.10 more
    /// \[belt2025\]. What of the loss does not fall with the torque: `small_load`.
    #[must_use]
    pub fn efficiency(self) -> Spread {
        let (p10, median, p90) = match self {
            Self::Direct => return Spread::exact(1.0),
            Self::ToothedBelt => (0.965, 0.98, 0.99),
            Self::VBelt => (0.93, 0.95, 0.965),
            Self::Gear => (0.955, 0.97, 0.98),
            Self::BevelLeg => (0.94, 0.955, 0.97),
        };
        Spread { p10, median, p90, is_logarithmic: false }
    }

    /// Key in SOURCES.toml, or "from memory".
    #[must_use]
    pub fn source(self) -> &'static str {
        match self {
            Self::Direct => "by definition",
            Self::ToothedBelt | Self::VBelt => "belt2025",
            Self::Gear => "schmid2014",
            Self::BevelLeg => "from memory",
        }
    }
}

/// Reduction and shaft line, ready for the hot loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DriveLine {
    /// How motor and shaft are joined.
    pub kind: ReductionKind,
    /// Motor turns per propeller-shaft turn.
    pub ratio: f64,
    /// Efficiency of the reduction, without what it takes at any torque.
    pub reduction_efficiency: f64,
    /// What turning the reduction takes at any torque \[N·m\], at the motor's shaft.
    pub reduction_drag_n_m: f64,
    /// Drag of stern bearing and seal \[N·m\] at the propeller shaft, opposed to its rotation.
    pub bearing_torque_n_m: f64,
}

/// What the motor sees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorSide {
    /// Motor shaft speed \[rad/s\].
    pub omega_rad_s: f64,
    /// Motor shaft torque \[N·m\].
    pub torque_n_m: f64,
    /// Power lost between motor and propeller \[W\].
    pub loss_w: f64,
}

impl DriveLine {
    /// This line with a reduction of another kind or ratio, or behind another motor: what it takes at any torque goes with
    /// the rated torque of the motor (belts) or with the ratio (gear wheels), and its loss at the rated torque stays.
    /// `torques_n_m` are the rated torques of the motor before and after.
    #[must_use]
    pub fn refitted(&self, kind: ReductionKind, ratio: f64, torques_n_m: (f64, f64)) -> Self {
        let (before_n_m, after_n_m) = torques_n_m;
        let usual = |kind, torque_n_m, ratio| reduction_drag_n_m(kind, torque_n_m, ratio).median;
        let (at_rated, drag_n_m) = if kind == self.kind {
            let own = usual(kind, before_n_m, self.ratio);
            let by = if own > 0.0 { self.reduction_drag_n_m / own } else { 0.0 };
            (
                self.reduction_efficiency - self.reduction_drag_n_m / before_n_m,
                by * usual(kind, after_n_m, ratio),
            )
        } else {
            (kind.efficiency().median, usual(kind, after_n_m, ratio))
        };
        let reduction_efficiency = (at_rated + drag_n_m / after_n_m).min(1.0);
        Self { kind, ratio, reduction_efficiency, reduction_drag_n_m: drag_n_m, ..*self }
    }

    /// A line of this kind with the median efficiency as if all of its loss fell with the torque.
    #[must_use]
    pub fn estimate(kind: ReductionKind, ratio: f64, bearing_torque_n_m: f64) -> Self {
        Self {
            kind,
            ratio,
            reduction_efficiency: kind.efficiency().median,
            reduction_drag_n_m: 0.0,
            bearing_torque_n_m,
        }
    }

    /// Motor speed and torque for a propeller that takes `shaft_torque_n_m` at `shaft_omega_rad_s`
    /// (negative torque: the water turns the shaft).
    ///
    /// The reduction loses its share of whatever flows through it, in either direction; the
    /// bearing drag is added first, the reduction's own last. At standstill drag opposes positive rotation.
    /// # Example
    /// By hand: 46 N m and 2 N m of bearing through 2:1 at 0.96, and 0.5 N m of the reduction's own, ask 25.5 N m of the motor;
    /// 200 rad/s x 25.5 N m less 100 rad/s x 46 N m are 500 W lost.
    /// ```
    /// # use wakewright_core::drive::{DriveLine, ReductionKind};
    /// let line =
    ///     DriveLine { reduction_drag_n_m: 0.5, reduction_efficiency: 0.96, ..DriveLine::estimate(ReductionKind::Gear, 2.0, 2.0) };
    /// let side = line.motor_side(100.0, 46.0);
    /// assert!((side.torque_n_m - 25.5).abs() < 1e-9 && (side.loss_w - 500.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn motor_side(&self, shaft_omega_rad_s: f64, shaft_torque_n_m: f64) -> MotorSide {
        let through = shaft_torque_n_m + self.bearing_torque_n_m.copysign(shaft_omega_rad_s);
        let omega = shaft_omega_rad_s * self.ratio;
        let drives = through * shaft_omega_rad_s.signum() >= 0.0;
        let share = if drives { 1.0 / self.reduction_efficiency } else { self.reduction_efficiency };
        let torque = through * share / self.ratio + self.reduction_drag_n_m.copysign(shaft_omega_rad_s);
        MotorSide {
            omega_rad_s: omega,
            torque_n_m: torque,
            loss_w: torque * omega - shaft_torque_n_m * shaft_omega_rad_s,
        }
    }
}
