//! Gas of lead-acid cells while charging, and the opening that lets it out. Not for: lithium.

use crate::constants::GAS_CONSTANT_J_MOL_K;

/// Charge of a mole of electrons \[C/mol\]. Source: \[bipm2019\].
const FARADAY_C_MOL: f64 = 96_485.332;
/// Electrons for one molecule of hydrogen.
const ELECTRONS: f64 = 2.0;

/// Hydrogen from cells on full overcharge \[m³/s\]: all current splits water.
///
/// `n I R T / (2 F p)`.
/// # Source
/// Faraday's law. Checked against a worked figure \[hydrogen2023\]: 24 cells at 25 A give 0.161 ft³/min.
/// # Valid for
/// Vented cells, fully charged; sealed ones recombine most of it until their valves open.
/// # Example
/// The worked figure of \[hydrogen2023\]: 24 cells at 25 A, 0.161 ft³/min.
/// ```
/// # use wakewright_core::battery::ventilation::hydrogen_m3_s;
/// let ft3_min = hydrogen_m3_s(24, 25.0, 298.15) * 60.0 / 0.3048_f64.powi(3);
/// assert!((ft3_min - 0.161).abs() < 0.0005);
/// ```
#[must_use]
pub fn hydrogen_m3_s(cells: u32, current_a: f64, temperature_k: f64) -> f64 {
    f64::from(cells) * current_a * GAS_CONSTANT_J_MOL_K * temperature_k
        / (ELECTRONS * FARADAY_C_MOL * crate::constants::ATMOSPHERE_PA)
}

/// Air that must pass to keep the gas harmless \[m³/s\]: `Q = 0.05 m³/(h A) n I`, `I` the gassing current.
///
/// # Source
/// \[en50272-3\] as quoted by a battery maker: dilution, safety factor 5. Vented lead-acid: 2 A for each
/// 100 Ah at the end of a charge.
/// # Example
/// 24 cells gassing with 4 A (EN 50272-3): 4.8 m³/h.
/// ```
/// # use wakewright_core::battery::ventilation::ventilation_m3_s;
/// assert!((ventilation_m3_s(24, 4.0) * 3600.0 - 4.8).abs() < 0.05);
/// ```
#[must_use]
pub fn ventilation_m3_s(cells: u32, gassing_current_a: f64) -> f64 {
    0.05 * f64::from(cells) * gassing_current_a / 3600.0
}

/// Free area of each of two openings, low and high, for natural ventilation \[m²\]: `28 cm² h/m³ Q`.
///
/// # Source
/// \[en50272-3\] as quoted by a battery maker.
/// # Example
/// For 4.8 m³/h (EN 50272-3): 134 cm².
/// ```
/// # use wakewright_core::battery::ventilation::opening_m2;
/// assert!((opening_m2(4.8 / 3600.0) * 1e4 - 134.0).abs() < 0.5);
/// ```
#[must_use]
pub fn opening_m2(ventilation_m3_s: f64) -> f64 {
    28e-4 * ventilation_m3_s * 3600.0
}
