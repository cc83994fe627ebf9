//! The rules applied to switches, pre-charge, poles and what was decided. Not for: runs and fuses (`judge`).

use super::event::{LoadDump, PrechargeEnd, bleed_s};
use super::harness::{BUSBAR, Contactor, Poles, Service, ShoreEarth};
use super::lost::{DUTIES, Lost};
use super::panels::judge_panels;
use super::rule::{Judged, RuleKind, Verdict};
use super::study::Wired;
use crate::battery::{TOUCH_LIMIT_V, WET_TOUCH_LIMIT_V};
use crate::drive::precharge::COMPLETE_AT;

/// Most lugs on one stud: from memory, of the American yardstick.
const MOST_LUGS: f64 = 4.0;
/// Time in which capacitors should be empty \[s\]; common practice, no source.
const EMPTY_WITHIN_S: f64 = 60.0;

/// Every rule on parts and decisions.
pub(super) fn judge_parts(
    wired: &Wired,
    precharge: Option<&PrechargeEnd>,
    dump: &LoadDump,
    lost: &[Lost],
) -> Vec<Judged> {
    let mut rules: Vec<Judged> = wired
        .harness
        .contactors
        .iter()
        .flat_map(|contactor| of_contactor(wired, contactor, precharge))
        .collect();
    rules.extend(of_precharge(wired, precharge));
    if wired.packs_ohm.len() > 1 {
        rules.push(Judged::held(
            RuleKind::OnePackLost,
            "packs that are left",
            wired.one_lost_share,
            Some(1.0),
            |found, limit| found <= limit,
        ));
    }
    rules.push(of_dump(wired, dump));
    rules.push(of_touch(wired, dump));
    rules.extend(of_decisions(wired));
    rules.extend(of_lost(wired, lost));
    rules.extend(judge_panels(&wired.harness));
    if wired.harness.cables.iter().any(|cable| cable.service == Service::Phase) {
        let alike = wired.harness.decisions.are_leads_alike;
        rules.push(Judged::said(RuleKind::LeadsAlike, "motor's leads", alike));
    }
    rules
}

fn of_contactor(wired: &Wired, contactor: &Contactor, precharge: Option<&PrechargeEnd>) -> Vec<Judged> {
    let carried = &wired.carried[contactor.cable];
    let (hours_a, minutes_a) = (carried.worst_hours_a(), carried.known_minutes_a());
    let part = &contactor.name;
    let at_most = |found: f64, limit: f64| found <= limit;
    let mut rules =
        vec![Judged::held(RuleKind::SwitchCarries, part, hours_a, contactor.continuous_a, at_most)];
    let breaks_a =
        contactor.break_a.filter(|_| contactor.break_v.is_some() && contactor.breaks_both_ways.is_some());
    let mut breaks = Judged::held(RuleKind::SwitchBreaks, part, minutes_a, breaks_a, at_most);
    if let Some(volts) = contactor.break_v.filter(|volts| *volts < wired.highest_v) {
        breaks.verdict = Verdict::Fails;
        breaks.note = format!("It breaks at {volts:.0} V and sees {:.1} V.", wired.highest_v);
    }
    if contactor.breaks_both_ways == Some(false) {
        breaks.verdict = Verdict::Fails;
        breaks.note += " It breaks in one direction only; braking and charging flow the other way.";
    }
    rules.push(breaks);
    if !contactor.is_by_hand {
        rules.push(Judged::held(
            RuleKind::SwitchMakes,
            part,
            precharge.map(|end| end.closing_a),
            contactor.make_a,
            at_most,
        ));
    }
    rules
}

fn of_precharge(wired: &Wired, precharge: Option<&PrechargeEnd>) -> Vec<Judged> {
    let parts = &wired.harness.precharge;
    let end = precharge.map(|end| end.end_share);
    let mut ends =
        Judged::held(RuleKind::PrechargeEnds, "pre-charge", end, Some(COMPLETE_AT), |found, limit| {
            found >= limit
        });
    if parts.drawn_a.is_none() && ends.verdict == Verdict::Passes {
        ends.note = "Reckoned with nothing drawn meanwhile; give precharge.drawn.".to_owned();
    }
    if let (Some(complete), Some(time_out)) = (precharge.and_then(|end| end.complete_s), parts.time_out_s)
        && complete > time_out
    {
        ends.verdict = Verdict::Fails;
        ends.note = format!("It takes {complete:.2} s and is given up after {time_out:.2} s.");
    }
    let pulse = precharge.map(|end| end.circuit.energy_j());
    let bleeder = parts.bleeder_ohm.zip(wired.harness.controller.capacitance_f);
    let empty = bleeder.map(|(ohm, farad)| bleed_s(ohm, farad, wired.highest_v, WET_TOUCH_LIMIT_V));
    let at_most = |found: f64, limit: f64| found <= limit;
    vec![
        ends,
        Judged::held(RuleKind::PrechargePulse, "pre-charge resistor", pulse, parts.pulse_j, at_most),
        Judged::said(RuleKind::PrechargeSwitch, "pre-charge", parts.has_own_switch),
        Judged::held(RuleKind::Bleeds, "capacitors", empty, Some(EMPTY_WITHIN_S), at_most),
    ]
}

/// What the protection does to the controller while it brakes; without its own stop, or with weakened field, never safe.
fn of_dump(wired: &Wired, dump: &LoadDump) -> Judged {
    let side = &wired.harness.controller;
    let is_known = side.capacitance_f.is_some() && side.stops_at_v.is_some() && side.delay_s.is_some();
    let is_known = is_known && side.phase_inductance_h.is_some();
    let highest = dump.braking.highest_v;
    let mut rule =
        Judged::held(RuleKind::Dump, "controller's bus", Some(highest), wired.stands_v, |found, limit| {
            found <= limit
        });
    if !is_known {
        rule.verdict = Verdict::CannotTell;
        rule.found = None;
        rule.note = match dump.braking.reached_s {
            Some(seconds) => format!(
                "Pushing {:.0} A it passes {:.0} V in about {:.1} ms{}.",
                wired.push_a,
                side.stops_at_v.or(wired.stands_v).unwrap_or(2.0 * wired.highest_v),
                1e3 * seconds,
                if dump.is_guessed { ", its capacitors guessed" } else { "" }
            ),
            None => String::new(),
        };
    }
    rule
}

fn of_touch(wired: &Wired, dump: &LoadDump) -> Judged {
    let highest_v = wired.highest_v.max(dump.off_v.min(2.0 * wired.highest_v));
    let is_covered = wired.harness.decisions.is_covered;
    let holds = if highest_v <= WET_TOUCH_LIMIT_V { Some(true) } else { is_covered };
    Judged {
        kind: RuleKind::Touch,
        part: "bank".to_owned(),
        verdict: Verdict::of(holds),
        found: Some(highest_v),
        limit: Some(WET_TOUCH_LIMIT_V),
        note: format!(
            "{TOUCH_LIMIT_V:.0} V where it is dry, {WET_TOUCH_LIMIT_V:.0} V where it is wet, as bilges are."
        ),
    }
}

fn of_decisions(wired: &Wired) -> Vec<Judged> {
    let decided = &wired.harness.decisions;
    let by_hand = wired.harness.contactors.iter().any(|contactor| contactor.is_by_hand);
    let earth = decided.shore_earth.map(|earth| match earth {
        ShoreEarth::Isolator | ShoreEarth::Transformer => true,
        ShoreEarth::Straight | ShoreEarth::Cut => false,
    });
    let mut rules = vec![
        Judged::said(RuleKind::Isolator, "bank", decided.has_isolator.or(by_hand.then_some(true))),
        Judged::said(RuleKind::HelmStop, "helm", decided.has_helm_stop),
        Judged::said(RuleKind::Warning, "packs' protection", decided.has_warning),
        Judged::said(RuleKind::Shunt, "bank", decided.has_shunt),
        Judged::said(RuleKind::Converters, "charger or converter", decided.are_converters_isolated),
        of_lugs(wired),
        Judged::said(RuleKind::DrySpace, "pack space", decided.is_bank_space_dry),
    ];
    let mut shore = Judged::said(RuleKind::ShoreEarth, "shore earth", earth);
    if decided.shore_earth == Some(ShoreEarth::Straight) {
        shore.note =
            "Joined straight it protects, and lets streams of other boats through the hull.".to_owned();
    }
    rules.push(shore);
    match decided.poles {
        Some(Poles::NegativeToHull) => {}
        Some(Poles::Floating) => {
            rules.push(Judged::said(RuleKind::PolesFused, "bank", decided.are_both_poles_fused));
            rules.push(Judged::said(RuleKind::Watched, "insulation", decided.is_insulation_watched));
        }
        None => rules.push(Judged::said(RuleKind::PolesFused, "bank", decided.are_both_poles_fused)),
    }
    rules
}

/// Lugs on the fullest stud as told. Where nobody tells it, more runs at a place without a busbar than a stud takes are seen in the
/// list of runs all the same.
fn of_lugs(wired: &Wired) -> Judged {
    let told = wired.harness.decisions.lugs_on_stud.map(f64::from);
    let cables = &wired.harness.cables;
    let ends = |place: &str| cables.iter().filter(|cable| cable.from == place || cable.to == place).count();
    let places = wired.network.names.iter().filter(|place| !place.contains(BUSBAR));
    let fullest = places.map(|place| (ends(place), place)).max().filter(|(ends, _)| *ends as f64 > MOST_LUGS);
    let counted = fullest.as_ref().map(|(ends, _)| *ends as f64);
    let found = told.or(counted);
    let mut rule =
        Judged::held(RuleKind::Lugs, "fullest stud", found, Some(MOST_LUGS), |found, limit| found <= limit);
    if let (None, Some((_, place))) = (told, fullest) {
        rule.note = format!("So many runs end at the {place}.");
    }
    rule
}

/// "One contactor takes the radio with it."
fn of_lost(wired: &Wired, lost: &[Lost]) -> Option<Judged> {
    let duty = &DUTIES[1];
    duty.nodes.iter().find_map(|name| wired.network.node(name))?;
    let single = lost.iter().find(|lost| lost.duty == duty.words && lost.parts.len() == 1);
    let part = single.map_or("lights and radio", |single| single.parts[0].as_str());
    Some(Judged::said(RuleKind::LostTogether, part, Some(single.is_none())))
}
