//! Does the water tear at the blades? Loading, and the lines that it is held against.
//! Not for: the loss of thrust once it has torn, or erosion.

use super::geometry::projected_area_m2;
use crate::constants::{ATMOSPHERE_PA, GRAVITY_M_S2};
use crate::water::Water;
use std::f64::consts::PI;

/// Pressure above vapour pressure at the shaft \[Pa\], with standard atmosphere and no waves.
/// # Source
/// Hydrostatics, textbook.
/// # Valid for
/// Sea level; waves and a low barometer take from it.
/// # Accuracy
/// Exact for the stated water.
/// # Example
/// By hand: 101 325 + 1025 · 9.80665 · 0.5 - 1700 = 104 650.9 Pa.
/// ```
/// # use wakewright_core::propeller::cavitation::pressure_margin_pa;
/// # use wakewright_core::water::Water;
/// let water = Water { density_kg_m3: 1025.0, viscosity_m2_s: 1.188e-6, vapour_pressure_pa: 1700.0 };
/// assert!((pressure_margin_pa(&water, 0.5) - 104_650.9).abs() < 0.05);
/// ```
#[must_use]
pub fn pressure_margin_pa(water: &Water, shaft_depth_m: f64) -> f64 {
    ATMOSPHERE_PA + water.density_kg_m3 * GRAVITY_M_S2 * shaft_depth_m - water.vapour_pressure_pa
}

/// Constant of the Keller criterion for one propeller; 0.1 for two.
pub const KELLER_SINGLE_SCREW: f64 = 0.2;

/// Least expanded area ratio by Keller.
///
/// `AE/A0 = (1.3 + 0.3 Z) T / ((p0 - pv) D²) + K`.
/// # Source
/// \[keller1966\], in \[holtrop1982\], whose printed example gives 0.7393.
/// # Valid for
/// Source states no range; merchant ships.
/// # Accuracy
/// Not published; on the safe side for lightly loaded propellers.
/// # Example
/// The printed example of \[holtrop1982\].
/// ```
/// # use wakewright_core::propeller::cavitation::{KELLER_SINGLE_SCREW, least_area_ratio_keller};
/// let margin = 99_047.0 + 1025.0 * 9.81 * 5.8;
/// let ratio = least_area_ratio_keller(4, 2_172_750.0, 8.0, margin, KELLER_SINGLE_SCREW);
/// assert!((ratio - 0.7393).abs() < 0.000_06);
/// ```
#[must_use]
pub fn least_area_ratio_keller(
    blades: u8,
    thrust_n: f64,
    diameter_m: f64,
    pressure_margin_pa: f64,
    screw_constant: f64,
) -> f64 {
    (1.3 + 0.3 * f64::from(blades)) * thrust_n / (pressure_margin_pa * diameter_m * diameter_m)
        + screw_constant
}

/// Limit lines of blade loading over cavitation number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoadingLimit {
    /// Heavily loaded tugs and trawlers: the careful line.
    Careful,
    /// Merchant ships, about 5 % of the back cavitating: the usual line.
    Usual,
    /// Fast and naval craft, about 10 %.
    Fast,
}

impl LoadingLimit {
    /// Greatest thrust loading tau_c at cavitation number `sigma`.
    ///
    /// Careful `0.21 (s - 0.04)^0.46`, usual `0.28 (s - 0.03)^0.57`, fast `0.43 (s - 0.02)^0.71`.
    /// # Source
    /// Diagram of \[burrill1943\], fits of \[molland2011\] from memory.
    /// # Valid for
    /// sigma 0.1 to 2 (from memory). No load is allowed at the foot of a line and below.
    /// # Example
    /// By hand: one above the foot of the usual line is its factor, 0.28.
    /// ```
    /// # use wakewright_core::propeller::cavitation::LoadingLimit;
    /// assert!((LoadingLimit::Usual.thrust_loading(1.03) - 0.28).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn thrust_loading(self, sigma: f64) -> f64 {
        let (factor, foot, power) = match self {
            Self::Careful => (0.21, 0.04, 0.46),
            Self::Usual => (0.28, 0.03, 0.57),
            Self::Fast => (0.43, 0.02, 0.71),
        };
        factor * (sigma - foot).max(0.0).powf(power)
    }
}

/// Greatest tau_c at 10 % back cavitation, second opinion: `0.494 sigma^0.88`.
/// # Source
/// Blount & Fox, from memory.
/// # Valid for
/// sigma up to about 1 (from memory); above it leaves the line of [`LoadingLimit::Fast`] by a quarter.
/// # Example
/// By hand: its factor at 1.
/// ```
/// # use wakewright_core::propeller::cavitation::thrust_loading_blount_fox;
/// assert!((thrust_loading_blount_fox(1.0) - 0.494).abs() < 1e-12);
/// ```
#[must_use]
pub fn thrust_loading_blount_fox(sigma: f64) -> f64 {
    0.494 * sigma.max(0.0).powf(0.88)
}

/// A working propeller for the check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorkingPropeller {
    /// Thrust \[N\].
    pub thrust_n: f64,
    /// Speed of advance \[m/s\].
    pub speed_advance_m_s: f64,
    /// Shaft speed \[rev/s\].
    pub revs_per_s: f64,
    /// Diameter \[m\].
    pub diameter_m: f64,
    /// Pitch over diameter.
    pub pitch_ratio: f64,
    /// Expanded area ratio.
    pub area_ratio: f64,
    /// Depth of the shaft below the surface \[m\].
    pub shaft_depth_m: f64,
}

impl WorkingPropeller {
    /// (sigma, tau_c): cavitation number and thrust loading at 0.7R.
    ///
    /// `sigma = (p0 + rho g h - pv) / q`, `tau_c = T / (q AP)`, `q = rho/2 (VA² + (0.7 pi n D)²)`.
    /// # Source
    /// \[burrill1943\]; projected area \[ufc2005\].
    /// # Example
    /// By hand, dragged at 10 m/s: q = 51,250 Pa; 104,650.9 / q = 2.042 and 1000 N / (q x 0.05625 m²) = 0.3469.
    /// ```
    /// # use wakewright_core::propeller::cavitation::WorkingPropeller;
    /// # use wakewright_core::water::Water;
    /// let water = Water { density_kg_m3: 1025.0, viscosity_m2_s: 1.188e-6, vapour_pressure_pa: 1700.0 };
    /// let (thrust_n, speed_advance_m_s, revs_per_s) = (1000.0, 10.0, 0.0);
    /// let (diameter_m, pitch_ratio, area_ratio, shaft_depth_m) = (0.4, 0.75, 0.5, 0.5);
    /// let working = WorkingPropeller {
    ///     thrust_n,
    ///     speed_advance_m_s,
    ///     revs_per_s,
    ///     diameter_m,
    ///     pitch_ratio,
    ///     area_ratio,
    ///     shaft_depth_m,
    /// };
    /// let (sigma, loading) = working.loading(&water);
    /// assert!((sigma - 2.042).abs() < 0.0005 && (loading - 0.3469).abs() < 0.00005);
    /// ```
    #[must_use]
    pub fn loading(&self, water: &Water) -> (f64, f64) {
        let tip = PI * self.revs_per_s * self.diameter_m;
        let pressure =
            0.5 * water.density_kg_m3 * (self.speed_advance_m_s * self.speed_advance_m_s + 0.49 * tip * tip);
        let projected = projected_area_m2(self.diameter_m, self.area_ratio, self.pitch_ratio);
        (pressure_margin_pa(water, self.shaft_depth_m) / pressure, self.thrust_n / (pressure * projected))
    }
}

/// Tip speed above which a displacement boat is heard \[m/s\]. From memory; no published limit for small
/// craft could be read.
pub const QUIET_TIP_SPEED_M_S: f64 = 30.0;
