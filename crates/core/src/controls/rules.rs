//! The rules that the lever is held against. Not for: the events (`reckon`).

use super::lever::{Controls, StopOrder, TakesOver};
use crate::boat::Boat;
use crate::wiring::{Judged, RuleKind};

/// Least dead band, common practice, no source.
const LEAST_BAND: f64 = 0.05;
/// Least time from full ahead to full astern \[s\]: common practice, no source.
const LEAST_REVERSING_S: f64 = 2.0;
/// Braking should end at this charge: common practice, no source.
const FULL_AT: f64 = 0.95;

/// Every rule on the lever.
pub(super) fn judge(boat: &Boat, controls: &Controls) -> Vec<Judged> {
    let at_least = |found: f64, limit: f64| found >= limit;
    let at_most = |found: f64, limit: f64| found <= limit;
    let mut rules = vec![
        Judged::held(RuleKind::DeadBand, "lever", controls.dead_band, Some(LEAST_BAND), at_least),
        Judged::held(RuleKind::Ramps, "lever", reversing_s(controls), Some(LEAST_REVERSING_S), at_least),
        Judged::said(RuleKind::NeutralStart, "drive", controls.starts_in_neutral),
        Judged::said(RuleKind::StopOrder, "stop", controls.stop.map(|order| order == StopOrder::TorqueFirst)),
    ];
    if controls.stations > 1 {
        let holds = controls.takes_over.map(|how| how == TakesOver::InNeutral);
        rules.push(Judged::said(RuleKind::TwoStations, "levers", holds));
    }
    if controls.braking_a == Some(0.0) {
        return rules;
    }
    let charge_a = boat.bank.prepare().ok().map(|bank| bank.charge_limit_a).filter(|limit| *limit > 0.0);
    let charge_a = charge_a.filter(|_| controls.tells_charge);
    let running = f64::from(boat.drives.running.max(1));
    let mut current = Judged::held(
        RuleKind::BrakingCurrent,
        "controller",
        controls.braking_a.map(|one| running * one),
        charge_a,
        at_most,
    );
    if !controls.tells_charge {
        current.note = "The packs' charge limit is not given (pack.bms_charge).".to_owned();
    }
    rules.push(current);
    rules.push(Judged::held(
        RuleKind::BrakingFull,
        "controller",
        controls.braking_full_at,
        Some(FULL_AT),
        at_most,
    ));
    if let Some(group) = boat.bank.groups.iter().find(|group| !group.chemistry.is_lead()) {
        let limit_k = group.chemistry.temperatures().charge_low_k;
        rules.push(Judged::held(
            RuleKind::BrakingCold,
            "controller",
            controls.braking_cold_at_k,
            Some(limit_k),
            at_least,
        ));
    }
    rules
}

/// From full ahead to full astern, where the three times are told.
fn reversing_s(controls: &Controls) -> Option<f64> {
    Some(controls.ramp_down_s? + controls.reversing_wait_s? + controls.ramp_up_s?)
}
