//! The front of a search as a picture and as rows for a page: which two merits span it, what lies within
//! a frame drawn on it. Not for: the words of the finding (`finding`).

use wakewright_core::search::{Candidate, Merit, Outcome};
use wakewright_units::Quantity;

use super::finding::size_words;
use crate::scale::Scale;
use crate::text::Paper;
use wakewright_picture::{self, Axis, Scatter, Tone};

/// How `merit` is written on an axis and in a column: in words, and its scale over the whole front.
#[must_use]
pub fn merit_scale(merit: Merit, outcome: &Outcome, paper: &Paper) -> (&'static str, Scale) {
    let has_prices = outcome.search.has_prices();
    let (words, decimals) = merit.words(has_prices);
    let largest = outcome.candidates.iter().chain(&outcome.present).map(|c| c.merits.get(merit));
    (words, Scale::of(merit.figure(has_prices), decimals, largest.fold(0.0, f64::max), paper))
}

/// Short stable name of a merit, for addresses.
#[must_use]
pub const fn merit_key(merit: Merit) -> &'static str {
    match merit {
        Merit::Energy => "energy",
        Merit::TopSpeed => "speed",
        Merit::Mass => "mass",
        Merit::Cost => "cost",
        Merit::TipSpeed => "tips",
    }
}

/// What the picture of a front shows.
#[derive(Debug, Clone, Copy)]
pub struct FrontScene<'a> {
    /// What was found.
    pub outcome: &'a Outcome,
    /// The merits along and up.
    pub axes: (Merit, Merit),
    /// Which members lie within the frame, by position.
    pub within: &'a [bool],
    /// The member that is looked at.
    pub chosen: Option<usize>,
}

/// The front between two merits; each point bears its position as its key.
#[must_use]
pub fn front_picture(scene: &FrontScene<'_>, paper: &Paper) -> Scatter {
    let outcome = scene.outcome;
    let (x, y) = scene.axes;
    let ((x_words, xs), (y_words, ys)) = (merit_scale(x, outcome, paper), merit_scale(y, outcome, paper));
    let at = |candidate: &Candidate| (xs.number(candidate.merits.get(x)), ys.number(candidate.merits.get(y)));
    let picked = outcome.pick.map(|pick| pick.position);
    let mut candidates: Vec<wakewright_picture::Candidate> = outcome
        .candidates
        .iter()
        .enumerate()
        .map(|(position, candidate)| {
            let is_chosen = scene.chosen == Some(position);
            let is_picked = picked == Some(position);
            let (x, y) = at(candidate);
            let size = size_words(&candidate.boat, paper);
            wakewright_picture::Candidate {
                key: position.to_string(),
                label: match (is_picked, is_chosen) {
                    (true, _) => format!("the pick, {size}"),
                    (_, true) => format!("looked at, {size}"),
                    _ => String::new(),
                },
                x,
                y,
                tone: if is_picked {
                    Tone::Passes
                } else if is_chosen || scene.within.get(position).copied().unwrap_or(true) {
                    Tone::Ink
                } else {
                    Tone::Muted
                },
            }
        })
        .collect();
    if let Some(present) = &outcome.present {
        let (x, y) = at(present);
        candidates.push(wakewright_picture::Candidate {
            key: "present".to_owned(),
            label: "as she is".to_owned(),
            x,
            y,
            tone: Tone::Ink,
        });
    }
    // What is looked at lies on top.
    candidates.sort_by_key(|candidate| (!candidate.label.is_empty(), candidate.tone != Tone::Muted));
    let axis = |words: &str, scale: Scale| Axis {
        is_from_zero: false,
        ..Axis::new(words, scale.unit.symbol(), scale.decimals)
    };
    Scatter {
        title: format!("Pareto front: {y_words} against {x_words}"),
        description: format!(
            "{} candidates that no other beats in everything; the list below has the same.",
            outcome.candidates.len()
        ),
        x: axis(x_words, xs),
        y: axis(y_words, ys),
        front: edge(outcome, scene.axes, at),
        front_label: "none beats these in both".to_owned(),
        candidates,
    }
}

/// The members that no other beats in these two merits, in order along the first.
fn edge(outcome: &Outcome, (x, y): (Merit, Merit), at: impl Fn(&Candidate) -> (f64, f64)) -> Vec<(f64, f64)> {
    // Less is better in all but speed.
    let sign = |merit| if merit == Merit::TopSpeed { -1.0 } else { 1.0 };
    let (sx, sy) = (sign(x), sign(y));
    let mut points: Vec<(f64, f64)> = outcome.candidates.iter().map(at).collect();
    points.sort_by(|a, b| (sx * a.0).total_cmp(&(sx * b.0)).then((sy * a.1).total_cmp(&(sy * b.1))));
    let mut best = f64::INFINITY;
    points.retain(|point| {
        let is_better = sy * point.1 < best;
        if is_better {
            best = sy * point.1;
        }
        is_better
    });
    points
}

/// The figures of a candidate beside its words.
#[must_use]
pub fn candidate_figures(outcome: &Outcome, candidate: &Candidate, paper: &Paper) -> Vec<(String, String)> {
    let mut figures: Vec<(String, String)> = Merit::ALL
        .into_iter()
        .map(|merit| {
            let (words, scale) = merit_scale(merit, outcome, paper);
            (words.to_owned(), scale.with_unit(candidate.merits.get(merit)))
        })
        .collect();
    let miles =
        candidate.distance_m().map_or("–".to_owned(), |way| paper.quantity(way, Quantity::Distance));
    figures.push(("miles to the reserve".to_owned(), miles));
    let held = &candidate.full.held;
    figures.push(("what stops her".to_owned(), held.limit.words().to_owned()));
    figures
}
