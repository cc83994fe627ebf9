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
    /// How long before its first and after its last hour it holds \[h\]; none: its ends stand beyond them.
    pub reach_h: Option<f64>,
}

/// The high water nearest to an instant, and the range of the tide about it \[m\]; none where none is near.
fn tide_about(waters: &[Water], at_s: f64) -> Option<(f64, f64)> {
    /// Half a tide and what it may be late by.
    const NEAR_S: f64 = 8.0 * HOUR_S;
    let away = |water: &Water| (water.unix_s - at_s).abs();
    let high = waters.iter().enumerate().filter(|(_, water)| water.is_high && away(water) <= NEAR_S);
    let (place, high) = high.min_by(|a, b| away(a.1).total_cmp(&away(b.1)))?;
    let beside = [place.checked_sub(1), Some(place + 1)];
    let lows: Vec<f64> =
        beside.into_iter().flatten().filter_map(|i| waters.get(i)).map(|low| low.height_m).collect();
    let range_m = high.height_m - lows.iter().sum::<f64>() / lows.len() as f64;
    range_m.is_finite().then_some((high.unix_s, range_m))
}

impl TidalStream {
    /// What was found from one instant to another, as a table of those hours whose rate goes with the range alone and which reaches
    /// `reach_h` beyond them; none where no tide of `waters` is about it.
    ///
    /// `rate = found R / R_found`.
    /// # Source
    /// Common practice, no source.
    /// # Valid for
    /// Streams that the tide makes, at the same hour of it.
    /// # Accuracy
    /// That of what was found.
    /// # Errors
    /// None where no tide is about it.
    /// # Example
    /// 0.8 m/s found an hour after a high water of 3 m are 0.4 m/s an hour after one of 1.5 m:
    /// ```
    /// use wakewright_core::passage::TidalStream;
    /// use wakewright_core::tide::Water;
    /// let water = |hour: f64, height_m, is_high| Water { unix_s: 3600.0 * hour, height_m, is_high };
    /// let waters = [water(0.0, 0.0, false), water(6.0, 3.0, true), water(12.0, 0.0, false), water(18.0, 1.5, true), water(24.0, 0.0, false)];
    /// let found = TidalStream::found(&waters, (6.5 * 3600.0, 7.5 * 3600.0), (0.0, 0.8), 1.0).unwrap();
    /// let (flow, range_m) = found.flow(&waters, 19.0 * 3600.0, 0.0).unwrap();
    /// assert!((flow.along_m_s - 0.4).abs() < 1e-12 && range_m == 1.5);
    /// assert!(found.flow(&waters, 21.0 * 3600.0, 0.0).is_none());
    /// ```
    #[must_use]
    pub fn found(
        waters: &[Water],
        (from_s, to_s): (f64, f64),
        (towards_rad, speed_m_s): (f64, f64),
        reach_h: f64,
    ) -> Option<Self> {
        let (high_s, springs_range_m) = tide_about(waters, 0.5 * (from_s + to_s))?;
        let hour = |at_s: f64| StreamHour {
            hours: (at_s - high_s) / HOUR_S,
            towards_rad,
            springs_m_s: speed_m_s,
            neaps_m_s: 0.0,
        };
        let hours = vec![hour(from_s), hour(to_s)];
        Some(Self { hours, springs_range_m, neaps_range_m: 0.0, reach_h: Some(reach_h) })
    }

    /// The flow along a leg that lies on `course_rad` at an instant \[m/s\]; none where no high water of the port with a low water
    /// beside it is near, and beyond the table's reach. With it the range of that tide \[m\].
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
    /// let stream = TidalStream { hours, springs_range_m: 4.0, neaps_range_m: 2.0, reach_h: None };
    /// let water = |hour: f64, height_m, is_high| Water { unix_s: 3600.0 * hour, height_m, is_high };
    /// let waters = [water(0.0, 0.0, false), water(6.2, 3.0, true), water(12.4, 0.0, false)];
    /// let (flow, range_m) = stream.flow(&waters, 6.2 * 3600.0, east).unwrap();
    /// assert!((flow.along_m_s - 1.5).abs() < 1e-12 && flow.across_m_s.abs() < 1e-12 && range_m == 3.0);
    /// ```
    #[must_use]
    pub fn flow(&self, waters: &[Water], at_s: f64, course_rad: f64) -> Option<(Flow, f64)> {
        let (high_s, range_m) = tide_about(waters, at_s)?;
        let part = (range_m - self.neaps_range_m) / (self.springs_range_m - self.neaps_range_m);
        let of = |hour: &StreamHour| {
            let rate = (hour.neaps_m_s + (hour.springs_m_s - hour.neaps_m_s) * part).max(0.0);
            let off = hour.towards_rad - course_rad;
            (rate * off.cos(), rate * off.sin())
        };
        let after = (at_s - high_s) / HOUR_S;
        let (first, last) = (self.hours.first()?.hours, self.hours.last()?.hours);
        if self.reach_h.is_some_and(|reach| after < first - reach || after > last + reach) {
            return None;
        }
        let next = self.hours.partition_point(|hour| hour.hours <= after);
        let other = self.hours.get(next).or(self.hours.last())?;
        let one = next.checked_sub(1).map_or(other, |place| &self.hours[place]);
        let span = other.hours - one.hours;
        let share = if span > 0.0 { ((after - one.hours) / span).clamp(0.0, 1.0) } else { 0.0 };
        let ((a, b), (c, d)) = (of(one), of(other));
        Some((Flow { along_m_s: a + (c - a) * share, across_m_s: b + (d - b) * share }, range_m))
    }
}
