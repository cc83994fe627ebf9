//! A port's own curve between high and low water: share of the range against hours from high water, typed once.
//! Not for: ports whose curve is not known (`between`).

use super::Water;
use super::between::height_between_m;

/// Share of the range that stands above low water, by hours from high water (before it negative).
#[derive(Debug, Clone, PartialEq)]
pub struct OwnCurve(Vec<(f64, f64)>);

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
                Ok(Self(points.to_vec()))
            }
            _ => Err("a curve begins and ends at low water with a share of 0, and has 1 at hour 0"),
        }
    }

    /// Height between two waters that follow each other \[m\].
    ///
    /// `h = LW + (HW - LW) f(x)`, x = hours from high water, stretched so that the curve's end falls on low water; f
    /// straight between the points.
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
        let (Some(first), Some(last)) = (self.0.first(), self.0.last()) else {
            return height_between_m(before, after, unix_s);
        };
        let (high, low, end_h) = match (before.is_high, after.is_high) {
            (true, false) => (before, after, last.0),
            (false, true) => (after, before, first.0),
            _ => return height_between_m(before, after, unix_s),
        };
        let share = ((unix_s - high.unix_s) / (low.unix_s - high.unix_s)).clamp(0.0, 1.0);
        low.height_m + (high.height_m - low.height_m) * self.share_at(share * end_h)
    }

    fn share_at(&self, hours: f64) -> f64 {
        let next = self.0.partition_point(|point| point.0 < hours).clamp(1, self.0.len() - 1);
        let ((x0, y0), (x1, y1)) = (self.0[next - 1], self.0[next]);
        y0 + (y1 - y0) * ((hours - x0) / (x1 - x0)).clamp(0.0, 1.0)
    }
}
