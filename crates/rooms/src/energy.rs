//! A day and a year of her bank: what is asked. Not for: computing.

use wakewright_core::energy::{Alternative, Day, EnergyPlan, EnergyRequest, Store, day, under_way};
use wakewright_records::boat::{energy_plan, panel_unit_w, render_faults};

use crate::boats::Loaded;
use crate::no_answer::NoAnswer;

/// Weathers sampled when nothing else is said.
pub const DEFAULT_WEATHERS: usize = 200;

/// Year whose sun is taken when no day is asked for: the sun of any year is the same within a tenth of a
/// degree.
pub const USUAL_YEAR: i64 = 2026;

/// The plan of `boat` with the sun of `year`.
/// # Errors
/// The faults of the document, with line and field.
pub fn plan_of(boat: &Loaded, year: i64) -> Result<EnergyPlan, NoAnswer> {
    energy_plan(&boat.document, &boat.spec, year)
        .map_err(|faults| NoAnswer::input(render_faults(&faults, boat.document.to_toml(), &boat.place)))
}

/// What is asked for the year: as she is and, when `with_more`, with one more panel and one more pack.
/// # Errors
/// When the sun's position cannot be found.
pub fn request_of(boat: &Loaded, plan: EnergyPlan, with_more: bool) -> Result<EnergyRequest, NoAnswer> {
    let alternatives = if with_more { alternatives_of(boat) } else { Vec::new() };
    EnergyRequest::new(plan, alternatives).map_err(|error| said(boat, &error))
}

/// One more panel like the first, where there is one, and one more pack.
#[must_use]
pub fn alternatives_of(boat: &Loaded) -> Vec<Alternative> {
    let panel = panel_unit_w(&boat.document).map(Alternative::MorePanel);
    panel.into_iter().chain([Alternative::MorePack]).collect()
}

/// The day `date` of `plan`, lying still or under way as in her week.
/// # Errors
/// When bank or sun cannot be computed.
pub fn day_of(
    boat: &Loaded,
    plan: &EnergyPlan,
    date: (i64, u32, u32),
    is_under_way: bool,
) -> Result<Day, NoAnswer> {
    let store = Store::new(&boat.spec.boat.bank).map_err(|error| said(boat, &error))?;
    let powers = is_under_way.then(|| under_way(&boat.spec.boat, plan, None).0);
    day(plan, &store, date, boat.spec.boat.bank.state_of_charge, powers.as_ref())
        .map_err(|error| said(boat, &error))
}

/// `error` as a fault of what was asked.
pub fn said(boat: &Loaded, error: &dyn std::error::Error) -> NoAnswer {
    NoAnswer::input(format!("{}: {error}", boat.place))
}
