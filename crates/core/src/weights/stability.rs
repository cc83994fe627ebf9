//! Metacentric height by a weight that is moved and by the period of a roll. Not for: angles beyond a few degrees.

use wakewright_units::factors::FOOT_M;

/// Metacentric height by an inclining test, `GM = m d / (D tan(heel))` \[m\]: `moved_kg` carried `by_m` across a boat of
/// `displacement_kg`.
///
/// # Source
/// Textbook statics; printed answers of \[nicholls1905\] exercises 18 and 19.
/// # Valid for
/// Heels of 1 to 4 degrees, lines slack, tanks full or empty, no wind, everybody where they were.
/// # Accuracy
/// The error of the displacement goes straight into it.
/// # Example
/// 100 tons moved 30 ft heel 9,000 tons by 8 degrees: 2.37 ft.
/// ```
/// # use wakewright_core::weights::gm_by_inclining_m;
/// let gm_ft = gm_by_inclining_m(100.0, 30.0, 8.0_f64.to_radians(), 9000.0);
/// assert!((gm_ft - 2.37).abs() < 0.005);
/// ```
#[must_use]
pub fn gm_by_inclining_m(moved_kg: f64, by_m: f64, heel_rad: f64, displacement_kg: f64) -> f64 {
    moved_kg * by_m / (displacement_kg * heel_rad.tan())
}

/// Metacentric height by the period of a whole roll, port to port, `T = C B / sqrt(GM)` with B and GM in feet \[m\].
///
/// # Source
/// C of 0.44 as asked in deck examinations of the US Coast Guard; 0.36 to 0.50 for small craft, from memory.
/// # Valid for
/// Small free rolls in still water, lines slack, all aboard seated.
/// # Accuracy
/// That of C, squared: a factor of two either way. The ratio of two periods of one boat is the usable figure.
/// # Example
/// A beam of 21 ft and a period of 6 s: 2.37 ft.
/// ```
/// # use wakewright_core::weights::gm_by_roll_m;
/// let gm_m = gm_by_roll_m(21.0 * 0.3048, 6.0, 0.44);
/// assert!((gm_m / 0.3048 - 2.37).abs() < 0.005);
/// ```
#[must_use]
pub fn gm_by_roll_m(beam_m: f64, period_s: f64, constant: f64) -> f64 {
    let root = constant * (beam_m / FOOT_M) / period_s;
    root * root * FOOT_M
}

/// Metacentric height after over that before, by the periods of the same boat with the same rig: `(T1 / T2)²`.
///
/// # Source
/// The same formula, its constant taken out; it moves a little where masses move outward.
/// # Example
/// By hand: 4.0 s that become 4.4 s leave 83 % of it.
/// ```
/// # use wakewright_core::weights::gm_ratio_by_roll;
/// assert!((gm_ratio_by_roll(4.0, 4.4) - 0.826).abs() < 0.001);
/// ```
#[must_use]
pub fn gm_ratio_by_roll(before_s: f64, after_s: f64) -> f64 {
    (before_s / after_s).powi(2)
}
