//! An odd cause with the trials on which it was at work: what was mended between two trials held on the first alone.
//! Not for: what the odd causes are (`hypothesis`), weighing them (`posterior`).

use super::evidence::Epoch;
use super::hypothesis::Hypothesis;

/// On which trials an odd cause was at work; they count from 0, oldest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Reach {
    /// On every one.
    Every,
    /// On those before this one: it was mended since.
    Before(usize),
    /// On this one and those after it: it came in between.
    From(usize),
}

impl Reach {
    /// All that `trials` trials can have.
    #[must_use]
    pub fn of(trials: usize) -> Vec<Self> {
        let parts = (1..trials).flat_map(|trial| [Self::Before(trial), Self::From(trial)]);
        std::iter::once(Self::Every).chain(parts).collect()
    }

    /// Whether it was at work on trial number `trial`.
    #[must_use]
    pub fn holds_on(self, trial: usize) -> bool {
        match self {
            Self::Every => true,
            Self::Before(end) => trial < end,
            Self::From(start) => trial >= start,
        }
    }

    /// How probable it is among those of `trials` trials. Judgement, no source: as probable that it lasted as that
    /// it came or went, which may have been between any two trials.
    #[must_use]
    pub fn prior(self, trials: usize) -> f64 {
        match self {
            Self::Every if trials < 2 => 1.0,
            Self::Every => 0.5,
            Self::Before(_) | Self::From(_) => 0.25 / (trials.max(2) - 1) as f64,
        }
    }
}

/// What is odd about her, and when it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Oddity {
    /// What.
    pub what: Hypothesis,
    /// On which trials.
    pub reach: Reach,
}

impl Oddity {
    /// Nothing odd, ever.
    pub const NOTHING: Self = Self::always(Hypothesis::Nothing);

    /// `what`, on every trial.
    #[must_use]
    pub const fn always(what: Hypothesis) -> Self {
        Self { what, reach: Reach::Every }
    }

    /// What is odd on trial number `trial`.
    #[must_use]
    pub fn on(self, trial: usize) -> Hypothesis {
        if self.reach.holds_on(trial) { self.what } else { Hypothesis::Nothing }
    }

    /// How probable it is before anything was measured on `trials` trials, as a share.
    #[must_use]
    pub fn prior(self, trials: usize) -> f64 {
        self.what.prior() * self.reach.prior(trials)
    }

    /// Stable name, another for each reach.
    #[must_use]
    pub fn key(self) -> String {
        match self.reach {
            Reach::Every => self.what.key().to_owned(),
            Reach::Before(trial) => format!("{} before {trial}", self.what.key()),
            Reach::From(trial) => format!("{} from {trial}", self.what.key()),
        }
    }

    /// In words, as a statement that names the trials where it was not at work on all of `epochs`.
    #[must_use]
    pub fn words(self, epochs: &[Epoch]) -> String {
        let label = |trial: usize| epochs.get(trial).map_or("", |epoch| epoch.label.as_str());
        match self.reach {
            Reach::Every => self.what.words().to_owned(),
            Reach::Before(trial) => {
                let until = if trial > 1 { "until" } else { "on" };
                let (last, next) = (label(trial - 1), label(trial));
                format!("{} {until} \"{last}\" and no longer on \"{next}\"", self.what.past_words())
            }
            Reach::From(trial) => {
                let since = if trial + 1 < epochs.len() { "since" } else { "on" };
                let (first, before) = (label(trial), label(trial - 1));
                format!("{} {since} \"{first}\" and not yet on \"{before}\"", self.what.words())
            }
        }
    }

    /// On which of `epochs`; `None` where there is only one.
    #[must_use]
    pub fn when(self, epochs: &[Epoch]) -> Option<String> {
        let label = |trial: usize| epochs.get(trial).map_or("", |epoch| epoch.label.as_str());
        if epochs.len() < 2 || self.what == Hypothesis::Nothing {
            return None;
        }
        Some(match self.reach {
            Reach::Every => "every trial".to_owned(),
            Reach::Before(trial) => format!("before \"{}\"", label(trial)),
            Reach::From(trial) => format!("from \"{}\" on", label(trial)),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The reaches of a hypothesis share its weight out and lose none of it.
    #[test]
    fn reaches_share_the_weight_out() {
        for trials in 1..6 {
            let reaches = Reach::of(trials);
            let sum: f64 = reaches.iter().map(|reach| reach.prior(trials)).sum();
            assert!((sum - 1.0).abs() < 1e-12, "{trials}: {sum}");
            let held = |reach: &Reach| (0..trials).map(|trial| reach.holds_on(trial)).collect::<Vec<_>>();
            let mut sets: Vec<Vec<bool>> = reaches.iter().map(held).collect();
            assert!(sets.iter().all(|set| set.contains(&true)));
            sets.sort();
            sets.dedup();
            assert_eq!(sets.len(), reaches.len(), "{trials}: two reaches mean the same");
        }
    }
}
