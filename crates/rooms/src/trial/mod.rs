//! Facts of a trial that text and JSON share: a log as it was read, runs as they were found, and the
//! sentences that say so. Plain data, filled by the program.
//! Not for: layout.

mod text;
mod view;

pub use text::{conditions_text, import_text, runs_text};
pub use view::{ImportView, KeptTrialView, RunsView, import_view, kept_trial_view, runs_view};

use wakewright_core::notice::Severity;
use wakewright_core::trial::{Run, RunFlag, TrialAnalysis};
use wakewright_units::Quantity;

use crate::text::Paper;

/// A remark on a log, in words.
#[derive(Debug, Clone, PartialEq)]
pub struct LogRemark {
    /// How much it matters.
    pub severity: Severity,
    /// Its name for machines.
    pub word: &'static str,
    /// In words.
    pub text: String,
}

/// One channel of a log.
#[derive(Debug, Clone, PartialEq)]
pub struct ChannelFacts {
    /// What it measures, for machines.
    pub word: &'static str,
    /// What it measures.
    pub label: &'static str,
    /// Where it comes from.
    pub source: String,
    /// Kind of quantity.
    pub quantity: Quantity,
    /// True for directions, which have no least and greatest.
    pub is_circular: bool,
    /// Samples.
    pub count: u64,
    /// SI.
    pub least: f64,
    /// SI; for directions the mean round the circle.
    pub middle: f64,
    /// SI.
    pub greatest: f64,
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

/// A steady run, numbered.
#[derive(Debug, Clone, PartialEq)]
pub struct RunFacts {
    /// From when.
    pub from: String,
    /// Means.
    pub run: Run,
    /// Shallow enough to slow her.
    pub is_shallow: bool,
    /// Shorter than a run should be.
    pub is_short: bool,
}

/// The runs of a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialFacts {
    /// Files, in the order given.
    pub files: Vec<String>,
    /// In order of time.
    pub runs: Vec<RunFacts>,
    /// The stream taken out.
    pub analysis: TrialAnalysis,
    /// What to read first.
    pub remarks: Vec<LogRemark>,
}

impl TrialFacts {
    /// The sentence that says what was found.
    #[must_use]
    pub fn sentence(&self, paper: &Paper) -> String {
        let count = |n: usize, one: &str, many: &str| match n {
            0 => format!("No {many}"),
            1 => format!("One {one}"),
            n => format!("{n} {many}"),
        };
        let runs = count(self.runs.len(), "steady run", "steady runs");
        let pairs = &self.analysis.pairs;
        if self.runs.is_empty() {
            return format!("{runs} found: nowhere do setting, speed and course hold long enough.");
        }
        let Some(fastest) = pairs
            .iter()
            .max_by(|a, b| a.estimate.speed_through_water_m_s.total_cmp(&b.estimate.speed_through_water_m_s))
        else {
            return format!("{runs} found, none of them an opposite pair: the stream cannot be taken out.");
        };
        let at = fastest
            .turning_rev_s
            .map(|n| format!(" at {}", paper.quantity(n, Quantity::RotationalSpeed)))
            .unwrap_or_default();
        format!(
            "{runs} and {} found; the fastest pair made {} through the water{at}, in a stream of {}.",
            count(pairs.len(), "opposite pair", "opposite pairs").to_lowercase(),
            paper.decimals(fastest.estimate.speed_through_water_m_s, Quantity::Speed, 2),
            paper.decimals(fastest.estimate.stream_along_m_s.abs(), Quantity::Speed, 2),
        )
    }

    /// How sure, and what comes next.
    #[must_use]
    pub fn further(&self) -> String {
        let pairs = self.analysis.pairs.len();
        if self.runs.is_empty() {
            return "Hold throttle and course for three minutes at least; a shorter least time can be asked for."
                .to_owned();
        }
        if pairs == 0 {
            return "Make each run again on the opposite course at the same shaft speed.".to_owned();
        }
        match &self.analysis.iterative {
            Some(Ok(solution)) if !solution.is_constant_stream => {
                "Enough double runs for a stream that changes with the tide.".to_owned()
            }
            _ => "With four double runs at different settings a stream that changes can be taken out too."
                .to_owned(),
        }
    }
}

/// One thing that the day did to a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayPart {
    /// `wind`, `waves`, `displacement` or `water`.
    pub word: &'static str,
    /// Power that it added \[W\]; `None` where it is not known.
    pub watts: Option<f64>,
    /// True where it is taken off.
    pub is_taken_off: bool,
}

/// What the day did to a run.
#[derive(Debug, Clone, PartialEq)]
pub struct DayFacts {
    /// Number of the run.
    pub run: usize,
    /// Power as measured \[W\].
    pub measured_w: Option<f64>,
    /// What the day added.
    pub parts: [DayPart; 4],
    /// Power with what is switched on taken off \[W\].
    pub stated_w: Option<f64>,
    /// What to say of the run.
    pub flags: Vec<RunFlag>,
}

/// A flag in words.
#[must_use]
pub fn flag_words(flag: RunFlag) -> &'static str {
    match flag {
        RunFlag::Shallow => "shallow enough to slow her; not used for causes",
        RunFlag::WavesTooHigh => "waves higher than the formula covers; not corrected for them",
        RunFlag::LargeCorrection => "the day changed her power by more than a tenth; weaker than a calm day",
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
