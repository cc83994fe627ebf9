//! The questions that a page or command asks of one boat, answered for one set of inputs: the
//! means of its inputs, or one sample of them. Not for: intervals (`summary.rs`).

use super::beyond::Beyond;
use crate::battery::{Discharge, FurtherBank};
use crate::boat::Boat;
use crate::notice::Notice;
use crate::steady::{Ask, BoatError, Bollard, Bound, Demand, FullThrottle, PreparedBoat, SteadyError};

/// What is asked of every sample.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Questions {
    /// Throttle positions, 0..1.
    pub throttles: Vec<f64>,
    /// Speeds through the water \[m/s\] for power and range.
    pub speeds_m_s: Vec<f64>,
    /// Shaft speeds \[rev/s\] for what the propeller asks.
    pub shafts_rev_s: Vec<f64>,
    /// What is asked of the range at each speed beyond the bank as she is.
    pub beyond: Beyond,
    /// How far full throttle carries, too.
    pub how_far_at_full: bool,
    /// The speed that a finding tells of \[m/s\]; without it one in the middle of those in reach.
    pub finding_speed_m_s: Option<f64>,
}

/// What a speed costs and how far it carries.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeedAnswer {
    /// The state at this speed.
    pub bound: Bound,
    /// From the state of charge now to the reserve at this speed; `None` when the speed is out of reach, or the bank
    /// does not hold it for a minute.
    pub discharge: Option<Discharge>,
    /// Seconds at this speed on the banks that are used after it, each down to the reserve, as far as they carry it.
    pub further_s: f64,
}

impl SpeedAnswer {
    /// True when no limit is exceeded.
    #[must_use]
    pub fn is_in_reach(&self) -> bool {
        self.discharge.is_some()
    }

    /// Time to the reserve of the last bank \[s\].
    #[must_use]
    pub fn duration_s(&self) -> Option<f64> {
        Some(self.discharge.as_ref()?.duration_s + self.further_s)
    }

    /// Distance through the water to the reserve \[m\].
    #[must_use]
    pub fn distance_m(&self) -> Option<f64> {
        Some(self.duration_s()? * self.bound.state.speed_m_s)
    }
}

/// Everything that was asked, for one set of inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// What binds at full throttle.
    pub full: FullThrottle,
    /// One for each throttle position asked; `Err` where the wind drives her back.
    pub at_throttles: Vec<Result<Bound, SteadyError>>,
    /// One for each speed asked; `Err` beyond the hull method.
    pub at_speeds: Vec<Result<SpeedAnswer, SteadyError>>,
    /// Full throttle and how far it carries, where that is asked.
    pub full_carries: Option<SpeedAnswer>,
    /// One for each shaft speed asked; `None` where she does not run steadily.
    pub at_shafts: Vec<Option<Demand>>,
    /// Thrust tied up at full throttle \[N\] and the shaft speed there \[rev/s\].
    pub bollard: Option<Bollard>,
}

/// Answers `questions` for `boat` as its inputs stand.
/// # Errors
/// [`BoatError`] when the boat cannot be prepared or has no steady state at full throttle.
pub fn answer(boat: &Boat, questions: &Questions) -> Result<(Answers, Vec<Notice>), BoatError> {
    let prepared = PreparedBoat::new(boat)?;
    let answers = answer_prepared(&prepared.value, boat, questions)?;
    Ok((answers, prepared.notices))
}

/// As [`answer`], for a boat that is prepared already.
/// # Errors
/// As [`answer`].
pub fn answer_prepared(
    prepared: &PreparedBoat,
    boat: &Boat,
    questions: &Questions,
) -> Result<Answers, BoatError> {
    let full = prepared.full_throttle()?;
    let at_throttles =
        questions.throttles.iter().map(|&throttle| prepared.solve(Ask::Throttle(throttle))).collect();
    let banks = if questions.speeds_m_s.is_empty() && !questions.how_far_at_full {
        Vec::new()
    } else {
        on_further_banks(prepared, boat)
    };
    let at_speed = |&speed: &f64| Ok(carries(boat, prepared.solve(Ask::Speed(speed))?, &banks));
    let at_speeds = questions.speeds_m_s.iter().map(at_speed).collect();
    let full_carries = questions.how_far_at_full.then(|| carries(boat, full.held, &banks));
    let at_shafts = questions.shafts_rev_s.iter().map(|&revs| prepared.demand_at(revs)).collect();
    Ok(Answers { full, at_throttles, at_speeds, full_carries, at_shafts, bollard: prepared.bollard() })
}

/// A speed that the bank carries for less than this is not held \[s\]: where its own limit binds, it falls with its
/// charge and ends the run at once.
pub(crate) const HELD_S: f64 = 60.0;

/// The boat on each of the banks that are used after the first. One that cannot be prepared carries nothing.
fn on_further_banks(prepared: &PreparedBoat, boat: &Boat) -> Vec<(Boat, PreparedBoat)> {
    let on = |further: &FurtherBank| {
        let reserve = further.reserve(boat.reserve);
        let boat = Boat { bank: further.bank.clone(), further: Vec::new(), reserve, ..boat.clone() };
        let prepared = prepared.with_drive_of(&boat).ok()?.value;
        Some((boat, prepared))
    };
    boat.further.iter().filter(|further| further.follows(&boat.bank)).filter_map(on).collect()
}

fn carries(boat: &Boat, bound: Bound, banks: &[(Boat, PreparedBoat)]) -> SpeedAnswer {
    let held = |boat: &Boat, bound: &Bound| {
        let is_in_reach = bound.usage.iter().all(|&share| share <= 1.0 + 1e-9);
        let discharge = if is_in_reach { boat.discharge_at(bound.state.bank_power_w()) } else { None };
        discharge.filter(|discharge| discharge.duration_s >= HELD_S)
    };
    let discharge = held(boat, &bound);
    // She is slowed to no other speed for a bank that cannot hold this one: it adds nothing.
    let on_bank = |(boat, prepared): &(Boat, PreparedBoat)| {
        Some(held(boat, &prepared.solve(Ask::Speed(bound.state.speed_m_s)).ok()?)?.duration_s)
    };
    let further_s = if discharge.is_some() { banks.iter().filter_map(on_bank).sum() } else { 0.0 };
    SpeedAnswer { bound, discharge, further_s }
}
