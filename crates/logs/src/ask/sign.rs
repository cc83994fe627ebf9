//! What negative amps of a table mean: settled where charge, sag or logged watts tell, else asked.
//! Not for: logs of other kinds, whose sign is asked when runs are found.

use super::{Choice, Question, power_text};
use crate::battery::{batteries, most_power};
use crate::checks::median;
use crate::log::Log;
use crate::measured::Measured as M;
use crate::table::Mapping;

/// Turns the sign of what flows, in the log and in what is remembered of its source.
fn turn_sign(log: &mut Log, mapping: &mut Mapping) {
    turn_mapped(mapping);
    let flows = |channel: &&mut crate::Channel| matches!(channel.measured, M::Current | M::Power);
    for channel in log.channels.iter_mut().chain(&mut log.set_aside).filter(flows) {
        channel.values.iter_mut().for_each(|value| *value = -*value);
        channel.is_turned = mapping.columns.is_empty();
    }
}

fn turn_mapped(mapping: &mut Mapping) {
    for column in mapping.columns.iter_mut().filter(|c| matches!(c.measured, M::Current | M::Power)) {
        column.is_negated ^= true;
    }
}

/// What negative amps mean, where the log tells: `true` out of the bank. A bank that is emptied loses charge; one that
/// drives her gives more with her speed and sags as it does.
fn is_drawn(log: &Log, mapping: &Mapping) -> Option<bool> {
    const CHARGE_MOVED: f64 = 0.01;
    const MOVES: f64 = 0.3;
    const SAGS: f64 = -0.6;
    let most = |measured: M| log.of(measured).max_by_key(|c| c.count);
    let amps = most(M::Current).or(most(M::Power))?;
    // Charged now and then, as by the sun or a brake: what flows while she speeds up tells.
    let is_mixed = amps.values.iter().any(|value| *value > 0.0);
    if !is_mixed
        && let Some(charge) = most(M::StateOfCharge)
        && let (Some(first), Some(last)) = (charge.values.first(), charge.values.last())
        && (last - first).abs() >= CHARGE_MOVED
    {
        return Some(last < first);
    }
    let moved = batteries(log, mapping).into_iter().filter_map(|b| b.with_speed).fold(0.0, f64::max);
    let sag = crate::battery::sag(most(M::Voltage)?, amps)?;
    (moved >= if is_mixed { 2.0 * MOVES } else { MOVES } && sag <= SAGS).then_some(true)
}

/// Positive amps, and a charge that rises all along: the log counts what flows into the bank.
fn is_charged_by_positive(log: &Log, mapping: &Mapping) -> bool {
    const CHARGE_MOVED: f64 = 0.02;
    const MOVES: f64 = 0.3;
    let most = |measured: M| log.of(measured).max_by_key(|c| c.count);
    let (Some(amps), Some(charge)) = (most(M::Current).or(most(M::Power)), most(M::StateOfCharge)) else {
        return false;
    };
    let rises = charge.values.windows(2).all(|two| two[1] >= two[0] - 0.001);
    let gained = charge.values.last().zip(charge.values.first()).map_or(0.0, |(last, first)| last - first);
    let flows_in =
        amps.values.iter().all(|value| *value >= 0.0) && median(&amps.values).is_some_and(|a| a > 0.0);
    let drives = batteries(log, mapping).into_iter().filter_map(|b| b.with_speed).any(|r| r >= MOVES);
    rises && gained >= CHARGE_MOVED && flows_in && !drives
}

/// Watts that are positive while the amps of the same battery are negative: two counts of one flow, and the watts say
/// which way it goes.
fn turn_amps_against_watts(log: &mut Log, mapping: &mut Mapping) {
    let middle = |measured: M| median(&log.of(measured).max_by_key(|c| c.count)?.values);
    let is_against = middle(M::Power).is_some_and(|p| p > 0.0) && middle(M::Current).is_some_and(|a| a < 0.0);
    if !is_against || mapping.answered.contains("sign") {
        return;
    }
    for column in mapping.columns.iter_mut().filter(|c| c.measured == M::Current) {
        column.is_negated ^= true;
    }
    for channel in log.channels.iter_mut().filter(|c| c.measured == M::Current) {
        channel.values.iter_mut().for_each(|value| *value = -*value);
    }
    log.notices.push(crate::LogNotice::LeftOut(
        "Amps are negative where the power that was logged is positive: they are taken as drawn, as the power is."
            .to_owned(),
    ));
}

/// Turns amps that are negative while she is driven where the log tells that they are drawn.
pub(crate) fn settle_sign(log: &mut Log, mapping: &mut Mapping) {
    if !mapping.columns.is_empty() {
        turn_amps_against_watts(log, mapping);
    }
    if !mapping.columns.is_empty()
        && !mapping.answered.contains("sign")
        && is_charged_by_positive(log, mapping)
    {
        turn_sign(log, mapping);
        mapping.answered.insert("sign".to_owned());
        log.notices.push(crate::LogNotice::LeftOut(
            "Positive amps are taken as charged into the bank: its charge rises as they flow.".to_owned(),
        ));
        return;
    }
    // A log without columns has its sign told where it tells itself; else runs ask.
    let flows_in = |log: &Log| {
        let most = |measured: M| log.of(measured).max_by_key(|c| c.count);
        most_power(most(M::Voltage), most(M::Current), most(M::Power)).is_some_and(|watts| watts < 0.0)
    };
    if sign_question(log, mapping).is_none() && !(mapping.columns.is_empty() && flows_in(log)) {
        return;
    }
    match is_drawn(log, mapping) {
        Some(true) => {
            turn_sign(log, mapping);
            // A table's question has the other answer; other logs have it here.
            let undone = if mapping.columns.is_empty() {
                " If they were charged, turned=no takes a kept trial's as they are written, --current-as-written a log's."
            } else {
                ""
            };
            log.notices.push(crate::LogNotice::LeftOut(format!(
                "Negative amps are taken as drawn from the bank: it loses charge, or its volts sag, as they flow.{undone}"
            )));
        }
        Some(false) if !mapping.columns.is_empty() => {
            mapping.answered.insert("sign".to_owned());
        }
        _ => {}
    }
}

/// Amps that are negative while she is driven: out of the bank, or charged on the way.
pub(crate) fn sign_question(log: &Log, mapping: &Mapping) -> Option<Question> {
    const KEY: &str = "sign";
    if mapping.answered.contains(KEY) || mapping.columns.is_empty() {
        return None;
    }
    let most = |measured: M| log.of(measured).max_by_key(|c| c.count);
    let power = most_power(most(M::Voltage), most(M::Current), most(M::Power))
        .or_else(|| most_power(None, None, most(M::Current)))
        .filter(|watts| *watts < 0.0)?;
    let turned = |is_turned: bool| {
        let mut changed = mapping.clone();
        if is_turned {
            turn_mapped(&mut changed);
        }
        changed.answered.insert(KEY.to_owned());
        changed
    };
    let is_power = most(M::Power).is_some() || most(M::Voltage).is_some();
    let text = |value: f64| {
        if is_power {
            format!("then {}", power_text(value))
        } else {
            format!("then the bank gave {value:.1} A")
        }
    };
    let choice = |word: &str, label: &str, value: f64, mapping: Mapping| Choice {
        word: word.to_owned(),
        label: label.to_owned(),
        gives: text(value),
        mapping,
    };
    Some(Question {
        key: KEY.to_owned(),
        text: "The amps are negative while most flows. What do negative amps mean?".to_owned(),
        values: Vec::new(),
        choices: vec![
            choice("charging", "into the bank: she was charged", power, turned(false)),
            choice("drawing", "out of the bank: she was driven", -power, turned(true)),
        ],
        cost: 2,
    })
}
