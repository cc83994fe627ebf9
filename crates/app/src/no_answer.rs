//! Why a boat has no answer, in the words of the one who asked. Where the reason is itself what had to be
//! found, as a wind that she cannot hold against, it says what she can.
//! Not for: faults of her document (`boats`).

use wakewright_core::boat::Boat;
use wakewright_core::steady::{BoatError, SteadyError, most_head_wind_m_s};
use wakewright_report::text::Paper;
use wakewright_units::Quantity;

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
