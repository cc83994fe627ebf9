//! An answer as text: the finding, what stands below it in its order, what to read first.

use wakewright_core::notice::{Notice, Severity};

use super::paper::{Ink, Paper};
use crate::room::{Answer, Block};
use crate::sentence::Finding;
use crate::sheets::titled_of;

/// The whole text.
#[must_use]
pub fn answer_text(answer: &Answer, paper: &Paper) -> String {
    let mut out = finding_text(&answer.finding, paper);
    for block in &answer.blocks {
        out += &block_text(block, paper);
    }
    out + &notices_text(&answer.notices, paper)
}

fn block_text(block: &Block, paper: &Paper) -> String {
    let headed = |title: &str| if title.is_empty() { "\n".to_owned() } else { format!("\n{title}\n") };
    match block {
        Block::Sheet(filled) if filled.rows.is_empty() => String::new(),
        Block::Sheet(filled) => titled_of(filled, paper).render(paper),
        Block::Picture { in_text, .. } if in_text.is_empty() => String::new(),
        Block::Picture { caption, in_text, .. } => headed(caption) + in_text,
        Block::Words { title, text } => {
            // Several stand apart by their first lines.
            let rest = if text.len() > 1 { 4 } else { 2 };
            text.iter().fold(headed(title), |out, paragraph| out + &paper.wrap_hanging(paragraph, 2, rest))
        }
        Block::Lines(lines) => lines.clone(),
        Block::Caution { title, text } => headed(title) + &paper.wrap(text, 2),
    }
}

/// The finding alone.
#[must_use]
pub fn finding_only(answer: &Answer, paper: &Paper) -> String {
    finding_text(&answer.finding, paper)
}

/// Sentence and what goes with it.
pub(crate) fn finding_text(finding: &Finding, paper: &Paper) -> String {
    let mut sentence = paper.wrap(&finding.sentence, 0);
    if paper.has_ink {
        sentence = sentence.lines().map(|line| paper.ink(Ink::Strong, line) + "\n").collect();
    }
    if finding.further.is_empty() { sentence } else { sentence + &paper.wrap(&finding.further, 0) }
}

/// Remarks, the grave ones first; estimates in one line.
pub(crate) fn notices_text(notices: &[Notice], paper: &Paper) -> String {
    graver_text(notices, paper) + &estimates_text(notices, paper)
}

fn graver_text(notices: &[Notice], paper: &Paper) -> String {
    let mut out = String::new();
    let mut graver: Vec<&Notice> = notices.iter().filter(|n| n.severity() >= Severity::Weak).collect();
    graver.sort_by_key(|notice| std::cmp::Reverse(notice.severity()));
    if !graver.is_empty() {
        out += "\nRead first\n";
    }
    for notice in graver {
        let (word, ink) = match notice.severity() {
            Severity::Caution => ("Caution: ", Ink::Binds),
            _ => ("Weak: ", Ink::Strong),
        };
        out += &paper.wrap_hanging(&format!("- {}{}", paper.ink(ink, word), notice.text()), 2, 4);
    }
    out
}

fn estimates_text(notices: &[Notice], paper: &Paper) -> String {
    let mut out = String::new();
    let estimated: Vec<&'static str> = notices
        .iter()
        .filter_map(|n| match n {
            Notice::Estimated { quantity, .. } => Some(*quantity),
            _ => None,
        })
        .collect();
    if !estimated.is_empty() {
        out += "\nEstimated because not given\n";
        out += &paper.wrap(&format!("{}. `check` shows the values.", estimated.join(", ")), 2);
    }
    out
}
