//! Conversion factors, each defined once: SI units per unit named. All are exact by definition
//! unless said otherwise.
//!
//! Source of the definitions: \[thompson2008\] appendix B and \[bipm2019\]; checked against
//! \[grecco2025\] to twelve digits. Not for: physical constants of the computations.

/// Inch \[m\], international inch of 1959.
pub const INCH_M: f64 = 0.0254;
/// Foot \[m\], international foot: 12 in.
pub const FOOT_M: f64 = 0.3048;
/// Yard \[m\]: 3 ft.
pub const YARD_M: f64 = 0.9144;
/// Nautical mile \[m\], international.
pub const NAUTICAL_MILE_M: f64 = 1852.0;
/// Statute mile \[m\]: 5280 ft.
pub const MILE_M: f64 = 1609.344;
/// Minute \[s\].
pub const MINUTE_S: f64 = 60.0;
/// Hour \[s\].
pub const HOUR_S: f64 = 3600.0;
/// Day \[s\].
pub const DAY_S: f64 = 86_400.0;
/// Month \[s\]: a twelfth of a year of 365.25 days. A convention of this project.
pub const MONTH_S: f64 = 365.25 * DAY_S / 12.0;
/// Year \[s\]: 365.25 days (Julian year).
pub const YEAR_S: f64 = 365.25 * DAY_S;
/// Knot \[m/s\]: one nautical mile in an hour.
pub const KNOT_M_S: f64 = NAUTICAL_MILE_M / HOUR_S;
/// Pound \[kg\], international avoirdupois pound of 1959.
pub const POUND_KG: f64 = 0.453_592_37;
/// Ounce \[kg\]: a sixteenth of a pound.
pub const OUNCE_KG: f64 = POUND_KG / 16.0;
/// Long ton \[kg\]: 2240 lb.
pub const LONG_TON_KG: f64 = 2240.0 * POUND_KG;
/// Short ton \[kg\]: 2000 lb.
pub const SHORT_TON_KG: f64 = 2000.0 * POUND_KG;
/// Kilogram-force \[N\], from the conventional acceleration of gravity.
pub const KILOGRAM_FORCE_N: f64 = 9.806_65;
/// Pound-force \[N\].
pub const POUND_FORCE_N: f64 = POUND_KG * KILOGRAM_FORCE_N;
/// Horsepower \[W\]: 550 ft lbf/s.
pub const HORSEPOWER_W: f64 = 550.0 * FOOT_M * POUND_FORCE_N;
/// Metric horsepower \[W\]: 75 kgf m/s.
pub const METRIC_HORSEPOWER_W: f64 = 75.0 * KILOGRAM_FORCE_N;
/// Watt-hour \[J\].
pub const WATT_HOUR_J: f64 = 3600.0;
/// Ampere-hour \[C\].
pub const AMPERE_HOUR_C: f64 = 3600.0;
/// Revolution per minute \[rev/s\].
pub const RPM_REV_S: f64 = 1.0 / 60.0;
/// Degree of angle \[rad\].
pub const DEGREE_RAD: f64 = std::f64::consts::PI / 180.0;
/// Zero of the Celsius scale \[K\].
pub const ZERO_CELSIUS_K: f64 = 273.15;
/// Zero of the Fahrenheit scale \[K\]: 459.67 Fahrenheit degrees above absolute zero.
pub const ZERO_FAHRENHEIT_K: f64 = 459.67 * FAHRENHEIT_DEGREE_K;
/// A Fahrenheit degree as a difference \[K\].
pub const FAHRENHEIT_DEGREE_K: f64 = 5.0 / 9.0;
/// Gallon of the United States \[m³\]: 231 cubic inches.
pub const US_GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
/// Imperial gallon \[m³\].
pub const IMPERIAL_GALLON_M3: f64 = 4.546_09e-3;
/// Pound-force per square inch \[Pa\].
pub const PSI_PA: f64 = POUND_FORCE_N / (INCH_M * INCH_M);
/// Millibar \[Pa\].
pub const MILLIBAR_PA: f64 = 100.0;
