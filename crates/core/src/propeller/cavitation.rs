//! Does the water tear at the blades? Area needed and loading allowed.
//! Not for: the loss of thrust once it has torn, or erosion.

use super::geometry::projected_area_m2;
use super::{PropellerError, not_negative, positive};
use crate::constants::{ATMOSPHERE_PA, GRAVITY_M_S2};
use crate::water::Water;
use std::f64::consts::PI;

/// Pressure above vapour pressure at the shaft \[Pa\], with standard atmosphere and no waves.
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
    #[must_use]
    pub fn loading(&self, water: &Water) -> (f64, f64) {
        let tip = PI * self.revs_per_s * self.diameter_m;
        let pressure =
            0.5 * water.density_kg_m3 * (self.speed_advance_m_s * self.speed_advance_m_s + 0.49 * tip * tip);
        let projected = projected_area_m2(self.diameter_m, self.area_ratio, self.pitch_ratio);
        (pressure_margin_pa(water, self.shaft_depth_m) / pressure, self.thrust_n / (pressure * projected))
    }
}

/// What the check found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CavitationCheck {
    /// Cavitation number at 0.7R.
    pub sigma: f64,
    /// Thrust loading tau_c.
    pub thrust_loading: f64,
    /// tau_c at the usual line.
    pub limit: f64,
    /// Thrust at the usual line over thrust, less one: 0.2 = a fifth in hand; infinite without thrust.
    pub margin: f64,
    /// In words.
    pub verdict: Verdict,
    /// Tip speed through the water \[m/s\].
    pub tip_speed_m_s: f64,
}

/// How near she is to cavitation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Below the careful line.
    Clear,
    /// Between the careful and the usual line.
    Near,
    /// Above the usual line: noise, and loss of thrust to follow.
    Cavitating,
}

/// Checks blade loading, see [`WorkingPropeller::loading`], against the limit lines.
/// # Source
/// \[burrill1943\].
/// # Valid for
/// See [`LoadingLimit::thrust_loading`].
/// # Errors
/// [`PropellerError`] when a size is not positive.
pub fn check_cavitation(state: &WorkingPropeller, water: &Water) -> Result<CavitationCheck, PropellerError> {
    positive("propeller diameter", state.diameter_m)?;
    positive("expanded area ratio", state.area_ratio)?;
    positive("shaft speed", state.revs_per_s)?;
    not_negative("shaft depth", state.shaft_depth_m)?;
    not_negative("speed of advance", state.speed_advance_m_s)?;
    positive("projected area", projected_area_m2(state.diameter_m, state.area_ratio, state.pitch_ratio))?;
    let (sigma, thrust_loading) = state.loading(water);
    let limit = LoadingLimit::Usual.thrust_loading(sigma);
    let verdict = if thrust_loading <= LoadingLimit::Careful.thrust_loading(sigma).min(limit) {
        Verdict::Clear
    } else if thrust_loading <= limit {
        Verdict::Near
    } else {
        Verdict::Cavitating
    };
    let margin = if thrust_loading > 0.0 { limit / thrust_loading - 1.0 } else { f64::INFINITY };
    let tip_speed_m_s = state.speed_advance_m_s.hypot(PI * state.revs_per_s * state.diameter_m);
    Ok(CavitationCheck { sigma, thrust_loading, limit, margin, verdict, tip_speed_m_s })
}

/// Tip speed above which a displacement boat is heard \[m/s\]. From memory; no published limit for small
/// craft could be read.
pub const QUIET_TIP_SPEED_M_S: f64 = 30.0;
