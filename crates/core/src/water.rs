//! Properties of the water she floats in. Not for: waves, depth, tide.

use crate::constants::ZERO_CELSIUS_K;

/// Water as the formulas need it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    /// Density \[kg/m³\].
    pub density_kg_m3: f64,
    /// Kinematic viscosity \[m²/s\].
    pub viscosity_m2_s: f64,
    /// Vapour pressure \[Pa\].
    pub vapour_pressure_pa: f64,
}

/// Mass of salt per mass of sea water in the ITTC tables (35.165 04 g/kg). Source: \[ittc2011\].
pub const SEA_SALINITY: f64 = 0.035_165_04;

impl Water {
    /// Sea water of the ITTC's standard salinity at `temperature_k`.
    ///
    /// # Source
    /// \[sharqawy2010\] eqs. 8, 22, 23; vapour pressure \[hyland1983\]. Checked against the sea-water
    /// viscosities of \[ittc2011\], 1 to 30 °C.
    /// # Valid for
    /// 0 to 180 °C; checked from 0 to 30 °C. Outside it still computes: check the
    /// temperature where it is entered.
    /// # Accuracy
    /// Published: density 0.1 %, viscosity 1.5 %. Found against \[ittc2011\]: viscosity 0.1 %.
    /// # Example
    /// \[ittc2011\] at 10 °C: 1.3604e-6 m²/s.
    /// ```
    /// # use wakewright_core::water::Water;
    /// let water = Water::sea(273.15 + 10.0);
    /// assert!((water.viscosity_m2_s / 1.3604e-6 - 1.0).abs() < 0.003);
    /// ```
    #[must_use]
    pub fn sea(temperature_k: f64) -> Self {
        Self::of_salinity(temperature_k, SEA_SALINITY)
    }

    /// Fresh water at `temperature_k`. Source, range and accuracy as [`Water::sea`]; checked
    /// against handbook densities, viscosities and vapour pressures at 10, 20 and 30 °C.
    #[must_use]
    pub fn fresh(temperature_k: f64) -> Self {
        Self::of_salinity(temperature_k, 0.0)
    }

    /// Water of any salinity (mass of salt per mass of water, 0 to 0.12), for estuaries.
    #[must_use]
    pub fn of_salinity(temperature_k: f64, salinity: f64) -> Self {
        let density_kg_m3 = density_kg_m3(temperature_k, salinity);
        Self {
            density_kg_m3,
            viscosity_m2_s: dynamic_viscosity_pa_s(temperature_k, salinity) / density_kg_m3,
            vapour_pressure_pa: vapour_pressure_pa(temperature_k, salinity),
        }
    }
}

/// \[sharqawy2010\] eq. 8; t in °C, s in kg/kg.
fn density_kg_m3(temperature_k: f64, s: f64) -> f64 {
    let t = temperature_k - ZERO_CELSIUS_K;
    let fresh = 999.9 + t * (2.034e-2 + t * (-6.162e-3 + t * (2.261e-5 - t * 4.657e-8)));
    fresh + s * (802.0 + t * (-2.001 + t * (1.677e-2 - t * 3.060e-5)) - s * t * t * 1.613e-5)
}

/// \[sharqawy2010\] eqs. 22 and 23; t in °C, s in kg/kg.
fn dynamic_viscosity_pa_s(temperature_k: f64, s: f64) -> f64 {
    let t = temperature_k - ZERO_CELSIUS_K;
    let fresh = 4.2844e-5 + 1.0 / (0.157 * (t + 64.993).powi(2) - 91.296);
    let linear = 1.541 + t * (1.998e-2 - t * 9.52e-5);
    let square = 7.974 + t * (-7.561e-2 + t * 4.724e-4);
    fresh * (1.0 + s * (linear + s * square))
}

/// Saturation pressure of fresh water, \[hyland1983\] (from memory), lowered by the salt as in
/// \[sharqawy2010\]. That review prints the coefficients with four digits, which costs 0.5 %.
fn vapour_pressure_pa(temperature_k: f64, s: f64) -> f64 {
    let t = temperature_k;
    let logarithm = -5_800.220_6 / t
        + 1.391_499_3
        + t * (-4.864_023_9e-2 + t * (4.176_476_8e-5 - t * 1.445_209_3e-8))
        + 6.545_967_3 * t.ln();
    logarithm.exp() / (1.0 + 0.573_57 * s / (1.0 - s))
}
