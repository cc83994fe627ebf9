//! What meters write where they read nothing: the greatest number that fits, minus one, a row of noughts.
//! Source: common practice, no source; such numbers are all ones in two or four bytes. Not for: values that are odd
//! but may be (`checks`).

use super::log::{Channel, Log, Source};
use super::measured::Measured as M;
use super::notice::LogNotice;
use super::table::Mapping;

/// What flows and moves: a figure of a trial.
const COSTLY: [M; 8] = [
    M::Voltage,
    M::Current,
    M::Power,
    M::SpeedOverGround,
    M::SpeedThroughWater,
    M::MotorSpeed,
    M::ShaftSpeed,
    M::StateOfCharge,
];

/// Digits of numbers that stand for none, whatever their decimals.
const NONES: [&str; 9] =
    ["65535", "32767", "32768", "65534", "4294967295", "2147483647", "2147483648", "9999", "99999"];

/// A share of a channel's values; more are no dropouts.
const MOST_SHARE: f64 = 0.3;
/// Nines below nought stand for none whatever their share, where they come again.
const BELOW: [f64; 4] = [-999.0, -999.9, -9999.0, -99_999.0];

/// Takes such values out of a table's channels, and says which.
pub(super) fn take_out(log: &mut Log, mapping: &Mapping) {
    let rows = rows_of_noughts(log);
    let mut said: Vec<String> = Vec::new();
    if !rows.is_empty() {
        for channel in log.channels.iter_mut().filter(|c| COSTLY.contains(&c.measured)) {
            retain(channel, |time, value| {
                value != 0.0 || rows.binary_search_by(|row| row.total_cmp(&time)).is_err()
            });
        }
        let (one, are) = if rows.len() == 1 { ("row", "is") } else { ("rows", "are") };
        said.push(format!("{} {one} in which the volts and all else {are} nought", rows.len()));
    }
    for channel in log.channels.iter_mut().filter(|c| COSTLY.contains(&c.measured)) {
        let Source::Column(column) = channel.source else { continue };
        let written = written_of(channel, mapping);
        let Some(none) = none_in(channel, &written) else { continue };
        let before = channel.values.len();
        retain(channel, |_, value| value != none);
        said.push(format!(
            "{} values of {} in {:?}",
            before - channel.values.len(),
            (written(none) * 1e6).round() / 1e6,
            mapping.heads.get(usize::from(column)).map_or("", String::as_str)
        ));
    }
    if !said.is_empty() {
        log.notices.push(LogNotice::LeftOut(format!(
            "{} left out: a meter writes so where it reads nothing.",
            said.join(", ")
        )));
    }
}

/// Amps and watts that only ever rise count up (ampere-hours, energy) and flow through nothing: they are taken off the table,
/// with what is to be asked about each.
pub(super) fn take_out_counts(log: &mut Log, mapping: &mut Mapping) -> Vec<String> {
    /// No meter of what flows climbs so often without falling once.
    const LEAST_RISES: usize = 40;
    let is_count = |channel: &Channel| {
        let rises = channel.values.windows(2).filter(|two| two[1] > two[0]).count();
        matches!(channel.measured, M::Current | M::Power)
            && rises >= LEAST_RISES
            && channel.values.windows(2).all(|two| two[1] >= two[0])
    };
    let counts: Vec<usize> = (log.channels.iter().filter(|channel| is_count(channel)))
        .filter_map(|channel| match channel.source {
            Source::Column(column) => Some(usize::from(column)),
            _ => None,
        })
        .collect();
    log.channels
        .retain(|channel| !matches!(channel.source, Source::Column(c) if counts.contains(&usize::from(c))));
    mapping.columns.retain(|mapped| !counts.contains(&mapped.column));
    let name = |column: &usize| mapping.heads.get(*column).map_or("", String::as_str);
    let ask = |column: &usize| {
        format!(
            "{:?} never falls, also when she stops: it is taken for a count (of ampere-hours or energy) and left out. Which column is what flows?",
            name(column)
        )
    };
    counts.iter().map(ask).collect()
}

/// Single values many times those on both sides of them, which are alike: no boat and no battery does that.
fn lone_spikes(values: &[f64]) -> Vec<usize> {
    const TIMES: f64 = 3.0;
    const ALIKE: f64 = 0.25;
    /// Over what flows most of the time.
    const ABOVE: f64 = 1.5;
    let is_spike = |three: &[f64]| {
        let (before, value, after) = (three[0].abs(), three[1].abs(), three[2].abs());
        value > TIMES * before && value > TIMES * after && (before - after).abs() <= ALIKE * before.max(after)
    };
    let found: Vec<usize> =
        values.windows(3).enumerate().filter(|(_, three)| is_spike(three)).map(|(at, _)| at + 1).collect();
    if found.is_empty() {
        return found;
    }
    let mut sizes: Vec<f64> = values.iter().map(|value| value.abs()).collect();
    let place = sizes.len() * 9 / 10;
    let high = *sizes.select_nth_unstable_by(place, f64::total_cmp).1;
    found.into_iter().filter(|at| values[*at].abs() > ABOVE * high).collect()
}

/// Values that stand for none, alone for a moment among values that flow or turn: no boat stops and is as fast again
/// within seconds, and no amps cease while the motor turns on.
pub(super) fn take_out_lone(log: &mut Log, mapping: &Mapping) {
    const MOMENT_S: f64 = 7.0;
    /// While the turns stand.
    const WHILE_TURNING_S: f64 = 60.0;
    const ALIKE: f64 = 0.25;
    const LEAST: usize = 3;
    const SPIKES_SHARE: f64 = 0.05;
    let turns = [M::ShaftSpeed, M::MotorSpeed].into_iter().find_map(|m| log.of(m).max_by_key(|c| c.count));
    let turns = turns.cloned();
    let mut said: Vec<String> = Vec::new();
    let mut spikes: Vec<String> = Vec::new();
    for channel in log.channels.iter_mut().filter(|c| COSTLY.contains(&c.measured)) {
        let mut lone = lone_spikes(&channel.values).into_iter().peekable();
        let mut at = 0;
        let had = channel.values.len();
        if lone.peek().is_some() && lone.len() as f64 <= SPIKES_SHARE * had as f64 {
            retain(channel, |_, _| {
                at += 1;
                lone.next_if(|spike| spike + 1 == at).is_none()
            });
            spikes.push(format!("{} of {}", had - channel.values.len(), channel.measured.label()));
        }
        let written = written_of(channel, mapping);
        let is_none = |value: f64| value == 0.0 || is_a_none(written(value));
        let (times, values) = (&channel.times_s, &channel.values);
        let mut lone: Vec<usize> = Vec::new();
        let mut before: Option<usize> = None;
        for at in 0..values.len() {
            // What is near the one before need not be looked at in its digits.
            let is_near = before.is_some_and(|from| (values[at] / values[from] - 1.0).abs() <= ALIKE);
            if !is_near && is_none(values[at]) {
                continue;
            }
            if let Some(from) = before.filter(|from| at - from > 1) {
                let is_alike = (values[at] / values[from] - 1.0).abs() <= ALIKE;
                let lasts_s = times[at] - times[from];
                let turns_on = || {
                    matches!(channel.measured, M::Current | M::Power | M::Voltage)
                        && turns.as_ref().is_some_and(|turns| turns_on(turns, times[from], times[at]))
                };
                if is_alike && (lasts_s <= MOMENT_S || (lasts_s <= WHILE_TURNING_S && turns_on())) {
                    lone.extend(from + 1..at);
                }
            }
            before = Some(at);
        }
        // Noughts and minus one may be read now and then; the greatest number of some bytes may not.
        let is_sure = lone.iter().any(|at| !matches!(written(values[*at]), 0.0 | -1.0));
        if (lone.len() < LEAST && !is_sure)
            || lone.is_empty()
            || lone.len() as f64 > MOST_SHARE * values.len() as f64
        {
            continue;
        }
        // Where one that is no nought stands for none, it does so everywhere.
        let nones: Vec<f64> = lone.iter().map(|at| values[*at]).filter(|value| *value != 0.0).collect();
        let noughts: Vec<f64> = lone.iter().filter(|at| values[**at] == 0.0).map(|at| times[*at]).collect();
        let had = values.len();
        retain(channel, |time, value| !nones.contains(&value) && (value != 0.0 || !noughts.contains(&time)));
        said.push(format!("{} of {}", had - channel.values.len(), channel.measured.label()));
    }
    if !spikes.is_empty() {
        log.notices.push(LogNotice::LeftOut(format!(
            "Single values three times those on both sides of them and more are left out as faults of a meter: {}.",
            spikes.join(", ")
        )));
    }
    if !said.is_empty() {
        log.notices.push(LogNotice::LeftOut(format!(
            "Noughts and other numbers that meters write for none, alone among values that flow, are left out as dropouts: {}.",
            said.join(", ")
        )));
    }
}

/// Whether the motor or its shaft turned all along as it did at the first of two times.
fn turns_on(turns: &Channel, from_s: f64, to_s: f64) -> bool {
    const ALIKE: f64 = 0.1;
    let during = turns.times_s.iter().zip(&turns.values).filter(|(time, _)| (from_s..=to_s).contains(*time));
    let values: Vec<f64> = during.map(|(_, value)| value.abs()).collect();
    let first = values.first().copied().unwrap_or(0.0);
    first > 0.0 && values.len() > 2 && values.iter().all(|value| (value / first - 1.0).abs() <= ALIKE)
}

/// How an SI value of a channel stands in its file; as it is where the file has no columns.
fn written_of(channel: &Channel, mapping: &Mapping) -> impl Fn(f64) -> f64 + use<> {
    let mapped = match channel.source {
        Source::Column(column) => mapping.columns.iter().find(|c| c.column == usize::from(column)),
        _ => None,
    };
    let unit = mapped.and_then(|mapped| channel.measured.quantity().unit(&mapped.unit));
    let scale = mapped.map_or(1.0, |mapped| if mapped.is_negated { -mapped.scale } else { mapped.scale });
    move |si: f64| unit.map_or(si, |unit| unit.from_si(si)) / scale
}

/// Minus one, or all ones in some bytes.
fn is_a_none(number: f64) -> bool {
    (number + 1.0).abs() < 1e-9 || NONES.contains(&digits(number).as_str())
}

fn retain(channel: &mut Channel, mut is_kept: impl FnMut(f64, f64) -> bool) {
    let kept: Vec<(f64, f64)> = channel
        .times_s
        .iter()
        .zip(&channel.values)
        .filter(|(time, value)| is_kept(**time, **value))
        .map(|(time, value)| (*time, *value))
        .collect();
    channel.count -= (channel.values.len() - kept.len()) as u64;
    (channel.times_s, channel.values) = kept.into_iter().unzip();
}

/// Times at which the volts of a bank that has some are nought, as nothing that lives on it could write.
fn rows_of_noughts(log: &Log) -> Vec<f64> {
    const LIVES_V: f64 = 8.0;
    let volts = log.of(M::Voltage).filter(|c| matches!(c.source, Source::Column(_)));
    let Some(volts) = volts.max_by_key(|c| c.count) else { return Vec::new() };
    let noughts = volts.values.iter().filter(|value| **value == 0.0).count();
    let usual = super::checks::median(&volts.values).unwrap_or(0.0);
    if noughts == 0 || usual < LIVES_V || noughts as f64 > MOST_SHARE * volts.values.len() as f64 {
        return Vec::new();
    }
    let mut times: Vec<f64> = volts
        .times_s
        .iter()
        .zip(&volts.values)
        .filter(|(_, value)| **value == 0.0)
        .map(|(time, _)| *time)
        .collect();
    times.sort_by(f64::total_cmp);
    times
}

/// The one value of a channel that stands for none: far from all others, written as one of those numbers.
fn none_in(channel: &Channel, written: &impl Fn(f64) -> f64) -> Option<f64> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for value in &channel.values {
        (low, high) = (low.min(*value), high.max(*value));
    }
    let is_below = |value: f64| BELOW.iter().any(|none| (written(value) - none).abs() < 1e-6);
    if is_below(low) && high > low && channel.values.iter().filter(|value| **value == low).count() > 1 {
        return Some(low);
    }
    [high, low].into_iter().find(|extreme| {
        let number = written(*extreme);
        let is_one_below = (number + 1.0).abs() < 1e-9;
        if !is_a_none(number) {
            return false;
        }
        let (mut low, mut high, mut count) = (f64::INFINITY, f64::NEG_INFINITY, 0_usize);
        for value in channel.values.iter().filter(|value| **value != *extreme) {
            (low, high, count) = (low.min(*value), high.max(*value), count + 1);
        }
        let nones = channel.values.len() - count;
        let is_seldom = count > 0 && nones as f64 <= MOST_SHARE * channel.values.len() as f64;
        let room = high - low;
        // Minus one is far from what flows all along only where that never comes near nought.
        let is_far = if is_one_below {
            written(low) >= 3.0
        } else {
            *extreme > high + room.max(0.5 * high.abs()) || *extreme < low - room.max(0.5 * low.abs())
        };
        is_seldom && is_far
    })
}

/// `655.35` as `65535`.
fn digits(number: f64) -> String {
    let text = format!("{}", (number.abs() * 1e6).round() / 1e6);
    let plain: String = text.chars().filter(char::is_ascii_digit).collect();
    let plain = plain.trim_start_matches('0');
    // 6553.5 and 65535.0 are one.
    if text.contains('.') { plain.trim_end_matches('0').to_owned() } else { plain.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn channel(values: &[f64]) -> Channel {
        Channel {
            measured: M::Current,
            source: Source::Column(2),
            times_s: (0..values.len()).map(|i| i as f64).collect(),
            values: values.to_vec(),
            count: values.len() as u64,
            is_turned: false,
        }
    }

    #[test]
    fn the_greatest_number_of_two_bytes_is_none() {
        let none = |values: &[f64]| none_in(&channel(values), &|si| si);
        assert_eq!(none(&[30.0, 31.0, 655.35, 29.0, 30.5]), Some(655.35));
        assert_eq!(none(&[30.0, 31.0, -1.0, 29.0, 30.5]), Some(-1.0));
        // Braked now and then: minus one is an amp as others are.
        assert_eq!(none(&[30.0, 1.0, -1.0, 0.5, 30.5]), None);
        assert_eq!(none(&[600.0, 640.0, 655.35, 650.0]), None);
    }
}
