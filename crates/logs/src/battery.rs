//! One source for one power: of several batteries in a log the one whose amps move with speed.
//! Not for: which columns belong to one battery (`table`).

mod packs;

pub(crate) use packs::{keep_together, together, told_total};

use std::collections::BTreeMap;

use super::battery_moves::{Bins, bins, common, correlation, speed_bins};
use crate::log::{Channel, Log, Source};
use crate::measured::Measured as M;
use crate::table::Mapping;

/// What belongs to one battery.
const OF_BATTERY: [M; 5] = [M::Voltage, M::Current, M::Power, M::StateOfCharge, M::BatteryTemperature];

/// One of several batteries.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Battery {
    /// Its name among the batteries of the log.
    pub of: String,
    /// Sources, in words.
    pub sources: String,
    /// Correlation of its amps (or watts) with speed; `None` where nothing moves.
    pub with_speed: Option<f64>,
    /// Power while it gives most \[W\].
    pub power_w: Option<f64>,
    volts_v: Option<f64>,
    amps: Bins,
    has_shared_amps: bool,
    has_shared_volts: bool,
}

impl Battery {
    /// True where another is the same battery, told by a second sender on the bus.
    pub fn is_again(&self, other: &Self) -> bool {
        let instance = |name: &str| name.rsplit_once(" no.").map(|(_, instance)| instance.to_owned());
        instance(&self.of).is_some_and(|one| instance(&other.of) == Some(one))
            && self
                .power_w
                .zip(other.power_w)
                .is_some_and(|(a, b)| (a - b).abs() <= 0.02 * a.abs().max(b.abs()))
    }
}

/// The battery that a channel belongs to.
fn battery_of(channel: &Channel, mapping: &Mapping) -> Option<String> {
    if !OF_BATTERY.contains(&channel.measured) {
        return None;
    }
    Some(match channel.source {
        Source::Column(column) => mapping
            .columns
            .iter()
            .find(|c| c.column == usize::from(column))
            .map_or_else(String::new, |c| c.of.clone()),
        Source::Bus { address, instance, network: 0, .. } => format!("{address} no.{instance}"),
        Source::Bus { address, instance, network, .. } => {
            format!("bus {} {address} no.{instance}", network + 1)
        }
        Source::Sentence { name, .. } => {
            let text: String = String::from_utf8_lossy(&name).trim_end_matches('\0').to_uppercase();
            let bare = ["VOLTAGE", "VOLTS", "VOLT", "CURRENT", "CURR", "AMPS", "AMP", "POWER"]
                .iter()
                .fold(text, |t, word| t.replace(word, ""));
            // `DRIVE#V` and `DRIVE#A` are of one battery.
            let bare = bare
                .rsplit_once(['_', '#', '-'])
                .filter(|(_, end)| matches!(*end, "V" | "U" | "A" | "I" | "P" | "W"))
                .map_or(bare.as_str(), |(of, _)| of);
            bare.trim_matches(['_', '#', '-', ' ']).to_owned()
        }
        Source::Named(_) => {
            // `electrical.batteries.1.voltage`: three names say which.
            let name = channel.source.to_string();
            name.split(['.', '@']).take(3).collect::<Vec<&str>>().join(".")
        }
        Source::Track | Source::Derived => String::new(),
    })
}

/// Batteries with volts and amps, or watts, of their own.
pub(crate) fn batteries(log: &Log, mapping: &Mapping) -> Vec<Battery> {
    let mut of: BTreeMap<String, Vec<&Channel>> = BTreeMap::new();
    for channel in log.channels.iter().chain(&log.set_aside) {
        if let Some(name) = battery_of(channel, mapping) {
            of.entry(name).or_default().push(channel);
        }
    }
    fn find<'a>(channels: &[&'a Channel], measured: M) -> Option<&'a Channel> {
        channels.iter().copied().filter(|c| c.measured == measured).max_by_key(|c| c.count)
    }
    // Volts that no battery is named for hold for all of a table, and so do amps that have no volts of their own.
    let unnamed = |measured: M| {
        let found = of.get("").and_then(|channels| find(channels, measured));
        found.filter(|c| matches!(c.source, Source::Column(_)))
    };
    let shared = unnamed(M::Voltage);
    let shared_amps = unnamed(M::Current);
    // Several columns under one name share what is there once.
    let is_of_several =
        |name: &str| name.starts_with("as ") || mapping.heads.iter().any(|head| head.trim() == name);
    let speed = speed_bins(log);
    of.iter()
        .filter_map(|(name, channels)| {
            let volts = find(channels, M::Voltage).or(shared);
            let amps = find(channels, M::Current)
                .or_else(|| shared_amps.filter(|_| shared.is_none() || is_of_several(name)))
                .filter(|_| find(channels, M::Voltage).is_some() || find(channels, M::Current).is_some());
            let power = find(channels, M::Power);
            if power.is_none() && (volts.is_none() || amps.is_none()) {
                return None;
            }
            let moved = bins(amps.or(power)?, true);
            let has_own = |measured: M| find(channels, measured).is_some();
            Some(Battery {
                of: name.clone(),
                sources: channels
                    .iter()
                    .filter(|c| matches!(c.measured, M::Voltage | M::Current | M::Power))
                    .map(|c| c.key())
                    .collect::<Vec<String>>()
                    .join(", "),
                with_speed: speed.as_ref().and_then(|speed| correlation(&moved, speed)),
                power_w: most_power(volts, amps, power),
                volts_v: volts.and_then(|volts| crate::checks::median(&volts.values)),
                amps: if amps.is_some() { moved } else { Bins::new() },
                has_shared_amps: amps.is_some() && !has_own(M::Current),
                has_shared_volts: shared.is_some() && !has_own(M::Voltage),
            })
        })
        .collect()
}

/// Sets aside what counts only where no battery's amps move with her speed, unless that is so and its own do.
pub(crate) fn leave_spare(log: &mut Log, mapping: &Mapping) {
    const STANDS: f64 = 0.3;
    const MOVES: f64 = 0.6;
    let is_spare = |channel: &Channel| match channel.source {
        Source::Column(column) => {
            mapping.columns.iter().any(|c| c.is_spare && c.column == usize::from(column))
        }
        _ => false,
    };
    let of_spare: Vec<String> =
        log.channels.iter().filter(|c| is_spare(c)).filter_map(|c| battery_of(c, mapping)).collect();
    if of_spare.is_empty() {
        return;
    }
    let (spare, others): (Vec<Battery>, Vec<Battery>) =
        batteries(log, mapping).into_iter().partition(|b| of_spare.contains(&b.of));
    let moves = |all: &[Battery]| all.iter().filter_map(|b| b.with_speed).fold(0.0, f64::max);
    let is_told = mapping.battery.as_ref().is_some_and(|of| of_spare.contains(of));
    // No controller has more volts before it than its battery.
    const HIGHER: f64 = 1.3;
    let most_v = |all: &[Battery]| all.iter().filter_map(|b| b.volts_v).fold(0.0, f64::max);
    let is_higher = most_v(&spare) > HIGHER * most_v(&others) && most_v(&others) > 0.0;
    if is_told || (moves(&spare) >= MOVES && (is_higher || moves(&others) < STANDS)) {
        return;
    }
    let (aside, kept): (Vec<Channel>, Vec<Channel>) = log.channels.drain(..).partition(is_spare);
    let names = aside.iter().filter_map(|c| match c.source {
        Source::Column(column) => Some(format!("{:?}", mapping.heads.get(usize::from(column))?)),
        _ => None,
    });
    let names = names.collect::<Vec<String>>().join(", ");
    log.notices.push(crate::LogNotice::LeftOut(format!(
        "{names} left out: behind the controller, where amps are not those of the battery."
    )));
    log.channels = kept;
}

/// The battery that is the drive's, by its amps; the greatest power where nothing moves.
pub(crate) fn likeliest(all: &[Battery]) -> Option<&Battery> {
    const CLEAR: f64 = 0.3;
    /// The same amps beside two columns of volts, say.
    const AS_WELL: f64 = 0.005;
    let moves = |b: &Battery| b.with_speed.unwrap_or(0.0);
    let best = all.iter().map(moves).fold(0.0, f64::max);
    let power = |b: &Battery| b.power_w.unwrap_or(0.0).abs();
    if best < CLEAR {
        return all.iter().max_by(|a, b| power(a).total_cmp(&power(b)));
    }
    const MORE: f64 = 1.1;
    let first = all.iter().max_by(|a, b| moves(a).total_cmp(&moves(b)))?;
    let others = all.iter().filter(|b| moves(b) >= best - AS_WELL && power(b) > MORE * power(first));
    others.max_by(|a, b| power(a).total_cmp(&power(b))).or(Some(first))
}

/// Adds the values of another channel, with a sign, at the times of the first; times at which the other is silent are left out.
pub(crate) fn add(channel: &mut Channel, other: &Channel, sign: f64) {
    const LONGEST_GAP_S: f64 = 30.0;
    let mut at = 0;
    let mut kept = Vec::with_capacity(channel.values.len());
    for (time, value) in channel.times_s.iter().zip(&channel.values) {
        while at + 1 < other.times_s.len() && other.times_s[at + 1] <= *time {
            at += 1;
        }
        let (Some(from), Some(one)) = (other.times_s.get(at), other.values.get(at)) else { continue };
        let next = other.times_s.get(at + 1).zip(other.values.get(at + 1));
        let found = match next {
            Some((to, two)) if to > from && (*from..=*to).contains(time) && to - from <= LONGEST_GAP_S => {
                Some(one + (two - one) * (time - from) / (to - from))
            }
            _ => ((time - from).abs() <= LONGEST_GAP_S).then_some(*one),
        };
        if let Some(found) = found {
            kept.push((*time, value + sign * found));
        }
    }
    (channel.times_s, channel.values) = kept.into_iter().unzip();
}

/// Sets aside what belongs to other batteries than `of`, and volts or amps that belong to none that is whole.
pub(crate) fn keep_battery(log: &mut Log, mapping: &Mapping, of: &str) {
    let all: Vec<Channel> = log.channels.drain(..).chain(log.set_aside.drain(..)).collect();
    let has = |measured: M| {
        all.iter().any(|c| c.measured == measured && battery_of(c, mapping).as_deref() == Some(of))
    };
    let lacks_volts = !has(M::Voltage);
    let lacks_amps = !has(M::Current) && !has(M::Power);
    let lacks_charge = !has(M::StateOfCharge);
    let lacks_temperature = !has(M::BatteryTemperature);
    for channel in all {
        let stays = battery_of(&channel, mapping).is_none_or(|name| {
            name == of
                || (name.is_empty()
                    && match channel.measured {
                        M::Voltage => lacks_volts,
                        M::Current => lacks_amps,
                        M::StateOfCharge => lacks_charge,
                        M::BatteryTemperature => lacks_temperature,
                        _ => false,
                    })
        });
        if stays { log.channels.push(channel) } else { log.set_aside.push(channel) }
    }
    log.channels.sort_by_key(|channel| (channel.measured, channel.source));
    log.set_aside.sort_by_key(|channel| (channel.measured, channel.source));
}

/// Sets aside volts, amps and watts of no whole battery, beside the one that has its own.
pub(crate) fn keep_plant(log: &mut Log, mapping: &Mapping, of: &str) {
    let plant = [M::Voltage, M::Current, M::Power];
    let own: Vec<M> = log
        .channels
        .iter()
        .filter(|c| battery_of(c, mapping).as_deref() == Some(of))
        .map(|c| c.measured)
        .collect();
    let (kept, aside): (Vec<Channel>, Vec<Channel>) = log.channels.drain(..).partition(|c| {
        !plant.contains(&c.measured)
            || !own.contains(&c.measured)
            || battery_of(c, mapping).is_none_or(|name| name == of)
    });
    log.channels = kept;
    log.set_aside.extend(aside);
    log.set_aside.sort_by_key(|channel| (channel.measured, channel.source));
}

/// How volts go with the size of amps: near -1 where the bank sags under what is drawn from it.
pub(crate) fn sag(volts: &Channel, amps: &Channel) -> Option<f64> {
    correlation(&bins(amps, true), &bins(volts, false))
}

/// Volts of one battery beside amps of another, and no battery that has both: the volts are set
/// aside. Gives the sources, where that was so.
pub(crate) fn part_strangers(log: &mut Log, mapping: &Mapping) -> Option<(String, String)> {
    let of = |measured: M| -> Vec<(String, String)> {
        log.of(measured).filter_map(|c| Some((battery_of(c, mapping)?, c.key()))).collect()
    };
    let (volts, amps, power) = (of(M::Voltage), of(M::Current), of(M::Power));
    if !power.is_empty() || volts.is_empty() || amps.is_empty() {
        return None;
    }
    let is_table = log.channels.iter().any(|c| matches!(c.source, Source::Column(_)));
    let meets = volts
        .iter()
        .any(|(v, _)| amps.iter().any(|(a, _)| v == a || (is_table && (v.is_empty() || a.is_empty()))));
    if meets {
        return None;
    }
    let (aside, kept): (Vec<Channel>, Vec<Channel>) =
        log.channels.drain(..).partition(|c| c.measured == M::Voltage);
    log.channels = kept;
    log.set_aside.extend(aside);
    Some((volts[0].1.clone(), amps[0].1.clone()))
}

/// Volts that go to and fro between two heights, row by row: two batteries speak in one column. What stands beside the
/// higher volts is kept; where that cannot be told, nothing is. Gives the middle of both, and whether any is kept.
pub(crate) fn part_mixed(log: &mut Log, mapping: &Mapping) -> Option<(f64, f64, bool)> {
    let mixed = log.of(M::Voltage).find_map(|c| Some((c.clone(), heights(&c.values)?)))?;
    let (volts, (low, high)) = mixed;
    let of = battery_of(&volts, mapping);
    let between = (low * high).sqrt();
    let is_high: Vec<bool> = volts.values.iter().map(|value| *value > between).collect();
    let is_row = |c: &Channel| c.values.len() == is_high.len();
    let is_its = |c: &Channel| OF_BATTERY.contains(&c.measured) && battery_of(c, mapping) == of;
    let is_kept = log.channels.iter().filter(|c| is_its(c)).all(is_row);
    let (mut its, mut kept): (Vec<Channel>, Vec<Channel>) = log.channels.drain(..).partition(|c| is_its(c));
    if is_kept {
        for channel in &mut its {
            let mut keep = is_high.iter();
            channel.times_s.retain(|_| keep.next().copied().unwrap_or(false));
            let mut keep = is_high.iter();
            channel.values.retain(|_| keep.next().copied().unwrap_or(false));
            channel.count = channel.values.len() as u64;
        }
        kept.extend(its);
        kept.sort_by_key(|channel| (channel.measured, channel.source));
    } else {
        log.set_aside.extend(its);
    }
    log.channels = kept;
    Some((low, high, is_kept))
}

/// Both heights of values that lie at two, far apart, and change from one to the other again and again.
fn heights(values: &[f64]) -> Option<(f64, f64)> {
    const APART: f64 = 1.6;
    const LEAST_CHANGES: usize = 10;
    let mut sorted: Vec<f64> = values.iter().copied().filter(|value| *value > 1.0).collect();
    sorted.sort_unstable_by(f64::total_cmp);
    let (low, high) = (*sorted.get(sorted.len() / 10)?, *sorted.get(sorted.len() * 9 / 10)?);
    if high < APART * low {
        return None;
    }
    let between = (low * high).sqrt();
    let changes = values.windows(2).filter(|two| (two[0] > between) != (two[1] > between)).count();
    let spread = values.iter().filter(|value| (low * 1.15..high / 1.15).contains(*value)).count();
    let is_two = changes >= LEAST_CHANGES.max(values.len() / 5) && 50 * spread < values.len();
    is_two.then_some((low, high))
}

/// Power while most flows: the middle of the greater half.
pub(crate) fn most_power(
    volts: Option<&Channel>,
    amps: Option<&Channel>,
    power: Option<&Channel>,
) -> Option<f64> {
    let mut values: Vec<f64> = match (power, volts, amps) {
        (Some(power), ..) => power.values.clone(),
        (None, Some(volts), Some(amps)) => {
            common(&bins(amps, false), &bins(volts, false)).map(|(a, v)| a * v).collect()
        }
        _ => return None,
    };
    let half = values.len().div_ceil(2);
    if half < values.len() {
        values.select_nth_unstable_by(half, |a, b| b.abs().total_cmp(&a.abs()));
        values.truncate(half);
    }
    crate::checks::median(&values)
}
