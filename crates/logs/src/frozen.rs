//! A sensor that stands still while she moves.

use super::checks::{is_moored, moved_between};
use super::log::{Channel, Log, TimeBase};
use super::measured::Measured as M;
use super::notice::LogNotice;

/// A sensor that shows one value for so long while the boat moves is frozen \[s\].
const FROZEN_S: f64 = 120.0;

/// And at least so many times.
const FROZEN_SAMPLES: usize = 30;

/// And for so many times as long as it usually stands: a course in whole degrees, well steered, stands
/// for a minute again and again. Of 400 standstills of random length the longest is about 6 times the mean.
const FROZEN_AGAINST_USUAL: f64 = 10.0;

/// What always flickers under way.
const FLICKERS: [M; 12] = [
    M::SpeedThroughWater,
    M::SpeedOverGround,
    M::CourseOverGround,
    M::HeadingTrue,
    M::HeadingMagnetic,
    M::Latitude,
    M::Longitude,
    M::DepthBelowTransducer,
    M::ApparentWindSpeed,
    M::ApparentWindAngle,
    M::TrueWindSpeed,
    M::TrueWindAngle,
];

pub(super) fn find_frozen(log: &Log, found: &mut Vec<LogNotice>) {
    if log.time_base == TimeBase::Lines {
        return;
    }
    for channel in log.channels.iter().filter(|channel| FLICKERS.contains(&channel.measured)) {
        // A boat at her mooring freezes nothing: she must move while the sensor stands.
        if let Some((from_s, to_s, value)) = longest_standstill(channel)
            && moved_between(log, channel, from_s, to_s)
            && !is_moored(log, from_s, to_s)
        {
            let first = channel.values[0];
            found.push(LogNotice::Frozen {
                measured: channel.measured,
                source: channel.source,
                duration_s: to_s - from_s,
                value,
                is_throughout: channel.values.iter().all(|v| *v == first),
            });
        }
    }
}

/// Begin, end and value of the longest time at one value, when it is long enough to be odd.
fn longest_standstill(channel: &Channel) -> Option<(f64, f64, f64)> {
    let mut longest: Option<(f64, f64, f64)> = None;
    let (mut standstills, mut total_s) = (0.0, 0.0);
    let mut start = 0;
    for i in 1..=channel.values.len() {
        let goes_on = i < channel.values.len()
            && channel.values[i] == channel.values[start]
            && channel.times_s[i] >= channel.times_s[i - 1];
        if goes_on {
            continue;
        }
        let (from_s, to_s) = (channel.times_s[start], channel.times_s[i - 1]);
        let duration = to_s - from_s;
        (standstills, total_s) = (standstills + 1.0, total_s + duration);
        if i - start >= FROZEN_SAMPLES
            && duration >= FROZEN_S
            && longest.is_none_or(|(from, to, _)| duration > to - from)
        {
            longest = Some((from_s, to_s, channel.values[start]));
        }
        start = i;
    }
    longest.filter(|(from_s, to_s, _)| {
        let duration = to_s - from_s;
        standstills < 2.0 || duration >= FROZEN_AGAINST_USUAL * (total_s - duration) / (standstills - 1.0)
    })
}
