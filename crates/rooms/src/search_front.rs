//! The front of a search as a picture and as rows for a page: which two merits span it, what lies within
//! a frame drawn on it. Not for: the words of the finding (`search_finding`).

use wakewright_core::search::{Candidate, Merit, Outcome};
use wakewright_units::factors::{KNOT_M_S, NAUTICAL_MILE_M};
use wakewright_units::{Quantity, format_number};

use crate::search_finding::size_words;
use crate::text::Paper;
use wakewright_picture::{self, Axis, Scatter, Tone};

/// How a merit is written on an axis and in a column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeritScale {
    /// In words.
    pub words: &'static str,
    /// Unit; may be empty.
    pub unit: &'static str,
    /// SI of one unit.
    factor: f64,
    /// Decimals.
    pub decimals: usize,
}

impl MeritScale {
    /// The scale of `merit` in a search with or without prices.
    #[must_use]
    pub fn of(merit: Merit, has_prices: bool) -> Self {
        let scale = |words, unit, factor, decimals| Self { words, unit, factor, decimals };
        match merit {
            Merit::Energy => scale("energy a mile", "Wh/nm", 3600.0 / NAUTICAL_MILE_M, 0),
            Merit::TopSpeed => scale("top speed", "kn", KNOT_M_S, 2),
            Merit::Mass => scale("motor and packs", "kg", 1.0, 0),
            Merit::Cost if has_prices => scale("cost", "", 1.0, 0),
            Merit::Cost => scale("parts to change", "", 1.0, 0),
            Merit::TipSpeed => scale("blade tips", "m/s", 1.0, 1),
        }
    }

    /// A value as a number of units.
    #[must_use]
    pub fn number(&self, si: f64) -> f64 {
        si / self.factor
    }

    /// A value in its unit.
    #[must_use]
    pub fn text(&self, si: f64) -> String {
        format!("{} {}", format_number(self.number(si), self.decimals), self.unit).trim_end().to_owned()
    }
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
    let scale = |merit| MeritScale::of(merit, outcome.search.has_prices());
    let (xs, ys) = (scale(x), scale(y));
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
    let axis = |scale: MeritScale| Axis {
        is_from_zero: false,
        ..Axis::new(scale.words, scale.unit, scale.decimals)
    };
    Scatter {
        title: format!("The front: {} against {}", ys.words, xs.words),
        description: format!(
            "{} candidates that no other beats in everything; the list below has the same.",
            outcome.candidates.len()
        ),
        x: axis(xs),
        y: axis(ys),
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
            let scale = MeritScale::of(merit, outcome.search.has_prices());
            (scale.words.to_owned(), scale.text(candidate.merits.get(merit)))
        })
        .collect();
    let miles =
        candidate.distance_m().map_or("–".to_owned(), |way| paper.quantity(way, Quantity::Distance));
    figures.push(("miles to the reserve".to_owned(), miles));
    let held = &candidate.full.held;
    figures.push(("what stops her".to_owned(), held.limit.words().to_owned()));
    figures
}
