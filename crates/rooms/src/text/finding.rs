//! A finding and the remarks that travel with it, as text.

use wakewright_core::notice::{Notice, Severity};

use super::paper::{Ink, Paper};

/// A finding in words: the opening sentence, and what goes with it in one or two more.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Finding {
    /// What was found.
    pub sentence: String,
    /// The words of the sentence that name what binds, for emphasis.
    pub binding: String,
    /// The figure of the sentence that is set apart.
    pub figure: String,
    /// How sure, and what comes next.
    pub further: String,
    /// What would end what binds, where it was sought.
    pub remedy: Option<Remedy>,
}

/// What would end what binds.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Remedy {
    /// In words, with its gain and band; that there is none, too.
    pub words: String,
    /// What is tried for it, `address=value`; empty when there is none.
    pub sets: Vec<String>,
}

/// Sentence and what goes with it.
pub fn finding_text(finding: &Finding, paper: &Paper) -> String {
    let mut sentence = paper.wrap(&finding.sentence, 0);
    if paper.has_ink {
        sentence = sentence.lines().map(|line| paper.ink(Ink::Strong, line) + "\n").collect();
    }
    if !finding.further.is_empty() {
        sentence += &paper.wrap(&finding.further, 0);
    }
    if let Some(remedy) = &finding.remedy {
        sentence += &paper.wrap(&remedy.words, 0);
    }
    sentence
}

/// Remarks, the grave ones first; estimates in one line.
pub fn notices_text(notices: &[Notice], paper: &Paper) -> String {
    graver_text(notices, paper) + &estimates_text(notices, paper)
}

fn graver_text(notices: &[Notice], paper: &Paper) -> String {
    let mut out = String::new();
    let is_told = |n: &&Notice| n.severity() >= Severity::Weak || matches!(n, Notice::Read { .. });
    let mut graver: Vec<&Notice> = notices.iter().filter(is_told).collect();
    graver.sort_by_key(|notice| std::cmp::Reverse(notice.severity()));
    if !graver.is_empty() {
        out += "\nRead first\n";
    }
    for notice in graver {
        let (word, ink) = match notice.severity() {
            Severity::Caution => ("Caution: ", Ink::Binds),
            Severity::Note => ("", Ink::Plain),
            Severity::Weak => ("Weak: ", Ink::Strong),
        };
        out += &paper.wrap_hanging(&format!("- {}{}", paper.ink(ink, word), notice.text()), 2, 4);
    }
    out
}

fn estimates_text(notices: &[Notice], paper: &Paper) -> String {
    let mut out = String::new();
    let estimated: Vec<&'static str> = notices.iter().filter_map(Notice::estimated).collect();
    if !estimated.is_empty() {
        out += "\nEstimated because not given\n";
        out += &paper.wrap(&format!("{}. `check` shows the values.", estimated.join(", ")), 2);
    }
    out
}
