//! Choosing from the front by stated preferences, and choosing which of a long front to show.
//! Not for: finding the front.

use super::exact::Candidate;
use super::front::{MERIT_COUNT, Merit};

/// What the fitter wants most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Preference {
    /// Fewest watt-hours a mile at the cruising speed: each charge goes furthest.
    Range,
    /// Top speed.
    Speed,
    /// Slow blade tips.
    Quiet,
    /// Little mass.
    Light,
    /// Little cost; without prices, few parts changed.
    Cheap,
}

impl Preference {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Range, Self::Speed, Self::Quiet, Self::Light, Self::Cheap];

    /// Its word, for commands and forms.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Range => "range",
            Self::Speed => "speed",
            Self::Quiet => "quiet",
            Self::Light => "light",
            Self::Cheap => "cheap",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Range => "Few watt-hours a mile",
            Self::Speed => "Top speed",
            Self::Quiet => "Slow blade tips",
            Self::Light => "Little mass",
            Self::Cheap => "Little cost; without prices, few parts changed",
        }
    }

    /// The merit that it looks at.
    #[must_use]
    pub fn merit(self) -> Merit {
        match self {
            Self::Range => Merit::Energy,
            Self::Speed => Merit::TopSpeed,
            Self::Quiet => Merit::TipSpeed,
            Self::Light => Merit::Mass,
            Self::Cheap => Merit::Cost,
        }
    }
}

/// Weight of a preference against the one before it in the list.
const NEXT_WEIGHT: f64 = 0.5;
/// Weight of each merit when nothing is preferred, and of what is not named when something is, against
/// the first.
const UNNAMED_WEIGHT: f64 = 0.1;

/// What was picked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pick {
    /// Place in the list of candidates.
    pub position: usize,
    /// Place of the one that is best in the merit that counts most.
    pub best_of_first: usize,
    /// The merit that counts most.
    pub first: Merit,
}

/// Weights by [`Merit`]: the first preference 1, each next half of the one before, what is not named a
/// tenth. Without preferences range and speed count alike, cost half, the rest a tenth.
fn weights(preferences: &[Preference]) -> [f64; MERIT_COUNT] {
    let mut weights = [UNNAMED_WEIGHT; MERIT_COUNT];
    if preferences.is_empty() {
        weights[Merit::Energy as usize] = 1.0;
        weights[Merit::TopSpeed as usize] = 1.0;
        weights[Merit::Cost as usize] = NEXT_WEIGHT;
        return weights;
    }
    let mut weight = 1.0;
    for preference in preferences {
        let place = &mut weights[preference.merit() as usize];
        *place = place.max(weight);
        weight *= NEXT_WEIGHT;
    }
    weights
}

/// How far a candidate falls short of the best in each merit, as a share of the span on the front.
fn shortfalls(candidates: &[Candidate]) -> Vec<[f64; MERIT_COUNT]> {
    let lower_is_better = |candidate: &Candidate, merit: Merit| {
        let value = candidate.merits.get(merit);
        if merit == Merit::TopSpeed { -value } else { value }
    };
    let mut found = vec![[0.0; MERIT_COUNT]; candidates.len()];
    for merit in Merit::ALL {
        let values = || candidates.iter().map(|candidate| lower_is_better(candidate, merit));
        let (best, worst) =
            (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
        for (shortfall, value) in found.iter_mut().zip(values()) {
            shortfall[merit as usize] = if worst > best { (value - best) / (worst - best) } else { 0.0 };
        }
    }
    found
}

/// The candidate with the smallest weighted shortfall, of those of which nothing is forbidden; of equals the first.
/// `None` when there is none.
#[must_use]
pub fn pick(candidates: &[Candidate], preferences: &[Preference]) -> Option<Pick> {
    let weights = weights(preferences);
    let shortfalls = shortfalls(candidates);
    let first = preferences.first().map_or(Merit::Energy, |preference| preference.merit());
    let least = |of: &dyn Fn(&[f64; MERIT_COUNT]) -> f64| {
        (0..shortfalls.len())
            .filter(|&i| candidates[i].forbidden.is_empty())
            .min_by(|&a, &b| of(&shortfalls[a]).total_cmp(&of(&shortfalls[b])).then(a.cmp(&b)))
    };
    let weighted = |s: &[f64; MERIT_COUNT]| s.iter().zip(weights).map(|(s, w)| s * w).sum::<f64>();
    let position = least(&weighted)?;
    // Of those equally good in the first merit, the one that is best by all.
    let best_of_first = least(&|s| s[first as usize] + 1e-9 * weighted(s))?;
    Some(Pick { position, best_of_first, first })
}

/// At most `count` of the candidates that show the whole front: the picked one, the best in each merit,
/// then always the one farthest from those shown. Positions in rising order.
#[must_use]
pub fn spread_out(candidates: &[Candidate], picked: usize, count: usize) -> Vec<usize> {
    let shortfalls = shortfalls(candidates);
    let mut shown = vec![picked];
    for merit in 0..MERIT_COUNT {
        let best = (0..shortfalls.len()).min_by(|&a, &b| {
            let sum = |i: usize| shortfalls[i].iter().sum::<f64>();
            shortfalls[a][merit]
                .total_cmp(&shortfalls[b][merit])
                .then(sum(a).total_cmp(&sum(b)))
                .then(a.cmp(&b))
        });
        if let Some(best) = best.filter(|best| !shown.contains(best) && shown.len() < count) {
            shown.push(best);
        }
    }
    let distance = |a: usize, b: usize| {
        shortfalls[a].iter().zip(&shortfalls[b]).map(|(a, b)| (a - b) * (a - b)).sum::<f64>()
    };
    let mut nearest: Vec<f64> = (0..candidates.len())
        .map(|i| shown.iter().map(|&s| distance(i, s)).fold(f64::INFINITY, f64::min))
        .collect();
    while shown.len() < count.min(candidates.len()) {
        let Some(next) =
            (0..candidates.len()).max_by(|&a, &b| nearest[a].total_cmp(&nearest[b]).then(b.cmp(&a)))
        else {
            break;
        };
        if shown.contains(&next) {
            break;
        }
        shown.push(next);
        for (i, near) in nearest.iter_mut().enumerate() {
            *near = near.min(distance(i, next));
        }
    }
    shown.sort_unstable();
    shown
}
