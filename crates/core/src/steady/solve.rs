//! Finding the steady state that was asked for. Every question is one root along the speed axis:
//! at each speed the hull's demand fixes propeller, motor and bank outright (`prepared.rs`), and
//! everything that can be asked for rises with speed. Not for: what a state is made of.

use super::limit::{Limit, Usage, tightest};
use super::prepared::{PreparedBoat, SHARE_TOLERANCE};
use super::state::State;
use crate::numeric::{Crossing, RootError, solve_bracketed, solve_share};

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ask {
    /// Throttle position, 0..1.
    Throttle(f64),
    /// Propeller shaft \[rev/s\].
    ShaftSpeed(f64),
    /// Speed through the water \[m/s\].
    Speed(f64),
    /// Power at the bank's terminals \[W\], standing loads included.
    BankPower(f64),
}

/// Why there is no steady state for the question.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SteadyError {
    /// Wind and sea push her back with all that the drive can give.
    #[error(
        "she cannot hold against the wind: at standstill the propeller would have to give {thrust_n:.0} N and {limit} \
         allows less; ask for less wind"
    )]
    DrivenBack {
        /// Thrust needed at standstill \[N\].
        thrust_n: f64,
        /// What stops her, in words.
        limit: &'static str,
    },
    /// Even at rest a limit is passed: a bank below its cut-out, or too cold to be used.
    #[error("she cannot leave: even at standstill {limit} is passed")]
    CannotMove {
        /// What stops her, in words.
        limit: &'static str,
    },
    /// The question lies beyond the speeds that the hull method covers.
    #[error(
        "{asked} lies beyond {limit_m_s:.2} m/s through the water, where the hull method's published range ends; ask for less"
    )]
    BeyondHull {
        /// What was asked, in words.
        asked: &'static str,
        /// Fastest speed covered \[m/s\].
        limit_m_s: f64,
    },
    /// The question needs less than nothing.
    #[error("{asked} is below what she needs to lie still; ask for more")]
    BelowStandstill {
        /// What was asked, in words.
        asked: &'static str,
    },
    /// A throttle outside 0..1, a negative speed and the like.
    #[error("{asked} must be a number above zero{upper}")]
    NotPositive {
        /// What was asked, in words.
        asked: &'static str,
        /// Upper end, in words, or empty.
        upper: &'static str,
    },
    /// The propeller cannot give the thrust at any number of revolutions.
    #[error("at {speed_m_s:.2} m/s the propeller finds no number of revolutions for {thrust_n:.0} N")]
    NoThrust {
        /// Speed through the water \[m/s\].
        speed_m_s: f64,
        /// Thrust needed \[N\].
        thrust_n: f64,
    },
    /// The iteration gave up.
    #[error("the balance did not close: {0}")]
    NotConverged(#[from] RootError),
}

/// A state with what limits it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// The state.
    pub state: State,
    /// Share used of each limit.
    pub usage: Usage,
    /// The limit used most.
    pub limit: Limit,
}

/// Full throttle: what stops her, and what would stop her next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FullThrottle {
    /// Highest speed at which all limits hold, heat included: she can hold it for hours.
    pub held: Bound,
    /// Highest speed at which all limits that act at once hold, when heat would stop her earlier.
    pub burst: Option<Bound>,
    /// With the binding limit out of the way: the state at which the next one binds.
    pub next: Option<Bound>,
}

/// Slowest speed that counts as motion \[m/s\] (about 0.02 kn).
const STANDSTILL_M_S: f64 = 0.01;

impl PreparedBoat {
    /// The state that answers `ask`, with all limits beside it (a state asked by speed, shaft or
    /// power may lie beyond them: then a usage is above 1).
    /// # Errors
    /// [`SteadyError`] says why there is no such state.
    pub fn solve(&self, ask: Ask) -> Result<Bound, SteadyError> {
        match ask {
            Ask::Throttle(throttle) => {
                if !(throttle > 0.0 && throttle <= 1.0) {
                    return Err(SteadyError::NotPositive { asked: "the throttle", upper: ", 1 at most" });
                }
                self.solve_limited(throttle, |_| true)
            }
            Ask::Speed(speed) => {
                if speed.is_nan() || speed <= 0.0 {
                    return Err(SteadyError::NotPositive { asked: "the speed", upper: "" });
                }
                if speed > self.fastest_m_s() {
                    return Err(SteadyError::BeyondHull {
                        asked: "this speed",
                        limit_m_s: self.fastest_m_s(),
                    });
                }
                Ok(self.bound(self.checked_state_at(speed)?))
            }
            Ask::ShaftSpeed(revs) => self.solve_for("this shaft speed", revs, |state| state.shaft_rev_s),
            Ask::BankPower(power) => self.solve_for("this power", power, State::bank_power_w),
        }
    }

    /// Full throttle with what binds, what binds next, and the burst before the motor is hot.
    /// # Errors
    /// [`SteadyError`] when there is no steady state at all.
    pub fn full_throttle(&self) -> Result<FullThrottle, SteadyError> {
        let held = self.solve_limited(1.0, |_| true)?;
        let burst = match held.limit {
            Limit::MotorHeat => Some(self.solve_limited(1.0, Limit::acts_at_once)?),
            _ => None,
        };
        let next = match held.limit {
            Limit::HullMethod => None,
            binding => Some(self.solve_limited(1.0, |limit| limit != binding)?),
        };
        Ok(FullThrottle { held, burst, next })
    }

    /// The highest speed at which every limit that `counts` holds, at this throttle position.
    /// # Errors
    /// [`SteadyError`] when not even standstill is within the limits.
    pub fn solve_limited(
        &self,
        throttle: f64,
        counts: impl Fn(Limit) -> bool + Copy,
    ) -> Result<Bound, SteadyError> {
        // HullMethod always counts, so there is always a limit.
        let counted = |limit: Limit| limit == Limit::HullMethod || counts(limit);
        let evaluate = |speed: f64| {
            let state = self.checked_state_at(speed)?;
            let usage = self.usage(&state, throttle);
            let (limit, share) = tightest(&usage, counted);
            Ok((share, Bound { state, usage, limit }))
        };
        match self.solve_along_speed(evaluate)? {
            Crossing::At(_, bound) | Crossing::BelowToHigh(bound) => Ok(bound),
            Crossing::AboveFromLow(bound) => Err(stopped_at_rest(&bound)),
        }
    }

    fn solve_for(
        &self,
        asked: &'static str,
        wanted: f64,
        of: impl Fn(&State) -> f64,
    ) -> Result<Bound, SteadyError> {
        if !(wanted > 0.0 && wanted.is_finite()) {
            return Err(SteadyError::NotPositive { asked, upper: "" });
        }
        let evaluate = |speed: f64| {
            let state = self.checked_state_at(speed)?;
            Ok((of(&state) / wanted, state))
        };
        match self.solve_along_speed(evaluate)? {
            Crossing::At(_, state) => Ok(self.bound(state)),
            Crossing::AboveFromLow(_) => Err(SteadyError::BelowStandstill { asked }),
            Crossing::BelowToHigh(_) => Err(SteadyError::BeyondHull { asked, limit_m_s: self.fastest_m_s() }),
        }
    }

    fn solve_along_speed<T>(
        &self,
        evaluate: impl FnMut(f64) -> Result<(f64, T), SteadyError>,
    ) -> Result<Crossing<T>, SteadyError> {
        let high = self.fastest_m_s();
        solve_share(evaluate, self.slowest_m_s(), high, FIRST_GUESS * high, SHARE_TOLERANCE)
    }

    fn checked_state_at(&self, speed_m_s: f64) -> Result<State, SteadyError> {
        self.state_at(speed_m_s).ok_or_else(|| SteadyError::NoThrust {
            speed_m_s,
            thrust_n: self.hull().resistance_n(speed_m_s) / (1.0 - self.thrust_deduction()),
        })
    }

    /// The state with all limits at full throttle.
    fn bound(&self, state: State) -> Bound {
        let usage = self.usage(&state, 1.0);
        Bound { state, usage, limit: tightest(&usage, |_| true).0 }
    }

    /// Where the search along the speed axis begins: standstill, or the speed at which a following
    /// wind alone drives her.
    fn slowest_m_s(&self) -> f64 {
        let resistance = |speed: f64| self.hull().resistance_n(speed);
        if resistance(STANDSTILL_M_S) > 0.0 {
            return STANDSTILL_M_S;
        }
        // Just above the drift speed, so that the thrust is not negative.
        solve_bracketed(resistance, STANDSTILL_M_S, self.fastest_m_s(), 1e-6)
            .map_or(STANDSTILL_M_S, |drift| drift + 2e-6)
    }
}

/// Where along the speeds that the hull covers the search begins: most drives stop her near here.
const FIRST_GUESS: f64 = 0.5;

/// Thrust at standstill above which wind is what stops her, not the drive \[N\].
const DRIVEN_BACK_N: f64 = 1.0;

/// Why a limit is passed at the slowest speed already.
fn stopped_at_rest(bound: &Bound) -> SteadyError {
    let (limit, thrust_n) = (bound.limit.words(), bound.state.thrust_n);
    if thrust_n > DRIVEN_BACK_N && bound.usage[bound.limit as usize].is_finite() {
        SteadyError::DrivenBack { thrust_n, limit }
    } else {
        SteadyError::CannotMove { limit }
    }
}
