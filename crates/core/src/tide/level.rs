//! What weather and the years make of a level beyond the tide: pressure, and a spread for all the rest.
//! Not for: the tide itself, the ground.

/// How far the level may stand off what constants or tables have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// By so much the water stands higher than predicted, as known: pressure \[m\].
    pub raised_m: f64,
    /// Standard deviation of what is the same in all weathers: constants rest on past years, the sea has risen since \[m\].
    pub mean_sd_m: f64,
    /// Standard deviation of the weather \[m\].
    pub weather_sd_m: f64,
}

impl Default for Level {
    /// Where nothing is typed: 0.15 m of weather, common practice, no source; 0.1 m of the mean, own estimate.
    fn default() -> Self {
        Self { raised_m: 0.0, mean_sd_m: 0.1, weather_sd_m: 0.15 }
    }
}

impl Level {
    /// Both together \[m\].
    #[must_use]
    pub fn sd_m(&self) -> f64 {
        self.mean_sd_m.hypot(self.weather_sd_m)
    }
}

/// By how much the water stands higher for the pressure of the air \[m\].
///
/// `z = (101300 - p)/10000` with p in Pa: 1 cm for each hectopascal away from 1013.
/// # Source
/// Common practice, no source; 1/(rho g) gives 0.99 cm.
/// # Valid for
/// A steady pressure over days and open water.
/// # Accuracy
/// Decimetres where wind goes with it.
/// # Errors
/// None.
/// # Example
/// 993 hPa, 20 hPa below: 0.2 m more:
/// ```
/// use wakewright_core::tide::level::raised_by_pressure_m;
/// assert!((raised_by_pressure_m(99_300.0) - 0.2).abs() < 1e-12);
/// ```
#[must_use]
pub fn raised_by_pressure_m(pressure_pa: f64) -> f64 {
    (101_300.0 - pressure_pa) / 10_000.0
}
