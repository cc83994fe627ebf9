//! A conductor where it lies: amperes that its bundle and space leave it, resistance warm, the short circuit that it
//! survives, the inductance of a run. Not for: stock sizes (`size`).

use super::size::{Insulation, Size, Strand};

/// Rise of the resistance of copper for each kelvin, referred to 20 °C. Source: \[iec60228-2004\].
const COPPER_1_K: f64 = 0.003_93;
/// Air for which the table of amperes holds \[°C\].
const TABLE_AIR_C: f64 = 30.0;
/// Air of an engine space in the same table \[°C\].
const ENGINE_SPACE_C: f64 = 50.0;
/// Magnetic constant over pi \[H/m\].
const MU0_OVER_PI: f64 = 4.0e-7;

/// What is left of the amperes where so many conductors that carry current lie in one bundle.
///
/// # Source
/// \[cfr183-435\]: binds where each of three or more carries 50 V or more. 25 and more from one reading.
/// # Valid for
/// Bundles, ducts and cables along more than a short way; below 50 V the rule sets no limit.
/// # Accuracy
/// As printed.
/// # Example
/// ```
/// # use wakewright_core::wiring::bundling_factor;
/// assert_eq!([2, 3, 6, 7, 25].map(bundling_factor), [1.0, 0.7, 0.6, 0.5, 0.4]);
/// ```
#[must_use]
pub fn bundling_factor(conductors: u32) -> f64 {
    match conductors {
        0..=2 => 1.0,
        3 => 0.7,
        4..=6 => 0.6,
        7..=24 => 0.5,
        _ => 0.4,
    }
}

/// What is left of the amperes in air warmer (or colder) than that of the table.
///
/// `sqrt((Tc - Ta)/(Tc - 30))`, Tc the insulation's rating, by steps of 5 °C, each by its warmer end; in an engine space of 50 °C the table's own factor.
/// # Source
/// \[cfr183-425\] note 1 at 50 °C; elsewhere heat in proportion to the rise, which gives those factors within 0.01
/// but that of 200 °C.
/// # Valid for
/// Air below the insulation's rating; 0 at and above it.
/// # Accuracy
/// As told.
/// # Example
/// A code's table at 49 °C, 90 °C insulation: 0.82 \[nec310\].
/// ```
/// # use wakewright_core::wiring::{Insulation, ambient_factor};
/// assert!((ambient_factor(Insulation::C90, 49.0) - 0.82).abs() < 0.01);
/// assert_eq!(ambient_factor(Insulation::C105, 50.0), 0.85);
/// ```
#[must_use]
pub fn ambient_factor(insulation: Insulation, air_c: f64) -> f64 {
    // As the tables have it: by steps of 5 °C, each by its warmer end.
    let air_c = 5.0 * (air_c / 5.0 - 1e-9).ceil();
    if (air_c - ENGINE_SPACE_C).abs() < 0.5 {
        return insulation.engine_space_factor();
    }
    let rated_c = insulation.rated_c();
    ((rated_c - air_c) / (rated_c - TABLE_AIR_C)).max(0.0).sqrt()
}

/// Amperes of a conductor where it lies \[A\]; `None` beyond the table.
/// # Source
/// [`Size::ampacity_a`], [`ambient_factor`], [`bundling_factor`].
/// # Valid for
/// As those.
/// # Accuracy
/// As those.
/// # Example
/// \[cfr183-425\] as a cable catalogue reckons it: 4/0, 105 °C, four to six together in an engine space: 227 A.
/// ```
/// # use wakewright_core::wiring::{Insulation, Size, allowed_a};
/// let allowed = allowed_a(Size::parse("4/0 AWG").unwrap(), Insulation::C105, 50.0, 5).unwrap();
/// assert!((allowed - 227.0).abs() < 0.1);
/// ```
#[must_use]
pub fn allowed_a(size: Size, insulation: Insulation, air_c: f64, together: u32) -> Option<f64> {
    Some(size.ampacity_a(insulation)? * ambient_factor(insulation, air_c) * bundling_factor(together))
}

/// Resistance of a run of two conductors, there and back \[ohm\]: `2 l r20 (1 + 0.00393 (T - 20 °C))`.
/// # Source
/// \[iec60228-2004\].
/// # Valid for
/// Copper, 0 to 200 °C.
/// # Accuracy
/// Tables give the greatest; lugs and joints come on top.
/// # Example
/// By hand: 125 A through 3 m there and 3 m back of 35 mm², tinned and flexible, lose 0.490 V at 60 °C.
/// ```
/// # use wakewright_core::wiring::{Size, Strand, run_resistance_ohm};
/// let ohm = run_resistance_ohm(Size::parse("35 mm2").unwrap(), Strand::FlexibleTinned, 3.0, 60.0);
/// assert!((125.0 * ohm - 0.490).abs() < 5e-4);
/// ```
#[must_use]
pub fn run_resistance_ohm(size: Size, strand: Strand, length_m: f64, copper_c: f64) -> f64 {
    2.0 * length_m * size.resistance_ohm_m(strand) * (1.0 + COPPER_1_K * (copper_c - 20.0))
}

/// Heat that copper stores in a short circuit \[A s^0.5/mm²\]: `k = 226 sqrt(ln((234.5 + Tf)/(234.5 + Ti)))`.
/// # Source
/// \[iec60364-5-54\], adiabatic; gives the published values of six kinds of insulation within 0.4 %.
/// # Valid for
/// Faults of at most 5 s.
/// # Accuracy
/// As told.
/// # Example
/// Insulation of 90 °C that stands 250 °C: 143.
/// ```
/// # use wakewright_core::wiring::short_circuit_k;
/// assert!((short_circuit_k(90.0, 250.0) - 143.0).abs() < 0.5);
/// ```
#[must_use]
pub fn short_circuit_k(start_c: f64, end_c: f64) -> f64 {
    226.0 * ((234.5 + end_c) / (234.5 + start_c)).ln().sqrt()
}

/// What a conductor survives of a short circuit, `k² S²` \[A² s\]; insulation of up to 105 °C ends at 160 °C, of 125 °C at
/// 250, of 200 °C at 350 (from memory where the sheet does not say).
#[must_use]
pub fn withstands_a2s(size: Size, insulation: Insulation) -> f64 {
    let end_c = match insulation {
        Insulation::C125 => 250.0,
        Insulation::C200 => 350.0,
        _ => 160.0,
    };
    (short_circuit_k(insulation.rated_c(), end_c) * size.area_mm2()).powi(2)
}

/// Inductance of a run of two round conductors \[H\]: `mu0/pi (ln(D/r) + 1/4) l`, D between their middles.
/// # Source
/// Textbook; the bank's own is not in it, so it is a lower bound.
/// # Valid for
/// D of at least two radii; closer ones count as touching.
/// # Accuracy
/// Exact for straight parallel conductors.
/// # Example
/// By hand: 0.3 m apart, radius 4.5 mm: 1.780 uH for each metre; 12 mm apart 0.492.
/// ```
/// # use wakewright_core::wiring::run_inductance_h;
/// assert!((run_inductance_h(0.3, 0.0045, 1.0) * 1e6 - 1.780).abs() < 5e-4);
/// assert!((run_inductance_h(0.012, 0.0045, 1.0) * 1e6 - 0.492).abs() < 5e-4);
/// ```
#[must_use]
pub fn run_inductance_h(between_m: f64, radius_m: f64, length_m: f64) -> f64 {
    MU0_OVER_PI * ((between_m / radius_m).max(2.0).ln() + 0.25) * length_m
}

/// Cross-section that a drop asks for \[circular mil\]: `CM = 10.75 I L / E`, L there and back in feet.
/// # Source
/// \[wiredrop2020\].
/// # Valid for
/// Copper at about 29 °C.
/// # Accuracy
/// A rule of the trade; the run's own resistance goes before it.
/// # Example
/// 10 A over 21 ft at 3 % of 12 V: 6271 circular mils.
/// ```
/// # use wakewright_core::wiring::drop_area_circular_mil;
/// assert!((drop_area_circular_mil(10.0, 21.0, 0.36) - 6271.0).abs() < 0.5);
/// ```
#[must_use]
pub fn drop_area_circular_mil(current_a: f64, there_and_back_ft: f64, drop_v: f64) -> f64 {
    10.75 * current_a * there_and_back_ft / drop_v
}
