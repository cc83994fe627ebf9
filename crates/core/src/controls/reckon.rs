//! Reckons the events: volts of the bus, what sees them, what comes of it. Not for: words that hold for every boat
//! (`event`).

use super::event::{Event, EventKind, Hangs, Volts};
use super::lever::Controls;
use crate::battery::OnePackLost;
use crate::field;
use crate::steady::State;
use crate::wiring::{
    BUSBAR, CONTACTOR_OF_A_NAME, CONTROLLER, DUTIES, Harness, MOTOR, PACK, Service, Verdict, WiringStudy,
};

/// The first look \[s\].
pub(super) const FIRST_S: f64 = 0.02;
/// The second \[s\].
pub(super) const SECOND_S: f64 = 10.0;
/// Points of a drawn course.
pub(super) const POINTS: usize = 40;
/// A broken wire should be noticed within this \[s\]: common practice, no source.
pub(super) const QUICK_S: f64 = 1.0;
/// Steps of the second look.
const HALF_SECONDS: u32 = 20;

/// What the events are reckoned with.
pub(super) struct Reckoner<'a> {
    pub wiring: &'a WiringStudy,
    pub controls: &'a Controls,
    /// Full throttle ahead.
    pub full: &'a State,
    /// The motor has brushes: no sensor of its position, no field to weaken.
    pub has_brushes: bool,
    /// The other packs when one trips then; `None` where there is one pack.
    pub one_lost: Option<OnePackLost>,
    /// Volts at which the controller stops for want of them \[V\].
    pub undervoltage_v: Option<f64>,
    /// Volts that the shaft makes turning freely at the speed she sails \[V\]; `None` where it does not turn.
    pub sailing_v: Option<f64>,
    /// The same at full throttle's speed.
    pub coasting_v: f64,
}

impl Reckoner<'_> {
    /// Every event.
    pub fn events(&self) -> Vec<Event> {
        // A motor with brushes has neither.
        let is_hers = |kind: &&EventKind| {
            !self.has_brushes || !matches!(kind, EventKind::SensorLost | EventKind::WeakenedTrip)
        };
        EventKind::ALL.iter().filter(is_hers).map(|kind| self.event(*kind)).collect()
    }

    fn event(&self, kind: EventKind) -> Event {
        match kind {
            EventKind::PackTrips => self.pack_trips(),
            EventKind::ContactorDriving => self.opens_driving(kind),
            EventKind::ContactorBraking | EventKind::PacksBraking => self.opens_braking(kind),
            EventKind::EmergencyStop => self.stopped(),
            EventKind::WireBroken => self.signal_lost(kind, self.controls.wire_broken),
            EventKind::SensorLost => self.signal_lost(kind, self.controls.sensor_lost),
            EventKind::TwelveVoltsLost => self.supply_lost(),
            EventKind::KeyOff => self.key_off(),
            EventKind::WeakenedTrip => self.weakened(),
        }
    }

    pub(super) fn harness(&self) -> &Harness {
        &self.wiring.wired.harness
    }

    /// Volts of the bus while she drives, and energy of the windings then.
    pub(super) fn driving(&self) -> (f64, Option<f64>) {
        (self.full.bank_v, self.windings_j())
    }

    /// Energy of the windings at the limit of the motor current; `None` where either is not told.
    pub(super) fn windings_j(&self) -> Option<f64> {
        self.harness().controller.windings_j(self.controls.phase_a?)
    }

    /// What the fields are called that tell it and are missing.
    pub(super) fn missing_for_windings(&self) -> Vec<&'static str> {
        let side = &self.harness().controller;
        let wanted = [
            (side.capacitance_f.is_none(), field::controller::CAPACITANCE),
            (side.phase_inductance_h.is_none(), field::motor::PHASE_INDUCTANCE),
            (self.controls.phase_a.is_none(), field::controller::PHASE_CURRENT),
        ];
        wanted.into_iter().filter_map(|(is_missing, key)| is_missing.then_some(key)).collect()
    }

    /// What the capacitors hold through ten seconds, no less than what the turning shaft makes.
    pub(super) fn later(&self, from_v: f64, shaft_v: f64) -> Vec<(f64, f64)> {
        let parts = self.harness().precharge.bleeder_ohm.zip(self.harness().controller.capacitance_f);
        let left =
            |time_s: f64| parts.map_or(from_v, |(ohm, farad)| from_v * (-time_s / (ohm * farad)).exp());
        let half_second = SECOND_S / f64::from(HALF_SECONDS);
        (0..=HALF_SECONDS).map(|k| f64::from(k) * half_second).map(|t| (t, left(t).max(shaft_v))).collect()
    }

    /// Everything that stays joined to the controller with the contactors open; with `whole_bank` up to the packs.
    fn hanging(&self, whole_bank: bool) -> Vec<Hangs> {
        let harness = self.harness();
        let opens = |place: usize| {
            !whole_bank && harness.contactors.iter().any(|one| one.cable == place && !one.is_by_hand)
        };
        let runs: Vec<_> = harness
            .cables
            .iter()
            .enumerate()
            .filter(|(place, cable)| cable.service != Service::Phase && !opens(*place))
            .map(|(_, cable)| cable)
            .collect();
        let mut reached = vec![CONTROLLER];
        let mut next = 0;
        while next < reached.len() {
            let at = reached[next];
            for cable in &runs {
                let other = match (cable.from == at, cable.to == at) {
                    (true, _) => cable.to.as_str(),
                    (_, true) => cable.from.as_str(),
                    _ => continue,
                };
                if !other.starts_with(PACK) && !reached.contains(&other) {
                    reached.push(other);
                }
            }
            next += 1;
        }
        let mut found = vec![Hangs { name: CONTROLLER.to_owned(), stands_v: self.wiring.wired.stands_v }];
        for name in reached.iter().filter(|name| ![CONTROLLER, BUSBAR, MOTOR].contains(*name)) {
            let mut at = runs.iter().filter(|cable| cable.from == *name || cable.to == *name);
            if let (Some(cable), None) = (at.next(), at.next()) {
                found.push(Hangs { name: (*name).to_owned(), stands_v: cable.end_stands_v });
            }
        }
        if harness.is_assumed {
            found.push(Hangs { name: "what else hangs there".to_owned(), stands_v: None });
        }
        found
    }

    /// Holds the peak against everything that sees it.
    pub(super) fn against(&self, kind: EventKind, volts: Volts, missing: &[&str], left: String) -> Event {
        let has_contactor = self.harness().contactors.iter().any(|one| !one.is_by_hand);
        let hanging = self.hanging(kind == EventKind::PacksBraking || !has_contactor);
        let told = hanging.iter().filter(|one| one.stands_v.is_some());
        let weakest = told
            .min_by(|a, b| a.stands_v.unwrap_or(f64::MAX).total_cmp(&b.stands_v.unwrap_or(f64::MAX)))
            .cloned();
        let stands = weakest.as_ref().and_then(|one| Some((one.name.as_str(), one.stands_v?)));
        let untold: Vec<&str> =
            hanging.iter().filter(|one| one.stands_v.is_none()).map(|one| one.name.as_str()).collect();
        let (verdict, why) = match (volts.highest_v, stands) {
            (highest, Some((name, stands_v)))
                if highest.unwrap_or(volts.at_least_v).max(volts.at_least_v) > stands_v =>
            {
                (
                    Verdict::Fails,
                    format!(
                        "The volts reach {}{:.1} V and the {name} stands {stands_v:.1} V.",
                        if highest.is_some() { "" } else { "at least " },
                        highest.unwrap_or(volts.at_least_v)
                    ),
                )
            }
            (Some(highest), Some((name, stands_v))) if untold.is_empty() => (
                Verdict::Passes,
                format!("The volts reach {highest:.1} V; least stands the {name}, {stands_v:.1} V."),
            ),
            (highest, _) => {
                let mut why = highest.map_or_else(
                    || "How high the volts go cannot be told.".to_owned(),
                    |highest| format!("The volts reach {highest:.1} V."),
                );
                if !missing.is_empty() {
                    why += &format!(" Not given: {}.", missing.join(", "));
                }
                if !untold.is_empty() {
                    why += &format!(" What these stand is not given: {}.", untold.join(", "));
                }
                (Verdict::CannotTell, why)
            }
        };
        Event { kind, verdict, volts, weakest, way_m: None, why, left }
    }

    /// Lights and radio after the contactor, in words.
    pub(super) fn lights(&self) -> &'static str {
        let duty = &DUTIES[1];
        if !duty.nodes.iter().any(|name| self.wiring.wired.network.node(name).is_some()) {
            return "what lights and radio hang on is not told";
        }
        let contactors = &self.harness().contactors;
        let goes = self.wiring.lost.iter().any(|lost| {
            lost.duty == duty.words
                && lost.parts.len() == 1
                && contactors.iter().any(|contactor| {
                    contactor.name == lost.parts[0].trim_end_matches(CONTACTOR_OF_A_NAME)
                        && !lost.parts[0].ends_with(')')
                        || lost.parts[0] == format!("{}{CONTACTOR_OF_A_NAME}", contactor.name)
                })
        });
        if goes { "lights and radio are gone too" } else { "lights and radio stay" }
    }

    pub(super) fn coasting(&self) -> String {
        format!("No thrust; steerage while she carries her way; {}.", self.lights())
    }
}
