//! Words for what can be done next.
//! Not for: sentences that tell what was found (`finding`).

use wakewright_core::causes::NextRun;
use wakewright_units::{Quantity, format_number, format_quantity};

use crate::text::Paper;

/// A share as a percentage in whole points.
#[must_use]
pub fn percent(share: f64) -> String {
    format!("{} %", format_number(100.0 * share, 0))
}

/// A speed difference in hundredths of a knot, or its like.
pub(super) fn knots(paper: &Paper, m_s: f64) -> String {
    // No minus in front of nothing.
    let m_s = if m_s.abs() < 0.0025 { 0.0 } else { m_s };
    paper.decimals(m_s, Quantity::Speed, 2)
}

/// What is proposed, to stand at the beginning of a sentence.
pub(super) fn next_text(next: &NextRun, paper: &Paper) -> String {
    next.proposal.sentence(|si, of, digits| format_quantity(si, of, paper.units, digits))
}
