//! Channels that come late: amps behind the turns that draw them, one receiver behind another; and what is drawn
//! while nothing turns. Not for: clocks of whole logs (`zone_shift`).

use super::battery_moves::{Bins, correlation};
use super::checks::median;
use super::log::{Channel, Log};
use super::measured::Measured as M;
use super::notice::{LogNotice, capital};

/// Steps in which lags are told \[s\]; a lag of fewer than [`LEAST_STEPS`] is the way that meters are.
const STEP_S: f64 = 5.0;
const LEAST_STEPS: i64 = 5;
const MOST_STEPS: i64 = 60;
/// Of a longer log as much as this is looked at, from where she moves.
const LOOKED_AT_S: f64 = 4.0 * 3600.0;

/// Adds what comes late, and what flows at rest.
pub(super) fn find_late(log: &Log, found: &mut Vec<LogNotice>) {
    let fullest = |measured: M| log.of(measured).max_by_key(|c| c.count);
    let turns = fullest(M::ShaftSpeed).or_else(|| fullest(M::MotorSpeed));
    let drawn = fullest(M::Current).or_else(|| fullest(M::Power));
    if let (Some(turns), Some(drawn)) = (turns, drawn) {
        if let Some(late_s) = lag(turns, drawn) {
            found.push(LogNotice::Question(format!(
                "{} follows the {} about {late_s:.0} s late: is it asked for seldom, or a mean over minutes? A run of less than {:.0} min \
                 mixes two settings. Hold each setting for longer and use its end, or log it more often.",
                capital(drawn.measured.label()),
                turns.measured.label(),
                (4.0 * late_s / 60.0).ceil()
            )));
        }
        found.extend(at_rest(turns, drawn, fullest(M::Voltage)));
    }
    let mut fixes: Vec<&Channel> = log.of(M::SpeedOverGround).collect();
    fixes.sort_by_key(|c| (std::cmp::Reverse(c.count), c.source.is_second()));
    if let [first, others @ ..] = fixes.as_slice() {
        for other in others {
            let (behind, late_s, before) = match (lag(first, other), lag(other, first)) {
                (Some(late_s), None) => (other, late_s, first),
                (None, Some(late_s)) => (first, late_s, other),
                _ => continue,
            };
            found.push(LogNotice::Question(format!(
                "{}: {} follows {} about {late_s:.0} s late; {} is taken. Which one keeps time? --leave-out \"{}\" leaves the late one out.",
                capital(behind.measured.label()),
                behind.source,
                before.source,
                first.source,
                behind.key()
            )));
        }
    }
}

/// By how much `follows` fits `leads` better later \[s\], where it clearly does.
fn lag(leads: &Channel, follows: &Channel) -> Option<f64> {
    const FITS: f64 = 0.8;
    /// What a shift must leave of the misfit at most.
    const LEFT: f64 = 0.6;
    const LEAST_MISFIT: f64 = 0.02;
    let most = leads.values.iter().copied().fold(0.0, f64::max);
    let from_s = leads.times_s.iter().zip(&leads.values).find(|(_, value)| 2.0 * **value > most)?.0 - 600.0;
    let bins = |channel: &Channel| -> Bins {
        let mut sums: std::collections::BTreeMap<i64, (f64, f64)> = std::collections::BTreeMap::new();
        for (time, value) in channel.times_s.iter().zip(&channel.values) {
            if (from_s..from_s + LOOKED_AT_S).contains(time) {
                let sum = sums.entry((time / STEP_S).floor() as i64).or_default();
                *sum = (sum.0 + value.abs(), sum.1 + 1.0);
            }
        }
        sums.into_iter().map(|(bin, (sum, count))| (bin, sum / count)).collect()
    };
    let (leads, follows) = (bins(leads), bins(follows));
    let at = |steps: i64| {
        let earlier: Bins = follows.iter().map(|(bin, value)| (bin - steps, *value)).collect();
        correlation(&leads, &earlier).unwrap_or(-1.0)
    };
    let now = at(0);
    // A lag that leaves little of the log to be held against is chance.
    let span = leads.last()?.0 - leads.first()?.0;
    let best =
        (0..=MOST_STEPS.min(span / 8)).map(|steps| (steps, at(steps))).max_by(|a, b| a.1.total_cmp(&b.1))?;
    let is_clear = best.1 >= FITS && 1.0 - best.1 <= LEFT * (1.0 - now) && 1.0 - now >= LEAST_MISFIT;
    (best.0 >= LEAST_STEPS && is_clear).then_some(best.0 as f64 * STEP_S)
}

/// What is drawn while nothing turns, where that is much beside what the drive takes.
fn at_rest(turns: &Channel, drawn: &Channel, volts: Option<&Channel>) -> Option<LogNotice> {
    const LEAST: usize = 10;
    const SHARE: f64 = 0.05;
    // Instruments and lamps of a small boat, in what the channel is measured in.
    let least: f64 = if drawn.measured == M::Current { 3.0 } else { 150.0 };
    let mut at = 0;
    let (mut rest, mut running) = (Vec::new(), Vec::new());
    for (time, value) in drawn.times_s.iter().zip(&drawn.values) {
        while turns.times_s.get(at + 1).is_some_and(|next| next <= time) {
            at += 1;
        }
        if turns.times_s.get(at).is_some_and(|known| (time - known).abs() <= 2.0 * STEP_S) {
            if turns.values[at].abs() < 0.05 { rest.push(*value) } else { running.push(*value) }
        }
    }
    let (idle, usual) = (median(&rest)?, median(&running)?);
    let is_much =
        rest.len() >= LEAST && running.len() >= LEAST && idle.abs() >= least.max(SHARE * usual.abs());
    let volts = volts.and_then(|volts| median(&volts.values));
    let (written, option, house_w) = match drawn.measured {
        M::Current => (format!("{idle:.1} A"), "--zero", volts.map(|volts| idle * volts)),
        _ => (format!("{:.2} kW", idle / 1e3), "--house", Some(idle)),
    };
    let text = if idle * usual < 0.0 {
        format!(
            "While nothing turns {written} is shown, into the bank: a charger before she cast off, which needs no answer, or a meter that is off \
             by as much under way too ({option} \"{written}\" takes it off)?"
        )
    } else {
        let taken = house_w
            .filter(|watts| *watts >= 10.0)
            .map_or_else(String::new, |watts| format!(" (--house \"{watts:.0} W\" takes it off)"));
        format!(
            "While nothing turns the meter shows {written}: what else is on board{taken}, or a meter that is off by as much ({option} \
             \"{written}\")? It stands in what the drive takes until somebody says."
        )
    };
    is_much.then_some(LogNotice::Question(text))
}
