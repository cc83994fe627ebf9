//! How warm a panel gets, what slips off its glass, and what power it makes. Not for: light (`transposition`).

use crate::constants::ZERO_CELSIUS_K;

/// Temperature at which a panel is rated.
const RATED_K: f64 = ZERO_CELSIUS_K + 25.0;
/// Light at which it is rated \[W/m²\].
const RATED_W_M2: f64 = 1000.0;

/// Heat that a panel gives off \[W/(m² K)\] and more of it in wind \[W s/(m³ K)\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatLoss {
    /// In still air.
    pub still_w_m2_k: f64,
    /// For each metre per second of wind.
    pub wind_w_s_m3_k: f64,
}

impl HeatLoss {
    /// Free on both faces. Source: \[pvsyst2020\].
    pub const FREE: Self = Self { still_w_m2_k: 29.0, wind_w_s_m3_k: 0.0 };
    /// With a gap behind. Source: \[pvsyst2020\].
    pub const SPACED: Self = Self { still_w_m2_k: 20.0, wind_w_s_m3_k: 0.0 };
    /// Glued on deck: insulated behind. Source: \[pvsyst2020\]; that a deck is like an insulated roof is
    /// judgement.
    pub const GLUED: Self = Self { still_w_m2_k: 15.0, wind_w_s_m3_k: 0.0 };

    /// Cell temperature \[K\]: air + light x 0.9 x (1 - efficiency) / heat loss.
    /// # Source
    /// \[faiman2008\] with the absorption and efficiency of \[pvsyst2020\].
    /// # Example
    /// An independent evaluation, insulated behind, 50 W/m² in air of 0 °C at an efficiency of 0.1: 2.7 °C.
    /// ```
    /// # use wakewright_core::solar::cell::HeatLoss;
    /// assert!((HeatLoss::GLUED.cell_k(50.0, 273.15, 0.5, 0.1) - 275.85).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn cell_k(&self, light_w_m2: f64, air_k: f64, wind_m_s: f64, efficiency: f64) -> f64 {
        const ABSORBED: f64 = 0.9;
        air_k
            + light_w_m2 * ABSORBED * (1.0 - efficiency) / (self.still_w_m2_k + self.wind_w_s_m3_k * wind_m_s)
    }
}

/// Cell temperature from the nominal operating cell temperature on the data sheet \[K\]: air + (NOCT - 20
/// °C) x light / 800 W/m². The second opinion.
/// # Source
/// Definition of NOCT; \[ross1976\].
/// # Example
/// By hand: NOCT 45 °C, 50 W/m² in air of 0 °C: 25 x 50 / 800 = 1.5625 °C.
/// ```
/// # use wakewright_core::solar::cell::cell_from_noct_k;
/// assert!((cell_from_noct_k(50.0, 273.15, 318.15) - 274.7125).abs() < 1e-9);
/// ```
#[must_use]
pub fn cell_from_noct_k(light_w_m2: f64, air_k: f64, noct_k: f64) -> f64 {
    air_k + (noct_k - ZERO_CELSIUS_K - 20.0) * light_w_m2 / 800.0
}

/// Cell temperature with wind by the form fitted to field tests \[K\]: back `G exp(a + b wind) + air`, cell
/// `back + G / 1000 deltaT`. The second opinion.
/// # Source
/// \[king2004\].
/// # Example
/// An independent evaluation, open rack, 50 W/m², 0 °C, 0.5 m/s: 1.51961 °C.
/// ```
/// # use wakewright_core::solar::cell::cell_by_king2004_k;
/// let cell_k = cell_by_king2004_k(50.0, 273.15, 0.5, -3.56, -0.075, 3.0);
/// assert!((cell_k - 273.15 - 1.51961).abs() < 6e-6);
/// ```
#[must_use]
pub fn cell_by_king2004_k(light_w_m2: f64, air_k: f64, wind_m_s: f64, a: f64, b: f64, delta_k: f64) -> f64 {
    air_k + light_w_m2 * (a + b * wind_m_s).exp() + light_w_m2 / RATED_W_M2 * delta_k
}

/// Direct-current power \[W\]: rated power x light / 1000 W/m² x (1 + gamma (cell - 25 °C)).
/// # Source
/// \[dobos2014\].
/// # Example
/// The worked example of \[dobos2014\]: 100 W at 900 W/m² and 30 °C, 88.65 W.
/// ```
/// # use wakewright_core::solar::cell::panel_power_w;
/// let power_w = panel_power_w(100.0, 900.0, 303.15, -0.003);
/// assert!((power_w - 88.65).abs() < 0.005);
/// ```
#[must_use]
pub fn panel_power_w(rated_w: f64, light_w_m2: f64, cell_k: f64, gamma_1_k: f64) -> f64 {
    rated_w * light_w_m2 / RATED_W_M2 * (1.0 + gamma_1_k * (cell_k - RATED_K))
}

/// Losses that multiply, each a share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losses {
    /// Salt and dirt.
    pub soiling: f64,
    /// Shade, where it is not entered panel by panel.
    pub shading: f64,
    /// Snow.
    pub snow: f64,
    /// Panels that differ.
    pub mismatch: f64,
    /// Wires.
    pub wiring: f64,
    /// Connectors.
    pub connections: f64,
    /// First weeks of light.
    pub light_induced: f64,
    /// Name plate that promises too much.
    pub nameplate: f64,
    /// Age.
    pub age: f64,
    /// Time out of order.
    pub availability: f64,
}

impl Losses {
    /// Defaults for a field on the ground. Source: \[dobos2014\].
    pub const FIELD: Self = Self {
        soiling: 0.02,
        shading: 0.03,
        snow: 0.0,
        mismatch: 0.02,
        wiring: 0.02,
        connections: 0.005,
        light_induced: 0.015,
        nameplate: 0.01,
        age: 0.0,
        availability: 0.03,
    };

    /// On a boat: shade is entered panel by panel, and nobody else keeps her panels out of order.
    pub const AFLOAT: Self = Self { shading: 0.0, availability: 0.0, ..Self::FIELD };

    /// All of them together.
    #[must_use]
    pub fn total(&self) -> f64 {
        let kept: f64 = [
            self.soiling,
            self.shading,
            self.snow,
            self.mismatch,
            self.wiring,
            self.connections,
            self.light_induced,
            self.nameplate,
            self.age,
            self.availability,
        ]
        .iter()
        .map(|loss| 1.0 - loss)
        .product();
        1.0 - kept
    }
}

/// Share of the beam that passes the glass, over that at square incidence: refraction and absorption of a
/// pane of 2 mm.
/// # Source
/// \[desoto2006\]: index 1.526, extinction 4 1/m.
/// # Example
/// An independent evaluation at 5°: 0.999986.
/// ```
/// # use wakewright_core::solar::cell::glass_transmission;
/// assert!((glass_transmission(5_f64.to_radians().cos()) - 0.999_986).abs() < 2e-6);
/// ```
#[must_use]
pub fn glass_transmission(cos_incidence: f64) -> f64 {
    const INDEX: f64 = 1.526;
    const OPTICAL_DEPTH: f64 = 4.0 * 0.002;
    if cos_incidence <= 0.0 {
        return 0.0;
    }
    let square = (1.0 - ((INDEX - 1.0) / (INDEX + 1.0)).powi(2)) * (-OPTICAL_DEPTH).exp();
    let sin_inside = (1.0 - cos_incidence * cos_incidence).max(0.0).sqrt() / INDEX;
    let cos_inside = (1.0 - sin_inside * sin_inside).sqrt();
    let along = ((cos_incidence - INDEX * cos_inside) / (cos_incidence + INDEX * cos_inside)).powi(2);
    let across = ((cos_inside - INDEX * cos_incidence) / (cos_inside + INDEX * cos_incidence)).powi(2);
    (1.0 - 0.5 * (along + across)) * (-OPTICAL_DEPTH / cos_inside).exp() / square
}
