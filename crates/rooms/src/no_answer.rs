//! Why there is no answer, in the words of the one who asked: one kind of no for commands and pages. Where
//! the reason is itself what had to be found, as a wind that she cannot hold against, it says what she can.
//! Not for: exit codes, pages.

use crate::boats::{LoadError, Loaded};
use crate::text::Paper;
use wakewright_core::boat::Boat;
use wakewright_core::steady::BoatError;
use wakewright_core::steady::{SteadyError, most_head_wind_m_s};
use wakewright_units::{Quantity, UnitSystem};

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoAnswer {
    /// The question is well put, and this is what was found instead of an answer.
    Finding(String),
    /// What was asked, or the document, cannot be read or cannot be.
    Input(String),
}

impl NoAnswer {
    /// What cannot be read or cannot be.
    pub fn input(message: impl Into<String>) -> Self {
        Self::Input(message.into())
    }

    /// Why `boat` has no answer.
    #[must_use]
    pub fn of(boat: &Loaded, error: &BoatError) -> Self {
        let why = why(&boat.name, &boat.spec.boat, error, &Paper::plain(UnitSystem::Trade));
        if is_finding(error) { Self::Finding(why) } else { Self::Input(why) }
    }

    /// What to say.
    #[must_use]
    pub fn message(&self) -> &str {
        match self {
            Self::Finding(message) | Self::Input(message) => message,
        }
    }
}

impl From<LoadError> for NoAnswer {
    fn from(error: LoadError) -> Self {
        Self::Input(error.message())
    }
}

impl From<wakewright_store::StoreError> for NoAnswer {
    fn from(error: wakewright_store::StoreError) -> Self {
        Self::Input(error.to_string())
    }
}

/// The reason as one or two sentences.
#[must_use]
pub fn why(name: &str, boat: &Boat, error: &BoatError, paper: &Paper) -> String {
    let BoatError::Steady(SteadyError::DrivenBack { thrust_n, limit }) = error else {
        return format!("{name}: {error}.");
    };
    let wind = |m_s: f64| paper.quantity(m_s, Quantity::Speed);
    let held = most_head_wind_m_s(boat).map_or_else(String::new, |(most_m_s, speed_m_s)| {
        let speed = paper.decimals(speed_m_s, Quantity::Speed, 1);
        format!(" Against {} from ahead she still makes {speed}.", wind(most_m_s))
    });
    format!(
        "{name} does not hold her ground against {} of wind from ahead: her propeller would have to give {}, and \
         {limit} allows less.{held}",
        wind(boat.sea.true_head_wind_m_s),
        paper.quantity(*thrust_n, Quantity::Force),
    )
}

/// Whether the reason is a finding about the boat, not a fault of what was asked.
#[must_use]
pub fn is_finding(error: &BoatError) -> bool {
    matches!(error, BoatError::Steady(SteadyError::DrivenBack { .. } | SteadyError::CannotMove { .. }))
}
