//! One tide on the ground as somebody plans it: dry hours, daylight, the way on, the waters that may float her off, and
//! which tides to choose. Not for: when the water passes a height (`stand`), the law of floating off (`floats`).

use super::floats::{LevelError, first_likely, floats_by_then, floats_then};
use super::light::shared_s;
use super::stand::{Berth, Standing, standings};
use crate::tide::Water;

/// What is wanted of a tide.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Dry hours at the work \[s\].
    pub dry_s: f64,
    /// When work may be done, as stretches of time: daylight, or hours of the day \[Unix s\].
    pub work: Vec<(f64, f64)>,
}

/// A high water on which she may go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WayOff {
    /// The water.
    pub high: Water,
    /// Above her floating level \[m\].
    pub spare_m: f64,
    /// Probability that she floats then.
    pub floats: f64,
    /// Probability that she has floated by then, any water before it counted.
    pub by_then: f64,
}

/// One tide on the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// Touching, dry, wet and afloat.
    pub standing: Standing,
    /// Dry at the work in the middle case \[s\].
    pub dry_s: f64,
    /// Of that when work may be done \[s\].
    pub work_s: f64,
    /// Probability that the work falls dry at all.
    pub dries: f64,
    /// Water to spare on the way on \[m\].
    pub on_spare_m: f64,
    /// Probability that she floats on.
    pub on_floats: f64,
    /// The next high waters, four where they are known.
    pub ways_off: Vec<WayOff>,
    /// If the first of them is missed: the next that floats her more likely than not; none within what is known.
    pub after_missed: Option<WayOff>,
}

/// Waters looked at after the work.
pub const WAYS_OFF: usize = 4;

/// Every tide on which she takes the ground, in their order. `curve` as for [`standings`]; waters beyond the last tide
/// belong to the ways off.
#[must_use]
pub fn visits(
    curve: &[(f64, f64)],
    waters: &[Water],
    berth: &Berth,
    error: &LevelError,
    wanted: &Wanted,
) -> Vec<Visit> {
    let floats_at_m = berth.floats_at_m();
    let highs: Vec<Water> = waters.iter().filter(|water| water.is_high).copied().collect();
    let of = |standing: Standing| {
        standing.touches.median_s?;
        let work_s = match (standing.dry.median_s, standing.wet.median_s) {
            (Some(dry), Some(wet)) => shared_s((dry, wet), &wanted.work),
            _ => 0.0,
        };
        let first = highs.partition_point(|high| high.unix_s < standing.high_after.unix_s);
        let after = &highs[first..];
        let way_off = |high: &Water, by_then: f64| WayOff {
            high: *high,
            spare_m: high.height_m - floats_at_m,
            floats: floats_then(high, floats_at_m, error),
            by_then,
        };
        let next = after.get(1..).unwrap_or_default();
        let likely = first_likely(next, floats_at_m, error).map(|place| {
            let high = &next[place];
            way_off(high, floats_then(high, floats_at_m, error))
        });
        Some(Visit {
            dry_s: standing.dry_s().unwrap_or(0.0),
            work_s,
            dries: 1.0 - floats_then(&standing.low, berth.ground_m + berth.work_above_keel_m, error),
            on_spare_m: standing.high_before.height_m - floats_at_m,
            on_floats: floats_then(&standing.high_before, floats_at_m, error),
            ways_off: after.iter().take(WAYS_OFF).map(|high| way_off(high, f64::NAN)).collect(),
            after_missed: likely,
            standing,
        })
    };
    standings(curve, waters, berth, error).into_iter().filter_map(of).collect()
}

impl Visit {
    /// Puts the probability of having floated by each of the ways off in its place, and gives that of all waters to the
    /// end of what is known, each with its time.
    pub fn reckon_by_then(&mut self, waters: &[Water], berth: &Berth, error: &LevelError) -> Vec<(f64, f64)> {
        let from_s = self.standing.high_after.unix_s;
        let highs: Vec<Water> =
            waters.iter().filter(|water| water.is_high && water.unix_s >= from_s).copied().collect();
        let by_then = floats_by_then(&highs, berth.floats_at_m(), error);
        for (way_off, share) in self.ways_off.iter_mut().zip(&by_then) {
            way_off.by_then = *share;
        }
        highs.iter().zip(by_then).map(|(high, share)| (high.unix_s, share)).collect()
    }

    /// Whether the first water missed leaves her for more than two days.
    #[must_use]
    pub fn is_neap_trap(&self) -> bool {
        const TWO_DAYS_S: f64 = 2.0 * 86_400.0;
        let first_s = self.standing.high_after.unix_s;
        self.after_missed.is_none_or(|next| next.high.unix_s - first_s > TWO_DAYS_S)
    }

    /// Probability that she floats at the first water after the work.
    #[must_use]
    pub fn first_off(&self) -> f64 {
        self.ways_off.first().map_or(0.0, |way| way.floats)
    }
}

/// Below this a tide on which she may not float on gives way to others: own choice.
const LIKELY_ON: f64 = 0.8;

/// The tides to choose, best first: those with the hours that are wanted before those without, a sure way off before more
/// hours; a tide that she cannot get on to
/// more likely than not is none, nor one after which fewer than four waters are known.
#[must_use]
pub fn recommended(visits: &[Visit], wanted: &Wanted, most: usize) -> Vec<usize> {
    let is_known = |visit: &Visit| visit.ways_off.len() == WAYS_OFF;
    let mut places: Vec<usize> = (0..visits.len())
        .filter(|place| {
            is_known(&visits[*place]) && visits[*place].on_spare_m > 0.0 && visits[*place].work_s > 0.0
        })
        .collect();
    let rank = |place: &usize| {
        let visit = &visits[*place];
        // Surety in twentieths: less than that is no reason to give up an hour.
        let first = visit.first_off();
        let second = visit.ways_off.get(1).map_or(0.0, |way| way.floats);
        let surety = (10.0 * (first + first.max(second))).round();
        let is_safe = !visit.is_neap_trap() || first > 0.95;
        let gets_on = visit.on_floats > LIKELY_ON;
        (visit.work_s >= wanted.dry_s, gets_on, is_safe, surety, visit.work_s)
    };
    places.sort_by(|a, b| rank(b).partial_cmp(&rank(a)).unwrap_or(std::cmp::Ordering::Equal));
    places.truncate(most);
    places
}
