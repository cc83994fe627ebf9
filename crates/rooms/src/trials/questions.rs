//! What is asked about the logs of a trial, and what can be answered. Not for: what an answer does.

use std::sync::Arc;

use wakewright_core::trial::Run;
use wakewright_logs::trial::{TrialDocument, TrialReading};
use wakewright_logs::{Log, LogNotice, TimeBase, channel_key};

use crate::logs::Opened;

/// A question about a log.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Which log.
    pub log: usize,
    /// What is asked.
    pub notice: LogNotice,
    /// What can be done about it.
    pub answers: Vec<Answer>,
}

/// What can be done about a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// Leave this channel out.
    LeaveOut(String),
    /// Turn the sign of the current, or turn it back.
    TurnCurrent,
    /// The clock of the log is ahead of UTC by so many seconds.
    ClockAhead(i32),
}

/// UTC, and the time of this computer's place on the day of the log.
fn clock_answers(log: &Log) -> Vec<Answer> {
    let mut ahead = vec![0];
    if let Some((from_s, _)) = log.span_s().filter(|_| log.time_base == TimeBase::Utc)
        && let Ok(instant) = jiff::Timestamp::from_second(from_s as i64)
    {
        ahead.push(jiff::tz::TimeZone::system().to_offset(instant).seconds());
    }
    ahead.dedup();
    ahead.into_iter().map(Answer::ClockAhead).collect()
}

/// What is still open about the logs.
pub(super) fn questions(
    document: &TrialDocument,
    opened: &[Option<Arc<Opened>>],
    reading: &TrialReading,
) -> Vec<Question> {
    let mut asked = Vec::new();
    for (log, (used, opened)) in document.logs.iter().zip(opened).enumerate() {
        let Some(read) = opened.as_ref().and_then(|opened| opened.log.as_ref().ok()) else { continue };
        for notice in &read.notices {
            let answers: Vec<Answer> = match notice {
                LogNotice::Frozen { measured, source, .. }
                | LogNotice::Implausible { measured, source, .. } => {
                    vec![Answer::LeaveOut(channel_key(*measured, *source))]
                }
                LogNotice::Disagree { measured, first, second, .. } => {
                    [first, second].map(|source| Answer::LeaveOut(channel_key(*measured, *source))).to_vec()
                }
                LogNotice::NoZone => clock_answers(read),
                _ => Vec::new(),
            };
            let has_date = reading.outings.iter().all(|outing| outing.time_base == TimeBase::Utc);
            let is_dated =
                matches!(notice, LogNotice::NoDate) && !document.date.trim().is_empty() && has_date;
            let is_answered = is_dated
                || answers
                    .iter()
                    .any(|answer| matches!(answer, Answer::LeaveOut(key) if used.left_out.contains(key)));
            if !is_answered {
                asked.push(Question { log, notice: notice.clone(), answers });
            }
        }
    }
    let is_negative = |run: &Run| run.current_a.is_some_and(|amps| amps < 0.0);
    let from_log = reading.runs.iter().filter(|run| run.place.is_some());
    if !document.logs.is_empty() && from_log.into_iter().any(|read| is_negative(&read.run)) {
        asked.push(Question { log: 0, notice: LogNotice::CurrentSign, answers: vec![Answer::TurnCurrent] });
    }
    asked
}
