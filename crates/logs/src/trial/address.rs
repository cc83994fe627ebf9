//! The fields of a trial document by name: what there is, and one word for each, by which forms, faults and
//! commands speak of it. Not for: what stands in them (`edit`).

use super::conditions::Condition;
use super::written::Correction;
use crate::NotebookCell;

/// Rows of a notebook, and runs set by hand; no afternoon has more.
const MOST_ROWS: usize = 500;

const NOTEBOOK: &str = "notebook";
const LOGS: &str = "logs";
const MARKS: &str = "marks";
const CORRECT: &str = "correct";
const SHIFT: &str = "shift";
const LEFT_OUT: &str = "left_out";

worded! {
    /// A part of a run that is set by hand.
    MarkPart {
        From = "from", "From when.";
        To = "to", "To when.";
        Full = "full", "Whether the throttle was fully open.";
        Dropped = "dropped", "Whether it was looked at and dropped.";
    }
}

/// A field of a trial document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TrialAddress {
    /// The day.
    Date,
    /// What it is called.
    Title,
    /// What was done since the trial before.
    Done,
    /// Anything.
    Note,
    /// The shortest run that is found.
    LeastRun,
    /// What the meter shows with no current.
    MeterZero,
    /// Loads that are not the drive.
    MeterHouse,
    /// Whether current out of the bank is written as negative.
    MeterTurned,
    /// Whether its sign is never turned.
    MeterAsWritten,
    /// Whether its logs are of packs side by side.
    MeterBeside,
    /// Whether its logs are of packs in series.
    MeterSeries,
    /// Whether the throttle was not touched between opposite runs without a known setting.
    ThrottleHeld,
    /// What it was like.
    Condition(Condition),
    /// A correction.
    Correct(Correction),
    /// A cell of a row of the notebook.
    Cell(usize, NotebookCell),
    /// The logs together; nothing is typed there.
    Logs,
    /// How far the clock of a log is shifted.
    Shift(usize),
    /// Whether a channel of a log, by its key, is not believed.
    LeftOut(usize, String),
    /// A run that is set by hand; what is typed stands in its parts.
    Mark(usize),
    /// A part of it.
    MarkPart(usize, MarkPart),
}

impl TrialAddress {
    /// Those that are there once, conditions and corrections apart.
    const SINGLE: [Self; 13] = [
        Self::Date,
        Self::Title,
        Self::Done,
        Self::Note,
        Self::LeastRun,
        Self::MeterZero,
        Self::MeterHouse,
        Self::MeterTurned,
        Self::MeterAsWritten,
        Self::MeterBeside,
        Self::MeterSeries,
        Self::ThrottleHeld,
        Self::Logs,
    ];

    /// Its name.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Date => "date".to_owned(),
            Self::Title => "title".to_owned(),
            Self::Done => "done".to_owned(),
            Self::Note => "note".to_owned(),
            Self::LeastRun => "least_run".to_owned(),
            Self::MeterZero => "meter.zero".to_owned(),
            Self::MeterHouse => "meter.house".to_owned(),
            Self::MeterTurned => "meter.turned".to_owned(),
            Self::MeterAsWritten => "meter.as_written".to_owned(),
            Self::MeterBeside => "meter.beside".to_owned(),
            Self::MeterSeries => "meter.series".to_owned(),
            Self::ThrottleHeld => "throttle_held".to_owned(),
            Self::Logs => LOGS.to_owned(),
            Self::Condition(condition) => condition.word().to_owned(),
            Self::Correct(correction) => format!("{CORRECT}.{}", correction.word()),
            Self::Cell(row, cell) => format!("{NOTEBOOK}.{row}.{}", cell.word()),
            Self::Shift(log) => format!("{LOGS}.{log}.{SHIFT}"),
            Self::LeftOut(log, key) => format!("{LOGS}.{log}.{LEFT_OUT}.{key}"),
            Self::Mark(mark) => format!("{MARKS}.{mark}"),
            Self::MarkPart(mark, part) => format!("{MARKS}.{mark}.{}", part.word()),
        }
    }

    /// The field of this name; none where there is no such.
    #[must_use]
    pub fn of_name(name: &str) -> Option<Self> {
        let single = Self::SINGLE.into_iter().find(|address| address.name() == name);
        if let Some(found) = single.or_else(|| Condition::of_word(name).map(Self::Condition)) {
            return Some(found);
        }
        let (part, rest) = name.split_once('.')?;
        if part == CORRECT {
            return Correction::of_word(rest).map(Self::Correct);
        }
        let (number, field) =
            rest.split_once('.').map_or((rest, None), |(number, field)| (number, Some(field)));
        let number: usize = number.parse().ok().filter(|number| *number < MOST_ROWS)?;
        match (part, field) {
            (NOTEBOOK, Some(cell)) => NotebookCell::of_word(cell).map(|cell| Self::Cell(number, cell)),
            (LOGS, Some(SHIFT)) => Some(Self::Shift(number)),
            (LOGS, Some(field)) => match field.split_once('.') {
                Some((LEFT_OUT, key)) => Some(Self::LeftOut(number, key.to_owned())),
                _ => None,
            },
            (MARKS, None) => Some(Self::Mark(number)),
            (MARKS, Some(part)) => MarkPart::of_word(part).map(|part| Self::MarkPart(number, part)),
            _ => None,
        }
    }

    /// Whether it belongs to a run that is set by hand.
    #[must_use]
    pub fn is_of_mark(&self) -> bool {
        matches!(self, Self::Mark(_) | Self::MarkPart(..))
    }
}
