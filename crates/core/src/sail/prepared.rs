//! A boat made ready for sailing with her propeller: its four quadrants and the friction behind it.
//! Not for: what the drag costs in speed (`price`), how much to brake (`regenerate`).

use std::f64::consts::TAU;

use crate::battery::{Chemistry, PreparedBank};
use crate::boat::{Boat, Drives};
use crate::drive::{Controller, DriveLine, Motor, MotorPoint};
use crate::hull::PreparedHull;
use crate::notice::{Noted, Notice, push_once};
use crate::numeric::solve_bracketed;
use crate::propeller::FourQuadrant;
use crate::propeller::under_sail::stowed_drag_n;
use crate::steady::{BoatError, PreparedBoat};

/// What is done with the propeller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[repr(usize)]
pub enum Mode {
    /// Shaft held; or blades folded or feathered, where they do that.
    Held,
    /// Turning freely, dragging shaft, reduction and unpowered motor with it.
    Free,
    /// Turned by the motor so that it neither drags nor pushes.
    WithoutDrag,
    /// Turning the motor as hard as the stated loss of speed allows.
    WithinLoss,
    /// Turning the motor for the most that can be had.
    Greatest,
}

impl Mode {
    /// All of them, in the order of their numbers.
    pub const ALL: [Self; 5] = [Self::Held, Self::Free, Self::WithoutDrag, Self::WithinLoss, Self::Greatest];

    /// Short stable name.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Held => "held",
            Self::Free => "free",
            Self::WithoutDrag => "without_drag",
            Self::WithinLoss => "within_loss",
            Self::Greatest => "greatest",
        }
    }
}

/// The boat with her propeller in one mode at one speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModeState {
    /// Propeller shaft \[rev/s\].
    pub shaft_rev_s: f64,
    /// Drag on the boat \[N\].
    pub drag_n: f64,
    /// How much faster she would sail without that drag \[m/s\].
    pub speed_lost_m_s: f64,
    /// That faster speed is beyond what is known of the hull: resistance continued along its slope there.
    pub is_loss_continued: bool,
    /// Current in the motor's windings, either way \[A\].
    pub phase_a: f64,
    /// Torque with which the motor brakes its own shaft \[N m\]; negative when it drives.
    pub brake_torque_n_m: f64,
    /// Power out of the bank's terminals \[W\]; negative into them.
    pub bank_w: f64,
    /// Current out of the bank \[A\]; negative into it.
    pub bank_a: f64,
    /// Power that stays in the cells \[W\]: rest volts times amps times charge efficiency; 0 when the
    /// bank gives.
    pub stored_w: f64,
    /// Charge that stays in the cells \[A\]; 0 when the bank gives.
    pub stored_a: f64,
}

/// A boat ready to sail with her propeller.
#[derive(Debug, Clone)]
pub struct UnderSail {
    pub(super) blades: FourQuadrant,
    /// Drag of stowed blades over the speed of advance squared \[N s²/m²\].
    stowed_n_s2_m2: Option<f64>,
    pub(super) hull: PreparedHull,
    wake_fraction: f64,
    pub(super) drives: Drives,
    pub(super) drive_line: DriveLine,
    pub(super) motor: Motor,
    motor_ambient_k: f64,
    pub(super) controller: Controller,
    pub(super) bank: PreparedBank,
    charge_efficiency: f64,
    pub(super) state_of_charge: f64,
    pub(super) temperature_k: f64,
    pub(super) chemistry: Chemistry,
}

/// Factors of one sample on the figures of dragged blades (1 and 1 for the boat as expected).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct BladeFactors {
    /// On thrust and drag.
    pub drag: f64,
    /// On torque.
    pub torque: f64,
    /// Standard normal deviate of the drag of stowed blades within its published band.
    pub stowed_deviate: f64,
}

impl UnderSail {
    /// Prepares `boat` in still air: what drives her is the sails' business.
    /// # Errors
    /// [`BoatError`] from the part of the boat that cannot be computed.
    pub fn new(boat: &Boat) -> Result<Noted<Self>, BoatError> {
        Self::with_factors(boat, BladeFactors { drag: 1.0, torque: 1.0, stowed_deviate: 0.0 })
    }

    pub(super) fn with_factors(boat: &Boat, factors: BladeFactors) -> Result<Noted<Self>, BoatError> {
        Self::of(boat, &PreparedBoat::new(boat)?, factors)
    }

    /// As [`Self::new`] from `boat` as she is prepared for motoring.
    pub(super) fn of(
        boat: &Boat,
        prepared: &Noted<PreparedBoat>,
        factors: BladeFactors,
    ) -> Result<Noted<Self>, BoatError> {
        let Noted { value: prepared, notices } = prepared;
        let mut notices: Vec<Notice> = notices.clone();
        let blades = FourQuadrant::new(prepared.propeller())?;
        for notice in blades.notices {
            push_once(&mut notices, notice);
        }
        let propeller = prepared.propeller().propeller();
        let stowed = stowed_drag_n(propeller, prepared.propeller().water().density_kg_m3, 1.0);
        let chemistry = boat.bank.groups.first().map_or(Chemistry::Lfp, |group| group.chemistry);
        let value = Self {
            blades: blades.value.scaled(factors.drag, factors.torque),
            stowed_n_s2_m2: stowed.map(|spread| spread.at_deviate(factors.stowed_deviate)),
            hull: prepared.hull().with_head_wind(0.0),
            wake_fraction: boat.stern.wake_fraction,
            drives: boat.drives,
            drive_line: *prepared.drive_line(),
            motor: *prepared.motor(),
            motor_ambient_k: boat.motor_ambient_k,
            controller: *prepared.controller(),
            bank: *prepared.bank(),
            charge_efficiency: chemistry.coulombic_efficiency(boat.bank.temperature_k),
            state_of_charge: boat.bank.state_of_charge,
            temperature_k: boat.bank.temperature_k,
            chemistry,
        };
        Ok(Noted { value, notices })
    }

    /// True when the blades fold or feather under sail: then nothing turns and nothing is harvested.
    #[must_use]
    pub fn is_stowed(&self) -> bool {
        self.stowed_n_s2_m2.is_some()
    }

    /// Fastest speed for which the price of drag in speed is known \[m/s\].
    #[must_use]
    pub fn fastest_m_s(&self) -> f64 {
        self.hull.max_speed_m_s()
    }

    /// Speed of the water at the propeller \[m/s\].
    #[must_use]
    pub fn advance_m_s(&self, speed_m_s: f64) -> f64 {
        speed_m_s * (1.0 - self.wake_fraction)
    }

    /// Torque at the propeller shaft that shaft line, reduction and unpowered motor set against turning
    /// \[N m\], the shaft at `revs_per_s`.
    ///
    /// Bearing and seal, and the drag torque of motor and reduction times the ratio over the reduction's efficiency.
    #[must_use]
    pub fn friction_n_m(&self, revs_per_s: f64) -> f64 {
        let line = &self.drive_line;
        let drag = self.motor.drag_torque_n_m(TAU * revs_per_s.abs() * line.ratio);
        line.bearing_torque_n_m + (drag + line.reduction_drag_n_m) * line.ratio / line.reduction_efficiency
    }

    /// Shaft held fast, or blades stowed.
    #[must_use]
    pub fn held(&self, speed_m_s: f64) -> ModeState {
        self.unpowered(speed_m_s, 0.0, f64::from(self.drives.fitted()) * self.held_drag_n(speed_m_s))
    }

    /// Of one propeller \[N\].
    fn held_drag_n(&self, speed_m_s: f64) -> f64 {
        let advance = self.advance_m_s(speed_m_s);
        match self.stowed_n_s2_m2 {
            Some(per_square) => per_square * advance * advance,
            None => self.blades.locked_drag_n(advance),
        }
    }

    /// Of those that stand while others are turned \[N\].
    fn idle_drag_n(&self, speed_m_s: f64) -> f64 {
        match self.drives.idle {
            0 => 0.0,
            idle => f64::from(idle) * self.held_drag_n(speed_m_s),
        }
    }

    /// Let go from rest: turning freely with all that hangs on the shaft, or standing as long as the
    /// water does not start it.
    #[must_use]
    pub fn free(&self, speed_m_s: f64) -> ModeState {
        let revs = if self.turns_by_itself(speed_m_s) { self.free_revs(speed_m_s) } else { 0.0 };
        let drag_n = -self.blades.thrust_torque(self.advance_m_s(speed_m_s), revs).0;
        self.unpowered(speed_m_s, revs, f64::from(self.drives.fitted()) * drag_n)
    }

    /// True when the water sets a standing shaft turning at this speed.
    #[must_use]
    pub fn turns_by_itself(&self, speed_m_s: f64) -> bool {
        !self.is_stowed() && speed_m_s >= self.starts_turning_m_s()
    }

    /// Slowest boat speed, or stream at anchor, that sets a standing shaft turning \[m/s\].
    #[must_use]
    pub fn starts_turning_m_s(&self) -> f64 {
        self.blades.speed_that_starts_turning_m_s(self.friction_n_m(0.0)) / self.advance_m_s(1.0)
    }

    /// Boat speed from which a shaft that is let go drags less than one that is held \[m/s\]. Until then it
    /// stands, or turns so slowly, braked by its own friction, that the blades drag more than at rest; `None`
    /// when that is so at all speeds known of the hull, or blades are stowed.
    #[must_use]
    pub fn free_drags_less_from_m_s(&self) -> Option<f64> {
        if self.is_stowed() {
            return None;
        }
        let excess_n = |speed: f64| {
            let advance = self.advance_m_s(speed);
            -self.blades.thrust_torque(advance, self.free_revs(speed)).0 - self.blades.locked_drag_n(advance)
        };
        let (starts, end) = (self.starts_turning_m_s(), self.fastest_m_s());
        if starts >= end {
            None
        } else if excess_n(starts) < 0.0 {
            Some(starts)
        } else {
            solve_bracketed(excess_n, starts, end, 1e-4).ok()
        }
    }

    /// Shaft speed of the free propeller once it turns \[rev/s\]; 0 when friction is too much.
    #[must_use]
    pub fn free_revs(&self, speed_m_s: f64) -> f64 {
        self.blades.revs_against(self.advance_m_s(speed_m_s), |revs| self.friction_n_m(revs))
    }

    /// Turned by the motor so that the propeller neither drags nor pushes.
    #[must_use]
    pub fn without_drag(&self, speed_m_s: f64) -> ModeState {
        let advance = self.advance_m_s(speed_m_s);
        let revs = self.blades.turning_without_drag(advance, 0.0).revs_per_s;
        ModeState { drag_n: self.idle_drag_n(speed_m_s), ..self.turned(speed_m_s, revs) }
    }

    fn unpowered(&self, speed_m_s: f64, shaft_rev_s: f64, drag_n: f64) -> ModeState {
        let state = ModeState {
            shaft_rev_s,
            drag_n,
            speed_lost_m_s: 0.0,
            is_loss_continued: false,
            phase_a: 0.0,
            brake_torque_n_m: 0.0,
            bank_w: 0.0,
            bank_a: 0.0,
            stored_w: 0.0,
            stored_a: 0.0,
        };
        self.priced(speed_m_s, state)
    }

    /// The controller on, the shaft held at `revs_per_s`, whatever that takes or gives. Limits are not
    /// looked at here.
    #[must_use]
    pub fn at_revs(&self, speed_m_s: f64, revs_per_s: f64) -> ModeState {
        self.priced(speed_m_s, self.turned(speed_m_s, revs_per_s))
    }

    /// As [`Self::at_revs`], what the drag costs in speed not asked yet.
    pub(super) fn turned(&self, speed_m_s: f64, revs_per_s: f64) -> ModeState {
        let (thrust_n, torque_n_m) = self.blades.thrust_torque(self.advance_m_s(speed_m_s), revs_per_s);
        let (side_torque_n_m, point) = self.motor_at(revs_per_s, torque_n_m);
        let running = f64::from(self.drives.running);
        let bank_w = running * self.controller.battery_power_w(&point);
        // A bank that could not give this power shows no current: the loads here are far below that.
        let bank_a = self.bank.terminal(bank_w).map_or(f64::NAN, |terminal| terminal.current_a);
        let stored_a = (-bank_a).max(0.0) * self.charge_efficiency;
        ModeState {
            shaft_rev_s: revs_per_s,
            drag_n: self.idle_drag_n(speed_m_s) - running * thrust_n,
            speed_lost_m_s: 0.0,
            is_loss_continued: false,
            phase_a: point.current_a.abs(),
            brake_torque_n_m: -side_torque_n_m,
            bank_w,
            bank_a,
            stored_w: stored_a * self.bank.open_circuit_v,
            stored_a,
        }
    }

    /// Power out of the bank of [`Self::at_revs`] alone \[W\], for searching.
    pub(super) fn bank_power_w(&self, speed_m_s: f64, revs_per_s: f64) -> f64 {
        let torque_n_m = self.blades.torque_n_m(self.advance_m_s(speed_m_s), revs_per_s);
        f64::from(self.drives.running)
            * self.controller.battery_power_w(&self.motor_at(revs_per_s, torque_n_m).1)
    }

    /// Torque of the motor's shaft \[N m\] and the motor, when the propeller asks for `torque_n_m`.
    fn motor_at(&self, revs_per_s: f64, torque_n_m: f64) -> (f64, MotorPoint) {
        let side = self.drive_line.motor_side(TAU * revs_per_s, torque_n_m);
        (side.torque_n_m, self.motor.steady(side.omega_rad_s, side.torque_n_m, self.motor_ambient_k))
    }
}
