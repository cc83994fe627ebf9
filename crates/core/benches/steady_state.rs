//! What one steady state costs, and the preparation before it. `scripts/bench` sets these beside a
//! peer program. Not for: whole studies (`study.rs`).
#![allow(clippy::unwrap_used, reason = "a bench may stop")]

#[path = "common/mod.rs"]
mod common;

use common::{demo_boat, demo_spec, large_propeller_boat};
use divan::{Bencher, black_box};
use wakewright_core::battery::{Load, discharge};
use wakewright_core::boat::Boat;
use wakewright_core::spread::Sampler;
use wakewright_core::steady::{Ask, PreparedBoat};

fn main() {
    divan::main();
}

fn prepared(boat: &Boat) -> PreparedBoat {
    PreparedBoat::new(boat).unwrap().value
}

fn solve(bencher: Bencher<'_, '_>, ask: Ask) {
    let boat = prepared(&demo_boat());
    bencher.bench_local(|| black_box(&boat).solve(black_box(ask)).unwrap());
}

#[divan::bench(sample_size = 1000)]
fn solve_full_throttle(bencher: Bencher<'_, '_>) {
    solve(bencher, Ask::Throttle(1.0));
}

#[divan::bench(sample_size = 1000)]
fn solve_half_throttle(bencher: Bencher<'_, '_>) {
    solve(bencher, Ask::Throttle(0.5));
}

#[divan::bench(sample_size = 1000)]
fn solve_speed(bencher: Bencher<'_, '_>) {
    solve(bencher, Ask::Speed(1.8));
}

#[divan::bench(sample_size = 1000)]
fn solve_shaft_speed(bencher: Bencher<'_, '_>) {
    solve(bencher, Ask::ShaftSpeed(12.0));
}

#[divan::bench(sample_size = 1000)]
fn solve_power(bencher: Bencher<'_, '_>) {
    solve(bencher, Ask::BankPower(3000.0));
}

/// The samples of a study: other inputs each time, so nothing is foreseen by the processor.
#[divan::bench(sample_size = 1024)]
fn solve_full_throttle_drawn_boats(bencher: Bencher<'_, '_>) {
    let spec = demo_spec();
    let boats: Vec<PreparedBoat> =
        (0..256).map(|sample| prepared(&spec.sample(Sampler::new(1), sample))).collect();
    let mut turn = boats.iter().cycle();
    bencher.bench_local(|| turn.next().map(|boat| boat.solve(black_box(Ask::Throttle(1.0)))));
}

/// Blades above the Reynolds number at which the series begins to be corrected.
#[divan::bench(sample_size = 1000)]
fn solve_full_throttle_large_blades(bencher: Bencher<'_, '_>) {
    let boat = prepared(&large_propeller_boat());
    bencher.bench_local(|| black_box(&boat).solve(black_box(Ask::Throttle(1.0))).unwrap());
}

#[divan::bench]
fn state_at(bencher: Bencher<'_, '_>) {
    let boat = prepared(&demo_boat());
    bencher.bench_local(|| black_box(&boat).state_at(black_box(1.8)).unwrap());
}

#[divan::bench]
fn usage(bencher: Bencher<'_, '_>) {
    let boat = prepared(&demo_boat());
    let state = boat.state_at(1.8).unwrap();
    bencher.bench_local(|| black_box(&boat).usage(black_box(&state), 1.0));
}

#[divan::bench(sample_size = 1000)]
fn bollard(bencher: Bencher<'_, '_>) {
    let boat = prepared(&demo_boat());
    bencher.bench_local(|| black_box(&boat).bollard());
}

#[divan::bench]
fn prepare(bencher: Bencher<'_, '_>) {
    let boat = demo_boat();
    bencher.bench_local(|| PreparedBoat::new(black_box(&boat)).unwrap());
}

#[divan::bench]
fn run_bank_down(bencher: Bencher<'_, '_>) {
    let bank = demo_boat().bank;
    bencher.bench_local(|| discharge(black_box(&bank), Load::PowerW(2000.0), 0.9, 0.2).unwrap());
}
