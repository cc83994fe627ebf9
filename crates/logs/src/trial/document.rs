//! What a trial document holds, and its JSON form. Not for: reading figures out of it.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::conditions::Condition;
use super::written::{Correction, LogUse, Meter, RunMark, Written};
use crate::NotebookRow;

/// Name of the format.
const FORMAT: &str = "wakewright/trial";
/// Version of the format.
const VERSION: u32 = 1;

/// Why a text is no trial document.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TrialDocumentError {
    /// No JSON of this shape.
    #[error("this is no trial: {0}. A trial is what `wakewright trial show --json` or the page wrote.")]
    Shape(#[from] serde_json::Error),
    /// JSON of something else.
    #[error("this is {0:?}, not a trial ({FORMAT:?})")]
    Other(String),
    /// Newer than this program.
    #[error("this trial has version {0}; this program knows up to {VERSION}. Use the newer program.")]
    Newer(u32),
}

/// An afternoon on the water.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TrialDocument {
    format: String,
    version: u32,
    /// The day, `2026-05-02`.
    #[serde(default)]
    pub date: String,
    /// What it is called: "after the work".
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub title: String,
    /// What was done since the trial before: "scrubbed, new anode".
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub done: String,
    /// Anything.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// What it was like, by the words of [`Condition`]; others are kept and named.
    #[serde(default, skip_serializing_if = "Written::is_empty")]
    pub conditions: Written,
    /// Runs written down by hand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notebook: Vec<NotebookRow>,
    /// Logs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub logs: Vec<LogUse>,
    /// The meter.
    #[serde(default)]
    pub meter: Meter,
    /// Shortest run to be found in the logs, as typed; a minute when empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub least_run: String,
    /// The throttle was not touched between opposite runs of which no setting is known.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_throttle_held: bool,
    /// Runs set by hand; without them those that are found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub marks: Option<Vec<RunMark>>,
    /// Corrections that are switched on.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub corrections: BTreeSet<Correction>,
    /// Fields into which a number of two readings was typed: kept as typed, and not used until it is
    /// written for certain. A document of before there were any keeps its values.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub(super) unsettled: BTreeSet<String>,
}

impl Default for TrialDocument {
    fn default() -> Self {
        Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            date: String::new(),
            title: String::new(),
            done: String::new(),
            note: String::new(),
            conditions: Written::new(),
            notebook: Vec::new(),
            logs: Vec::new(),
            meter: Meter::default(),
            least_run: String::new(),
            is_throttle_held: false,
            marks: None,
            corrections: BTreeSet::new(),
            unsettled: BTreeSet::new(),
        }
    }
}

impl TrialDocument {
    /// A trial that is called `title`, with nothing in it yet.
    #[must_use]
    pub fn titled(title: &str) -> Self {
        Self { title: title.trim().to_owned(), ..Self::default() }
    }

    /// From its JSON form.
    ///
    /// # Errors
    /// [`TrialDocumentError`].
    pub fn from_json(text: &str) -> Result<Self, TrialDocumentError> {
        let document: Self = serde_json::from_str(text)?;
        if document.format != FORMAT {
            return Err(TrialDocumentError::Other(document.format));
        }
        if document.version > VERSION {
            return Err(TrialDocumentError::Newer(document.version));
        }
        Ok(document)
    }

    /// As JSON, to be kept or carried away.
    #[must_use]
    pub fn to_json(&self) -> String {
        serde_json::to_string_pretty(self).unwrap_or_default() + "\n"
    }

    /// What it is called on a list.
    #[must_use]
    pub fn label(&self) -> String {
        match (self.date.trim(), self.title.trim()) {
            ("", "") => "trial without a date".to_owned(),
            ("", title) => title.to_owned(),
            (date, "") => format!("trial of {date}"),
            (date, title) => format!("{title}, {date}"),
        }
    }

    /// Sets a condition; an empty text takes it away.
    pub fn set_condition(&mut self, condition: Condition, text: &str) {
        if text.trim().is_empty() {
            self.conditions.remove(condition.word());
        } else {
            self.conditions.insert(condition.word().to_owned(), text.to_owned());
        }
    }

    /// The log with this digest.
    pub fn log_mut(&mut self, digest: &str) -> Option<&mut LogUse> {
        self.logs.iter_mut().find(|log| log.digest == digest)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_comes_back_as_typed() {
        let mut document = TrialDocument { date: "2026-05-02".to_owned(), ..TrialDocument::default() };
        document.set_condition(Condition::Wind, "about force 3?");
        document.notebook.push(NotebookRow { rpm: "7oo".to_owned(), ..NotebookRow::default() });
        document.marks = Some(vec![RunMark { from: "14:05".to_owned(), ..RunMark::default() }]);
        document.corrections.insert(Correction::Waves);
        assert_eq!(TrialDocument::from_json(&document.to_json()).unwrap(), document);
    }

    #[test]
    fn other_files_are_refused_by_name() {
        let text = TrialDocument::default().to_json();
        let newer = TrialDocument::from_json(&text.replace("\"version\": 1", "\"version\": 9"));
        assert!(newer.unwrap_err().to_string().contains("newer program"));
        let other = TrialDocument::from_json(&text.replace(FORMAT, "wakewright/drive"));
        assert!(other.unwrap_err().to_string().contains("not a trial"));
        assert!(TrialDocument::from_json("a = 1").is_err());
    }
}
