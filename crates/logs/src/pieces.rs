//! Which channel of each quantity is taken where several logs speak: the fullest, gone on with by the other logs
//! where it is silent; and where logs that speak at once do not say the same.
//! Not for: resampling (`join`).

use std::borrow::Cow;

use super::battery_moves::{Bins, bins, common, correlation};
use super::checks::{LIMITS, median};
use super::join::Packs;
use super::log::{Channel, Log, Source};
use super::measured::Measured as M;
use super::notice::LogNotice;

/// A channel that is taken, with what is added to its times.
pub(super) struct Chosen<'a> {
    pub channel: Cow<'a, Channel>,
    pub offset_s: f64,
}

/// What belongs to one battery: of two batteries they are never one series.
const OF_BATTERY: [M; 5] = [M::Voltage, M::Current, M::Power, M::StateOfCharge, M::BatteryTemperature];

/// What receivers of satellites tell.
fn is_fix(measured: M) -> bool {
    matches!(measured, M::SpeedOverGround | M::CourseOverGround | M::Latitude | M::Longitude)
}

/// A channel of one of the logs.
#[derive(Clone, Copy)]
struct Offered<'a> {
    number: usize,
    log: &'a Log,
    channel: &'a Channel,
    offset_s: f64,
    span_s: (f64, f64),
}

/// Something about several logs together.
#[derive(Debug, Clone, PartialEq)]
pub struct Between {
    /// Which log it is about.
    pub log: usize,
    /// What is to be read.
    pub notice: LogNotice,
    /// Channels, each of a log, that can be left out.
    pub leave_out: Vec<(usize, String)>,
    /// The logs may be of packs side by side, whose amps are to be added.
    pub may_be_packs: bool,
}

impl Between {
    /// The same with the logs' own numbers: those before were places among the logs that could be read.
    pub(super) fn renumbered(mut self, numbers: &[usize]) -> Self {
        let of = |place: usize| numbers.get(place).copied().unwrap_or(place);
        self.log = of(self.log);
        self.leave_out.iter_mut().for_each(|(log, _)| *log = of(*log));
        if let LogNotice::LogsDisagree { used, unused, .. } = &mut self.notice {
            (used.0, unused.0) = (of(used.0), of(unused.0));
        }
        self
    }
}

fn is_frozen(log: &Log, channel: &Channel) -> bool {
    log.notices.iter().any(|notice| {
        matches!(notice, LogNotice::Frozen { measured, source, is_throughout: true, .. }
            if *measured == channel.measured && *source == channel.source)
    })
}

/// Volts and amps, or watts: what a battery tells of itself.
fn is_whole(log: &Log) -> bool {
    let has = |measured: M| log.of(measured).next().is_some();
    has(M::Power) || (has(M::Voltage) && has(M::Current))
}

/// Whether two channels of volts, amps or watts may be those of two packs of one bank: each log tells of a whole battery,
/// and the volts are alike.
fn may_be_packs(one: &Offered<'_>, other: &Offered<'_>) -> bool {
    matches!(one.channel.measured, M::Voltage | M::Current | M::Power)
        && is_whole(one.log)
        && is_whole(other.log)
        && is_same_bank(one.log, other.log)
}

/// The amps (or watts) of packs side by side, or the volts of packs in series, added to those that were taken first.
fn with_packs<'a>(chosen: Chosen<'a>, all: &[Offered<'a>]) -> Chosen<'a> {
    let moved = |channel: &Channel, offset_s: f64| {
        let mut moved = channel.clone();
        moved.times_s.iter_mut().for_each(|time| *time += offset_s);
        moved
    };
    let mut added = vec![all[0].number];
    let mut sum: Option<Channel> = None;
    for other in all.iter().filter(|other| may_be_packs(&all[0], other)) {
        // One channel of each log, and nothing of a log that speaks at other times.
        let is_at_once = all[0].span_s.0 < other.span_s.1 && other.span_s.0 < all[0].span_s.1;
        if added.contains(&other.number) || !is_at_once {
            continue;
        }
        added.push(other.number);
        let sum = sum.get_or_insert_with(|| moved(&chosen.channel, chosen.offset_s));
        let other = moved(other.channel, other.offset_s);
        let middle = |channel: &Channel| median(&channel.values).unwrap_or(0.0);
        // The meter of one may count the other way round.
        let sign = if middle(sum) * middle(&other) < 0.0 { -1.0 } else { 1.0 };
        crate::battery::add(sum, &other, sign);
        sum.count = sum.values.len() as u64;
    }
    match sum {
        Some(sum) => Chosen { channel: Cow::Owned(sum), offset_s: 0.0 },
        None => chosen,
    }
}

/// Amps or watts, with volts or without.
fn has_flow(log: &Log) -> bool {
    log.of(M::Current).chain(log.of(M::Power)).next().is_some()
}

/// The log whose battery is the drive's, where several logs have whole ones of different banks: its amps move with her
/// speed, else most power flows there.
fn drives(logs: &[(&Log, f64)]) -> Option<usize> {
    const MOVES: f64 = 0.3;
    let whole: Vec<usize> = (0..logs.len()).filter(|number| is_whole(logs[*number].0)).collect();
    let (first, others) = whole.split_first()?;
    let loose: Vec<usize> =
        (0..logs.len()).filter(|number| has_flow(logs[*number].0) && !is_whole(logs[*number].0)).collect();
    if loose.is_empty() && others.iter().all(|other| is_same_bank(logs[*first].0, logs[*other].0)) {
        return None;
    }
    let shifted = |(log, offset_s): &(&Log, f64), measured: M| {
        let mut channel = log.of(measured).max_by_key(|c| c.count)?.clone();
        channel.times_s.iter_mut().for_each(|time| *time += offset_s);
        Some(channel)
    };
    let speeds: Vec<Bins> = [M::SpeedOverGround, M::SpeedThroughWater, M::ShaftSpeed, M::MotorSpeed]
        .into_iter()
        .flat_map(|measured| logs.iter().filter_map(move |log| Some(bins(&shifted(log, measured)?, true))))
        .collect();
    let moves = |number: usize| {
        let amps = shifted(&logs[number], M::Current).or_else(|| shifted(&logs[number], M::Power))?;
        let amps = bins(&amps, true);
        speeds.iter().filter_map(|speed| correlation(&amps, speed)).max_by(f64::total_cmp)
    };
    // Amps without volts that go with her speed, beside a battery whose own do not: it is another's.
    const FITS: f64 = 0.6;
    let stand = whole.iter().all(|number| moves(*number).unwrap_or(0.0) < MOVES);
    let loose = loose.into_iter().filter(|number| stand && moves(*number).is_some_and(|moves| moves >= FITS));
    if let Some(loose) = loose.max_by(|a, b| moves(*a).unwrap_or(0.0).total_cmp(&moves(*b).unwrap_or(0.0))) {
        return Some(loose);
    }
    if others.iter().all(|other| is_same_bank(logs[*first].0, logs[*other].0)) {
        return None;
    }
    let power = |number: usize| {
        let of = |measured: M| logs[number].0.of(measured).max_by_key(|c| c.count);
        crate::battery::most_power(of(M::Voltage), of(M::Current), of(M::Power)).map_or(0.0, f64::abs)
    };
    // Of those that move with it about as well the one that gives most.
    const AS_WELL: f64 = 0.15;
    let with_speed: Vec<(f64, usize)> =
        whole.iter().map(|number| (moves(*number).unwrap_or(0.0), *number)).collect();
    let best = with_speed.iter().map(|(moves, _)| *moves).fold(0.0, f64::max);
    let least = if best >= MOVES { best - AS_WELL } else { 0.0 };
    let moving = with_speed.into_iter().filter(|(moves, _)| *moves >= least).map(|(_, number)| number);
    moving.max_by(|a, b| power(*a).total_cmp(&power(*b)))
}

/// Channels of one quantity, the one that is taken first.
fn offered<'a>(logs: &[(&'a Log, f64)], drives: Option<usize>, measured: M) -> Vec<Offered<'a>> {
    let mut all: Vec<Offered<'a>> = Vec::new();
    for (number, (log, offset_s)) in logs.iter().enumerate() {
        for channel in log.of(measured).filter(|channel| !is_frozen(log, channel)) {
            let times = channel.times_s.iter().map(|time| time + offset_s);
            let span_s = times.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| (a.min(t), b.max(t)));
            all.push(Offered { number, log, channel, offset_s: *offset_s, span_s });
        }
    }
    // Of equals a receiver's own before what others pass on.
    all.sort_by_key(|one| {
        let of = &one.channel;
        (
            std::cmp::Reverse((of.source != Source::Derived, of.count)),
            is_fix(measured) && of.source.is_second(),
        )
    });
    if let Some(drives) = drives.filter(|_| OF_BATTERY.contains(&measured)) {
        // Volts, amps and watts come from one log: those of another battery fill no place of the drive's.
        let is_plant = matches!(measured, M::Voltage | M::Current | M::Power);
        let has_own = all.iter().any(|one| one.number == drives);
        all.sort_by_key(|one| one.number != drives);
        if is_plant && !has_own {
            let is_loose = !is_whole(logs[drives].0);
            all.retain(|one| is_same_bank(logs[drives].0, one.log) && !(is_loose && has_flow(one.log)));
        }
    }
    all
}

/// True where two channels of two logs are one instrument's: the same source, or the only column of its kind in each table.
fn is_same_source(one: &Offered<'_>, other: &Offered<'_>) -> bool {
    let is_column = |of: &Offered<'_>| matches!(of.channel.source, Source::Column(_));
    let is_only = |of: &Offered<'_>| of.log.of(of.channel.measured).count() == 1;
    one.channel.source == other.channel.source
        || (is_column(one) && is_column(other) && is_only(one) && is_only(other))
}

/// True where the volts of two logs, if both have any, may be those of one bank.
fn is_same_bank(one: &Log, other: &Log) -> bool {
    const ALIKE: f64 = 0.2;
    let volts = |log: &Log| median(&log.of(M::Voltage).max_by_key(|c| c.count)?.values);
    volts(one).zip(volts(other)).is_none_or(|(a, b)| (a - b).abs() <= ALIKE * a.abs().max(b.abs()))
}

/// True where what `other` says may go on with what `first` says.
fn goes_on(first: &Offered<'_>, other: &Offered<'_>) -> bool {
    let is_batterys = OF_BATTERY.contains(&first.channel.measured);
    !is_batterys || (is_same_source(first, other) && is_same_bank(first.log, other.log))
}

/// The series of one quantity from all logs; `None` where no log has it.
fn pieced<'a>(all: &[Offered<'a>]) -> Option<Chosen<'a>> {
    let first = all.first()?;
    let mut covered = vec![first.span_s];
    let mut joined: Option<Channel> = None;
    for other in all.iter().filter(|other| other.number != first.number && goes_on(first, other)) {
        let is_apart = covered.iter().all(|(from, to)| other.span_s.1 < *from || other.span_s.0 > *to);
        if !is_apart && !is_same_source(first, other) {
            continue;
        }
        let is_new = |time: f64| covered.iter().all(|(from, to)| time < *from || time > *to);
        let samples = other.channel.times_s.iter().map(|t| t + other.offset_s).zip(&other.channel.values);
        let new: Vec<(f64, f64)> =
            samples.filter(|(time, _)| is_new(*time)).map(|(time, value)| (time, *value)).collect();
        if new.is_empty() {
            continue;
        }
        let whole = joined.get_or_insert_with(|| {
            let mut whole = first.channel.clone();
            whole.times_s.iter_mut().for_each(|time| *time += first.offset_s);
            whole
        });
        for (time, value) in new {
            whole.times_s.push(time);
            whole.values.push(value);
            whole.count += 1;
        }
        covered.push(other.span_s);
    }
    Some(match joined {
        Some(whole) => Chosen { channel: Cow::Owned(whole), offset_s: 0.0 },
        None => Chosen { channel: Cow::Borrowed(first.channel), offset_s: first.offset_s },
    })
}

/// The series of each quantity; what packs of one bank give together added.
pub(super) fn choose<'a>(logs: &[(&'a Log, f64)], packs: Packs) -> Vec<Chosen<'a>> {
    let drives = drives(logs);
    let of = |measured: &M| {
        let all = offered(logs, drives, *measured);
        let chosen = pieced(&all)?;
        Some(if packs.adds(*measured) { with_packs(chosen, &all) } else { chosen })
    };
    M::ALL.iter().filter_map(of).collect()
}

fn shifted_bins(of: &Offered<'_>) -> Bins {
    if of.offset_s == 0.0 {
        return bins(of.channel, false);
    }
    let mut moved = of.channel.clone();
    moved.times_s.iter_mut().for_each(|time| *time += of.offset_s);
    bins(&moved, false)
}

/// Where logs that speak at once do not say the same, and what of a log is not used beside another.
#[must_use]
pub fn between(logs: &[(&Log, f64)], packs: Packs) -> Vec<Between> {
    const LEAST_BINS: usize = 3;
    const ALIKE: f64 = 0.05;
    const LEAST_A: f64 = 1.0;
    let mut found = Vec::new();
    let drives = drives(logs);
    if let Some(drives) = drives.filter(|drives| !is_whole(logs[*drives].0)) {
        let others = (0..logs.len()).filter(|other| *other != drives && is_whole(logs[*other].0));
        found.extend(others.map(|other| Between {
            log: other,
            notice: LogNotice::LeftOut(format!(
                "The volts of log {} are not used: its amps do not move with her speed, those of log {} do, so that they are another \
                 battery's. Without volts of her own no power is reckoned.",
                other + 1,
                drives + 1
            )),
            leave_out: Vec::new(),
            may_be_packs: false,
        }));
    }
    for (measured, limit) in LIMITS {
        let all = offered(logs, drives, measured);
        let Some((first, others)) = all.split_first() else { continue };
        for other in others.iter().filter(|other| other.number != first.number) {
            let (one, two) = (shifted_bins(first), shifted_bins(other));
            let common: Vec<(f64, f64)> = common(&one, &two).collect();
            let (name, key) = (measured.label(), other.channel.key());
            if common.len() < LEAST_BINS {
                if OF_BATTERY.contains(&measured) && !goes_on(first, other) {
                    let text = format!(
                        "The {name} of log {} ({key}) is not used: it seems to be another battery's than that of log {}.",
                        other.number + 1,
                        first.number + 1,
                    );
                    found.push(Between {
                        log: other.number,
                        notice: LogNotice::LeftOut(text),
                        leave_out: Vec::new(),
                        may_be_packs: false,
                    });
                }
                continue;
            }
            let apart: Vec<f64> = common.iter().map(|(a, b)| (a - b).abs()).collect();
            let size: Vec<f64> = common.iter().map(|(a, b)| a.abs().max(b.abs())).collect();
            let (Some(apart), Some(size)) = (median(&apart), median(&size)) else { continue };
            let may_be_packs = may_be_packs(first, other);
            if may_be_packs && packs.adds(measured) {
                continue;
            }
            // Which of packs is asked once, by their amps.
            let may_be_packs = may_be_packs && measured != M::Voltage;
            let middle = |values: Vec<f64>| median(&values).unwrap_or(0.0);
            let leave_out = vec![(first.number, first.channel.key()), (other.number, other.channel.key())];
            if apart <= limit.max(ALIKE * size) {
                // Amps that flow, told alike by two: half of what she takes where they are two.
                if may_be_packs && packs == Packs::Apart && measured == M::Current && size > LEAST_A {
                    let text = format!(
                        "Logs {} and {} tell volts and amps at once, and alike ({:.1} A and {:.1} A in the middle): is that one battery seen twice, or \
                         two packs side by side, each with its own amps, or two in series with one current through both? \
                         Until somebody says log {} alone is taken.",
                        first.number + 1,
                        other.number + 1,
                        middle(common.iter().map(|(a, _)| *a).collect()),
                        middle(common.iter().map(|(_, b)| *b).collect()),
                        first.number + 1,
                    );
                    found.push(Between {
                        log: other.number,
                        notice: LogNotice::Question(text),
                        leave_out,
                        may_be_packs,
                    });
                }
                continue;
            }
            found.push(Between {
                log: other.number,
                notice: LogNotice::LogsDisagree {
                    measured,
                    used: (
                        first.number,
                        first.channel.source,
                        middle(common.iter().map(|(a, _)| *a).collect()),
                    ),
                    unused: (
                        other.number,
                        other.channel.source,
                        middle(common.iter().map(|(_, b)| *b).collect()),
                    ),
                },
                leave_out,
                may_be_packs,
            });
        }
    }
    found
}

/// The key of a channel that is meant of the log of this number: `2:current/column 3` is of the second log only.
#[must_use]
pub fn key_in_log(key: &str, number: usize) -> Option<&str> {
    match key.split_once(':') {
        Some((log, rest)) if log.parse::<usize>().is_ok() => {
            log.parse().ok().filter(|log| *log == number).map(|_: usize| rest)
        }
        _ => Some(key),
    }
}
