//! Choosing from the front by stated preferences, and choosing which of a long front to show.
//! Not for: finding the front.

use super::exact::Candidate;
use super::front::{MERIT_COUNT, Merit};
use super::prepared::Search;
use crate::hull::form::hull_speed_m_s;

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

/// What she is to do: a pick that falls short of it is none while another candidate does not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Top speed that is not given up \[m/s\].
    pub least_speed_m_s: f64,
    /// Distance at the first cruising speed that is not given up \[m\].
    pub least_distance_m: f64,
    /// Top speed beyond which more counts for nothing \[m/s\].
    pub speed_that_counts_m_s: f64,
}

impl Wanted {
    /// Share of what she has that may be given up unasked.
    const SMALL: f64 = 0.03;

    /// The speed wished for, or hull speed where none is stated, counts; of it no pick makes less than she does now,
    /// and none goes less far, unless little mass or money is preferred. Where top speed is preferred and none is wished for, all of it counts.
    #[must_use]
    pub fn of(search: &Search, present: Option<&Candidate>, preferences: &[Preference]) -> Self {
        let wished_m_s = search.fittings().wished_speed_m_s;
        let now_m_s = present.map_or(0.0, |present| present.merits.top_speed_m_s);
        let hull_m_s = hull_speed_m_s(search.base().form.length_waterline_m);
        let speed_that_counts_m_s = match wished_m_s {
            Some(wished_m_s) => wished_m_s,
            None if preferences.contains(&Preference::Speed) => f64::INFINITY,
            None => hull_m_s.max(now_m_s),
        };
        let now_m = present.and_then(Candidate::distance_m).unwrap_or(0.0);
        // Who asks for little mass or money gives speed and range for it.
        let gives_up = preferences.iter().any(|wish| matches!(wish, Preference::Light | Preference::Cheap));
        let kept = if gives_up { 0.0 } else { 1.0 - Self::SMALL };
        Self {
            least_speed_m_s: speed_that_counts_m_s.min(now_m_s) * kept,
            least_distance_m: now_m * kept,
            speed_that_counts_m_s,
        }
    }

    /// How many of the two a candidate falls short of.
    fn short_of(&self, candidate: &Candidate) -> usize {
        let is_slow = candidate.merits.top_speed_m_s < self.least_speed_m_s;
        let is_short = candidate.distance_m().unwrap_or(0.0) < self.least_distance_m;
        usize::from(is_slow) + usize::from(is_short)
    }
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
/// Top speed counts up to `fastest_m_s`.
fn shortfalls(candidates: &[Candidate], fastest_m_s: f64) -> Vec<[f64; MERIT_COUNT]> {
    let lower_is_better = |candidate: &Candidate, merit: Merit| {
        let value = candidate.merits.get(merit);
        if merit == Merit::TopSpeed { -value.min(fastest_m_s) } else { value }
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

/// Of the candidates of which nothing is forbidden, and of those that fall short of the least of what is wanted, the
/// one with the smallest weighted shortfall; of equals the first. `None` when there is none.
#[must_use]
pub fn pick(candidates: &[Candidate], preferences: &[Preference], wanted: &Wanted) -> Option<Pick> {
    let weights = weights(preferences);
    let shortfalls = shortfalls(candidates, wanted.speed_that_counts_m_s);
    let first = preferences.first().map_or(Merit::Energy, |preference| preference.merit());
    let allowed = || candidates.iter().enumerate().filter(|(_, candidate)| candidate.forbidden.is_empty());
    let least_short = allowed().map(|(_, candidate)| wanted.short_of(candidate)).min()?;
    let eligible: Vec<usize> =
        allowed().filter(|(_, found)| wanted.short_of(found) == least_short).map(|(i, _)| i).collect();
    let least = |of: &dyn Fn(&[f64; MERIT_COUNT]) -> f64| {
        eligible
            .iter()
            .copied()
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
    let shortfalls = shortfalls(candidates, f64::INFINITY);
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
