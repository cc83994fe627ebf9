//! `check` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::notice::Notice;
use wakewright_core::practice::Finding;

use super::text::{check_sentence, usual_text};
use crate::text::Paper;
use crate::view::{Envelope, FORMAT_VERSION, NoticeView};

/// The document and the boat held against common practice.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CheckView {
    /// True when the document has no faults.
    pub document_is_sound: bool,
    /// Faults and doubts of the document.
    pub faults: Vec<FaultView>,
    /// One for each rule of practice.
    pub practice: Vec<PracticeView>,
}

/// A fault or doubt of the document.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FaultView {
    /// `error` or `doubt`.
    pub severity: &'static str,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
    /// Field.
    pub field: String,
    /// What is wrong.
    pub problem: String,
    /// What to do.
    pub advice: String,
}

/// A rule of practice, applied.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PracticeView {
    /// What is looked at.
    pub topic: &'static str,
    /// `usual`, `unusual`, `duty` or `forbidden`.
    pub standing: &'static str,
    /// Value with its unit.
    pub value: String,
    /// What is usual, with its unit.
    pub usual: String,
    /// What it means when outside.
    pub meaning: &'static str,
    /// Key of the source, or `common practice, no source`.
    pub source: &'static str,
}

/// The view; `findings` is empty when the document has faults.
#[must_use]
pub fn check_view(
    name: &str,
    faults: Vec<FaultView>,
    findings: &[Finding],
    notices: &[Notice],
    paper: &Paper,
) -> Envelope<CheckView> {
    let is_sound = faults.iter().all(|fault| fault.severity == "doubt");
    let practice = findings
        .iter()
        .map(|f| PracticeView {
            topic: f.topic,
            standing: f.standing.key(),
            value: paper.quantity(f.value, f.quantity),
            usual: usual_text(f, paper),
            meaning: f.meaning,
            source: f.source,
        })
        .collect();
    let errors = faults.iter().filter(|fault| fault.severity == "error").count();
    let finding = if is_sound {
        check_sentence(name, findings, faults.len())
    } else {
        format!("The document of {name} has {errors} fault{}.", if errors == 1 { "" } else { "s" })
    };
    Envelope {
        format: "wakewright/check".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding,
        further: String::new(),
        result: CheckView { document_is_sound: is_sound, faults, practice },
        notices: notices.iter().map(NoticeView::of).collect(),
    }
}
