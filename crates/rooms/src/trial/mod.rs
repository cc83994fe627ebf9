//! A log as it was read, runs as they were found, with the sentences that say so, and both as answers.
//! Not for: reading logs, finding runs.

mod answer;
mod finding;
mod log_sheets;

pub use answer::{days_block, runs_blocks, trial_answer};
pub use finding::trial_finding;
pub use log_sheets::{LOG_SHEETS, log_answer, logs_json, logs_schema};

use wakewright_core::trial::LogRemark;
use wakewright_units::Quantity;

/// One channel of a log.
#[derive(Debug, Clone, PartialEq)]
pub struct ChannelFacts {
    /// What it measures, for machines.
    pub word: &'static str,
    /// What it measures.
    pub label: &'static str,
    /// Where it comes from.
    pub source: String,
    /// Name of the channel in a trial document.
    pub key: String,
    /// Kind of quantity.
    pub quantity: Quantity,
    /// Samples.
    pub count: u64,
    /// SI; directions have none.
    pub least: Option<f64>,
    /// SI; for directions the mean round the circle; none without samples.
    pub middle: Option<f64>,
    /// SI; directions have none.
    pub greatest: Option<f64>,
    /// Longest time between two samples \[s\]; `None` without a clock.
    pub longest_gap_s: Option<f64>,
}

/// Lines that could not be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadFacts {
    /// For machines.
    pub word: &'static str,
    /// In words.
    pub label: &'static str,
    /// How many.
    pub count: u64,
    /// Numbers of the first few lines.
    pub first_lines: Vec<u64>,
}

/// How the columns of a table were taken.
#[derive(Debug, Clone, PartialEq)]
pub struct TableFacts {
    /// What each column was taken for: name, meaning with unit (empty when it is not used).
    pub columns: Vec<(String, String)>,
    /// The first rows.
    pub preview: Vec<Vec<String>>,
    /// True when the mapping was given, not proposed.
    pub is_confirmed: bool,
}

/// A log that was read, or why it was not.
#[derive(Debug, Clone, PartialEq)]
pub struct LogFacts {
    /// As it was named.
    pub file: String,
    /// What it is.
    pub kind: &'static str,
    /// For machines.
    pub kind_word: &'static str,
    /// Packed with gzip.
    pub is_packed: bool,
    /// Why nothing was read.
    pub failure: Option<String>,
    /// Lines, rows or points.
    pub lines: u64,
    /// Lines that are remarks.
    pub remark_lines: u64,
    /// From when, as it is read.
    pub from: Option<String>,
    /// To when.
    pub to: Option<String>,
    /// `utc`, `time-of-day`, `elapsed` or `none`.
    pub time_base: &'static str,
    /// \[s\].
    pub duration_s: Option<f64>,
    /// By what they measure.
    pub channels: Vec<ChannelFacts>,
    /// Messages by name.
    pub messages: Vec<(String, u64)>,
    /// By kind.
    pub bad: Vec<BadFacts>,
    /// For tables.
    pub table: Option<TableFacts>,
    /// What to read first.
    pub remarks: Vec<LogRemark>,
    /// No question about it is open.
    pub is_understood: bool,
}

impl LogFacts {
    /// The sentence that says what the file is.
    #[must_use]
    pub fn sentence(&self) -> String {
        if let Some(failure) = &self.failure {
            return format!("{} is not read: {failure}.", self.file);
        }
        let when = match (&self.from, &self.to, self.duration_s) {
            (Some(from), Some(to), Some(duration_s)) => {
                format!(" from {from} to {to} ({})", duration_text(duration_s))
            }
            _ => " without times".to_owned(),
        };
        let bad: u64 = self.bad.iter().map(|bad| bad.count).sum();
        let understood = match bad {
            0 if !self.is_understood => "something about it must be asked".to_owned(),
            0 => "all of it understood".to_owned(),
            1 => "one thing in it could not be used".to_owned(),
            n => format!("{n} things in it could not be used"),
        };
        let article = match (self.is_packed, self.kind.starts_with('N')) {
            (true, _) => "a packed",
            (false, true) => "an",
            (false, false) => "a",
        };
        let what = match self.channels.len() {
            0 => "nothing that a trial needs".to_owned(),
            _ => self.main_channels(),
        };
        format!("{} is {article} {}{when} with {what}; {understood}.", self.file, self.kind)
    }

    /// The three or so that matter most for a trial, and how many more.
    fn main_channels(&self) -> String {
        let mut labels: Vec<&str> = Vec::new();
        for channel in &self.channels {
            if !labels.contains(&channel.label) {
                labels.push(channel.label);
            }
        }
        const SHOWN: usize = 4;
        let more = labels.len().saturating_sub(SHOWN);
        let shown = labels[..labels.len() - more].join("; ");
        if more > 0 { format!("{shown}; and {more} more") } else { shown }
    }
}

/// `37 min`, `2 h 05 min`, `45 s`.
#[must_use]
pub fn duration_text(duration_s: f64) -> String {
    let minutes = (duration_s / 60.0).round();
    if duration_s < 120.0 {
        format!("{duration_s:.0} s")
    } else if minutes < 120.0 {
        format!("{minutes:.0} min")
    } else {
        format!("{:.0} h {:02.0} min", (minutes / 60.0).floor(), minutes % 60.0)
    }
}
