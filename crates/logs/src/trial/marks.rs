//! Runs set by hand: times as typed, found again in the joined log. Not for: finding runs.

use crate::clock::{DAY_S, date_time_text, parse_iso, parse_time_of_day, time_of_day_text};
use crate::{Outing, SteadyRun, TimeBase};

use super::written::RunMark;

/// The time of a mark on the log's clock \[s\]; a time of day is of the day on which the log begins.
pub(super) fn time_of(text: &str, base: TimeBase, start_s: f64) -> Option<f64> {
    let text = text.trim();
    if base == TimeBase::Utc {
        if let Some((time_s, _)) = parse_iso(text) {
            return Some(time_s);
        }
        let midnight_s = (start_s / DAY_S).floor() * DAY_S;
        let time_s = midnight_s + parse_time_of_day(text)?;
        // After midnight a time of day is of the next day.
        return Some(if time_s < start_s - 0.5 * DAY_S { time_s + DAY_S } else { time_s });
    }
    parse_time_of_day(text).or_else(|| text.trim_end_matches('s').trim().parse().ok())
}

/// A time of the log as it is typed in a mark.
pub(super) fn text_of(time_s: f64, base: TimeBase) -> String {
    match base {
        TimeBase::Utc => date_time_text(time_s),
        TimeBase::TimeOfDay => time_of_day_text(time_s),
        TimeBase::Elapsed | TimeBase::Lines => format!("{time_s:.0} s"),
    }
}

/// Where a mark lies in the outings: which, first step, last step.
pub(super) fn place(mark: &RunMark, outings: &[Outing]) -> Result<(usize, usize, usize), String> {
    let Some(first) = outings.first() else {
        return Err("there is no log that it could lie in".to_owned());
    };
    let read = |text: &str| {
        time_of(text, first.time_base, first.start_s).filter(|time_s| time_s.is_finite()).ok_or_else(|| {
            format!("{text:?} is no time; write it like {}", text_of(first.start_s, first.time_base))
        })
    };
    let (from_s, to_s) = (read(&mark.from)?, read(&mark.to)?);
    if to_s <= from_s {
        return Err(format!("it ends ({}) before it begins ({})", mark.to.trim(), mark.from.trim()));
    }
    for (index, outing) in outings.iter().enumerate() {
        let end_s = outing.time_s(outing.steps.saturating_sub(1));
        if to_s < outing.start_s || from_s > end_s {
            continue;
        }
        let step = |time_s: f64| {
            (((time_s - outing.start_s) / outing.step_s).round().max(0.0) as usize).min(outing.steps - 1)
        };
        let (from, to) = (step(from_s), step(to_s));
        if to > from {
            return Ok((index, from, to));
        }
    }
    Err(format!("the log has nothing between {} and {}", mark.from.trim(), mark.to.trim()))
}

/// The mark of a run that was found.
pub(super) fn mark_of(outing: &Outing, run: &SteadyRun) -> RunMark {
    RunMark {
        from: text_of(outing.time_s(run.first), outing.time_base),
        to: text_of(outing.time_s(run.last), outing.time_base),
        ..RunMark::default()
    }
}
