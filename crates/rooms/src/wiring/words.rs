//! The wiring in words. Not for: the diagram.

use wakewright_core::field;
use wakewright_core::wiring::{CableRow, Ground, Judged, Service, Verdict, WiringStudy, air_m3_h};
use wakewright_units::{Quantity, format_number};

use crate::text::{Finding, Paper};

/// The sentence: how many rules pass, and the gravest that fails.
pub(super) fn finding(name: &str, study: &WiringStudy, paper: &Paper) -> Finding {
    let (pass, fail, open) =
        (study.count(Verdict::Passes), study.count(Verdict::Fails), study.count(Verdict::CannotTell));
    let gravest = study.gravest();
    let clause = gravest.map_or_else(String::new, |rule| format!(": {}", clause(rule, paper)));
    let figure = format!("{pass} of {}", study.rules.len());
    let sentence = format!(
        "{name}'s wiring: {figure} rules {}, {fail} {}, {open} cannot be told{clause}.",
        if pass == 1 { "passes" } else { "pass" },
        if fail == 1 { "fails" } else { "fail" },
    );
    let binding = gravest.map_or_else(String::new, clause_of);
    Finding {
        sentence,
        figure,
        binding,
        further: further(study, paper),
        fails: study.hurts(),
        ..Finding::default()
    }
}

fn further(study: &WiringStudy, paper: &Paper) -> String {
    let amperes = |a: f64| paper.quantity(a, Quantity::Current);
    let greatest = || study.faults.iter().max_by(|a, b| a.greatest.value.total_cmp(&b.greatest.value));
    let fault = study.faults.iter().find(|fault| fault.place == "busbar").or_else(greatest);
    let mut said = fault.map_or_else(String::new, |fault| {
        format!(
            "A short circuit at the {} draws {} ({}).",
            fault.place,
            amperes(fault.greatest.value),
            paper.band(fault.greatest, Quantity::Current)
        )
    });
    let lost = study.wired.demand.speed_lost_m_s;
    let runs = |row: &CableRow| study.wired.network.runs.iter().filter(|run| run.cable == row.cable).count();
    let heat_w = |service: Service| -> f64 {
        let of = study.cables.iter().filter(|row| study.wired.harness.cables[row.cable].service == service);
        of.filter_map(|row| Some(row.heat_w? * runs(row).max(1) as f64)).sum()
    };
    let (bank_w, leads_w) = (heat_w(Service::Propulsion), heat_w(Service::Phase));
    let leads = match leads_w {
        0.0 => "the motor's leads are not told".to_owned(),
        _ => format!("{} W of them in the motor's leads", format_number(leads_w, 0)),
    };
    said += &format!(
        " From packs to motor the cables cost {} and {} W of heat at full throttle; {leads}.",
        if lost < 0.0026 { "no speed".to_owned() } else { paper.decimals(lost, Quantity::Speed, 2) },
        format_number(bank_w + leads_w, 0)
    );
    if study.wired.harness.is_assumed {
        said += " No cable is told yet: what cannot be told says which field it needs.";
    }
    said
}

/// The part of a clause that says which part does what: "the main fuse faces".
fn clause_of(rule: &Judged) -> String {
    format!("the {} {}", rule.part, rule.kind.words().found)
}

/// One rule as a clause: "main fuse faces 16,000 A and breaks 6,000 A".
pub(crate) fn clause(rule: &Judged, paper: &Paper) -> String {
    let words = rule.kind.words();
    let figure = |si: f64| figure(si, words.quantity, paper);
    match (rule.found, rule.limit) {
        (Some(found), Some(limit)) => {
            format!("{} {} and {} {}", clause_of(rule), figure(found), words.limit, figure(limit))
        }
        (Some(found), None) => format!("{} {}", clause_of(rule), figure(found)),
        _ => clause_of(rule),
    }
}

/// Large currents in thousands, as fuses have them printed.
fn figure(si: f64, quantity: Quantity, paper: &Paper) -> String {
    match quantity {
        Quantity::Current if si >= 2000.0 => format!("{} kA", format_number(si / 1000.0, 1)),
        Quantity::Ratio if si >= 1000.0 => format!("{} A2s", format_number(si, 0)),
        Quantity::Share => paper.decimals(si, quantity, 1),
        Quantity::Voltage if si < 1.0 => format!("{} V", format_number(si, 2)),
        Quantity::Voltage => paper.decimals(si, quantity, 1),
        _ => paper.quantity(si, quantity),
    }
}

/// What fails, each with what to do, the gravest first.
pub(crate) fn failing(rules: &[Judged], paper: &Paper) -> Vec<String> {
    let fails = rules.iter().filter(|rule| rule.verdict == Verdict::Fails);
    let mut said: Vec<String> = fails
        .map(|rule| {
            let words = rule.kind.words();
            let note = if rule.note.is_empty() { String::new() } else { format!(" {}", rule.note.trim()) };
            let clause = clause(rule, paper);
            format!(
                "{}{}.{note} {} [{}]",
                clause[..1].to_uppercase(),
                &clause[1..],
                words.remedy,
                basis_of(rule)
            )
        })
        .collect();
    if said.is_empty() {
        said.push("No rule fails of those that can be told.".to_owned());
    }
    said
}

/// What a rule stands on, and how surely it is known.
fn basis_of(rule: &Judged) -> String {
    let words = rule.kind.words();
    match words.ground {
        Ground::Practice => words.basis.to_owned(),
        ground => format!("{}, {}", words.basis, ground.word().words),
    }
}

/// What cannot be told, by what is missing.
pub(crate) fn untold(rules: &[Judged]) -> Vec<String> {
    let mut said: Vec<(&str, &str, Vec<&str>, &str)> = Vec::new();
    for rule in rules.iter().filter(|rule| rule.verdict == Verdict::CannotTell) {
        let words = rule.kind.words();
        match said.iter_mut().find(|(key, ..)| *key == words.key) {
            Some((.., parts, _)) => parts.push(&rule.part),
            None => said.push((words.key, words.words, vec![&rule.part], words.remedy)),
        }
    }
    let line = |(_, words, parts, remedy): &(&str, &str, Vec<&str>, &str)| {
        format!("Whether {words} ({}): {remedy}", parts.join(", "))
    };
    said.iter().map(line).collect()
}

/// What a proposal is and is not, with its sums.
pub(super) fn proposed_note(study: &WiringStudy) -> String {
    let sum = |is_metric: bool| -> (f64, f64) {
        let rows = study.proposed.iter().filter(|row| row.is_metric == is_metric);
        rows.fold((0.0, 0.0), |(kg, w), row| (kg + row.mass_kg, w + row.heat_w))
    };
    let ((metric_kg, metric_w), (gauge_kg, gauge_w)) = (sum(true), sum(false));
    let without: Vec<&str> =
        study.proposed.iter().filter(|row| row.size.is_none()).map(|row| row.cable.as_str()).collect();
    let without = match without.as_slice() {
        [] => String::new(),
        _ => {
            let mut names = without;
            names.dedup();
            format!(
                "No stock size carries these and is protected as well: {}. They are not in the sums. Lay two alike side by side, shorten \
                 them, or set the controller to less. ",
                names.join(", ")
            )
        }
    };
    format!(
        "{without}Metric: {} kg of copper, {} W; gauge: {} kg, {} W. Class: the lightest whose usual sheets stand the volts and break what \
         it faces; -: none is known. Let-through, curve and L/R are on the sheet of the fuse that is bought.",
        format_number(metric_kg, 1),
        format_number(metric_w, 0),
        format_number(gauge_kg, 1),
        format_number(gauge_w, 0)
    )
}

pub(super) fn cables_note(study: &WiringStudy) -> String {
    let mut note = "Hours: full throttle held, full or at the reserve, and with one pack lost where that is more. Minutes: what the \
                    controller is set to. Least: the smallest size that carries the hours, loses no more than its kind may, and is protected by a stock fuse \
                    that stands the minutes."
        .to_owned();
    if study.wired.demand.is_limit {
        note += " She finds no steady state: hours are the controller's limits.";
    }
    note
}

/// What the bus does while she brakes.
pub(super) fn dump_words(study: &WiringStudy, paper: &Paper) -> String {
    let volts = |v: f64| paper.decimals(v, Quantity::Voltage, 1);
    let side = &study.wired.harness.controller;
    let mut said = format!(
        "A controller that brakes is a booster: when the protection opens it goes on pushing its current into its own capacitors. \
         Pushing {} it lifts them from {}",
        paper.quantity(study.wired.push_a, Quantity::Current),
        volts(study.wired.full_v),
    );
    let limit_v = side.stops_at_v.or(study.wired.stands_v).unwrap_or(2.0 * study.wired.highest_v);
    said += &match study.dump.braking.reached_s {
        Some(seconds) => format!(" past {} in {} ms", volts(limit_v), format_number(1e3 * seconds, 1)),
        None => format!(" and does not reach {} within 20 ms", volts(limit_v)),
    };
    if side.stops_at_v.is_none() && study.wired.stands_v.is_none() {
        said += &format!(", twice what it is charged to ({} is not given)", field::controller::OVERVOLTAGE);
    }
    said += if study.dump.is_guessed { ", its capacitors guessed at 10 uF for each ampere." } else { "." };
    if missing_of_end(study).is_empty() {
        said += &format!(
            " With its own stop, the delay and the windings' energy it ends at {}.",
            volts(study.dump.braking.highest_v)
        );
    }
    said
}

/// The fields without which it cannot be told how high the volts end when she brakes.
fn missing_of_end(study: &WiringStudy) -> Vec<&'static str> {
    let side = &study.wired.harness.controller;
    let fields = [
        (side.capacitance_f.is_none(), field::controller::CAPACITANCE),
        (side.stops_at_v.is_none(), field::controller::BRAKING_STOPS_AT),
        (side.delay_s.is_none(), field::controller::BRAKING_STOPS_IN),
        (side.phase_inductance_h.is_none(), field::motor::PHASE_INDUCTANCE),
    ];
    fields.into_iter().filter_map(|(is_missing, field)| is_missing.then_some(field)).collect()
}

pub(super) fn joining_words(study: &WiringStudy, paper: &Paper) -> Vec<String> {
    let amperes = |a: f64| paper.quantity(a, Quantity::Current);
    let inrush = study.wired.full_v / study.wired.pack_loop_ohm();
    let mut said = vec![match &study.precharge {
        Some(end) => format!(
            "Without pre-charge the capacitors would draw {} at first; after it the main contactor closes on {}, and the resistor has \
             taken {} J.{}",
            amperes(inrush),
            amperes(end.closing_a),
            format_number(end.circuit.energy_j(), 1),
            match end.complete_s {
                Some(seconds) => format!(" It counts as complete after {} s.", format_number(seconds, 2)),
                None => format!(
                    " It ends at {} and never completes.",
                    paper.quantity(end.end_share, Quantity::Share)
                ),
            }
        ),
        None => format!(
            "Uncharged capacitors draw {} at first: a contactor closed on them can weld. Give precharge.resistor and \
             controller.capacitance.",
            amperes(inrush)
        ),
    }];
    if study.wired.packs_ohm.len() > 1 {
        said.push(format!(
            "Before two packs are joined bring them within {}: more drives a current past a pack's own limit.",
            paper.quantity(study.joining_v, Quantity::Voltage)
        ));
    }
    if let Some(amperes_a) = study.reversed_a {
        said.push(format!(
            "A pack joined with its poles reversed drives {}: prove the poles of each with a meter before its last lug is set.",
            amperes(amperes_a)
        ));
    }
    said.push(format!(
        "The shaft that turns by itself at full throttle's revolutions makes {}: that figure alone says nothing of the instant at \
         which the protection opens. A field that is weakened at speed is an event of its own, told under controls.",
        paper.decimals(study.wired.demand.motor_v, Quantity::Voltage, 1)
    ));
    let missing = missing_of_end(study);
    if !missing.is_empty() {
        said.push(format!(
            "How high the volts end when she brakes cannot be told without {}.",
            missing.join(", ")
        ));
    }
    said.push("The order of opening: torque to nought, then the contactor, then the switch; never while it charges.".to_owned());
    said
}

/// Air that carries the heat of motor and controller away.
pub(super) fn air_words(study: &WiringStudy) -> String {
    const RISE_K: f64 = 10.0;
    let [motor_w, controller_w] = study.wired.demand.heat_w;
    let heat_w = motor_w + controller_w;
    let motor = if motor_w > 0.0 {
        format!("motor {} W", format_number(motor_w, 0))
    } else {
        "the motor's goes into its water".to_owned()
    };
    format!(
        "At full throttle {} W of heat go into the air (controller {} W, {motor}): {} m³/h for a rise of 10 K, half of it for 20 K.",
        format_number(heat_w, 0),
        format_number(controller_w, 0),
        format_number(air_m3_h(heat_w, RISE_K), 0)
    )
}

/// Single parts first; pairs of like packs and fuses in one line.
pub(super) fn lost_words(study: &WiringStudy) -> Vec<String> {
    let mut said = Vec::new();
    for duty in &wakewright_core::wiring::DUTIES {
        let of_duty = || study.lost.iter().filter(|lost| lost.duty == duty.words);
        let single: Vec<&str> =
            of_duty().filter(|lost| lost.parts.len() == 1).map(|lost| lost.parts[0].as_str()).collect();
        let pairs = of_duty().filter(|lost| lost.parts.len() == 2).count();
        if single.is_empty() && pairs == 0 {
            continue;
        }
        let mut line = if single.is_empty() {
            // The drive's own parts are no part of its wiring.
            let but = if duty.nodes == [wakewright_core::wiring::CONTROLLER] {
                ", but for controller and motor themselves"
            } else {
                ""
            };
            format!("No single part takes away {}{but}", duty.words)
        } else {
            format!("Any of these alone takes away {}: {}", duty.words, single.join(", "))
        };
        if pairs > 0 {
            line += &format!("; {pairs} pairs of others do together");
        }
        said.push(line + ".");
    }
    if said.is_empty() {
        said.push("Tell the runs to radio, navigation lights, bilge pump and charger, and what is lost with what is told.".to_owned());
    }
    said
}
