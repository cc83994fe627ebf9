//! Wiring that cannot be, or that hurts: every fault at once, with line, field and what to do.

#![allow(clippy::unwrap_used, reason = "a test must fail when a value is missing")]

use wakewright_core::spread::Sampler;
use wakewright_core::steady::PreparedBoat;
use wakewright_core::wiring::{RuleKind, Verdict, WiringStudy};
use wakewright_records::boat::{BoatDocument, Fault, Severity, build_spec, harness};

const BOAT: &str = include_str!("../../../../examples/sea_campion.toml");

fn faults(changes: &[(&str, &str)]) -> Vec<Fault> {
    let mut text = BOAT.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    BoatDocument::parse_lenient(&text).1
}

/// The whole list at once, each once: a loop without a source, a cable to nowhere, two names alike, a fuse below the load, one of 32 V
/// and for alternating volts alone, 0 mm², 900 m, a pack of other volts in parallel, no shunt, nominal and cells that disagree, poles
/// reversed, one pole unfused on a floating bank, a motor current below the bank's; and a stud, a length and a place that cannot be.
#[test]
fn every_fault_of_the_wiring_at_once() {
    let round = "[[cable]]\nname = \"round\"\nfrom = \"here\"\nto = \"there\"\nlength = \"1 m\"\n\n\
                 [[cable]]\nname = \"and back\"\nfrom = \"there\"\nto = \"here\"\nlength = \"1 m\"\n\n[[fuse]]\nname = \"main fuse\"";
    let pack = |volts: &str, cells: u32| {
        format!(
            "[[pack]]\nchemistry = \"LFP\"\ncells_in_series = {cells}\nvoltage = \"{volts}\"\ncapacity = \"105 Ah\"\n\n"
        )
    };
    let packs = format!("{}{}{}[bank]\n", pack("51.2 V", 16), pack("51.2 V", 24), pack("-76.8 V", 24));
    let found = faults(&[
        ("size = \"70 mm2\"", "size = \"0 mm2\""),
        ("length = \"2.4 m\"", "length = \"900 m\""),
        ("name = \"pack cable\"", "name = \"Main  Cable\""),
        ("to = \"house\"", "to = \"the shed\""),
        ("cable = \"pack cable\"", "cable = \"nobody's\""),
        ("voltage = \"96 V\"", "voltage = \"32 V\"\nvoltage_kind = \"AC only\""),
        ("rating = \"350 A\"", "rating = \"200 A\""),
        ("both_poles_fused = true", "both_poles_fused = false"),
        ("shunt = true", "shunt = false"),
        ("phase_current = \"250 A\"", "phase_current = \"150 A\""),
        ("length = \"1.1 m\"", "length = \"0.1 m\"\nstud = \"M7\""),
        ("[bank]\n", &packs),
        ("[[fuse]]\nname = \"main fuse\"", round),
        ("place = \"pack\"", "place = \"the moon\""),
        ("aft = \"8 m\"", "aft = \"3 m\""),
    ]);
    let has = |severity: Severity, field: &str, words: &str| {
        let it = found
            .iter()
            .find(|f| f.severity == severity && f.field.ends_with(field) && f.problem.contains(words));
        let it = it.unwrap_or_else(|| panic!("{field}: {words}: {found:#?}"));
        assert!(it.line > 1 && !it.advice.is_empty(), "{it:?}");
    };
    has(Severity::Error, "cable[1].size", "0 mm2");
    has(Severity::Error, "cable[1].length", "");
    has(Severity::Error, "cable[2].name", "two are named");
    has(Severity::Error, "cable[5].to", "where nothing else is");
    has(Severity::Error, "cable[6].from", "hangs on no source");
    has(Severity::Error, "fuse[2].cable", "no cable named");
    has(Severity::Error, "pack[2].cells_in_series", "cells in series are in parallel");
    has(Severity::Error, "pack[3].voltage", "is not the voltage of 24 cells");
    has(Severity::Error, "pack[4].voltage", "reversed");
    has(Severity::Error, "cable[3].stud", "no stud");
    has(Severity::Doubt, "fuse[1].voltage", "32 V");
    has(Severity::Doubt, "fuse[1].voltage_kind", "alternating");
    has(Severity::Doubt, "fuse[1].rating", "200 A");
    has(Severity::Doubt, "wiring.both_poles_fused", "one pole");
    has(Severity::Doubt, "wiring.shunt", "no shunt");
    has(Severity::Doubt, "controller.phase_current", "below the battery's");
    has(Severity::Doubt, "cable[3].length", "apart");
    has(Severity::Doubt, ".place", "the moon");
}

#[test]
fn every_fault_of_the_controls_at_once() {
    let found = faults(&[
        (
            "capacitance = \"3 mF\"",
            "capacitance = \"3 mF\"\novervoltage = \"90 V\"\nbraking_stops_at = \"95 V\"",
        ),
        ("load = \"8 A\"", "load = \"8 A\"\nstands = \"60 V\""),
        ("wire_broken = \"stops\"", "wire_broken = \"goes on\""),
        ("stations = 2", "stations = 1"),
        ("dead_band = \"6 %\"", "dead_band = \"90 %\""),
        ("ramp_up = \"2 s\"", "ramp_up = \"-2 s\""),
        ("stop_order = \"contactor at once\"", "stop_order = \"some time\""),
    ]);
    for (severity, field) in [
        (Severity::Doubt, "controller.braking_stops_at"),
        (Severity::Doubt, "cable[5].stands"),
        (Severity::Doubt, "controls.wire_noticed"),
        (Severity::Doubt, "controls.takes_over"),
        (Severity::Error, "controls.dead_band"),
        (Severity::Error, "controls.ramp_up"),
        (Severity::Error, "controls.stop_order"),
    ] {
        let it = found.iter().find(|f| f.severity == severity && f.field == field);
        let it = it.unwrap_or_else(|| panic!("{field}: {found:#?}"));
        assert!(it.line > 1 && !it.advice.is_empty(), "{it:?}");
    }
}

#[test]
fn a_way_without_a_source() {
    let found = faults(&[("from = \"pack\"\nto = \"busbar\"", "from = \"busbar\"\nto = \"junction\"")]);
    assert!(found.iter().any(|fault| fault.problem.contains("no run leads from the packs")), "{found:#?}");
    assert!(found.iter().any(|fault| fault.problem.contains("hangs on no source")), "{found:#?}");
}

/// Constructed by hand: 0.8 m of 50 mm² for each of three packs, 2.4 m of 70 mm², at 60 °C with 0.5 mohm of joints each:
/// (2 x 0.8 x 0.393 x 1.1572 + 0.5) / 3 + 2 x 2.4 x 0.277 x 1.1572 + 0.5 = 2.448 mohm.
#[test]
fn told_runs_make_the_resistance_of_the_cables() {
    let text = BOAT.replacen("cable_resistance = \"1.5 mohm\"\n", "", 1);
    let spec = build_spec(&BoatDocument::parse(&text).unwrap()).unwrap();
    assert!(
        (spec.boat.bank.cable_resistance_ohm - 2.448e-3).abs() < 1e-6,
        "{}",
        spec.boat.bank.cable_resistance_ohm
    );
    let kept = build_spec(&BoatDocument::parse(BOAT).unwrap()).unwrap();
    assert_eq!(kept.boat.bank.cable_resistance_ohm, 1.5e-3, "as measured");
}

#[test]
fn a_boat_without_cables_has_assumed_runs() {
    let text = include_str!("../../../../examples/sweet_gale.toml");
    let document = BoatDocument::parse(text).unwrap();
    let spec = build_spec(&document).unwrap();
    let parts = harness(&document, &spec);
    assert!(parts.is_assumed && parts.cables.len() == 2 && parts.fuses.is_empty());
}

fn study(text: &str) -> WiringStudy {
    let document = BoatDocument::parse(text).unwrap();
    let spec = build_spec(&document).unwrap();
    let parts = harness(&document, &spec);
    WiringStudy::of(&spec, parts, None).unwrap()
}

/// The house branch without its load: what it must carry is not known, so that nothing on it passes or fails.
#[test]
fn a_load_that_nobody_tells_passes_nothing() {
    let load = BOAT.lines().find(|line| line.starts_with("load = ")).unwrap();
    let found = study(&BOAT.replacen(&format!("{load}\n"), "", 1));
    let branch = found.cables.iter().find(|row| !row.carried.is_known).unwrap();
    let name = &found.wired.harness.cables[branch.cable].name;
    for kind in [RuleKind::Ampacity, RuleKind::Drop] {
        let rule = found.rules.iter().find(|rule| rule.kind == kind && rule.part == *name).unwrap();
        assert_eq!(rule.verdict, Verdict::CannotTell, "{rule:?}");
        assert!(rule.note.contains("give its load"), "{rule:?}");
    }
}

/// A conductor is chosen for boats that are heavier, fouled or less efficient than the middle one too: counted on samples of
/// another seed, one in ten passes what the cables are held against, and not many fewer.
#[test]
fn the_current_for_hours_is_passed_by_one_boat_in_ten_at_most() {
    let document = BoatDocument::parse(BOAT).unwrap();
    let spec = build_spec(&document).unwrap();
    let asked = study(BOAT).wired.demand.hours_a;
    let sampler = Sampler::new(20);
    let full = |sample| {
        let boat = spec.sample(sampler, sample);
        let prepared = PreparedBoat::new(&boat).ok()?.value;
        Some(prepared.solve_limited(1.0, |_| true).ok()?.state.bank_a)
    };
    let drawn: Vec<f64> = (0..400).filter_map(full).collect();
    let passing = drawn.iter().filter(|amperes| **amperes > asked).count() as f64 / drawn.len() as f64;
    assert!((0.0..=0.14).contains(&passing), "{passing}");
}

/// The runs of one bank with a bank for each drive, of two as one bank: two banks of three packs each have the loop of three.
#[test]
fn a_bank_for_each_drive_has_runs_of_its_own() {
    let one = BOAT.replacen("cable_resistance = \"1.5 mohm\"\n", "", 1);
    let packs = one.replacen("count = 3", "count = 6", 1);
    let drives = |text: &str, each: &str| {
        text.replacen("[motor]\n", "[motor]\ncount = 2\nrunning = 2\n", 1).replacen(
            "[bank]\n",
            &format!("[bank]\nfor_each_drive = {each}\n"),
            1,
        )
    };
    let ohm =
        |text: &str| build_spec(&BoatDocument::parse(text).unwrap()).unwrap().boat.bank.cable_resistance_ohm;
    assert!((ohm(&drives(&packs, "true")) - ohm(&one)).abs() < 1e-12);
    assert!(ohm(&drives(&packs, "false")) < ohm(&one));
}

/// What cannot be, or is doubted, of bank, controller and counts: each with its field and what to do.
#[test]
fn banks_and_controllers_that_do_not_go_together() {
    let said = |from: &str, to: &str, severity: Severity, words: &str| {
        let found = faults(&[(from, to)]);
        let hit = found.iter().find(|fault| fault.severity == severity && fault.problem.contains(words));
        let hit = hit.unwrap_or_else(|| panic!("{words}: {found:#?}"));
        assert!(!hit.advice.is_empty() && hit.line > 0, "{hit:?}");
    };
    let controller = "[controller]\n";
    said(
        controller,
        "[controller]\novervoltage = \"70 V\"\n",
        Severity::Error,
        "stands 70.0 V, no more than",
    );
    said(controller, "[controller]\novervoltage = \"84 V\"\n", Severity::Doubt, "charging lifts");
    said(
        controller,
        "[controller]\nregeneration_current = \"300 A\"\n",
        Severity::Doubt,
        "packs that take 180 A",
    );
    said("count = 3", "count = 300", Severity::Error, "");
    said("from = \"busbar\"", "from = \"controller\"", Severity::Error, "both ends of a cable");
    let house = "[[pack]]\nname = \"house\"\ngroup = \"house\"\nchemistry = \"AGM\"\nvoltage = \"12 V\"\ncapacity = \"110 Ah\"\n\n[bank]\n";
    said("[bank]\n", house, Severity::Doubt, "drawn from the drive's bank");
    let many =
        "[[cable]]\nname = \"one more\"\nfrom = \"busbar\"\nto = \"house\"\nlength = \"1 m\"\n\n".repeat(130);
    said("[[cable]]\n", &format!("{many}[[cable]]\n"), Severity::Error, "120 at most are reckoned");
}

/// Four batteries of 12 V before a motor of 6 kW: 500 A that no such wiring has.
#[test]
fn batteries_that_may_stand_one_behind_the_other_are_asked_about() {
    let text = "[boat]\nname = \"Four\"\n[hull]\nkind = \"sailing yacht\"\nlength_overall = \"8.5 m\"\nbeam_overall = \"2.8 m\"\n\
                [motor]\nrated_power = \"6 kW\"\n[[pack]]\nchemistry = \"AGM\"\ncount = 4\nvoltage = \"12 V\"\ncapacity = \"120 Ah\"\n";
    let found = BoatDocument::parse_lenient(text).1;
    assert!(found.iter().any(|fault| fault.problem.contains("take 500 A")), "{found:#?}");
}

/// By hand: 1.1 m of 50 mm² there and back at 60 °C with 0.5 mohm of joints, 2 x 1.1 x 0.393 x 1.1572 + 0.5 = 1.5005 mohm; two such
/// side by side half of it.
#[test]
fn the_motors_leads_count_in_the_steady_state() {
    let spec = |text: &str| build_spec(&BoatDocument::parse(text).unwrap()).unwrap();
    let leads = |text: &str| spec(text).boat.motor.leads_ohm;
    assert!((leads(BOAT) - 1.5005e-3).abs() < 1e-6, "{}", leads(BOAT));
    let second = "[[cable]]\nname = \"second motor cable\"\nfrom = \"controller\"\nto = \"motor\"\nlength = \"1.1 m\"\nsize = \"50 mm2\"\n\n";
    let twice = BOAT.replacen("[[cable]]\n", &format!("{second}[[cable]]\n"), 1);
    assert!((leads(&twice) - 0.5 * leads(BOAT)).abs() < 1e-9);
    let carried = |text: &str| {
        let found = study(text);
        let cables = &found.wired.harness.cables;
        let place = cables.iter().position(|cable| cable.name == "motor cable").unwrap();
        found.wired.carried[place].hours_a
    };
    assert!((carried(&twice) - 0.5 * carried(BOAT)).abs() < 2.0, "{} {}", carried(&twice), carried(BOAT));
    // Where the volts stop her a longer lead costs knots; the watts that it turns to heat are the square of its current.
    let fast = BOAT.replacen("ratio = \"2.2:1\"", "ratio = \"3.5:1\"", 1);
    let full = |text: &str| {
        let prepared = PreparedBoat::new(&spec(text).boat).unwrap().value;
        prepared.solve_limited(1.0, |_| true).unwrap().state
    };
    let (short, long) = (full(&fast), full(&fast.replacen("length = \"1.1 m\"", "length = \"11 m\"", 1)));
    assert!(long.speed_m_s < short.speed_m_s - 0.02, "{} {}", short.speed_m_s, long.speed_m_s);
    let ohm = (20.0 * 1.1 * 0.393 * 1.1572 + 0.5) * 1e-3;
    let heat_w = long.motor.current_a.powi(2) * ohm;
    assert!((long.motor.leads_loss_w / heat_w - 1.0).abs() < 1e-3, "{} {heat_w}", long.motor.leads_loss_w);
}

/// A pack whose protection lets out 70 A: its fuse carries a quarter more than that and no more, whatever the controller asks.
#[test]
fn a_packs_fuse_carries_no_more_than_its_protection_lets_out() {
    let found = study(&BOAT.replacen("bms_discharge = \"150 A\"", "bms_discharge = \"70 A\"", 1));
    let is_it =
        |rule: &&wakewright_core::wiring::Judged| rule.kind == RuleKind::FuseLoad && rule.part == "pack fuse";
    let rule = found.rules.iter().find(is_it).unwrap();
    assert!((rule.limit.unwrap() - 87.5).abs() < 1e-9 && rule.note.contains("opens at 70 A"), "{rule:?}");
}
