//! Reckons the events: volts of the bus, what sees them, what comes of it. Not for: words that hold for every boat
//! (`event`).

use super::event::{Event, EventKind, Hangs, Volts};
use super::lever::{Controls, OnLoss, StopOrder};
use crate::battery::OnePackLost;
use crate::field;
use crate::steady::State;
use crate::wiring::{
    BUSBAR, CONTROLLER, DUTIES, Harness, MOTOR, PACK, RuleKind, Service, Verdict, WiringStudy, lifted_to_v,
    swung_to_v,
};

/// The first look \[s\].
const FIRST_S: f64 = 0.02;
/// The second \[s\].
const SECOND_S: f64 = 10.0;
/// Points of a drawn course.
const POINTS: usize = 40;

/// What the events are reckoned with.
pub(super) struct Reckoner<'a> {
    pub wiring: &'a WiringStudy,
    pub controls: &'a Controls,
    /// Full throttle ahead.
    pub full: &'a State,
    /// The other packs when one trips then; `None` where there is one pack.
    pub one_lost: Option<OnePackLost>,
    /// Limits of the packs' discharge are told.
    pub has_pack_limit: bool,
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
        EventKind::ALL.iter().map(|kind| self.event(*kind)).collect()
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

    fn harness(&self) -> &Harness {
        &self.wiring.wired.harness
    }

    /// Volts of the bus while she drives, and energy of the windings then.
    fn driving(&self) -> (f64, Option<f64>) {
        (self.full.bank_v, self.harness().controller.windings_j(self.wiring.wired.phase_a))
    }

    /// What the capacitors hold after ten seconds, no less than what the turning shaft makes.
    fn after_v(&self, from_v: f64, shaft_v: f64) -> f64 {
        let parts = self.harness().precharge.bleeder_ohm.zip(self.harness().controller.capacitance_f);
        let left = parts.map_or(from_v, |(ohm, farad)| from_v * (-SECOND_S / (ohm * farad)).exp());
        left.max(shaft_v)
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
    fn against(&self, kind: EventKind, volts: Volts, missing: &[&str], left: String) -> Event {
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
            (highest, Some((name, stands_v))) if volts.at_least_v > stands_v => (
                Verdict::Fails,
                format!(
                    "The volts reach {}{:.1} V and the {name} stands {stands_v:.1} V.",
                    if highest.is_some() { "" } else { "at least " },
                    highest.unwrap_or(volts.at_least_v)
                ),
            ),
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
    fn lights(&self) -> &'static str {
        let duty = &DUTIES[1];
        if !duty.nodes.iter().any(|name| self.wiring.wired.network.node(name).is_some()) {
            return "what lights and radio hang on is not told";
        }
        let contactors = &self.harness().contactors;
        let goes = self.wiring.lost.iter().any(|lost| {
            lost.duty == duty.words
                && lost.parts.len() == 1
                && contactors.iter().any(|contactor| contactor.name == lost.parts[0])
        });
        if goes { "lights and radio are gone too" } else { "lights and radio stay" }
    }

    fn coasting(&self) -> String {
        format!("No thrust; steerage while she carries her way; {}.", self.lights())
    }

    fn pack_trips(&self) -> Event {
        let kind = EventKind::PackTrips;
        let before_v = self.full.bank_v;
        let Some(lost) = &self.one_lost else {
            let mut event = self.opens_driving(kind);
            event.why = format!("There is one pack: with it all is off. {}", event.why);
            event.verdict = Verdict::Fails;
            "No thrust, and nothing that hangs on the bank.".clone_into(&mut event.left);
            return event;
        };
        let terminal = lost.remaining.terminal(self.full.bank_power_w());
        let after_v = terminal.map(|terminal| terminal.voltage_v);
        let verdict = match (self.has_pack_limit, lost.holds) {
            (false, _) => Verdict::CannotTell,
            (true, holds) => Verdict::of(Some(holds)),
        };
        let share = lost.share_of_limit;
        let why = match verdict {
            Verdict::CannotTell => "The packs' discharge limit is not given (pack.bms_discharge).".to_owned(),
            _ if share.is_finite() => format!("The others carry {:.0} % of their limit.", 100.0 * share),
            _ => "The others cannot give this power at any current.".to_owned(),
        };
        let left = if verdict == Verdict::Fails {
            "Where the controller does not fold back, the others trip in turn: no thrust and nothing on the bank."
                .to_owned()
        } else {
            format!("{:.1} kW from the packs that are left.", 1e-3 * lost.power_available_w)
        };
        let volts = Volts {
            before_v,
            highest_v: Some(before_v),
            at_least_v: before_v,
            lowest_v: after_v,
            after_v,
            first: after_v.map_or_else(Vec::new, |v| vec![(0.0, before_v), (0.0, v), (FIRST_S, v)]),
        };
        Event { kind, verdict, volts, weakest: None, way_m: None, why, left }
    }

    /// The controller goes on driving out of its capacitors until it stops for want of volts; the windings then empty
    /// into them. Highest is reached where it stops at once.
    fn opens_driving(&self, kind: EventKind) -> Event {
        let side = &self.harness().controller;
        let (before_v, windings) = self.driving();
        let peak =
            side.capacitance_f.zip(windings).map(|(farad, joules)| lifted_to_v(farad, before_v, joules));
        let mut first = vec![(0.0, before_v)];
        if let (Some(farad), Some(stops_v)) = (side.capacitance_f, self.undervoltage_v) {
            let watts = self.full.drive_power_w / self.full.drives;
            let lasts_s = (farad * (before_v * before_v - stops_v * stops_v) / (2.0 * watts)).max(0.0);
            let at = |time_s: f64| (before_v * before_v - 2.0 * watts * time_s / farad).max(0.0).sqrt();
            let until_s = lasts_s.min(FIRST_S);
            first.extend((1..=POINTS).map(|k| until_s * k as f64 / POINTS as f64).map(|t| (t, at(t))));
            if let Some(joules) = windings.filter(|_| lasts_s < FIRST_S) {
                first.push((lasts_s, lifted_to_v(farad, stops_v, joules)));
            }
            if let Some((_, end_v)) = first.last().copied() {
                first.push((FIRST_S, end_v));
            }
        }
        let volts = Volts {
            before_v,
            highest_v: peak.map(|v| v.max(self.coasting_v)),
            at_least_v: before_v.max(self.coasting_v),
            lowest_v: self.undervoltage_v,
            after_v: Some(self.after_v(peak.unwrap_or(before_v), self.coasting_v)),
            first,
        };
        let missing = self.missing(&[
            (side.capacitance_f.is_none(), field::controller::CAPACITANCE),
            (side.phase_inductance_h.is_none(), field::motor::PHASE_INDUCTANCE),
        ]);
        let event = self.against(kind, volts, &missing, self.coasting());
        self.broken_by_contactor(event)
    }

    /// An event in which the contactor breaks the current is no better than the contactor.
    fn broken_by_contactor(&self, mut event: Event) -> Event {
        let worst = self
            .wiring
            .rules
            .iter()
            .filter(|rule| rule.kind == RuleKind::SwitchBreaks)
            .filter(|rule| {
                self.harness().contactors.iter().any(|one| one.name == rule.part && !one.is_by_hand)
            })
            .min_by_key(|rule| rule.verdict);
        match worst {
            None => {
                event.verdict = event.verdict.min(Verdict::CannotTell);
                event.why += " No contactor is told.";
            }
            Some(rule) if rule.verdict != Verdict::Passes => {
                event.verdict = event.verdict.min(rule.verdict);
                event.why += &match rule.verdict {
                    Verdict::Fails => format!(" The {} does not break what flows.", rule.part),
                    _ => format!(" What the {} breaks is not given.", rule.part),
                };
            }
            Some(_) => {}
        }
        event
    }

    fn missing<'k>(&self, wanted: &[(bool, &'k str)]) -> Vec<&'k str> {
        wanted.iter().filter_map(|(is_missing, key)| is_missing.then_some(*key)).collect()
    }

    fn opens_braking(&self, kind: EventKind) -> Event {
        let (side, wired) = (&self.harness().controller, &self.wiring.wired);
        let course = &self.wiring.dump.braking;
        let missing = self.missing(&[
            (side.capacitance_f.is_none(), field::controller::CAPACITANCE),
            (side.stops_at_v.is_none(), field::controller::BRAKING_STOPS_AT),
            (side.delay_s.is_none(), field::controller::BRAKING_STOPS_IN),
            (side.phase_inductance_h.is_none(), field::motor::PHASE_INDUCTANCE),
        ]);
        let highest_v = missing.is_empty().then_some(course.highest_v);
        let turning_v = self.sailing_v.unwrap_or(0.0);
        // Without its own stop nothing is known to end the rise, but that it passes what the controller stands.
        let at_least_v = highest_v.unwrap_or(match (side.capacitance_f, side.stops_at_v, course.reached_s) {
            (Some(_), None, _) | (None, ..) => wired.full_v.max(turning_v),
            (Some(_), Some(stops_v), reached) => reached.map_or(wired.full_v, |_| stops_v).max(turning_v),
        });
        let every = (course.moments.len() / POINTS).max(1);
        let last = course.moments.last();
        let mut first: Vec<(f64, f64)> =
            course.moments.iter().step_by(every).chain(last).map(|one| (one.time_s, one.bus_v)).collect();
        if let (Some(v), Some(end)) = (highest_v, last) {
            first.extend([(end.time_s, v), (FIRST_S, v)]);
        }
        let volts = Volts {
            before_v: wired.full_v,
            highest_v,
            at_least_v,
            lowest_v: Some(wired.full_v),
            after_v: highest_v.map(|v| self.after_v(v, turning_v)),
            first,
        };
        let left = if kind == EventKind::PacksBraking {
            "She sails; nothing that hangs on the bank works until the packs close again.".to_owned()
        } else {
            format!("She sails; the propeller turns freely; {}.", self.lights())
        };
        let mut event = self.against(kind, volts, &missing, left);
        if event.verdict == Verdict::CannotTell && side.stops_at_v.is_none() {
            event.why += " Without a stop of its own the controller passes every limit.";
        }
        event
    }

    fn stopped(&self) -> Event {
        let kind = EventKind::EmergencyStop;
        let at_once = self.opens_driving(kind);
        match self.controls.stop {
            Some(StopOrder::AtOnce) => at_once,
            Some(StopOrder::TorqueFirst) => {
                let rest_v = self.wiring.wired.full_v;
                let volts = Volts {
                    before_v: self.full.bank_v,
                    highest_v: Some(rest_v),
                    at_least_v: rest_v,
                    lowest_v: Some(self.full.bank_v),
                    after_v: Some(self.after_v(rest_v, self.coasting_v)),
                    first: vec![(0.0, self.full.bank_v), (0.0, rest_v), (FIRST_S, rest_v)],
                };
                Event {
                    kind,
                    verdict: Verdict::Passes,
                    volts,
                    weakest: None,
                    way_m: None,
                    why: "The torque is gone before the contactor opens: the packs take what the windings hold."
                        .to_owned(),
                    left: self.coasting(),
                }
            }
            None if at_once.verdict == Verdict::Passes => at_once,
            None => Event {
                verdict: Verdict::CannotTell,
                why: format!(
                    "Whether the torque goes first is not told ({}); with the contactor at once: {}",
                    field::controls::STOP_ORDER,
                    at_once.why
                ),
                ..at_once
            },
        }
    }

    fn signal_lost(&self, kind: EventKind, does: Option<OnLoss>) -> Event {
        let is_wire = kind == EventKind::WireBroken;
        let wanted = if is_wire { field::controls::WIRE_BROKEN } else { field::controls::SENSOR_LOST };
        let (verdict, why, left) = match does {
            None => (Verdict::CannotTell, format!("What the drive does then is not told ({wanted})."), None),
            Some(OnLoss::Stops) => (Verdict::Passes, "The drive stops by itself.".to_owned(), None),
            Some(OnLoss::Holds) if is_wire => (
                Verdict::Fails,
                "She goes on as the lever last stood: the stop alone ends it.".to_owned(),
                Some("All of her drive, at a speed that nobody asks for."),
            ),
            Some(OnLoss::Holds) => (
                Verdict::Passes,
                "The drive goes on by reckoning where its rotor stands.".to_owned(),
                Some("Thrust; creep and reversing may stutter."),
            ),
            Some(OnLoss::RunsUp) => (
                Verdict::Fails,
                "The drive runs up: the stop alone ends it.".to_owned(),
                Some("All of her drive, at a speed that nobody asks for."),
            ),
        };
        let stops = does == Some(OnLoss::Stops);
        let rest_v = self.wiring.wired.full_v;
        let end_v = if stops { rest_v } else { self.full.bank_v };
        let volts = Volts {
            before_v: self.full.bank_v,
            highest_v: does.map(|_| end_v),
            at_least_v: self.full.bank_v,
            lowest_v: does.map(|_| self.full.bank_v),
            after_v: does.map(|_| end_v),
            first: Vec::new(),
        };
        let noticed_s = self.controls.wire_noticed_s.filter(|_| stops && is_wire);
        Event {
            kind,
            verdict,
            volts,
            weakest: None,
            way_m: noticed_s.map(|seconds| seconds * self.full.speed_m_s),
            why,
            left: left.map_or_else(|| self.coasting(), str::to_owned),
        }
    }

    /// Contactors drop out under whatever flows: no better than when they open driving or braking.
    fn supply_lost(&self) -> Event {
        let kind = EventKind::TwelveVoltsLost;
        let coils: Vec<_> = self.harness().contactors.iter().filter(|one| !one.is_by_hand).collect();
        let driving = self.opens_driving(EventKind::ContactorDriving);
        let braking = self.opens_braking(EventKind::ContactorBraking);
        let worse = if braking.verdict < driving.verdict { braking } else { driving };
        let unfed = coils.iter().find(|one| one.coil_from.is_none());
        let (verdict, why) = match (coils.is_empty(), unfed) {
            (true, _) => (Verdict::CannotTell, "No contactor is told.".to_owned()),
            (_, Some(one)) => (
                Verdict::CannotTell,
                format!(
                    "What feeds the coil of the {} is not told ({}).",
                    one.name,
                    field::contactor::COIL_FROM
                ),
            ),
            (false, None) => {
                let from = coils[0].coil_from.as_deref().unwrap_or_default();
                (worse.verdict, format!("With {from} the {} drops out. {}", coils[0].name, worse.why))
            }
        };
        Event {
            kind,
            verdict,
            why,
            left: "No thrust, and nothing else that hangs on that supply; she steers by hand.".to_owned(),
            ..worse
        }
    }

    fn key_off(&self) -> Event {
        let kind = EventKind::KeyOff;
        let rest_v = self.wiring.wired.full_v;
        let left = format!("She sails; {}.", self.lights());
        let Some(turning_v) = self.sailing_v else {
            let volts = Volts {
                before_v: rest_v,
                highest_v: Some(rest_v),
                at_least_v: rest_v,
                lowest_v: Some(rest_v),
                after_v: Some(self.after_v(rest_v, 0.0)),
                first: Vec::new(),
            };
            let why = "The propeller does not turn by itself at this speed.".to_owned();
            return Event { kind, verdict: Verdict::Passes, volts, weakest: None, way_m: None, why, left };
        };
        let side = &self.harness().controller;
        let windings = side.windings_j(self.wiring.wired.phase_a);
        let peak = side
            .capacitance_f
            .zip(windings)
            .map(|(farad, joules)| swung_to_v(farad, rest_v, turning_v, joules).max(turning_v));
        let volts = Volts {
            before_v: rest_v,
            highest_v: peak,
            at_least_v: rest_v.max(turning_v),
            lowest_v: Some(rest_v.min(turning_v)),
            after_v: Some(self.after_v(peak.unwrap_or(rest_v), turning_v)),
            first: peak.map_or_else(Vec::new, |v| vec![(0.0, rest_v), (0.0, v), (FIRST_S, v)]),
        };
        let missing = self.missing(&[
            (side.capacitance_f.is_none(), field::controller::CAPACITANCE),
            (side.phase_inductance_h.is_none(), field::motor::PHASE_INDUCTANCE),
        ]);
        let mut event = self.against(kind, volts, &missing, left);
        event.why += &format!(" Turning freely the shaft makes {turning_v:.1} V.");
        event
    }

    fn weakened(&self) -> Event {
        let kind = EventKind::WeakenedTrip;
        let (before_v, windings) = self.driving();
        let (side, shaft_v) = (&self.harness().controller, self.wiring.wired.demand.motor_v);
        let peak = side
            .capacitance_f
            .zip(windings)
            .map(|(farad, joules)| swung_to_v(farad, before_v, shaft_v, joules).max(shaft_v));
        let mut volts = Volts {
            before_v,
            highest_v: peak,
            at_least_v: before_v.max(shaft_v),
            lowest_v: Some(before_v),
            after_v: Some(self.after_v(peak.unwrap_or(before_v), self.coasting_v)),
            first: peak.map_or_else(Vec::new, |v| vec![(0.0, before_v), (0.0, v), (FIRST_S, v)]),
        };
        let missing = self.missing(&[
            (side.capacitance_f.is_none(), field::controller::CAPACITANCE),
            (side.phase_inductance_h.is_none(), field::motor::PHASE_INDUCTANCE),
        ]);
        match self.controls.weakens_field {
            Some(true) => {
                let mut event = self.against(kind, volts, &missing, self.coasting());
                event.why += &format!(
                    " At full throttle the shaft alone makes {shaft_v:.1} V, and the bank stands at {before_v:.1} V."
                );
                event
            }
            Some(false) => {
                volts.highest_v = Some(before_v.max(shaft_v));
                volts.first = Vec::new();
                volts.after_v = Some(self.after_v(before_v, self.coasting_v));
                let why = format!(
                    "The field is not weakened: at full throttle the shaft alone makes {shaft_v:.1} V, below the bank."
                );
                let verdict = Verdict::of(Some(shaft_v <= before_v));
                Event { kind, verdict, volts, weakest: None, way_m: None, why, left: self.coasting() }
            }
            None => {
                volts.highest_v = None;
                volts.first = Vec::new();
                volts.after_v = None;
                let why = format!(
                    "Whether the field is weakened is not told ({}).",
                    field::controller::FIELD_WEAKENING
                );
                let left = self.coasting();
                Event { kind, verdict: Verdict::CannotTell, volts, weakest: None, way_m: None, why, left }
            }
        }
    }
}
