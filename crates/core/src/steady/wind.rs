//! How much wind from ahead she can hold against. Not for: windage itself (`hull::windage`).

use wakewright_units::factors::KNOT_M_S;

use super::prepared::PreparedBoat;
use super::solve::Ask;
use crate::boat::Boat;

/// The strongest wind from ahead \[m/s\], in whole knots below that of `boat`, against which she still
/// moves at full throttle, and her speed through the water then \[m/s\]. `None` when she does
/// not move in a calm either.
#[must_use]
pub fn most_head_wind_m_s(boat: &Boat) -> Option<(f64, f64)> {
    let speed_against = |knots: u32| -> Option<f64> {
        let mut tried = boat.clone();
        tried.sea.true_head_wind_m_s = f64::from(knots) * KNOT_M_S;
        let bound = PreparedBoat::new(&tried).ok()?.value.solve(Ask::Throttle(1.0)).ok()?;
        Some(bound.state.speed_m_s)
    };
    let mut holds = (0, speed_against(0)?);
    let mut fails = (boat.sea.true_head_wind_m_s / KNOT_M_S).ceil().clamp(1.0, 1000.0) as u32;
    while fails - holds.0 > 1 {
        let middle = (holds.0 + fails) / 2;
        match speed_against(middle) {
            Some(speed_m_s) => holds = (middle, speed_m_s),
            None => fails = middle,
        }
    }
    Some((f64::from(holds.0) * KNOT_M_S, holds.1))
}
