//! A day and a year of her bank, with their strips. What only the sun decides is worked out once for the
//! same panels and place, however often loads and bank change.

use std::sync::{Mutex, PoisonError};

use crate::draw::{day_strip, year_strip};
use wakewright_core::energy::{Day, EnergyPlan, EnergyRequest, EnergyStudy};
use wakewright_picture::Strip;

use crate::boats::Loaded;
use crate::energy::{USUAL_YEAR, alternatives_of, day_of, plan_of, request_of};
use crate::no_answer::NoAnswer;
use crate::sampling;

/// Which day is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DayAsked {
    /// Month, 1 to 12.
    pub month: u32,
    /// She goes out on it.
    pub is_under_way: bool,
}

/// Day of the month that stands for it.
const DAY_OF_MONTH: u32 = 16;

/// A boat lived on.
#[derive(Debug)]
pub struct EnergyScene {
    /// What she is lived on with.
    pub plan: EnergyPlan,
    /// The day.
    pub day: Day,
    /// The year.
    pub study: EnergyStudy,
}

/// The last request with its year of sun: a moving slider mostly leaves both as they were.
static LAST: Mutex<Option<EnergyRequest>> = Mutex::new(None);

/// The year's request; its sun is taken over from the last one where place and panels are the same.
fn request(boat: &Loaded, plan: &EnergyPlan, with_more: bool) -> Result<EnergyRequest, NoAnswer> {
    let last = LAST.lock().unwrap_or_else(PoisonError::into_inner).take();
    let mut request = match last {
        Some(last) if last.plan.has_same_sun_as(plan) => last.for_plan(plan.clone()),
        _ => request_of(boat, plan.clone(), false)?,
    };
    *LAST.lock().unwrap_or_else(PoisonError::into_inner) = Some(request.clone());
    // Two panels of 100 W see the sun of one of 200 W; one more of them is another thing.
    request.alternatives = if with_more { alternatives_of(boat) } else { Vec::new() };
    Ok(request)
}

impl EnergyScene {
    /// Computes `boat` under so many weathers; `with_more` tries one more panel and one more pack as well.
    /// # Errors
    /// The faults of her document, or why there is no result.
    pub fn new(boat: &Loaded, asked: DayAsked, weathers: usize, with_more: bool) -> Result<Self, NoAnswer> {
        let plan = plan_of(boat, USUAL_YEAR)?;
        let day = day_of(boat, &plan, (USUAL_YEAR, asked.month, DAY_OF_MONTH), asked.is_under_way)?;
        let request = request(boat, &plan, with_more)?;
        let study = sampling::energy_study(&boat.spec, &request, weathers, sampling::DEFAULT_SEED)
            .map_err(|error| NoAnswer::input(format!("{}: {error}", boat.place)))?;
        Ok(Self { plan, day, study })
    }

    /// The day's strip.
    #[must_use]
    pub fn day_strip(&self, boat: &Loaded) -> Strip {
        day_strip(&boat.name, &self.plan, &self.day, boat.spec.boat.reserve)
    }

    /// The year's strip.
    #[must_use]
    pub fn year_strip(&self, boat: &Loaded) -> Strip {
        year_strip(&boat.name, &self.plan, &self.study, boat.spec.boat.reserve)
    }
}
