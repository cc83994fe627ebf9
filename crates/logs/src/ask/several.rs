//! Several columns of one quantity that belong to no battery that is told apart. Not for: whole batteries.

use super::{Choice, Question, power_text};
use crate::battery::most_power;
use crate::log::Log;
use crate::measured::Measured as M;
use crate::table::Mapping;

/// Volts, amps or watts of several columns that belong to no battery that is told apart: one is taken, and asked about.
pub(crate) fn several_question(log: &mut Log, mapping: &Mapping) -> Option<Question> {
    const ALIKE: f64 = 0.05;
    let middle = |channel: &crate::Channel| crate::checks::median(&channel.values);
    let several = [M::Current, M::Power, M::Voltage].into_iter().find_map(|measured| {
        let found: Vec<&crate::Channel> =
            log.of(measured).filter(|c| matches!(c.source, crate::log::Source::Column(_))).collect();
        let first = middle(found.first()?)?;
        let differs =
            found.iter().any(|c| middle(c).is_some_and(|m| (m - first).abs() > ALIKE * first.abs()));
        (found.len() > 1 && differs).then(|| (measured, found.into_iter().cloned().collect::<Vec<_>>()))
    });
    let (measured, found) = several?;
    let key = format!("which/{}", measured.word());
    if mapping.answered.contains(&key) {
        return None;
    }
    let most = |measured: M| log.of(measured).max_by_key(|c| c.count);
    let choices = found
        .iter()
        .filter_map(|channel| {
            let crate::log::Source::Column(column) = channel.source else { return None };
            let name = mapping.heads.get(usize::from(column))?.clone();
            let mut changed = mapping.clone();
            changed.columns.retain(|c| c.measured != measured || c.column == usize::from(column));
            changed.answered.insert(key.clone());
            let (volts, amps, power) = match measured {
                M::Voltage => (Some(channel), most(M::Current), None),
                M::Current => (most(M::Voltage), Some(channel), None),
                _ => (None, None, Some(channel)),
            };
            let unit = if measured == M::Voltage { "V" } else { "A" };
            let gives = match most_power(volts, amps, power) {
                Some(watts) => format!("then {}", power_text(watts)),
                None => format!("then it was {:.1} {unit}", middle(channel)?),
            };
            Some(Choice { word: name.clone(), label: format!("{name:?}"), gives, mapping: changed })
        })
        .collect::<Vec<Choice>>();
    let aside = |c: &crate::Channel| c.measured == measured && c.source != found[0].source;
    let (set_aside, kept): (Vec<_>, Vec<_>) = log.channels.drain(..).partition(aside);
    log.channels = kept;
    log.set_aside.extend(set_aside);
    if choices.windows(2).all(|two| two[0].gives == two[1].gives) {
        return None;
    }
    let text =
        format!("Several columns look like {} and do not say the same. Which one holds?", measured.label());
    Some(Question { key, text, values: Vec::new(), choices, cost: 2 })
}

/// Volts that rise manifold with her speed beside amps that hardly move: one stands under the heading of the other. They are
/// taken the other way round, and it is asked.
pub(crate) fn swapped_question(log: &mut Log, mapping: &mut Mapping) -> Option<Question> {
    const KEY: &str = "swapped";
    const MOVES: f64 = 0.6;
    /// No bank rises by half, and no drive's amps stay within a fifth.
    const RISES: f64 = 1.5;
    const STAYS: f64 = 1.2;
    const LEAST_V: f64 = 8.0;
    let ends = |channel: &crate::Channel| {
        let mut all: Vec<f64> = channel.values.iter().map(|value| value.abs()).collect();
        all.sort_unstable_by(f64::total_cmp);
        let last = all.len().checked_sub(1)?;
        Some((all[last / 4], all[last - last / 10]))
    };
    if mapping.answered.contains(KEY) {
        return None;
    }
    let mapped = |measured: M, unit: &str| {
        let mut found = mapping.columns.iter().filter(|c| c.measured == measured);
        found.next().filter(|c| c.unit == unit && found.next().is_none()).map(|c| c.column)
    };
    let (volts, amps) = (mapped(M::Voltage, "V")?, mapped(M::Current, "A")?);
    let of =
        |column: usize| log.channels.iter().find(|c| c.source == crate::log::Source::Column(column as u16));
    let (as_volts, as_amps) = (of(volts)?, of(amps)?);
    let ((few, many), (low, high)) = (ends(as_volts)?, ends(as_amps)?);
    let speed = crate::battery_moves::speed_bins(log)?;
    let moves = crate::battery_moves::correlation(&crate::battery_moves::bins(as_volts, true), &speed);
    let is_swapped =
        many > RISES * few && high < STAYS * low && low > LEAST_V && moves.is_some_and(|r| r >= MOVES);
    if !is_swapped {
        return None;
    }
    let had = |volts: f64| format!("then the bank had {volts:.1} V at most");
    let (as_it_is, turned) = (had(many), had(high));
    let names =
        [volts, amps].map(|column| format!("{:?}", mapping.heads.get(column).map_or("", String::as_str)));
    let mut as_headed = mapping.clone();
    as_headed.answered.insert(KEY.to_owned());
    for mapped in &mut mapping.columns {
        (mapped.measured, mapped.unit) = match mapped.column {
            column if column == volts => (M::Current, "A".to_owned()),
            column if column == amps => (M::Voltage, "V".to_owned()),
            _ => continue,
        };
    }
    for channel in &mut log.channels {
        channel.measured = match channel.source {
            crate::log::Source::Column(column) if usize::from(column) == volts => M::Current,
            crate::log::Source::Column(column) if usize::from(column) == amps => M::Voltage,
            _ => continue,
        };
    }
    log.channels.sort_by_key(|channel| (channel.measured, channel.source));
    let mut swapped = mapping.clone();
    swapped.answered.insert(KEY.to_owned());
    let text = format!(
        "{} goes from {few:.1} to {many:.1} with her speed, and {} stays at {low:.1} to {high:.1}: no bank and no drive does so, and they are taken the \
         other way round. Are the two headings swapped?",
        names[0], names[1]
    );
    let choice = |word: &str, label: &str, gives: String, mapping: Mapping| Choice {
        word: word.to_owned(),
        label: label.to_owned(),
        gives,
        mapping,
    };
    let choices = vec![
        choice("yes", "yes: volts are amps, and amps volts", turned, swapped),
        choice("no", "no: they are as they are headed", as_it_is, as_headed),
    ];
    Some(Question { key: KEY.to_owned(), text, values: Vec::new(), choices, cost: 0 })
}
