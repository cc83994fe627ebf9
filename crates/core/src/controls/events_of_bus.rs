//! Events that the bus feels: contactor or packs open while she drives, brakes, sails. Not for: what hangs on it (`reckon`).

use super::event::{Event, EventKind, Volts};
use super::reckon::{FIRST_S, POINTS, Reckoner};
use crate::field;
use crate::wiring::{RuleKind, Verdict, lifted_to_v, swung_to_v};

impl Reckoner<'_> {
    /// The controller goes on driving out of its capacitors until it stops for want of volts; the windings then empty
    /// into them. Highest is reached where it stops at once.
    pub(super) fn opens_driving(&self, kind: EventKind) -> Event {
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
            later: self.later(peak.unwrap_or(before_v), self.coasting_v),
            first,
        };
        let missing = self.missing_for_windings();
        let event = self.against(kind, volts, &missing, self.coasting());
        self.broken_by_contactor(event)
    }

    /// An event in which the contactor breaks the current is no better than the contactor.
    pub(super) fn broken_by_contactor(&self, mut event: Event) -> Event {
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

    pub(super) fn opens_braking(&self, kind: EventKind) -> Event {
        let (side, wired) = (&self.harness().controller, &self.wiring.wired);
        let course = &self.wiring.dump.braking;
        let mut missing = self.missing_for_windings();
        let own = [
            (side.stops_at_v.is_none(), field::controller::BRAKING_STOPS_AT),
            (side.delay_s.is_none(), field::controller::BRAKING_STOPS_IN),
        ];
        missing.extend(own.into_iter().filter_map(|(is_missing, key)| is_missing.then_some(key)));
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
            later: highest_v.map_or_else(Vec::new, |v| self.later(v, turning_v)),
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

    pub(super) fn key_off(&self) -> Event {
        let kind = EventKind::KeyOff;
        let rest_v = self.wiring.wired.full_v;
        let left = format!("She sails; {}.", self.lights());
        let Some(turning_v) = self.sailing_v else {
            let volts = Volts {
                before_v: rest_v,
                highest_v: Some(rest_v),
                at_least_v: rest_v,
                lowest_v: Some(rest_v),
                later: self.later(rest_v, 0.0),
                first: Vec::new(),
            };
            let why = "The propeller does not turn by itself at this speed.".to_owned();
            return Event { kind, verdict: Verdict::Passes, volts, weakest: None, way_m: None, why, left };
        };
        let side = &self.harness().controller;
        let windings = self.windings_j();
        let peak = side
            .capacitance_f
            .zip(windings)
            .map(|(farad, joules)| swung_to_v(farad, rest_v, turning_v, joules).max(turning_v));
        let volts = Volts {
            before_v: rest_v,
            highest_v: peak,
            at_least_v: rest_v.max(turning_v),
            lowest_v: Some(rest_v.min(turning_v)),
            later: self.later(peak.unwrap_or(rest_v), turning_v),
            first: peak.map_or_else(Vec::new, |v| vec![(0.0, rest_v), (0.0, v), (FIRST_S, v)]),
        };
        let missing = self.missing_for_windings();
        let mut event = self.against(kind, volts, &missing, left);
        event.why += &format!(" Turning freely the shaft makes {turning_v:.1} V.");
        event
    }

    pub(super) fn weakened(&self) -> Event {
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
            later: self.later(peak.unwrap_or(before_v), self.coasting_v),
            first: peak.map_or_else(Vec::new, |v| vec![(0.0, before_v), (0.0, v), (FIRST_S, v)]),
        };
        let missing = self.missing_for_windings();
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
                volts.later = self.later(before_v, self.coasting_v);
                let why = format!(
                    "The field is not weakened: at full throttle the shaft alone makes {shaft_v:.1} V, {} the bank's {before_v:.1} V.",
                    if shaft_v <= before_v { "below" } else { "above" }
                );
                let verdict = Verdict::of(Some(shaft_v <= before_v));
                Event { kind, verdict, volts, weakest: None, way_m: None, why, left: self.coasting() }
            }
            None => {
                volts.highest_v = None;
                volts.first = Vec::new();
                volts.later = Vec::new();
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
