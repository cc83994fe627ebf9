//! A tidal stream as charts print it: rate and direction for each hour from high water at a standard port, at springs and
//! neaps. Not for: where the waters come from (`tide`).

use wakewright_units::factors::HOUR_S;

use super::leg::Flow;
use crate::tide::Water;

/// One hour of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StreamHour {
    /// Hours after high water, before it negative.
    pub hours: f64,
    /// Where it sets to, from true north \[rad\].
    pub towards_rad: f64,
    /// Rate at springs \[m/s\].
    pub springs_m_s: f64,
    /// Rate at neaps \[m/s\].
    pub neaps_m_s: f64,
}

/// A table, and the ranges at the standard port that it was made for.
#[derive(Debug, Clone, PartialEq)]
pub struct TidalStream {
    /// In the order of their hours.
    pub hours: Vec<StreamHour>,
    /// Mean range at springs \[m\].
    pub springs_range_m: f64,
    /// Mean range at neaps \[m\].
    pub neaps_range_m: f64,
}

impl TidalStream {
    /// The flow along a leg that lies on `course_rad` at an instant \[m/s\]; none where no high water of the port with a low water
    /// beside it is near. With it the range of that tide \[m\].
    ///
    /// `rate = neaps + (springs - neaps)(R - Rn)/(Rs - Rn)`, not below nought, R the range of the tide about the nearest high
    /// water; between the hours straight along and across the leg.
    /// # Source
    /// Common practice, no source.
    /// # Valid for
    /// Hours from the first to the last of the table; the ends stand beyond them. Ranges beyond springs and neaps are carried on
    /// in the same proportion.
    /// # Accuracy
    /// A quarter of the rate and twenty minutes: own estimate, no source.
    /// # Errors
    /// None.
    /// # Example
    /// Half way between neaps (2 m, 1 m/s) and springs (4 m, 2 m/s), setting east, on a leg to the east: 1.5 m/s with her:
    /// ```
    /// use wakewright_core::passage::{StreamHour, TidalStream};
    /// use wakewright_core::tide::Water;
    /// let east = std::f64::consts::FRAC_PI_2;
    /// let hours = vec![StreamHour { hours: 0.0, towards_rad: east, springs_m_s: 2.0, neaps_m_s: 1.0 }];
    /// let stream = TidalStream { hours, springs_range_m: 4.0, neaps_range_m: 2.0 };
    /// let water = |hour: f64, height_m, is_high| Water { unix_s: 3600.0 * hour, height_m, is_high };
    /// let waters = [water(0.0, 0.0, false), water(6.2, 3.0, true), water(12.4, 0.0, false)];
    /// let (flow, range_m) = stream.flow(&waters, 6.2 * 3600.0, east).unwrap();
    /// assert!((flow.along_m_s - 1.5).abs() < 1e-12 && flow.across_m_s.abs() < 1e-12 && range_m == 3.0);
    /// ```
    #[must_use]
    pub fn flow(&self, waters: &[Water], at_s: f64, course_rad: f64) -> Option<(Flow, f64)> {
        /// Half a tide and what it may be late by.
        const NEAR_S: f64 = 8.0 * HOUR_S;
        let away = |water: &Water| (water.unix_s - at_s).abs();
        let high = waters.iter().enumerate().filter(|(_, water)| water.is_high && away(water) <= NEAR_S);
        let (place, high) = high.min_by(|a, b| away(a.1).total_cmp(&away(b.1)))?;
        let beside = [place.checked_sub(1), Some(place + 1)];
        let lows: Vec<f64> =
            beside.into_iter().flatten().filter_map(|i| waters.get(i)).map(|low| low.height_m).collect();
        let range_m = high.height_m - lows.iter().sum::<f64>() / lows.len() as f64;
        if !range_m.is_finite() {
            return None;
        }
        let part = (range_m - self.neaps_range_m) / (self.springs_range_m - self.neaps_range_m);
        let of = |hour: &StreamHour| {
            let rate = (hour.neaps_m_s + (hour.springs_m_s - hour.neaps_m_s) * part).max(0.0);
            let off = hour.towards_rad - course_rad;
            (rate * off.cos(), rate * off.sin())
        };
        let after = (at_s - high.unix_s) / HOUR_S;
        let next = self.hours.partition_point(|hour| hour.hours <= after);
        let other = self.hours.get(next).or(self.hours.last())?;
        let one = next.checked_sub(1).map_or(other, |place| &self.hours[place]);
        let span = other.hours - one.hours;
        let share = if span > 0.0 { ((after - one.hours) / span).clamp(0.0, 1.0) } else { 0.0 };
        let ((a, b), (c, d)) = (of(one), of(other));
        Some((Flow { along_m_s: a + (c - a) * share, across_m_s: b + (d - b) * share }, range_m))
    }
}
