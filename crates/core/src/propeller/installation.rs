//! Does it fit and does it hold: clearance, aperture, shaft strength, frequencies.
//! Not for: what the propeller does in the water, or tables of standards (`standards`).

use super::{PropellerError, positive};
use std::f64::consts::{FRAC_PI_2, PI};

/// How hard the boat is driven, for the clearance between blade tip and hull.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Service {
    /// Slow displacement boat, low shaft speed.
    Slow,
    /// Usual cruising boat.
    Usual,
    /// Fast or highly loaded.
    Fast,
}

impl Service {
    /// Least tip clearance over diameter: 10, 15, 20 %.
    /// # Source
    /// From memory, handbook practice.
    /// # Example
    /// By hand: 0.4 m in a cruising boat want 6 cm.
    /// ```
    /// # use wakewright_core::propeller::installation::Service;
    /// assert!((0.4 * Service::Usual.least_clearance_fraction() - 0.06).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn least_clearance_fraction(self) -> f64 {
        match self {
            Self::Slow => 0.10,
            Self::Usual => 0.15,
            Self::Fast => 0.20,
        }
    }
}

/// Clearance in hand over the least one \[m\]; negative when the blades are too near.
#[must_use]
pub fn clearance_in_hand_m(diameter_m: f64, clearance_m: f64, service: Service) -> f64 {
    clearance_m - service.least_clearance_fraction() * diameter_m
}

/// Largest diameter that fits an aperture of `height_m` with the least clearance above and below \[m\].
#[must_use]
pub fn largest_diameter_m(height_m: f64, service: Service) -> f64 {
    height_m / (1.0 + 2.0 * service.least_clearance_fraction())
}

/// Least distance of the blades at 0.7R from the deadwood ahead of them, as fraction of the diameter:
/// 0.2 to 0.3 (from memory).
pub const LEAST_GAP_AHEAD_FRACTION: f64 = 0.2;

/// Shear stress at the skin of a solid shaft \[Pa\]: `16 Q / (pi d³)`. Textbook torsion.
/// # Example
/// By hand: 25 mm and 100 N m, 16 · 100 / (pi · 0.025³) = 32.6 MPa.
/// ```
/// # use wakewright_core::propeller::installation::torsional_stress_pa;
/// assert!((torsional_stress_pa(100.0, 0.025) / 32.6e6 - 1.0).abs() < 0.001);
/// ```
#[must_use]
pub fn torsional_stress_pa(torque_n_m: f64, shaft_diameter_m: f64) -> f64 {
    16.0 * torque_n_m / (PI * shaft_diameter_m * shaft_diameter_m * shaft_diameter_m)
}

/// Safety against yield in torsion used for shafts: 5. Common practice, no source; it covers bending,
/// shocks, keyway and fatigue. An electric motor gives its peak torque at rest: enter the peak.
pub const SHAFT_SAFETY_FACTOR: f64 = 5.0;

/// Least diameter of a solid shaft \[m\]: `(16 Q f / (pi tau_y))^(1/3)`.
///
/// Textbook torsion with a stated safety factor; not the rule of a society or standard.
/// # Arguments
/// `torque_n_m` greatest torque, `shear_yield_pa` of the shaft metal, `safety_factor` usually
/// [`SHAFT_SAFETY_FACTOR`].
/// # Errors
/// [`PropellerError::Impossible`].
pub fn least_shaft_diameter_m(
    torque_n_m: f64,
    shear_yield_pa: f64,
    safety_factor: f64,
) -> Result<f64, PropellerError> {
    positive("shaft torque", torque_n_m)?;
    positive("shear yield stress", shear_yield_pa)?;
    positive("safety factor", safety_factor)?;
    Ok((16.0 * torque_n_m * safety_factor / (PI * shear_yield_pa)).cbrt())
}

/// Blade rate \[Hz\]: blades passing the deadwood each second.
#[must_use]
pub fn blade_rate_hz(revs_per_s: f64, blades: u8) -> f64 {
    revs_per_s * f64::from(blades)
}

/// First bending frequency of a solid shaft between two bearings \[Hz\].
///
/// `f = (pi/2) sqrt(E I / (m' L⁴))`, which for a round bar is `(pi/8) (d / L²) sqrt(E / rho)`.
/// # Source
/// Beam theory, simply supported, in air; water and the overhung propeller lower it.
/// # Example
/// By hand: 25 mm over 1 m, `sqrt(200e9 / 8000)` = 5000 m/s: pi / 8 x 0.025 x 5000 = 49.09 Hz.
/// ```
/// # use wakewright_core::propeller::installation::shaft_bending_frequency_hz;
/// assert!((shaft_bending_frequency_hz(0.025, 1.0, 200e9, 8000.0) - 49.09).abs() < 0.005);
/// ```
#[must_use]
pub fn shaft_bending_frequency_hz(
    shaft_diameter_m: f64,
    span_m: f64,
    youngs_modulus_pa: f64,
    shaft_density_kg_m3: f64,
) -> f64 {
    FRAC_PI_2 * 0.25 * shaft_diameter_m / (span_m * span_m) * (youngs_modulus_pa / shaft_density_kg_m3).sqrt()
}

/// Least distance between an exciting and a natural frequency, as fraction of the natural one: 20 %.
/// Common practice, no source.
pub const LEAST_SEPARATION_FRACTION: f64 = 0.20;

/// True when `exciting_hz` (blade rate, shaft speed) comes near `natural_hz` (rig, shaft, panel).
#[must_use]
pub fn is_near_resonance(exciting_hz: f64, natural_hz: f64) -> bool {
    (exciting_hz - natural_hz).abs() < LEAST_SEPARATION_FRACTION * natural_hz
}

/// Loosening of a hub on its taper when warmed for removal, as gap on the diameter \[m\]:
/// `d (alpha_hub dT_hub - alpha_shaft dT_shaft)`.
///
/// Linear expansion. Hot metal and pressed hubs hurt people: shield, never open flame near seals.
#[must_use]
pub fn hub_release_gap_m(
    shaft_diameter_m: f64,
    hub_expansion_per_k: f64,
    hub_warmed_by_k: f64,
    shaft_expansion_per_k: f64,
    shaft_warmed_by_k: f64,
) -> f64 {
    shaft_diameter_m * (hub_expansion_per_k * hub_warmed_by_k - shaft_expansion_per_k * shaft_warmed_by_k)
}
