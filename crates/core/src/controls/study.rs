//! Everything that is told of the lever and the events of one boat. Not for: figures and sheets.

use super::event::Event;
use super::lever::Controls;
use super::reckon::Reckoner;
use super::reversing::Reversal;
use super::rules::judge;
use crate::boat::BoatSpec;
use crate::caution;
use crate::notice::{Notice, Severity, push_once};
use crate::sail::UnderSail;
use crate::steady::{Ask, BoatError, PreparedBoat, SteadyError};
use crate::wiring::{CircuitError, Harness, Judged, Verdict, WiringStudy};

/// Why there is nothing to tell.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ControlsError {
    /// The network is no circuit.
    #[error(transparent)]
    Circuit(#[from] CircuitError),
    /// The boat cannot be computed.
    #[error(transparent)]
    Boat(#[from] BoatError),
    /// She finds no steady state at full throttle.
    #[error(transparent)]
    Steady(#[from] SteadyError),
}

/// The least that the lever gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Creep {
    /// Speed through the water \[m/s\].
    pub speed_m_s: f64,
    /// Propeller shaft \[rev/s\].
    pub shaft_rev_s: f64,
    /// Current in the motor's leads \[A\].
    pub phase_a: f64,
    /// Current out of the bank \[A\].
    pub bank_a: f64,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct ControlsStudy {
    /// The lever.
    pub controls: Controls,
    /// The events.
    pub events: Vec<Event>,
    /// The rules on the lever, those that fail first.
    pub rules: Vec<Judged>,
    /// From full ahead to full astern; `None` where the propeller is not known astern.
    pub reversal: Option<Reversal>,
    /// The least that the lever gives, where a least demand is told.
    pub creep: Option<Creep>,
    /// Current that braking may put back now \[A\].
    pub braking_now_a: f64,
    /// Volts that the freely turning shaft makes at the speed she sails \[V\].
    pub sailing_v: Option<f64>,
    /// Speed at which she sails, told or taken \[m/s\].
    pub sailing_m_s: f64,
    /// Diameter of the propeller shaft \[m\].
    pub shaft_m: Option<f64>,
    /// Speed at full throttle \[m/s\].
    pub full_m_s: f64,
    /// Highest volts that the controller stands \[V\].
    pub stands_v: Option<f64>,
    /// Volts at which it stops braking \[V\].
    pub stops_at_v: Option<f64>,
    /// What to read first.
    pub notices: Vec<Notice>,
}

const INERTIA_GUESSED: Notice = Notice::Remark {
    severity: Severity::Note,
    text: "How heavy propeller and rotor are to turn is estimated from diameter and mass (from memory); the band of reversing is \
           that of the blades astern alone.",
    source: "smogeli2006",
};
const FOLDING: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "What folding blades do when they are turned astern is not known: reversing cannot be told.",
    source: "common practice, no source",
};

impl ControlsStudy {
    /// The study of `spec` with the parts `harness` and the lever `controls`.
    /// # Errors
    /// [`ControlsError`] says why there is nothing to tell.
    pub fn of(spec: &BoatSpec, harness: Harness, controls: Controls) -> Result<Self, ControlsError> {
        let boat = &spec.boat;
        let prepared = PreparedBoat::new(boat)?.value;
        let full = prepared.solve_limited(1.0, |_| true)?.state;
        let wiring = WiringStudy::of(spec, harness, None)?;
        let sail = UnderSail::new(boat).ok().map(|noted| noted.value);
        let sailing_m_s = controls.sailing_m_s.or(spec.fittings.cruising_speed_m_s).unwrap_or(full.speed_m_s);
        let free_v = |speed_m_s: f64| {
            let sail = sail.as_ref().filter(|sail| sail.turns_by_itself(speed_m_s))?;
            Some(sail.volts_without_bank_v(speed_m_s))
        };
        let sailing_v = free_v(sailing_m_s);
        let reckoner = Reckoner {
            wiring: &wiring,
            controls: &controls,
            full: &full,
            has_brushes: boat.controller.brush_drop_v > 0.0,
            one_lost: boat.bank.after_one_pack_trips(full.bank_power_w()).ok().flatten(),
            undervoltage_v: boat.controller.undervoltage_v,
            sailing_v,
            coasting_v: free_v(full.speed_m_s).unwrap_or(0.0),
        };
        let events = reckoner.events();
        let mut rules = judge(boat, &controls);
        rules.sort_by_key(|rule| (rule.verdict, !rule.kind.words().can_hurt));
        let braking_now_a = braking_now_a(boat, &prepared, &controls);
        let reversal =
            Reversal::of(boat, &prepared, &controls, &full, braking_now_a * prepared.bank().open_circuit_v);
        let mut notices = caution::of_controls();
        push_once(&mut notices, if reversal.is_some() { INERTIA_GUESSED } else { FOLDING });
        Ok(Self {
            creep: controls.first_demand.and_then(|first| creep(&prepared, first)),
            events,
            rules,
            reversal,
            braking_now_a,
            sailing_v,
            sailing_m_s,
            shaft_m: spec.fittings.shaft_diameter_m,
            full_m_s: full.speed_m_s,
            stands_v: boat.controller.overvoltage_v,
            stops_at_v: wiring.wired.harness.controller.stops_at_v,
            controls,
            notices,
        })
    }

    /// How many events and rules came out so.
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        self.events.iter().filter(|event| event.verdict == verdict).count()
            + self.rules.iter().filter(|rule| rule.verdict == verdict).count()
    }

    /// Somebody or something can be hurt.
    #[must_use]
    pub fn hurts(&self) -> bool {
        self.events.iter().any(|event| event.verdict == Verdict::Fails)
            || self.rules.iter().any(Judged::hurts)
    }
}

fn creep(prepared: &PreparedBoat, first_demand: f64) -> Option<Creep> {
    let state = prepared.solve(Ask::Throttle(first_demand)).ok()?.state;
    Some(Creep {
        speed_m_s: state.speed_m_s,
        shaft_rev_s: state.shaft_rev_s,
        phase_a: state.motor.current_a,
        bank_a: state.bank_a,
    })
}

/// What controller, packs, charge and temperature let flow back now, all drives together \[A\].
fn braking_now_a(boat: &crate::boat::Boat, prepared: &PreparedBoat, controls: &Controls) -> f64 {
    let is_full = controls.braking_full_at.is_some_and(|share| boat.bank.state_of_charge >= share);
    let is_cold = controls.braking_cold_at_k.is_some_and(|kelvin| boat.bank.temperature_k < kelvin);
    if is_full || is_cold {
        return 0.0;
    }
    let set_a = prepared.running() * boat.controller.regeneration_current_limit_a;
    set_a.min(-prepared.bank().charge_ceiling().current_a).max(0.0)
}
