//! Where the sun stands, when it rises and sets, and how strong it is above the air.
//! Not for: the air (`clear_sky`).

use std::f64::consts::{PI, TAU};

use jiff::Span;
use jiff::civil::Date;
use solar_positioning::time::JulianDate;
use solar_positioning::{Horizon, Location, RefractionCorrection, SolarEvents, SolarPositions};

use super::SolarError;
use wakewright_units::factors::DAY_S;

/// Julian date of the Unix epoch.
const UNIX_EPOCH_JD: f64 = 2_440_587.5;
/// Where Unix time begins.
const EPOCH: Date = jiff::civil::date(1970, 1, 1);
/// Terrestrial time less universal time \[s\]: that of the 2020s, from memory. Ten seconds move the sun by
/// 0.00001°.
pub const DELTA_T_S: f64 = 69.2;
/// Solar constant \[W/m²\] \[spencer1971\] as used with it in general-purpose libraries.
pub const SOLAR_CONSTANT_W_M2: f64 = 1366.1;

/// A place on the water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Latitude \[rad\], north positive.
    pub latitude_rad: f64,
    /// Longitude \[rad\], east positive.
    pub longitude_rad: f64,
}

/// Pressure and temperature for the bending of light near the horizon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Pressure \[Pa\].
    pub pressure_pa: f64,
    /// Temperature \[K\].
    pub temperature_k: f64,
}

/// The sun at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sun {
    /// From straight up \[rad\], without refraction.
    pub zenith_rad: f64,
    /// As seen, bent by the air \[rad\].
    pub apparent_zenith_rad: f64,
    /// From north over east \[rad\].
    pub azimuth_rad: f64,
    /// Strength above the air, square to the rays \[W/m²\].
    pub extraterrestrial_w_m2: f64,
}

impl Sun {
    /// Sine of the apparent height, 0 below the horizon.
    #[must_use]
    pub fn height_sine(&self) -> f64 {
        self.apparent_zenith_rad.cos().max(0.0)
    }
}

impl Place {
    /// From degrees.
    #[must_use]
    pub fn of_degrees(latitude_deg: f64, longitude_deg: f64) -> Self {
        Self { latitude_rad: latitude_deg.to_radians(), longitude_rad: longitude_deg.to_radians() }
    }

    fn location(&self) -> Location {
        Location { latitude: self.latitude_rad.to_degrees(), longitude: self.longitude_rad.to_degrees() }
    }

    /// The sun at `unix_s` with standard air at sea level.
    /// # Errors
    /// [`SolarError::NoPosition`] for a latitude or time out of range.
    pub fn sun(&self, unix_s: f64) -> Result<Sun, SolarError> {
        self.sun_at(unix_s, 0.0, DELTA_T_S, Air { pressure_pa: 101_325.0, temperature_k: 285.15 })
    }

    /// The sun at `unix_s`, `height_m` above the sea.
    /// # Source
    /// Solar position algorithm of \[reda2004\] as computed by the crate `solar-positioning`.
    /// # Valid for
    /// Years -2000 to 6000.
    /// # Accuracy
    /// 0.0003° published; the bending of light near the horizon a few hundredths of a degree.
    /// # Errors
    /// [`SolarError::NoPosition`].
    /// # Example
    /// The worked example of \[reda2004\].
    /// ```
    /// # use wakewright_core::solar::position::{Air, unix_of_day};
    /// # use wakewright_core::solar::{Place, SolarError};
    /// let place = Place::of_degrees(39.742_476, -105.1786);
    /// let time = unix_of_day(2003, 10, 17).unwrap() + 19.5 * 3600.0 + 30.0;
    /// let air = Air { pressure_pa: 82_000.0, temperature_k: 284.15 };
    /// let sun = place.sun_at(time, 1830.14, 67.0, air)?;
    /// assert!((sun.apparent_zenith_rad.to_degrees() - 50.111_62).abs() < 1e-5);
    /// assert!((sun.azimuth_rad.to_degrees() - 194.340_24).abs() < 1e-5);
    /// # Ok::<(), SolarError>(())
    /// ```
    pub fn sun_at(&self, unix_s: f64, height_m: f64, delta_t_s: f64, air: Air) -> Result<Sun, SolarError> {
        let location = self.location();
        let missing = || SolarError::NoPosition {
            unix_s,
            latitude_deg: location.latitude,
            longitude_deg: location.longitude,
        };
        let refraction = RefractionCorrection::new(
            air.pressure_pa / 100.0,
            air.temperature_k - crate::constants::ZERO_CELSIUS_K,
        )
        .map_err(|_| missing())?;
        let time = JulianDate::new(UNIX_EPOCH_JD + unix_s / DAY_S, delta_t_s).map_err(|_| missing())?;
        let prepared = SolarPositions::new().for_time_from_julian(time).map_err(|_| missing())?;
        let plain = prepared.at(location, height_m, None).map_err(|_| missing())?;
        let seen = prepared.at(location, height_m, Some(refraction)).map_err(|_| missing())?;
        Ok(Sun {
            zenith_rad: plain.zenith_angle().to_radians(),
            apparent_zenith_rad: seen.zenith_angle().to_radians(),
            azimuth_rad: plain.azimuth().to_radians(),
            extraterrestrial_w_m2: extraterrestrial_w_m2(day_of_year(unix_s)),
        })
    }

    /// Rising and setting in the 24 hours from `unix_s` \[Unix s\]; `None` for what does not happen.
    /// # Source
    /// \[reda2004\]; upper edge of the sun, 0.833° below the horizon for refraction and radius.
    /// # Example
    /// An independent evaluation, 20 March 2025 at 50.1° N 5.5° W: 06:24:26 and 18:35:14 UTC.
    /// ```
    /// # use wakewright_core::solar::Place;
    /// # use wakewright_core::solar::position::unix_of_day;
    /// let midnight = unix_of_day(2025, 3, 20).unwrap();
    /// let (rise, set) = Place::of_degrees(50.1, -5.5).rise_and_set(midnight);
    /// assert!((rise.unwrap() - midnight - 23_066.0).abs() < 2.0);
    /// assert!((set.unwrap() - midnight - 66_914.0).abs() < 2.0);
    /// ```
    #[must_use]
    pub fn rise_and_set(&self, unix_s: f64) -> (Option<f64>, Option<f64>) {
        let begin = UNIX_EPOCH_JD + unix_s / DAY_S;
        let (events, horizon) = (SolarEvents::new(), Horizon::SunriseSunset);
        let unix = |jd: f64| (jd - UNIX_EPOCH_JD) * DAY_S;
        let rise = events
            .next_rise_from_julian(begin, begin + 1.0, self.location(), DELTA_T_S, horizon)
            .ok()
            .flatten();
        let set = events
            .next_set_from_julian(begin, begin + 1.0, self.location(), DELTA_T_S, horizon)
            .ok()
            .flatten();
        (rise.map(unix), set.map(unix))
    }
}

/// Strength of the sun above the air on a day of the year, square to the rays \[W/m²\].
///
/// `1366.1 (1.00011 + 0.034221 cos B + 0.00128 sin B + 0.000719 cos 2B + 0.000077 sin 2B)`,
/// `B = 2 pi (day - 1) / 365`.
/// # Source
/// \[spencer1971\].
/// # Example
/// An independent evaluation, 21 January: 1411.67167 W/m².
/// ```
/// # use wakewright_core::solar::position::extraterrestrial_w_m2;
/// assert!((extraterrestrial_w_m2(21) - 1411.671_67).abs() < 1e-5);
/// ```
#[must_use]
pub fn extraterrestrial_w_m2(day_of_year: u32) -> f64 {
    let b = TAU * (f64::from(day_of_year) - 1.0) / 365.0;
    let factor = 1.000_11
        + 0.034_221 * b.cos()
        + 0.001_28 * b.sin()
        + 0.000_719 * (2.0 * b).cos()
        + 0.000_077 * (2.0 * b).sin();
    SOLAR_CONSTANT_W_M2 * factor
}

/// Mean strength on a horizontal plane above the air over a day of the year \[W/m²\].
///
/// `E/pi (cos phi cos delta sin ws + ws sin phi sin delta)` with the declination of \[cooper1969\] and
/// `E = 1367 (1 + 0.033 cos(2 pi n / 365))`.
/// # Source
/// \[duffie2013\], from memory; checked against a table computed from the same forms.
/// # Example
/// 17 January at 45° south, an independent evaluation of \[duffie2013\]: 11.91405 kWh/m².
/// ```
/// # use wakewright_core::solar::position::extraterrestrial_day_w_m2;
/// let kwh_m2 = extraterrestrial_day_w_m2((-45_f64).to_radians(), 17) * 24.0 / 1000.0;
/// assert!((kwh_m2 - 11.914_05).abs() < 6e-6);
/// ```
#[must_use]
pub fn extraterrestrial_day_w_m2(latitude_rad: f64, day_of_year: u32) -> f64 {
    let n = f64::from(day_of_year);
    let declination = 23.45_f64.to_radians() * (TAU * (284.0 + n) / 365.0).sin();
    let strength = 1367.0 * (1.0 + 0.033 * (TAU * n / 365.0).cos());
    let (sin_phi, cos_phi) = latitude_rad.sin_cos();
    let (sin_delta, cos_delta) = declination.sin_cos();
    // Beyond the polar circle the sun stays up or down: the sunset angle ends at 0 or pi.
    let denominator = cos_phi * cos_delta;
    let cos_ws = if denominator.abs() < 1e-12 {
        -(sin_phi * sin_delta).signum()
    } else {
        (-sin_phi * sin_delta / denominator).clamp(-1.0, 1.0)
    };
    let ws = cos_ws.acos();
    strength / PI * (cos_phi * cos_delta * ws.sin() + ws * sin_phi * sin_delta)
}

/// The day of a Unix time in UTC; before and after the calendar's years its first and last day.
#[must_use]
pub fn civil_day(unix_s: f64) -> Date {
    let days = Span::new().days((unix_s / DAY_S).floor().clamp(-4e6, 4e6) as i64);
    EPOCH.saturating_add(days)
}

/// Unix time of midnight UTC that begins a day \[s\]; `None` where there is no such day.
#[must_use]
pub fn unix_of_day(year: i64, month: u32, day: u32) -> Option<f64> {
    let date = Date::new(year.try_into().ok()?, month.try_into().ok()?, day.try_into().ok()?).ok()?;
    Some(date.duration_since(EPOCH).as_secs() as f64)
}

/// Day of the year of a Unix time, from 1.
#[must_use]
pub fn day_of_year(unix_s: f64) -> u32 {
    civil_day(unix_s).day_of_year().unsigned_abs().into()
}
