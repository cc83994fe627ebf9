//! The motor turned astern as hard as its limits allow: pull against a quay, and the crash stop from
//! full speed.
//! Not for: manoeuvring, the way she sheers, wind and stream on the quarter.

use super::{PreparedBoat, ShaftPoint};
use crate::boat::Stern;
use crate::field;
use crate::propeller::{FourQuadrant, Pattern};
use crate::spread::name_number;

/// Water that moves with her when she slows, as a share of her mass: 5 to 10 % for slender hulls,
/// from memory.
pub const ADDED_MASS_FRACTION: f64 = 0.07;

/// Name under which the thrust astern is sampled, the same wherever it is asked for.
pub const ASTERN: u64 = name_number(field::model::PROPELLER_ASTERN);

/// How she stops.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrashStop {
    /// Way through the water until she lies still \[m\].
    pub distance_m: f64,
    /// Time \[s\].
    pub duration_s: f64,
}

/// Intervals of the integration along speed (Simpson's rule).
const INTERVALS: usize = 16;

/// Slowest shaft that counts as turning \[rev/s\], and the fastest tried.
const SHAFT_RANGE_REV_S: (f64, f64) = (0.02, 120.0);

/// The propeller all around; `None` where it is not known astern: folding blades are held open by their
/// turning alone and give much less there (from memory; no measured set could be read).
fn known_astern(boat: &PreparedBoat) -> Option<FourQuadrant> {
    if boat.propeller().propeller().pattern == Pattern::Folding {
        return None;
    }
    Some(FourQuadrant::new(boat.propeller()).ok()?.value)
}

/// Stops her from `speed_m_s`; `None` when nothing brakes her, or with folding blades.
///
/// `m (1 + 0.07) v dv = -F(v) ds`, `F = R(v) - (1 - t) T(v)` with the propeller astern at the highest
/// revolutions at which motor, controller and bank stay within their limits; where they cannot even hold
/// the shaft, it turns ahead against all the torque that they give. Wake and thrust deduction stay those
/// of driving ahead. The clock starts when the shaft turns astern.
/// # Source
/// Newton's law; propeller \[smogeli2006\] as carried over in `propeller::four_quadrant`.
/// # Accuracy
/// Estimate: the thrust astern is known to ±30 %; `astern_factor` carries a sample of it.
/// # Example
/// By hand, so strong a head wind that the force hardly changes: way `m v² / 2F`, time `m v / F`.
/// ```
/// # use wakewright_core::steady::{ADDED_MASS_FRACTION, PreparedBoat, crash_stop};
/// # use wakewright_records::boat::{BoatDocument, build_spec};
/// # let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/sea_campion.toml");
/// # let document = BoatDocument::parse(&std::fs::read_to_string(path).unwrap()).unwrap();
/// # let mut boat = build_spec(&document).unwrap().boat;
/// boat.sea.true_head_wind_m_s = 30.0;
/// let prepared = PreparedBoat::new(&boat).unwrap().value;
/// let (mass_kg, speed_m_s) = (boat.form.displacement_kg, 0.1);
/// let stop = crash_stop(&prepared, &boat.stern, mass_kg, speed_m_s, 0.0).unwrap();
/// let force_n = prepared.hull().resistance_n(0.5 * speed_m_s);
/// let way_m = mass_kg * (1.0 + ADDED_MASS_FRACTION) * speed_m_s.powi(2) / (2.0 * force_n);
/// assert!((stop.distance_m / way_m - 1.0).abs() < 0.01);
/// ```
#[must_use]
pub fn crash_stop(
    boat: &PreparedBoat,
    stern: &Stern,
    mass_kg: f64,
    speed_m_s: f64,
    astern_factor: f64,
) -> Option<CrashStop> {
    let propeller = known_astern(boat)?;
    let force = |speed: f64| braking_force_n(boat, &propeller, stern, speed, astern_factor);
    stop_under(force, mass_kg * (1.0 + ADDED_MASS_FRACTION), speed_m_s)
}

/// Pull astern against a quay at the limits of the drive \[N\], above zero; `None` when the propeller
/// cannot be computed there, or with folding blades.
/// # Source
/// \[smogeli2006\] as carried over in `propeller::four_quadrant`; set beside [`PreparedBoat::bollard`], which
/// is the same question ahead.
/// # Accuracy
/// As [`crash_stop`].
/// # Example
/// Common practice, no source: a half to nine tenths of the pull ahead.
/// ```
/// # use wakewright_core::steady::{PreparedBoat, bollard_astern_n};
/// # use wakewright_records::boat::{BoatDocument, build_spec};
/// # let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/sea_campion.toml");
/// # let document = BoatDocument::parse(&std::fs::read_to_string(path).unwrap()).unwrap();
/// # let mut boat = build_spec(&document).unwrap().boat;
/// let prepared = PreparedBoat::new(&boat).unwrap().value;
/// let ahead_n = prepared.bollard().unwrap().thrust_n;
/// assert!((0.5..0.95).contains(&(bollard_astern_n(&prepared, 1.0).unwrap() / ahead_n)));
/// ```
#[must_use]
pub fn bollard_astern_n(boat: &PreparedBoat, astern_factor: f64) -> Option<f64> {
    let propeller = known_astern(boat)?;
    Some(-boat.running() * astern_factor * astern_thrust_n(boat, &propeller, 0.0))
}

/// Stops a moving mass under a force that depends on its speed: `s = ∫ m v / F dv`, `t = ∫ m / F dv`.
fn stop_under(force_n: impl Fn(f64) -> f64, moving_kg: f64, speed_m_s: f64) -> Option<CrashStop> {
    let step = speed_m_s / INTERVALS as f64;
    let (mut distance, mut duration) = (0.0, 0.0);
    for i in 0..=INTERVALS {
        let speed = step * i as f64;
        let force = force_n(speed);
        if force.is_nan() || force <= 0.0 {
            return None;
        }
        let weight = match i {
            0 | INTERVALS => 1.0,
            _ if i % 2 == 1 => 4.0,
            _ => 2.0,
        };
        distance += weight * moving_kg * speed / force;
        duration += weight * moving_kg / force;
    }
    Some(CrashStop { distance_m: distance * step / 3.0, duration_s: duration * step / 3.0 })
}

/// Force that slows her at `speed_m_s` \[N\].
fn braking_force_n(
    boat: &PreparedBoat,
    propeller: &FourQuadrant,
    stern: &Stern,
    speed_m_s: f64,
    astern_factor: f64,
) -> f64 {
    let advance = speed_m_s * (1.0 - stern.wake_fraction);
    let thrust = boat.running() * astern_thrust_n(boat, propeller, advance);
    boat.hull().resistance_n(speed_m_s) - (1.0 - stern.thrust_deduction) * astern_factor * thrust
}

/// Thrust of the propeller turned astern at the limits of the drive, below zero \[N\].
fn astern_thrust_n(boat: &PreparedBoat, propeller: &FourQuadrant, advance_m_s: f64) -> f64 {
    let share = |shaft_rev_s: f64| {
        let torque = propeller.torque_n_m(advance_m_s, -shaft_rev_s);
        boat.drive_share(ShaftPoint { shaft_rev_s, torque_n_m: (-torque).max(0.0) })
    };
    let (slowest, fastest) = SHAFT_RANGE_REV_S;
    let line = boat.drive_line();
    let friction = line.bearing_torque_n_m + line.reduction_drag_n_m * line.ratio;
    if share(slowest) > 1.0 {
        let motor_torque = boat.controller().phase_current_limit_a * boat.motor().torque_constant_n_m_a;
        let brake = motor_torque * boat.drive_line().ratio;
        return -propeller.turning_against_brake(advance_m_s, brake, friction).drag_n;
    }
    // A few halvings on a logarithmic scale, then secants: the share rises throughout.
    let (mut low, mut high) = (slowest, fastest);
    let mut middle = 0.5 * boat.motor().rated_speed_rad_s / std::f64::consts::TAU / boat.drive_line().ratio;
    for _ in 0..40 {
        let excess = share(middle).ln();
        if excess.abs() < 1e-4 {
            break;
        }
        if excess > 0.0 {
            high = middle;
        } else {
            low = middle;
        }
        let guess = middle * (-0.6 * excess).exp();
        middle = if guess > low && guess < high { guess } else { (low * high).sqrt() };
    }
    propeller.thrust_torque(advance_m_s, -middle).0
}

#[cfg(test)]
mod tests {
    use super::stop_under;

    /// A constant force: s = m v² / (2 F), t = m v / F.
    #[test]
    fn constant_force_as_in_closed_form() {
        let stop = stop_under(|_| 500.0, 6000.0, 2.5).unwrap();
        assert!((stop.distance_m - 6000.0 * 6.25 / 1000.0).abs() < 1e-9, "{stop:?}");
        assert!((stop.duration_s - 30.0).abs() < 1e-9);
    }

    /// F = a + b v²: s = m / (2 b) ln(1 + b v² / a), t = m / sqrt(a b) atan(v sqrt(b / a)).
    #[test]
    fn square_law_as_in_closed_form() {
        let (a, b, mass, speed) = (300.0_f64, 90.0_f64, 5000.0, 3.0_f64);
        let stop = stop_under(|v| a + b * v * v, mass, speed).unwrap();
        let distance = mass / (2.0 * b) * (1.0 + b * speed * speed / a).ln();
        let duration = mass / (a * b).sqrt() * (speed * (b / a).sqrt()).atan();
        assert!((stop.distance_m / distance - 1.0).abs() < 1e-4, "{stop:?} {distance}");
        assert!((stop.duration_s / duration - 1.0).abs() < 1e-4, "{stop:?} {duration}");
    }

    #[test]
    fn nothing_that_brakes_never_stops() {
        assert_eq!(stop_under(|v| v - 1.0, 1000.0, 2.0), None);
    }
}
