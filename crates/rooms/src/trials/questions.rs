//! What is asked about the logs of a trial, and what can be answered. Not for: what an answer does.

use std::sync::Arc;

use wakewright_core::boat::Boat;
use wakewright_core::causes::{bank_window_v, is_of_other_bank};
use wakewright_core::trial::{LogRemark, Run, sailed_text};
use wakewright_logs::trial::{TrialDocument, TrialReading};
use wakewright_logs::{Log, LogNotice, Measured, TimeBase, channel_key, suggest_shifts};

use crate::logs::{Opened, remark};
use crate::text::Paper;

/// A question about a log.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Which log.
    pub log: usize,
    /// What is asked.
    pub notice: LogNotice,
    /// Three values as they stand in the file; none for a remark of another kind.
    pub values: Vec<String>,
    /// What can be done about it.
    pub answers: Vec<Answer>,
}

impl Question {
    /// As a remark, with what is typed for each answer.
    #[must_use]
    pub fn remark(&self, paper: &Paper) -> LogRemark {
        let mut said = remark(&self.notice, paper);
        if !self.values.is_empty() {
            said.text += &format!(" It holds {}.", self.values.join(", "));
        }
        for answer in &self.answers {
            match answer {
                Answer::Choose { key, word, label, gives } => {
                    said.text += &format!(" \"answer={key}={word}\": {label}, {gives}.");
                }
                Answer::LeaveOut(key) => {
                    // Another log may have a channel of this name.
                    let of = match self.notice {
                        LogNotice::LogsDisagree { .. } => format!("{}:", self.log + 1),
                        _ => String::new(),
                    };
                    said.text += &format!(" \"left_out={of}{key}\" leaves it out.");
                }
                Answer::Shift(seconds) => {
                    said.text += &format!(" \"shift={}:{seconds} s\" says so.", self.log + 1);
                }
                Answer::TurnCurrent => said.text += " turned=yes says so.",
                Answer::AddPacks => said.text += " beside=yes adds their amps, series=yes their volts.",
                Answer::ClockAhead(_) => {}
            }
        }
        said
    }
}

/// What can be done about a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// Leave this channel out.
    LeaveOut(String),
    /// Turn the sign of the current, or turn it back.
    TurnCurrent,
    /// Add the amps of logs of packs side by side, or the volts of packs in series.
    AddPacks,
    /// The clock of the log is ahead of UTC by so many seconds.
    ClockAhead(i32),
    /// Add so many seconds to the clock of the log.
    Shift(i32),
    /// One of the choices of a question that reading the log left open.
    Choose {
        /// Key of the question.
        key: String,
        /// Word of the choice.
        word: String,
        /// In words.
        label: String,
        /// What follows from it.
        gives: String,
    },
}

/// The choices of an open question with this text, and the values beside it.
fn choices(opened: &Opened, text: &str) -> (Vec<Answer>, Vec<String>) {
    let Some(question) = opened.questions.iter().find(|question| question.text == text) else {
        return Default::default();
    };
    let choices = question.choices.iter().map(|choice| Answer::Choose {
        key: question.key.clone(),
        word: choice.word.clone(),
        label: choice.label.clone(),
        gives: choice.gives.clone(),
    });
    (choices.collect(), question.values.clone())
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
            let mut values = Vec::new();
            let answers: Vec<Answer> = match notice {
                LogNotice::Question(text) => {
                    let (answers, shown) = opened.as_ref().map(|o| choices(o, text)).unwrap_or_default();
                    values = shown;
                    answers
                }
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
                asked.push(Question { log, notice: notice.clone(), values, answers });
            }
        }
    }
    let is_asked_already = asked.iter().any(|question| {
        question.answers.iter().any(|answer| matches!(answer, Answer::Choose { key, .. } if key == "sign"))
    });
    asked.extend(shifts(document, opened));
    asked.extend(reading.apart.iter().map(|apart| {
        let out = apart.leave_out.last();
        Question {
            log: out.map_or(apart.log, |(log, _)| *log),
            notice: apart.notice.clone(),
            values: Vec::new(),
            answers: (apart.may_be_packs.then_some(Answer::AddPacks).into_iter())
                .chain(out.map(|(_, key)| Answer::LeaveOut(key.clone())))
                .collect(),
        }
    }));
    if let Some(text) = sailed_text(&reading.used()) {
        let notice = LogNotice::LeftOut(text);
        asked.push(Question { log: 0, notice, values: Vec::new(), answers: Vec::new() });
    }
    let is_negative = |run: &Run| !run.is_sailed && run.current_a.is_some_and(|amps| amps < 0.0);
    let from_log = reading.runs.iter().filter(|run| run.place.is_some());
    if !is_asked_already
        && !document.logs.is_empty()
        && from_log.into_iter().any(|read| is_negative(&read.run))
    {
        asked.push(Question {
            log: 0,
            notice: LogNotice::CurrentSign,
            values: Vec::new(),
            answers: vec![Answer::TurnCurrent],
        });
    }
    asked
}

/// Volts of her logs that her bank cannot have, by her document.
#[must_use]
pub fn other_bank(logs: &[Option<Arc<Opened>>], boat: &Boat) -> Vec<Question> {
    let asked = logs.iter().enumerate().filter_map(|(log, opened)| {
        let read = opened.as_ref()?.log.as_ref().ok()?;
        let mut volts = read.of(Measured::Voltage).max_by_key(|c| c.count)?.values.clone();
        volts.sort_unstable_by(f64::total_cmp);
        let last = volts.len().checked_sub(1)?;
        let (few, many) = (volts[last / 10], volts[last - last / 10]);
        if ![few, many].iter().any(|volts| is_of_other_bank(*volts, boat)) {
            return None;
        }
        let (low, high) = bank_window_v(boat);
        let text = format!(
            "The volts of log {} ({few:.1} to {many:.1} V) are not those of her bank, which has {low:.1} to {high:.1} V by her document: another \
             battery's, another unit, or amps? No power that is reckoned with them is hers.",
            log + 1
        );
        let key = read.of(Measured::Voltage).max_by_key(|c| c.count)?.key();
        Some(Question { log, notice: LogNotice::Question(text), values: Vec::new(), answers: vec![Answer::LeaveOut(key)] })
    });
    asked.collect()
}

/// Clocks that lie whole quarters of an hour apart, as in two zones, while nobody has shifted one.
fn shifts(document: &TrialDocument, opened: &[Option<Arc<Opened>>]) -> Vec<Question> {
    if document.logs.iter().any(|used| !used.shift.trim().is_empty()) {
        return Vec::new();
    }
    let read = opened
        .iter()
        .enumerate()
        .filter_map(|(number, opened)| Some((number, opened.as_ref()?.log.as_ref().ok()?)));
    let (numbers, logs): (Vec<usize>, Vec<&Log>) = read.unzip();
    let apart = suggest_shifts(&logs).into_iter().map(|apart| Question {
        log: numbers[apart.log],
        notice: LogNotice::Question(apart.text()),
        values: Vec::new(),
        answers: vec![Answer::Shift(apart.shift_s as i32)],
    });
    apart.collect()
}
