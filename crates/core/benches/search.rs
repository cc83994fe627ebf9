//! A search of about a million candidates: candidates per second, and where the time goes. Prints a
//! table; `scripts/bench-search` sets it beside a peer with NumPy. Not for: whether the front is right.
#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "its output is the table, and a bench may stop")]

#[path = "common/mod.rs"]
mod common;

use std::time::Instant;

use common::demo_spec;
use wakewright_core::search::{
    Demands, Depth, Machine, Partial, Reduction, Search, Space, generic_machines, room_m, stock_propellers,
};
use wakewright_units::factors::KNOT_M_S;

/// Propellers of a range that one thread takes at a time.
const PROPELLERS_AT_A_TIME: usize = 8;

fn search() -> Search {
    let spec = demo_spec();
    let base = &spec.boat;
    let mut machines = generic_machines();
    machines.truncate(9);
    machines.push(Machine {
        words: "as aboard".to_owned(),
        plate: base.motor,
        controller: base.controller,
        nominal_v: base.bank.groups[0].nominal_voltage_v(),
        is_present: true,
    });
    let space = Space {
        propellers: stock_propellers(&base.propeller, room_m(&spec).unwrap_or(0.35)),
        machines,
        reductions: (10..=40)
            .step_by(2)
            .map(|tenths| Reduction::for_boat(base, f64::from(tenths) / 10.0))
            .collect(),
        cells: vec![16, 24],
        packs: vec![1, 2, 3, 4, 5],
    };
    let demands = Demands {
        largest_diameter_m: f64::INFINITY,
        may_exceed_touch_limit: true,
        most_mass_kg: f64::INFINITY,
        budget: f64::INFINITY,
    };
    let cruise = [2.5, 2.0, 3.0].map(|knots| knots * KNOT_M_S);
    Search::new(&spec, space, demands, cruise, None).unwrap()
}

/// Runs everything on `threads` threads; gives the result and the seconds it took, best of three.
fn timed(search: &Search, depth: Depth, threads: usize) -> (Partial, f64) {
    let mut best = f64::INFINITY;
    let mut result = Partial::default();
    for _ in 0..3 {
        let start = Instant::now();
        result = run(search, depth, threads);
        best = best.min(start.elapsed().as_secs_f64());
    }
    (result, best)
}

fn run(search: &Search, depth: Depth, threads: usize) -> Partial {
    let chunk = PROPELLERS_AT_A_TIME * search.space().per_propeller();
    let next = std::sync::atomic::AtomicUsize::new(0);
    let work = || {
        let mut found = Partial::default();
        loop {
            let start = next.fetch_add(chunk, std::sync::atomic::Ordering::Relaxed);
            if start >= search.space().len() {
                return found;
            }
            found.merge(search.run_to(start..start + chunk, depth));
        }
    };
    std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
        let mut found = work();
        others.into_iter().for_each(|other| found.merge(other.join().unwrap()));
        found
    })
}

fn main() {
    let search = search();
    let count = search.space().len();
    let (whole, _) = timed(&search, Depth::Front, 1);
    println!("candidates {count}");
    println!("within_limits {}", whole.tally.within);
    println!("front {}", whole.front.len());
    let mut before = 0.0;
    for (depth, words) in [
        (Depth::Demand, "demand of hull and propeller"),
        (Depth::Limits, "motor and bank at three cruising speeds, limits"),
        (Depth::FullThrottle, "full throttle"),
        (Depth::Front, "front"),
    ] {
        let (_, seconds) = timed(&search, depth, 1);
        println!("stage {:.4} {words}", seconds - before);
        before = seconds;
    }
    for threads in [1, 2] {
        let (full, seconds) = timed(&search, Depth::Front, threads);
        let (skipping, skipping_s) = timed(&search, Depth::Skipping, threads);
        assert_eq!(full.front.into_members(), skipping.front.into_members(), "the same front");
        println!("full {threads} {seconds:.4}");
        println!("skipping {threads} {skipping_s:.4}");
    }
}
