//! A candidate computed as any boat is, by the steady state itself: what is shown is this, not the
//! tables. Not for: finding candidates.

use super::choice::Change;
use super::demand::Demand;
use super::front::{Member, Merits};
use super::limits::Cause;
use super::prepared::{CRUISE_SPEEDS, Search};
use super::space::NEW_BLADES;
use crate::battery::{Discharge, TOUCH_LIMIT_V};
use crate::boat::{Boat, BoatSpec, Input};
use crate::practice::{Finding, forbidden};
use crate::propeller::PropellerChange;
use crate::steady::{Ask, BoatError, Bound, FullThrottle, Limit};

/// A candidate with its steady states.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// Its number in the space; `None` for the boat as she is.
    pub index: Option<usize>,
    /// What is changed.
    pub change: Change,
    /// Its motor by type and rating.
    pub motor: String,
    /// The boat.
    pub boat: Boat,
    /// Full throttle.
    pub full: FullThrottle,
    /// The cruising speeds.
    pub cruise: [Bound; CRUISE_SPEEDS],
    /// From the charge now to the reserve at the first cruising speed; `None` when out of reach.
    pub discharge: Option<Discharge>,
    /// Its merits by the steady state.
    pub merits: Merits,
    /// What must not be so of it: it is no pick.
    pub forbidden: Vec<Finding>,
    /// True when it is the pick.
    pub is_picked: bool,
}

/// `member` by the steady state.
/// # Errors
/// [`BoatError`] when the boat has no steady state.
pub fn evaluate(search: &Search, member: &Member) -> Result<Candidate, BoatError> {
    let boat = search.boat(member.index);
    let change = Change::of(search.space(), search.base(), member.index);
    Candidate::of(search, Some(member.index), boat, change, &member.merits)
}

impl Candidate {
    fn of(
        search: &Search,
        index: Option<usize>,
        boat: Boat,
        change: Change,
        by_tables: &Merits,
    ) -> Result<Self, BoatError> {
        let prepared = search.present.with_drive_of(&boat)?.value;
        let full = prepared.full_throttle()?;
        let [first, second, third] = search.cruise_m_s().map(|speed| prepared.solve(Ask::Speed(speed)));
        let cruise = [first?, second?, third?];
        let state = &cruise[0].state;
        let is_in_reach = cruise[0].usage.iter().all(|&share| share <= 1.0 + 1e-9);
        let discharge = if is_in_reach { boat.discharge_at(state.bank_power_w()) } else { None };
        let tip_m_s = std::f64::consts::PI * state.shaft_rev_s * boat.propeller.diameter_m;
        let merits = Merits {
            energy_per_metre_j: state.energy_per_metre_j(),
            top_speed_m_s: full.held.state.speed_m_s,
            tip_speed_m_s: state.speed_of_advance_m_s.hypot(tip_m_s),
            ..*by_tables
        };
        let motor = index.map_or_else(
            || "as aboard".to_owned(),
            |index| search.space().machines[search.space().place(index).machine].words.clone(),
        );
        let forbidden = forbidden(&boat, search.fittings(), &prepared, &full.held.state);
        Ok(Self { index, change, motor, boat, full, cruise, discharge, merits, forbidden, is_picked: false })
    }

    /// Miles at the first cruising speed, as metres through the water.
    #[must_use]
    pub fn distance_m(&self) -> Option<f64> {
        self.discharge.as_ref().map(|d| d.duration_s * self.cruise[0].state.speed_m_s)
    }

    /// The boat of this candidate with what stays unsure about her: the spreads of parts that are replaced
    /// go, those of hull, sea, and the propeller series stay.
    #[must_use]
    pub fn spec(&self, base: &BoatSpec) -> BoatSpec {
        use PropellerChange::{New, None as Kept};
        let mut spec = BoatSpec { boat: self.boat.clone(), ..base.clone() };
        let (propeller, motor) = (self.change.propeller, self.change.motor);
        spec.uncertain.retain(|unsure| match unsure.input {
            Input::PropellerPitch => propeller == Kept,
            Input::PropellerDiameter | Input::AreaRatio => propeller != New,
            Input::SpeedConstant
            | Input::MotorResistance
            | Input::NoLoadCurrent
            | Input::IronShare
            | Input::BrushDrop
            | Input::StandingLoss
            | Input::RatedPower
            | Input::PhaseCurrent
            | Input::BatteryCurrent => !motor,
            Input::ReductionEfficiency | Input::Ratio => !self.change.reduction,
            _ => true,
        });
        for unsure in &mut spec.uncertain {
            if unsure.input == Input::TorqueFactor && propeller == New {
                unsure.spread = self.boat.propeller.pattern.torque_factor();
            }
            if unsure.input == Input::BladeGrowth
                && propeller == New
                && self.boat.blades_sand_height_m < base.boat.blades_sand_height_m
            {
                unsure.spread = NEW_BLADES.sand_height_spread();
            }
        }
        spec
    }
}

impl Search {
    /// The boat as she is, held against the same questions.
    /// # Errors
    /// [`BoatError`] when she has no steady state.
    pub fn present(&self) -> Result<Candidate, BoatError> {
        let mut boat = self.base().clone();
        boat.motor.field_weakening = None;
        let change = Change {
            propeller: PropellerChange::None,
            reduction: false,
            motor: false,
            voltage: false,
            packs: 0,
        };
        let packs: f64 = boat.bank.groups.iter().map(super::space::packs_mass_kg).sum();
        let motor = f64::from(boat.drives.fitted()) * boat.motor.motor()?.value.mass_kg;
        let merits = Merits {
            energy_per_metre_j: 0.0,
            top_speed_m_s: 0.0,
            mass_kg: motor + packs,
            cost: 0.0,
            tip_speed_m_s: 0.0,
        };
        Candidate::of(self, None, boat, change, &merits)
    }

    /// What keeps the boat as she is off the list of candidates, in words; `None` where nothing does.
    #[must_use]
    pub fn refuses(&self, present: &Candidate) -> Option<&'static str> {
        let touch_v = present.boat.bank.highest_charging_v();
        let by_touch = !self.demands.may_exceed_touch_limit && touch_v > TOUCH_LIMIT_V;
        let by_propeller = || Demand::new(self, &present.boat.propeller, false).first_violation();
        let fastest = &present.cruise[self.fastest_cruise];
        let by_cruise = || fastest.usage.iter().position(|&share| share > 1.0 + 1e-9);
        by_propeller()
            .or_else(|| by_touch.then_some(Cause::Touch))
            .map(Cause::words)
            .or_else(|| by_cruise().map(|limit| Limit::ALL[limit].words()))
    }
}
