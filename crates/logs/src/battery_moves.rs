//! How a battery's amps move with the boat's speed.

use crate::log::{Channel, Log};
use crate::measured::Measured as M;

/// Bins over which amps are held against speed \[s\].
const BIN_S: f64 = 10.0;

/// Bins below which they are not.
const LEAST_BINS: usize = 8;

/// She must change her speed by this for amps to move with it \[m/s\], or her motor by as much in rev/s.
const LEAST_CHANGE: f64 = 0.15;

/// Means by the number of their bin, rising.
pub(super) type Bins = Vec<(i64, f64)>;

/// Means over even stretches of time.
pub(super) fn bins(channel: &Channel, is_size: bool) -> Bins {
    let mut sums: Vec<(i64, (f64, u32))> = Vec::new();
    for (time, value) in channel.times_s.iter().zip(&channel.values) {
        let bin = (time / BIN_S).floor() as i64;
        let value = if is_size { value.abs() } else { *value };
        match sums.last_mut() {
            // Most samples lie in the bin of the one before.
            Some((open, (sum, count))) if *open == bin => (*sum, *count) = (*sum + value, *count + 1),
            Some((open, _)) if *open > bin => match sums.binary_search_by_key(&bin, |(bin, _)| *bin) {
                Ok(at) => sums[at].1 = (sums[at].1.0 + value, sums[at].1.1 + 1),
                Err(at) => sums.insert(at, (bin, (value, 1))),
            },
            _ => sums.push((bin, (value, 1))),
        }
    }
    sums.into_iter().map(|(bin, (sum, count))| (bin, sum / f64::from(count))).collect()
}

/// Both means of the bins that two have in common.
pub(super) fn common(one: &Bins, other: &Bins) -> impl Iterator<Item = (f64, f64)> {
    let mut others = other.iter().peekable();
    one.iter().filter_map(move |(bin, value)| {
        while others.next_if(|(before, _)| before < bin).is_some() {}
        others.peek().filter(|(same, _)| same == bin).map(|(_, other)| (*value, *other))
    })
}

/// Speed by which amps are told: over ground, through the water, else what the motor turns.
pub(super) fn speed_bins(log: &Log) -> Option<Bins> {
    [M::SpeedOverGround, M::SpeedThroughWater, M::ShaftSpeed, M::MotorSpeed].into_iter().find_map(
        |measured| {
            let channel = log.of(measured).max_by_key(|c| c.count)?;
            let bins = bins(channel, true);
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for (_, value) in &bins {
                (low, high) = (low.min(*value), high.max(*value));
            }
            (bins.len() >= LEAST_BINS && high - low >= LEAST_CHANGE).then_some(bins)
        },
    )
}

pub(super) fn correlation(amps: &Bins, speed: &Bins) -> Option<f64> {
    let pairs: Vec<(f64, f64)> = common(amps, speed).collect();
    if pairs.len() < LEAST_BINS {
        return None;
    }
    let count = pairs.len() as f64;
    let (a, s) = pairs.iter().fold((0.0, 0.0), |sum, p| (sum.0 + p.0 / count, sum.1 + p.1 / count));
    let (mut aa, mut ss, mut cross) = (0.0, 0.0, 0.0);
    for (x, y) in &pairs {
        aa += (x - a).powi(2);
        ss += (y - s).powi(2);
        cross += (x - a) * (y - s);
    }
    (aa > 0.0 && ss > 0.0).then(|| cross / (aa * ss).sqrt())
}
