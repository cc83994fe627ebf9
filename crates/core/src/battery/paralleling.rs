//! Joining packs: what flows when they stand at different voltages.
//! Not for: sharing a load between packs that are equal (`bank`).

/// Largest difference at which packs may be joined directly \[V\]. From a maker's guide for
/// battery management systems \[bmsguide2023\].
pub const JOINING_LIMIT_V: f64 = 0.1;

/// First current between two packs joined at different voltages \[A\]: difference over the whole
/// loop (both packs, links, cables).
///
/// # Source
/// Ohm's law; the published example is 5 V over 10 mΩ \[paralleling2021\].
/// # Example
/// ```
/// # use wakewright_core::battery::paralleling::equalising_current_a;
/// assert!((equalising_current_a(5.0, 0.010) - 500.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn equalising_current_a(difference_v: f64, loop_resistance_ohm: f64) -> f64 {
    difference_v / loop_resistance_ohm
}
