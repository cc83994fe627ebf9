//! What a diesel burns for the work that the electric drive does now. Not for: prices.

/// Carbon dioxide and its equivalents of diesel burnt, forecourt blend of 2025 \[kg/m3\].
/// Source: \[ukghg2025\].
pub const CARBON_KG_M3: f64 = 2571.0;

/// Density of that blend \[kg/m3\]. Source: \[ukghg2025\].
const DENSITY_KG_M3: f64 = 832.36;

/// Lower heating value of that blend \[J/kg\]. Source: \[ukghg2025\].
const HEATING_J_KG: f64 = 42.84e6;

/// Heat in a volume of fuel, for each cubic metre \[J/m3\].
///
/// `E = H rho` where H = `heating_j_kg`, the lower heating value, rho = `density_kg_m3`.
/// # Source
/// A definition; values \[ukghg2025\].
/// # Valid for
/// Any liquid fuel.
/// # Accuracy
/// As its inputs.
/// # Example
/// Hand: 42.84 MJ/kg x 832.36 kg/m3 = 35,658 MJ/m3 = 9.905 kWh/L.
/// ```
/// # use wakewright_core::offer::fuel_energy_j_m3;
/// assert!((fuel_energy_j_m3(42.84e6, 832.36) / 3.6e9 - 9.905).abs() < 5e-4);
/// ```
#[must_use]
pub fn fuel_energy_j_m3(heating_j_kg: f64, density_kg_m3: f64) -> f64 {
    heating_j_kg * density_kg_m3
}

/// Heat in a volume of the forecourt blend \[J\].
///
/// `E = H rho V` where V = `volume_m3`, H = 42.84 MJ/kg, rho = 832.36 kg/m3.
/// # Source
/// \[ukghg2025\].
/// # Valid for
/// Road diesel with its share of biofuel.
/// # Accuracy
/// Within 2 % of other diesels.
/// # Example
/// Hand: a litre holds 9.905 kWh.
/// ```
/// # use wakewright_core::offer::fuel_heat_j;
/// assert!((fuel_heat_j(1e-3) / 3.6e6 - 9.905).abs() < 5e-4);
/// ```
#[must_use]
pub fn fuel_heat_j(volume_m3: f64) -> f64 {
    fuel_energy_j_m3(HEATING_J_KG, DENSITY_KG_M3) * volume_m3
}

/// Volume of diesel for work at the shaft \[m3\].
///
/// `V = E b / rho` where E = `work_j`, b = `consumption_kg_j` at the shaft, rho the density of the forecourt blend.
/// # Source
/// A definition; density \[ukghg2025\].
/// # Valid for
/// Consumption between 220 and 350 g/kWh for small diesels (from memory), more at light load.
/// # Accuracy
/// As the consumption, a third either way.
/// # Example
/// Hand: 100 kWh at 300 g/kWh are 30 kg, 36.04 L.
/// ```
/// # use wakewright_core::offer::fuel_volume_m3;
/// assert!((fuel_volume_m3(100.0 * 3.6e6, 0.3 / 3.6e6) - 0.03604).abs() < 1e-5);
/// ```
#[must_use]
pub fn fuel_volume_m3(work_j: f64, consumption_kg_j: f64) -> f64 {
    work_j * consumption_kg_j / DENSITY_KG_M3
}

/// Carbon dioxide and its equivalents from a volume of diesel \[kg\].
///
/// `m = 2571 kg/m3 V` where V = `volume_m3`.
/// # Source
/// \[ukghg2025\], forecourt blend; burning alone, nothing of refining.
/// # Valid for
/// Road diesel with its share of biofuel.
/// # Accuracy
/// Within 4 % of mineral diesel.
/// # Example
/// Hand: 100 L give 257.1 kg.
/// ```
/// # use wakewright_core::offer::carbon_kg;
/// assert!((carbon_kg(0.1) - 257.1).abs() < 1e-9);
/// ```
#[must_use]
pub fn carbon_kg(volume_m3: f64) -> f64 {
    CARBON_KG_M3 * volume_m3
}
