//! Times that many values share, as minutes without seconds or numbers that a sheet rounded.
//! Not for: reading times.

use super::checks::median;
use super::log::{Channel, Log, TimeBase};
use super::notice::LogNotice;

/// Values below which nothing is said.
const LEAST: usize = 10;
/// Times that lie closer are as fine as a trial needs \[s\].
const FINE_S: f64 = 2.0;

/// Spreads values that share a coarse time evenly up to the next; says so, and says where all share one.
pub(super) fn spread(log: &mut Log) {
    if log.time_base == TimeBase::Lines {
        return;
    }
    let mut most: Option<(usize, f64)> = None;
    let mut at_one: usize = 0;
    for channel in &mut log.channels {
        // Most logs have a time for every value.
        let shared = channel.times_s.windows(2).filter(|two| two[0] == two[1]).count();
        if 2 * shared + 1 < channel.values.len() {
            continue;
        }
        let groups = groups(channel);
        if channel.values.len() >= LEAST && groups.len() == 1 {
            at_one = at_one.max(channel.values.len());
            continue;
        }
        if let Some(every_s) = spread_one(channel, &groups)
            && most.is_none_or(|(count, _)| channel.values.len() > count)
        {
            most = Some((channel.values.len(), every_s));
        }
    }
    if at_one > 0 {
        log.notices.push(LogNotice::SharedStamps { values: at_one, every_s: None });
    } else if let Some((values, every_s)) = most {
        log.notices.push(LogNotice::SharedStamps { values, every_s: Some(every_s) });
    }
}

/// First place and length of each run of one time.
fn groups(channel: &Channel) -> Vec<(usize, usize)> {
    let mut groups: Vec<(usize, usize)> = Vec::new();
    for (place, time) in channel.times_s.iter().enumerate() {
        match groups.last_mut() {
            Some((from, length)) if channel.times_s[*from] == *time => *length += 1,
            _ => groups.push((place, 1)),
        }
    }
    groups
}

/// The step of the times, where they were spread \[s\].
fn spread_one(channel: &mut Channel, groups: &[(usize, usize)]) -> Option<f64> {
    if channel.values.len() < LEAST || channel.values.len() < 2 * groups.len() {
        return None;
    }
    let gap = |i: usize| channel.times_s[groups[i + 1].0] - channel.times_s[groups[i].0];
    let gaps: Vec<f64> = (0..groups.len() - 1).map(gap).collect();
    let every_s = median(&gaps).filter(|gap| *gap >= FINE_S)?;
    let sizes: Vec<f64> = groups.iter().map(|(_, length)| *length as f64).collect();
    let usual = median(&sizes).filter(|size| *size >= 2.0)?;
    // Rows that are written again say nothing new.
    let varies = |(from, length): &&(usize, usize)| {
        channel.values[*from..from + length].iter().any(|value| *value != channel.values[*from])
    };
    if 5 * groups.iter().filter(varies).count() < groups.len() {
        return None;
    }
    let step_s = every_s / usual;
    for (number, (from, length)) in groups.iter().enumerate() {
        let start = channel.times_s[*from];
        let gap = gaps.get(number).copied().filter(|gap| *gap > 0.0 && *gap <= 1.5 * every_s);
        for place in 0..*length {
            channel.times_s[from + place] = match gap {
                // The first stretch had begun before the log did.
                Some(gap) if number == 0 && (*length as f64) < usual => {
                    start + gap - (length - place) as f64 * step_s
                }
                Some(gap) => start + gap * place as f64 / *length as f64,
                None => start + step_s * place as f64,
            };
        }
    }
    Some(every_s)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::Source;
    use crate::measured::Measured;

    fn channel(times_s: Vec<f64>) -> Channel {
        let values: Vec<f64> = (0..times_s.len()).map(|i| i as f64).collect();
        let count = values.len() as u64;
        Channel {
            measured: Measured::Voltage,
            source: Source::Column(1),
            times_s,
            values,
            count,
            is_turned: false,
        }
    }

    /// Every ten seconds, written in whole minutes, begun in the middle of one.
    #[test]
    fn whole_minutes_are_spread() {
        let told: Vec<f64> = (3..21).map(|i| (f64::from(i) * 10.0 / 60.0).floor() * 60.0).collect();
        let mut one = channel(told);
        let found = groups(&one);
        assert_eq!(spread_one(&mut one, &found), Some(60.0));
        let expected: Vec<f64> = (3..21).map(|i| f64::from(i) * 10.0).collect();
        assert_eq!(one.times_s, expected);
    }

    #[test]
    fn times_of_their_own_stay() {
        let mut one = channel((0..30).map(f64::from).collect());
        let found = groups(&one);
        assert_eq!(spread_one(&mut one, &found), None);
    }
}
