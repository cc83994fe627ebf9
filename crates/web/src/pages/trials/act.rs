//! What the buttons of a trial's form do, each by the words that the button sends. Not for: doing it.

/// What a button asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Act {
    /// Keep what is typed.
    Keep,
    /// A card for the next run, the other way.
    Next,
    /// An empty card.
    Blank,
    /// Take the rows of the table that was pasted.
    Paste,
    /// Empty the card of this row.
    Clear(usize),
    /// Do not believe a channel of this log, by its key.
    LeaveOut(usize, String),
    /// The other sign of the current.
    Turn,
    /// The logs are of packs side by side, or not.
    Beside,
    /// The logs are of packs in series, or not.
    Series,
    /// The throttle was not touched between opposite runs, or that is taken back.
    HoldThrottle,
    /// The clock of this log is so many seconds ahead of UTC.
    Ahead(usize, i32),
    /// The answer `key=word` to a question about this log.
    Answer(usize, String),
    /// Add so many seconds to the clock of this log.
    Shift(usize, i32),
    /// Take the columns of this log as they stand.
    Map(usize),
    /// Take the runs as they were found.
    SetRuns,
    /// Find the runs anew.
    FindRuns,
    /// Take this log off the trial.
    RemoveLog(usize),
}

const KEEP: &str = "check";
const NEXT: &str = "next";
const BLANK: &str = "blank";
const PASTE: &str = "paste";
const CLEAR: &str = "clear";
const LEAVE_OUT: &str = "leave-out";
const TURN: &str = "turn";
const BESIDE: &str = "beside";
const SERIES: &str = "series";
const HOLD: &str = "hold-throttle";
const AHEAD: &str = "ahead";
const ANSWER: &str = "answer";
const SHIFT: &str = "shift";
const MAP: &str = "map";
const SET_RUNS: &str = "set-runs";
const FIND_RUNS: &str = "find-runs";
const REMOVE_LOG: &str = "remove-log";

impl Act {
    /// What its button sends.
    #[must_use]
    pub fn value(&self) -> String {
        match self {
            Self::Keep => KEEP.to_owned(),
            Self::Next => NEXT.to_owned(),
            Self::Blank => BLANK.to_owned(),
            Self::Paste => PASTE.to_owned(),
            Self::Clear(row) => format!("{CLEAR}:{row}"),
            Self::LeaveOut(log, key) => format!("{LEAVE_OUT}:{log}:{key}"),
            Self::Turn => TURN.to_owned(),
            Self::Beside => BESIDE.to_owned(),
            Self::Series => SERIES.to_owned(),
            Self::HoldThrottle => HOLD.to_owned(),
            Self::Ahead(log, seconds) => format!("{AHEAD}:{log}:{seconds}"),
            Self::Answer(log, answer) => format!("{ANSWER}:{log}:{answer}"),
            Self::Shift(log, seconds) => format!("{SHIFT}:{log}:{seconds}"),
            Self::Map(log) => format!("{MAP}:{log}"),
            Self::SetRuns => SET_RUNS.to_owned(),
            Self::FindRuns => FIND_RUNS.to_owned(),
            Self::RemoveLog(log) => format!("{REMOVE_LOG}:{log}"),
        }
    }

    /// What was asked for; none where no button sends that.
    #[must_use]
    pub fn of_value(value: &str) -> Option<Self> {
        let (word, rest) = value.split_once(':').unwrap_or((value, ""));
        let number = |text: &str| text.parse::<usize>().ok();
        let of_log = |rest: &str| {
            let (log, rest) = rest.split_once(':')?;
            Some((log.parse::<usize>().ok()?, rest.to_owned()))
        };
        let seconds =
            |rest: &str| of_log(rest).and_then(|(log, text)| Some((log, text.parse::<i32>().ok()?)));
        match word {
            KEEP => Some(Self::Keep),
            NEXT => Some(Self::Next),
            BLANK => Some(Self::Blank),
            PASTE => Some(Self::Paste),
            CLEAR => number(rest).map(Self::Clear),
            LEAVE_OUT => of_log(rest).map(|(log, key)| Self::LeaveOut(log, key)),
            TURN => Some(Self::Turn),
            BESIDE => Some(Self::Beside),
            SERIES => Some(Self::Series),
            HOLD => Some(Self::HoldThrottle),
            AHEAD => seconds(rest).map(|(log, seconds)| Self::Ahead(log, seconds)),
            ANSWER => of_log(rest).map(|(log, answer)| Self::Answer(log, answer)),
            SHIFT => seconds(rest).map(|(log, seconds)| Self::Shift(log, seconds)),
            MAP => number(rest).map(Self::Map),
            SET_RUNS => Some(Self::SetRuns),
            FIND_RUNS => Some(Self::FindRuns),
            REMOVE_LOG => number(rest).map(Self::RemoveLog),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_button_sends_is_what_was_meant() {
        let acts = [
            Act::Keep,
            Act::HoldThrottle,
            Act::Clear(3),
            Act::LeaveOut(1, "current/column 3".to_owned()),
            Act::Ahead(0, -3600),
            Act::Answer(0, "sign:u=turned".to_owned()),
            Act::Shift(2, 20),
            Act::RemoveLog(0),
        ];
        for act in acts {
            assert_eq!(Act::of_value(&act.value()), Some(act));
        }
        for odd in ["", "clear", "clear:x", "shift:1", "shift:1:soon", "delete:1"] {
            assert_eq!(Act::of_value(odd), None, "{odd}");
        }
    }
}
