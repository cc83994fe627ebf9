//! The propeller turning the motor: how hard to brake for the most watts, or for the most watts at a
//! stated loss of speed. Not for: what each setting gives (`prepared`).

use super::prepared::{ModeState, UnderSail};
use crate::numeric::solve_bracketed;
use crate::propeller::four_quadrant::maximise;

/// Slowest and fastest boat speeds between which the onset is sought \[m/s\].
const ONSET_RANGE_M_S: (f64, f64) = (0.3, 10.0);
/// Half-width to which it is found: a fiftieth of a tenth of a knot.
const ONSET_TOLERANCE_M_S: f64 = 1e-3;

/// Share of the range of revolutions to which the best braking is found: the power there is flat to the
/// square of it.
const HUMP_SHARE: f64 = 1e-4;
/// Half-width to which revolutions at a limit are found \[rev/s\].
const REVS_TOLERANCE: f64 = 1e-7;

/// What can be had at one speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Harvest {
    /// The setting that gives the most.
    pub greatest: ModeState,
    /// The setting that gives the most for the stated loss of speed.
    pub within_loss: ModeState,
}

/// Why the bank takes nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoHarvest {
    /// Blades fold or feather.
    Stowed,
    /// The bank is full.
    Full,
    /// The cells are too cold to be charged.
    Cold,
    /// The cells are too hot to be charged.
    Hot,
    /// The flow gives less than the losses take.
    TooSlow,
}

impl NoHarvest {
    /// In words, after "nothing comes back:".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Stowed => "the blades are stowed under sail and do not turn",
            Self::Full => "the bank is full",
            Self::Cold => "the cells are too cold to be charged",
            Self::Hot => "the cells are too hot to be charged",
            Self::TooSlow => "at this speed the losses take all that the propeller gives",
        }
    }
}

impl UnderSail {
    /// Why the bank takes nothing at any speed; `None` when it does take charge.
    #[must_use]
    pub fn refusal(&self) -> Option<NoHarvest> {
        let temperatures = self.chemistry.temperatures();
        if self.is_stowed() {
            Some(NoHarvest::Stowed)
        } else if self.temperature_k < temperatures.charge_low_k {
            Some(NoHarvest::Cold)
        } else if self.temperature_k > temperatures.charge_high_k {
            Some(NoHarvest::Hot)
        } else if self.state_of_charge >= 1.0 || self.bank.charge_ceiling().power_w >= 0.0 {
            Some(NoHarvest::Full)
        } else {
            None
        }
    }

    /// The most that comes back at this speed, and the most for `loss_m_s` of speed beyond what the
    /// propeller costs already when its shaft is let go ([`UnderSail::free`]).
    ///
    /// Limits: what bank and controller take; the current in the motor's windings.
    /// # Errors
    /// [`NoHarvest`] says why nothing comes back.
    pub fn harvest(&self, speed_m_s: f64, loss_m_s: f64) -> Result<Harvest, NoHarvest> {
        if let Some(refusal) = self.refusal() {
            return Err(refusal);
        }
        let free = self.free_revs(speed_m_s);
        if free <= 0.0 {
            return Err(NoHarvest::TooSlow);
        }
        let stall = self.blades.stall_revs(self.advance_m_s(speed_m_s));
        let state = |revs: f64| self.turned(speed_m_s, revs);
        let mut best = self.greatest_at_revs(speed_m_s, stall, free);
        // Between the best setting and free turning everything rises with the braking.
        let ease_until = |from: f64, excess: &dyn Fn(&ModeState) -> f64| {
            if excess(&state(from)) <= 0.0 {
                return from;
            }
            solve_bracketed(|revs| excess(&state(revs)), from, free, REVS_TOLERANCE).unwrap_or(free)
        };
        best = ease_until(best, &|s| self.over_limits(s));
        let greatest = state(best);
        if greatest.stored_w <= 0.0 {
            return Err(NoHarvest::TooSlow);
        }
        let allowed_m_s = self.free(speed_m_s).speed_lost_m_s + loss_m_s;
        let drag_allowed_n = self.drag_at_price_n(speed_m_s, allowed_m_s);
        let within_loss = state(ease_until(best, &|s| s.drag_n - drag_allowed_n));
        Ok(Harvest {
            greatest: self.priced(speed_m_s, greatest),
            within_loss: self.priced(speed_m_s, within_loss),
        })
    }

    /// Revolutions between stall and free turning at which most goes into the bank.
    fn greatest_at_revs(&self, speed_m_s: f64, stall: f64, free: f64) -> f64 {
        maximise(|revs| -self.bank_power_w(speed_m_s, revs), stall, free, HUMP_SHARE)
    }

    /// How far a state lies above the tightest of what bank, controller and motor take; below zero when
    /// it is within all.
    fn over_limits(&self, state: &ModeState) -> f64 {
        let ceiling = self.bank.charge_ceiling();
        let into_w = -state.bank_w;
        (into_w / -ceiling.power_w)
            .max(
                -state.bank_a / f64::from(self.drives.running) / self.controller.regeneration_current_limit_a,
            )
            .max(state.phase_a / self.controller.phase_current_limit_a)
            - 1.0
    }

    /// Settings from free turning to the greatest braking torque, evenly over the revolutions.
    #[must_use]
    pub fn braking_range(&self, speed_m_s: f64, count: usize) -> Vec<ModeState> {
        let free = self.free_revs(speed_m_s);
        let stall = self.blades.stall_revs(self.advance_m_s(speed_m_s));
        if free <= 0.0 || self.is_stowed() {
            return Vec::new();
        }
        let steps = count.max(2) - 1;
        (0..count.max(2))
            .map(|i| self.at_revs(speed_m_s, free + (stall - free) * i as f64 / steps as f64))
            .collect()
    }

    /// Slowest boat speed at which anything comes back \[m/s\]; `None` when nothing does at any.
    #[must_use]
    pub fn onset_m_s(&self) -> Option<f64> {
        if self.refusal().is_some() {
            return None;
        }
        let (low, high) = ONSET_RANGE_M_S;
        let surplus = |speed: f64| {
            let free = self.free_revs(speed);
            let stall = self.blades.stall_revs(self.advance_m_s(speed));
            if free <= 0.0 {
                return -1.0;
            }
            -self.bank_power_w(speed, self.greatest_at_revs(speed, stall, free))
        };
        solve_bracketed(surplus, low, high, ONSET_TOLERANCE_M_S).ok()
    }
}
