//! A port's own curve between high and low water: share of the range against hours from high water, typed once.
//! Not for: ports whose curve is not known (`between`).

use super::Water;
use super::between::height_between_m;

/// Hours from high water and share of the range.
type Points = Vec<(f64, f64)>;

/// Share of the range that stands above low water, by hours from high water (before it negative).
#[derive(Debug, Clone, PartialEq)]
pub struct OwnCurve {
    /// Of all tides, or of springs.
    points: Points,
    /// Mean range at springs, at neaps \[m\], and the points of neaps.
    neaps: Option<(f64, f64, Points)>,
}

impl OwnCurve {
    /// Points of hours from high water and share of the range, in order, from low water to low water over high water.
    /// # Errors
    /// What is wrong with them.
    pub fn new(points: &[(f64, f64)]) -> Result<Self, &'static str> {
        let is_in_order = points.windows(2).all(|two| two[1].0 > two[0].0);
        let is_share = points.iter().all(|point| (0.0..=1.0).contains(&point.1));
        let has_high = points.iter().any(|point| point.0 == 0.0 && point.1 == 1.0);
        match points {
            _ if !is_in_order => Err("the hours of a curve rise from before high water to after it"),
            _ if !is_share => Err("the shares of a curve go from 0 at low water to 1 at high water"),
            [(from, first), .., (to, last)]
                if has_high && *first < 0.1 && *last < 0.1 && *from < 0.0 && *to > 0.0 =>
            {
                Ok(Self { points: points.to_vec(), neaps: None })
            }
            _ => Err("a curve begins and ends at low water with a share of 0, and has 1 at hour 0"),
        }
    }

    /// Curves of springs and of neaps, each with its mean range \[m\].
    /// # Errors
    /// What is wrong with them.
    pub fn of_springs_and_neaps(
        (springs_m, springs): (f64, &[(f64, f64)]),
        (neaps_m, neaps): (f64, &[(f64, f64)]),
    ) -> Result<Self, &'static str> {
        if !(neaps_m > 0.0 && springs_m > neaps_m && springs_m < 20.0) {
            return Err("springs have the larger mean range, below 20 m");
        }
        let neaps = Some((springs_m, neaps_m, Self::new(neaps)?.points));
        Ok(Self { neaps, ..Self::new(springs)? })
    }

    /// Height between two waters that follow each other \[m\].
    ///
    /// `h = LW + (HW - LW) f(x)`, x = hours from high water, stretched so that the curve's end falls on low water; f
    /// straight between the points, and between neaps and springs in proportion to the range, not beyond them.
    /// # Source
    /// The method of the European tables, from memory.
    /// # Valid for
    /// Between the two waters.
    /// # Accuracy
    /// That of the typed curve; a quarter of an hour, own estimate.
    /// # Errors
    /// None: by a cosine where both waters are of one kind.
    /// # Example
    /// A flood that is at half its range two hours before high water, of 6 h: 2 m between 1 and 3 m:
    /// ```
    /// use wakewright_core::tide::{Water, own_curve::OwnCurve};
    /// let curve = OwnCurve::new(&[(-6.0, 0.0), (-2.0, 0.5), (0.0, 1.0), (6.0, 0.0)]).unwrap();
    /// let low = Water { unix_s: 0.0, height_m: 1.0, is_high: false };
    /// let high = Water { unix_s: 6.0 * 3600.0, height_m: 3.0, is_high: true };
    /// assert!((curve.height_m(&low, &high, 4.0 * 3600.0) - 2.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn height_m(&self, before: &Water, after: &Water, unix_s: f64) -> f64 {
        let (high, low) = match (before.is_high, after.is_high) {
            (true, false) => (before, after),
            (false, true) => (after, before),
            _ => return height_between_m(before, after, unix_s),
        };
        let range_m = high.height_m - low.height_m;
        let part = ((unix_s - high.unix_s) / (low.unix_s - high.unix_s)).clamp(0.0, 1.0);
        let is_after = low.unix_s > high.unix_s;
        let springs = share_at(&self.points, part, is_after);
        let share = self.neaps.as_ref().map_or(springs, |(springs_m, neaps_m, points)| {
            let neaps = share_at(points, part, is_after);
            neaps + (springs - neaps) * ((range_m - neaps_m) / (springs_m - neaps_m)).clamp(0.0, 1.0)
        });
        low.height_m + range_m * share
    }
}

/// The share at a part of the time from high to low water, after the high water or before it.
fn share_at(points: &[(f64, f64)], part: f64, is_after: bool) -> f64 {
    let end = if is_after { points.last() } else { points.first() };
    let hours = part * end.map_or(0.0, |end| end.0);
    let next = points.partition_point(|point| point.0 < hours).clamp(1, points.len() - 1);
    let ((x0, y0), (x1, y1)) = (points[next - 1], points[next]);
    y0 + (y1 - y0) * ((hours - x0) / (x1 - x0)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: half way between neaps of 2 m (a quarter three hours after high water) and springs of 4 m (three quarters) a
    /// range of 3 m stands at a half, 1.5 m above low water; beyond springs the curve is theirs.
    #[test]
    fn springs_and_neaps_are_taken_in_proportion() {
        let of = |middle: f64| [(-6.0, 0.0), (0.0, 1.0), (3.0, middle), (6.0, 0.0)];
        let curve = OwnCurve::of_springs_and_neaps((4.0, &of(0.75)), (2.0, &of(0.25))).unwrap();
        let water = |unix_s: f64, height_m, is_high| Water { unix_s, height_m, is_high };
        let low = water(6.0 * 3600.0, 0.0, false);
        let at = |range_m| curve.height_m(&water(0.0, range_m, true), &low, 3.0 * 3600.0);
        assert!(
            (at(3.0) - 1.5).abs() < 1e-9 && (at(5.0) - 3.75).abs() < 1e-9 && (at(1.0) - 0.25).abs() < 1e-9
        );
        assert!(OwnCurve::of_springs_and_neaps((2.0, &of(0.5)), (4.0, &of(0.5))).is_err());
    }
}
