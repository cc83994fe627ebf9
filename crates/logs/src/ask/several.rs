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
