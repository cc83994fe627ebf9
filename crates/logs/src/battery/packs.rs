//! Several packs that feed one drive: side by side their amps are added, one behind the other their volts.
//! Not for: which battery is the drive's.

use super::{Battery, Bins, add, battery_of, keep_battery};
use crate::battery_moves::common;
use crate::checks::median;
use crate::log::{Channel, Log};
use crate::measured::Measured as M;
use crate::table::Mapping;

/// Between the names of packs side by side.
const BESIDE: &str = " + ";
/// Between the names of packs one behind the other.
const BEHIND: &str = " & ";
/// Volts, and amps of packs in series, that differ by less are alike.
const ALIKE: f64 = 0.03;

/// Packs that may feed the drive together, and how.
pub(crate) struct Together {
    pub battery: Battery,
    /// In words.
    pub label: String,
    /// All of them move with her speed and are named as packs of one bank are: likelier than one alone.
    pub is_likely: bool,
}

/// How the others of the same volts as `chosen` may feed the drive beside it, the likelier first; nothing where it is alone.
pub(crate) fn together(all: &[Battery], chosen: &Battery) -> Vec<Together> {
    // What gives next to nothing while she runs is no pack of the drive.
    const LEAST_SHARE: f64 = 0.1;
    /// Packs of higher volts stand side by side more often.
    const LOW_V: f64 = 36.0;
    const MOVES: f64 = 0.6;
    let Some(power) = chosen.power_w else { return Vec::new() };
    let grows = |b: &Battery| b.with_speed.is_some_and(|r| r >= MOVES);
    // Packs of which only watts are known may stand either way: their watts are added all the same.
    let is_of_watts = chosen.volts_v.is_none();
    let volts = chosen.volts_v.unwrap_or(0.0);
    let mut packs = vec![chosen];
    packs.extend(
        all.iter()
            .filter(|b| b.of != chosen.of && !b.is_again(chosen))
            .filter(|b| match b.volts_v {
                Some(v) => !is_of_watts && (v - volts).abs() <= ALIKE * volts.abs(),
                None => is_of_watts,
            })
            // The meter of one may count the other way round: what grows with her speed on both is drawn from both.
            .filter(|b| b.power_w.is_some_and(|p| p * power > 0.0 || (grows(b) && grows(chosen))))
            .filter(|b| b.power_w.is_some_and(|p| (p / power).abs() >= LEAST_SHARE)),
    );
    if packs.len() < 2 {
        return Vec::new();
    }
    let has_shared_amps = packs.iter().all(|b| b.has_shared_amps);
    let has_shared_volts = packs.iter().any(|b| b.has_shared_volts);
    let is_one_flow = has_shared_amps || packs[1..].iter().all(|b| flows_alike(&chosen.amps, &b.amps));
    let joined =
        |of: fn(&Battery) -> &str, mark: &str| packs.iter().map(|b| of(b)).collect::<Vec<&str>>().join(mark);
    let sum = power.signum() * packs.iter().filter_map(|b| b.power_w).map(f64::abs).sum::<f64>();
    let is_likely = packs.iter().all(|b| b.with_speed.is_none_or(|r| r >= MOVES) && is_pack_name(&b.of));
    let of = |mark: &str, label: String| Together {
        battery: Battery {
            of: joined(|b| b.of.as_str(), mark),
            sources: joined(|b| b.sources.as_str(), mark),
            with_speed: None,
            power_w: Some(sum),
            ..chosen.clone()
        },
        label,
        is_likely,
    };
    let sources = joined(|b| b.sources.as_str(), BESIDE);
    let added = if is_of_watts { "together, their watts added" } else { "side by side, their amps added" };
    let beside = (!has_shared_amps).then(|| of(BESIDE, format!("{added}: {sources}")));
    let behind = (!is_of_watts && is_one_flow && !has_shared_volts)
        .then(|| of(BEHIND, format!("in series, their volts added: {sources}")));
    let mut found: Vec<Together> = beside.into_iter().chain(behind).collect();
    if volts < LOW_V {
        found.reverse();
    }
    found
}

/// One current through both: in series it is the same at all times.
fn flows_alike(one: &Bins, other: &Bins) -> bool {
    let differ: Vec<f64> = common(one, other).map(|(a, b)| (a - b).abs() / a.abs().max(1.0)).collect();
    !differ.is_empty() && median(&differ).is_some_and(|d| d <= ALIKE)
}

/// `1`, `b`, `port`, `no.0`: which of several alike, not what it is for.
fn is_pack_name(of: &str) -> bool {
    of.split([' ', '_', '-', '#', '.', '@']).filter(|word| !word.is_empty()).all(|word| {
        word.len() <= 1
            || word.bytes().all(|b| b.is_ascii_digit())
            || matches!(
                word,
                "no" | "port"
                    | "starboard"
                    | "stbd"
                    | "left"
                    | "right"
                    | "backbord"
                    | "steuerbord"
                    | "babord"
                    | "tribord"
                    | "links"
                    | "rechts"
                    | "gauche"
                    | "droite"
                    | "droit"
                    | "sinistra"
                    | "destra"
                    | "izquierda"
                    | "derecha"
                    | "esquerda"
                    | "direita"
                    | "vanster"
                    | "hoger"
                    | "venstre"
                    | "hojre"
                    | "hoyre"
                    | "vasen"
                    | "oikea"
                    | "bb"
                    | "sb"
                    | "styrbord"
                    | "babor"
                    | "estribor"
                    | "master"
                    | "slave"
                    | "module"
                    | "modul"
                    | "string"
                    | "unit"
                    | "electrical"
                    | "batteries"
                    | "battery"
                    | "bat"
                    | "pack"
                    | "packs"
                    | "bms"
                    | "bank"
            )
    })
}

/// A bank whose amps or watts are told beside those of its packs: their sum needs no question. Gives what to keep.
pub(crate) fn told_total(all: &[Battery], log: &Log, mapping: &Mapping) -> Option<String> {
    const NEAR: f64 = 0.04;
    let named = || all.iter().filter(|b| !b.of.is_empty() && !b.has_shared_amps);
    if named().count() < 2 {
        return None;
    }
    let is_near = |a: f64, b: f64| (a - b).abs() <= NEAR * a.abs().max(b.abs()) && a != 0.0;
    let unnamed = |measured: M| {
        log.channels.iter().find(|c| c.measured == measured && battery_of(c, mapping).as_deref() == Some(""))
    };
    let middle = |channel: &Channel| median(&channel.values).map(f64::abs);
    let sum_w: f64 = named().filter_map(|b| b.power_w).map(f64::abs).sum();
    if let Some(whole) = all.iter().find(|b| b.of.is_empty() && !b.has_shared_volts && !b.has_shared_amps)
        && whole.power_w.is_some_and(|power| is_near(power.abs(), sum_w))
    {
        return Some(String::new());
    }
    let packs: Vec<&Battery> = named().filter(|b| !b.has_shared_volts).collect();
    let (first, rest) = packs.split_first().filter(|(_, rest)| !rest.is_empty())?;
    let sum = |of: fn(&Battery) -> Option<f64>| packs.iter().filter_map(|b| of(b)).sum::<f64>();
    let join = |mark: &str| {
        let names: Vec<&str> = std::iter::once(first).chain(rest).map(|b| b.of.as_str()).collect();
        names.join(mark)
    };
    let amps = |b: &Battery| median(&b.amps.iter().map(|(_, amps)| *amps).collect::<Vec<f64>>());
    if unnamed(M::Current).and_then(middle).is_some_and(|total| is_near(total, sum(amps))) {
        return Some(join(BESIDE));
    }
    let is_one_flow = rest.iter().all(|b| flows_alike(&first.amps, &b.amps));
    (is_one_flow
        && unnamed(M::Voltage).and_then(middle).is_some_and(|total| is_near(total, sum(|b| b.volts_v))))
    .then(|| join(BEHIND))
}

/// Adds the amps (and watts) of packs side by side to those of the first, or the volts (and watts) of packs in series; the
/// others are set aside. False where the names are not those of several.
pub(crate) fn keep_together(log: &mut Log, mapping: &Mapping, names: &str) -> bool {
    let is_behind = names.contains(BEHIND);
    let names: Vec<&str> = names.split(if is_behind { BEHIND } else { BESIDE }).collect();
    let Some((first, others)) = names.split_first().filter(|(_, others)| !others.is_empty()) else {
        return false;
    };
    let added = if is_behind { M::Voltage } else { M::Current };
    let all: Vec<Channel> = log.channels.drain(..).chain(log.set_aside.drain(..)).collect();
    let of = |channel: &Channel, name: &str| battery_of(channel, mapping).as_deref() == Some(name);
    let mut summed = all.clone();
    for channel in
        summed.iter_mut().filter(|c| of(c, first) && (c.measured == added || c.measured == M::Power))
    {
        for other in others {
            let one =
                all.iter().filter(|c| c.measured == channel.measured && of(c, other)).max_by_key(|c| c.count);
            // One that says nothing of it makes no sum.
            match one {
                Some(one) if channel.measured == M::Voltage => add(channel, one, 1.0),
                Some(one) => {
                    let middle = |channel: &Channel| median(&channel.values).unwrap_or(0.0);
                    let is_turned = middle(channel) * middle(one) < 0.0;
                    add(channel, one, if is_turned { -1.0 } else { 1.0 });
                }
                None => {
                    channel.times_s.clear();
                    channel.values.clear();
                }
            }
        }
        channel.count = channel.values.len() as u64;
    }
    summed.retain(|channel| !channel.values.is_empty());
    log.channels = summed;
    keep_battery(log, mapping, first);
    true
}
