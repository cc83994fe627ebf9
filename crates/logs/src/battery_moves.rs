//! How a battery's amps move with the boat's speed.

use crate::log::{Channel, Log};
use crate::measured::Measured as M;
use std::collections::BTreeMap;

/// Bins over which amps are held against speed \[s\].
const BIN_S: f64 = 10.0;

/// Bins below which they are not.
const LEAST_BINS: usize = 8;

/// She must change her speed by this for amps to move with it \[m/s\], or her motor by as much in rev/s.
const LEAST_CHANGE: f64 = 0.15;

pub(super) type Bins = BTreeMap<i64, f64>;

/// Means over even stretches of time.
pub(super) fn bins(channel: &Channel, is_size: bool) -> Bins {
    let mut sums: BTreeMap<i64, (f64, u32)> = BTreeMap::new();
    // Most samples lie in the bin of the one before.
    let mut open: Option<(i64, (f64, u32))> = None;
    for (time, value) in channel.times_s.iter().zip(&channel.values) {
        let bin = (time / BIN_S).floor() as i64;
        let (_, (sum, count)) = match open {
            Some(same) if same.0 == bin => same,
            left => {
                sums.extend(left);
                (bin, sums.get(&bin).copied().unwrap_or_default())
            }
        };
        open = Some((bin, (sum + if is_size { value.abs() } else { *value }, count + 1)));
    }
    sums.extend(open);
    sums.into_iter().map(|(bin, (sum, count))| (bin, sum / f64::from(count))).collect()
}

/// Speed by which amps are told: over ground, through the water, else what the motor turns.
pub(super) fn speed_bins(log: &Log) -> Option<Bins> {
    [M::SpeedOverGround, M::SpeedThroughWater, M::ShaftSpeed, M::MotorSpeed].into_iter().find_map(
        |measured| {
            let channel = log.of(measured).max_by_key(|c| c.count)?;
            let bins = bins(channel, true);
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for value in bins.values() {
                (low, high) = (low.min(*value), high.max(*value));
            }
            (bins.len() >= LEAST_BINS && high - low >= LEAST_CHANGE).then_some(bins)
        },
    )
}

pub(super) fn correlation(amps: &Bins, speed: &Bins) -> Option<f64> {
    let pairs: Vec<(f64, f64)> = amps.iter().filter_map(|(bin, a)| Some((*a, *speed.get(bin)?))).collect();
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
