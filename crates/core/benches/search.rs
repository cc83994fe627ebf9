//! A search of about a million candidates: candidates per second, and where the time goes. Prints a
//! table; `scripts/bench-search` sets it beside a peer with NumPy. Not for: whether the front is right.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_types,
    clippy::disallowed_methods,
    reason = "a bench prints, stops and has a clock"
)]

#[path = "common/mod.rs"]
mod common;

use std::time::Instant;

use common::large_search;
use wakewright_core::search::{Depth, Partial, Search};

/// Propellers of a range that one thread takes at a time.
const PROPELLERS_AT_A_TIME: usize = 8;

/// Seconds that this thread has been on a processor, where the system tells (Linux): other programs on a
/// busy machine do not count.
fn on_processor_s() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(text.split_whitespace().next()?.parse::<f64>().ok()? * 1e-9)
}

/// Runs everything on `threads` threads; gives the result and the seconds it took, best of five: on the
/// processor for one thread, by the clock for more.
fn timed(search: &Search, depth: Depth, threads: usize) -> (Partial, f64) {
    let mut best = f64::INFINITY;
    let mut result = Partial::default();
    for _ in 0..5 {
        let (start, before) = (Instant::now(), on_processor_s());
        result = run(search, depth, threads);
        let clock_s = start.elapsed().as_secs_f64();
        let own_s =
            before.zip(on_processor_s()).filter(|_| threads == 1).map(|(before, after)| after - before);
        best = best.min(own_s.unwrap_or(clock_s));
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
    let search = large_search();
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
        let (_, seconds) = timed(&search, Depth::Front, threads);
        println!("full {threads} {seconds:.4}");
    }
}
