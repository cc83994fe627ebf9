//! Corrections of a run to stated conditions: wind, waves, water, displacement. Shallow water is in
//! `hull::shallow`, since the steady state needs it too. Each is a function of its own, to be switched.
//! Not for: waves from aside, swell, rudder, current.

use crate::constants::GRAVITY_M_S2;

/// Directions within which the wave formula is taken, from the bow \[rad\]: 45 degrees, from memory.
pub const WAVE_ENCOUNTER_LIMIT_RAD: f64 = std::f64::consts::FRAC_PI_4;

/// What the air meets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirDrag {
    /// Density of air \[kg/m³\].
    pub density_kg_m3: f64,
    /// Drag coefficient x area along the boat at the apparent wind's angle \[m²\]; negative from astern.
    pub drag_area_at_wind_m2: f64,
    /// The same from ahead \[m²\].
    pub drag_area_ahead_m2: f64,
}

/// Resistance that the true wind adds \[N\]; take it off to have no wind but the boat's own.
///
/// `0.5 rho_a (CdA(psi) Vrel^2 - CdA(0) V^2)`, Vrel = apparent wind speed, V = speed over ground.
/// # Source
/// \[iso15016\], from memory.
/// # Valid for
/// Steady wind; the drag area is from a boat without sails set.
/// # Accuracy
/// That of the drag area, about 30 % for a sailing boat's rig. 0 in a calm.
/// # Example
/// By hand: 0.6 kg/m³ x 10 m² x (5² - 3²) m²/s² = 96 N.
/// ```
/// # use wakewright_core::trial::{AirDrag, wind_resistance_change_n};
/// let air = AirDrag { density_kg_m3: 1.2, drag_area_at_wind_m2: 10.0, drag_area_ahead_m2: 10.0 };
/// assert!((wind_resistance_change_n(&air, 5.0, 3.0) - 96.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn wind_resistance_change_n(
    air: &AirDrag,
    apparent_wind_speed_m_s: f64,
    speed_over_ground_m_s: f64,
) -> f64 {
    0.5 * air.density_kg_m3
        * (air.drag_area_at_wind_m2 * apparent_wind_speed_m_s * apparent_wind_speed_m_s
            - air.drag_area_ahead_m2 * speed_over_ground_m_s * speed_over_ground_m_s)
}

/// Resistance that short head waves add by reflection \[N\]: STAwave-1.
///
/// `rho g/16 H^2 B sqrt(B/L)`, H = significant wave height, B = beam on the waterline, L = length of
/// the bow section to 95 % of the greatest beam.
/// # Source
/// \[ittc7504\], read in a public page, with the example B 20 m, L 5 m, H 1 m, rho 1026 kg/m³,
/// g 9.81 m/s²: 25 162.7 N.
/// # Valid for
/// Head waves within [`WAVE_ENCOUNTER_LIMIT_RAD`] of the bow, H up to
/// [`wave_height_limit_stawave1_m`], a ship that hardly heaves and pitches. A yacht pitches well
/// before: for her this is a lower bound, and trials in more than 0.2 m of chop are best not made.
/// # Accuracy
/// Not published for small craft.
/// # Example
/// A published number with g 9.81: 25 162.65 N.
/// ```
/// # use wakewright_core::trial::added_wave_resistance_stawave1_n;
/// let force_n = added_wave_resistance_stawave1_n(1.0, 20.0, 5.0, 1026.0);
/// assert!((force_n * 9.81 / 9.80665 - 25_162.65).abs() < 0.005);
/// ```
#[must_use]
pub fn added_wave_resistance_stawave1_n(
    wave_height_m: f64,
    beam_m: f64,
    bow_length_m: f64,
    water_density_kg_m3: f64,
) -> f64 {
    water_density_kg_m3 * GRAVITY_M_S2 / 16.0
        * wave_height_m
        * wave_height_m
        * beam_m
        * (beam_m / bow_length_m).sqrt()
}

/// Highest significant wave height for STAwave-1 \[m\]: `2.25 sqrt(Lpp/100)`. Source: \[ittc7504\].
#[must_use]
pub fn wave_height_limit_stawave1_m(length_m: f64) -> f64 {
    2.25 * (length_m / 100.0).sqrt()
}

/// Water of the trial against water of the statement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterChange {
    /// Density in the trial \[kg/m³\].
    pub density_kg_m3: f64,
    /// Density of the statement \[kg/m³\].
    pub density_stated_kg_m3: f64,
    /// Frictional coefficient in the trial.
    pub friction: f64,
    /// Frictional coefficient in the stated water at the same speed.
    pub friction_stated: f64,
}

/// Resistance in the trial's water above that in the stated water \[N\].
///
/// `RT (rho/rho0 - 1) - RF (CF0/CF - 1)`, RT and RF = total and frictional resistance in the trial.
/// # Source
/// \[iso15016\], from memory.
/// # Valid for
/// Small changes of density and temperature.
/// # Accuracy
/// Below 1 % of the resistance for 0 to 30 °C, fresh to salt. 0 for equal waters.
/// # Example
/// By hand: 1000 N x 2.5 % of density, less 600 N x 1 % of friction: 19 N.
/// ```
/// # use wakewright_core::trial::{WaterChange, water_resistance_change_n};
/// let (density_kg_m3, density_stated_kg_m3) = (1025.0, 1000.0);
/// let water = WaterChange { density_kg_m3, density_stated_kg_m3, friction: 0.002, friction_stated: 0.002_02 };
/// assert!((water_resistance_change_n(1000.0, 600.0, &water) - 19.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn water_resistance_change_n(total_n: f64, frictional_n: f64, water: &WaterChange) -> f64 {
    total_n * (water.density_kg_m3 / water.density_stated_kg_m3 - 1.0)
        - frictional_n * (water.friction_stated / water.friction - 1.0)
}

/// Power at the stated displacement and the same speed \[W\]: `P (D0/D)^(2/3)`.
/// # Source
/// \[iso15016\], from memory.
/// # Valid for
/// Small differences (a few per cent) of displacement.
/// # Accuracy
/// Source states none.
/// # Example
/// By hand: 8 % more displacement, 1.08^(2/3) = 1.0526.
/// ```
/// # use wakewright_core::trial::power_at_displacement_w;
/// assert!((power_at_displacement_w(1000.0, 5000.0, 5400.0) - 1052.6).abs() < 0.1);
/// ```
#[must_use]
pub fn power_at_displacement_w(power_w: f64, displacement_kg: f64, stated_displacement_kg: f64) -> f64 {
    power_w * (stated_displacement_kg / displacement_kg).powf(2.0 / 3.0)
}

/// Power at the same speed without an extra resistance \[W\]: `P - dR V/eta`, eta = thrust power over
/// bank power at this load.
/// # Source
/// \[iso15016\], from memory, without its second-order load correction.
/// # Valid for
/// An extra resistance that is small against the whole (up to about a tenth).
/// # Accuracy
/// The load correction left out is of second order in the share of the extra resistance.
/// # Example
/// By hand: 2000 W - 50 N x 2 m/s / 0.5 = 1800 W.
/// ```
/// # use wakewright_core::trial::power_without_resistance_w;
/// assert!((power_without_resistance_w(2000.0, 50.0, 2.0, 0.5) - 1800.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn power_without_resistance_w(
    power_w: f64,
    extra_resistance_n: f64,
    speed_through_water_m_s: f64,
    efficiency: f64,
) -> f64 {
    power_w - extra_resistance_n * speed_through_water_m_s / efficiency
}
