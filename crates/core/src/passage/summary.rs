//! Arrivals of all samples as bands and shares. Not for: sampling.

use super::home::{Arrival, HomeAsked, HomeSample, Try};
use crate::boat::BoatSpec;
use crate::spread::{Interval, Sampler};
use crate::steady::Taken;

/// A try over all samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TryRow {
    /// What was tried.
    pub tried: Try,
    /// From now until she is there, of the samples in which she is \[s\].
    pub after_s: Interval,
    /// State of charge on arrival, 0 where she is not there before it is used up.
    pub charge: Interval,
    /// Share of samples in which she arrives above the reserve.
    pub above_share: f64,
    /// Share of samples in which she arrives at all.
    pub there_share: f64,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct HomeStudy {
    /// In the order of the tries.
    pub rows: Vec<TryRow>,
    /// The samples behind them.
    pub taken: Taken,
}

/// Puts samples together.
#[must_use]
pub fn summarise_home(
    spec: &BoatSpec,
    asked: &HomeAsked,
    sampler: Sampler,
    samples: &[Option<HomeSample>],
) -> HomeStudy {
    let row = |(place, tried): (usize, &Try)| {
        let all: Vec<_> = samples.iter().flatten().filter_map(|sample| sample.arrivals.get(place)).collect();
        let share = |is: &dyn Fn(&Arrival) -> bool| {
            all.iter().filter(|arrival| is(arrival)).count() as f64 / all.len().max(1) as f64
        };
        let there = all.iter().filter(|arrival| arrival.charge > 0.0);
        let after = Interval::over(&mut there.map(|arrival| arrival.after_s).collect());
        let charge = Interval::over(&mut all.iter().map(|arrival| arrival.charge).collect());
        TryRow {
            tried: *tried,
            after_s: after.unwrap_or(Interval::exact(f64::INFINITY)),
            charge: charge.unwrap_or(Interval::exact(0.0)),
            above_share: share(&|arrival| arrival.charge > arrival.reserve),
            there_share: share(&|arrival| arrival.charge > 0.0),
        }
    };
    HomeStudy {
        rows: asked.tries.iter().enumerate().map(row).collect(),
        taken: Taken::of(samples, |sample| spec.sample(sampler, sample)),
    }
}
