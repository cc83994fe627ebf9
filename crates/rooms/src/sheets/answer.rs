//! An answer as text: the finding, what stands below it in its order, what to read first.

use super::table::titled_of;
use crate::room::{Answer, Block};
use crate::text::{Paper, finding_text, notices_text};

/// The whole text.
#[must_use]
pub fn answer_text(answer: &Answer, paper: &Paper) -> String {
    let mut out = finding_text(&answer.finding, paper);
    for block in &answer.blocks {
        out += &block_text(block, paper);
    }
    out + &notices_text(&answer.notices, paper)
}

/// One block, after an empty line; nothing where a terminal has nothing to show.
#[must_use]
pub fn block_text(block: &Block, paper: &Paper) -> String {
    let headed = |title: &str| if title.is_empty() { "\n".to_owned() } else { format!("\n{title}\n") };
    match block {
        Block::Sheet(filled) if filled.rows.is_empty() => String::new(),
        Block::Sheet(filled) => titled_of(filled, paper).render(paper),
        Block::Picture { in_text, .. } if in_text.is_empty() => String::new(),
        Block::Picture { caption, in_text, .. } => headed(caption) + in_text,
        Block::Words { title, text, .. } => {
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
