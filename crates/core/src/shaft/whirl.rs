//! The first whirling of a span with what hangs on it. Not for: gyroscopic effect, soft bearings, further modes.

use std::f64::consts::{FRAC_PI_8, PI, TAU};

use super::metal::Metal;
use crate::constants::GRAVITY_M_S2;

fn second_moment_m4(diameter_m: f64) -> f64 {
    PI * diameter_m.powi(4) / 64.0
}

/// Revolutions at which a massless spring with a mass on it whirls, by the sag that its weight makes: `sqrt(g / sag) / 2 pi` \[rev/s\].
///
/// # Source
/// Textbook; printed deflection of a machine-design example, see `reference/mechanics/critical_speed.csv`.
/// # Example
/// A sag of 1 mm: 15.8 Hz, by hand.
/// ```
/// # use wakewright_core::shaft::natural_rev_s;
/// assert!((natural_rev_s(0.001) - 15.76).abs() < 0.01);
/// ```
#[must_use]
pub fn natural_rev_s(sag_m: f64) -> f64 {
    (GRAVITY_M_S2 / sag_m).sqrt() / TAU
}

/// Sag of a propeller of `mass_kg` that hangs `overhang_m` behind the last bearing of a span of `span_m` \[m\]:
/// `m g a² (L + a) / (3 E I)`.
///
/// # Source
/// Textbook beam on simple supports; `reference/mechanics/critical_speed.csv` rows 3 and 4.
/// # Example
/// 25 mm stainless, span 1.2 m, overhang 0.15 m, 6 kg: 2,356.9 rpm.
/// ```
/// # use wakewright_core::shaft::{Metal, natural_rev_s, overhung_sag_m};
/// let sag_m = overhung_sag_m(Metal::Stainless, 0.025, 1.2, 0.15, 6.0);
/// assert!((60.0 * natural_rev_s(sag_m) - 2356.9).abs() < 0.5);
/// ```
#[must_use]
pub fn overhung_sag_m(metal: Metal, diameter_m: f64, span_m: f64, overhang_m: f64, mass_kg: f64) -> f64 {
    mass_kg * GRAVITY_M_S2 * overhang_m * overhang_m * (span_m + overhang_m)
        / (3.0 * metal.properties().0 * second_moment_m4(diameter_m))
}

/// Revolutions at which the span by itself whirls, simply supported: `(pi / 8) (D / L²) sqrt(E / rho)` \[rev/s\].
///
/// # Source
/// Textbook; the handbook's spacing of bearings is this length without margin (`reference/mechanics/shaft_bearing_spacing.csv`).
/// # Valid for
/// Solid round shafts on two bearings that only hold them up; stiff bearings raise it up to 2.27 times.
/// # Example
/// 25 mm stainless over 1.2 m: 2,009 rpm.
/// ```
/// # use wakewright_core::shaft::{Metal, span_rev_s};
/// assert!((60.0 * span_rev_s(Metal::Stainless, 0.025, 1.2) - 2009.2).abs() < 0.5);
/// ```
#[must_use]
pub fn span_rev_s(metal: Metal, diameter_m: f64, span_m: f64) -> f64 {
    let (modulus_pa, density_kg_m3, _) = metal.properties();
    FRAC_PI_8 * diameter_m / (span_m * span_m) * (modulus_pa / density_kg_m3).sqrt()
}

/// Two of them together, by Dunkerley: a lower bound \[rev/s\].
///
/// # Source
/// Textbook; `reference/mechanics/critical_speed.csv` rows 3 and 4.
/// # Example
/// 2,356.9 and 2,009.2 rpm together: 1,529 rpm.
/// ```
/// # use wakewright_core::shaft::together_rev_s;
/// assert!((together_rev_s(2356.9, 2009.2) - 1529.0).abs() < 0.1);
/// ```
#[must_use]
pub fn together_rev_s(one_rev_s: f64, other_rev_s: f64) -> f64 {
    (one_rev_s.powi(-2) + other_rev_s.powi(-2)).powf(-0.5)
}

/// The span that whirls at `rev_s`: the handbook's greatest spacing of bearings \[m\].
///
/// # Source
/// \[shaftspacing\]: `L = sqrt(3.21 D / n) (E / rho)^(1/4)` in its units, which is the whirling length.
/// # Example
/// Bronze of 1 in at 2,000 rpm: 3.41 ft.
/// ```
/// # use wakewright_core::shaft::{Metal, bearing_spacing_m};
/// assert!((bearing_spacing_m(Metal::Bronze, 0.0254, 2000.0 / 60.0) / 0.3048 - 3.412).abs() < 0.004);
/// ```
#[must_use]
pub fn bearing_spacing_m(metal: Metal, diameter_m: f64, rev_s: f64) -> f64 {
    (span_rev_s(metal, diameter_m, 1.0) / rev_s).sqrt()
}
