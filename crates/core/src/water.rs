//! Properties of the water she floats in. Not for: waves, depth, tide.

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
