//! How far she goes: what is asked. Not for: computing.

use wakewright_core::energy::DaySun;
use wakewright_core::study::Beyond;
use wakewright_units::factors::KNOT_M_S;

use crate::boats::Loaded;
use crate::energy::{USUAL_YEAR, plan_of};
use crate::no_answer::NoAnswer;
use crate::sentence::month_name;

/// A month from 1 to 12, by number or by the beginning of its name.
/// # Errors
/// What to write instead.
pub fn read_month(text: &str) -> Result<u32, String> {
    let wanted = text.trim().to_lowercase();
    let named = |month: &u32| wanted.len() >= 3 && month_name(*month).to_lowercase().starts_with(&wanted);
    match wanted.parse() {
        Ok(month @ 1..=12) => Ok(month),
        _ => (1..=12).find(named).ok_or_else(|| format!("{text} is no month; write June, Jun or 6")),
    }
}

/// Years from 0 to 20.
/// # Errors
/// What to write instead.
pub fn read_years(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(years) if (0.0..=20.0).contains(&years) => Ok(years),
        _ => Err("give a number of years from 0 to 20".to_owned()),
    }
}

/// What is asked beyond the bank as she is: the sun of a month, years.
/// # Errors
/// The faults of the document where it does not say what the sun needs.
pub fn beyond_of(boat: &Loaded, month: Option<u32>, years: Option<f64>) -> Result<Beyond, NoAnswer> {
    let sun = match month {
        Some(month) => {
            let plan = plan_of(boat, USUAL_YEAR)?;
            let sun = DaySun::of_month(&plan, month);
            Some(sun.map_err(|error| NoAnswer::input(format!("{}: {error}", boat.place)))?)
        }
        None => None,
    };
    Ok(Beyond { sun, years })
}

/// Every half knot from 1.5 kn to where the hull methods end.
#[must_use]
pub fn half_knots(boat: &Loaded) -> Vec<f64> {
    const FASTEST_FROUDE: f64 = 0.5;
    let length = boat.spec.boat.form.length_waterline_m;
    let fastest = FASTEST_FROUDE * (wakewright_core::constants::GRAVITY_M_S2 * length).sqrt();
    (3..).map(|half| 0.5 * f64::from(half) * KNOT_M_S).take_while(|speed| *speed <= fastest).collect()
}
