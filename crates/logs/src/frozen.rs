//! A sensor that stands still while she moves.

use super::checks::{is_moored, moved_between};
use super::log::{Channel, Log, TimeBase};
use super::measured::Measured as M;
use super::notice::{LogNotice, capital};

/// A sensor that shows one value for so long while the boat moves is frozen \[s\].
const FROZEN_S: f64 = 120.0;

/// And at least so many times.
const FROZEN_SAMPLES: usize = 30;

/// And for so many times as long as it usually stands: a course in whole degrees, well steered, stands
/// for a minute again and again. Of 400 standstills of random length the longest is about 6 times the mean.
const FROZEN_AGAINST_USUAL: f64 = 10.0;

/// What always flickers under way.
const FLICKERS: [M; 16] = [
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
    M::Voltage,
    M::Current,
    M::Power,
    M::MotorSpeed,
];

/// What stands as long as the lever is not touched: frozen only where her speed changes as it does with the lever.
const OF_THE_DRIVE: [M; 4] = [M::Voltage, M::Current, M::Power, M::MotorSpeed];

pub(super) fn find_frozen(log: &Log, found: &mut Vec<LogNotice>) {
    if log.time_base == TimeBase::Lines {
        return;
    }
    for channel in log.channels.iter().filter(|channel| FLICKERS.contains(&channel.measured)) {
        // A boat at her mooring freezes nothing: she must move while the sensor stands.
        if let Some((from_s, to_s, value)) = longest_standstill(channel)
            && moved_between(log, channel, from_s, to_s)
            && (!OF_THE_DRIVE.contains(&channel.measured) || sped_between(log, from_s, to_s))
            // Volts that were typed once for the whole log are no sensor's.
            && (channel.measured != M::Voltage || channel.values.iter().any(|v| *v != channel.values[0]))
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

/// Amps or watts that stand at their highest value for long, and at no other: the instrument goes no further.
pub(super) fn find_clipped(log: &Log, found: &mut Vec<LogNotice>) {
    /// So much longer than at any lesser value.
    const LONGER: f64 = 5.0;
    for channel in log.channels.iter().filter(|c| matches!(c.measured, M::Current | M::Power)) {
        let most = channel.values.iter().copied().fold(0.0, f64::max);
        let stretch = |counts: &dyn Fn(f64) -> bool| {
            let (mut longest, mut start) = (0.0_f64, None::<usize>);
            for (at, value) in channel.values.iter().enumerate() {
                start = match start {
                    Some(from) if channel.values[from] == *value => Some(from),
                    _ => counts(*value).then_some(at),
                };
                longest =
                    start.map_or(longest, |from| longest.max(channel.times_s[at] - channel.times_s[from]));
            }
            longest
        };
        let (at_most_s, below_s) =
            (stretch(&|value| value == most), stretch(&|value| value < most && value > 0.2 * most));
        let count = channel.values.iter().filter(|value| **value == most).count();
        if most > 0.0
            && count >= FROZEN_SAMPLES
            && at_most_s >= FROZEN_S
            && at_most_s >= LONGER * below_s
            && below_s > 0.0
        {
            found.push(LogNotice::Question(format!(
                "{} stands at its highest value for {:.0} min and at no lesser one as long: does the instrument end there? What she drew then \
                 is not known.",
                capital(channel.measured.label()),
                at_most_s / 60.0
            )));
        }
    }
}

/// Whether her speed rose or fell as it does when the lever is moved.
fn sped_between(log: &Log, from_s: f64, to_s: f64) -> bool {
    const LEAST_M_S: f64 = 0.4;
    const LEAST_SHARE: f64 = 0.15;
    let speeds =
        log.channels.iter().filter(|c| matches!(c.measured, M::SpeedOverGround | M::SpeedThroughWater));
    speeds.into_iter().any(|channel| {
        let during =
            channel.times_s.iter().zip(&channel.values).filter(|(time, _)| (from_s..=to_s).contains(*time));
        let mut values: Vec<f64> = during.map(|(_, value)| *value).collect();
        values.sort_unstable_by(f64::total_cmp);
        let last = values.len().saturating_sub(1);
        let (Some(low), Some(high)) = (values.get(last / 10), values.get(last - last / 10)) else {
            return false;
        };
        high - low >= LEAST_M_S.max(LEAST_SHARE * high)
    })
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
