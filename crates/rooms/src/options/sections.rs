//! The table that has a column for each boat, for terminal and page alike: which figures stand under which
//! heading, and in which unit each is written. Not for: alignment.

use wakewright_core::options::{Difference, MASS_CHANGE, Measured, SINKAGE, TRIM_AFT, Verdict};
use wakewright_core::sheet::Better;
use wakewright_units::Quantity;

use super::finding::{Beside, share_words};
use crate::scale::Scale;

/// A figure in all columns.
#[derive(Debug, Clone, Copy)]
pub struct Line {
    /// Its number among what is compared.
    pub m: usize,
    /// What.
    pub of: &'static Measured,
    /// How it is written.
    pub scale: Scale,
}

/// The figures that any column has, under the heading that they stand under: "At full throttle", "At 3.5 kn".
#[must_use]
pub fn sections(beside: &Beside<'_>) -> Vec<(String, Vec<Line>)> {
    let found = beside.found;
    let lines = |speed: Option<usize>| {
        let own = found.measures.iter().enumerate().filter(move |(_, measure)| measure.speed == speed);
        own.filter(|(m, measure)| {
            let moves = [&MASS_CHANGE, &SINKAGE, &TRIM_AFT].iter().any(|move_of| measure.is(move_of, None));
            let is_there = |value: f64| !moves || value != 0.0;
            found.columns.iter().any(|laid| laid.values[*m].is_some_and(|interval| is_there(interval.value)))
        })
        .map(|(m, measure)| Line { m, of: measure.of, scale: beside.scale(m) })
        .collect()
    };
    let at = |(i, &speed): (usize, &f64)| {
        (format!("At {}", beside.paper.decimals(speed, Quantity::Speed, 1)), lines(Some(i)))
    };
    std::iter::once(("At full throttle".to_owned(), lines(None)))
        .chain(found.speeds_m_s.iter().enumerate().map(at))
        .collect()
}

/// "better in 97 %" or "worse in 97 %" of all samples; empty where it is neither.
#[must_use]
pub fn sureness(difference: &Difference, better: Better) -> String {
    let share = difference.better_in(better);
    match difference.verdict(better) {
        _ if better == Better::Neither => String::new(),
        Verdict::Better => format!("better in {}", share_words(share)),
        Verdict::Worse => format!("worse in {}", share_words(1.0 - share)),
        Verdict::Differs | Verdict::Noise | Verdict::Same => String::new(),
    }
}
