//! How often calls were right, once it was known what it had been. Not for: the call itself (`weigh`).

use super::parts::{PARTS, STRANGE};

/// A place that is likely by less is not told, and counts as this much.
pub const LEAST_TOLD: f64 = 0.001;

/// The place of a part by its name, or of none of these.
#[must_use]
pub fn place_of(part: &str) -> Option<&'static str> {
    let known = PARTS.iter().find(|one| one.key == part).map(|one| one.place);
    known.or((part == STRANGE).then_some(STRANGE))
}

/// How often calls named the place that it was in the end.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct CallScore {
    /// Calls whose end is known.
    pub calls: usize,
    /// It was named first.
    pub first: usize,
    /// It was among the first three.
    pub among_three: usize,
    /// Sum of what was left to learn when the truth came out \[bit\].
    pub left_bit: f64,
}

impl CallScore {
    /// Of what was told, the likeliest place first, each with where it was in the end.
    pub fn of<'c>(calls: impl Iterator<Item = (&'c [(String, f64)], &'c str)>) -> Self {
        let mut score = Self::default();
        for (told, truth) in calls {
            let at = told.iter().position(|(place, _)| place == truth);
            let share = at.map_or(0.0, |at| told[at].1).clamp(LEAST_TOLD, 1.0);
            score.calls += 1;
            score.first += usize::from(at == Some(0));
            score.among_three += usize::from(at.is_some_and(|at| at < 3));
            score.left_bit -= share.log2();
        }
        score
    }

    /// Share of them; none without a call.
    #[must_use]
    pub fn share(&self, count: usize) -> Option<f64> {
        (self.calls > 0).then(|| count as f64 / self.calls as f64)
    }

    /// Logarithmic score, the mean of the bits that were left to learn (Good 1952); none without a call.
    #[must_use]
    pub fn mean_left_bit(&self) -> Option<f64> {
        (self.calls > 0).then(|| self.left_bit / self.calls as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: shares 1/2 first, 1/8 third, and one that was not told: 1, 3 and 9.97 bits.
    #[test]
    fn three_calls_by_hand() {
        let told = |shares: &[(&str, f64)]| -> Vec<(String, f64)> {
            shares.iter().map(|(place, share)| ((*place).to_owned(), *share)).collect()
        };
        let (a, b) = (
            told(&[("rope", 0.5), ("empty", 0.25)]),
            told(&[("rope", 0.5), ("empty", 0.25), ("joint", 0.125)]),
        );
        let score = CallScore::of([(&a[..], "rope"), (&b[..], "joint"), (&a[..], "propeller")].into_iter());
        assert_eq!((score.calls, score.first, score.among_three), (3, 1, 2));
        assert!((score.left_bit - (1.0 + 3.0 + 9.965_784)).abs() < 1e-6);
        assert_eq!(
            (place_of("stop"), place_of("strange"), place_of("mast")),
            (Some("held"), Some(STRANGE), None)
        );
    }
}
