//! Sizes of the blades that follow from diameter, blade number and area ratio.
//! Not for: what fits under the boat (`installation`).

use std::f64::consts::FRAC_PI_4;

use crate::spread::Interval;

/// Disc area `pi/4 D²` \[m²\].
#[must_use]
pub fn disc_area_m2(diameter_m: f64) -> f64 {
    FRAC_PI_4 * diameter_m * diameter_m
}

/// Expanded area of all blades \[m²\].
#[must_use]
pub fn expanded_area_m2(diameter_m: f64, area_ratio: f64) -> f64 {
    area_ratio * disc_area_m2(diameter_m)
}

/// Developed area \[m²\], taken equal to the expanded area: for blades of little skew they differ by
/// a few per cent (common practice, no source).
#[must_use]
pub fn developed_area_m2(diameter_m: f64, area_ratio: f64) -> f64 {
    expanded_area_m2(diameter_m, area_ratio)
}

/// Projected area of all blades \[m²\].
///
/// `AP = AD (1.067 - 0.229 P/D)`.
/// # Source
/// \[ufc2005\]; the same relation is used with the diagram of \[burrill1943\].
/// # Valid for
/// Source states no range; P/D 0.5 to 1.5 in use.
/// # Example
/// By hand: 0.5 x pi / 4 x 0.4² m² x (1.067 - 0.229 x 0.75) = 0.05625 m².
/// ```
/// # use wakewright_core::propeller::geometry::projected_area_m2;
/// assert!((projected_area_m2(0.4, 0.5, 0.75) - 0.05625).abs() < 5e-6);
/// ```
#[must_use]
pub fn projected_area_m2(diameter_m: f64, area_ratio: f64, pitch_ratio: f64) -> f64 {
    developed_area_m2(diameter_m, area_ratio) * (1.067 - 0.229 * pitch_ratio)
}

/// Chord of one blade at 0.75R \[m\].
///
/// `c = 2.073 (AE/A0) D / Z`.
/// # Source
/// \[oosterveld1975\]; reproduces c = 3.065 m of the example in \[holtrop1982\].
/// # Valid for
/// B-series outlines.
/// # Example
/// ```
/// # use wakewright_core::propeller::geometry::chord_075_m;
/// assert!((chord_075_m(8.0, 0.7393, 4) - 3.065).abs() < 0.0005);
/// ```
#[must_use]
pub fn chord_075_m(diameter_m: f64, area_ratio: f64, blades: u8) -> f64 {
    2.073 * area_ratio * diameter_m / f64::from(blades)
}

/// Thickness over chord at 0.75R.
///
/// `t/c = (0.0185 - 0.00125 Z) D / c`.
/// # Source
/// \[holtrop1982\]; reproduces t/c = 0.03524 of its example.
/// # Valid for
/// B-series blades.
/// # Example
/// ```
/// # use wakewright_core::propeller::geometry::thickness_ratio_075;
/// assert!((thickness_ratio_075(8.0, 3.065, 4) - 0.035_24).abs() < 2e-5);
/// ```
#[must_use]
pub fn thickness_ratio_075(diameter_m: f64, chord_m: f64, blades: u8) -> f64 {
    (0.0185 - 0.00125 * f64::from(blades)) * diameter_m / chord_m
}

/// Mass of a fixed bronze propeller that nobody weighed, dry \[kg\]: `115 kg/m³ D³ Z / 3`, with a band of three tenths either way.
/// # Source
/// From memory of what such propellers of three blades weigh between 12 and 20 inches; no published table was found.
/// # Valid for
/// Fixed blades of bronze; folding and feathering ones are heavier, composite ones lighter.
/// # Example
/// By hand: three blades of 0.5 m, 115 x 0.125 = 14.4 kg.
/// ```
/// # use wakewright_core::propeller::geometry::usual_mass_kg;
/// assert!((usual_mass_kg(0.5, 3).value - 14.375).abs() < 1e-9);
/// ```
#[must_use]
pub fn usual_mass_kg(diameter_m: f64, blades: u8) -> Interval {
    let value = 115.0 * diameter_m.powi(3) * f64::from(blades) / 3.0;
    Interval { value, p10: 0.7 * value, p90: 1.3 * value }
}
