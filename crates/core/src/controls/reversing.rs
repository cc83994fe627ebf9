//! The lever thrown from full ahead to full astern: shaft, belt and thrust by time, with the propeller in all four
//! quadrants and her way. Not for: how far she runs on with the best that the drive has (`steady::crash_stop`).

use std::f64::consts::{PI, TAU};

use super::lever::Controls;
use crate::boat::{Boat, Stern};
use crate::drive::motor::REFERENCE_K;
use crate::drive::{Controller, DriveLine, Motor, ThrottleMode};
use crate::hull::PreparedHull;
use crate::propeller::four_quadrant::BAND_FRACTION;
use crate::propeller::geometry::usual_mass_kg;
use crate::propeller::{FourQuadrant, Pattern};
use crate::spread::Interval;
use crate::steady::{ADDED_MASS_FRACTION, PreparedBoat, State};

/// Step of time \[s\]; the fastest thing stepped takes a thirtieth of a second.
const STEP_S: f64 = 0.005;
/// As long as it is followed \[s\].
const LONGEST_S: f64 = 120.0;
/// How fast a controller that holds a speed comes back to it \[1/s\]. Own choice: fast beside her, slow beside a step.
const SPEED_LOOP_1_S: f64 = 30.0;
/// Radius of gyration of a propeller over its diameter. From memory.
const PROPELLER_GYRATION: f64 = 0.2;
/// Water that turns with it, as a share of its moment of inertia. From memory.
const WATER_SHARE: f64 = 0.25;
/// Rotor's share of a motor's mass, and its radius of gyration for a motor of 50 kg \[m\]. From memory.
const ROTOR_SHARE: f64 = 0.3;
const ROTOR_GYRATION_M: f64 = 0.06;
/// Winding while it happens \[K\]: 60 K above that of its sheet. Own choice.
const WINDING_K: f64 = REFERENCE_K + 60.0;

/// A moment of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReversalMoment {
    /// Since the lever moved \[s\].
    pub time_s: f64,
    /// What it asks for.
    pub demand: f64,
    /// Propeller shaft \[rev/s\], negative astern.
    pub shaft_rev_s: f64,
    /// Torque in the propeller shaft \[N m\].
    pub shaft_n_m: f64,
    /// Torque of the motor, as belt or gear see it \[N m\].
    pub motor_n_m: f64,
    /// Thrust of all propellers that run \[N\], negative astern.
    pub thrust_n: f64,
    /// Way through the water \[m/s\].
    pub speed_m_s: f64,
}

/// One reckoning of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Turnover {
    /// Moment by moment, some twenty a second.
    pub moments: Vec<ReversalMoment>,
    /// The moment of the greatest torque in the propeller shaft against the way it turned.
    pub worst: ReversalMoment,
    /// Greatest torque of the motor against the way it turned \[N m\].
    pub motor_n_m: f64,
    /// Greatest thrust astern \[N\], above zero.
    pub astern_n: f64,
    /// Until she lies still \[s\]; `None` when she does not within two minutes.
    pub stops_s: Option<f64>,
    /// Way until then \[m\].
    pub way_m: f64,
}

/// The lever thrown over, with its band and without its ramps.
#[derive(Debug, Clone, PartialEq)]
pub struct Reversal {
    /// As the lever is set.
    pub told: Turnover,
    /// Thrown over without ramps, wait and limit.
    pub at_once: Turnover,
    /// Greatest torque in the propeller shaft against the way it turned \[N m\], band by the four-quadrant estimate.
    pub shaft_n_m: Interval,
    /// Greatest thrust astern \[N\].
    pub astern_n: Interval,
    /// Torque in the shaft at full throttle ahead \[N m\].
    pub ahead_n_m: f64,
    /// Torque of the motor at full throttle ahead \[N m\].
    pub motor_ahead_n_m: f64,
}

/// What turns and what it may.
struct Drive<'a> {
    controls: Controls,
    motor: &'a Motor,
    controller: &'a Controller,
    line: &'a DriveLine,
    hull: &'a PreparedHull,
    stern: Stern,
    running: f64,
    blades: FourQuadrant,
    /// Of propeller and shaft, with the water that turns with it \[kg m²\].
    propeller_kg_m2: f64,
    /// Of the motor's rotor \[kg m²\].
    rotor_kg_m2: f64,
    moving_kg: f64,
    bank_v: f64,
    most_w: f64,
    /// Most power back into the bank for each drive \[W\].
    braking_w: f64,
    /// Motor without load at full demand \[rad/s\].
    free_rad_s: f64,
    /// Power of the motor at full throttle \[W\].
    full_w: f64,
}

impl Reversal {
    /// `boat` at full throttle ahead (`ahead`), then the lever; `braking_w` may go back into the bank. `None` with
    /// folding blades, whose thrust astern is not known, and where the four quadrants cannot be computed.
    ///
    /// `J dω/dt = T_motor - Q(v, n) - friction`, `m (1 + 0.07) dv/dt = (1 - t) T(v, n) - R(v)`, stepped in time (midpoint).
    /// # Source
    /// Newton's law; propeller \[smogeli2006\] as carried over in `propeller::four_quadrant`.
    /// # Valid for
    /// A straight course; moments of inertia are estimated from diameter and mass (from memory), wake and thrust deduction
    /// those of driving ahead.
    /// # Accuracy
    /// Thrust and torque astern are known to ±30 %, which makes the band.
    /// # Example
    /// By hand: a belt sees no more than the motor gives at its limit, 250 A at 36 rpm/V: 250 x 60 / (36 x 2 pi) = 66.3 N m.
    /// ```
    /// # use wakewright_core::controls::{Controls, Reversal};
    /// # use wakewright_core::steady::PreparedBoat;
    /// # use wakewright_records::boat::{BoatDocument, build_spec};
    /// # let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/sea_campion.toml");
    /// # let document = BoatDocument::parse(&std::fs::read_to_string(path).unwrap()).unwrap();
    /// # let boat = build_spec(&document).unwrap().boat;
    /// let prepared = PreparedBoat::new(&boat).unwrap().value;
    /// let ahead = prepared.full_throttle().unwrap().held.state;
    /// let thrown = Reversal::of(&boat, &prepared, &Controls::default(), &ahead, 0.0).unwrap();
    /// assert!(thrown.told.motor_n_m < 66.4);
    /// ```
    #[must_use]
    pub fn of(
        boat: &Boat,
        prepared: &PreparedBoat,
        controls: &Controls,
        ahead: &State,
        braking_w: f64,
    ) -> Option<Self> {
        if prepared.propeller().propeller().pattern == Pattern::Folding {
            return None;
        }
        let blades = FourQuadrant::new(prepared.propeller()).ok()?.value;
        let turned = |controls: Controls, factor: f64| {
            Drive::of(boat, prepared, controls, blades.scaled(factor, factor), ahead, braking_w).turned(ahead)
        };
        let told = turned(*controls, 1.0);
        let [low, high] = [1.0 - BAND_FRACTION, 1.0 + BAND_FRACTION].map(|factor| turned(*controls, factor));
        let band = |of: fn(&Turnover) -> f64| {
            let ends = [of(&low), of(&told), of(&high)];
            Interval {
                value: of(&told),
                p10: ends.into_iter().fold(f64::INFINITY, f64::min),
                p90: ends.into_iter().fold(0.0, f64::max),
            }
        };
        Some(Self {
            shaft_n_m: band(|one| (-one.worst.shaft_n_m).max(0.0)),
            astern_n: band(|one| one.astern_n),
            at_once: turned(controls.at_once(), 1.0),
            ahead_n_m: ahead.shaft_torque_n_m,
            motor_ahead_n_m: ahead.motor.torque_n_m,
            told,
        })
    }
}

/// Shear at the skin of a solid shaft \[Pa\]: `16 T / (pi d³)`.
///
/// # Source
/// Torsion of a round bar; textbook.
/// # Valid for
/// A solid shaft away from its keyway, which doubles it or more (from memory).
/// # Accuracy
/// Exact for the torque.
/// # Example
/// By hand: 100 N m in 30 mm: 1600 / (pi x 27e-6) = 18.86 N/mm².
/// ```
/// # use wakewright_core::controls::shaft_shear_pa;
/// assert!((shaft_shear_pa(100.0, 0.030) - 18.863e6).abs() < 1e3);
/// ```
#[must_use]
pub fn shaft_shear_pa(torque_n_m: f64, shaft_m: f64) -> f64 {
    16.0 * torque_n_m / (PI * shaft_m.powi(3))
}

/// Force on a key at the skin of the shaft \[N\]: `2 T / d`.
#[must_use]
pub fn key_force_n(torque_n_m: f64, shaft_m: f64) -> f64 {
    2.0 * torque_n_m / shaft_m
}

impl<'a> Drive<'a> {
    fn of(
        boat: &Boat,
        prepared: &'a PreparedBoat,
        controls: Controls,
        blades: FourQuadrant,
        ahead: &State,
        braking_w: f64,
    ) -> Self {
        let diameter = boat.propeller.diameter_m;
        let propeller_kg = usual_mass_kg(diameter, boat.propeller.blades).value;
        let gyration = PROPELLER_GYRATION * diameter;
        let motor_kg = prepared.motor().mass_kg;
        // Rotors grow in all directions alike: the radius with the cube root of the mass.
        let rotor_m = ROTOR_GYRATION_M * (motor_kg / 50.0).cbrt();
        let controller = prepared.controller();
        let bank_v = ahead.bank_v;
        let by_current_w = controller.battery_current_limit_a * bank_v;
        Self {
            controls,
            motor: prepared.motor(),
            controller,
            line: prepared.drive_line(),
            hull: prepared.hull(),
            stern: boat.stern,
            running: prepared.running(),
            blades,
            propeller_kg_m2: (1.0 + WATER_SHARE) * propeller_kg * gyration * gyration,
            rotor_kg_m2: ROTOR_SHARE * motor_kg * rotor_m * rotor_m,
            moving_kg: boat.form.displacement_kg * (1.0 + ADDED_MASS_FRACTION),
            bank_v,
            most_w: controller.power_limit_w.map_or(by_current_w, |limit| limit.min(by_current_w)),
            braking_w: braking_w / prepared.running(),
            free_rad_s: controller.available_v(prepared.bank().open_circuit_v)
                / prepared.motor().torque_constant_n_m_a,
            full_w: ahead.motor.shaft_power_w,
        }
    }

    /// Moment of inertia of everything that turns, at the propeller shaft \[kg m²\].
    fn inertia_kg_m2(&self) -> f64 {
        self.propeller_kg_m2 + self.rotor_kg_m2 * self.line.ratio * self.line.ratio
    }

    /// Torque of the motor that the controller makes of a demand \[N m\], the motor at `omega` \[rad/s\].
    fn motor_torque_n_m(&self, demand: f64, omega: f64, makes_way: bool) -> f64 {
        let kt = self.motor.torque_constant_at_n_m_a(WINDING_K);
        let most = kt * self.controller.phase_current_limit_a;
        let share =
            if demand < 0.0 && makes_way { self.controls.reversing_torque.unwrap_or(1.0) } else { 1.0 };
        let wanted = match self.controller.throttle_mode {
            ThrottleMode::Torque => demand * most,
            ThrottleMode::Power => demand * self.full_w / omega.abs().max(0.02 * self.free_rad_s),
            ThrottleMode::Speed | ThrottleMode::Voltage => {
                let inertia = self.inertia_kg_m2() / (self.line.ratio * self.line.ratio);
                SPEED_LOOP_1_S * inertia * (demand * self.free_rad_s - omega)
                    + self.motor.drag_torque_n_m(omega)
            }
        };
        let torque = wanted.clamp(-share * most, share * most);
        self.within_bank(self.within_volts(torque, omega), omega)
    }

    /// No more torque than the volts drive through leads and winding, where the motor drives.
    fn within_volts(&self, torque: f64, omega: f64) -> f64 {
        if torque * omega <= 0.0 {
            return torque;
        }
        let kt = self.motor.torque_constant_at_n_m_a(WINDING_K);
        let left_v = (self.controller.available_v(self.bank_v) - kt * omega.abs()).max(0.0);
        let most = kt * left_v / self.motor.driven_ohm(WINDING_K);
        torque.clamp(-most, most)
    }

    /// No more power out of the bank than the controller takes, no more into it than may be.
    fn within_bank(&self, torque: f64, omega: f64) -> f64 {
        let power =
            |share: f64| self.controller.battery_power_w(&self.motor.at(omega, share * torque, WINDING_K));
        let is_within = |share: f64| (-self.braking_w..=self.most_w).contains(&power(share));
        if is_within(1.0) {
            return torque;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..20 {
            let middle = 0.5 * (low + high);
            if is_within(middle) { low = middle } else { high = middle }
        }
        low * torque
    }

    fn turned(&self, ahead: &State) -> Turnover {
        let mut state = (TAU * ahead.shaft_rev_s, ahead.speed_m_s);
        let (mut time_s, mut way_m) = (0.0, 0.0);
        let mut moments = Vec::new();
        let first = self.moment(0.0, state).0;
        let (mut worst, mut motor_n_m, mut astern_n, mut stops_s) = (first, 0.0_f64, 0.0_f64, None);
        let mut steps = 0_usize;
        while time_s < LONGEST_S {
            let (moment, rates) = self.moment(time_s, state);
            if steps.is_multiple_of(10) {
                moments.push(moment);
            }
            if moment.shaft_n_m < worst.shaft_n_m {
                worst = moment;
            }
            motor_n_m = motor_n_m.max(-moment.motor_n_m);
            astern_n = astern_n.max(-moment.thrust_n);
            let half = (state.0 + 0.5 * STEP_S * rates.0, state.1 + 0.5 * STEP_S * rates.1);
            let (_, rates) = self.moment(time_s + 0.5 * STEP_S, half);
            state = (state.0 + STEP_S * rates.0, state.1 + STEP_S * rates.1);
            (time_s, way_m) = (time_s + STEP_S, way_m + STEP_S * half.1);
            steps += 1;
            if state.1 <= 0.0 {
                stops_s = Some(time_s);
                moments.push(self.moment(time_s, (state.0, 0.0)).0);
                break;
            }
        }
        Turnover { moments, worst, motor_n_m, astern_n, stops_s, way_m }
    }

    /// What stands at a moment, and how fast shaft and boat change.
    fn moment(&self, time_s: f64, (omega, speed_m_s): (f64, f64)) -> (ReversalMoment, (f64, f64)) {
        /// Below this the shaft's friction fades, so that it has a direction \[rad/s\].
        const SLOW_RAD_S: f64 = 0.5;
        let demand = self.controls.reversed(time_s);
        let line = self.line;
        let motor_omega = omega * line.ratio;
        let motor_n_m = self.motor_torque_n_m(demand, motor_omega, speed_m_s > 0.0);
        let advance = speed_m_s * (1.0 - self.stern.wake_fraction);
        let (thrust_n, torque) = self.blades.thrust_torque(advance, omega / TAU);
        let torque = torque / self.stern.relative_rotative_efficiency;
        let side = omega / (omega.abs() + SLOW_RAD_S);
        let drives = motor_n_m * omega >= 0.0;
        let share = if drives { line.reduction_efficiency } else { 1.0 / line.reduction_efficiency };
        let at_shaft = (motor_n_m - line.reduction_drag_n_m * side) * line.ratio * share;
        let rate = (at_shaft - torque - line.bearing_torque_n_m * side) / self.inertia_kg_m2();
        let thrust_n = self.running * thrust_n;
        let pull =
            (1.0 - self.stern.thrust_deduction) * thrust_n - self.hull.resistance_n(speed_m_s.max(0.0));
        let moment = ReversalMoment {
            time_s,
            demand,
            shaft_rev_s: omega / TAU,
            shaft_n_m: torque + self.propeller_kg_m2 * rate,
            motor_n_m: motor_n_m - self.rotor_kg_m2 * rate * line.ratio,
            thrust_n,
            speed_m_s,
        };
        (moment, (rate, pull / self.moving_kg))
    }
}
