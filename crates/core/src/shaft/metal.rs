//! Metals of shafts and hubs. Not for: strength.

/// A metal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Metal {
    /// Stainless steel 316 and its like.
    #[default]
    Stainless,
    /// Duplex stainless steel.
    Duplex,
    /// Age-hardened stainless steel.
    AgeHardened,
    /// Nickel-copper alloy.
    NickelCopper,
    /// Manganese bronze and bronze shafting.
    Bronze,
    /// Nickel-aluminium bronze.
    AluminiumBronze,
}

impl Metal {
    /// All, the usual one first.
    pub const ALL: [Self; 6] = [
        Self::Stainless,
        Self::Duplex,
        Self::AgeHardened,
        Self::NickelCopper,
        Self::Bronze,
        Self::AluminiumBronze,
    ];

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Stainless => "stainless",
            Self::Duplex => "duplex",
            Self::AgeHardened => "age-hardened",
            Self::NickelCopper => "nickel-copper",
            Self::Bronze => "bronze",
            Self::AluminiumBronze => "aluminium-bronze",
        }
    }

    /// Modulus of elasticity \[Pa\], density \[kg/m³\], thermal expansion \[1/K\].
    ///
    /// Source: modulus and density of 304, age-hardened steel and bronze as in \[shaftspacing\]; the rest, and expansion of all, from
    /// memory.
    #[must_use]
    pub const fn properties(self) -> (f64, f64, f64) {
        match self {
            Self::Stainless => (193.0e9, 8000.0, 16.0e-6),
            Self::Duplex => (200.0e9, 7800.0, 13.0e-6),
            Self::AgeHardened => (196.5e9, 7861.0, 11.0e-6),
            Self::NickelCopper => (179.0e9, 8830.0, 14.0e-6),
            Self::Bronze => (110.3e9, 8415.0, 20.0e-6),
            Self::AluminiumBronze => (120.0e9, 7600.0, 16.5e-6),
        }
    }
}

/// How much a hub opens on its shaft, on the diameter \[m\]: `d (a_hub T_hub - a_shaft T_shaft)`, warmed by so many kelvin each.
///
/// # Source
/// Textbook expansion; expansions of the metals from memory.
/// # Accuracy
/// Some tenths of what is found: alloys differ, and a hub is never of one temperature.
/// # Example
/// By hand, 30 mm, a hub of manganese bronze 80 K warmer, a shaft of 316 20 K: 0.038 mm.
/// ```
/// # use wakewright_core::shaft::{Metal, hub_gap_m};
/// let gap_m = hub_gap_m(0.030, (Metal::Bronze, 80.0), (Metal::Stainless, 20.0));
/// assert!((gap_m - 0.038e-3).abs() < 0.001e-3);
/// ```
#[must_use]
pub fn hub_gap_m(diameter_m: f64, hub: (Metal, f64), shaft: (Metal, f64)) -> f64 {
    diameter_m * (hub.0.properties().2 * hub.1 - shaft.0.properties().2 * shaft.1)
}
