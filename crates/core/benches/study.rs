//! A whole study of the demo boat, as a page asks for it: 2,000 samples on one and on two threads.
//! Not for: single states (`steady_state.rs`).
#![allow(clippy::unwrap_used, reason = "a bench may stop")]

#[path = "common/mod.rs"]
mod common;

use common::demo_spec;
use wakewright_core::boat::BoatSpec;
use wakewright_core::spread::Sampler;
use wakewright_core::study::{Questions, SampleAnswer, Study, sample_answer, summarise};

const SAMPLES: u64 = 2_000;

fn main() {
    divan::main();
}

fn study(spec: &BoatSpec, questions: &Questions, threads: u64) -> Study {
    let sampler = Sampler::new(1);
    let answer = |range: std::ops::Range<u64>| -> Vec<Option<SampleAnswer>> {
        range.map(|sample| sample_answer(spec, questions, sampler, sample)).collect()
    };
    let share = SAMPLES.div_ceil(threads);
    let samples: Vec<_> = std::thread::scope(|scope| {
        let running: Vec<_> = (0..threads)
            .map(|i| scope.spawn(move || answer(i * share..((i + 1) * share).min(SAMPLES))))
            .collect();
        running.into_iter().flat_map(|thread| thread.join().unwrap()).collect()
    });
    summarise(spec, questions, sampler, &samples).unwrap()
}

fn throttles() -> Questions {
    Questions {
        throttles: (1..=10).map(|i| f64::from(i) / 10.0).collect(),
        speeds_m_s: vec![],
        ..Questions::default()
    }
}

fn speeds() -> Questions {
    Questions {
        throttles: vec![],
        speeds_m_s: (1..=10).map(|i| 0.3 + 0.2 * f64::from(i)).collect(),
        ..Questions::default()
    }
}

#[divan::bench(args = [1, 2], sample_count = 10)]
fn ten_throttles(threads: u64) -> Study {
    study(&demo_spec(), &throttles(), threads)
}

#[divan::bench(args = [1, 2], sample_count = 10)]
fn range_at_ten_speeds(threads: u64) -> Study {
    study(&demo_spec(), &speeds(), threads)
}
