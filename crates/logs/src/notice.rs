//! What to read before the figures of a log are used; each is worded here and nowhere else.
//! Not for: lines that cannot be used (`BadKind`).

use wakewright_core::notice::Severity;

use super::bad::BadLines;
use super::log::Source;
use super::measured::Measured;

/// A remark on a log. All ask; none changes a value.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum LogNotice {
    /// No clock anywhere.
    NoClock,
    /// Times of day without a date.
    NoDate,
    /// Seconds from some start.
    ElapsedOnly,
    /// The clock goes back.
    ClockGoesBack(BadLines),
    /// The clock leaps forward by more than five minutes.
    ClockLeaps(BadLines),
    /// Samples before the first clock reading.
    BeforeTheClock {
        /// Left out.
        samples: usize,
    },
    /// More samples than are kept.
    Thinned {
        /// One of so many is kept.
        by: u32,
    },
    /// The sensor shows one value for long while others move.
    Frozen {
        /// What.
        measured: Measured,
        /// From where.
        source: Source,
        /// Longest stretch \[s\].
        duration_s: f64,
        /// The value, SI.
        value: f64,
        /// True when it never showed anything else.
        is_throughout: bool,
    },
    /// Amps, but neither volts nor watts.
    AmpsWithoutVolts,
    /// Values outside what such a boat meets.
    Implausible {
        /// What.
        measured: Measured,
        /// From where.
        source: Source,
        /// How many.
        count: usize,
        /// The worst, SI.
        worst: f64,
    },
    /// Two speeds differ by the factor between two units.
    UnitsDoubtful {
        /// One speed.
        measured: Measured,
        /// Its ratio to the speed over ground.
        ratio: f64,
        /// What such a ratio would come from.
        guess: &'static str,
    },
    /// Two sources of one quantity disagree.
    Disagree {
        /// What.
        measured: Measured,
        /// One source.
        first: Source,
        /// The other.
        second: Source,
        /// Median difference, SI.
        difference: f64,
    },
    /// Two logs that speak at once disagree: number, source and middle of each, SI.
    LogsDisagree {
        /// What.
        measured: Measured,
        /// The one that is used.
        used: (usize, Source, f64),
        /// The other.
        unused: (usize, Source, f64),
    },
    /// Values that are written in coarse steps, SI.
    Coarse {
        /// What.
        measured: Measured,
        /// From where.
        source: Source,
        /// Its step, SI.
        step: f64,
    },
    /// The current is negative while she drives.
    CurrentSign,
    /// The times of a table carry no zone.
    NoZone,
    /// Values that share a time: spread over the step between times \[s\], or all of one time.
    SharedStamps {
        /// How many, of the fullest channel.
        values: usize,
        /// The step, `None` where all stand at one time.
        every_s: Option<f64>,
    },
    /// Points without times.
    PointsWithoutTime {
        /// How many.
        points: u64,
    },
    /// What must be told about a table's columns.
    Question(String),
    /// No sentence carries a checksum.
    NoChecksums,
    /// Columns or sources that were left out, with the reason.
    LeftOut(String),
}

impl LogNotice {
    /// How much it matters.
    #[must_use]
    pub fn severity(&self) -> Severity {
        match self {
            Self::Thinned { .. }
            | Self::BeforeTheClock { .. }
            | Self::NoDate
            | Self::ElapsedOnly
            | Self::LeftOut(_) => Severity::Note,
            _ => Severity::Weak,
        }
    }

    /// For machines.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::NoClock => "no-clock",
            Self::NoDate => "no-date",
            Self::ElapsedOnly => "elapsed-only",
            Self::ClockGoesBack(_) => "clock-goes-back",
            Self::ClockLeaps(_) => "clock-leaps",
            Self::BeforeTheClock { .. } => "before-the-clock",
            Self::Thinned { .. } => "thinned",
            Self::Frozen { .. } => "frozen",
            Self::AmpsWithoutVolts => "amps-without-volts",
            Self::Implausible { .. } => "implausible",
            Self::UnitsDoubtful { .. } => "units-doubtful",
            Self::Disagree { .. } => "disagree",
            Self::LogsDisagree { .. } => "logs-disagree",
            Self::Coarse { .. } => "coarse",
            Self::CurrentSign => "current-sign",
            Self::NoZone => "no-zone",
            Self::SharedStamps { .. } => "shared-stamps",
            Self::PointsWithoutTime { .. } => "points-without-time",
            Self::Question(_) => "question",
            Self::NoChecksums => "no-checksums",
            Self::LeftOut(_) => "left-out",
        }
    }

    /// One or two sentences. `write` gives an SI value with the reader's unit.
    #[must_use]
    pub fn text(&self, write: &dyn Fn(f64, Measured) -> String) -> String {
        match self {
            Self::NoClock => "The log has no clock: only the order is known. It cannot be joined with other logs, \
                 and no runs are found in it."
                .to_owned(),
            Self::NoDate => "The log gives times of day but no date. Say which day it was.".to_owned(),
            Self::ElapsedOnly => {
                "The times count from some start. Say when that was, to join this log with others.".to_owned()
            }
            Self::ClockGoesBack(lines) => format!(
                "The clock goes back {} ({}). Which times hold?",
                times(lines.count),
                line_list(lines)
            ),
            Self::ClockLeaps(lines) => format!(
                "The clock leaps by more than five minutes {} ({}): a break, or a clock that was set?",
                times(lines.count),
                line_list(lines)
            ),
            Self::BeforeTheClock { samples } => {
                format!("{samples} samples came before the clock was known and are left out.")
            }
            Self::Thinned { by } => {
                format!("The log is longer than what is kept in memory: one sample of {by} is kept.")
            }
            Self::Frozen { measured, source, duration_s, value, is_throughout } => {
                let how_long = if *is_throughout {
                    "throughout".to_owned()
                } else {
                    format!("for {:.0} min", duration_s / 60.0)
                };
                format!(
                    "{} ({source}) stands at {} {how_long} while the boat moves: does the sensor work?",
                    capital(measured.label()),
                    write(*value, *measured),
                )
            }
            Self::AmpsWithoutVolts => "There are amps but no volts. Amps without volts are not watts: at what voltage, under \
                 load, were they measured?"
                .to_owned(),
            Self::Implausible { measured, source, count, worst } => format!(
                "{} ({source}): {count} value{} as odd as {}. Right unit, right sensor?",
                capital(measured.label()),
                if *count == 1 { "" } else { "s" },
                write(*worst, *measured),
            ),
            Self::UnitsDoubtful { measured, ratio, guess } => format!(
                "{} is {ratio:.2} times the speed over ground throughout, as it would be with {guess}. Which unit is it in?",
                capital(measured.label()),
            ),
            Self::Disagree { measured, first, second, difference } => format!(
                "{}: {first} and {second} differ by {} in the middle. Which one holds?",
                capital(measured.label()),
                write(*difference, *measured),
            ),
            Self::LogsDisagree { measured, used, unused } => format!(
                "{}: where both speak log {} ({}) says {} and log {} ({}) {}; log {} is used. Which one holds?",
                capital(measured.label()),
                used.0 + 1,
                used.1,
                write(used.2, *measured),
                unused.0 + 1,
                unused.1,
                write(unused.2, *measured),
                used.0 + 1,
            ),
            Self::Coarse { measured, source, step } => format!(
                "{} ({source}) is written in steps of {}: a mean may be off by half of one.",
                capital(measured.label()),
                write(*step, *measured),
            ),
            Self::CurrentSign => "The current is negative while the boat is driven: here out of the bank seems to be written as \
                 negative. Say so, and the sign is turned."
                .to_owned(),
            Self::NoZone => "The times carry no zone and are taken as UTC. Say how many hours they are off.".to_owned(),
            Self::SharedStamps { values, every_s: Some(every_s) } => format!(
                "The times go in steps of {every_s:.0} s, and several of {values} values share each: they are spread evenly over \
                 the step. Seconds in the times would tell more."
            ),
            Self::SharedStamps { values, every_s: None } => format!(
                "All {values} values share one time: no run can be found. Did a spreadsheet round the times? Show that column \
                 with all its digits and save it again."
            ),
            Self::PointsWithoutTime { points } => {
                format!("{points} points have no time: they show the way, not the speed.")
            }
            Self::NoChecksums => "No sentence carries a checksum: all are read, and a letter that was lost on the way would not show."
                .to_owned(),
            Self::Question(text) | Self::LeftOut(text) => text.clone(),
        }
    }
}

fn times(count: u64) -> String {
    if count == 1 { "once".to_owned() } else { format!("{count} times") }
}

/// `line 12`, `lines 3, 9, 40 and more`.
#[must_use]
pub(super) fn line_list(lines: &BadLines) -> String {
    let numbers: Vec<String> = lines.first.iter().map(u64::to_string).collect();
    let more = if lines.count > lines.first.len() as u64 { " and more" } else { "" };
    format!(
        "line{} {}{more}",
        if numbers.len() == 1 && more.is_empty() { "" } else { "s" },
        numbers.join(", ")
    )
}

pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().collect::<String>() + chars.as_str())
}
