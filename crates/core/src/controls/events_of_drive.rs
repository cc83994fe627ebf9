//! Events in which the drive loses a pack, a signal or its supply, or is stopped. Not for: the volts of a bus that is cut
//! off (`events_of_bus`).

use super::event::{Event, EventKind, Volts};
use super::lever::{OnLoss, StopOrder};
use super::reckon::{FIRST_S, QUICK_S, Reckoner, SECOND_S};
use crate::field;
use crate::wiring::Verdict;

impl Reckoner<'_> {
    pub(super) fn pack_trips(&self) -> Event {
        let kind = EventKind::PackTrips;
        let before_v = self.full.bank_v;
        let Some(lost) = &self.one_lost else {
            let mut event = self.opens_driving(kind);
            event.why = format!(
                "There is one pack: with it all is off, and sails or an anchor are what is left. {}",
                event.why
            );
            "No thrust, and nothing that hangs on the bank.".clone_into(&mut event.left);
            return event;
        };
        let terminal = lost.remaining.terminal(self.full.bank_power_w());
        let after_v = terminal.map(|terminal| terminal.voltage_v);
        let verdict = match (self.controls.tells_discharge, lost.holds) {
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
            format!(
                "{:.1} kW from what is left of the bank.",
                1e-3 * lost.power_available_w.min(self.full.bank_power_w())
            )
        };
        let volts = Volts {
            before_v,
            highest_v: Some(before_v),
            at_least_v: before_v,
            lowest_v: after_v,
            later: after_v.map_or_else(Vec::new, |v| vec![(0.0, v), (SECOND_S, v)]),
            first: after_v.map_or_else(Vec::new, |v| vec![(0.0, before_v), (0.0, v), (FIRST_S, v)]),
        };
        Event { kind, verdict, volts, weakest: None, way_m: None, why, left }
    }

    pub(super) fn stopped(&self) -> Event {
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
                    later: self.later(rest_v, self.coasting_v),
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

    pub(super) fn signal_lost(&self, kind: EventKind, does: Option<OnLoss>) -> Event {
        let is_wire = kind == EventKind::WireBroken;
        let wanted = if is_wire { field::controls::WIRE_BROKEN } else { field::controls::SENSOR_LOST };
        let (verdict, why, left) = match does {
            None => (Verdict::CannotTell, format!("What the drive does then is not told ({wanted})."), None),
            Some(OnLoss::Stops) => {
                let noticed_s = self.controls.wire_noticed_s.filter(|_| is_wire);
                let after = noticed_s.map_or_else(String::new, |seconds| {
                    format!(" after {seconds:.1} s, {:.0} m on", seconds * self.full.speed_m_s)
                });
                let quick = noticed_s.is_none_or(|seconds| seconds <= QUICK_S);
                (Verdict::of(Some(quick)), format!("The drive stops by itself{after}."), None)
            }
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
            later: does.map_or_else(Vec::new, |_| vec![(0.0, end_v), (SECOND_S, end_v)]),
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
    pub(super) fn supply_lost(&self) -> Event {
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
}
