//! The wiring against published tables, circuits that another program solved, closed forms; laws as properties.

#![allow(clippy::unwrap_used, reason = "a test must fail when a value is missing")]

use proptest::prelude::*;
use wakewright_core::battery::paralleling::equalising_current_a;
use wakewright_core::drive::Precharge;
use wakewright_core::wiring::{
    BUSBAR, Branch, Bus, CONTROLLER, Cable, Circuit, ControllerSide, Decisions, FaultPacks, FuseClass,
    Harness, Insulation, Network, PACK, PrechargeParts, Push, Service, Size, Source, Strand, allowed_a,
    bundling_factor, faults, fuse_faces, run_resistance_ohm, short_circuit_k,
};
use wakewright_testkit::{Table, assert_near, assert_within};

fn branch(from: usize, to: usize, resistance_ohm: f64, emf_v: f64) -> Branch {
    Branch { from, to, resistance_ohm, emf_v }
}

fn insulation(rated_c: f64) -> Insulation {
    Insulation::ALL.into_iter().find(|one| one.rated_c() == rated_c).unwrap()
}

#[test]
fn cfr183_ampacity() {
    let table = Table::read("electric/cfr183_ampacity.csv");
    for row in 0..table.rows.len() {
        let number = |column: &str| table.number(row, column).unwrap();
        let size = Size::parse(&format!("{} AWG", table.text(row, "awg"))).unwrap();
        let insulation = insulation(number("insulation_c"));
        assert_eq!(size.area_mm2(), number("mm2"), "{}", size.words());
        assert_eq!(size.ampacity_a(insulation), Some(number("amps_30c")));
        assert_eq!(allowed_a(size, insulation, 30.0, 2), Some(number("amps_30c")));
        assert_eq!(insulation.engine_space_factor(), number("engine_space_factor"));
        let inside = allowed_a(size, insulation, 50.0, 2).unwrap();
        assert_near("in the engine space", inside, number("amps_50c"), 0.05 + 1e-9);
    }
}

#[test]
fn iec60228_resistance() {
    let table = Table::read("electric/iec60228_resistance.csv");
    for row in 0..table.rows.len() {
        let is_metric = table.text(row, "kind") == "IEC60228";
        let name = table.text(row, "size");
        let size = Size::parse(&if is_metric { name.to_owned() } else { format!("{name} AWG") }).unwrap();
        let columns = ["flexible_plain", "flexible_tinned", "stiff_plain", "stiff_tinned"];
        for (strand, column) in Strand::ALL.into_iter().zip(columns) {
            if let Some(printed) = table.number(row, column) {
                let found = 1e3 * size.resistance_ohm_m(strand);
                assert_near(&size.words(), found, printed, if is_metric { 1e-12 } else { 5.1e-5 });
            }
        }
    }
}

#[test]
fn cfr183_bundling() {
    let table = Table::read("electric/cfr183_bundling.csv");
    for row in 0..table.rows.len() {
        let range = table.text(row, "conductors").replace('+', "-99");
        for end in range.split('-') {
            assert_eq!(bundling_factor(end.parse().unwrap()), table.number(row, "factor").unwrap(), "{end}");
        }
    }
}

/// Examples that a cable catalogue and a code print: 2/0 of 105 °C, two and three together in an engine space.
#[test]
fn worked_ampacity() {
    let size = Size::parse("2/0 AWG").unwrap();
    assert_near("two", allowed_a(size, Insulation::C105, 50.0, 2).unwrap(), 280.5, 0.05 + 1e-9);
    assert_near("three", allowed_a(size, Insulation::C105, 50.0, 3).unwrap(), 196.4, 0.05 + 1e-9);
    let size = Size::parse("10 AWG").unwrap();
    assert_near("120 F", 40.0 * wakewright_core::wiring::ambient_factor(Insulation::C90, 49.0), 32.8, 0.2);
    assert_eq!(size.ampacity_a(Insulation::C60), Some(40.0));
}

#[test]
fn iec60364_short_circuit_k() {
    let table = Table::read("electric/iec60364_short_circuit_k.csv");
    for row in 0..table.rows.len() {
        let number = |column: &str| table.number(row, column).unwrap();
        assert_within(
            table.text(row, "insulation"),
            short_circuit_k(number("start_c"), number("end_c")),
            number("k_copper"),
            0.004,
        );
    }
    assert_near("105 to 160", short_circuit_k(105.0, 160.0), 87.6, 0.05);
}

#[test]
fn fuseguide_selectivity() {
    let table = Table::read("electric/fuseguide_selectivity.csv");
    for row in (0..table.rows.len()).filter(|row| table.text(*row, "status") == "read") {
        let (ratio, is_read) = FuseClass::KnifeBlade.selective_ratio().unwrap();
        assert_eq!((ratio, is_read), (table.number(row, "least_ratio").unwrap(), true));
    }
}

fn cable(name: &str, from: &str, to: &str, loop_ohm: f64) -> Cable {
    Cable {
        name: name.to_owned(),
        from: from.to_owned(),
        to: to.to_owned(),
        length_m: 1.0,
        size: None,
        strand: Strand::FlexiblePlain,
        insulation: Insulation::C105,
        air_c: 30.0,
        together: 2,
        is_sheathed: false,
        between_m: 0.03,
        service: Service::Propulsion,
        load_a: None,
        end_stands_v: None,
        loop_ohm: Some(loop_ohm),
        studs: None,
    }
}

fn harness(cables: Vec<Cable>) -> Harness {
    Harness {
        cables,
        fuses: Vec::new(),
        contactors: Vec::new(),
        precharge: PrechargeParts::default(),
        decisions: Decisions::default(),
        controller: ControllerSide::default(),
        charger_a: None,
        panels_a: None,
        panels: Vec::new(),
        coldest_k: 273.15,
        stands: Vec::new(),
        is_assumed: false,
    }
}

/// The four packs of the table, the first with its cable so many times as long.
fn four_packs(first: f64) -> (Harness, Network, FaultPacks) {
    let run = |size: &str, length_m: f64| {
        run_resistance_ohm(Size::parse(size).unwrap(), Strand::FlexiblePlain, length_m, 20.0)
    };
    let pack = |number: usize, times: f64| {
        cable("pack", &format!("pack {number}"), BUSBAR, run("35 mm2", times) + 0.3e-3)
    };
    let mut cables: Vec<Cable> =
        (1..=4).map(|number| pack(number, if number == 1 { first } else { 1.0 })).collect();
    cables.push(cable("main", BUSBAR, CONTROLLER, run("70 mm2", 2.0)));
    let harness = harness(cables);
    let packs = vec![Source { emf_v: 53.6, resistance_ohm: 0.012 }; 4];
    let network = Network::of(&harness, 4);
    let packs = FaultPacks { full: [packs.clone(), packs.clone(), packs.clone()], weak: packs, motor_a: 0.0 };
    (harness, network, packs)
}

#[test]
fn guide_fault_currents() {
    let table = Table::read("electric/guide_fault_currents.csv");
    let printed = |circuit: &str, place: &str| {
        (0..table.rows.len())
            .find(|row| {
                table.text(*row, "circuit").starts_with(circuit) && table.text(*row, "where") == place
            })
            .and_then(|row| table.number(row, "prospective_a"))
            .unwrap()
    };
    // Published.
    let shorted = |packs: usize, emf_v: f64, ohm: f64| {
        let branches = (0..packs).map(|_| branch(0, 1, ohm, emf_v)).collect();
        Circuit { nodes: 2, branches, pushed: Vec::new() }.solve_shorted(1).unwrap().fault_a
    };
    assert_within(
        "cells",
        shorted(1, 14.0, 4.0 * 0.75e-3 + 3.0 * 0.25e-3),
        printed("cell 3.5 V", "at the terminals"),
        1e-3,
    );
    assert_within(
        "battery",
        shorted(1, 240.0, 0.055),
        printed("240 V", "at the terminals of one battery"),
        1e-3,
    );
    assert_within(
        "four",
        shorted(4, 240.0, 0.055),
        printed("four of those", "at the busbar, connections neglected"),
        1e-3,
    );
    // Constructed: out of the network.
    let (harness, network, packs) = four_packs(1.0);
    let found = faults(&harness, &network, &packs);
    let at = |place: &str| found.iter().find(|fault| fault.place == place).unwrap();
    assert_within("busbar", at(BUSBAR).greatest.value, printed("4 packs", "at the busbar"), 1e-3);
    assert_within("each", at(BUSBAR).greatest.value / 4.0, printed("the same", "each pack gives"), 1e-3);
    assert_within(
        "controller",
        at(CONTROLLER).greatest.value,
        printed("the same, and 2 m", "at the controller"),
        1e-3,
    );
    let into_shorted = at("pack 1's own terminals").one_fewer.value;
    assert_within(
        "shorted pack",
        into_shorted,
        printed("the same", "through the fuse of a pack that is shorted at its own terminals"),
        1e-3,
    );
    assert_within(
        "healthy",
        into_shorted / 3.0,
        printed("the same", "each healthy pack gives into it"),
        1e-3,
    );
    let [face, _] = fuse_faces(&harness, &network, &packs, 0).unwrap();
    assert_within("its fuse", face.greatest.value, into_shorted, 1e-9);
    assert_within("one pack", shorted(1, 53.6, 0.012), printed("one pack alone", "at its terminals"), 1e-3);
}

/// Constructed beside the table: one cable five times as long, and the others give more of a smaller fault.
#[test]
fn a_longer_cable_lowers_the_fault_and_raises_a_share() {
    for (times, fault_a, share_a) in [(1.0, 12_072.0, 3018.0), (5.0, 11_497.0, 3065.0)] {
        let (harness, network, packs) = four_packs(times);
        let sources: Vec<Option<Source>> = packs.full[0].iter().copied().map(Some).collect();
        let circuit = network.circuit(&harness, &sources, wakewright_core::wiring::COOL, |_| false);
        let solution = circuit.solve_shorted(network.node(CONTROLLER).unwrap()).unwrap();
        assert_near("fault", solution.fault_a, fault_a, 0.5);
        assert_near("another pack's share", network.run_a(&solution, 4, 1), share_a, 0.5);
    }
}

#[test]
fn scipy_dense_circuits() {
    let table = Table::read("electric/scipy_dense_circuits.csv");
    let networks = table.numbers("network").into_iter().fold(0.0, f64::max) as usize;
    for number in 1..=networks {
        let rows: Vec<usize> = (0..table.rows.len())
            .filter(|row| table.number(*row, "network") == Some(number as f64))
            .collect();
        let value = |row: usize, column: &str| table.number(row, column).unwrap();
        let branches: Vec<Branch> = rows
            .iter()
            .map(|row| {
                branch(
                    value(*row, "from") as usize,
                    value(*row, "to") as usize,
                    value(*row, "resistance_ohm"),
                    value(*row, "emf_v"),
                )
            })
            .collect();
        let nodes = 1 + branches.iter().map(|b| b.from.max(b.to)).max().unwrap();
        let found = Circuit { nodes, branches, pushed: Vec::new() }.solve().unwrap();
        let largest = rows.iter().map(|row| value(*row, "current_a").abs()).fold(0.0, f64::max);
        for (row, amperes) in rows.iter().zip(&found.branch_a) {
            assert_near(&format!("network {number}"), *amperes, value(*row, "current_a"), 1e-9 * largest);
        }
    }
}

/// A network of up to 60 nodes: a tree with as many branches again.
fn networks() -> impl Strategy<Value = Circuit> {
    (2..60_usize).prop_flat_map(|nodes| {
        let tree = prop::collection::vec((0.0..1.0_f64, -3.0..1.0_f64, 0.0..110.0_f64), nodes - 1);
        let more = prop::collection::vec((0..nodes, 0..nodes, -3.0..1.0_f64, 0.0..110.0_f64), 0..nodes);
        (tree, more).prop_map(move |(tree, more)| {
            let joined = tree.iter().enumerate().map(|(k, (at, power, emf))| {
                branch((at * (k + 1) as f64) as usize, k + 1, 10_f64.powf(*power), *emf)
            });
            let across = more
                .iter()
                .filter(|(a, b, ..)| a != b)
                .map(|(a, b, power, _)| branch(*a, *b, 10_f64.powf(*power), 0.0));
            Circuit { nodes, branches: joined.chain(across).collect(), pushed: vec![(nodes - 1, 7.0)] }
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]
    #[test]
    fn kirchhoff(circuit in networks()) {
        let found = circuit.solve().unwrap();
        let largest = found.branch_a.iter().fold(1.0_f64, |most, a| most.max(a.abs()));
        for node in 1..circuit.nodes {
            let mut sum: f64 = circuit.pushed.iter().filter(|(at, _)| *at == node).map(|(_, a)| a).sum();
            for (b, amperes) in circuit.branches.iter().zip(&found.branch_a) {
                sum += f64::from(i8::from(b.to == node) - i8::from(b.from == node)) * amperes;
            }
            prop_assert!(sum.abs() <= 1e-9 * largest, "{sum} A of {largest} left at node {node}");
        }
        for (b, amperes) in circuit.branches.iter().zip(&found.branch_a) {
            let left = found.node_v[b.from] - found.node_v[b.to] + b.emf_v - amperes * b.resistance_ohm;
            prop_assert!(left.abs() <= 1e-9 * (b.emf_v.abs() + (amperes * b.resistance_ohm).abs()).max(1.0));
        }
    }

    /// Of packs of one EMF: one fewer, or a longer or thinner cable, never raises a bolted fault's current.
    #[test]
    fn less_copper_gives_less(packs in 2..6_usize, emf in 12.0..110.0_f64, longer in 1.0..9.0_f64,
        ohms in prop::collection::vec(1e-3..0.02_f64, 12)) {
        let build = |times: f64| {
            let mut cables: Vec<Cable> = (0..packs).map(|k| cable("pack", &format!("{PACK} {}", k + 1), BUSBAR,
                ohms[k] * if k == 0 { times } else { 1.0 })).collect();
            cables.push(cable("main", BUSBAR, CONTROLLER, ohms[11]));
            harness(cables)
        };
        let sources: Vec<Source> = (0..packs).map(|k| Source { emf_v: emf, resistance_ohm: ohms[k + 6] }).collect();
        let sources = FaultPacks { full: [sources.clone(), sources.clone(), sources.clone()], weak: sources, motor_a: 0.0 };
        let of = |times: f64| {
            let harness = build(times);
            faults(&harness, &Network::of(&harness, packs), &sources)
        };
        for (short, long) in of(1.0).iter().zip(of(longer)) {
            prop_assert!(long.greatest.value <= short.greatest.value * (1.0 + 1e-9), "{}", short.place);
            prop_assert!(short.one_fewer.value <= short.greatest.value * (1.0 + 1e-9), "{}", short.place);
        }
    }

    /// What is pushed into the bus, less what is drawn, is what its capacitors hold more.
    #[test]
    fn the_bus_keeps_its_energy(farad in 1e-4..2e-2_f64, volts in 12.0..120.0_f64, push in 5.0..300.0_f64, rise in 1.05..2.0_f64,
        delay in 0.0..2e-3_f64, is_power in any::<bool>(), windings in 0.0..10.0_f64, turning in 0.0..1.4_f64) {
        let bus = Bus { capacitance_f: farad, before_v: volts, drawn_a: 1.0, stops_at_v: rise * volts, delay_s: delay,
            windings_j: windings, motor_v: turning * volts,
            push: if is_power { Push::Power(push * volts) } else { Push::Current(push) } };
        let course = bus.course(1.0);
        prop_assert!((course.into_j - course.held_j).abs() <= 1e-6 * course.held_j.abs().max(1e-9), "{course:?}");
    }
}

#[test]
fn capacitor_load_dump() {
    let table = Table::read("electric/capacitor_load_dump.csv");
    for row in 0..table.rows.len() {
        let number = |column: &str| table.number(row, column).unwrap();
        let (before_v, amperes) = (number("volts_before"), number("regeneration_a"));
        let bus = |push: Push| Bus {
            capacitance_f: number("capacitance_f"),
            before_v,
            push,
            drawn_a: 0.0,
            stops_at_v: number("volts_limit"),
            delay_s: 0.0,
            windings_j: 0.0,
            motor_v: 0.0,
        };
        let course = bus(Push::Current(amperes)).course(1.0);
        let ms = |s: f64| s * 1e3;
        assert_within(
            "constant current",
            ms(course.reached_s.unwrap()),
            number("time_constant_current_ms"),
            0.001,
        );
        let second = course.moments[1];
        assert_within("rise", (second.bus_v - before_v) / ms(second.time_s), number("rise_v_per_ms"), 0.001);
        let power = bus(Push::Power(amperes * before_v)).course(1.0);
        assert_within(
            "constant power",
            ms(power.reached_s.unwrap()),
            number("time_constant_power_ms"),
            0.001,
        );
        // Closed forms: C (V - V0) / I, and C (V^2 - V0^2) / (2 P).
        let (farad, limit) = (number("capacitance_f"), number("volts_limit"));
        assert_within(
            "closed, current",
            course.reached_s.unwrap(),
            farad * (limit - before_v) / amperes,
            1e-6,
        );
        let closed = farad * (limit * limit - before_v * before_v) / (2.0 * amperes * before_v);
        assert_within("closed, power", power.reached_s.unwrap(), closed, 1e-6);
    }
}

/// Pages on pre-charge \[precharge2020\], \[paralleling2021\].
#[test]
fn worked_precharge_and_joining() {
    let circuit = Precharge { bus_v: 800.0, resistance_ohm: 47.0, capacitance_f: 1e-3 };
    assert_near("tau", circuit.time_constant_s(), 0.047, 1e-9);
    assert_near("peak", circuit.peak_current_a(), 17.0, 0.05);
    assert_near("power", circuit.peak_power_w(), 13_617.0, 0.5);
    let circuit = Precharge { bus_v: 400.0, resistance_ohm: 50.0, capacitance_f: 3e-3 };
    assert_near("95 %", circuit.time_to_s(0.95), 0.449, 5e-4);
    assert_near("energy", circuit.energy_j(), 240.0, 1e-9);
    assert_near("5 V over 10 mohm", equalising_current_a(5.0, 0.010), 500.0, 1e-9);
}

#[test]
fn a_network_without_a_way_back_is_refused() {
    let circuit = Circuit { nodes: 3, branches: vec![branch(1, 2, 1.0, 5.0)], pushed: Vec::new() };
    assert!(circuit.solve().is_err());
    let circuit = Circuit { nodes: 2, branches: vec![branch(0, 1, 0.0, 5.0)], pushed: Vec::new() };
    assert!(circuit.solve().is_err());
}

/// Printed examples of cables by their drop: 10 A over 21 ft at 12 V and 10 %; 1,800 ft A at 12 V and 10 %; 1,000 ft A at 24 V and 3 %,
/// where 8 AWG would lose no more but carries 80 A, so that 6 AWG is taken. 4/0 of 105 °C, four to six together in an engine space, 227 A.
/// Constructed: 125 A through 3 m of 35 mm² tinned lose 0.424 V at 20 °C.
#[test]
fn worked_drops() {
    use wakewright_core::wiring::drop_area_circular_mil;
    assert_near("10 %", drop_area_circular_mil(10.0, 21.0, 1.2), 1881.0, 0.5);
    assert_near("1,800 ft A", drop_area_circular_mil(45.0, 40.0, 1.2), 16_125.0, 0.5);
    assert_near("1,000 ft A", drop_area_circular_mil(100.0, 10.0, 0.72), 14_931.0, 0.5);
    let gauge = |words: &str| Size::parse(words).unwrap();
    let carries = |words: &str| gauge(words).ampacity_a(Insulation::C105).unwrap();
    assert!(carries("8 AWG") < 100.0 && carries("6 AWG") >= 100.0);
    assert_near("4/0", allowed_a(gauge("4/0 AWG"), Insulation::C105, 50.0, 5).unwrap(), 227.0, 0.5);
    let ohm = run_resistance_ohm(gauge("35 mm2"), Strand::FlexibleTinned, 3.0, 20.0);
    assert_near("3 m of 35 mm2", 125.0 * ohm, 0.424, 5e-4);
}

/// A printed short circuit of a cell of 3.5 V and 0.75 mohm, 4,667 A, and of four with three links of 0.25 mohm, 3,733 A; 10 A shared out
/// between packs of 10 and 100 Ah, 0.91 and 9.09 A. All out of the solver.
#[test]
fn worked_circuits() {
    let one = Circuit { nodes: 2, branches: vec![branch(0, 1, 0.75e-3, 3.5)], pushed: Vec::new() };
    assert_near("one cell", one.solve_shorted(1).unwrap().fault_a, 4667.0, 0.5);
    let mut row = Circuit { nodes: 8, branches: Vec::new(), pushed: Vec::new() };
    for node in 0..7 {
        let is_cell = node % 2 == 0;
        row.branches.push(branch(
            node,
            node + 1,
            if is_cell { 0.75e-3 } else { 0.25e-3 },
            if is_cell { 3.5 } else { 0.0 },
        ));
    }
    assert_near("four cells", row.solve_shorted(7).unwrap().fault_a, 3733.0, 0.5);
    let branches = vec![branch(0, 1, 0.1, 12.0), branch(0, 1, 0.01, 12.0)];
    let shared = Circuit { nodes: 2, branches, pushed: vec![(1, -10.0)] }.solve().unwrap();
    assert_near("10 Ah", shared.branch_a[0], 0.91, 0.005);
    assert_near("100 Ah", shared.branch_a[1], 9.09, 0.005);
}
