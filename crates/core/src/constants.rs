//! Physical constants, each defined once with its source.
//! Not for: coefficients of a published formula (those stand beside the formula).

/// Standard acceleration of gravity \[m/s²\]. Source: \[bipm2019\] (conventional value).
pub const GRAVITY_M_S2: f64 = 9.806_65;

/// Standard atmosphere \[Pa\]. Source: \[bipm2019\] (conventional value).
pub const ATMOSPHERE_PA: f64 = 101_325.0;

pub use wakewright_units::factors::ZERO_CELSIUS_K;

/// Molar gas constant \[J/(mol K)\]. Source: \[bipm2019\] (exact to the digits given).
pub const GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618;
