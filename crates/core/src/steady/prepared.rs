//! A boat made ready for many steady states: at a speed, the hull's demand fixes the propeller's
//! revolutions, these the motor's point, this the bank's. No iteration is left but the closed-form
//! ones of its parts. Not for: finding the speed (`solve.rs`).

use std::f64::consts::TAU;

use super::error::BoatError;
use super::limit::{LIMIT_COUNT, Limit, Usage, tightest};
use super::solve::Bound;
use super::state::{Bollard, State};
use crate::battery::PreparedBank;
use crate::boat::{Boat, Drives, Stern};
use crate::drive::{Controller, DriveLine, Motor, MotorPoint, Temperatures, ThrottleMode};
use crate::fouling::blade_drag_rise;
use crate::hull::{PreparedHull, Sea, complete};
use crate::notice::{Noted, Notice, push_once};
use crate::numeric::{Crossing, RootError, solve_share};
use crate::propeller::cavitation::{LoadingLimit, WorkingPropeller};
use crate::propeller::geometry::chord_075_m;
use crate::propeller::under_sail::stowed_drag_n;
use crate::propeller::{FourQuadrant, PreparedPropeller};

/// Everything that stays the same over all speeds and throttle positions.
#[derive(Debug, Clone)]
pub struct PreparedBoat {
    hull: PreparedHull,
    propeller: PreparedPropeller,
    stern: Stern,
    drives: Drives,
    drive_line: DriveLine,
    motor: Motor,
    motor_ambient_k: f64,
    controller: Controller,
    bank: PreparedBank,
    house_power_w: f64,
}

/// How near to 1 the share of a limit, or of what was asked for, is brought. Forces and powers of a
/// state balance by construction; this only places it on the limit.
pub(super) const SHARE_TOLERANCE: f64 = 1e-10;

/// Motor, controller and bank for one point of the propeller shaft.
struct Machinery {
    motor: MotorPoint,
    train_loss_w: f64,
    controller_loss_w: f64,
    drive_power_w: f64,
    bank_v: f64,
    bank_a: f64,
}

/// Relative speed at 0.75R for which the drag of rough blades is taken \[m/s\]; it enters only
/// through a slowly varying friction coefficient.
const BLADE_SPEED_M_S: f64 = 13.0;

impl PreparedBoat {
    /// Prepares `boat`.
    /// # Errors
    /// [`BoatError`] from the part of the boat that cannot be computed.
    pub fn new(boat: &Boat) -> Result<Noted<Self>, BoatError> {
        let mut notices = Vec::new();
        let hull = Self::hull_of(boat, standing_drag_area_m2(boat)?, &mut notices)?;
        Self::around(hull, boat, notices)
    }

    /// `boat` in the hull, sea and water of this one, which she shares: another drive in the same boat.
    /// Dearest of all that is prepared is the hull, and a search asks for thousands of drives in one.
    /// # Errors
    /// As [`Self::new`].
    pub(crate) fn with_drive_of(&self, boat: &Boat) -> Result<Noted<Self>, BoatError> {
        if boat.drives.idle > 0 {
            // A propeller that stands is part of what the water holds.
            return Self::new(boat);
        }
        Self::around(self.hull.clone(), boat, Vec::new())
    }

    fn around(hull: PreparedHull, boat: &Boat, mut notices: Vec<Notice>) -> Result<Noted<Self>, BoatError> {
        let propeller = take(propeller_of(boat)?, &mut notices);
        let motor = take(boat.motor.motor()?, &mut notices);
        for notice in boat.bank.notices() {
            push_once(&mut notices, notice);
        }
        let bank = boat.bank.prepare()?;
        for notice in boat.drives.notices(boat.towed.is_some()) {
            push_once(&mut notices, notice);
        }
        let prepared = Self {
            hull,
            propeller,
            stern: boat.stern,
            drives: boat.drives,
            drive_line: boat.drive_line,
            motor,
            motor_ambient_k: boat.motor_ambient_k,
            controller: boat.controller,
            bank,
            house_power_w: boat.house_power_w,
        };
        Ok(Noted { value: prepared, notices })
    }

    fn hull_of(
        boat: &Boat,
        standing_drag_area_m2: f64,
        notices: &mut Vec<Notice>,
    ) -> Result<PreparedHull, BoatError> {
        if let Some(towed) = &boat.towed {
            let (length, kind) = (boat.form.length_waterline_m, boat.form.kind);
            let hull = PreparedHull::from_towing(towed, length, kind, &boat.topsides, &boat.sea)?;
            return Ok(take(hull, notices));
        }
        let gear_drag_area_m2 = boat.sea.gear_drag_area_m2 + standing_drag_area_m2;
        let sea = Sea { gear_drag_area_m2, ..boat.sea };
        let completed = take(complete(&boat.form, &boat.keel, &boat.rudder, &boat.water)?, notices);
        let hull = PreparedHull::new(
            &completed,
            &boat.topsides,
            &sea,
            boat.bottom_sand_height_m,
            boat.residuary_method,
            &boat.water,
        )?;
        Ok(take(hull, notices))
    }

    /// The hull's resistance.
    #[must_use]
    pub fn hull(&self) -> &PreparedHull {
        &self.hull
    }

    /// The propeller in open water.
    #[must_use]
    pub fn propeller(&self) -> &PreparedPropeller {
        &self.propeller
    }

    /// The motor.
    #[must_use]
    pub fn motor(&self) -> &Motor {
        &self.motor
    }

    /// The bank.
    #[must_use]
    pub fn bank(&self) -> &PreparedBank {
        &self.bank
    }

    /// The controller.
    #[must_use]
    pub fn controller(&self) -> &Controller {
        &self.controller
    }

    /// Reduction and shaft line.
    #[must_use]
    pub fn drive_line(&self) -> &DriveLine {
        &self.drive_line
    }

    /// Standing loads on the same bank \[W\].
    #[must_use]
    pub fn house_power_w(&self) -> f64 {
        self.house_power_w
    }

    /// The same boat in another wind from ahead \[m/s\], from astern where negative.
    #[must_use]
    pub fn with_head_wind(&self, head_wind_m_s: f64) -> Self {
        Self { hull: self.hull.with_head_wind(head_wind_m_s), ..self.clone() }
    }

    /// Drives that run, as a number.
    #[must_use]
    pub fn running(&self) -> f64 {
        f64::from(self.drives.running)
    }

    /// How many drives she has, and how many run.
    #[must_use]
    pub fn drives(&self) -> Drives {
        self.drives
    }

    /// Thrust deduction.
    #[must_use]
    pub fn thrust_deduction(&self) -> f64 {
        self.stern.thrust_deduction
    }

    /// Taylor wake fraction.
    #[must_use]
    pub fn wake_fraction(&self) -> f64 {
        self.stern.wake_fraction
    }

    /// Open-water torque over torque behind the hull.
    #[must_use]
    pub fn relative_rotative_efficiency(&self) -> f64 {
        self.stern.relative_rotative_efficiency
    }

    /// Fastest speed that the resistance covers \[m/s\].
    #[must_use]
    pub fn fastest_m_s(&self) -> f64 {
        self.hull.max_speed_m_s()
    }

    /// The balance at `speed_m_s`; `None` when the propeller finds no revolutions for the thrust.
    /// # Valid for
    /// 0 to [`Self::fastest_m_s`]; limits are not looked at here.
    #[must_use]
    pub fn state_at(&self, speed_m_s: f64) -> Option<State> {
        let resistance_n = self.hull.resistance_n(speed_m_s);
        let thrust_n = resistance_n / (1.0 - self.stern.thrust_deduction);
        let advance = speed_m_s * (1.0 - self.stern.wake_fraction);
        let (revs, open_water_torque) = self.propeller.at_thrust(advance, thrust_n / self.running())?;
        Some(self.assemble(speed_m_s, resistance_n, thrust_n, advance, revs, open_water_torque))
    }

    pub(super) fn assemble(
        &self,
        speed_m_s: f64,
        resistance_n: f64,
        thrust_n: f64,
        speed_of_advance_m_s: f64,
        shaft_rev_s: f64,
        open_water_torque_n_m: f64,
    ) -> State {
        let shaft_torque_n_m = open_water_torque_n_m / self.stern.relative_rotative_efficiency;
        let machinery = self.machinery(TAU * shaft_rev_s, shaft_torque_n_m);
        State {
            speed_m_s,
            resistance_n,
            drives: self.running(),
            thrust_n,
            speed_of_advance_m_s,
            shaft_rev_s,
            shaft_torque_n_m,
            motor: machinery.motor,
            train_loss_w: machinery.train_loss_w,
            controller_loss_w: machinery.controller_loss_w,
            drive_power_w: machinery.drive_power_w,
            house_power_w: self.house_power_w,
            bank_v: machinery.bank_v,
            bank_a: machinery.bank_a,
        }
    }

    fn machinery(&self, shaft_rad_s: f64, shaft_torque_n_m: f64) -> Machinery {
        let motor_side = self.drive_line.motor_side(shaft_rad_s, shaft_torque_n_m);
        let (omega, torque) = (motor_side.omega_rad_s, motor_side.torque_n_m);
        let mut motor = self.motor.steady(omega, torque, self.motor_ambient_k);
        let running = self.running();
        let (mut bank_v, mut bank_a) = self.bank_under(running * self.controller.battery_power_w(&motor));
        if self.motor.field_weakening.is_some() {
            // The bus sags a little with the current that weakens the field: two passes settle it.
            for _ in 0..2 {
                let available = self.controller.available_v(bank_v);
                motor = self.motor.steady_weakened(omega, torque, self.motor_ambient_k, available);
                (bank_v, bank_a) = self.bank_under(running * self.controller.battery_power_w(&motor));
            }
        }
        let controller_loss_w = running * self.controller.loss_w(motor.current_a);
        Machinery {
            motor,
            train_loss_w: running * motor_side.loss_w,
            controller_loss_w,
            drive_power_w: running * motor.electrical_power_w + controller_loss_w,
            bank_v,
            bank_a,
        }
    }

    /// Volts and amps of the bank with the drive taking `drive_power_w`. Beyond the most that the
    /// bank can give, the volts stay at half the open-circuit volts and the amps go on rising, so
    /// that the excess is seen by the limits instead of being lost.
    fn bank_under(&self, drive_power_w: f64) -> (f64, f64) {
        let power = drive_power_w + self.house_power_w;
        match self.bank.terminal(power) {
            Some(terminal) => (terminal.voltage_v, terminal.current_a),
            None => {
                let half = 0.5 * self.bank.open_circuit_v;
                (half, power / half)
            }
        }
    }

    /// Share of each limit that `state` uses with the throttle at `throttle`.
    #[must_use]
    pub fn usage(&self, state: &State, throttle: f64) -> Usage {
        let mut usage = [0.0; LIMIT_COUNT];
        let motor = &state.motor;
        let controller = self.controller.use_of_limits(motor, state.bank_v);
        usage[Limit::BankVolts as usize] = self.voltage_share(motor, state.bank_v);
        usage[Limit::BatteryAmps as usize] = controller.battery_current;
        usage[Limit::PhaseAmps as usize] = controller.phase_current;
        usage[Limit::Power as usize] = controller.power;
        usage[Limit::MotorPower as usize] =
            self.motor.peak_power_w.map_or(0.0, |peak| motor.shaft_power_w / peak);
        usage[Limit::Bms as usize] = state.bank_a / self.bank.discharge_limit_a;
        usage[Limit::LowVoltage as usize] = self.sag_share(state);
        usage[Limit::MotorHeat as usize] =
            (motor.winding_k - self.motor_ambient_k) / (self.motor.winding_limit_k - self.motor_ambient_k);
        usage[Limit::Cavitation as usize] = self.cavitation_share(state);
        usage[Limit::HullMethod as usize] = state.speed_m_s / self.fastest_m_s();
        if throttle < 1.0 {
            usage[Limit::Throttle as usize] = self.throttle_share(state, throttle);
        }
        usage
    }

    /// Share of the sag that may be: from the bank's volts at rest down to the cut-out of the packs
    /// (at their terminals) or of the controller (at its own); or of the most power that the bank
    /// gives at all. Infinite when the bank at rest is below a cut-out already.
    fn sag_share(&self, state: &State) -> f64 {
        let rest_v = self.bank.open_circuit_v;
        let share = |resistance_ohm: f64, cut_out_v: f64| {
            let room_v = rest_v - cut_out_v;
            if room_v > 0.0 { state.bank_a * resistance_ohm / room_v } else { f64::INFINITY }
        };
        let resistance_ohm = self.bank.resistance_ohm();
        let most_by_power = 4.0 * resistance_ohm / (rest_v * rest_v);
        share(self.bank.packs_resistance_ohm, self.bank.low_voltage_v)
            .max(share(resistance_ohm, self.controller.undervoltage_v.unwrap_or(0.0)))
            .max(state.bank_power_w() * most_by_power)
    }

    /// Volts needed over volts to be had; with field weakening, speed over the speed it reaches.
    fn voltage_share(&self, motor: &MotorPoint, bank_v: f64) -> f64 {
        let available = self.controller.available_v(bank_v);
        let Some(weakening) = self.motor.field_weakening else { return motor.voltage_v / available };
        let emf = self.motor.torque_constant_at_n_m_a(motor.winding_k) * motor.omega_rad_s;
        let torque_current = (motor.current_a * motor.current_a
            - motor.demagnetising_current_a * motor.demagnetising_current_a)
            .max(0.0)
            .sqrt();
        let drop = torque_current * self.motor.driven_ohm(motor.winding_k);
        if emf + drop <= available {
            return (emf + drop) / available / weakening.maximum_speed_ratio;
        }
        emf / (available - drop).max(1e-9) / weakening.maximum_speed_ratio
    }

    fn throttle_share(&self, state: &State, throttle: f64) -> f64 {
        let motor = &state.motor;
        match self.controller.throttle_mode {
            ThrottleMode::Voltage => motor.voltage_v / (throttle * self.controller.available_v(state.bank_v)),
            ThrottleMode::Speed => {
                let no_load =
                    self.controller.available_v(self.bank.open_circuit_v) / self.motor.torque_constant_n_m_a;
                motor.omega_rad_s / (throttle * no_load)
            }
            ThrottleMode::Torque => motor.current_a / (throttle * self.controller.phase_current_limit_a),
            ThrottleMode::Power => {
                let full = self
                    .controller
                    .power_limit_w
                    .unwrap_or(self.controller.battery_current_limit_a * self.bank.open_circuit_v);
                state.drive_power_w / self.running() / (throttle * full)
            }
        }
    }

    /// Blade loading over the loading at which cavitation takes thrust from such a propeller.
    fn cavitation_share(&self, state: &State) -> f64 {
        let propeller = self.propeller.propeller();
        let working = WorkingPropeller {
            thrust_n: state.thrust_n / self.running(),
            speed_advance_m_s: state.speed_of_advance_m_s,
            revs_per_s: state.shaft_rev_s,
            diameter_m: propeller.diameter_m,
            pitch_ratio: propeller.pitch_ratio(),
            area_ratio: propeller.area_ratio,
            shaft_depth_m: self.stern.shaft_depth_m,
        };
        let (sigma, loading) = working.loading(self.propeller.water());
        loading / LoadingLimit::Fast.thrust_loading(sigma).max(1e-6)
    }

    /// Pull against a quay at full throttle. The propeller's own thrust: a quay wall close
    /// by and the thrust deduction at rest (a few per cent) are not in it.
    #[must_use]
    pub fn bollard(&self) -> Option<Bollard> {
        let Bound { state, limit, .. } = self.tied_up_at_full_throttle()?;
        Some(Bollard {
            thrust_n: state.thrust_n,
            shaft_rev_s: state.shaft_rev_s,
            drive_power_w: state.drive_power_w,
            bank_a: state.bank_a,
            bank_v: state.bank_v,
            limit,
        })
    }

    /// Tied to a quay, the shaft turning at `revs` \[rev/s\], whether or not the limits allow it.
    #[must_use]
    pub fn tied_up_at(&self, revs: f64) -> Bound {
        let (thrust, torque) = self.propeller.thrust_torque(0.0, revs);
        let state = self.assemble(0.0, 0.0, self.running() * thrust, 0.0, revs, torque);
        let usage = self.usage(&state, 1.0);
        let (limit, _) = tightest(&usage, |limit| limit.acts_at_once() && limit != Limit::HullMethod);
        Bound { state, usage, limit }
    }

    /// Tied to a quay, the throttle fully open.
    #[must_use]
    pub fn tied_up_at_full_throttle(&self) -> Option<Bound> {
        let evaluate = |revs: f64| -> Result<_, RootError> {
            let bound = self.tied_up_at(revs);
            Ok((bound.usage[bound.limit as usize], bound))
        };
        let weakening = self.motor.field_weakening.map_or(1.0, |w| w.maximum_speed_ratio);
        let no_load_rev_s = self.bank.open_circuit_v / (TAU * self.motor.torque_constant_n_m_a);
        let highest = 1.2 * weakening * no_load_rev_s / self.drive_line.ratio;
        let crossing = solve_share(evaluate, 1e-3, highest, 0.5 * highest, SHARE_TOLERANCE).ok()?;
        let Crossing::At(_, bound) = crossing else { return None };
        Some(bound)
    }

    /// How long `state` can be held from cold before the winding reaches its limit \[s\]; `None`
    /// when it never does.
    #[must_use]
    pub fn time_to_motor_limit_s(&self, state: &State) -> Option<f64> {
        let cold = Temperatures::cold(self.motor_ambient_k);
        self.motor.time_to_limit_s(
            state.motor.omega_rad_s,
            state.motor.torque_n_m,
            cold,
            self.motor_ambient_k,
        )
    }
}

fn propeller_of(boat: &Boat) -> Result<Noted<PreparedPropeller>, BoatError> {
    let mut propeller = boat.propeller;
    if boat.blades_sand_height_m > 0.0 {
        let chord = chord_075_m(propeller.diameter_m, propeller.area_ratio, propeller.blades);
        propeller.blade_drag_rise =
            blade_drag_rise(boat.blades_sand_height_m, chord, BLADE_SPEED_M_S, &boat.water);
    }
    Ok(PreparedPropeller::new(&propeller, &boat.water)?)
}

/// Drag area, by the boat's own speed, of the propellers that stand while others run \[m²\].
fn standing_drag_area_m2(boat: &Boat) -> Result<f64, BoatError> {
    if boat.drives.idle == 0 {
        return Ok(0.0);
    }
    let propeller = propeller_of(boat)?.value;
    let density = boat.water.density_kg_m3;
    let at_one_m_s_n = match stowed_drag_n(propeller.propeller(), density, 1.0) {
        Some(stowed) => stowed.median,
        None => FourQuadrant::new(&propeller)?.value.locked_drag_n(1.0),
    };
    let past_the_hull = (1.0 - boat.stern.wake_fraction).powi(2);
    Ok(f64::from(boat.drives.idle) * at_one_m_s_n * past_the_hull / (0.5 * density))
}

/// The value, its notices moved to `notices`.
fn take<T>(noted: Noted<T>, notices: &mut Vec<Notice>) -> T {
    for notice in noted.notices {
        push_once(notices, notice);
    }
    noted.value
}
